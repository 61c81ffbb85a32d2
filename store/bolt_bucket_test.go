package store

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"testing"

	bolt "go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"
)

// plainMap is what a bucket should hold.
type plainMap struct {
	is       map[string]string
	sequence uint64
}

func (p *plainMap) clone() *plainMap { return &plainMap{maps.Clone(p.is), p.sequence} }

// TestMergedBucket changes a bucket at random, with updates that fail and with
// folds in between, and compares it with a sorted map all along, within the
// updates and in Views.
func TestMergedBucket(t *testing.T) {
	for seed := range uint64(8) {
		random := rand.New(rand.NewPCG(seed, 1))
		path := filepath.Join(t.TempDir(), "s.db")
		s := openWith(t, path, nil)
		want := &plainMap{is: map[string]string{}}
		mine := errors.New("mine")
		for step := range 150 {
			next := want.clone()
			fails := random.IntN(4) == 0
			err := s.update(t.Context(), func(tx *boltTx) error {
				for range random.IntN(13) {
					if err := tx.in("test", bucketAdapters, func(b merged) error { return changeBoth(b, next, random) }); err != nil {
						return err
					}
				}
				compareBucket(t, tx, next, random)
				if fails {
					return mine
				}
				return nil
			})
			switch {
			case fails && !errors.Is(err, mine), !fails && err != nil:
				t.Fatal(err)
			case !fails:
				want = next
			}
			if random.IntN(5) == 0 {
				if err := s.foldNow(); err != nil {
					t.Fatal(err)
				}
			}
			err = s.View(t.Context(), func(tx Tx) error {
				compareBucket(t, tx.(*boltTx), want, random)
				return nil
			})
			if err != nil || t.Failed() {
				t.Fatalf("seed %d, step %d: %v", seed, step, err)
			}
			if random.IntN(20) == 0 {
				if err := errors.Join(s.Check(), s.Close()); err != nil {
					t.Fatal(err)
				}
				s = openWith(t, path, nil)
			}
		}
		if err := errors.Join(s.Check(), s.Close()); err != nil {
			t.Fatal(err)
		}
	}
}

// someKey is one of few, so that many are put, deleted and put again.
func someKey(random *rand.Rand) []byte {
	return []byte(fmt.Sprintf("%02d", random.IntN(30))[:1+random.IntN(2)])
}

func changeBoth(b merged, p *plainMap, random *rand.Rand) error {
	key := someKey(random)
	switch random.IntN(8) {
	case 0, 1, 2:
		value := fmt.Sprint(random.Uint64())
		p.is[string(key)] = value
		return b.Put(key, []byte(value))
	case 3, 4, 5: // often of a key that is there, to leave one side empty
		delete(p.is, string(key))
		return b.Delete(key)
	case 6:
		p.sequence = random.Uint64N(5)
		return b.SetSequence(p.sequence)
	default:
		p.sequence++
		n, err := b.NextSequence()
		if err == nil && n != p.sequence {
			err = fmt.Errorf("the counter is %d, want %d", n, p.sequence)
		}
		return err
	}
}

// compareBucket compares a bucket with a map: counter, values, and a walk.
func compareBucket(t *testing.T, tx *boltTx, want *plainMap, random *rand.Rand) {
	t.Helper()
	err := tx.in("test", bucketAdapters, func(b merged) error {
		if b.Sequence() != want.sequence || b.Len() != len(want.is) {
			t.Errorf("counter %d and %d keys, want %d and %d", b.Sequence(), b.Len(), want.sequence, len(want.is))
		}
		for range 5 {
			key := someKey(random)
			got, err := opened("test", key, b.Get(key))
			if value, ok := want.is[string(key)]; err != nil || ok != (got != nil) || string(got) != value {
				t.Errorf("%s is %q (%v), want %q", key, got, err, value)
			}
		}
		walkBoth(t, b, want, random)
		return nil
	})
	if err != nil {
		t.Error(err)
	}
}

// walkBoth moves a cursor about at random. Behind the last key and before the
// first it stands nowhere, and only First, Last and Seek bring it back.
func walkBoth(t *testing.T, b merged, want *plainMap, random *rand.Rand) {
	t.Helper()
	keys := slices.Sorted(maps.Keys(want.is))
	c, at := b.Cursor(), -1
	steps := ""
	for range 40 {
		var k, v []byte
		move := random.IntN(13)
		switch {
		case move == 0:
			steps += " first"
			k, v = c.First()
			at = 0
		case move == 1:
			steps += " last"
			k, v = c.Last()
			at = len(keys) - 1
		case move == 2:
			key := someKey(random)
			steps += " before " + string(key)
			k, v = c.Before(key)
			at, _ = slices.BinarySearch(keys, string(key))
			at--
		case move < 5:
			key := someKey(random)
			steps += " " + string(key)
			k, v = c.Seek(key)
			at, _ = slices.BinarySearch(keys, string(key))
		case move < 9:
			steps += " next"
			k, v = c.Next()
			if at >= 0 {
				at++
			}
		default:
			steps += " prev"
			k, v = c.Prev()
			if at >= 0 {
				at--
			}
		}
		if at >= len(keys) {
			at = -1
		}
		switch {
		case at < 0 && (k != nil || v != nil):
			t.Errorf("%v:%s: %q, want nothing", keys, steps, k)
		case at >= 0 && (string(k) != keys[at] || !bytes.Equal(v, seal(k, []byte(want.is[keys[at]])))):
			t.Errorf("%v:%s: %q with %q, want %q with %q", keys, steps, k, v, keys[at], want.is[keys[at]])
		default:
			continue
		}
		return
	}
}

// TestMergedRefuses compares what a bucket refuses with what bbolt's own does.
func TestMergedRefuses(t *testing.T) {
	s := openWith(t, filepath.Join(t.TempDir(), "s.db"), nil)
	defer s.Close()
	own, err := bolt.Open(filepath.Join(t.TempDir(), "own.db"), 0o600, &bolt.Options{NoSync: true})
	if err != nil {
		t.Fatal(err)
	}
	defer own.Close()
	type bucket interface {
		Put(key, value []byte) error
		Delete(key []byte) error
		SetSequence(n uint64) error
		NextSequence() (uint64, error)
	}
	try := func(b bucket) (errs []error) {
		_, next := b.NextSequence()
		return []error{
			b.Put([]byte("a"), []byte("1")), b.Put(nil, []byte("1")), b.Put([]byte{}, []byte("1")),
			b.Put(make([]byte, bolt.MaxKeySize), []byte("1")), b.Put(make([]byte, bolt.MaxKeySize+1), []byte("1")),
			b.Delete([]byte("a")), b.Delete([]byte("never")), b.SetSequence(7), next,
		}
	}
	for _, writable := range []bool{true, false} {
		var got, want []error
		within := func(tx *boltTx) error {
			return tx.in("test", bucketAdapters, func(b merged) error { got = try(b); return nil })
		}
		if writable {
			err = own.Update(func(tx *bolt.Tx) error {
				b, err := tx.CreateBucket([]byte("b"))
				want = try(b)
				return err
			})
			err = errors.Join(err, s.update(t.Context(), within))
		} else {
			err = own.View(func(tx *bolt.Tx) error { want = try(tx.Bucket([]byte("b"))); return nil })
			err = errors.Join(err, s.View(t.Context(), func(tx Tx) error { return within(tx.(*boltTx)) }))
		}
		if err != nil {
			t.Fatal(err)
		}
		for i := range want {
			if !errors.Is(got[i], want[i]) || (got[i] == nil) != (want[i] == nil) {
				t.Errorf("writable %v, %d: %v, bbolt says %v", writable, i, got[i], want[i])
			}
		}
		if !writable && !errors.Is(got[0], berrors.ErrTxNotWritable) {
			t.Errorf("a View writes: %v", got[0])
		}
	}
}

package bolt_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"go.etcd.io/bbolt"

	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

// content is all that fill puts into a store.
type content struct {
	Households []*planner.Household
	Changes    []store.Change
	Pending    []store.Outgoing
	Seen       int
	Journals   [][]planner.Entry
	Due        []store.Due
}

const damageHouseholds = 3

// read returns all that fill has put into a store.
func read(s store.Store) (c content, err error) {
	err = storetest.Look(context.Background(), s, func(tx store.Snapshot) error {
		for i := range damageHouseholds {
			id := fmt.Sprint("household-", i)
			h, err := tx.Household(id)
			if err != nil {
				return err
			}
			change, err := tx.Change(id, 0)
			if err != nil {
				return err
			}
			journal, err := tx.Entries(id, store.EntryQuery{})
			if err != nil {
				return err
			}
			c.Households, c.Changes, c.Journals = append(c.Households, h), append(c.Changes, change), append(c.Journals, journal)
		}
		for n := range damageHouseholds * store.MaxChanges {
			seen, err := tx.Seen(fmt.Sprint("event-", n))
			if err != nil {
				return err
			}
			if seen {
				c.Seen++
			}
		}
		if c.Due, err = tx.DueBy(at.AddDate(1, 0, 0), 100); err != nil {
			return err
		}
		c.Pending, err = tx.Pending("", 1<<20)
		return err
	})
	return c, err
}

// sound makes a small store and returns its bytes and content.
func sound(t *testing.T) ([]byte, content) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "sound.db")
	fill(t, path, damageHouseholds, bolt.Options{})
	data := fileOf(t, path)
	// The file is larger than what is in it; cutting off the rest loses nothing.
	s := openStore(t, path)
	want, err := read(s)
	if err != nil || want.Seen != damageHouseholds*store.MaxChanges || len(want.Pending) != want.Seen ||
		len(want.Due) != damageHouseholds || len(want.Journals[0]) != store.MaxChanges {
		t.Fatalf("%d events, %d messages, %d due, %v", want.Seen, len(want.Pending), len(want.Due), err)
	}
	return data, want
}

// tryDamaged opens a file with these bytes. It must either hold everything or
// be reported as damaged and left as it is. What lies beyond the file must stay
// unmapped, so that no other store is open meanwhile: these tests run alone.
func tryDamaged(t *testing.T, path string, data []byte, want content) (opened bool) {
	t.Helper()
	must(t, os.WriteFile(path, data, 0o600))
	s, err := bolt.Open(path, bolt.Options{NoSync: true})
	if err == nil {
		defer s.Close()
		got, err := read(s)
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("it opened, and something is lost: %v", err)
		}
		if err := s.Check(); err != nil {
			t.Errorf("it opened, and fails its check: %v", err)
		}
		return true
	}
	wantCode(t, "damaged file", err, store.Damaged)
	after, err := os.ReadFile(path)
	if err != nil || !bytes.Equal(after, data) {
		t.Errorf("the damaged file was changed (%v)", err)
	}
	return false
}

func TestTruncated(t *testing.T) {
	t.Parallel()
	data, want := sound(t)
	path := filepath.Join(t.TempDir(), "s.db")
	page := os.Getpagesize()
	whole := 0
	for size := 0; size <= len(data); size += page {
		for _, n := range []int{size, size + 1, size + page/2} {
			if n <= len(data) && tryDamaged(t, path, data[:n], want) {
				whole++
			} else if whole > 0 && n <= len(data) {
				t.Errorf("%d bytes are damaged though fewer were whole", n)
			}
			if t.Failed() {
				t.Fatalf("cut to %d of %d bytes", n, len(data))
			}
		}
	}
	if whole == 0 {
		t.Error("not even the whole file opened")
	}
}

func TestNotAStore(t *testing.T) {
	path := filepath.Join(t.TempDir(), "s.db")
	noise := make([]byte, 1<<17)
	r := rand.NewChaCha8([32]byte{1})
	r.Read(noise)
	for name, data := range map[string][]byte{
		"of no length": {},
		"text":         []byte("Turkey and heart\n"),
		"zeros":        make([]byte, 1<<17),
		"noise":        noise,
	} {
		if tryDamaged(t, path, data, content{}) {
			t.Errorf("%s opened", name)
		}
	}
	_, err := bolt.Open(t.TempDir(), bolt.Options{})
	wantCode(t, "a directory", err, store.Damaged)
}

// TestAnotherProgramsFile opens a sound bbolt file that is no store.
func TestAnotherProgramsFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "s.db")
	db, err := bbolt.Open(path, 0o600, nil)
	must(t, err)
	err = db.Update(func(tx *bbolt.Tx) error {
		_, err := tx.CreateBucket([]byte("theirs"))
		return err
	})
	must(t, errors.Join(err, db.Close()))
	data := fileOf(t, path)
	if tryDamaged(t, path, data, content{}) {
		t.Error("another program's file opened")
	}
}

// stampSize is how many bytes of a closed file are its stamp.
const stampSize = 1 << 10

// TestDamagedPages overwrites pages, whole and in part, down to one bit, of a
// file that was closed and of one that was not. A page that is not in use may
// hold anything; whatever else goes wrong must be found when the file is
// opened.
func TestDamagedPages(t *testing.T) {
	data, want := sound(t)
	t.Run("closed", func(t *testing.T) { damagePages(t, data, want) })
	t.Run("unclosed", func(t *testing.T) { damagePages(t, data[:len(data)-stampSize], want) })
}

func damagePages(t *testing.T, data []byte, want content) {
	path := filepath.Join(t.TempDir(), "s.db")
	page := os.Getpagesize()
	random := rand.New(rand.NewPCG(1, 1))
	opened, refused := 0, 0
	for at := 0; at+page <= len(data); at += page { // behind them is the stamp
		for _, spoil := range []func([]byte){
			func(p []byte) { clear(p) },
			func(p []byte) { copy(p, data[:page]) },
			func(p []byte) { copy(p, data[5*page:6*page]) },
			func(p []byte) {
				for i := range p[:64] {
					p[i] = byte(random.Uint32())
				}
			},
			func(p []byte) { p[random.IntN(len(p))] ^= 1 << random.IntN(8) },
			func(p []byte) { p[random.IntN(200)] ^= 1 << random.IntN(8) },
			func(p []byte) { p[random.IntN(24)] ^= 1 << random.IntN(8) },
		} {
			spoiled := bytes.Clone(data)
			spoil(spoiled[at : at+page])
			if bytes.Equal(spoiled, data) {
				continue
			}
			// Of both meta pages one is enough, but it is the state before the
			// last transaction.
			if at < 2*page {
				openOldMeta(t, path, spoiled, len(spoiled)%page > 0)
				continue
			}
			if tryDamaged(t, path, spoiled, want) {
				opened++
			} else {
				refused++
			}
			if t.Failed() {
				t.Fatalf("page %d", at/page)
			}
		}
	}
	if refused == 0 {
		t.Error("no damage was found")
	}
	t.Logf("%d refused, %d of unused pages opened", refused, opened)
}

// openOldMeta opens a file one of whose meta pages is spoiled, as a crash
// while it was written leaves it: it is sound with or without the last
// transaction. Of a file that was closed, any damage of it is told.
func openOldMeta(t *testing.T, path string, data []byte, closed bool) {
	t.Helper()
	must(t, os.WriteFile(path, data, 0o600))
	s, err := bolt.Open(path, bolt.Options{NoSync: true})
	if err != nil {
		t.Fatalf("one meta page is sound: %v", err)
	}
	if found := s.Found(); closed && !found.Older && !found.Torn {
		t.Errorf("nothing is told of a damaged meta page: %+v", found)
	}
	checkAndClose(t, s)
}

// TestShortenedWhileOpen cuts the file off under an open store. Nothing may
// crash, and nothing may be written any more.
func TestShortenedWhileOpen(t *testing.T) {
	for _, size := range []int64{0, 1, int64(os.Getpagesize()), 3 * int64(os.Getpagesize()), 20*int64(os.Getpagesize()) + 1} {
		t.Run(fmt.Sprint(size), func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "s.db")
			fill(t, path, damageHouseholds, bolt.Options{NoSync: true})
			s := mustOpen(t, path)
			if _, err := read(s); err != nil {
				t.Fatal(err)
			}
			must(t, os.Truncate(path, size))
			_, err := read(s)
			wantCode(t, "view", err, store.Damaged)
			err = commit(s, event(storetest.Quayside(), 1)...)
			wantCode(t, "update", err, store.Damaged)
			wantCode(t, "check", s.Check(), store.Damaged)
			if err := s.Close(); err != nil {
				t.Errorf("close: %v", err)
			}
			if info, err := os.Stat(path); err != nil || info.Size() != size {
				t.Errorf("the file was changed: %v, %v", info, err)
			}
			_, err = bolt.Open(path, bolt.Options{})
			wantCode(t, "opening again", err, store.Damaged)
		})
	}
}

// TestShortenedWithinTransaction cuts the file off inside a transaction, where
// reading a page that is gone is a memory fault.
func TestShortenedWithinTransaction(t *testing.T) {
	path := filepath.Join(t.TempDir(), "s.db")
	fill(t, path, damageHouseholds, bolt.Options{NoSync: true})
	s := mustOpen(t, path)
	defer s.Close()
	err := storetest.Look(t.Context(), s, func(tx store.Snapshot) error {
		must(t, os.Truncate(path, 2*int64(os.Getpagesize())))
		_, err := tx.Pending("", 1000)
		return err
	})
	wantCode(t, "reading a page that is gone", err, store.Damaged)
	wantCode(t, "update", commit(s), store.Damaged)
}

// TestShortenedBeyondReach cuts off the end of one long record at the end of
// the file, which the transaction that follows does not look at.
func TestShortenedBeyondReach(t *testing.T) {
	path := filepath.Join(t.TempDir(), "s.db")
	fill(t, path, damageHouseholds, bolt.Options{NoSync: true})
	s := mustOpen(t, path)
	defer s.Close()
	long := storetest.Quayside()
	long.Dogs[0].Health = strings.Repeat("x", 1<<20)
	must(t, commit(s, store.PutHousehold{Household: long}))
	// Some more commits to the file, which a check needs up to date, move what
	// is written often to free pages before it.
	join := store.PutMember{Chat: "terminal/Ines", Person: "terminal/Ines", Household: "quayside"}
	for range 5 {
		must(t, errors.Join(commit(s, join), s.Check()))
	}
	info, err := os.Stat(path)
	must(t, err)
	size := info.Size() - 1<<19
	must(t, os.Truncate(path, size))
	wantCode(t, "update", commit(s, join), store.Damaged)
	if info, err = os.Stat(path); err != nil || info.Size() != size {
		t.Errorf("the file was changed: %d bytes, %v, want %d", info.Size(), err, size)
	}
}

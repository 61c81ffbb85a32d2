package schema8

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"errors"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
)

func packed(t testing.TB, name string) []byte {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name+".gz"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	data, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// written is a log of schema 8 as a crash left it, and what is in it.
type written struct {
	data    []byte
	id      uint64
	updates [][]byte // numbered on from first
	first   uint64
	ends    int // of the last, in bytes
}

func readWritten(t testing.TB) written {
	t.Helper()
	w := written{data: packed(t, "crashed.db.redo")}
	w.id = binary.BigEndian.Uint64(w.data[8:])
	s, err := readHalf(w.data, w.id, 0)
	if err != nil || s.n < 20 {
		t.Fatalf("%d updates, %v", s.n, err)
	}
	w.updates, w.first = s.updates, s.first
	w.ends = headSize
	for range s.n {
		f, _ := frameAt(w.data[w.ends:])
		w.ends += f.end
	}
	return w
}

// begins reports that what is read of a log is how it begins, or that it is an
// error; lost is how many of the last updates are not there.
func (w written) begins(t testing.TB, data []byte) (lost int, loud bool) {
	t.Helper()
	s, err := readHalf(data, w.id, 0)
	if err != nil {
		return 0, true
	}
	if len(s.updates) > len(w.updates) || len(s.updates) > 0 && s.first != w.first {
		t.Fatalf("%d updates from %d on are read", len(s.updates), s.first)
	}
	for i, u := range s.updates {
		if !bytes.Equal(u, w.updates[i]) {
			t.Fatalf("update %d is not what was written", i)
		}
	}
	return len(w.updates) - len(s.updates), false
}

// TestLogIsCut reads a log that ends anywhere: what is whole before is read.
func TestLogIsCut(t *testing.T) {
	w := readWritten(t)
	before := len(w.updates)
	for n := range w.ends + 1 {
		lost, loud := w.begins(t, w.data[:n])
		if loud {
			t.Fatalf("cut to %d bytes: damage", n)
		}
		if lost > before {
			t.Fatalf("cut to %d bytes: fewer updates than with less", n)
		}
		before = lost
	}
	if before != 0 {
		t.Errorf("%d updates of the whole are lost", before)
	}
}

// TestLogIsDamaged flips bits: it is noticed wherever something whole follows.
func TestLogIsDamaged(t *testing.T) {
	w := readWritten(t)
	random := rand.New(rand.NewPCG(1, 1))
	silent := 0
	for n := 0; n < w.ends; n += 1 + random.IntN(5) {
		data := bytes.Clone(w.data[:w.ends+1000])
		data[n] ^= 1 << random.IntN(8)
		if lost, loud := w.begins(t, data); !loud {
			if silent++; lost > 2 {
				t.Fatalf("byte %d: %d updates are lost without a word", n, lost)
			}
		}
	}
	if silent > w.ends/4 {
		t.Errorf("%d of %d bytes were not noticed", silent, w.ends)
	}
}

// FuzzLog reads anything without a panic.
func FuzzLog(f *testing.F) {
	w := readWritten(f)
	f.Add(w.data[:4000])
	f.Add(w.data[:60])
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := readHalf(data, w.id, 0)
		if err != nil {
			return
		}
		c := changes{values: map[string]map[string][]byte{}, counters: map[string]uint64{}, last: s.first - 1}
		c.replay(s) // an error is as good
	})
}

// FuzzRecord reads anything as a record without a panic.
func FuzzRecord(f *testing.F) {
	w := readWritten(f)
	c := changes{values: map[string]map[string][]byte{}, counters: map[string]uint64{}, last: w.first - 1}
	if err := c.replay(segment{first: w.first, n: uint64(len(w.updates)), updates: w.updates}); err != nil {
		f.Fatal(err)
	}
	for bucket := range readers {
		for key, value := range c.values[bucket] {
			if value == nil {
				continue
			}
			record, err := sealed(bucket, []byte(key), value)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(bucket, record)
		}
	}
	f.Fuzz(func(t *testing.T, bucket string, record []byte) {
		if _, err := translated(bucket, record); err != nil && !errors.Is(err, ErrDamaged) {
			t.Error(err)
		}
	})
}

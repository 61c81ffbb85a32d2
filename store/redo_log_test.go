package store

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"syscall"
	"testing"
)

// written is a log that was written, and what should be read from it.
type written struct {
	path string
	data []byte // nil: what the file holds
	id   uint64
	half int64
	ends []int64 // where in the file each update ends; they are numbered from 1
	of   []int   // which were written at once
}

// writeLog writes updates to a log, some of them at once, in both halves.
func writeLog(t testing.TB, groups []int) written {
	t.Helper()
	w := written{path: filepath.Join(t.TempDir(), "s.db"), id: 0x1234, half: 2 << 10}
	r := newRedo(w.path, true)
	r.id, r.half = w.id, w.half
	if err := r.create(); err != nil {
		t.Fatal(err)
	}
	number := uint64(0)
	for i, n := range groups {
		if i == len(groups)/2 {
			r.turn()
		}
		buf, first := testGroup(number+1, n), number+1
		number += uint64(n)
		if stop, err := r.append(buf, first, number); stop || err != nil {
			t.Fatal(err)
		}
		at := int64(r.active)*w.half + r.at - int64(len(buf)-headSize)
		for rest := buf[headSize:]; len(rest) > 0; {
			f, _ := frameAt(rest)
			at, rest = at+int64(f.end), rest[f.end:]
			w.ends, w.of = append(w.ends, at), append(w.of, i)
		}
	}
	err := r.close(false)
	if err == nil {
		w.data, err = os.ReadFile(r.path)
	}
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// open reads a log as Open does, and says up to which update. What it holds
// must be what was written up to there.
func (w written) open(t testing.TB, last uint64) (uint64, error) {
	t.Helper()
	r := newRedo(w.path, true)
	r.id, r.half = w.id, w.half
	l := &layer{last: last}
	var err error
	if w.data == nil {
		err = r.recover(l)
	} else {
		var halves [2]segment
		if halves, err = r.read(bytes.NewReader(w.data), int64(len(w.data)), last); err == nil {
			err = r.takeUp(nil, halves, l)
		}
	}
	if err != nil {
		wantCodeOf(t, "a log that does not open", err, Damaged)
		return l.last, err
	}
	if err := r.close(false); err != nil {
		t.Error(err)
	}
	want := layer{}
	for n := last + 1; n <= l.last; n++ {
		want.set(1, &change{fmt.Append(nil, "key-", n%5), fmt.Append(nil, "value-", n)})
		want.counters[7] = counter{n, true}
	}
	if l.last > uint64(len(w.ends)) || l.counters != want.counters {
		t.Errorf("update %d, counters %v", l.last, l.counters)
	}
	for i := range kept {
		n, m := 0, 0
		if want.trees[i] != nil {
			n = want.trees[i].Len()
		}
		if l.trees[i] != nil {
			l.trees[i].Scan(func(c *change) bool {
				m++
				if is, ok := want.get(i, c); !ok || !bytes.Equal(is.value, c.value) {
					t.Errorf("up to update %d: %s is %s", l.last, c.key, c.value)
				}
				return true
			})
		}
		if n != m {
			t.Errorf("up to update %d: %d keys, want %d", l.last, m, n)
		}
	}
	return l.last, nil
}

func TestRedoReads(t *testing.T) {
	w := writeLog(t, []int{1, 3, 2, 1, 4, 1, 1, 2})
	for last := range uint64(len(w.ends)) + 1 {
		if got, err := w.open(t, last); got != uint64(len(w.ends)) || err != nil {
			t.Errorf("from %d: %d, %v", last, got, err)
		}
	}
}

// TestRedoGap ends where the numbers do not go on, whatever wrote them so.
func TestRedoGap(t *testing.T) {
	w := writeLog(t, []int{1, 2})
	w.data = nil
	r := newRedo(w.path, true)
	r.id, r.half = w.id, w.half
	if err := r.recover(&layer{}); err != nil {
		t.Fatal(err)
	}
	r.active, r.at, r.placed = 1, w.ends[2]-w.half, [2]int64{r.half, r.half}
	data, err := os.ReadFile(r.path)
	if err != nil {
		t.Fatal(err)
	}
	f, _ := frameAt(data[w.ends[1]:])
	r.sum, r.last[1] = f.sum, 8
	if _, err := r.append(testGroup(9, 1), 9, 9); err != nil {
		t.Fatal(err)
	}
	if got, err := w.open(t, 0); got != 3 || err != nil {
		t.Errorf("update %d, %v, want 3", got, err)
	}
}

// testGroup is updates as writeLog writes them.
func testGroup(first uint64, n int) (buf []byte) {
	buf = make([]byte, headSize)
	for number := first; number < first+uint64(n); number++ {
		begins := len(buf)
		buf = appendFrame(buf, number)
		buf = appendChange(buf, 1, &change{fmt.Append(nil, "key-", number%5), fmt.Append(nil, "value-", number)})
		buf = appendCounter(buf, 7, number)
		endFrame(buf, begins)
	}
	return buf
}

// TestRedoCut cuts the log at every byte: what lies before the cut is there,
// and nothing else.
func TestRedoCut(t *testing.T) {
	w := writeLog(t, []int{1, 3, 2, 1, 4, 1, 1, 2})
	data := w.data
	for cut := w.ends[len(w.ends)-1]; cut >= 0; cut-- {
		w.data = data[:cut:cut]
		want := uint64(0)
		for i, end := range w.ends {
			if end <= cut {
				want = uint64(i + 1)
			}
		}
		if got, err := w.open(t, 0); got != want || err != nil {
			t.Fatalf("cut at %d: update %d, %v, want %d", cut, got, err, want)
		}
	}
}

// TestRedoFlipped turns every bit of the log over, one after the other. The
// updates before it are there and nothing else, or the damage is noticed; it
// must be where two more were written behind it.
func TestRedoFlipped(t *testing.T) {
	w := writeLog(t, []int{1, 2, 1, 1, 2, 1, 1})
	data, damaged := w.data, 0
	total := uint64(len(w.ends))
	for i := range data[:w.ends[total-1]] {
		for bit := range 8 {
			data[i] ^= 1 << bit
			before, loud := w.hit(int64(i))
			got, err := w.open(t, 0)
			data[i] ^= 1 << bit
			switch {
			case err != nil:
				damaged++
			case loud:
				t.Fatalf("bit %d of byte %d is over, which nobody noticed: update %d", bit, i, got)
			case got != before && got != total: // or nothing reads it
				t.Fatalf("bit %d of byte %d is over: update %d, want %d", bit, i, got, before)
			}
		}
	}
	t.Logf("%d of %d noticed", damaged, 8*w.ends[total-1])
}

// hit says which update is the last before a place in the log, and whether two
// that were not written at once with the next follow in the same half.
func (w written) hit(at int64) (before uint64, loud bool) {
	for i, end := range w.ends {
		if end <= at {
			before = uint64(i + 1)
		}
	}
	half := at / w.half
	for i := int(before) + 2; i < len(w.of); i++ {
		if w.ends[before]/w.half == half && w.ends[i]/w.half == half && w.of[i] != w.of[i-1] {
			loud = true
		}
	}
	return before, loud
}

// TestRedoWriteFails has writes stop in the middle. Nothing of them comes back,
// neither alone nor behind the same updates when they are tried again.
func TestRedoWriteFails(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		w := written{path: filepath.Join(t.TempDir(), "s.db"), id: 7, half: 2 << 10, ends: make([]int64, 100)}
		r := newRedo(w.path, true)
		r.id, r.half = w.id, w.half
		if err := r.create(); err != nil {
			t.Fatal(err)
		}
		last := uint64(0)
		for range 6 {
			n := 1 + random.IntN(4)
			fails := random.IntN(2) == 0
			if fails {
				part := random.IntN(n*60 + headSize)
				r.write = func(f *os.File, b []byte, at int64) (int, error) {
					if allZero(b) {
						return f.WriteAt(b, at)
					}
					n, _ := f.WriteAt(b[:min(part, len(b))], at)
					return n, syscall.ENOSPC
				}
			}
			stop, err := r.append(testGroup(last+1, n), last+1, last+uint64(n))
			r.write = (*os.File).WriteAt
			if stop || errors.Is(err, syscall.ENOSPC) != fails {
				t.Fatalf("%v, %v", stop, err)
			}
			if fails && random.IntN(2) == 0 { // the first of them again, alone
				fails, n = false, 1
				if _, err := r.append(testGroup(last+1, n), last+1, last+1); err != nil {
					t.Fatal(err)
				}
			}
			if !fails {
				last += uint64(n)
			}
			if got, err := w.open(t, 0); got != last && last > 0 || err != nil {
				t.Fatalf("update %d, %v, want %d", got, err, last)
			}
			if last == 0 { // the empty log was taken away
				r.close(false)
				if err := r.create(); err != nil {
					t.Fatal(err)
				}
			}
		}
		r.close(false)
	}
}

func allZero(b []byte) bool { return len(bytes.TrimLeft(b, "\x00")) == 0 }

// TestRedoHalves fills the halves again and again, with updates of one length,
// so that what an earlier use left stands where the next begins.
func TestRedoHalves(t *testing.T) {
	w := written{path: filepath.Join(t.TempDir(), "s.db"), id: 7, half: 512, ends: make([]int64, 1000)}
	r := newRedo(w.path, true)
	r.id, r.half = w.id, w.half
	if err := r.create(); err != nil {
		t.Fatal(err)
	}
	defer r.close(false)
	had := uint64(0) // what the file has
	for n := uint64(101); n < 400; n++ {
		buf := testGroup(n, 1)
		if !r.room(n, len(buf)-headSize) {
			if _, err := r.append(buf, n, n); !errors.Is(err, errNoRoom) {
				t.Fatalf("update %d without room: %v", n, err)
			}
			had = n - 1
			r.free(had)
		}
		if stop, err := r.append(buf, n, n); stop || err != nil {
			t.Fatal(err)
		}
		if got, err := w.open(t, max(had, 100)); got != n || err != nil {
			t.Fatalf("update %d, %v, want %d", got, err, n)
		}
		if n%41 == 0 { // something else took these numbers, and the file has them
			n += 2
			had = n
			r.free(had)
		}
	}
	if _, err := r.append(make([]byte, 600), 400, 400); !errors.Is(err, errNoRoom) {
		t.Errorf("more than a half holds: %v", err)
	}
	if _, err := r.f.ReadAt(make([]byte, 1), 2*w.half); err != io.EOF {
		t.Errorf("something lies behind the log: %v", err)
	}
}

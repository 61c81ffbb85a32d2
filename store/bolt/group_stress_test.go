package bolt

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"

	"bowlwright/store"
)

const (
	stressWriters = 32
	stressEach    = 15
	stressWide    = 30 // notes that always say the same
)

// stress is writers that all change what Views hold against each other.
type stress struct {
	s            *Store
	begun        [stressWriters]atomic.Int64
	acknowledged [stressWriters]atomic.Int64
}

// update is update n of a writer: its own note, a message and how many there
// are, and now and then many notes at once. Some fail.
func (st *stress) update(tx *transaction, writer, n int) error {
	own := fmt.Sprint("writer-", writer)
	if n%10 == 7 {
		for i := range stressWide {
			text := fmt.Appendf(nil, "%d-%d%300d", writer, n, 0)
			if err := tx.write(store.PutAdapter{Chat: fmt.Sprint("wide-", i), Notes: text}); err != nil {
				return err
			}
		}
	}
	number, err := tx.Enqueue(store.Outgoing{Chat: own})
	if err != nil {
		return err
	}
	if n%5 == 3 {
		if err := tx.Delivered(number); err != nil {
			return err
		}
	} else if err := st.count(tx, own); err != nil {
		return err
	}
	if n%6 == 2 {
		return errMine
	}
	return tx.write(store.PutAdapter{Chat: own, Notes: fmt.Append(nil, n)})
}

// count raises the note of how many messages of a chat there are.
func (st *stress) count(tx *transaction, chat string) error {
	n := 0
	text, err := tx.Adapter("count-" + chat)
	if err == nil {
		fmt.Sscan(string(text), &n)
		err = tx.write(store.PutAdapter{Chat: "count-" + chat, Notes: fmt.Append(nil, n+1)})
	}
	return err
}

// look compares what belongs together.
func look(tx *transaction) error {
	wide, err := tx.Adapter("wide-0")
	for i := range stressWide {
		text, failed := tx.Adapter(fmt.Sprint("wide-", i))
		if err = errors.Join(err, failed); string(text) != string(wide) {
			return fmt.Errorf("half an update: note %d says %.9s, the first %.9s", i, text, wide)
		}
	}
	for w := range stressWriters {
		own := fmt.Sprint("writer-", w)
		ms, failed := tx.Pending(own, 10*stressEach)
		n := 0
		text, noted := tx.Adapter("count-" + own)
		fmt.Sscan(string(text), &n)
		if err = errors.Join(err, failed, noted); len(ms) != n {
			return fmt.Errorf("%d messages of %s, and %d were counted", len(ms), own, n)
		}
	}
	return err
}

// want opens a store and looks for the last update of each writer that was
// acknowledged; a later one may be there where it was begun.
func (st *stress) want(t *testing.T, path string, acknowledged, begun [stressWriters]int) {
	t.Helper()
	s := mustOpen(t, path)
	err := s.view("view", func(tx *transaction) error {
		for w := range stressWriters {
			n := 0
			text, err := tx.Adapter(fmt.Sprint("writer-", w))
			if err != nil {
				return err
			}
			fmt.Sscan(string(text), &n)
			if n < acknowledged[w] || n > begun[w] {
				t.Errorf("writer %d: update %d, %d was acknowledged and %d begun", w, n, acknowledged[w], begun[w])
			}
		}
		return look(tx)
	})
	if err := errors.Join(err, s.Check(), s.Close()); err != nil {
		t.Error(err)
	}
}

func loaded(a *[stressWriters]atomic.Int64) (out [stressWriters]int) {
	for i := range a {
		out[i] = int(a[i].Load())
	}
	return out
}

// TestManyAtOnce has many write, and others read, check and copy, both as a
// backup does and as a crash would leave it.
func TestManyAtOnce(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "s.db")
	st := &stress{s: mustOpen(t, path)}
	var writers, others sync.WaitGroup
	for w := range stressWriters {
		writers.Go(func() { st.write(t, w) })
	}
	done, stop := context.WithCancel(t.Context())
	beside := func(f func() error) {
		others.Go(func() {
			for first := true; first || done.Err() == nil; first = false {
				if err := f(); err != nil {
					t.Error(err)
					return
				}
			}
		})
	}
	for range 4 {
		beside(func() error { return st.s.view("view", look) })
	}
	beside(st.s.Check)
	beside(func() error { return st.s.update(t.Context(), look) })
	beside(func() error { return st.backup(t) })
	beside(func() error { st.crash(t, path); return nil })
	writers.Wait()
	stop()
	others.Wait()
	if err := errors.Join(st.s.Check(), st.s.Close()); err != nil {
		t.Error(err)
	}
	st.want(t, path, loaded(&st.acknowledged), loaded(&st.acknowledged))
}

func (st *stress) write(t *testing.T, w int) {
	for n := 1; n <= stressEach; n++ {
		if n%6 != 2 {
			st.begun[w].Store(int64(n))
		}
		err := st.s.update(t.Context(), func(tx *transaction) error { return st.update(tx, w, n) })
		if n%6 == 2 != errors.Is(err, errMine) || n%6 != 2 && err != nil {
			t.Error(err)
			return
		}
		if err == nil {
			st.acknowledged[w].Store(int64(n))
		}
	}
}

// backup takes a copy, which must hold all that was acknowledged before.
func (st *stress) backup(t *testing.T) error {
	acknowledged := loaded(&st.acknowledged)
	path := filepath.Join(t.TempDir(), "copy.db")
	f, err := os.Create(path)
	if err == nil {
		err = errors.Join(st.s.Backup(t.Context(), f), f.Close(), verified(path))
	}
	if err == nil {
		st.want(t, path, acknowledged, loaded(&st.begun))
	}
	return err
}

// crash copies what is there while nobody commits.
func (st *stress) crash(t *testing.T, path string) {
	acknowledged := loaded(&st.acknowledged)
	st.s.writer.enter()
	is := fileOf(t, path)
	st.s.writer.leave()
	st.want(t, placed(t, is), acknowledged, loaded(&st.begun))
}

// TestCloseWhileWriting closes a store while many write. Whoever was told that
// an update is kept finds it; the others are told that the store is closed.
func TestCloseWhileWriting(t *testing.T) {
	for round := range 6 {
		path := filepath.Join(t.TempDir(), "s.db")
		s := mustOpen(t, path)
		var wg sync.WaitGroup
		var kept [stressWriters]int
		going := make(chan struct{}, stressWriters)
		for w := range stressWriters {
			wg.Go(func() {
				for n := 1; ; n++ {
					err := s.update(t.Context(), setNote(fmt.Sprint("writer-", w), fmt.Sprint(n)))
					if err != nil {
						wantCode(t, "a store that is closed", err, store.Internal)
						return
					}
					if kept[w] = n; n == round {
						going <- struct{}{}
					}
				}
			})
		}
		for range min(round, 1) * stressWriters {
			<-going
		}
		if err := s.Close(); err != nil {
			t.Error(err)
		}
		wg.Wait()
		s = mustOpen(t, path)
		if s.Found().Unclosed {
			t.Error("it was not closed")
		}
		err := s.view("view", func(tx *transaction) error {
			for w, n := range kept {
				is, err := tx.Adapter(fmt.Sprint("writer-", w))
				if err != nil || n > 0 && string(is) != fmt.Sprint(n) {
					t.Errorf("writer %d: %q, %v, want %d", w, is, err, n)
				}
			}
			return nil
		})
		if err := errors.Join(err, s.Check(), s.Close()); err != nil {
			t.Error(err)
		}
	}
}

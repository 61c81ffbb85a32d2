package store

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"

	bolt "go.etcd.io/bbolt"
)

const (
	stressWriters = 32
	stressEach    = 25
	stressWide    = 30 // notes that always say the same
)

// stress is writers that all change what Views hold against each other.
type stress struct {
	s            *Bolt
	begun        [stressWriters]atomic.Int64
	acknowledged [stressWriters]atomic.Int64
	turns        atomic.Int64 // writes that began a half
	large        atomic.Int64 // updates that no half holds
	commits      atomic.Int64
}

func (st *stress) prepare(s *Bolt) {
	small(s)
	write, finish := s.log.write, s.finish
	s.log.write = func(f *os.File, b []byte, at int64) (int, error) {
		if at%s.log.half == 0 && !allZero(b) {
			st.turns.Add(1)
		}
		return write(f, b, at)
	}
	s.finish = func(tx *bolt.Tx) error { st.commits.Add(1); return finish(tx) }
}

var errMine = errors.New("mine")

// update is update n of a writer: its own note, a message and how many there
// are, or now and then what is too large for the log. Some fail.
func (st *stress) update(tx Tx, writer, n int) error {
	own := fmt.Sprint("writer-", writer)
	if n%10 == 7 {
		st.large.Add(1)
		for i := range stressWide {
			text := fmt.Appendf(nil, "%d-%d%300d", writer, n, 0)
			if err := tx.PutAdapter(fmt.Sprint("wide-", i), text); err != nil {
				return err
			}
		}
	}
	number, err := tx.Enqueue(Outgoing{Chat: own})
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
	return tx.PutAdapter(own, fmt.Append(nil, n))
}

// count raises the note of how many messages of a chat there are.
func (st *stress) count(tx Tx, chat string) error {
	n := 0
	text, err := tx.Adapter("count-" + chat)
	if err == nil {
		fmt.Sscan(string(text), &n)
		err = tx.PutAdapter("count-"+chat, fmt.Append(nil, n+1))
	}
	return err
}

// look compares what belongs together.
func look(tx Tx) error {
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
	s := openWith(t, path, small)
	err := s.View(t.Context(), func(tx Tx) error {
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

// TestManyAtOnce has many write, and others read, copy and check, while the log
// is full again and again and some updates do not fit in it at all.
func TestManyAtOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), "s.db")
	st := &stress{}
	st.s = openWith(t, path, st.prepare)
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
		beside(func() error { return st.s.View(t.Context(), look) })
	}
	beside(st.s.Check)
	beside(func() error { return st.s.Update(t.Context(), look) })
	beside(func() error { return st.backup(t) })
	beside(func() error { st.crash(t, path); return nil })
	writers.Wait()
	stop()
	others.Wait()
	if err := errors.Join(st.s.Check(), st.s.Close()); err != nil {
		t.Error(err)
	}
	st.want(t, path, loaded(&st.acknowledged), loaded(&st.acknowledged))
	t.Logf("%d halves begun, %d updates too large, %d commits to the file", st.turns.Load(), st.large.Load(), st.commits.Load())
	if st.turns.Load() < 10 || st.large.Load() < 20 {
		t.Error("that was too little to say anything")
	}
}

func (st *stress) write(t *testing.T, w int) {
	for n := 1; n <= stressEach; n++ {
		if n%6 != 2 {
			st.begun[w].Store(int64(n))
		}
		err := st.s.Update(t.Context(), func(tx Tx) error { return st.update(tx, w, n) })
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
		err = errors.Join(st.s.Backup(t.Context(), f), f.Close(), Verify(path))
	}
	if err == nil {
		st.want(t, path, acknowledged, loaded(&st.begun))
	}
	return err
}

// crash copies what is there while nobody writes.
func (st *stress) crash(t *testing.T, path string) {
	acknowledged := loaded(&st.acknowledged)
	st.s.disk.enter()
	st.s.folds.enter()
	is := copyOf(t, path)
	st.s.folds.leave()
	st.s.disk.leave()
	st.want(t, is.place(t), acknowledged, loaded(&st.begun))
}

// TestCloseWhileWriting closes a store while many write. Whoever was told that
// an update is kept finds it; the others are told that the store is closed.
func TestCloseWhileWriting(t *testing.T) {
	for round := range 10 {
		path := filepath.Join(t.TempDir(), "s.db")
		s := openWith(t, path, small)
		var wg sync.WaitGroup
		var kept [stressWriters]int
		going := make(chan struct{}, stressWriters)
		for w := range stressWriters {
			wg.Go(func() {
				for n := 1; ; n++ {
					err := s.Update(t.Context(), func(tx Tx) error {
						return tx.PutAdapter(fmt.Sprint("writer-", w), fmt.Append(nil, n))
					})
					if err != nil {
						wantCodeOf(t, "a store that is closed", err, Internal)
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
		if there(path + redoSuffix) {
			t.Error("a log is there after Close")
		}
		s = openWith(t, path, small)
		err := s.View(t.Context(), func(tx Tx) error {
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

// TestNothingWritten has updates that write nothing among others that do: they
// wait for what they may have read, and take no room in the log.
func TestNothingWritten(t *testing.T) {
	s := openWith(t, filepath.Join(t.TempDir(), "s.db"), small)
	defer s.Close()
	note := func(text string) func(Tx) error {
		return func(tx Tx) error { return tx.PutAdapter("a", []byte(text)) }
	}
	if err := s.Update(t.Context(), note("1")); err != nil {
		t.Fatal(err)
	}
	at, last := s.log.at, s.working.last
	for range 100 {
		if err := s.Update(t.Context(), func(Tx) error { return nil }); err != nil {
			t.Fatal(err)
		}
	}
	if s.log.at != at || s.working.last != last {
		t.Errorf("they took %d bytes and %d numbers", s.log.at-at, s.working.last-last)
	}
	// What is read of a group that fails is never acknowledged.
	write := s.log.write
	s.log.write = func(*os.File, []byte, int64) (int, error) { return 0, errNoSpace }
	s.disk.enter()
	errs := make(chan error, 5)
	update := func(f func(Tx) error) {
		joined := make(chan struct{})
		go func() {
			errs <- s.Update(context.Background(), func(tx Tx) error { defer close(joined); return f(tx) })
		}()
		<-joined
		s.writer.enter()
		s.writer.leave()
	}
	update(note("2"))
	update(func(tx Tx) error {
		if text, err := tx.Adapter("a"); string(text) != "2" || err != nil {
			t.Errorf("an update sees %q, %v", text, err)
		}
		return nil
	})
	update(func(tx Tx) error { return errMine }) // perhaps for what it has seen
	if got := readNotes(t, s)["a"]; got != "1" {
		t.Errorf("a View sees %q, which is not durable", got)
	}
	s.disk.leave()
	for range 3 {
		wantCodeOf(t, "one that waited for it", <-errs, Full)
	}
	s.log.write = write
	if err := s.Update(t.Context(), func(Tx) error { return nil }); err != nil {
		t.Error(err)
	}
	if got := readNotes(t, s)["a"]; got != "1" {
		t.Errorf("a View sees %q afterwards", got)
	}
	// An error of its own comes when a View sees what it has seen.
	s.disk.enter()
	update(note("3"))
	update(func(tx Tx) error { return errMine })
	if got := readNotes(t, s)["a"]; got != "1" || len(errs) > 0 {
		t.Errorf("a View sees %q, which is not durable", got)
	}
	s.disk.leave()
	if one, other := <-errs, <-errs; one != nil && other != nil || !errors.Is(errors.Join(one, other), errMine) {
		t.Errorf("%v and %v", one, other)
	}
	if got := readNotes(t, s)["a"]; got != "3" {
		t.Errorf("a View sees %q, which is durable", got)
	}
}

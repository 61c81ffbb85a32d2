package store

import (
	"errors"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"

	bolt "go.etcd.io/bbolt"
)

// failing is a disk that fails now and then.
type failing struct {
	often atomic.Int64 // one in so many; 0: never

	mu     sync.Mutex
	random *rand.Rand
	failed map[string]int
}

// fails decides whether something fails this time.
func (d *failing) fails(what string, rare int) bool {
	often := int(d.often.Load())
	d.mu.Lock()
	defer d.mu.Unlock()
	if often == 0 || d.random.IntN(often*rare) > 0 {
		return false
	}
	d.failed[what]++
	return true
}

func (d *failing) part(of int) int {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.random.IntN(of + 1)
}

func (d *failing) prepare(s *Bolt) {
	small(s)
	s.log.noSync = false
	s.log.sync = func(*os.File) error {
		if d.fails("sync", 12) {
			return syscall.EIO
		}
		return nil
	}
	s.log.write = func(f *os.File, b []byte, at int64) (int, error) {
		switch {
		case d.fails("write", 2):
			return 0, syscall.ENOSPC
		case d.fails("part of a write", 2):
			n, _ := f.WriteAt(b[:d.part(len(b))], at)
			return n, syscall.ENOSPC
		}
		return f.WriteAt(b, at)
	}
	s.finish = func(tx *bolt.Tx) error {
		switch {
		case d.fails("commit", 1):
			return errors.Join(tx.Rollback(), syscall.ENOSPC)
		case d.fails("end of a commit", 3):
			return errors.Join(tx.Commit(), syscall.EIO)
		}
		return tx.Commit()
	}
}

// grouped makes updates that wait for the log together and returns what
// each of them was told.
func grouped(t *testing.T, s *Bolt, n int, f func(i int, tx Tx) error) []error {
	t.Helper()
	errs := make([]error, n)
	var wg sync.WaitGroup
	s.disk.enter()
	for i := range n {
		begun := make(chan struct{})
		wg.Go(func() {
			defer func() {
				select {
				case <-begun:
				default:
					close(begun) // the store has stopped
				}
			}()
			errs[i] = s.Update(t.Context(), func(tx Tx) error { defer close(begun); return f(i, tx) })
		})
		<-begun
		s.writer.enter()
		s.writer.leave()
	}
	s.disk.leave()
	wg.Wait()
	return errs
}

// TestFailingDisk lets the disk fail at random. An update that returned an
// error is not there, one that returned nil is, also in what a crash would
// leave; only where the store has stopped nobody can tell before it is opened
// again.
func TestFailingDisk(t *testing.T) {
	all := map[string]int{}
	for seed := range uint64(10) {
		path := filepath.Join(t.TempDir(), "s.db")
		openWith(t, path, nil).Close()
		random := rand.New(rand.NewPCG(seed, 4))
		d := &failing{random: rand.New(rand.NewPCG(seed, 5)), failed: all}
		s := openWith(t, path, d.prepare)
		states := []notes{{}}
		for range 150 {
			d.often.Store(int64(1 + random.IntN(8)))
			next := states
			var changes []func(Tx) error
			n := 1 + random.IntN(3)
			for range n {
				is, change := next[len(next)-1].random(random, len(next))
				next, changes = append(next, is), append(changes, change)
			}
			errs := grouped(t, s, n, func(i int, tx Tx) error { return changes[i](tx) })
			for _, err := range errs[1:] {
				if (err == nil) != (errs[0] == nil) {
					t.Fatalf("of one group: %v", errs)
				}
			}
			if errs[0] == nil {
				states = next
			}
			d.often.Store(0)
			s.folds.enter() // whoever writes the file beside the updates has done so
			s.folds.leave()
			if s.stopped.Load() == nil {
				wantNow(t, s, states)
				if random.IntN(8) > 0 {
					continue
				}
			}
			// On after Close, during which the disk fails too, or after a crash.
			stopped := s.stopped.Load() != nil
			is := copyOfSettled(t, s, path)
			d.often.Store(int64(random.IntN(3)))
			if err := s.Close(); err != nil {
				t.Fatal(err)
			}
			if d.often.Store(0); random.IntN(2) == 0 {
				is.to(t, path)
			}
			s = openWith(t, path, d.prepare)
			if got := readNotes(t, s).number(); stopped && got >= len(states) && got < len(next) {
				states = next[:got+1]
			}
			wantNow(t, s, states)
			if err := s.Check(); err != nil || t.Failed() {
				t.Fatalf("seed %d: %v", seed, err)
			}
		}
		if err := errors.Join(s.Check(), s.Close()); err != nil {
			t.Error(err)
		}
	}
	t.Log(all)
	for _, what := range []string{"write", "part of a write", "sync", "commit", "end of a commit"} {
		if all[what] < 5 {
			t.Errorf("%s failed %d times only", what, all[what])
		}
	}
}

// copyOfSettled copies the files while nobody writes to them.
func copyOfSettled(t *testing.T, s *Bolt, path string) twoFiles {
	s.disk.enter()
	defer s.disk.leave()
	s.folds.enter()
	defer s.folds.leave()
	return copyOf(t, path)
}

// wantNow compares what Views see with the last state.
func wantNow(t *testing.T, s *Bolt, states []notes) {
	t.Helper()
	if got := readNotes(t, s); !maps.Equal(got, states[len(states)-1]) {
		t.Fatalf("update %d, want %d:\n%q\n%q", got.number(), len(states)-1, got, states[len(states)-1])
	}
}

// TestLogFillsUp has a file that cannot be written while the log still can,
// until that is full too, after Open again, and until there is space.
func TestLogFillsUp(t *testing.T) {
	path := filepath.Join(t.TempDir(), "s.db")
	openWith(t, path, nil).Close()
	random := rand.New(rand.NewPCG(1, 6))
	states, full := []notes{{}}, false
	prepare := func(s *Bolt) {
		small(s)
		s.finish = func(tx *bolt.Tx) error {
			if full {
				return errors.Join(tx.Rollback(), syscall.ENOSPC)
			}
			return tx.Commit()
		}
	}
	update := func(s *Bolt) error {
		next, change := states[len(states)-1].random(random, len(states))
		err := s.Update(t.Context(), change)
		if err == nil {
			states = append(states, next)
		}
		return err
	}
	s := openWith(t, path, prepare)
	for range 5 {
		// The first makes the log, and the file names it.
		if err := update(s); err != nil {
			t.Fatal(err)
		}
		s.folds.enter() // whoever writes the file has done so
		full = true
		s.folds.leave()
		before := len(states)
		var err error
		for range 1000 {
			if err = update(s); err != nil {
				break
			}
		}
		wantCodeOf(t, "a full log", err, Full)
		if len(states) < before+5 {
			t.Errorf("the log was full after %d updates", len(states)-before)
		}
		wantNow(t, s, states)
		if err := s.Check(); err != nil {
			t.Error(err)
		}
		wantCodeOf(t, "a backup", s.Backup(t.Context(), nil), Full)
		if err := s.Close(); err != nil {
			t.Error(err)
		}
		// It opens though there is no space, and is read.
		s = openWith(t, path, prepare)
		wantNow(t, s, states)
		wantCodeOf(t, "a full log after Open", update(s), Full)
		wantNow(t, s, states)
		if err := s.Check(); err != nil {
			t.Error(err)
		}
		s.folds.enter()
		full = false
		s.folds.leave()
		for range 20 {
			if err := update(s); err != nil {
				t.Fatal(err)
			}
		}
		wantNow(t, s, states)
	}
	if err := errors.Join(s.Check(), s.Close()); err != nil {
		t.Error(err)
	}
	if there(path + redoSuffix) {
		t.Error("a log is there after Close")
	}
}

// TestGroupFails has every update of a group fail with the log, and those that
// built on it while it was being written.
func TestGroupFails(t *testing.T) {
	path := filepath.Join(t.TempDir(), "s.db")
	s := openWith(t, path, small)
	defer s.Close()
	if err := s.Update(t.Context(), func(tx Tx) error { return tx.PutAdapter("a", []byte("0")) }); err != nil {
		t.Fatal(err)
	}
	entered, on := make(chan struct{}), make(chan struct{})
	s.log.write = func(*os.File, []byte, int64) (int, error) {
		entered <- struct{}{}
		<-on
		return 0, syscall.ENOSPC
	}
	errs := make(chan error)
	add := func(then func()) {
		go func() {
			errs <- s.Update(t.Context(), func(tx Tx) error {
				text, err := tx.Adapter("a")
				defer then()
				return errors.Join(err, tx.PutAdapter("a", append(text, '+')))
			})
		}()
	}
	add(func() {})
	<-entered
	joined := make(chan struct{}, 3)
	for range 3 {
		add(func() { joined <- struct{}{} })
	}
	for range 3 {
		<-joined
	}
	s.writer.enter()
	s.writer.leave()
	close(on)
	for range 4 {
		wantCodeOf(t, "one of the group", <-errs, Full)
	}
	if got := readNotes(t, s)["a"]; got != "0" {
		t.Errorf("%q is seen", got)
	}
	s.log.write = (*os.File).WriteAt
	add(func() {})
	if err := <-errs; err != nil {
		t.Error(err)
	}
	if got := readNotes(t, s)["a"]; got != "0+" {
		t.Errorf("%q is seen", got)
	}
}

// TestCheckWithoutSpace looks at what the file lacks too.
func TestCheckWithoutSpace(t *testing.T) {
	s := openWith(t, filepath.Join(t.TempDir(), "s.db"), nil)
	defer s.Close()
	if err := s.Update(t.Context(), note("a", "1")); err != nil {
		t.Fatal(err)
	}
	s.finish = func(tx *bolt.Tx) error { return errors.Join(tx.Rollback(), syscall.ENOSPC) }
	if err := s.Check(); err != nil {
		t.Error(err)
	}
	err := s.update(t.Context(), func(tx *boltTx) error {
		return tx.put("test", bucketDueAt, dueKey(latestTime, "nobody"), nil)
	})
	if err != nil {
		t.Fatal(err)
	}
	wantCodeOf(t, "a household that is not there", s.Check(), Damaged)
}

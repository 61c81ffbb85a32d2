package bolt

import (
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"testing/synctest"

	"go.etcd.io/bbolt"

	"bowlwright/store"
)

var errMine = errors.New("mine")

// failing is a disk that fails now and then.
type failing struct {
	often  int // one commit in so many; 0: never
	random *rand.Rand
	failed map[string]int
}

func (d *failing) fails(what string, rare int) bool {
	if d.often == 0 || d.random.IntN(d.often*rare) > 0 {
		return false
	}
	d.failed[what]++
	return true
}

func (d *failing) finish(tx *bbolt.Tx) error {
	switch {
	case d.fails("commit", 1):
		return errors.Join(tx.Rollback(), syscall.ENOSPC)
	case d.fails("end of a commit", 3):
		return errors.Join(tx.Commit(), syscall.EIO)
	}
	return tx.Commit()
}

// TestFailingDisk lets the disk fail at random, and some updates of a group
// after they wrote. An update that returned an error is not there, one that
// returned nil is, also in what a crash would leave; only where the store has
// stopped nobody can tell before it is opened again.
func TestFailingDisk(t *testing.T) {
	all := map[string]int{}
	for seed := range uint64(8) {
		synctest.Test(t, func(t *testing.T) { failingDisk(t, seed, all) })
	}
	t.Log(all)
	for _, what := range []string{"update", "commit", "end of a commit"} {
		if all[what] < 5 {
			t.Errorf("%s failed %d times only", what, all[what])
		}
	}
}

func failingDisk(t *testing.T, seed uint64, all map[string]int) {
	path := filepath.Join(t.TempDir(), "s.db")
	random := rand.New(rand.NewPCG(seed, 4))
	d := &failing{random: rand.New(rand.NewPCG(seed, 5)), failed: all}
	s := openWith(t, path, d.finish)
	states := []notes{{}}
	for range 120 {
		d.often = 1 + random.IntN(8)
		next := states
		var changes []func(*transaction) error
		var mine []bool
		for range 1 + random.IntN(4) {
			is, change := next[len(next)-1].random(random, len(next))
			fails := random.IntN(4) == 0
			if changes, mine = append(changes, change), append(mine, fails); !fails {
				next = append(next, is)
			}
		}
		errs := grouped(t, s, len(changes), func(i int, tx *transaction) error {
			err := changes[i](tx)
			if err == nil && mine[i] {
				all["update"]++
				err = errMine
			}
			return err
		})
		kept := true
		for i, err := range errs {
			if kept = errors.Is(err, errMine) || err == nil; kept && errors.Is(err, errMine) != mine[i] {
				t.Fatalf("update %d of %v: %v", i, mine, err)
			}
			if !kept && !isFull(err) && !errors.Is(err, syscall.EIO) {
				t.Fatal(err)
			}
		}
		if kept {
			states = next
		}
		d.often = 0
		stopped := s.stopped.Load() != nil
		if !stopped {
			wantNow(t, s, states)
			if random.IntN(8) > 0 {
				continue
			}
		}
		// On after Close, during which the disk fails too, or after a crash.
		crashed := fileOf(t, path)
		d.often = random.IntN(3)
		must(t, s.Close())
		if d.often = 0; random.IntN(2) == 0 {
			must(t, os.WriteFile(path, crashed, 0o600))
		}
		s = openWith(t, path, d.finish)
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

func setNote(chat, text string) func(*transaction) error {
	return func(tx *transaction) error { return tx.write(store.PutAdapter{Chat: chat, Notes: []byte(text)}) }
}

// TestGroupFails has every update of a group fail with its commit, also one
// that wrote nothing and one that has an error of its own: both may rest on
// what never was.
func TestGroupFails(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := mustOpen(t, filepath.Join(t.TempDir(), "s.db"))
		defer s.Close()
		must(t, s.update(t.Context(), setNote("a", "1")))
		commits := 0
		s.finish = func(tx *bbolt.Tx) error {
			commits++
			return errors.Join(tx.Rollback(), syscall.ENOSPC)
		}
		updates := func(i int, tx *transaction) error {
			text, err := tx.Adapter("a")
			if err != nil || i > 0 && string(text) != "2" {
				t.Errorf("update %d sees %q, %v", i, text, err)
			}
			switch i {
			case 0:
				return tx.write(store.PutAdapter{Chat: "a", Notes: []byte("2")})
			case 1:
				return nil
			}
			return errMine
		}
		for i, err := range grouped(t, s, 3, updates) {
			if !isFull(err) {
				t.Errorf("update %d: %v", i, err)
			}
		}
		seen := func(want string) {
			t.Helper()
			must(t, s.view("view", func(tx *transaction) error {
				if text, err := tx.Adapter("a"); string(text) != want {
					t.Errorf("%q is seen, %v, want %q", text, err, want)
				}
				return nil
			}))
		}
		seen("1")
		s.finish = func(tx *bbolt.Tx) error { commits++; return tx.Commit() }
		if errs := grouped(t, s, 3, updates); errs[0] != nil || errs[1] != nil || !errors.Is(errs[2], errMine) {
			t.Errorf("%v", errs)
		}
		seen("2")
		if commits != 2 {
			t.Errorf("%d commits for two groups", commits)
		}
		// Those that write nothing cost none.
		for range 10 {
			err := s.update(t.Context(), func(*transaction) error { return nil })
			failed := s.update(t.Context(), func(tx *transaction) error {
				return errors.Join(tx.write(store.PutAdapter{Chat: "a", Notes: nil}), errMine)
			})
			if err != nil || !errors.Is(failed, errMine) {
				t.Error(err, failed)
			}
		}
		if seen("2"); commits != 2 {
			t.Errorf("%d commits for nothing", commits-2)
		}
	})
}

// TestGroupPanics has one update of a group panic, the first of it too: the
// others are kept.
func TestGroupPanics(t *testing.T) {
	for which := range 3 {
		synctest.Test(t, func(t *testing.T) {
			s := mustOpen(t, filepath.Join(t.TempDir(), "s.db"))
			note := func(i int) string { return string(rune('a' + i)) }
			for i, err := range grouped(t, s, 3, func(i int, tx *transaction) error {
				err := tx.write(store.PutAdapter{Chat: note(i), Notes: []byte("+")})
				if i == which {
					panic("mine")
				}
				return err
			}) {
				if (err != nil) != (i == which) {
					t.Errorf("%d panics, update %d: %v", which, i, err)
				}
			}
			must(t, s.view("view", func(tx *transaction) error {
				for i := range 3 {
					if text, err := tx.Adapter(note(i)); err != nil || (text == nil) != (i == which) {
						t.Errorf("%d panicked, and of %d there is %q, %v", which, i, text, err)
					}
				}
				return nil
			}))
			must(t, errors.Join(s.Check(), s.Close()))
		})
	}
}

func isFull(err error) bool { return isCode(err, store.Full) }

package bolt_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

func TestOpenMakesItsPlace(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "a", "b")
	path := filepath.Join(dir, "s.db")
	s := openStore(t, path)
	if s.Path() != path {
		t.Errorf("path %s, want %s", s.Path(), path)
	}
	for name, want := range map[string]fs.FileMode{dir: fs.ModeDir | 0o700, filepath.Dir(dir): fs.ModeDir | 0o700, path: 0o600} {
		info, err := os.Stat(name)
		if err != nil || info.Mode() != want {
			t.Errorf("%s: %v, %v, want mode %v", name, info.Mode(), err, want)
		}
	}
	if left, err := filepath.Glob(filepath.Join(dir, "*")); len(left) != 1 || err != nil {
		t.Errorf("the directory holds %v", left)
	}
}

// TestLeftBehind makes a store where a creation that crashed has left half a
// file behind.
func TestLeftBehind(t *testing.T) {
	path := filepath.Join(t.TempDir(), "s.db")
	must(t, os.WriteFile(path+".new", []byte("half a store"), 0o600))
	openStore(t, path)
	if _, err := os.Stat(path + ".new"); !os.IsNotExist(err) {
		t.Errorf("it is still there: %v", err)
	}
}

func TestBusy(t *testing.T) {
	path := filepath.Join(t.TempDir(), "s.db")
	s, err := bolt.Open(path, bolt.Options{})
	must(t, err)
	before := time.Now()
	_, err = bolt.Open(path, bolt.Options{Timeout: 30 * time.Millisecond})
	wantCode(t, "a store that is open", err, store.Busy)
	if waited := time.Since(before); waited < 30*time.Millisecond {
		t.Errorf("it waited only %v", waited)
	}
	// Whoever waits long enough gets it.
	opened := make(chan error)
	go func() {
		s, err := bolt.Open(path, bolt.Options{Timeout: time.Minute})
		if err == nil {
			err = s.Close()
		}
		opened <- err
	}()
	if err := s.Close(); err != nil {
		t.Error(err)
	}
	if err := <-opened; err != nil {
		t.Error(err)
	}
}

// TestReplacedWhileWaiting moves another file into the place of a store that
// is waited for, as restoring a backup does. Whoever waited must not get the
// file that is gone.
func TestReplacedWhileWaiting(t *testing.T) {
	const waiters = 8
	path := filepath.Join(t.TempDir(), "s.db")
	fill(t, path+".backup", 1, bolt.Options{NoSync: true})
	s := mustOpen(t, path)
	var waiting, done sync.WaitGroup
	for range waiters {
		waiting.Add(1)
		done.Go(func() {
			waiting.Done()
			s, err := bolt.Open(path, bolt.Options{Timeout: time.Minute, NoSync: true})
			if err != nil {
				t.Error(err)
				return
			}
			defer s.Close()
			err = storetest.Look(t.Context(), s, func(tx store.Snapshot) error {
				_, err := tx.Household("household-0")
				return err
			})
			if err != nil {
				t.Errorf("not the file that is there now: %v", err)
			}
		})
	}
	waiting.Wait()
	// One that is refused has had the file open; the others began before it.
	_, err := bolt.Open(path, bolt.Options{Timeout: time.Millisecond})
	wantCode(t, "a store that is open", err, store.Busy)
	must(t, os.Rename(path+".backup", path))
	if err := s.Close(); err != nil {
		t.Error(err)
	}
	done.Wait()
}

// TestCreatedOnce lets many make the same store at once; each puts a message
// into it in turn, and all of them are there.
func TestCreatedOnce(t *testing.T) {
	const creators = 12
	path := filepath.Join(t.TempDir(), "s.db")
	var wg sync.WaitGroup
	for range creators {
		wg.Go(func() {
			s, err := bolt.Open(path, bolt.Options{Timeout: time.Minute, NoSync: true})
			if err != nil {
				t.Error(err)
				return
			}
			defer s.Close()
			if err := commit(s, store.Enqueue{Chat: "terminal/Ines"}); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	s := openStore(t, path)
	must(t, storetest.Look(t.Context(), s, func(tx store.Snapshot) error {
		ms, err := tx.Pending("", 2*creators)
		if len(ms) != creators {
			t.Errorf("%d of %d messages are there", len(ms), creators)
		}
		return err
	}))
}

// TestErrorsHoldNoContent looks for what a carer typed in errors about it.
func TestErrorsHoldNoContent(t *testing.T) {
	s := openStore(t, filepath.Join(t.TempDir(), "s.db"))
	h := storetest.Quayside()
	h.Dogs[0].Health = "SECRET"
	h.Dogs[1].Weight /= 0
	err := commit(s, store.PutHousehold{Household: h})
	wantCode(t, "an infinite weight", err, store.Internal)
	if strings.Contains(err.Error(), "SECRET") || !strings.Contains(err.Error(), "put household") {
		t.Errorf("%v", err)
	}
}

package store

import (
	"errors"
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	bolt "go.etcd.io/bbolt"
)

// TestFoldLater brings the file up to date when a while has passed, also where
// somebody else reads it then, or it could not be written at first.
func TestFoldLater(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		path := filepath.Join(t.TempDir(), "s.db")
		full := false
		s := openWith(t, path, func(s *Bolt) {
			s.finish = func(tx *bolt.Tx) error {
				if full {
					return errors.Join(tx.Rollback(), errNoSpace)
				}
				return tx.Commit()
			}
		})
		update := func() {
			t.Helper()
			if err := s.Update(t.Context(), func(tx Tx) error { return tx.PutAdapter("a", []byte("b")) }); err != nil {
				t.Fatal(err)
			}
		}
		wait := func(want uint64) {
			t.Helper()
			time.Sleep(foldAfter)
			synctest.Wait()
			if got := s.folded.Load(); got != want {
				t.Errorf("the file has update %d, want %d", got, want)
			}
		}
		update()
		time.Sleep(foldAfter - 1)
		synctest.Wait()
		if got := s.folded.Load(); got != 0 {
			t.Errorf("the file has update %d already", got)
		}
		update()
		wait(2)
		s.folds.enter()
		update()
		wait(2)
		s.folds.leave()
		wait(3)
		full = true
		update()
		wait(3)
		full = false
		update()
		wait(5)
		update()
		if err := errors.Join(s.Check(), s.Close()); err != nil {
			t.Error(err)
		}
		time.Sleep(2 * foldAfter) // what was planned does not touch a closed store
		synctest.Wait()
		wantUpdates(t, path, 6)
	})
}

func wantUpdates(t *testing.T, path string, want uint64) {
	t.Helper()
	s := openWith(t, path, nil)
	if s.seen().last != want {
		t.Errorf("update %d is the last, want %d", s.seen().last, want)
	}
	if err := s.Close(); err != nil {
		t.Error(err)
	}
}

// TestCloseAtTheTime closes a store in the moment at which the file would be
// brought up to date.
func TestCloseAtTheTime(t *testing.T) {
	for range 20 {
		synctest.Test(t, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "s.db")
			s := openWith(t, path, small)
			err := s.Update(t.Context(), func(tx Tx) error { return tx.PutAdapter("a", []byte("b")) })
			if err != nil {
				t.Fatal(err)
			}
			time.Sleep(foldAfter)
			if err := s.Close(); err != nil {
				t.Error(err)
			}
			synctest.Wait()
			if there(path + redoSuffix) {
				t.Error("a log is there after Close")
			}
			wantUpdates(t, path, 1)
		})
	}
}

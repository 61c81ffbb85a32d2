package bolt

import (
	"context"
	"errors"
	"path/filepath"
	"syscall"
	"testing"

	"go.etcd.io/bbolt"

	"bowlwright/store"
)

// TestLastStepFails lets the disk report a failure after everything was
// written. Whether it lasts is not known then, so the store must neither show it
// nor go on; after opening it again it is either there or not.
func TestLastStepFails(t *testing.T) {
	path := filepath.Join(t.TempDir(), "s.db")
	s, err := Open(path, Options{})
	must(t, err)
	join := func(household string) func(*transaction) error {
		return func(tx *transaction) error {
			return tx.write(store.PutMember{Chat: "terminal/Ines", Person: "terminal/Ines", Household: household})
		}
	}

	// A file that cannot be written leaves the store as it was, and usable.
	s.finish = func(tx *bbolt.Tx) error { return errors.Join(tx.Rollback(), syscall.ENOSPC) }
	wantCode(t, "an update without space", s.update(t.Context(), join("quayside")), store.Full)
	s.finish = (*bbolt.Tx).Commit
	wantCode(t, "after it", s.view("view", func(tx *transaction) error {
		_, err := tx.Member("terminal/Ines", "terminal/Ines")
		return err
	}), store.NotFound)
	must(t, s.update(t.Context(), join("quayside")))

	s.finish = func(tx *bbolt.Tx) error { return errors.Join(tx.Commit(), syscall.EIO) }
	err = s.update(t.Context(), join("mill"))
	wantCode(t, "a disk that failed at the end", err, store.Internal)
	if !errors.Is(err, syscall.EIO) {
		t.Errorf("%v does not wrap its cause", err)
	}
	none := func(*transaction) error { t.Error("a transaction started"); return nil }
	wantCode(t, "view", s.view("view", none), store.Internal)
	wantCode(t, "update", s.update(t.Context(), none), store.Internal)
	if err := s.Close(); err != nil {
		t.Error(err)
	}

	if s, err = Open(path, Options{}); err != nil {
		t.Fatal(err)
	}
	err = s.update(t.Context(), func(tx *transaction) error {
		id, err := tx.Member("terminal/Ines", "terminal/Ines")
		if id != "mill" && id != "quayside" {
			t.Errorf("household %q", id)
		}
		return err
	})
	if err := errors.Join(err, s.Check(), s.Close()); err != nil {
		t.Error(err)
	}
}

func wantCode(t testing.TB, what string, err error, want store.Code) {
	t.Helper()
	if !isCode(err, want) {
		t.Errorf("%s: %v, want code %s", what, err, want)
	}
}

// TestWaitsNoLonger has a commit that waits for its turn give up with its
// context.
func TestWaitsNoLonger(t *testing.T) {
	s := mustOpen(t, filepath.Join(t.TempDir(), "s.db"))
	defer s.Close()
	ctx, cancel := context.WithCancel(t.Context())
	s.writer.enter()
	waiting := make(chan error)
	go func() { waiting <- s.Commit(ctx, store.Commit{}) }()
	cancel()
	if err := <-waiting; !errors.Is(err, context.Canceled) {
		t.Errorf("it waited: %v", err)
	}
	s.writer.leave()
}

func isCode(err error, code store.Code) bool {
	var e *store.Error
	return errors.As(err, &e) && e.Code == code
}

package store

import (
	"errors"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	bolt "go.etcd.io/bbolt"
)

// TestLastStepFails lets the disk report a failure after everything was
// written, to the log or to the file. Whether it lasts is not known then, so
// the store must neither show it nor go on; after opening it again it is
// either there or not, and there if it was acknowledged.
func TestLastStepFails(t *testing.T) {
	t.Run("log", func(t *testing.T) { lastStepFails(t, true) })
	t.Run("file", func(t *testing.T) { lastStepFails(t, false) })
}

func lastStepFails(t *testing.T, inLog bool) {
	path := filepath.Join(t.TempDir(), "s.db")
	s, err := Open(path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	join := func(household string) func(Tx) error {
		return func(tx Tx) error { return tx.PutMember("terminal/Ines", "terminal/Ines", household) }
	}
	wantCode := func(what string, err error, want Code) {
		t.Helper()
		var e *Error
		if !errors.As(err, &e) || e.Code != want {
			t.Errorf("%s: %v, want code %s", what, err, want)
		}
	}

	// A log that cannot be written leaves the store as it was, and usable.
	write := s.log.write
	s.log.write = func(*os.File, []byte, int64) (int, error) { return 0, syscall.ENOSPC }
	wantCode("an update without space", s.Update(t.Context(), join("quayside")), Full)
	s.log.write = write
	wantCode("after it", s.View(t.Context(), func(tx Tx) error {
		_, err := tx.Member("terminal/Ines", "terminal/Ines")
		return err
	}), NotFound)
	if err := s.Update(t.Context(), join("quayside")); err != nil {
		t.Fatal(err)
	}
	// A file that cannot be written is no matter while the log has room.
	s.finish = func(tx *bolt.Tx) error { return errors.Join(tx.Rollback(), syscall.ENOSPC) }
	wantCode("the file", s.foldNow(), Full)
	if err := s.Update(t.Context(), join("quayside")); err != nil {
		t.Fatal(err)
	}
	s.finish = (*bolt.Tx).Commit

	if inLog {
		s.log.sync = func(*os.File) error { return syscall.EIO }
	} else {
		s.finish = func(tx *bolt.Tx) error { return errors.Join(tx.Commit(), syscall.EIO) }
	}
	err = s.Update(t.Context(), join("mill"))
	if !inLog {
		if err != nil {
			t.Errorf("an update that is in the log: %v", err)
		}
		err = s.foldNow()
	}
	wantCode("a disk that failed at the end", err, Internal)
	if !errors.Is(err, syscall.EIO) {
		t.Errorf("%v does not wrap its cause", err)
	}
	none := func(Tx) error { t.Error("a transaction started"); return nil }
	wantCode("view", s.View(t.Context(), none), Internal)
	wantCode("update", s.Update(t.Context(), none), Internal)
	if err := s.Close(); err != nil {
		t.Error(err)
	}

	if s, err = Open(path, Options{}); err != nil {
		t.Fatal(err)
	}
	err = s.Update(t.Context(), func(tx Tx) error {
		id, err := tx.Member("terminal/Ines", "terminal/Ines")
		if id != "mill" && !(inLog && id == "quayside") {
			t.Errorf("household %q", id)
		}
		return err
	})
	if err := errors.Join(err, s.Check(), s.Close()); err != nil {
		t.Error(err)
	}
}

package bolt_test

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

// TestRestoreUnsent drops what a copy had not sent, unless it is to be sent.
// All else is there either way.
func TestRestoreUnsent(t *testing.T) {
	dir := t.TempDir()
	from := filepath.Join(dir, "copy.db")
	fill(t, from, damageHouseholds, bolt.Options{})
	want := contentOf(t, from)
	if found, err := bolt.Verify(from); err != nil || found.Unsent != len(want.Pending) || found.Households != damageHouseholds {
		t.Errorf("verified: %+v, %v", found, err)
	}
	for _, send := range []bool{false, true} {
		to := filepath.Join(t.TempDir(), "s.db")
		r, err := bolt.Restore(from, to, bolt.RestoreOptions{Unsent: send})
		if err != nil || send == (r.Dropped > 0) || !send && r.Dropped != len(want.Pending) {
			t.Errorf("%+v, %v", r, err)
		}
		s := mustOpen(t, to)
		if s.Found().Unclosed {
			t.Error("what was restored counts as not closed")
		}
		next := uint64(0)
		err = commit(s, store.Enqueue{Chat: "new"})
		if err := errors.Join(err, storetest.Look(t.Context(), s, func(tx store.Snapshot) (err error) {
			next, err = store.Oldest(tx, "new")
			return err
		})); err != nil || next != uint64(len(want.Pending))+1 {
			t.Errorf("the next message has the number %d, %v: numbers are never given twice", next, err)
		}
		got, err := read(s)
		if kept := len(got.Pending) - 1; send && kept != len(want.Pending) || !send && kept != 0 {
			t.Errorf("%d messages wait", kept)
		}
		if err := errors.Join(err, s.Check(), s.Close()); err != nil || got.Seen != want.Seen || len(got.Due) != len(want.Due) {
			t.Errorf("%d events, %d due, %v", got.Seen, len(got.Due), err)
		}
	}
}

// TestBackupTo gives a file its name when it is whole, and takes away what
// others left that were broken off, but for one that is still at it.
func TestBackupTo(t *testing.T) {
	dir := t.TempDir()
	s := openStore(t, filepath.Join(t.TempDir(), "s.db"))
	write := func(w io.Writer) error { return s.Backup(t.Context(), w) }
	names := func() (names []string) {
		t.Helper()
		entries, err := os.ReadDir(dir)
		must(t, err)
		for _, e := range entries {
			names = append(names, e.Name())
		}
		return names
	}
	stale, mine := filepath.Join(dir, "monday.db.bowlwright.part"), filepath.Join(dir, "film.part")
	must(t, errors.Join(os.WriteFile(stale, []byte("half"), 0o600), os.WriteFile(mine, []byte("half"), 0o600)))
	to := filepath.Join(dir, "tuesday.db")
	size, err := bolt.BackupTo(to, func(w io.Writer) error {
		// Another that begins meanwhile leaves this one alone.
		if _, err := bolt.BackupTo(filepath.Join(dir, "other.db"), write); err != nil {
			t.Error(err)
		}
		return write(w)
	})
	must(t, err)
	if info, err := os.Stat(to); err != nil || info.Size() != size || info.Mode().Perm() != 0o600 {
		t.Errorf("%d bytes, %v, %v", size, info, err)
	}
	if got := names(); len(got) != 3 || got[0] != "film.part" || got[1] != "other.db" || got[2] != "tuesday.db" {
		t.Errorf("there is %v", got)
	}
	if err := verify(to); err != nil {
		t.Error(err)
	}
	if _, err := bolt.BackupTo(to, write); !errors.Is(err, fs.ErrExist) {
		t.Errorf("over a file: %v", err)
	}
	// What fails, or is not a store, leaves nothing.
	for _, write := range []func(io.Writer) error{
		func(w io.Writer) error { return errors.Join(write(w), errWriter) },
		func(w io.Writer) error { _, err := io.WriteString(w, "half a store"); return err },
	} {
		if _, err := bolt.BackupTo(filepath.Join(dir, "wednesday.db"), write); err == nil || len(names()) != 3 {
			t.Errorf("%v, and there is %v", err, names())
		}
	}
}

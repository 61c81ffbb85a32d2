package bolt_test

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"

	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

// TestReadOnly needs a directory that cannot be written: by its mode, or, for
// root, whom no mode stops, by how it is mounted.
func TestReadOnly(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "s.db")
	seal, unseal := func() error { return errors.Join(os.Chmod(path, 0o400), os.Chmod(dir, 0o500)) }, func() { os.Chmod(dir, 0o700) }
	if os.Geteuid() == 0 {
		mount(t, dir, 1<<20)
		seal = func() error { return exec.Command("mount", "-o", "remount,ro", dir).Run() }
		unseal = func() {}
	}
	fill(t, path, 1, bolt.Options{})
	if err := seal(); err != nil {
		t.Skipf("nothing can be made read-only here: %v", err)
	}
	t.Cleanup(unseal)
	_, err := bolt.Open(path, bolt.Options{})
	wantCode(t, "a file that cannot be written", err, store.ReadOnly)
	_, err = bolt.Open(filepath.Join(dir, "other.db"), bolt.Options{})
	wantCode(t, "a directory that cannot be written", err, store.ReadOnly)
	_, err = bolt.Open(filepath.Join(dir, "sub", "other.db"), bolt.Options{})
	wantCode(t, "a directory that cannot be made", err, store.ReadOnly)
}

// mount puts a file system of so many bytes on a directory, or skips the test.
func mount(t *testing.T, dir string, bytes int) {
	t.Helper()
	if os.Geteuid() != 0 {
		t.Skip("only root can mount a small file system")
	}
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", fmt.Sprint("size=", bytes), "tmpfs", dir).CombinedOutput(); err != nil {
		t.Skipf("no file system can be mounted here: %s", out)
	}
	t.Cleanup(func() {
		if out, err := exec.Command("umount", dir).CombinedOutput(); err != nil {
			t.Errorf("unmounting: %s", out)
		}
	})
}

// TestFullDisk fills a small file system with messages. What was kept stays,
// the store can be read, and goes on when there is space again.
func TestFullDisk(t *testing.T) {
	dir := t.TempDir()
	mount(t, dir, 400<<10)
	path := filepath.Join(dir, "s.db")
	ballast := filepath.Join(dir, "ballast")
	must(t, os.WriteFile(ballast, make([]byte, 150<<10), 0o600))
	s, err := bolt.Open(path, bolt.Options{})
	must(t, err)
	kept := fillUp(t, s)
	wantMessages(t, s, kept)
	wantCode(t, "again", enqueueLarge(s), store.Full)
	must(t, os.Remove(ballast))
	more := fillUp(t, s)
	if more == 0 {
		t.Error("nothing is kept though there is space again")
	}
	wantMessages(t, s, kept+more)
	checkAndClose(t, s)
	if s, err = bolt.Open(path, bolt.Options{}); err != nil {
		t.Fatal(err)
	}
	wantMessages(t, s, kept+more)
	// Where there is no space for a new store, nothing of it is left.
	_, err = bolt.Open(filepath.Join(dir, "other.db"), bolt.Options{})
	wantCode(t, "a store on a full disk", err, store.Full)
	if left, _ := filepath.Glob(filepath.Join(dir, "other*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
	checkAndClose(t, s)
}

func enqueueLarge(s *bolt.Store) error {
	return commit(s, store.Enqueue{Chat: "terminal/Ines", Body: make([]byte, 5000)})
}

// fillUp enqueues messages until there is no space, and returns how many
// were kept.
func fillUp(t *testing.T, s *bolt.Store) int {
	t.Helper()
	for n := range 10_000 {
		if err := enqueueLarge(s); err != nil {
			wantCode(t, "a full disk", err, store.Full)
			return n
		}
	}
	t.Fatal("the disk never filled up")
	return 0
}

func wantMessages(t *testing.T, s *bolt.Store, want int) {
	t.Helper()
	must(t, storetest.Look(background, s, func(tx store.Snapshot) error {
		ms, err := tx.Pending("", 1<<20)
		if len(ms) != want {
			t.Errorf("%d messages, want %d", len(ms), want)
		}
		return err
	}))
}

// TestFileSizeLimit runs a child whose files may not grow beyond a size, which
// needs no privilege.
func TestFileSizeLimit(t *testing.T) {
	const limit = "BOWLWRIGHT_TEST_FILE_LIMIT"
	if path := os.Getenv(limit); path != "" {
		most := syscall.Rlimit{Cur: 1 << 20, Max: 1 << 20}
		must(t, syscall.Setrlimit(syscall.RLIMIT_FSIZE, &most))
		s, err := bolt.Open(path, bolt.Options{})
		must(t, err)
		kept := fillUp(t, s)
		wantMessages(t, s, kept)
		checkAndClose(t, s)
		return
	}
	cmd := exec.Command(os.Args[0], "-test.run=^TestFileSizeLimit$")
	cmd.Env = append(os.Environ(), limit+"="+filepath.Join(t.TempDir(), "s.db"))
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Errorf("%v\n%s", err, out)
	}
}

// TestCopyOnFullDisk verifies a file where there is no space at all, and copies
// it to another disk, while it is in use and after.
func TestCopyOnFullDisk(t *testing.T) {
	dir := t.TempDir()
	mount(t, dir, 400<<10)
	path := filepath.Join(dir, "s.db")
	s, err := bolt.Open(path, bolt.Options{})
	must(t, err)
	kept := fillUp(t, s)
	os.WriteFile(filepath.Join(dir, "ballast"), make([]byte, 1<<20), 0o600) // as far as it goes
	copied := func(f func(w io.Writer) error) {
		t.Helper()
		to := filepath.Join(t.TempDir(), "copy.db")
		out, err := os.Create(to)
		must(t, err)
		must(t, errors.Join(f(out), out.Close(), verify(to)))
		c := mustOpen(t, to)
		wantMessages(t, c, kept)
		checkAndClose(t, c)
	}
	copied(func(w io.Writer) error { return s.Backup(t.Context(), w) })
	checkAndClose(t, s)
	copied(func(w io.Writer) error { return bolt.CopyFile(path, w) })
	if err := verify(path); err != nil {
		t.Error(err)
	}
	s = mustOpen(t, path)
	wantMessages(t, s, kept)
	checkAndClose(t, s)
}

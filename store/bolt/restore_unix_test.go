//go:build unix

package bolt_test

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"bowlwright/store/bolt"
)

// TestRestoreKeepsOwner has root restore the data of another: the new file
// belongs to the owner of the directory, or of the file that it replaces, with
// that one's permissions.
func TestRestoreKeepsOwner(t *testing.T) {
	if os.Geteuid() != 0 {
		t.Skip("only root can give files away")
	}
	const service, group, other = 4711, 4712, 4713
	from := filepath.Join(t.TempDir(), "copy.db")
	fill(t, from, 1, bolt.Options{NoSync: true})
	dir := filepath.Join(t.TempDir(), "data")
	to := filepath.Join(dir, "s.db")
	must(t, os.Mkdir(dir, 0o750))
	must(t, os.Chown(dir, service, group))
	want := func(name string, uid, gid uint32, mode os.FileMode) {
		t.Helper()
		info, err := os.Stat(name)
		must(t, err)
		if is := info.Sys().(*syscall.Stat_t); is.Uid != uid || is.Gid != gid || info.Mode().Perm() != mode {
			t.Errorf("%s belongs to %d:%d, mode %v", filepath.Base(name), is.Uid, is.Gid, info.Mode())
		}
	}
	if _, err := bolt.Restore(from, to, bolt.RestoreOptions{}); err != nil {
		t.Fatal(err)
	}
	want(to, service, group, 0o600)
	want(dir, service, group, 0o750)
	must(t, os.Chown(to, service, other))
	must(t, os.Chmod(to, 0o640))
	if _, err := bolt.Restore(from, to, bolt.RestoreOptions{Keep: to + ".kept"}); err != nil {
		t.Fatal(err)
	}
	want(to, service, other, 0o640)
	want(dir, service, group, 0o750)
}

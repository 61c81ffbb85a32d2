package bolt_test

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"sync"
	"testing"

	"go.etcd.io/bbolt"

	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

// TestBackupWhileWriting takes copies while events are committed. Each copy
// must be a whole store, with what was committed before it began.
func TestBackupWhileWriting(t *testing.T) {
	dir := t.TempDir()
	s := openStore(t, filepath.Join(dir, "s.db"))
	ctx, cancel := context.WithCancel(t.Context())
	var wg sync.WaitGroup
	committed := make(chan int, 1)
	committed <- 0
	wg.Go(func() {
		for n := 1; ctx.Err() == nil; n++ {
			if err := commit(s, store.Enqueue{Chat: "terminal/Ines", Body: make([]byte, n%3000)}, store.Delivered(n-50)); err != nil {
				t.Error(err)
			}
			<-committed
			committed <- n
		}
	})
	for round := range 8 {
		before := 0
		for before < 20*(round+1) {
			before = <-committed
			committed <- before
		}
		path := filepath.Join(dir, "copy.db")
		f, err := os.Create(path)
		must(t, err)
		must(t, errors.Join(s.Backup(t.Context(), f), f.Close(), verify(path)))
		c := mustOpen(t, path)
		err = storetest.Look(t.Context(), c, func(tx store.Snapshot) error {
			ms, err := tx.Pending("", 1<<20)
			if last := len(ms) - 1; err == nil && (last < 0 || ms[last].Number < uint64(before)) {
				t.Errorf("%d messages in the copy, which ends before number %d", len(ms), before)
			}
			return err
		})
		must(t, errors.Join(err, c.Check(), c.Close()))
	}
	cancel()
	wg.Wait()
}

// failingWriter fails or panics after some bytes.
type failingWriter struct {
	left  int
	panic bool
}

var errWriter = errors.New("the line is cut")

func (f *failingWriter) Write(p []byte) (int, error) {
	if f.left -= len(p); f.left < 0 {
		if f.panic {
			panic("private")
		}
		return 0, errWriter
	}
	return len(p), nil
}

// TestBackupFails checks that a writer's failure is no damage of the store.
func TestBackupFails(t *testing.T) {
	s := openStore(t, filepath.Join(t.TempDir(), "s.db"))
	for _, left := range []int{0, 5000, 20000} {
		err := s.Backup(t.Context(), &failingWriter{left: left})
		wantCode(t, "a writer that fails", err, store.Internal)
		if !errors.Is(err, errWriter) {
			t.Errorf("%v does not wrap its cause", err)
		}
		wantCode(t, "a writer that panics", s.Backup(t.Context(), &failingWriter{left: left, panic: true}), store.Internal)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	wantCode(t, "a context that is done", s.Backup(ctx, io.Discard), store.Internal)
	if err := commit(s, store.PutMember{Chat: "a", Person: "b", Household: "c"}); err != nil {
		t.Errorf("the store afterwards: %v", err)
	}
}

func TestVerify(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	path := filepath.Join(dir, "s.db")
	wantCode(t, "no file", verify(path), store.NotFound)
	fill(t, path, 3, bolt.Options{})
	must(t, verify(path))
	sound := fileOf(t, path)
	s := mustOpen(t, path)
	wantCode(t, "a file in use", verify(path), store.Busy)
	must(t, s.Close())
	must(t, verify(path))
	if after, err := os.ReadFile(path); err != nil || !bytes.Equal(after, sound) {
		t.Errorf("the file was changed (%v)", err)
	}

	write := func(name string, data []byte) string {
		t.Helper()
		p := filepath.Join(dir, name)
		must(t, os.WriteFile(p, data, 0o600))
		return p
	}
	wantCode(t, "half a file", verify(write("half.db", sound[:len(sound)/2])), store.Damaged)
	wantCode(t, "an empty file", verify(write("empty.db", nil)), store.Damaged)
	wantCode(t, "a directory", verify(dir), store.Damaged)
	// Free pages hold it too, hence everywhere.
	one := bytes.ReplaceAll(sound, []byte("19.6"), []byte("18.6"))
	wantCode(t, "a weight of which one digit changed", verify(write("digit.db", one)), store.Damaged)

	newer := write("newer.db", sound)
	db, err := bbolt.Open(newer, 0o600, nil)
	must(t, err)
	err = db.Update(func(tx *bbolt.Tx) error {
		return tx.Bucket([]byte("meta")).Put([]byte("schema"), []byte{0, 0, 0, 0, 0, 0, 1, 0})
	})
	size := int64(0)
	err = errors.Join(err, db.View(func(tx *bbolt.Tx) error { size = tx.Size(); return nil }), db.Close())
	if err := errors.Join(err, os.Truncate(newer, size)); err != nil { // its stamp is that of the older
		t.Fatal(err)
	}
	wantCode(t, "a newer file", verify(newer), store.Newer)
	if _, err := restore(newer, filepath.Join(dir, "to.db"), filepath.Join(dir, "kept.db")); err == nil {
		t.Error("a newer file was restored")
	}
}

// TestRestore replaces a store and keeps what was there.
func TestRestore(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	from, to, keep := filepath.Join(dir, "copy.db"), filepath.Join(dir, "data", "s.db"), filepath.Join(dir, "data", "s.db.kept")
	fill(t, from, damageHouseholds, bolt.Options{})
	want := contentOf(t, from)

	// Into nothing.
	if kept, err := restore(from, to, keep); kept || err != nil {
		t.Fatalf("into nothing: %v, %v", kept, err)
	}
	if got := contentOf(t, to); !reflect.DeepEqual(got, want) {
		t.Error("what was restored differs")
	}

	// Over something, which is kept as it was.
	s := mustOpen(t, to)
	_, err := restore(from, to, keep)
	wantCode(t, "over a store in use", err, store.Busy)
	must(t, commit(s, store.MarkSeen{Event: "event-late", At: at}))
	must(t, s.Close())
	late := fileOf(t, to)
	if kept, err := restore(from, to, keep); !kept || err != nil {
		t.Fatalf("over a store: %v, %v", kept, err)
	}
	if got := contentOf(t, to); !reflect.DeepEqual(got, want) {
		t.Error("what was restored differs")
	}
	wantFile(t, keep, late)

	// A name that is taken already is left alone, and so is everything else.
	now := fileOf(t, to)
	if _, err := restore(from, to, keep); err == nil {
		t.Error("what was kept before was replaced")
	}
	wantFile(t, keep, late)
	wantFile(t, to, now)

	// So it is where the copy is damaged, in use or missing.
	f, err := os.OpenFile(from, os.O_RDWR, 0)
	must(t, err)
	info, err := f.Stat()
	must(t, errors.Join(err, f.Truncate(info.Size()/2), f.Close()))
	other := filepath.Join(dir, "data", "other")
	_, err = restore(from, to, other)
	wantCode(t, "from half a copy", err, store.Damaged)
	_, err = restore(filepath.Join(dir, "none.db"), to, other)
	wantCode(t, "from nothing", err, store.NotFound)
	wantFile(t, to, now)
	left, err := os.ReadDir(filepath.Join(dir, "data"))
	if err != nil || len(left) != 2 {
		t.Errorf("left in the directory: %v, %v", left, err)
	}

	// A damaged store can be replaced, and is kept too.
	must(t, os.WriteFile(to, []byte("damaged"), 0o600))
	if kept, err := restore(keep, to, other); !kept || err != nil {
		t.Fatalf("over a damaged store: %v, %v", kept, err)
	}
	wantFile(t, other, []byte("damaged"))
	if got := contentOf(t, to); !reflect.DeepEqual(got, contentOf(t, keep)) {
		t.Error("what was restored differs")
	}
}

func verify(path string) error {
	_, err := bolt.Verify(path)
	return err
}

func restore(from, to, keep string) (kept bool, err error) {
	r, err := bolt.Restore(from, to, bolt.RestoreOptions{Keep: keep, Unsent: true})
	return r.Kept, err
}

func contentOf(t *testing.T, path string) content {
	t.Helper()
	s := mustOpen(t, path)
	c, err := read(s)
	must(t, errors.Join(err, s.Check(), s.Close()))
	return c
}

func wantFile(t *testing.T, path string, want []byte) {
	t.Helper()
	if got, err := os.ReadFile(path); err != nil || !bytes.Equal(got, want) {
		t.Errorf("%s: %d bytes (%v), want other %d", filepath.Base(path), len(got), err, len(want))
	}
}

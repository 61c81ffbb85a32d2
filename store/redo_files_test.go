package store

import (
	"bytes"
	"encoding/binary"
	"errors"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	bolt "go.etcd.io/bbolt"
)

// crashed makes updates and returns what a crash right after the last leaves,
// with what is in it. The file has the first of them.
func crashed(t testing.TB, seed uint64, n int) (twoFiles, []notes) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "s.db")
	random := rand.New(rand.NewPCG(seed, 7))
	s := openWith(t, path, nil)
	defer s.Close()
	states := []notes{{}}
	for number := 1; number <= n; number++ {
		next, change := states[number-1].random(random, number)
		if err := s.Update(t.Context(), change); err != nil {
			t.Fatal(err)
		}
		if number == 1 {
			if err := s.foldNow(); err != nil {
				t.Fatal(err)
			}
		}
		states = append(states, next)
	}
	is := copyOf(t, path)
	if is.log == nil {
		t.Fatal("there is no log")
	}
	return is, states
}

// wantHeld opens a store, without making anything small, and compares what it
// holds.
func wantHeld(t *testing.T, path string, want notes) {
	t.Helper()
	s := openWith(t, path, nil)
	if got := readNotes(t, s); !maps.Equal(got, want) {
		t.Errorf("there is\n%q, want\n%q", got, want)
	}
	if err := errors.Join(s.Check(), s.Close()); err != nil {
		t.Error(err)
	}
	if there(path + redoSuffix) {
		t.Error("a log is there after Close")
	}
}

// wantRefused opens files that are damaged, which must stay as they are.
func wantRefused(t *testing.T, what string, is twoFiles) {
	t.Helper()
	path := is.place(t)
	_, err := Open(path, Options{NoSync: true})
	wantCodeOf(t, what, err, Damaged)
	wantCodeOf(t, what+", verified", Verify(path), Damaged)
	wantCodeOf(t, what+", copied", CopyFile(path, &bytes.Buffer{}), Damaged)
	now := copyOf(t, path)
	if !bytes.Equal(now.file, is.file) || !bytes.Equal(now.log, is.log) || (now.log == nil) != (is.log == nil) {
		t.Errorf("%s: the files were changed", what)
	}
}

// TestOneFileOrTwo looks for the log while a store is open and afterwards.
func TestOneFileOrTwo(t *testing.T) {
	is, states := crashed(t, 1, 30)
	wantHeld(t, is.place(t), states[30])
	path := filepath.Join(t.TempDir(), "s.db")
	s := openWith(t, path, nil)
	if there(path + redoSuffix) {
		t.Error("a log is there before the first update")
	}
	_, change := notes{}.random(rand.New(rand.NewPCG(1, 1)), 1)
	if err := s.Update(t.Context(), change); err != nil || !there(path+redoSuffix) {
		t.Errorf("no log after an update (%v)", err)
	}
	if err := s.Close(); err != nil || there(path+redoSuffix) {
		t.Errorf("a log is there after Close (%v)", err)
	}
	left, err := os.ReadDir(filepath.Dir(path))
	if err != nil || len(left) != 1 {
		t.Errorf("there is %v, %v", left, err)
	}
}

// TestStrangeLogs opens files with logs that do not belong to them, or are
// none.
func TestStrangeLogs(t *testing.T) {
	is, states := crashed(t, 1, 30)
	other, _ := crashed(t, 2, 30)
	wantRefused(t, "the log of another file", twoFiles{is.file, other.log})
	wantRefused(t, "no log at all", twoFiles{is.file, []byte("# notes\n\nsalmon on Friday\n")})
	older, _ := crashed(t, 1, 1)
	older.log = is.log
	wantRefused(t, "the same of another run", older)

	// An older copy of the file lacks what the log no longer has.
	path := filepath.Join(t.TempDir(), "s.db")
	s := openWith(t, path, small)
	defer s.Close()
	random := rand.New(rand.NewPCG(3, 7))
	now := notes{}
	var first twoFiles
	for number := 1; number <= 100; number++ {
		next, change := now.random(random, number)
		if err := s.Update(t.Context(), change); err != nil {
			t.Fatal(err)
		}
		if now = next; number == 2 {
			first = copyOf(t, path)
		}
	}
	if err := s.foldNow(); err != nil {
		t.Fatal(err)
	}
	gap := twoFiles{first.file, copyOf(t, path).log}
	gapPath := gap.place(t)
	_, err := Open(gapPath, Options{NoSync: true, prepare: small})
	wantCodeOf(t, "a gap between file and log", err, Damaged)
	if got := copyOf(t, gapPath); !bytes.Equal(got.file, gap.file) || !bytes.Equal(got.log, gap.log) {
		t.Error("a gap: the files were changed")
	}

	// What holds nothing is no matter, whatever file it lies beside.
	for _, log := range [][]byte{{}, make([]byte, 100), make([]byte, redoGrow), is.log[:headSize], is.log[:headSize+frameSize], other.log[:headSize]} {
		wantHeld(t, twoFiles{is.file, log}.place(t), states[1])
	}
	wantHeld(t, twoFiles{is.file, nil}.place(t), states[1])

	// A directory, and a store that is gone while its log is there.
	path = twoFiles{is.file, nil}.place(t)
	if err := os.Mkdir(path+redoSuffix, 0o700); err != nil {
		t.Fatal(err)
	}
	_, err = Open(path, Options{NoSync: true})
	wantCodeOf(t, "a directory", err, Damaged)
	path = is.place(t)
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	_, err = Open(path, Options{NoSync: true})
	wantCodeOf(t, "a log without a file", err, Damaged)
	if there(path) || !there(path+redoSuffix) {
		t.Error("a log without a file: a store was made, or the log is gone")
	}
}

// TestLogOfOlderSchema lets a file of the schema before the log have none, and
// no other's.
func TestLogOfOlderSchema(t *testing.T) {
	path := filepath.Join(t.TempDir(), "s.db")
	raw(t, path, older[6])
	file, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	is, _ := crashed(t, 1, 3)
	wantRefused(t, "a log beside a file of schema 6", twoFiles{file, is.log})
	for range 3 { // written once, and crashed
		s := openWith(t, path, nil)
		err := s.Update(t.Context(), func(tx Tx) error { _, err := tx.Enqueue(Outgoing{Chat: "a"}); return err })
		is := copyOf(t, path)
		if err := errors.Join(err, s.Close()); err != nil {
			t.Fatal(err)
		}
		is.to(t, path)
	}
	s := openWith(t, path, nil)
	err = s.View(t.Context(), func(tx Tx) error {
		ms, err := tx.Pending("a", 10)
		if len(ms) != 3 || ms[2].Number != 4 {
			t.Errorf("messages %v", ms)
		}
		return err
	})
	if err := errors.Join(err, s.Check(), s.Close()); err != nil {
		t.Error(err)
	}
}

// TestLogOfNewerSchema leaves a file of a newer program alone, and its log.
func TestLogOfNewerSchema(t *testing.T) {
	is, _ := crashed(t, 1, 3)
	path := is.place(t)
	raw(t, path, func(tx *bolt.Tx) error {
		return tx.Bucket(bucketMeta).Put(keySchema, binary.BigEndian.AppendUint64(nil, 1000))
	})
	_, err := Open(path, Options{})
	wantCodeOf(t, "a newer file", err, Newer)
	if got := copyOf(t, path); !bytes.Equal(got.log, is.log) {
		t.Error("the log was changed")
	}
}

// TestCopiesOfCrashed verifies and copies files that a crash left with a log.
func TestCopiesOfCrashed(t *testing.T) {
	is, states := crashed(t, 1, 30)
	path := is.place(t)
	if err := Verify(path); err != nil {
		t.Error(err)
	}
	wantHeld(t, path, states[30])

	var out bytes.Buffer
	if err := CopyFile(is.place(t), &out); err != nil {
		t.Error(err)
	}
	wantHeld(t, twoFiles{out.Bytes(), nil}.place(t), states[30])

	// A store that runs, with updates that the file lacks.
	path = filepath.Join(t.TempDir(), "s.db")
	s := openWith(t, path, nil)
	next, change := notes{}.random(rand.New(rand.NewPCG(1, 1)), 1)
	out.Reset()
	if err := errors.Join(s.Update(t.Context(), change), s.Backup(t.Context(), &out), s.Close()); err != nil {
		t.Fatal(err)
	}
	wantHeld(t, twoFiles{out.Bytes(), nil}.place(t), next)

	// The copy names the log of the store, and gets one of its own.
	path = twoFiles{out.Bytes(), nil}.place(t)
	s = openWith(t, path, nil)
	then, change := next.random(rand.New(rand.NewPCG(2, 1)), 2)
	if err := s.Update(t.Context(), change); err != nil {
		t.Fatal(err)
	}
	of := copyOf(t, path)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	wantHeld(t, of.place(t), then)
	wantRefused(t, "the log of the copy beside the store", twoFiles{is.file, of.log})
}

// TestCrashedTwice has files that a crash left copied by hand, and both used
// until they crash again. What they have in common ends there.
func TestCrashedTwice(t *testing.T) {
	is, states := crashed(t, 1, 30)
	var again [2]twoFiles
	for i := range again {
		path := is.place(t)
		s := openWith(t, path, nil)
		if there(path + redoSuffix) {
			t.Error("a log is there before the first update")
		}
		next, change := states[30].random(rand.New(rand.NewPCG(uint64(i), 1)), 31)
		if err := s.Update(t.Context(), change); err != nil {
			t.Fatal(err)
		}
		again[i] = copyOf(t, path)
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		wantHeld(t, again[i].place(t), next)
	}
	wantRefused(t, "the log of one beside the other", twoFiles{again[0].file, again[1].log})
	wantRefused(t, "the log of before", twoFiles{again[0].file, is.log})
}

// TestRestoreCrashed restores from and over files that a crash left with a log.
func TestRestoreCrashed(t *testing.T) {
	from, fresh := crashed(t, 1, 30)
	old, stale := crashed(t, 2, 20)
	keep := func(path string) string { return filepath.Join(filepath.Dir(path), "kept.db") }

	path, source := old.place(t), from.place(t)
	if kept, err := Restore(source, path, keep(path)); !kept || err != nil {
		t.Fatalf("%v, %v", kept, err)
	}
	if there(keep(path) + redoSuffix) {
		t.Error("the log was kept and not brought in")
	}
	wantHeld(t, path, fresh[30])
	wantHeld(t, source, fresh[30])
	wantHeld(t, keep(path), stale[20])

	// A log that cannot be brought in is kept beside what is kept.
	for _, is := range []twoFiles{{old.file, from.log}, {[]byte("damaged"), old.log}} {
		path = is.place(t)
		if kept, err := Restore(from.place(t), path, keep(path)); !kept || err != nil {
			t.Fatalf("%v, %v", kept, err)
		}
		wantHeld(t, path, fresh[30])
		if got := copyOf(t, keep(path)); !bytes.Equal(got.file, is.file) || !bytes.Equal(got.log, is.log) {
			t.Error("what was kept differs")
		}
	}
	// So is a log without a file.
	path = old.place(t)
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if kept, err := Restore(from.place(t), path, keep(path)); kept || err != nil {
		t.Fatalf("%v, %v", kept, err)
	}
	wantHeld(t, path, fresh[30])
	if got, err := os.ReadFile(keep(path) + redoSuffix); err != nil || !bytes.Equal(got, old.log) {
		t.Errorf("the log was not kept: %v", err)
	}

	// A crash right before the log of the old file is taken away does not pass
	// it for the new file's, and the next try finishes.
	var whole bytes.Buffer
	if err := CopyFile(from.place(t), &whole); err != nil {
		t.Fatal(err)
	}
	half := twoFiles{whole.Bytes(), old.log}
	wantRefused(t, "a new file with the log of the old", half)
	path = half.place(t)
	if kept, err := Restore(from.place(t), path, keep(path)); !kept || err != nil {
		t.Fatalf("%v, %v", kept, err)
	}
	wantHeld(t, path, fresh[30])

	// Nothing is replaced where something has the name of the log that is kept.
	path = half.place(t)
	if err := os.WriteFile(keep(path)+redoSuffix, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Restore(from.place(t), path, keep(path)); err == nil {
		t.Error("a file was replaced")
	}
	if got := copyOf(t, path); !bytes.Equal(got.file, half.file) || !bytes.Equal(got.log, half.log) || there(keep(path)) {
		t.Error("what was there has changed")
	}
}

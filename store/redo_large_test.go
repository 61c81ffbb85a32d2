package store

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"syscall"
	"testing"

	bolt "go.etcd.io/bbolt"
)

// large is an update that no half of a small log holds.
func large(text string) func(Tx) error {
	return func(tx Tx) error {
		err := errors.Join(tx.PutAdapter("folded", []byte(text)), tx.PutAdapter("unfolded", []byte(text)))
		return errors.Join(err, tx.PutAdapter("ballast", make([]byte, 8<<10)))
	}
}

func note(chat, text string) func(Tx) error {
	return func(tx Tx) error { return tx.PutAdapter(chat, []byte(text)) }
}

// TestLargeIsWhole has a View begin when the file has an update that goes to
// it at once, and before the update is done: it sees none of it.
func TestLargeIsWhole(t *testing.T) {
	s := openWith(t, filepath.Join(t.TempDir(), "s.db"), small)
	defer s.Close()
	err := errors.Join(s.Update(t.Context(), note("folded", "1")), s.foldNow(), s.Update(t.Context(), note("unfolded", "1")))
	if err != nil {
		t.Fatal(err)
	}
	saw := make(chan string, 1)
	s.finish = func(tx *bolt.Tx) error {
		if err := tx.Commit(); err != nil {
			return err
		}
		go func() {
			var a, b []byte
			err := s.View(t.Context(), func(tx Tx) error {
				var first, second error
				a, first = tx.Adapter("folded")
				b, second = tx.Adapter("unfolded")
				return errors.Join(first, second)
			})
			saw <- fmt.Sprintf("%s %s %v", a, b, err)
		}()
		for range 10_000 { // until it has seen something, or waits
			if runtime.Gosched(); len(saw) > 0 {
				break
			}
		}
		s.finish = (*bolt.Tx).Commit
		return nil
	}
	if err := s.Update(t.Context(), large("2")); err != nil {
		t.Fatal(err)
	}
	if got := <-saw; got != "1 1 <nil>" && got != "2 2 <nil>" {
		t.Errorf("a View sees half an update: %s", got)
	}
}

// TestLargeThenSmall goes on with the log behind an update that is not in it,
// in every state of its halves.
func TestLargeThenSmall(t *testing.T) {
	for before := range 16 {
		path := filepath.Join(t.TempDir(), "s.db")
		s := openWith(t, path, func(s *Bolt) { small(s); s.foldAt = 1 << 20 })
		want := notes{}
		put := func(chat, text string) {
			t.Helper()
			if err := s.Update(t.Context(), note(chat, text)); err != nil {
				t.Fatal(err)
			}
			want[chat] = text
			err := s.View(t.Context(), func(tx Tx) error {
				got, err := tx.Adapter(chat)
				if string(got) != text {
					t.Errorf("%s says %.9q right after it was told %.9q", chat, got, text)
				}
				return err
			})
			if err != nil {
				t.Error(err)
			}
		}
		for i := range before { // so that one half is full and the other is not
			put(fmt.Sprint("chat-", i), string(make([]byte, 600)))
		}
		if err := s.Update(t.Context(), large("2")); err != nil {
			t.Fatal(err)
		}
		maps.Copy(want, notes{"folded": "2", "unfolded": "2", "ballast": string(make([]byte, 8<<10))})
		put("behind", "it")
		path = copyOf(t, path).place(t)
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		s = openWith(t, path, small)
		for chat, text := range want {
			err := s.View(t.Context(), func(tx Tx) error {
				got, err := tx.Adapter(chat)
				if string(got) != text {
					t.Errorf("behind %d: %s says %.9q, want %.9q", before, chat, got, text)
				}
				return err
			})
			if err != nil {
				t.Error(err)
			}
		}
		if err := errors.Join(s.Check(), s.Close()); err != nil {
			t.Error(err)
		}
	}
}

// TestLargeFails has a file that does not take such an update.
func TestLargeFails(t *testing.T) {
	s := openWith(t, filepath.Join(t.TempDir(), "s.db"), small)
	defer s.Close()
	if err := s.Update(t.Context(), note("folded", "1")); err != nil {
		t.Fatal(err)
	}
	s.finish = func(tx *bolt.Tx) error { return errors.Join(tx.Rollback(), errNoSpace) }
	wantCodeOf(t, "without space", s.Update(t.Context(), large("2")), Full)
	s.finish = (*bolt.Tx).Commit
	err := s.View(t.Context(), func(tx Tx) error {
		got, err := tx.Adapter("folded")
		if string(got) != "1" {
			t.Errorf("%q is seen", got)
		}
		return err
	})
	if err := errors.Join(err, s.Update(t.Context(), large("3")), s.Check()); err != nil {
		t.Error(err)
	}
}

// TestRecoveredIsDurable does not open a store whose log may not be on the
// disk, and leaves the log where it is.
func TestRecoveredIsDurable(t *testing.T) {
	is, states := crashed(t, 1, 10)
	path := is.place(t)
	_, err := Open(path, Options{prepare: func(s *Bolt) {
		s.log.sync = func(*os.File) error { return syscall.EIO }
	}})
	if !errors.Is(err, syscall.EIO) {
		t.Errorf("a log that is not durable: %v", err)
	}
	if got := copyOf(t, path); !bytes.Equal(got.log, is.log) {
		t.Error("the log was changed")
	}
	wantHeld(t, path, states[10])
}

// TestEmptyLogIsNone gives a log a name of its own though an empty one was
// left beside a file that names none.
func TestEmptyLogIsNone(t *testing.T) {
	path := filepath.Join(t.TempDir(), "s.db")
	openWith(t, path, nil).Close()
	if err := os.WriteFile(path+redoSuffix, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	s := openWith(t, path, nil)
	if there(path + redoSuffix) {
		t.Error("it is still there")
	}
	if err := errors.Join(s.Update(t.Context(), note("a", "1")), s.Close()); err != nil {
		t.Error(err)
	}
	if s.log.id == 0 {
		t.Error("the log has no id")
	}
}

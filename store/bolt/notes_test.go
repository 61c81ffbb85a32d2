package bolt

import (
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"testing/synctest"

	"go.etcd.io/bbolt"

	"bowlwright/store"
)

// mustOpen opens a store that need not last.
func mustOpen(t testing.TB, path string) *Store {
	t.Helper()
	s, err := Open(path, Options{NoSync: true})
	must(t, err)
	return s
}

// openWith is mustOpen with another way to commit.
func openWith(t testing.TB, path string, finish func(*bbolt.Tx) error) *Store {
	t.Helper()
	s := mustOpen(t, path)
	s.finish = finish
	return s
}

// notes is what the notes on chats are, by chat.
type notes map[string]string

// random changes notes in an Update, and in a copy of what they were. Each
// update also sends a message, of which the last three wait.
func (n notes) random(random *rand.Rand, number int) (notes, func(*transaction) error) {
	next := maps.Clone(n)
	type set struct{ chat, text string }
	sets := []set{{"last", fmt.Sprint(number)}}
	for range random.IntN(5) {
		s := set{fmt.Sprint("chat-", random.IntN(40)), ""}
		if random.IntN(3) > 0 {
			s.text = fmt.Sprint(number, "-", string(make([]byte, random.IntN(200))))
		}
		sets = append(sets, s)
	}
	for _, s := range sets {
		if next[s.chat] = s.text; s.text == "" {
			delete(next, s.chat)
		}
	}
	return next, func(tx *transaction) error {
		sent, err := tx.Enqueue(store.Outgoing{Chat: "terminal/Ines"})
		if err == nil && sent != uint64(number) {
			err = fmt.Errorf("message %d of update %d", sent, number)
		}
		if number > 3 && err == nil {
			err = tx.Delivered(uint64(number - 3))
		}
		if err != nil {
			return err
		}
		for _, s := range sets {
			if err := tx.write(store.PutAdapter{Chat: s.chat, Notes: []byte(s.text)}); err != nil {
				return err
			}
		}
		return nil
	}
}

// readNotes returns all notes of a store.
func readNotes(t testing.TB, s *Store) notes {
	t.Helper()
	n := notes{}
	must(t, s.view("view", func(tx *transaction) error {
		err := tx.each(bucketAdapters, func(k, text []byte) error {
			chat, _, _ := parted(k)
			n[chat] = string(text)
			return nil
		})
		ms, pending := tx.Pending("terminal/Ines", 1000)
		if last := n.number(); len(ms) != min(last, 3) || last > 0 && ms[len(ms)-1].Number != uint64(last) {
			t.Errorf("after update %d there are the messages %v", last, ms)
		}
		return errors.Join(err, pending)
	}))
	return n
}

// number is the last update that was made of notes.
func (n notes) number() (i int) {
	fmt.Sscan(n["last"], &i)
	return i
}

// wantNow compares what Views see with the last state.
func wantNow(t *testing.T, s *Store, states []notes) {
	t.Helper()
	if got := readNotes(t, s); !maps.Equal(got, states[len(states)-1]) {
		t.Fatalf("update %d, want %d:\n%q\n%q", got.number(), len(states)-1, got, states[len(states)-1])
	}
}

// fileOf is what a crash now would leave.
func fileOf(t testing.TB, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Error(err)
	}
	return data
}

func placed(t testing.TB, data []byte) (path string) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "s.db")
	must(t, os.WriteFile(path, data, 0o600))
	return path
}

// grouped makes updates that share a commit, in their order, and returns what
// each of them was told, or panicked with. It is called in a bubble of synctest.
func grouped(t *testing.T, s *Store, n int, f func(i int, tx *transaction) error) []error {
	t.Helper()
	errs := make([]error, n)
	var wg sync.WaitGroup
	s.writer.enter()
	for i := range n {
		wg.Go(func() {
			defer func() {
				if p := recover(); p != nil {
					errs[i] = fmt.Errorf("panicked: %v", p)
				}
			}()
			errs[i] = s.update(t.Context(), func(tx *transaction) error { return f(i, tx) })
		})
		synctest.Wait() // until it waits for the writer
	}
	s.writer.leave()
	wg.Wait()
	return errs
}

// must ends a test where what it needs cannot be had.
func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

package store

import (
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	bolt "go.etcd.io/bbolt"
)

// openWith opens a store that need not last, after preparing it.
func openWith(t testing.TB, path string, prepare func(*Bolt)) *Bolt {
	t.Helper()
	s, err := Open(path, Options{NoSync: true, prepare: prepare})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// small makes a log that is soon full and a file that is brought up to date
// often, in several transactions.
func small(s *Bolt) {
	s.log.half, s.foldAt = 4<<10, 2<<10
	s.many = func(tx *bolt.Tx) bool {
		stats := tx.Stats()
		return stats.GetNodeCount() >= 2
	}
}

// notes is what the notes on chats are, by chat.
type notes map[string]string

// random changes notes in an Update, and in a copy of what they were. Each
// update also sends a message, of which the last three wait.
func (n notes) random(random *rand.Rand, number int) (notes, func(Tx) error) {
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
	return next, func(tx Tx) error {
		sent, err := tx.Enqueue(Outgoing{Chat: "terminal/Ines"})
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
			if err := tx.PutAdapter(s.chat, []byte(s.text)); err != nil {
				return err
			}
		}
		return nil
	}
}

// readNotes returns all notes of a store.
func readNotes(t testing.TB, s *Bolt) notes {
	t.Helper()
	n := notes{}
	err := s.View(t.Context(), func(tx Tx) error {
		err := tx.(*boltTx).in("test", bucketAdapters, func(b merged) error {
			c := b.Cursor()
			for k, v := c.First(); k != nil; k, v = c.Next() {
				text, err := opened("test", k, v)
				if err != nil {
					return err
				}
				chat, _, _ := parted(k)
				n[chat] = string(text)
			}
			return nil
		})
		ms, pending := tx.Pending("terminal/Ines", 1000)
		if last := n.number(); len(ms) != min(last, 3) || last > 0 && ms[len(ms)-1].Number != uint64(last) {
			t.Errorf("after update %d there are the messages %v", last, ms)
		}
		return errors.Join(err, pending)
	})
	if err != nil {
		t.Error(err)
	}
	return n
}

// number is the last update that was made of notes.
func (n notes) number() (i int) {
	fmt.Sscan(n["last"], &i)
	return i
}

// twoFiles is the bytes of a file and of the log beside it; nil where there is
// none.
type twoFiles struct{ file, log []byte }

func copyOf(t testing.TB, path string) (c twoFiles) {
	t.Helper()
	var err error
	if c.file, err = os.ReadFile(path); err != nil {
		t.Error(err)
	}
	if c.log, err = os.ReadFile(path + redoSuffix); err != nil && !os.IsNotExist(err) {
		t.Error(err)
	}
	return c
}

// place writes the files into a new directory.
func (c twoFiles) place(t testing.TB) (path string) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "s.db")
	c.to(t, path)
	return path
}

func (c twoFiles) to(t testing.TB, path string) {
	t.Helper()
	err := os.WriteFile(path, c.file, 0o600)
	if c.log != nil {
		err = errors.Join(err, os.WriteFile(path+redoSuffix, c.log, 0o600))
	} else if there(path + redoSuffix) {
		err = errors.Join(err, os.Remove(path+redoSuffix))
	}
	if err != nil {
		t.Fatal(err)
	}
}

// wantNotes opens the files after a crash and compares what they hold with
// what was after one of the updates from the last that was acknowledged to the
// last that was begun.
func (c twoFiles) wantNotes(t testing.TB, path string, states []notes, acknowledged, begun int) {
	t.Helper()
	c.to(t, path)
	s, err := Open(path, Options{NoSync: true, prepare: small})
	if err != nil {
		t.Errorf("after a crash at %d to %d: %v", acknowledged, begun, err)
		return
	}
	got := readNotes(t, s)
	n := got.number()
	if n < acknowledged || n > begun {
		t.Errorf("update %d is the last, want %d to %d", n, acknowledged, begun)
	} else if !maps.Equal(got, states[n]) {
		t.Errorf("after update %d there is\n%q, want\n%q", n, got, states[n])
	}
	if err := errors.Join(s.Check(), s.Close()); err != nil {
		t.Error(err)
	}
}

// errNoSpace is what a disk says that is full.
var errNoSpace = syscall.ENOSPC

func wantCodeOf(t testing.TB, what string, err error, want Code) {
	t.Helper()
	if !isCode(err, want) {
		t.Errorf("%s: %v, want code %s", what, err, want)
	}
}

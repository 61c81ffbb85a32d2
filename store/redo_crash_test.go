package store

import (
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"sync/atomic"
	"testing"

	bolt "go.etcd.io/bbolt"
)

// crashes takes copies of what a crash would leave, at moments at which the
// store writes: before and after each write, with a part of it, and with a
// commit to the file whose pages are there and whose meta page is not.
type crashes struct {
	t      *testing.T
	path   string
	random *rand.Rand

	mu           sync.Mutex // one write at a time, so that a copy is of one moment
	took         []crash
	acknowledged atomic.Int64
	begun        atomic.Int64
	commits      int
}

// crash is a copy and what may be in it.
type crash struct {
	twoFiles
	acknowledged, begun int
}

func (c *crashes) prepare(s *Bolt) {
	small(s)
	s.log.write = func(f *os.File, b []byte, at int64) (int, error) {
		c.mu.Lock()
		defer c.mu.Unlock()
		c.take(func(is *twoFiles) { is.log = c.partly(is.log, b, at) })
		return f.WriteAt(b, at)
	}
	s.finish = func(tx *bolt.Tx) error {
		c.mu.Lock()
		defer c.mu.Unlock()
		c.commits++
		before, err := os.ReadFile(c.path)
		if err != nil {
			c.t.Error(err)
		}
		c.take(nil)
		if err := tx.Commit(); err != nil {
			return err
		}
		metas := before[:2*os.Getpagesize()]
		c.take(func(is *twoFiles) { copy(is.file, metas) })
		c.take(nil)
		return nil
	}
}

// take takes a copy, mostly; mu is held.
func (c *crashes) take(change func(*twoFiles)) {
	if c.random.IntN(3) == 0 {
		return
	}
	a := int(c.acknowledged.Load())
	is := crash{copyOf(c.t, c.path), a, int(c.begun.Load())}
	if change != nil {
		change(&is.twoFiles)
	}
	c.took = append(c.took, is)
}

// partly writes a part of what is written: its beginning, or whichever blocks
// the disk happened to write first.
func (c *crashes) partly(log, b []byte, at int64) []byte {
	log = slices.Clone(log)
	if more := int(at) + len(b) - len(log); more > 0 {
		log = append(log, make([]byte, more)...)
	}
	if c.random.IntN(2) == 0 {
		copy(log[at:], b[:c.random.IntN(len(b)+1)])
		return log
	}
	const block = 64
	for from := 0; from < len(b); from += block {
		if c.random.IntN(2) == 0 {
			copy(log[int(at)+from:], b[from:min(from+block, len(b))])
		}
	}
	return log
}

// TestCrashCopies opens what crashes at all kinds of moments would leave. It
// holds exactly what was after one of the updates, the last that was
// acknowledged or one behind it.
func TestCrashCopies(t *testing.T) {
	opened, commits := 0, 0
	path := filepath.Join(t.TempDir(), "crashed.db")
	for seed := range uint64(6) {
		random := rand.New(rand.NewPCG(seed, 2))
		c := &crashes{t: t, path: filepath.Join(t.TempDir(), "s.db"), random: rand.New(rand.NewPCG(seed, 3))}
		s := openWith(t, c.path, nil)
		if err := s.Close(); err != nil { // what is before the first update is not of interest
			t.Fatal(err)
		}
		s = openWith(t, c.path, c.prepare)
		states := []notes{{}}
		for len(states) < 150 {
			states = together(t, s, c, states, 1+random.IntN(3), random)
			switch random.IntN(40) {
			case 0:
				if err := s.Check(); err != nil {
					t.Fatal(err)
				}
			case 1:
				if err := s.Close(); err != nil {
					t.Fatal(err)
				}
				s = openWith(t, c.path, c.prepare)
			case 2: // a crash, of which the store itself knows nothing
				c.mu.Lock()
				is := copyOf(t, c.path)
				c.mu.Unlock()
				s.Close()
				is.to(t, c.path)
				s = openWith(t, c.path, c.prepare)
			}
		}
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		commits += c.commits
		for i, crash := range c.took {
			if i%3 != int(seed%3) && !testing.Verbose() {
				continue
			}
			opened++
			crash.wantNotes(t, path, states, crash.acknowledged, crash.begun)
			if t.Failed() {
				t.Fatalf("seed %d, copy %d", seed, i)
			}
		}
	}
	t.Logf("%d copies opened, %d commits to the file", opened, commits)
}

// together makes updates that wait for the log together, in an order.
func together(t *testing.T, s *Bolt, c *crashes, states []notes, n int, random *rand.Rand) []notes {
	t.Helper()
	s.disk.enter()
	var wg sync.WaitGroup
	for range n {
		number := len(states)
		next, change := states[number-1].random(random, number)
		states = append(states, next)
		c.begun.Store(int64(number))
		joined := make(chan struct{})
		wg.Go(func() {
			err := s.Update(t.Context(), func(tx Tx) error {
				defer close(joined)
				return change(tx)
			})
			if err != nil {
				t.Error(err)
			}
		})
		<-joined
		s.writer.enter() // it has joined when it lets go of the writer
		s.writer.leave()
	}
	s.disk.leave()
	wg.Wait()
	c.acknowledged.Store(int64(len(states) - 1))
	return states
}

// TestCrashAgain opens a store, writes to it once and crashes, again and
// again; the log is never taken away.
func TestCrashAgain(t *testing.T) {
	path := filepath.Join(t.TempDir(), "s.db")
	random := rand.New(rand.NewPCG(1, 1))
	states := []notes{{}}
	noSpace := func(s *Bolt) {
		small(s)
		s.finish = func(tx *bolt.Tx) error { return errors.Join(tx.Rollback(), errNoSpace) }
	}
	for round := range 120 {
		prepare := small
		if round%4 > 1 { // and the file cannot be written
			prepare = noSpace
		}
		s := openWith(t, path, prepare)
		if got := readNotes(t, s); got.number() != len(states)-1 {
			t.Fatalf("update %d, want %d", got.number(), len(states)-1)
		}
		for range 1 + round%2 {
			next, change := states[len(states)-1].random(random, len(states))
			err := s.Update(t.Context(), change)
			if err != nil && !isFull(err) {
				t.Fatal(err)
			}
			if err == nil {
				states = append(states, next)
			}
		}
		is := copyOf(t, path)
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		is.wantNotes(t, path, states, len(states)-1, len(states)-1)
		is.to(t, path)
	}
	if len(states) < 100 {
		t.Errorf("only %d updates were made", len(states))
	}
}

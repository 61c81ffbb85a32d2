package bolt

import (
	"errors"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sync/atomic"
	"testing"
	"testing/synctest"

	"go.etcd.io/bbolt"
)

// crashes takes copies of what a crash would leave: before and after each
// commit, with its pages there and its meta page not, with a part of its pages,
// and with a meta page that is torn.
type crashes struct {
	t      *testing.T
	path   string
	random *rand.Rand
	took   []crash

	acknowledged, begun atomic.Int64
}

// crash is a copy and what may be in it.
type crash struct {
	file                []byte
	acknowledged, begun int
}

func (c *crashes) finish(tx *bbolt.Tx) error {
	before := fileOf(c.t, c.path)
	c.take(before)
	if err := tx.Commit(); err != nil {
		return err
	}
	page := os.Getpagesize()
	after := fileOf(c.t, c.path)
	c.take(after)
	pages := append(before[:2*page:2*page], after[2*page:]...)
	c.take(pages)
	half := append(pages[:0:0], pages...)
	for at := 2 * page; at+page <= min(len(half), len(before)); at += page {
		if c.random.IntN(2) == 0 {
			copy(half[at:at+page], before[at:])
		}
	}
	c.take(half)
	torn := append(after[:0:0], after...)
	for i := range 2 {
		if at := i*page + pageHeader + metaLast; order.Uint64(torn[at:]) != order.Uint64(before[at:]) {
			copy(torn[at:], before[at:at+4+c.random.IntN(12)])
			torn[at] ^= 0xff
		}
	}
	c.take(torn)
	return nil
}

// take keeps a copy, mostly.
func (c *crashes) take(file []byte) {
	if c.random.IntN(3) > 0 {
		c.took = append(c.took, crash{file, int(c.acknowledged.Load()), int(c.begun.Load())})
	}
}

// TestCrashCopies opens what crashes at all kinds of moments would leave. It
// holds exactly what was after one of the commits, the last that was
// acknowledged or the one behind it.
func TestCrashCopies(t *testing.T) {
	t.Parallel()
	opened := 0
	for seed := range uint64(4) {
		synctest.Test(t, func(t *testing.T) {
			random := rand.New(rand.NewPCG(seed, 2))
			c := &crashes{t: t, path: filepath.Join(t.TempDir(), "s.db"), random: rand.New(rand.NewPCG(seed, 3))}
			s := openWith(t, c.path, c.finish)
			states := []notes{{}}
			for len(states) < 60 {
				var changes []func(*transaction) error
				for range 1 + random.IntN(3) {
					next, change := states[len(states)-1].random(random, len(states))
					states, changes = append(states, next), append(changes, change)
				}
				c.begun.Store(int64(len(states) - 1))
				must(t, errors.Join(grouped(t, s, len(changes), func(i int, tx *transaction) error { return changes[i](tx) })...))
				c.acknowledged.Store(int64(len(states) - 1))
				if random.IntN(8) == 0 { // closed, or crashed
					crashed := fileOf(t, c.path)
					must(t, s.Close())
					if random.IntN(2) == 0 {
						must(t, os.WriteFile(c.path, crashed, 0o600))
					}
					s = openWith(t, c.path, c.finish)
				}
			}
			must(t, s.Close())
			for i, crash := range c.took {
				if opened++; !crash.holds(t, states) {
					t.Fatalf("seed %d, copy %d", seed, i)
				}
			}
		})
	}
	t.Logf("%d copies opened", opened)
}

func (c crash) holds(t *testing.T, states []notes) bool {
	path := placed(t, c.file)
	s, err := Open(path, Options{NoSync: true})
	if err != nil {
		t.Errorf("after a crash at %d to %d: %v", c.acknowledged, c.begun, err)
		return false
	}
	got := readNotes(t, s)
	if n := got.number(); n != c.acknowledged && n != c.begun {
		t.Errorf("update %d is the last, want %d or %d", n, c.acknowledged, c.begun)
	} else if !maps.Equal(got, states[n]) {
		t.Errorf("after update %d there is\n%q, want\n%q", n, got, states[n])
	}
	if err := errors.Join(s.Check(), s.Close()); err != nil {
		t.Error(err)
	}
	return !t.Failed()
}

package bolt_test

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"

	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

// TestUpdatesTogether runs many updates at once that count up, some of which
// fail after they wrote: what is kept is exactly what was said to be kept.
func TestUpdatesTogether(t *testing.T) {
	const workers, each = 32, 40
	path := filepath.Join(t.TempDir(), "s.db")
	s := openStore(t, path)
	var kept [workers]int
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			chat := fmt.Sprint("chat", w)
			for n := range each {
				ctx, cancel := context.WithCancel(t.Context())
				if n%7 == 3 {
					cancel()
				}
				c := store.Commit{Writes: []store.Write{store.Enqueue{Chat: chat}}}
				if n%5 == 1 {
					c.Writes = append(c.Writes, store.PutHousehold{Household: new(planner.Household)}) // without an id
				}
				err := s.Commit(ctx, c)
				cancel()
				var refused *store.Error
				switch {
				case err == nil:
					kept[w]++
				case n%5 == 1 && errors.As(err, &refused) && refused.Code == store.Internal:
				case n%7 == 3 && errors.Is(err, context.Canceled):
				default:
					t.Errorf("update %d of %d: %v", n, w, err)
				}
			}
		})
	}
	// A single writer goes on between them.
	for range 50 {
		if err := commit(s, store.PutAdapter{Chat: "x", Notes: []byte("y")}); err != nil {
			t.Error(err)
		}
	}
	wg.Wait()
	must(t, storetest.Look(t.Context(), s, func(tx store.Snapshot) error {
		for w := range workers {
			ms, err := tx.Pending(fmt.Sprint("chat", w), 1000)
			if err != nil || len(ms) != kept[w] {
				t.Errorf("chat %d has %d messages, %d were kept, %v", w, len(ms), kept[w], err)
			}
		}
		return nil
	}))
}

// BenchmarkUpdate writes from one goroutine, which waits for the disk each
// time, and from 64 at once, which share the wait.
func BenchmarkUpdate(b *testing.B) {
	for _, at := range []int{1, 64} {
		b.Run(fmt.Sprint("writers=", at), func(b *testing.B) {
			s, err := bolt.Open(filepath.Join(b.TempDir(), "s.db"), bolt.Options{})
			must(b, err)
			defer s.Close()
			var left atomic.Int64
			left.Store(int64(b.N))
			var wg sync.WaitGroup
			b.ResetTimer()
			for range at {
				wg.Go(func() {
					for n := left.Add(-1); n >= 0; n = left.Add(-1) {
						if err := commit(s, store.Enqueue{Chat: "a"}, store.Delivered(int64(b.N)-n)); err != nil {
							b.Error(err)
						}
					}
				})
			}
			wg.Wait()
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "updates/s")
		})
	}
}

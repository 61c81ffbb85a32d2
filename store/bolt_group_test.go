package store_test

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"

	"bowlwright/store"
)

// TestUpdatesTogether runs many updates at once that count up, some of which
// fail after they wrote: what is kept is exactly what was said to be kept.
func TestUpdatesTogether(t *testing.T) {
	const workers, each = 32, 40
	path := filepath.Join(t.TempDir(), "s.db")
	s := openStore(t, path)
	mine := errors.New("mine")
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
				err := s.Update(ctx, func(tx store.Tx) error {
					if _, err := tx.Enqueue(store.Outgoing{Chat: chat}); err != nil {
						return err
					}
					if n%5 == 1 {
						return mine
					}
					return nil
				})
				cancel()
				switch {
				case err == nil:
					kept[w]++
				case n%5 == 1 && errors.Is(err, mine):
				case n%7 == 3 && errors.Is(err, context.Canceled):
				default:
					t.Errorf("update %d of %d: %v", n, w, err)
				}
			}
		})
	}
	// A single writer goes on between them.
	for range 50 {
		if err := s.Update(t.Context(), func(tx store.Tx) error { return tx.PutAdapter("x", []byte("y")) }); err != nil {
			t.Error(err)
		}
	}
	wg.Wait()
	err := s.View(t.Context(), func(tx store.Tx) error {
		for w := range workers {
			ms, err := tx.Pending(fmt.Sprint("chat", w), 1000)
			if err != nil || len(ms) != kept[w] {
				t.Errorf("chat %d has %d messages, %d were kept, %v", w, len(ms), kept[w], err)
			}
		}
		return nil
	})
	if err != nil {
		t.Error(err)
	}
}

// BenchmarkUpdate writes from one goroutine, which waits for the disk each
// time, and from 64 at once, which share the wait.
func BenchmarkUpdate(b *testing.B) {
	for _, at := range []int{1, 64} {
		b.Run(fmt.Sprint("writers=", at), func(b *testing.B) {
			s, err := store.Open(filepath.Join(b.TempDir(), "s.db"), store.Options{})
			if err != nil {
				b.Fatal(err)
			}
			defer s.Close()
			var left atomic.Int64
			left.Store(int64(b.N))
			var wg sync.WaitGroup
			b.ResetTimer()
			for range at {
				wg.Go(func() {
					for left.Add(-1) >= 0 {
						err := s.Update(context.Background(), func(tx store.Tx) error {
							n, err := tx.Enqueue(store.Outgoing{Chat: "a"})
							if err != nil {
								return err
							}
							return tx.Delivered(n)
						})
						if err != nil {
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

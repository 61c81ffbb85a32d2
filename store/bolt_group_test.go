package store_test

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"sync"
	"testing"

	"bowlwright/store"
	"bowlwright/store/storetest"
)

func TestGroupedContract(t *testing.T) {
	storetest.Run(t, func(t testing.TB) store.Store {
		return openStore(t, filepath.Join(t.TempDir(), "s.db")).Grouped()
	})
}

// TestGroupedUpdates runs many updates at once that count up, some of which
// fail after they wrote: what is kept is exactly what was said to be kept.
func TestGroupedUpdates(t *testing.T) {
	const workers, each = 32, 40
	path := filepath.Join(t.TempDir(), "s.db")
	s := openStore(t, path)
	g := s.Grouped()
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
				err := g.Update(ctx, func(tx store.Tx) error {
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
	// Plain updates and reads go on between them.
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

// BenchmarkGrouped compares updates of 64 at once that wait for the disk one
// by one with those that share the wait.
func BenchmarkGrouped(b *testing.B) {
	for name, of := range map[string]func(*store.Bolt) store.Store{
		"one by one": func(s *store.Bolt) store.Store { return s },
		"shared":     func(s *store.Bolt) store.Store { return s.Grouped() },
	} {
		b.Run(name, func(b *testing.B) {
			bolt, err := store.Open(filepath.Join(b.TempDir(), "s.db"), store.Options{})
			if err != nil {
				b.Fatal(err)
			}
			defer bolt.Close()
			s := of(bolt)
			b.SetParallelism(32) // times GOMAXPROCS
			b.RunParallel(func(pb *testing.PB) {
				for pb.Next() {
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
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "updates/s")
		})
	}
}

package bolt_test

import (
	"fmt"
	"path/filepath"
	"sync"
	"testing"

	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/bolt"
)

// TestCompactWhileInUse makes the file anew again and again while others read
// and commit: nothing that was committed is lost, and a snapshot stays what it
// was.
func TestCompactWhileInUse(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "a.db")
	s, err := bolt.Open(path, bolt.Options{NoSync: true})
	if err != nil {
		t.Fatal(err)
	}
	early, err := s.Read(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	const workers, each = 4, 50
	var all sync.WaitGroup
	for n := range workers {
		all.Go(func() {
			for i := range each {
				id := fmt.Sprintf("home%d-%d", n, i)
				err := s.Commit(t.Context(), store.Commit{Event: id, Writes: []store.Write{store.PutHousehold{Household: &planner.Household{ID: id}}}})
				if err != nil {
					t.Error(err)
				}
				snap, err := s.Read(t.Context())
				if err != nil {
					t.Error(err)
					return
				}
				if _, err := snap.Household(id); err != nil {
					t.Errorf("%s: %v", id, err)
				}
				snap.Close()
			}
		})
	}
	for range 10 {
		if err := s.Commit(t.Context(), store.Commit{Writes: []store.Write{store.MarkSeen{Event: store.CompactMark}}}); err != nil {
			t.Error(err)
		}
		if err := s.Compact(t.Context()); err != nil {
			t.Error(err)
		}
	}
	all.Wait()
	if _, err := early.Household("home0-0"); !store.IsNotFound(err) {
		t.Errorf("the first snapshot has what came later: %v", err)
	}
	early.Close()
	if err := s.Close(); err != nil {
		t.Error(err)
	}
	if f, err := bolt.Verify(path); err != nil || f.Unclosed || f.Households != workers*each {
		t.Errorf("%+v, %v", f, err)
	}
}

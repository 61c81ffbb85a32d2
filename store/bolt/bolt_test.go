package bolt_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

// openStore opens the store in a file and, when the test ends, checks its
// integrity and closes it.
func openStore(t testing.TB, path string) *bolt.Store {
	t.Helper()
	s := mustOpen(t, path)
	t.Cleanup(func() { checkAndClose(t, s) })
	return s
}

// mustOpen opens a store that the test closes itself.
func mustOpen(t testing.TB, path string) *bolt.Store {
	t.Helper()
	s, err := bolt.Open(path, bolt.Options{NoSync: true})
	must(t, err)
	return s
}

func fileOf(t testing.TB, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	must(t, err)
	return data
}

func checkAndClose(t testing.TB, s *bolt.Store) {
	t.Helper()
	if err := s.Check(); err != nil {
		t.Errorf("integrity: %v", err)
	}
	if err := s.Close(); err != nil {
		t.Errorf("close: %v", err)
	}
}

func TestContract(t *testing.T) {
	storetest.Run(t, func(t testing.TB) store.Store {
		return openStore(t, filepath.Join(t.TempDir(), "s.db"))
	})
}

func TestRandomOperations(t *testing.T) {
	t.Parallel()
	for seed := range uint64(6) {
		path := filepath.Join(t.TempDir(), "s.db")
		s := mustOpen(t, path)
		reopen := func(store.Store) store.Store {
			checkAndClose(t, s)
			s = mustOpen(t, path)
			return s
		}
		storetest.Random(t, s, reopen, seed, 400)
		checkAndClose(t, s)
	}
}

// TestPurgeMany forgets more events than one transaction of it does.
func TestPurgeMany(t *testing.T) {
	const old, recent = 2345, 10
	s := openStore(t, filepath.Join(t.TempDir(), "s.db"))
	var marks []store.Write
	for n := range old + recent {
		marks = append(marks, store.MarkSeen{Event: fmt.Sprint("event-", n), At: at.Add(time.Duration(n) * time.Second)})
	}
	must(t, commit(s, marks...))
	if err := store.Purge(t.Context(), s, at.Add(old*time.Second)); err != nil {
		t.Error(err)
	}
	must(t, storetest.Look(t.Context(), s, func(tx store.Snapshot) error {
		for n := range old + recent {
			if seen, err := tx.Seen(fmt.Sprint("event-", n)); seen != (n >= old) || err != nil {
				t.Fatalf("event %d: %v, %v", n, seen, err)
			}
		}
		return nil
	}))
}

func TestScratch(t *testing.T) {
	s, err := bolt.Scratch()
	must(t, err)
	dir := filepath.Dir(s.Path())
	if _, err := os.Stat(s.Path()); err != nil {
		t.Error(err)
	}
	checkAndClose(t, s)
	if _, err := os.Stat(dir); !os.IsNotExist(err) {
		t.Errorf("the scratch directory is left behind: %v", err)
	}
}

func TestClosed(t *testing.T) {
	other, err := bolt.Scratch()
	must(t, err)
	// Close waits for a transaction under way.
	closed := make(chan error)
	err = storetest.Look(t.Context(), other, func(tx store.Snapshot) error {
		go func() { closed <- other.Close() }()
		_, err := tx.Seen("e1")
		return err
	})
	if err := <-closed; err != nil {
		t.Error(err)
	}
	if err != nil {
		t.Error(err)
	}
	for _, err := range []error{
		storetest.Look(t.Context(), other, func(store.Snapshot) error { return nil }),
		commit(other),
		other.Check(),
	} {
		wantCode(t, "a closed store", err, store.Internal)
	}
	if err := other.Close(); err != nil {
		t.Errorf("closing twice: %v", err)
	}
}

// commit makes some writes that rest on nothing.
func commit(s store.Store, w ...store.Write) error {
	return s.Commit(context.Background(), store.Commit{Writes: w})
}

// wantCode fails unless an error is a *store.Error with a code.
func wantCode(t testing.TB, what string, err error, want store.Code) {
	t.Helper()
	var e *store.Error
	if !errors.As(err, &e) || e.Code != want {
		t.Errorf("%s: %v, want code %s", what, err, want)
	}
}

// event is what handling one event writes: its id, the household, what it was
// before, and a reply.
func event(h *planner.Household, n int) []store.Write {
	id, is := fmt.Sprint("event-", n), *h
	is.LastID = n
	return []store.Write{
		store.Enqueue{Chat: "terminal/Ines", Event: id, At: at, Body: []byte(`{"body":[{"text":"Juniper weighs 19.6 kg."}]}`)},
		store.MarkSeen{Event: id, At: at}, store.PutHousehold{Household: &is},
		store.PushChange{Household: h.ID, Change: store.Change{ID: id, At: at, Kind: "dog.changed", Before: &is}},
	}
}

// noted is what an event in which a dog is weighed writes besides.
func noted(household string, n int) []store.Write {
	when := at.Add(time.Duration(n) * time.Hour)
	return []store.Write{
		store.PutEntry{Household: household, Entry: planner.Entry{ID: fmt.Sprint("note-", n), Kind: planner.Weighed, Dog: "d1", At: when, Entered: when, Weight: 19.6}},
		store.PutDue{Household: household, At: when.AddDate(0, 0, 7), Through: when},
	}
}

var at = time.Date(2026, time.March, 3, 7, 30, 0, 0, time.UTC)

// fill makes a store of so many households, each with MaxChanges events.
func fill(tb testing.TB, path string, households int, o bolt.Options) {
	s, err := bolt.Open(path, o)
	must(tb, err)
	defer checkAndClose(tb, s)
	for i := range households {
		h := storetest.Quayside()
		h.ID = fmt.Sprint("household-", i)
		all := []store.Write{store.PutMember{Chat: "terminal/Ines", Person: fmt.Sprint("carer-", i), Household: h.ID}}
		for n := range store.MaxChanges {
			all = append(append(all, event(h, i*store.MaxChanges+n)...), noted(h.ID, i*store.MaxChanges+n)...)
		}
		must(tb, commit(s, all...))
	}
}

// must ends a test where what it needs cannot be had.
func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

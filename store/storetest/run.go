package storetest

import (
	"context"
	"errors"
	"reflect"
	"sync/atomic"
	"testing"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// Run runs the contract on a store. The function opens a new, empty store
// that is closed when the test it is given ends.
func Run(t *testing.T, open func(t testing.TB) store.Store) {
	for _, c := range []struct {
		name string
		run  func(*testing.T, store.Store)
	}{
		{"events", events}, {"members", members}, {"members of a household", membersOf}, {"invitations", invitations},
		{"endings", endings}, {"a household is forgotten", householdForgotten}, {"a chat moves", chatMoves},
		{"households", households},
		{"dialogues", dialogues}, {"changes", changes}, {"adapter notes", adapterNotes},
		{"outbox", outbox}, {"outbox of a chat", outboxOfChat}, {"outbox, what goes behind", outboxBehind}, {"numbers", numbers}, {"inbox", inbox},
		{"journal", journal}, {"an entry is replaced", entryReplaced}, {"queries of the journal", entryQueries},
		{"names in the journal", journalNames}, {"a journal is forgotten", journalForgotten}, {"agenda", agenda},
		{"pending chats", pendingChats}, {"blocked", blocked}, {"sizes", sizes}, {"dead", dead},
		{"a commit is whole", commitIsWhole}, {"an event seen twice", seenTwice}, {"conflicts", conflicts},
		{"a snapshot is one state", snapshotIsOneState}, {"a snapshot ends", snapshotEnds}, {"values are copies", valuesAreCopies},
		{"context", honoursContext}, {"answers again", answersAgain}, {"jobs go on", jobsGoOn},
		{"what is due is claimed", dueIsClaimed}, {"the outbox is claimed", outboxIsClaimed}, {"the inbox is claimed", inboxIsClaimed},
		{"leases are renewed", leasesAreRenewed}, {"each to one", eachToOne}, {"one leads", oneLeads},
		{"what is published", published}, {"publishing is forgotten", publishingForgotten},
		{"names do not run together", namesDoNotRunTogether}, {"what cannot be kept", cannotBeKept},
	} {
		t.Run(c.name, func(t *testing.T) { c.run(t, open(t)) })
	}
}

// The demo world: the times are inventions.
const (
	chat   = "terminal/Ines"
	person = "terminal/Ines"
)

var morning = time.Date(2026, time.March, 3, 7, 30, 0, 250, time.UTC)

// Quayside returns the demo household with everything in it that has a shape
// of its own.
func Quayside() *planner.Household {
	return &planner.Household{
		ID:     "quayside",
		Carers: []planner.Carer{{Person: person, Name: "Ines"}, {Person: "terminal/Tomas", Name: "Tomas"}},
		Dogs: []planner.Dog{
			{ID: "d1", Name: "Juniper", Weight: 19.6, Sex: planner.Female, Neutered: planner.Yes, Condition: 5, Weighed: morning},
			{ID: "d2", Name: "Bracken", Weight: 34.8, Condition: 7, Excludes: []string{"pork"}},
		},
		Recipes: []planner.Recipe{{
			ID: "r1", Name: "Turkey and heart",
			Ingredients: []planner.Ingredient{{Food: "turkey-thigh-skinless", Grams: 412.5, Typed: "412,5 g turkey"}},
			Doses:       []planner.Dose{{Food: "vitamin-e", Count: 1, Cadence: planner.Cadence{Weekdays: []time.Weekday{time.Monday}}}},
		}},
		Foods: []nutrition.Food{{
			Key: "own-1", Name: "kale, own", Tags: nutrition.Oxalate, Source: "label",
			Measure: []nutrition.Measure{{Unit: "cup", Grams: 67}},
		}},
		Zone: "Europe/Lisbon", Told: map[string]bool{"liver": true}, LastID: 4, Created: morning,
	}
}

func view(t testing.TB, s store.Store, f func(store.Snapshot)) {
	t.Helper()
	must(t, Look(context.Background(), s, func(tx store.Snapshot) error {
		f(tx)
		return nil
	}))
}

// commit makes some writes that rest on nothing.
func commit(s store.Store, w ...store.Write) error {
	return s.Commit(context.Background(), store.Commit{Writes: w})
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// is checks an answer: is(t, "notes", want)(tx.Adapter(chat)).
func is[T any](t testing.TB, what string, want T) func(T, error) {
	return func(got T, err error) {
		t.Helper()
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %+v, %v; want %+v", what, got, err, want)
		}
	}
}

// fails checks that an answer is an error with a code.
func fails(t testing.TB, what string, want store.Code) func(any, error) {
	return func(_ any, err error) {
		t.Helper()
		wantCode(t, what, err, want)
	}
}

// wantCode fails unless an error is a *store.Error with a code.
func wantCode(t testing.TB, what string, err error, want store.Code) {
	t.Helper()
	if got := codeOf(err); got != want {
		t.Errorf("%s: code %q (%v), want %q", what, got, err, want)
	}
}

// codeOf returns the code of an error: "" of none, "foreign" where it is not
// a *store.Error.
func codeOf(err error) store.Code {
	var e *store.Error
	switch {
	case err == nil:
		return ""
	case errors.As(err, &e):
		return e.Code
	}
	return "foreign"
}

// Put adds writes to a commit; its error is always nil, so that it can stand
// where one is returned.
type Put func(...store.Write) error

// Look calls f with a snapshot.
func Look(ctx context.Context, s store.Store, f func(store.Snapshot) error) error {
	snap, err := s.Read(ctx)
	if err != nil {
		return err
	}
	defer snap.Close()
	return f(snap)
}

// Change commits what f puts, which may rest on what it reads.
func Change(ctx context.Context, s store.Store, f func(store.Snapshot, Put) error) error {
	return store.Answer(ctx, s, func(snap store.Snapshot) (c store.Commit, err error) {
		err = f(snap, func(w ...store.Write) error {
			c.Writes = append(c.Writes, w...)
			return nil
		})
		return c, err
	})
}

// FullDisk is a store on a disk without room, as long as it is full.
type FullDisk struct {
	store.Store
	Full atomic.Bool
}

func (f *FullDisk) Commit(ctx context.Context, c store.Commit) error {
	if f.Full.Load() {
		return &store.Error{Code: store.Full, Op: "update", Err: errors.New("no space left on device")}
	}
	return f.Store.Commit(ctx, c)
}

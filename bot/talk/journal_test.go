package talk

import (
	"context"
	"errors"
	"slices"
	"testing"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// weights are the weights in the journal of the talker's household, in order.
func weights(k *talker) (out []nutrition.Kilograms) {
	k.t.Helper()
	err := storetest.Look(context.Background(), k.s, func(tx store.Snapshot) error {
		home, err := tx.Member("test/"+k.name, "test/"+k.name)
		if err != nil {
			return err
		}
		all, err := tx.Entries(home, store.EntryQuery{})
		for _, e := range all {
			if e.Weight != 19.6 { // that of the dog when it was added
				out = append(out, e.Weight)
			}
		}
		return err
	})
	if err != nil {
		k.t.Fatal(err)
	}
	return out
}

func wantWeights(k *talker, when string, want ...nutrition.Kilograms) {
	k.t.Helper()
	if got := weights(k); !slices.Equal(got, want) {
		k.t.Errorf("%s: %v, want %v", when, got, want)
	}
}

// weighed enters a weight in a turn of its own.
func weighed(k *talker, kg nutrition.Kilograms) (e planner.Entry) {
	k.turnOf(func(t *Turn) {
		t.Mutate("did.testing", "Juniper")
		e = t.Note(planner.Entry{Kind: planner.Weighed, Dog: "d1", Weight: kg})
	})
	return e
}

func TestNoteFillsIn(t *testing.T) {
	k := newTalker(t)
	var first, second, back planner.Entry
	auckland := time.FixedZone("NZDT", 13*60*60)
	e := k.turnOf(func(t *Turn) {
		t.Home.Zone = "Pacific/Auckland"
		t.Event.At = t.Event.At.In(auckland)
		t.Mutate("did.testing", "Juniper")
		first = t.Note(planner.Entry{Kind: planner.Weighed, Dog: "d1", Weight: 19.4})
		second = t.Note(planner.Entry{Kind: planner.Weighed, Dog: "d1", Weight: 19.5})
		// 23:30 of the day before in UTC is the day itself there.
		back = t.Note(planner.Entry{Kind: planner.Weighed, Dog: "d1", Weight: 19.3, At: time.Date(2026, 2, 28, 23, 30, 0, 0, time.UTC)})
	})
	today := planner.DateOf(e.At.In(auckland))
	if first.Person != e.Person || !first.At.Equal(e.At) || !first.Entered.Equal(e.At) || first.Date != today {
		t.Errorf("a note was filled in as %+v", first)
	}
	if want := (planner.Date{Year: 2026, Month: time.March, Day: 1}); back.Date != want || !back.Entered.Equal(e.At) {
		t.Errorf("a note of the past is of %v, entered %v; want %v", back.Date, back.Entered, want)
	}
	wantWeights(k, "in order of time", 19.3, 19.4, 19.5)

	if !(first.ID < second.ID && second.ID < back.ID) {
		t.Errorf("ids %q, %q, %q are not in the order of telling", first.ID, second.ID, back.ID)
	}
}

// TestNotesOfAnInstant keeps what is told at one instant in the order in which
// it is told, in several turns too.
func TestNotesOfAnInstant(t *testing.T) {
	k := newTalker(t)
	for _, kg := range []nutrition.Kilograms{21, 20, 22, 19, 23} {
		k.do = func(u *Turn) {
			u.Mutate("did.testing", "Juniper")
			u.Note(planner.Entry{Kind: planner.Weighed, Dog: "d1", Weight: kg})
		}
		e := k.event("/testing")
		e.At = talkTime.Add(time.Hour)
		k.send(e)
	}
	wantWeights(k, "of one instant", 21, 20, 22, 19, 23)
}

// TestTurnSeesItsNotes looks into the journal within the turn that changes it.
func TestTurnSeesItsNotes(t *testing.T) {
	k := newTalker(t)
	one, two := weighed(k, 20), weighed(k, 21)
	k.turnOf(func(u *Turn) {
		u.Mutate("did.testing", "Juniper")
		want := func(when string, q store.EntryQuery, want ...nutrition.Kilograms) {
			t.Helper()
			var got []nutrition.Kilograms
			for _, e := range u.Entries(q) {
				if e.Weight != 19.6 { // that of the dog when it was added
					got = append(got, e.Weight)
				}
			}
			if !slices.Equal(got, want) {
				t.Errorf("%s: %v, want %v", when, got, want)
			}
		}
		u.Unnote(two)
		want("one taken out", store.EntryQuery{}, 20)
		want("the newest of what is left", store.EntryQuery{Newest: true, Limit: 1}, 20)
		early := u.Note(planner.Entry{Kind: planner.Weighed, Dog: "d1", Weight: 18, At: one.At.Add(-time.Hour)})
		u.Note(planner.Entry{Kind: planner.Treat, Dog: "d1", Kcal: 40})
		want("one put before", store.EntryQuery{Kinds: []planner.EntryKind{planner.Weighed}}, 18, 20)
		want("the newest first", store.EntryQuery{Kinds: []planner.EntryKind{planner.Weighed}, Newest: true}, 20, 18)
		want("of another dog", store.EntryQuery{Dog: "d2"})
		want("before a time", store.EntryQuery{To: one.At}, 18)
		want("from a time", store.EntryQuery{From: one.At, Kinds: []planner.EntryKind{planner.Weighed}}, 20)
		one.Weight = 20.5
		u.Note(one)
		want("one corrected", store.EntryQuery{Kinds: []planner.EntryKind{planner.Weighed}}, 18, 20.5)
		if e, ok := u.Entry(one.ID); !ok || e.Weight != 20.5 {
			t.Errorf("the corrected entry: %+v, %v", e, ok)
		}
		if _, ok := u.Entry(two.ID); ok {
			t.Error("the entry that was taken out is still there")
		}
		u.Unnote(early)
		want("what was put taken out", store.EntryQuery{Kinds: []planner.EntryKind{planner.Weighed}}, 20.5)
	})
	wantWeights(k, "afterwards", 20.5, 0)
}

// TestUndoTakesBackTheJournal changes the journal in every way and takes the
// changes back one after another.
func TestUndoTakesBackTheJournal(t *testing.T) {
	k := newTalker(t)
	one := weighed(k, 20)
	weighed(k, 21)
	k.turnOf(func(u *Turn) { // corrects one, at another time, and adds one
		u.Mutate("did.testing", "Juniper")
		e := one
		e.Weight, e.At = 20.5, e.At.Add(-time.Hour)
		u.Note(e)
		u.Note(planner.Entry{Kind: planner.Weighed, Dog: "d1", Weight: 22})
	})
	wantWeights(k, "corrected", 20.5, 21, 22)
	k.turnOf(func(u *Turn) {
		u.Mutate("did.testing", "Juniper")
		u.Unnote(one)
		u.Unnote(one)
	})
	wantWeights(k, "deleted", 21, 22)
	for _, want := range [][]nutrition.Kilograms{{20.5, 21, 22}, {20, 21}, {20}, nil} {
		k.send(k.event("/undo"))
		wantWeights(k, "taken back", want...)
	}
}

// between commits something once, after a turn was worked out and before it is
// committed.
type between struct {
	store.Store
	first *store.Commit
}

func (s *between) Commit(ctx context.Context, c store.Commit) error {
	if first := s.first; first != nil {
		s.first = nil
		if err := s.Store.Commit(ctx, *first); err != nil {
			return err
		}
	}
	return s.Store.Commit(ctx, c)
}

// TestNotesMoveTheRevision has two carers answer for one bowl at once: the
// second must see what the first entered.
func TestNotesMoveTheRevision(t *testing.T) {
	k := newTalker(t)
	before := rev(k)
	weighed(k, 20)
	if got := rev(k); got != before+1 {
		t.Errorf("revision %d after a note at %d", got, before)
	}
	k.turnOf(func(u *Turn) { u.Note(planner.Entry{Kind: planner.Fed, Dog: "d2"}) }) // without mutate
	if got := rev(k); got != before+2 {
		t.Errorf("revision %d after two notes at %d", got, before)
	}

	race := &between{Store: k.s}
	k.on(race)
	fed := store.EntryQuery{Kinds: []planner.EntryKind{planner.Fed}, Dog: "d1"}
	press := func(u *Turn) {
		u.Mutate("did.testing", "Juniper")
		if len(u.Entries(fed)) == 0 {
			u.Note(planner.Entry{Kind: planner.Fed, Dog: "d1"})
		}
	}
	first := k.event("/testing")
	k.do = press
	// The other press is worked out and written while this one waits.
	var other *Turn
	race.first = new(store.Commit)
	err := storetest.Look(t.Context(), k.s, func(tx store.Snapshot) (err error) {
		other, *race.first, err = k.a.turn(t.Context(), tx, k.event("/testing"))
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	k.send(first)
	err = storetest.Look(t.Context(), k.s, func(tx store.Snapshot) error {
		all, err := tx.Entries(other.Home.ID, fed)
		if len(all) != 1 {
			t.Errorf("%d bowls were fed, want 1", len(all))
		}
		return err
	})
	if err != nil {
		t.Error(err)
	}
}

func rev(k *talker) (rev uint64) {
	k.t.Helper()
	err := storetest.Look(context.Background(), k.s, func(tx store.Snapshot) error {
		home, err := tx.Member("test/"+k.name, "test/"+k.name)
		if err != nil {
			return err
		}
		h, err := tx.Household(home)
		if err == nil {
			rev = h.Rev
		}
		return err
	})
	if err != nil {
		k.t.Fatal(err)
	}
	return rev
}

// TestEntriesFail has the store fail under a turn.
func TestEntriesFail(t *testing.T) {
	cause := &store.Error{Code: store.Damaged, Op: "entries"}
	u := &Turn{Snap: failing{cause: cause}, Home: &planner.Household{ID: "quayside"}}
	if got := u.Entries(store.EntryQuery{}); got != nil || !errors.Is(u.Err, cause) {
		t.Errorf("%v, %v", got, u.Err)
	}
	u.Err = nil
	if _, ok := u.Entry("x"); ok || !errors.Is(u.Err, cause) {
		t.Errorf("an entry: %v, %v", ok, u.Err)
	}
}

type failing struct {
	store.Snapshot
	cause error
}

func (f failing) Entries(string, store.EntryQuery) ([]planner.Entry, error) { return nil, f.cause }

func (f failing) Entry(string, string) (planner.Entry, error) {
	return planner.Entry{}, f.cause
}

// TestTrendIsReadOnce looks at the weights through what the turn has read of
// them, which must say what a query of its own does.
func TestTrendIsReadOnce(t *testing.T) {
	k := newTalker(t)
	one, two := weighed(k, 20), weighed(k, 21)
	k.turnOf(func(u *Turn) {
		u.Mutate("did.testing", "Juniper")
		d := u.Dog("d1")
		same := func(when string) {
			t.Helper()
			if got, want := Trend(u, d), u.Entries(store.EntryQuery{Dog: d.ID, Kinds: trendKinds}); !slices.Equal(got, want) || len(got) == 0 {
				t.Errorf("%s: %v, want %v", when, got, want)
			}
		}
		same("as it is")
		u.Note(planner.Entry{Kind: planner.Weighed, Dog: "d1", Weight: 18, At: one.At.Add(-time.Hour)})
		u.Note(planner.Entry{Kind: planner.Scored, Dog: "d1", Score: 5})
		same("one put before, and a score")
		u.Unnote(two)
		same("one taken out")
		one.Weight = 20.5
		u.Note(one)
		same("one corrected")
		other := *d
		other.ID = "d2"
		if got := Trend(u, &other); len(got) > 0 {
			t.Errorf("of another dog: %v", got)
		}
		home := u.Home
		u.Home = &planner.Household{ID: "another"}
		Trend(u, d)
		if kept := u.Trends[TrendKey(u, d)]; len(kept) > 0 {
			t.Errorf("of another household: %v", kept)
		}
		u.Home = home
	})
}

// TestUndoKnowsWhatWas takes back a change that was made before anybody said so,
// and keeps none that nobody told.
func TestUndoKnowsWhatWas(t *testing.T) {
	k := newTalker(t)
	name := func() (name string) {
		k.turnOf(func(u *Turn) { name = u.Home.Dogs[0].Name })
		return name
	}
	k.turnOf(func(u *Turn) {
		u.Home.Dogs[0].Name = "Bracken"
		u.Mutate("did.testing", "Bracken")
	})
	if got := name(); got != "Bracken" {
		t.Errorf("changed to %q", got)
	}
	k.send(k.event("/undo"))
	if got := name(); got != "Juniper" {
		t.Errorf("taken back to %q", got)
	}
	k.turnOf(func(u *Turn) { u.Home.Dogs[0].Name = "Pip" })
	if got := name(); got != "Juniper" {
		t.Errorf("a change that nobody told was kept: %q", got)
	}
}

package bot

import (
	"context"
	"errors"
	"slices"
	"testing"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// turnOf has a talker take a turn that does nothing but f.
func (k *talker) turnOf(f func(t *turn)) Event {
	k.t.Helper()
	k.a.reg.commands["testing"] = command{Do: func(t *turn, _ string) { f(t); t.say(para("done")) }}
	e := k.event("/testing", "")
	k.send(e)
	return e
}

// weights are the weights in the journal of the talker's household, in order.
func (k *talker) weights() (out []nutrition.Kilograms) {
	k.t.Helper()
	err := k.s.View(context.Background(), func(tx store.Tx) error {
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

func (k *talker) wantWeights(when string, want ...nutrition.Kilograms) {
	k.t.Helper()
	if got := k.weights(); !slices.Equal(got, want) {
		k.t.Errorf("%s: %v, want %v", when, got, want)
	}
}

// weighed enters a weight in a turn of its own.
func (k *talker) weighed(kg nutrition.Kilograms) (e planner.Entry) {
	k.turnOf(func(t *turn) {
		t.mutate("did.dog-changed", "Juniper")
		e = t.note(planner.Entry{Kind: planner.Weighed, Dog: "d1", Weight: kg})
	})
	return e
}

func TestNoteFillsIn(t *testing.T) {
	k := newTalker(t)
	k.say("dog Juniper 19.6 kg 4 years")
	var first, second, back planner.Entry
	auckland := time.FixedZone("NZDT", 13*60*60)
	e := k.turnOf(func(t *turn) {
		t.home.Zone = "Pacific/Auckland"
		t.event.At = t.event.At.In(auckland)
		t.mutate("did.dog-changed", "Juniper")
		first = t.note(planner.Entry{Kind: planner.Weighed, Dog: "d1", Weight: 19.4})
		second = t.note(planner.Entry{Kind: planner.Weighed, Dog: "d1", Weight: 19.5})
		// 23:30 of the day before in UTC is the day itself there.
		back = t.note(planner.Entry{Kind: planner.Weighed, Dog: "d1", Weight: 19.3, At: time.Date(2026, 2, 28, 23, 30, 0, 0, time.UTC)})
	})
	if first.ID == "" || first.ID == second.ID || second.ID == back.ID {
		t.Errorf("ids %q, %q, %q", first.ID, second.ID, back.ID)
	}
	today := planner.DateOf(e.At.In(auckland))
	if first.Person != e.Person || !first.At.Equal(e.At) || !first.Entered.Equal(e.At) || first.Date != today {
		t.Errorf("a note was filled in as %+v", first)
	}
	if want := (planner.Date{Year: 2026, Month: time.March, Day: 1}); back.Date != want || !back.Entered.Equal(e.At) {
		t.Errorf("a note of the past is of %v, entered %v; want %v", back.Date, back.Entered, want)
	}
	k.wantWeights("in order of time", 19.3, 19.4, 19.5)

	// The same event worked out anew gives the same ids.
	var again planner.Entry
	k.a.reg.commands["testing"] = command{Do: func(t *turn, _ string) {
		t.mutate("did.dog-changed", "Juniper")
		again = t.note(planner.Entry{Kind: planner.Weighed})
	}}
	e.Text = "/testing"
	err := k.s.View(t.Context(), func(tx store.Tx) error {
		u := &turn{ctx: t.Context(), tx: unseen{tx}, reg: k.a.reg, event: e, base: k.a.table}
		if err := u.begin(); err != nil {
			return err
		}
		u.route()
		return u.err
	})
	if err != nil || again.ID != first.ID {
		t.Errorf("worked out anew: %q, %v, want %q", again.ID, err, first.ID)
	}
}

// unseen is a transaction to which every event is new.
type unseen struct{ store.Tx }

func (unseen) Seen(string) (bool, error) { return false, nil }

// TestTurnSeesItsNotes looks into the journal within the turn that changes it.
func TestTurnSeesItsNotes(t *testing.T) {
	k := newTalker(t)
	k.say("dog Juniper 19.6 kg 4 years")
	one, two := k.weighed(20), k.weighed(21)
	k.turnOf(func(u *turn) {
		u.mutate("did.dog-changed", "Juniper")
		want := func(when string, q store.EntryQuery, want ...nutrition.Kilograms) {
			t.Helper()
			var got []nutrition.Kilograms
			for _, e := range u.entries(q) {
				if e.Weight != 19.6 { // that of the dog when it was added
					got = append(got, e.Weight)
				}
			}
			if !slices.Equal(got, want) {
				t.Errorf("%s: %v, want %v", when, got, want)
			}
		}
		u.unnote(two)
		want("one taken out", store.EntryQuery{}, 20)
		want("the newest of what is left", store.EntryQuery{Newest: true, Limit: 1}, 20)
		early := u.note(planner.Entry{Kind: planner.Weighed, Dog: "d1", Weight: 18, At: one.At.Add(-time.Hour)})
		u.note(planner.Entry{Kind: planner.Treat, Dog: "d1", Kcal: 40})
		want("one put before", store.EntryQuery{Kinds: []planner.EntryKind{planner.Weighed}}, 18, 20)
		want("the newest first", store.EntryQuery{Kinds: []planner.EntryKind{planner.Weighed}, Newest: true}, 20, 18)
		want("of another dog", store.EntryQuery{Dog: "d2"})
		want("before a time", store.EntryQuery{To: one.At}, 18)
		want("from a time", store.EntryQuery{From: one.At, Kinds: []planner.EntryKind{planner.Weighed}}, 20)
		one.Weight = 20.5
		u.note(one)
		want("one corrected", store.EntryQuery{Kinds: []planner.EntryKind{planner.Weighed}}, 18, 20.5)
		if e, ok := u.entry(one.ID); !ok || e.Weight != 20.5 {
			t.Errorf("the corrected entry: %+v, %v", e, ok)
		}
		if _, ok := u.entry(two.ID); ok {
			t.Error("the entry that was taken out is still there")
		}
		u.unnote(early)
		want("what was put taken out", store.EntryQuery{Kinds: []planner.EntryKind{planner.Weighed}}, 20.5)
	})
	k.wantWeights("afterwards", 20.5, 0)
}

// TestUndoTakesBackTheJournal changes the journal in every way and takes the
// changes back one after another.
func TestUndoTakesBackTheJournal(t *testing.T) {
	k := newTalker(t)
	k.say("dog Juniper 19.6 kg 4 years")
	one := k.weighed(20)
	k.weighed(21)
	k.turnOf(func(u *turn) { // corrects one, at another time, and adds one
		u.mutate("did.dog-changed", "Juniper")
		e := one
		e.Weight, e.At = 20.5, e.At.Add(-time.Hour)
		u.note(e)
		u.note(planner.Entry{Kind: planner.Weighed, Dog: "d1", Weight: 22})
	})
	k.wantWeights("corrected", 20.5, 21, 22)
	k.turnOf(func(u *turn) {
		u.mutate("did.dog-changed", "Juniper")
		u.unnote(one)
		u.unnote(one)
	})
	k.wantWeights("deleted", 21, 22)
	for _, want := range [][]nutrition.Kilograms{{20.5, 21, 22}, {20, 21}, {20}, nil} {
		k.say("/undo")
		k.wantWeights("taken back", want...)
	}
}

// between does something once, after a turn was worked out and before it is
// written.
type between struct {
	store.Store
	do func(store.Tx) error
}

func (s *between) Update(ctx context.Context, f func(store.Tx) error) error {
	if do := s.do; do != nil {
		s.do = nil
		if err := s.Store.Update(ctx, do); err != nil {
			return err
		}
	}
	return s.Store.Update(ctx, f)
}

// TestNotesMoveTheRevision has two carers answer for one bowl at once: the
// second must see what the first entered.
func TestNotesMoveTheRevision(t *testing.T) {
	k := newTalker(t)
	k.say("dog Juniper 19.6 kg 4 years")
	before := k.rev()
	k.weighed(20)
	if got := k.rev(); got != before+1 {
		t.Errorf("revision %d after a note at %d", got, before)
	}
	k.turnOf(func(u *turn) { u.note(planner.Entry{Kind: planner.Fed, Dog: "d2"}) }) // without mutate
	if got := k.rev(); got != before+2 {
		t.Errorf("revision %d after two notes at %d", got, before)
	}

	race := &between{Store: k.s}
	k.a = NewAssistant(race, nutrition.Default())
	fed := store.EntryQuery{Kinds: []planner.EntryKind{planner.Fed}, Dog: "d1"}
	press := func(u *turn) {
		u.mutate("did.dog-changed", "Juniper")
		if len(u.entries(fed)) == 0 {
			u.note(planner.Entry{Kind: planner.Fed, Dog: "d1"})
		}
	}
	first := k.event("/testing", "")
	k.a.reg.commands["testing"] = command{Do: func(u *turn, _ string) { press(u) }}
	// The other press is worked out and written while this one waits.
	var other *turn
	err := k.s.View(t.Context(), func(tx store.Tx) (err error) {
		e := k.event("/testing", "")
		other, err = k.a.turn(t.Context(), tx, e)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	race.do = other.write
	k.send(first)
	err = k.s.View(t.Context(), func(tx store.Tx) error {
		all, err := tx.Entries(other.home.ID, fed)
		if len(all) != 1 {
			t.Errorf("%d bowls were fed, want 1", len(all))
		}
		return err
	})
	if err != nil {
		t.Error(err)
	}
}

func (k *talker) rev() (rev uint64) {
	k.t.Helper()
	err := k.s.View(context.Background(), func(tx store.Tx) error {
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
	u := &turn{tx: failing{cause: cause}, home: &planner.Household{ID: "quayside"}}
	if got := u.entries(store.EntryQuery{}); got != nil || !errors.Is(u.err, cause) {
		t.Errorf("%v, %v", got, u.err)
	}
	u.err = nil
	if _, ok := u.entry("x"); ok || !errors.Is(u.err, cause) {
		t.Errorf("an entry: %v, %v", ok, u.err)
	}
}

type failing struct {
	store.Tx
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
	k.say("dog Juniper 19.6 kg 4 years")
	one, two := k.weighed(20), k.weighed(21)
	k.turnOf(func(u *turn) {
		u.mutate("did.dog-changed", "Juniper")
		d := u.dog("d1")
		same := func(when string) {
			t.Helper()
			if got, want := u.trend(d), u.entries(store.EntryQuery{Dog: d.ID, Kinds: trendKinds}); !slices.Equal(got, want) || len(got) == 0 {
				t.Errorf("%s: %v, want %v", when, got, want)
			}
			for n := range 4 {
				want := u.entries(store.EntryQuery{Dog: d.ID, Kinds: weighedKind, Newest: true, Limit: n + 1})
				if got := u.newestWeighed(d, n+1); !slices.Equal(got, want) {
					t.Errorf("%s: the newest %d: %v, want %v", when, n+1, got, want)
				}
			}
		}
		same("as it is")
		u.note(planner.Entry{Kind: planner.Weighed, Dog: "d1", Weight: 18, At: one.At.Add(-time.Hour)})
		u.note(planner.Entry{Kind: planner.Scored, Dog: "d1", Score: 5})
		same("one put before, and a score")
		u.unnote(two)
		same("one taken out")
		one.Weight = 20.5
		u.note(one)
		same("one corrected")
		u.history(d)
		same("after a history")
		other := *d
		other.ID = "d2"
		if got := u.trend(&other); len(got) > 0 {
			t.Errorf("of another dog: %v", got)
		}
		home := u.home
		u.home = &planner.Household{ID: "another"}
		u.trend(d)
		if kept := u.trends[u.trendKey(d)]; len(kept) > 0 {
			t.Errorf("of another household: %v", kept)
		}
		u.home = home
	})
}

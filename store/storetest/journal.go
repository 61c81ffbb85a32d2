package storetest

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// weighed is an entry with an id and a time, in hours after the morning.
func weighed(id string, hours int) planner.Entry {
	at := morning.Add(time.Duration(hours) * time.Hour)
	return planner.Entry{
		ID: id, Kind: planner.Weighed, Dog: "d1", At: at, Date: planner.DateOf(at),
		Person: person, Entered: morning, Weight: 19.4,
	}
}

func of(e planner.Entry, kind planner.EntryKind, dog string) planner.Entry {
	e.Kind, e.Dog = kind, dog
	return e
}

// wantEntries compares the ids of what a query finds.
func wantEntries(t *testing.T, tx store.Snapshot, household string, q store.EntryQuery, want ...string) {
	t.Helper()
	got := named(t, func(e planner.Entry) string { return e.ID })(tx.Entries(household, q))
	wantSame(t, fmt.Sprintf("entries of %q by %+v", household, q), got, want...)
}

func journal(t *testing.T, s store.Store) {
	full := planner.Entry{
		ID: "e1", Kind: planner.Away, Dog: "d1", At: morning, Date: planner.DateOf(morning), Person: person,
		Entered: morning.Add(time.Minute), Of: "quayside/m1/2026-03-03T07:30", Weight: 19.4, Score: 5, Kcal: 812,
		Recipe: "r1", Amount: 2.5, Stool: planner.SoftStool, Until: planner.DateOf(morning).AddDays(13), Text: "two biscuits\n\x00ü",
	}
	view(t, s, func(tx store.Snapshot) {
		fails(t, "an entry of an empty store", store.NotFound)(tx.Entry("quayside", "e1"))
		wantEntries(t, tx, "quayside", store.EntryQuery{})
	})
	wantCode(t, "an entry without an id", commit(s, store.PutEntry{Household: "quayside", Entry: planner.Entry{}}), store.Internal)
	for _, part := range []func(*planner.Entry){
		func(e *planner.Entry) { e.ID = "\xff" }, func(e *planner.Entry) { e.Dog = "\xff" }, func(e *planner.Entry) { e.Kind = "\xff" },
		func(e *planner.Entry) { e.Weight = nutrition.Kilograms(math.Inf(1)) },
	} {
		e := full
		part(&e)
		wantCode(t, "an entry whose key is no text, or that is no number", commit(s, store.PutEntry{Household: "quayside", Entry: e}), store.Internal)
	}
	view(t, s, func(tx store.Snapshot) { wantEntries(t, tx, "quayside", store.EntryQuery{}) })
	must(t, commit(s, store.DeleteEntry{Household: "quayside", ID: "e1"}, store.PutEntry{Household: "quayside", Entry: full},
		store.PutEntry{Household: "mill", Entry: weighed("e1", 0)}))
	view(t, s, func(tx store.Snapshot) {
		is(t, "entry", full)(tx.Entry("quayside", "e1"))
		is(t, "entries", []planner.Entry{full})(tx.Entries("quayside", store.EntryQuery{}))
	})
	must(t, commit(s, store.DeleteEntry{Household: "quayside", ID: "e1"}))
	view(t, s, func(tx store.Snapshot) {
		fails(t, "an entry after it was deleted", store.NotFound)(tx.Entry("quayside", "e1"))
		wantEntries(t, tx, "quayside", store.EntryQuery{})
		wantEntries(t, tx, "mill", store.EntryQuery{}, "e1")
	})
}

// entryReplaced puts an entry again with everything changed that tells where
// it is kept.
func entryReplaced(t *testing.T, s store.Store) {
	must(t, commit(s, store.PutEntry{Household: "quayside", Entry: weighed("a", 1)}, store.PutEntry{Household: "quayside", Entry: weighed("b", 2)}))
	for _, e := range []planner.Entry{
		weighed("a", 3), of(weighed("a", 3), planner.Fed, "d1"), of(weighed("a", 3), planner.Fed, "d2"),
		of(weighed("a", 3), planner.Fed, ""), weighed("a", 3), weighed("a", 3),
	} {
		must(t, commit(s, store.PutEntry{Household: "quayside", Entry: e}))
		view(t, s, func(tx store.Snapshot) {
			wantEntries(t, tx, "quayside", store.EntryQuery{}, "b", "a")
			is(t, "entry", e)(tx.Entry("quayside", "a"))
		})
	}
}

func entryQueries(t *testing.T, s store.Store) {
	ws := []store.Write{store.PutEntry{Household: "quaysid", Entry: weighed("x", 3)}, store.PutEntry{Household: "quayside2", Entry: weighed("y", 3)}}
	for _, e := range []planner.Entry{
		weighed("c", 2), weighed("b", 2), weighed("a", 5), of(weighed("f", 2), planner.Fed, "d1"),
		of(weighed("g", 3), planner.Fed, "d2"), of(weighed("h", 4), planner.Away, ""), of(weighed("w2", 6), planner.Weighed, "d2"),
		of(weighed("d10", 7), planner.Weighed, "d10"), weighed("early", -24*365*100), weighed("late", 24*365*100),
		{ID: "zero", Kind: planner.Weighed, Dog: "d1"},
	} {
		ws = append(ws, store.PutEntry{Household: "quayside", Entry: e})
	}
	must(t, commit(s, ws...))
	kinds := func(k ...planner.EntryKind) []planner.EntryKind { return k }
	hour := func(n int) time.Time { return morning.Add(time.Duration(n) * time.Hour) }
	all := []string{"zero", "early", "b", "c", "f", "g", "h", "a", "w2", "d10", "late"}
	newest := slices.Clone(all)
	slices.Reverse(newest)
	for _, c := range []struct {
		q    store.EntryQuery
		want []string
	}{
		{store.EntryQuery{}, all},
		{store.EntryQuery{Newest: true}, newest},
		{store.EntryQuery{Limit: 4}, all[:4]},
		{store.EntryQuery{Newest: true, Limit: 3}, newest[:3]},
		{store.EntryQuery{Limit: 1000}, all},
		{store.EntryQuery{Dog: "d1"}, []string{"zero", "early", "b", "c", "f", "a", "late"}},
		{store.EntryQuery{Dog: "d2"}, []string{"g", "w2"}},
		{store.EntryQuery{Dog: "d"}, nil},
		{store.EntryQuery{Kinds: kinds(planner.Fed)}, []string{"f", "g"}},
		{store.EntryQuery{Kinds: kinds(planner.Fed, planner.Away, planner.Fed)}, []string{"f", "g", "h"}},
		{store.EntryQuery{Kinds: kinds(planner.Fed), Dog: "d2"}, []string{"g"}},
		{store.EntryQuery{Kinds: kinds(planner.Given)}, nil},
		{store.EntryQuery{From: hour(2), To: hour(5)}, []string{"b", "c", "f", "g", "h"}},
		{store.EntryQuery{From: hour(2), To: hour(5), Newest: true, Limit: 2}, []string{"h", "g"}},
		{store.EntryQuery{From: hour(2).Add(1), To: hour(3)}, nil},
		{store.EntryQuery{From: hour(5), To: hour(2)}, nil},
		{store.EntryQuery{From: hour(3)}, []string{"g", "h", "a", "w2", "d10", "late"}},
		{store.EntryQuery{To: hour(2)}, []string{"zero", "early"}},
		{store.EntryQuery{To: hour(2), Newest: true, Limit: 1}, []string{"early"}},
		{store.EntryQuery{Kinds: kinds(planner.Weighed), Dog: "d1", Newest: true, Limit: 2}, []string{"late", "a"}},
		{store.EntryQuery{Kinds: kinds(planner.Weighed), Dog: "d1", From: hour(2), Limit: 2}, []string{"b", "c"}},
	} {
		view(t, s, func(tx store.Snapshot) {
			wantEntries(t, tx, "quayside", c.q, c.want...)
			got, err := tx.Entries("quayside", c.q)
			must(t, err)
			for _, e := range got {
				if !c.q.Finds(e) {
					t.Errorf("%+v does not find %q", c.q, e.ID)
				}
			}
		})
	}
}

// journalNames uses names that begin one another, or look like a part of a
// key.
func journalNames(t *testing.T, s store.Store) {
	names := []string{"", "a", "ab", "a\x00", "\x00", "\x01", "\x01a", "\U0010ffff\U0010ffff\U0010ffff\U0010ffff"}
	id := func(parts ...string) string { return fmt.Sprintf("%q", parts) }
	var ws []store.Write
	for _, household := range names {
		for _, kind := range names {
			for _, dog := range names {
				e := of(weighed(id(household, kind, dog), 1), planner.EntryKind(kind), dog)
				ws = append(ws, store.PutEntry{Household: household, Entry: e})
			}
		}
	}
	must(t, commit(s, ws...))
	view(t, s, func(tx store.Snapshot) {
		for _, household := range names {
			if all, err := tx.Entries(household, store.EntryQuery{}); len(all) != len(names)*len(names) || err != nil {
				t.Errorf("%q has %d entries, %v, want %d", household, len(all), err, len(names)*len(names))
			}
			for _, kind := range names {
				for _, dog := range names[1:] { // no dog is any dog
					q := store.EntryQuery{Kinds: []planner.EntryKind{planner.EntryKind(kind)}, Dog: dog}
					wantEntries(t, tx, household, q, id(household, kind, dog))
				}
			}
		}
	})
}

// wantDue compares the households that are due by a time.
func wantDue(t *testing.T, tx store.Snapshot, by time.Time, limit int, want ...string) {
	t.Helper()
	got := named(t, func(d store.Due) string {
		is(t, "due of "+d.Household, d)(tx.Due(d.Household))
		return d.Household
	})(tx.DueBy(by, limit))
	wantSame(t, fmt.Sprint("due by ", by), got, want...)
}

func agenda(t *testing.T, s store.Store) {
	hour := func(n int) time.Time { return morning.Add(time.Duration(n) * time.Hour) }
	late := morning.AddDate(500, 0, 0)
	view(t, s, func(tx store.Snapshot) {
		is(t, "due in an empty store", store.Due{})(tx.Due("quayside"))
		is(t, "next due", time.Time{})(store.NextDue(tx))
		wantDue(t, tx, late, 10)
	})
	wantCode(t, "due for no household", commit(s, store.PutDue{At: morning}), store.Internal)
	wantCode(t, "due for a name that is no text", commit(s, store.PutDue{Household: "\xff", At: morning}), store.Internal)
	never := time.Date(10000, 1, 1, 0, 0, 0, 0, time.UTC) // beyond what RFC 3339 can say
	wantCode(t, "due in a year of five figures", commit(s, store.PutDue{Household: "quayside", At: never}), store.Internal)
	must(t, commit(s, store.PutDue{Household: "none"}, store.PutDue{Household: "mill", At: hour(2), Through: hour(1)},
		store.PutDue{Household: "quayside", At: hour(1).In(time.FixedZone("", 3600))}, store.PutDue{Household: "harbour", At: hour(2)},
		store.PutDue{Household: "old", At: time.Unix(-1, 999)}))
	view(t, s, func(tx store.Snapshot) {
		is(t, "next due", time.Unix(-1, 999).UTC())(store.NextDue(tx))
		wantDue(t, tx, hour(0), 10, "old")
		wantDue(t, tx, hour(1).Add(-1), 10, "old")
		wantDue(t, tx, hour(1), 10, "old", "quayside")
		wantDue(t, tx, late, 10, "old", "quayside", "harbour", "mill")
		wantDue(t, tx, late, 3, "old", "quayside", "harbour")
		wantDue(t, tx, late, 0)
		is(t, "due of the mill", store.Due{Household: "mill", At: hour(2), Through: hour(1)})(tx.Due("mill"))
	})
	// It moves to another time, out of the index, and to the same time.
	must(t, commit(s, store.PutDue{Household: "old", At: hour(3), Through: hour(0)}, store.PutDue{Household: "harbour", Through: hour(2)},
		store.PutDue{Household: "mill", At: hour(2), Through: hour(2)}, store.PutDue{Household: "quayside"}))
	view(t, s, func(tx store.Snapshot) {
		is(t, "next due", hour(2))(store.NextDue(tx))
		wantDue(t, tx, late, 10, "mill", "old")
		is(t, "a household out of the index", store.Due{Household: "harbour", Through: hour(2)})(tx.Due("harbour"))
		is(t, "a household of which nothing is kept", store.Due{})(tx.Due("quayside"))
	})
	must(t, commit(s, store.PutDue{Household: "harbour", At: hour(1)}, store.DeleteHousehold("mill"), store.DeleteHousehold("nobody")))
	view(t, s, func(tx store.Snapshot) {
		wantDue(t, tx, late, 10, "harbour", "old")
		is(t, "due of a household that was forgotten", store.Due{})(tx.Due("mill"))
	})
}

// journalForgotten deletes one of three households with journals.
func journalForgotten(t *testing.T, s store.Store) {
	names := []string{"quaysid", "quayside", "quayside2"}
	var ws []store.Write
	for _, id := range names {
		for n := range 30 {
			e := of(weighed(fmt.Sprint("e", n), n), []planner.EntryKind{planner.Fed, planner.Weighed}[n%2], fmt.Sprint("d", n%3))
			ws = append(ws, store.PutEntry{Household: id, Entry: e})
		}
	}
	must(t, commit(s, ws...))
	must(t, commit(s, store.DeleteHousehold("quayside")))
	view(t, s, func(tx store.Snapshot) {
		for _, id := range names {
			all, err := tx.Entries(id, store.EntryQuery{})
			if want := map[bool]int{true: 0, false: 30}[id == "quayside"]; len(all) != want || err != nil {
				t.Errorf("%s has %d entries, %v, want %d", id, len(all), err, want)
			}
			fails(t, id+": one entry", map[bool]store.Code{true: store.NotFound}[id == "quayside"])(tx.Entry(id, "e7"))
		}
	})
}

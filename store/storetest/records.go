package storetest

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

func events(t *testing.T, s store.Store) {
	want := func(what string, want ...string) {
		t.Helper()
		view(t, s, func(tx store.Snapshot) {
			for _, id := range []string{"e1", "e2", "e", "e10", "old", "older"} {
				is(t, what+": "+id+" was seen", slices.Contains(want, id))(tx.Seen(id))
			}
		})
	}
	want("before anything was marked")
	must(t, commit(s, store.MarkSeen{Event: "e1", At: morning}, store.MarkSeen{Event: "e1", At: morning.Add(time.Hour)})) // a redelivery
	want("after a mark", "e1")
	must(t, commit(s, store.MarkSeen{Event: "old", At: morning}, store.MarkSeen{Event: "older", At: time.Time{}}))
	for _, c := range []struct {
		before time.Time
		left   []string
	}{
		{time.Time{}, []string{"e1", "old", "older"}},
		{morning, []string{"e1", "old"}}, // what happened at the time itself stays
		{morning.Add(time.Nanosecond), []string{"e1"}},
		{morning.Add(time.Hour), []string{"e1"}}, // it counts from when it was marked last
		{morning.Add(2 * time.Hour), nil},
	} {
		must(t, store.Purge(context.Background(), s, c.before))
		want(fmt.Sprint("after a purge before ", c.before), c.left...)
	}
}

func members(t *testing.T, s store.Store) {
	view(t, s, func(tx store.Snapshot) {
		fails(t, "member of an empty store", store.NotFound)(tx.Member(chat, person))
	})
	must(t, commit(s, store.PutMember{Chat: chat, Person: person}, store.PutMember{Chat: chat, Person: person, Household: "quayside"},
		store.PutMember{Chat: chat, Person: "Tomas", Household: "mill"}))
	view(t, s, func(tx store.Snapshot) { is(t, "member", "quayside")(tx.Member(chat, person)) })
	must(t, commit(s, store.PutMember{Chat: chat, Person: person, Household: "mill"}, store.PutMember{Chat: chat, Person: "Tomas"}))
	view(t, s, func(tx store.Snapshot) {
		is(t, "member after a move", "mill")(tx.Member(chat, person))
		fails(t, "member after it was deleted", store.NotFound)(tx.Member(chat, "Tomas"))
	})
}

func households(t *testing.T, s store.Store) {
	view(t, s, func(tx store.Snapshot) {
		fails(t, "household of an empty store", store.NotFound)(tx.Household("quayside"))
	})
	must(t, commit(s, store.PutHousehold{Household: &planner.Household{ID: "quayside"}}, store.PutHousehold{Household: Quayside()},
		store.PutHousehold{Household: &planner.Household{ID: "mill"}}))
	view(t, s, func(tx store.Snapshot) { is(t, "household", Quayside())(tx.Household("quayside")) })
}

func dialogues(t *testing.T, s store.Store) {
	want := store.Dialogue{Kind: "dog", Step: "weight", Data: []byte(`{"name":"Pip"}`), Since: morning}
	none := func(what string) {
		t.Helper()
		view(t, s, func(tx store.Snapshot) { fails(t, what, store.NotFound)(tx.Dialogue(chat, person)) })
	}
	none("dialogue of an empty store")
	must(t, commit(s, store.PutDialogue{Chat: chat, Person: person}, store.PutDialogue{Chat: chat, Person: person, Dialogue: store.Dialogue{Kind: "x"}},
		store.PutDialogue{Chat: chat, Person: person, Dialogue: want}))
	view(t, s, func(tx store.Snapshot) { is(t, "dialogue", want)(tx.Dialogue(chat, person)) })
	must(t, commit(s, store.PutDialogue{Chat: chat, Person: person}))
	none("dialogue after it was deleted")
}

// changes pushes more than are kept, in transactions of their own, and takes
// all of them back.
func changes(t *testing.T, s store.Store) {
	const pushed = store.MaxChanges + 7
	change := func(n int) store.Change {
		return store.Change{ID: fmt.Sprint(n), At: morning, Kind: "dog.added", About: "Pip", Before: Quayside()}
	}
	for n := range pushed {
		must(t, commit(s, store.PushChange{Household: "quayside", Change: change(n)}, store.PushChange{Household: "mill", Change: store.Change{ID: "mill"}}))
	}
	for n := range store.MaxChanges {
		view(t, s, func(tx store.Snapshot) {
			is(t, fmt.Sprintf("change %d from the end", n), change(pushed-1-n))(tx.Change("quayside", 0))
		})
		must(t, commit(s, store.PopChange("quayside")))
	}
	view(t, s, func(tx store.Snapshot) {
		fails(t, "last change after all were taken back", store.NotFound)(tx.Change("quayside", 0))
		is(t, "another household's change", store.Change{ID: "mill"})(tx.Change("mill", 0))
	})
	must(t, commit(s, store.PopChange("quayside"), store.PushChange{Household: "quayside", Change: store.Change{ID: "again"}}))
	view(t, s, func(tx store.Snapshot) {
		is(t, "a change after all were taken back", store.Change{ID: "again"})(tx.Change("quayside", 0))
	})
}

func adapterNotes(t *testing.T, s store.Store) {
	view(t, s, func(tx store.Snapshot) { is[[]byte](t, "notes of an empty store", nil)(tx.Adapter(chat)) })
	must(t, commit(s, store.PutAdapter{Chat: chat, Notes: []byte{0, 0xff}}, store.PutAdapter{Chat: "other", Notes: []byte("x")}, store.PutAdapter{Chat: "other", Notes: nil}))
	view(t, s, func(tx store.Snapshot) {
		is(t, "notes", []byte{0, 0xff})(tx.Adapter(chat))
		is[[]byte](t, "notes after nil was put", nil)(tx.Adapter("other"))
	})
}

// namesDoNotRunTogether uses names whose concatenations are equal, or that
// begin one another.
func namesDoNotRunTogether(t *testing.T, s store.Store) {
	names := []string{"", "a", "ab", "b", "a\x00", "\x00", "a\x00b", "\x01", "\x01a", "ü", strings.Repeat("a", 300)}
	var ws []store.Write
	for _, a := range names {
		for _, b := range names {
			ws = append(ws, store.Enqueue{Chat: a, Event: b}, store.PutMember{Chat: a, Person: b, Household: a + "|" + b}, store.PutDialogue{Chat: a, Person: b, Dialogue: store.Dialogue{Kind: a + "|" + b}},
				store.PushChange{Household: a, Change: store.Change{ID: a}}, store.PutAdapter{Chat: a, Notes: []byte(a + "|")})
		}
	}
	must(t, commit(s, ws...))
	view(t, s, func(tx store.Snapshot) {
		for _, a := range names {
			for _, b := range names {
				what := fmt.Sprintf("%q, %q: ", a, b)
				is(t, what+"member", a+"|"+b)(tx.Member(a, b))
				is(t, what+"dialogue", store.Dialogue{Kind: a + "|" + b})(tx.Dialogue(a, b))
				is(t, what+"change", store.Change{ID: a})(tx.Change(a, 0))
				is(t, what+"notes", []byte(a+"|"))(tx.Adapter(a))
			}
			if pending, err := tx.Pending(a, 1000); err != nil || a != "" && len(pending) != len(names) {
				t.Errorf("%q: %d messages, %v, want %d", a, len(pending), err, len(names))
			}
		}
	})
}

// cannotBeKept checks what is refused.
func cannotBeKept(t *testing.T, s store.Store) {
	bad := Quayside()
	bad.Dogs[0].Weight = nutrition.Kilograms(math.NaN())
	for what, w := range map[string]store.Write{
		"a household with a weight that is no number": store.PutHousehold{Household: bad},
		"a household without an id":                   store.PutHousehold{Household: new(planner.Household)},
		"an event without an id":                      store.MarkSeen{At: morning},
		"a change that is no number":                  store.PushChange{Household: "quayside", Change: store.Change{Before: bad}},
	} {
		wantCode(t, what, commit(s, w), store.Internal)
	}
	wantNothing(t, s)
}

package storetest

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

func events(t *testing.T, s store.Store) {
	seen := func(id string) (found bool) {
		view(t, s, func(tx store.Snapshot) (err error) { found, err = tx.Seen(id); return err })
		return found
	}
	if seen("e1") {
		t.Error("an event was seen before it was marked")
	}
	must(t, commit(s, store.MarkSeen{Event: "e1", At: morning}, store.MarkSeen{Event: "e1", At: morning.Add(time.Hour)})) // a redelivery
	if !seen("e1") || seen("e2") || seen("e") || seen("e10") {
		t.Error("not exactly the marked event was seen")
	}
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
		if err := store.Purge(context.Background(), s, c.before); err != nil {
			t.Errorf("purge before %v: %v", c.before, err)
		}
		for _, id := range []string{"e1", "old", "older"} {
			if got, want := seen(id), slices.Contains(c.left, id); got != want {
				t.Errorf("after purge before %v: %s seen: %v, want %v", c.before, id, got, want)
			}
		}
	}
}

func members(t *testing.T, s store.Store) {
	update(t, s, func(tx store.Snapshot, put Put) error {
		_, err := tx.Member(chat, person)
		wantCode(t, "member of an empty store", err, store.NotFound)
		return put(store.PutMember{Chat: chat, Person: person}, store.PutMember{Chat: chat, Person: person, Household: "quayside"},
			store.PutMember{Chat: chat, Person: "Tomas", Household: "mill"})
	})
	update(t, s, func(tx store.Snapshot, put Put) error {
		if id, err := tx.Member(chat, person); id != "quayside" || err != nil {
			t.Errorf("member = %q, %v", id, err)
		}
		return put(store.PutMember{Chat: chat, Person: person, Household: "mill"}, store.PutMember{Chat: chat, Person: "Tomas"})
	})
	view(t, s, func(tx store.Snapshot) error {
		if id, err := tx.Member(chat, person); id != "mill" || err != nil {
			t.Errorf("member after a move = %q, %v", id, err)
		}
		_, err := tx.Member(chat, "Tomas")
		wantCode(t, "member after it was deleted", err, store.NotFound)
		return nil
	})
}

func households(t *testing.T, s store.Store) {
	want := Quayside()
	update(t, s, func(tx store.Snapshot, put Put) error {
		_, err := tx.Household("quayside")
		wantCode(t, "household of an empty store", err, store.NotFound)
		return put(store.PutHousehold{Household: &planner.Household{ID: "quayside"}}, store.PutHousehold{Household: want},
			store.PutHousehold{Household: &planner.Household{ID: "mill"}})
	})
	view(t, s, func(tx store.Snapshot) error {
		got, err := tx.Household("quayside")
		if err == nil && !reflect.DeepEqual(got, want) {
			t.Errorf("household = %+v\nwant %+v", got, want)
		}
		return err
	})
}

func dialogues(t *testing.T, s store.Store) {
	want := store.Dialogue{Kind: "dog", Step: "weight", Data: []byte(`{"name":"Pip"}`), Since: morning}
	update(t, s, func(tx store.Snapshot, put Put) error {
		_, err := tx.Dialogue(chat, person)
		wantCode(t, "dialogue of an empty store", err, store.NotFound)
		return put(store.PutDialogue{Chat: chat, Person: person}, store.PutDialogue{Chat: chat, Person: person, Dialogue: store.Dialogue{Kind: "x"}},
			store.PutDialogue{Chat: chat, Person: person, Dialogue: want})
	})
	update(t, s, func(tx store.Snapshot, put Put) error {
		got, err := tx.Dialogue(chat, person)
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("dialogue = %+v, %v, want %+v", got, err, want)
		}
		return put(store.PutDialogue{Chat: chat, Person: person})
	})
	view(t, s, func(tx store.Snapshot) error {
		_, err := tx.Dialogue(chat, person)
		wantCode(t, "dialogue after it was deleted", err, store.NotFound)
		return nil
	})
}

// changes pushes more than are kept, in transactions of their own, and takes
// all of them back.
func changes(t *testing.T, s store.Store) {
	const pushed = store.MaxChanges + 7
	for n := range pushed {
		update(t, s, func(tx store.Snapshot, put Put) error {
			return put(
				store.PushChange{Household: "quayside", Change: store.Change{ID: fmt.Sprint(n), At: morning, Kind: "dog.added", About: "Pip", Before: Quayside()}},
				store.PushChange{Household: "mill", Change: store.Change{ID: "mill"}})
		})
	}
	for n := range store.MaxChanges {
		update(t, s, func(tx store.Snapshot, put Put) error {
			c, err := tx.LastChange("quayside")
			want := store.Change{ID: fmt.Sprint(pushed - 1 - n), At: morning, Kind: "dog.added", About: "Pip", Before: Quayside()}
			if err != nil || !reflect.DeepEqual(c, want) {
				t.Fatalf("change %d from the end: %+v, %v, want %+v", n, c, err, want)
			}
			return put(store.PopChange("quayside"))
		})
	}
	update(t, s, func(tx store.Snapshot, put Put) error {
		_, err := tx.LastChange("quayside")
		wantCode(t, "last change after all were taken back", err, store.NotFound)
		if c, err := tx.LastChange("mill"); c.ID != "mill" || err != nil {
			t.Errorf("another household's change: %+v, %v", c, err)
		}
		return put(store.PopChange("quayside"), store.PushChange{Household: "quayside", Change: store.Change{ID: "again"}})
	})
	view(t, s, func(tx store.Snapshot) error {
		c, err := tx.LastChange("quayside")
		if c.ID != "again" {
			t.Errorf("a change after all were taken back: %+v", c)
		}
		return err
	})
}

func adapterNotes(t *testing.T, s store.Store) {
	update(t, s, func(tx store.Snapshot, put Put) error {
		if notes, err := tx.Adapter(chat); notes != nil || err != nil {
			t.Errorf("notes of an empty store: %q, %v", notes, err)
		}
		return put(store.PutAdapter{Chat: chat, Notes: []byte{0, 0xff}}, store.PutAdapter{Chat: "other", Notes: []byte("x")}, store.PutAdapter{Chat: "other", Notes: nil})
	})
	view(t, s, func(tx store.Snapshot) error {
		if notes, err := tx.Adapter(chat); string(notes) != "\x00\xff" || err != nil {
			t.Errorf("notes = %q, %v", notes, err)
		}
		notes, err := tx.Adapter("other")
		if notes != nil {
			t.Errorf("notes after nil was put: %q", notes)
		}
		return err
	})
}

// namesDoNotRunTogether uses names whose concatenations are equal, or that
// begin one another.
func namesDoNotRunTogether(t *testing.T, s store.Store) {
	names := []string{"", "a", "ab", "b", "a\x00", "\x00", "a\x00b", "\x01", "\x01a", "ü", strings.Repeat("a", 300)}
	each := func(f func(a, b string) error) error {
		for _, a := range names {
			for _, b := range names {
				if err := f(a, b); err != nil {
					return err
				}
			}
		}
		return nil
	}
	update(t, s, func(tx store.Snapshot, put Put) error {
		return each(func(a, b string) error {
			return put(store.Enqueue{Chat: a, Event: b}, store.PutMember{Chat: a, Person: b, Household: a + "|" + b}, store.PutDialogue{Chat: a, Person: b, Dialogue: store.Dialogue{Kind: a + "|" + b}},
				store.PushChange{Household: a, Change: store.Change{ID: a}}, store.PutAdapter{Chat: a, Notes: []byte(a + "|")})
		})
	})
	view(t, s, func(tx store.Snapshot) error {
		return each(func(a, b string) error {
			id, err1 := tx.Member(a, b)
			d, err2 := tx.Dialogue(a, b)
			c, err3 := tx.LastChange(a)
			notes, err4 := tx.Adapter(a)
			if id != a+"|"+b || d.Kind != a+"|"+b || c.ID != a || string(notes) != a+"|" {
				t.Errorf("%q, %q: member %q, dialogue %q, change %q, notes %q", a, b, id, d.Kind, c.ID, notes)
			}
			pending, err5 := tx.Pending(a, 1000)
			if a != "" && len(pending) != len(names) {
				t.Errorf("%q: %d messages, want %d", a, len(pending), len(names))
			}
			return cmp.Or(err1, err2, err3, err4, err5)
		})
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

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
		view(t, s, func(tx store.Tx) (err error) { found, err = tx.Seen(id); return err })
		return found
	}
	if seen("e1") {
		t.Error("an event was seen before it was marked")
	}
	update(t, s, func(tx store.Tx) error {
		if err := tx.MarkSeen("e1", morning); err != nil {
			return err
		}
		if ok, err := tx.Seen("e1"); !ok || err != nil {
			t.Errorf("within the transaction: %v, %v", ok, err)
		}
		return tx.MarkSeen("e1", morning.Add(time.Hour)) // a redelivery
	})
	if !seen("e1") || seen("e2") || seen("e") || seen("e10") {
		t.Error("not exactly the marked event was seen")
	}
	update(t, s, func(tx store.Tx) error {
		return cmp.Or(tx.MarkSeen("old", morning), tx.MarkSeen("older", time.Time{}))
	})
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
	update(t, s, func(tx store.Tx) error {
		_, err := tx.Member(chat, person)
		wantCode(t, "member of an empty store", err, store.NotFound)
		return cmp.Or(tx.DeleteMember(chat, person), tx.PutMember(chat, person, "quayside"), tx.PutMember(chat, "Tomas", "mill"))
	})
	update(t, s, func(tx store.Tx) error {
		if id, err := tx.Member(chat, person); id != "quayside" || err != nil {
			t.Errorf("member = %q, %v", id, err)
		}
		return cmp.Or(tx.PutMember(chat, person, "mill"), tx.DeleteMember(chat, "Tomas"))
	})
	view(t, s, func(tx store.Tx) error {
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
	update(t, s, func(tx store.Tx) error {
		_, err := tx.Household("quayside")
		wantCode(t, "household of an empty store", err, store.NotFound)
		return cmp.Or(tx.PutHousehold(&planner.Household{ID: "quayside"}), tx.PutHousehold(want), tx.PutHousehold(&planner.Household{ID: "mill"}))
	})
	view(t, s, func(tx store.Tx) error {
		got, err := tx.Household("quayside")
		if err == nil && !reflect.DeepEqual(got, want) {
			t.Errorf("household = %+v\nwant %+v", got, want)
		}
		return err
	})
}

func dialogues(t *testing.T, s store.Store) {
	want := store.Dialogue{Kind: "dog", Step: "weight", Data: []byte(`{"name":"Pip"}`), Since: morning}
	update(t, s, func(tx store.Tx) error {
		_, err := tx.Dialogue(chat, person)
		wantCode(t, "dialogue of an empty store", err, store.NotFound)
		return cmp.Or(tx.DeleteDialogue(chat, person), tx.PutDialogue(chat, person, store.Dialogue{Kind: "x"}), tx.PutDialogue(chat, person, want))
	})
	update(t, s, func(tx store.Tx) error {
		got, err := tx.Dialogue(chat, person)
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("dialogue = %+v, %v, want %+v", got, err, want)
		}
		return tx.DeleteDialogue(chat, person)
	})
	view(t, s, func(tx store.Tx) error {
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
		update(t, s, func(tx store.Tx) error {
			return cmp.Or(
				tx.PushChange("quayside", store.Change{ID: fmt.Sprint(n), At: morning, Kind: "dog.added", About: "Pip", Before: Quayside()}),
				tx.PushChange("mill", store.Change{ID: "mill"}))
		})
	}
	for n := range store.MaxChanges {
		update(t, s, func(tx store.Tx) error {
			c, err := tx.LastChange("quayside")
			want := store.Change{ID: fmt.Sprint(pushed - 1 - n), At: morning, Kind: "dog.added", About: "Pip", Before: Quayside()}
			if err != nil || !reflect.DeepEqual(c, want) {
				t.Fatalf("change %d from the end: %+v, %v, want %+v", n, c, err, want)
			}
			return tx.PopChange("quayside")
		})
	}
	update(t, s, func(tx store.Tx) error {
		_, err := tx.LastChange("quayside")
		wantCode(t, "last change after all were taken back", err, store.NotFound)
		if c, err := tx.LastChange("mill"); c.ID != "mill" || err != nil {
			t.Errorf("another household's change: %+v, %v", c, err)
		}
		return cmp.Or(tx.PopChange("quayside"), tx.PushChange("quayside", store.Change{ID: "again"}))
	})
	view(t, s, func(tx store.Tx) error {
		c, err := tx.LastChange("quayside")
		if c.ID != "again" {
			t.Errorf("a change after all were taken back: %+v", c)
		}
		return err
	})
}

func adapterNotes(t *testing.T, s store.Store) {
	update(t, s, func(tx store.Tx) error {
		if notes, err := tx.Adapter(chat); notes != nil || err != nil {
			t.Errorf("notes of an empty store: %q, %v", notes, err)
		}
		return cmp.Or(tx.PutAdapter(chat, []byte{0, 0xff}), tx.PutAdapter("other", []byte("x")), tx.PutAdapter("other", nil))
	})
	view(t, s, func(tx store.Tx) error {
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
	update(t, s, func(tx store.Tx) error {
		return each(func(a, b string) error {
			_, err := tx.Enqueue(store.Outgoing{Chat: a, Event: b})
			return cmp.Or(err, tx.PutMember(a, b, a+"|"+b), tx.PutDialogue(a, b, store.Dialogue{Kind: a + "|" + b}),
				tx.PushChange(a, store.Change{ID: a}), tx.PutAdapter(a, []byte(a+"|")))
		})
	})
	view(t, s, func(tx store.Tx) error {
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

// cannotBeKept checks that a record is refused whole, and that a refusal
// that f passes over leaves the rest in order.
func cannotBeKept(t *testing.T, s store.Store) {
	bad := Quayside()
	bad.Dogs[0].Weight = nutrition.Kilograms(math.NaN())
	update(t, s, func(tx store.Tx) error {
		wantCode(t, "a household with a weight that is no number", tx.PutHousehold(bad), store.Internal)
		wantCode(t, "a household without an id", tx.PutHousehold(new(planner.Household)), store.Internal)
		wantCode(t, "an event without an id", tx.MarkSeen("", morning), store.Internal)
		wantCode(t, "a change that is no number", tx.PushChange("quayside", store.Change{Before: bad}), store.Internal)
		return tx.PutMember(chat, person, "quayside")
	})
	view(t, s, func(tx store.Tx) error {
		_, err := tx.Household("quayside")
		wantCode(t, "the refused household", err, store.NotFound)
		_, err = tx.LastChange("quayside")
		wantCode(t, "the refused change", err, store.NotFound)
		_, err = tx.Member(chat, person)
		return err
	})
}

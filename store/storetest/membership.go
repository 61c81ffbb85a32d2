package storetest

import (
	"cmp"
	"fmt"
	"reflect"
	"testing"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
)

// wantMembers compares the members of a household in any order.
func wantMembers(t *testing.T, tx store.Tx, household string, want ...store.Member) {
	t.Helper()
	got, err := tx.Members(household)
	if err != nil {
		t.Error(err)
	}
	if len(got) != len(want) {
		t.Errorf("members of %s: %v, want %v", household, got, want)
		return
	}
	there := map[store.Member]bool{}
	for _, m := range got {
		there[m] = true
	}
	for _, m := range want {
		if !there[m] {
			t.Errorf("members of %s: %v, want %v", household, got, want)
		}
	}
}

func membersOf(t *testing.T, s store.Store) {
	ines, tomas, group := store.Member{Chat: chat, Person: person}, store.Member{Chat: "b", Person: "terminal/Tomas"}, store.Member{Chat: "group"}
	put := func(tx store.Tx, m store.Member, id string) error { return tx.PutMember(m.Chat, m.Person, id) }
	update(t, s, func(tx store.Tx) error {
		wantMembers(t, tx, "quayside")
		return cmp.Or(put(tx, ines, "quayside"), put(tx, tomas, "quayside"), put(tx, group, "quayside"),
			put(tx, store.Member{Chat: "c", Person: "x"}, "quaysid"))
	})
	update(t, s, func(tx store.Tx) error {
		wantMembers(t, tx, "quayside", ines, tomas, group)
		// Belonging to another is belonging to it no longer.
		return cmp.Or(put(tx, tomas, "mill"), put(tx, ines, "quayside"), tx.DeleteMember("group", ""), tx.DeleteMember("group", ""))
	})
	view(t, s, func(tx store.Tx) error {
		wantMembers(t, tx, "quayside", ines)
		wantMembers(t, tx, "mill", tomas)
		wantCode(t, "putting a member in a view", put(tx, tomas, "quayside"), store.Internal)
		return nil
	})
}

func invitations(t *testing.T, s store.Store) {
	one := store.Invite{Key: "k1", Household: "quayside", By: person, For: "Tomas", Expires: morning}
	two := store.Invite{Key: "k2", Household: "quayside", By: person, Only: "terminal/Tomas", Expires: morning}
	other := store.Invite{Key: "k3", Household: "mill", Expires: morning}
	update(t, s, func(tx store.Tx) error {
		_, err := tx.Invite("k1")
		wantCode(t, "an invitation of an empty store", err, store.NotFound)
		wantCode(t, "an invitation without a key", tx.PutInvite(store.Invite{Household: "mill"}), store.Internal)
		return cmp.Or(tx.DeleteInvite("k1"), tx.PutInvite(two), tx.PutInvite(one), tx.PutInvite(other))
	})
	want := func(household string, want ...store.Invite) {
		t.Helper()
		view(t, s, func(tx store.Tx) error {
			got, err := tx.Invites(household)
			if !reflect.DeepEqual(got, want) {
				t.Errorf("invitations of %s: %+v, want %+v", household, got, want)
			}
			for _, i := range want {
				if single, err := tx.Invite(i.Key); single != i || err != nil {
					t.Errorf("invitation %s: %+v, %v", i.Key, single, err)
				}
			}
			return err
		})
	}
	want("quayside", one, two)
	want("mill", other)
	one.Used, two.Household = "terminal/Tomas", "mill"
	update(t, s, func(tx store.Tx) error { return cmp.Or(tx.PutInvite(one), tx.PutInvite(two), tx.DeleteInvite("k3")) })
	want("quayside", one)
	want("mill", two)
	view(t, s, func(tx store.Tx) error {
		wantCode(t, "putting an invitation in a view", tx.PutInvite(two), store.Internal)
		wantCode(t, "taking one away in a view", tx.DeleteInvite("none"), store.Internal)
		return nil
	})
}

func endings(t *testing.T, s store.Store) {
	want := func(until time.Time, limit int, want ...string) {
		t.Helper()
		view(t, s, func(tx store.Tx) error {
			got, err := tx.Endings(until, limit)
			if fmt.Sprint(got) != fmt.Sprint(want) {
				t.Errorf("endings until %v: %v, want %v", until, got, want)
			}
			return err
		})
	}
	want(morning, 10)
	update(t, s, func(tx store.Tx) error {
		return cmp.Or(tx.PutEnding("quayside", morning), tx.PutEnding("mill", morning.Add(time.Hour)),
			tx.PutEnding("forge", morning), tx.PutEnding("forge", time.Time{}), tx.PutEnding("none", time.Time{}))
	})
	want(morning.Add(-time.Nanosecond), 10)
	want(morning, 10, "quayside")
	want(morning.Add(time.Hour), 10, "mill", "quayside")
	want(morning.Add(time.Hour), 1, "mill")
	update(t, s, func(tx store.Tx) error { return tx.PutEnding("quayside", morning.Add(2*time.Hour)) })
	want(morning.Add(time.Hour), 10, "mill")
}

func householdForgotten(t *testing.T, s store.Store) {
	fill := func(tx store.Tx, id, chat string) error {
		return cmp.Or(tx.PutHousehold(&planner.Household{ID: id}), tx.PutMember(chat, person, id), tx.PutMember(chat+"2", "", id),
			tx.PushChange(id, store.Change{ID: "c1"}), tx.PushChange(id, store.Change{ID: "c2"}),
			tx.PutInvite(store.Invite{Key: "k-" + id, Household: id}), tx.PutEnding(id, morning))
	}
	update(t, s, func(tx store.Tx) error { return cmp.Or(fill(tx, "quayside", "a"), fill(tx, "quay", "b")) })
	update(t, s, func(tx store.Tx) error { return cmp.Or(tx.DeleteHousehold("quayside"), tx.DeleteHousehold("none")) })
	view(t, s, func(tx store.Tx) error {
		_, err := tx.Household("quayside")
		wantCode(t, "the household", err, store.NotFound)
		_, err = tx.Member("a", person)
		wantCode(t, "its member", err, store.NotFound)
		_, err = tx.LastChange("quayside")
		wantCode(t, "its change", err, store.NotFound)
		_, err = tx.Invite("k-quayside")
		wantCode(t, "its invitation", err, store.NotFound)
		wantMembers(t, tx, "quayside")
		if ends, err := tx.Endings(morning, 10); fmt.Sprint(ends) != "[quay]" || err != nil {
			t.Errorf("endings %v, %v; want the other's", ends, err)
		}
		_, err1 := tx.Household("quay")
		_, err2 := tx.LastChange("quay")
		_, err3 := tx.Invite("k-quay")
		wantMembers(t, tx, "quay", store.Member{Chat: "b", Person: person}, store.Member{Chat: "b2"})
		wantCode(t, "forgetting in a view", tx.DeleteHousehold("none"), store.Internal)
		return cmp.Or(err1, err2, err3)
	})
}

func chatMoves(t *testing.T, s store.Store) {
	update(t, s, func(tx store.Tx) error {
		var err error
		for n := range 250 { // more than one batch of any size that is likely
			_, one := tx.Enqueue(message([]string{"old", "older", "new"}[n%3], n))
			err = cmp.Or(err, one)
		}
		return cmp.Or(err, tx.PutMember("old", "", "quayside"), tx.PutMember("old", person, "quayside"), tx.PutMember("older", "", "mill"),
			tx.PutMember("new", "", "begun"), tx.PutDialogue("old", person, store.Dialogue{Kind: "dog"}), tx.PutAdapter("old", []byte("notes")),
			tx.PutBlocked("old", morning), tx.PutAdapter("older", []byte("others")))
	})
	update(t, s, func(tx store.Tx) error {
		return cmp.Or(tx.MoveChat("old", "new"), tx.MoveChat("older", "older"), tx.MoveChat("none", "n2"))
	})
	for range 2 { // moving once more finds nothing to do
		view(t, s, func(tx store.Tx) error {
			wantMembers(t, tx, "quayside", store.Member{Chat: "new"}, store.Member{Chat: "new", Person: person})
			wantMembers(t, tx, "begun")
			wantMembers(t, tx, "mill", store.Member{Chat: "older"})
			d, err := tx.Dialogue("new", person)
			if d.Kind != "dog" || err != nil {
				t.Errorf("dialogue %+v, %v", d, err)
			}
			_, err = tx.Dialogue("old", person)
			wantCode(t, "the dialogue under the old name", err, store.NotFound)
			_, err = tx.Member("old", "")
			wantCode(t, "the member under the old name", err, store.NotFound)
			for name, want := range map[string]string{"old": "", "new": "notes", "older": "others"} {
				if notes, err := tx.Adapter(name); string(notes) != want || err != nil {
					t.Errorf("notes of %s: %q, %v; want %q", name, notes, err, want)
				}
			}
			if since, err := tx.Blocked("new"); !since.Equal(morning) || err != nil {
				t.Errorf("blocked since %v, %v", since, err)
			}
			for name, want := range map[string]int{"old": 0, "new": 167, "older": 83} {
				ms, err := tx.Pending(name, 1000)
				if len(ms) != want || err != nil {
					t.Errorf("%d messages of %s, %v; want %d", len(ms), name, err, want)
				}
				for n, m := range ms {
					if m.Chat != name || n > 0 && m.Number <= ms[n-1].Number {
						t.Errorf("message %d of %s after %d", m.Number, m.Chat, ms[max(n-1, 0)].Number)
					}
				}
			}
			wantCode(t, "moving in a view", tx.MoveChat("a", "b"), store.Internal)
			return nil
		})
		update(t, s, func(tx store.Tx) error { return tx.MoveChat("old", "new") })
	}
}

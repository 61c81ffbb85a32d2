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
func wantMembers(t *testing.T, tx store.Snapshot, household string, want ...store.Member) {
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
	of := func(m store.Member, id string) store.Write {
		return store.PutMember{Chat: m.Chat, Person: m.Person, Household: id}
	}
	update(t, s, func(tx store.Snapshot, put Put) error {
		wantMembers(t, tx, "quayside")
		return put(of(ines, "quayside"), of(tomas, "quayside"), of(group, "quayside"), of(store.Member{Chat: "c", Person: "x"}, "quaysid"))
	})
	update(t, s, func(tx store.Snapshot, put Put) error {
		wantMembers(t, tx, "quayside", ines, tomas, group)
		// Belonging to another is belonging to it no longer.
		return put(of(tomas, "mill"), of(ines, "quayside"), of(group, ""), of(group, ""))
	})
	view(t, s, func(tx store.Snapshot) error {
		wantMembers(t, tx, "quayside", ines)
		wantMembers(t, tx, "mill", tomas)
		return nil
	})
}

func invitations(t *testing.T, s store.Store) {
	one := store.Invite{Key: "k1", Household: "quayside", By: person, For: "Tomas", Expires: morning}
	two := store.Invite{Key: "k2", Household: "quayside", By: person, Only: "terminal/Tomas", Expires: morning}
	other := store.Invite{Key: "k3", Household: "mill", Expires: morning}
	update(t, s, func(tx store.Snapshot, put Put) error {
		_, err := tx.Invite("k1")
		wantCode(t, "an invitation of an empty store", err, store.NotFound)
		wantCode(t, "an invitation without a key", commit(s, store.PutInvite{Household: "mill"}), store.Internal)
		return put(store.DeleteInvite("k1"), store.PutInvite(two), store.PutInvite(one), store.PutInvite(other))
	})
	want := func(household string, want ...store.Invite) {
		t.Helper()
		view(t, s, func(tx store.Snapshot) error {
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
	must(t, commit(s, store.PutInvite(one), store.PutInvite(two), store.DeleteInvite("k3")))
	want("quayside", one)
	want("mill", two)
	view(t, s, func(tx store.Snapshot) error {
		return nil
	})
}

func endings(t *testing.T, s store.Store) {
	want := func(until time.Time, limit int, want ...string) {
		t.Helper()
		view(t, s, func(tx store.Snapshot) error {
			got, err := tx.Endings(until, limit)
			if fmt.Sprint(got) != fmt.Sprint(want) {
				t.Errorf("endings until %v: %v, want %v", until, got, want)
			}
			return err
		})
	}
	want(morning, 10)
	must(t, commit(s, store.PutEnding{Household: "quayside", At: morning}, store.PutEnding{Household: "mill", At: morning.Add(time.Hour)},
		store.PutEnding{Household: "forge", At: morning}, store.PutEnding{Household: "forge", At: time.Time{}},
		store.PutEnding{Household: "none", At: time.Time{}}))
	want(morning.Add(-time.Nanosecond), 10)
	want(morning, 10, "quayside")
	want(morning.Add(time.Hour), 10, "mill", "quayside")
	want(morning.Add(time.Hour), 1, "mill")
	must(t, commit(s, store.PutEnding{Household: "quayside", At: morning.Add(2 * time.Hour)}))
	want(morning.Add(time.Hour), 10, "mill")
}

func householdForgotten(t *testing.T, s store.Store) {
	fill := func(id, chat string) error {
		return commit(s, store.PutHousehold{Household: &planner.Household{ID: id}}, store.PutMember{Chat: chat, Person: person, Household: id},
			store.PutMember{Chat: chat + "2", Person: "", Household: id}, store.PushChange{Household: id, Change: store.Change{ID: "c1"}},
			store.PushChange{Household: id, Change: store.Change{ID: "c2"}}, store.PutInvite{Key: "k-" + id, Household: id},
			store.PutEnding{Household: id, At: morning})
	}
	if err := cmp.Or(fill("quayside", "a"), fill("quay", "b")); err != nil {
		t.Fatal(err)
	}
	must(t, commit(s, store.DeleteHousehold("quayside"), store.DeleteHousehold("none")))
	view(t, s, func(tx store.Snapshot) error {
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
		return cmp.Or(err1, err2, err3)
	})
}

func chatMoves(t *testing.T, s store.Store) {
	update(t, s, func(tx store.Snapshot, put Put) error {
		for n := range 250 { // more than one batch of any size that is likely
			put(store.Enqueue(message([]string{"old", "older", "new"}[n%3], n)))
		}
		return put(store.PutMember{Chat: "old", Person: "", Household: "quayside"}, store.PutMember{Chat: "old", Person: person, Household: "quayside"}, store.PutMember{Chat: "older", Person: "", Household: "mill"},
			store.PutMember{Chat: "new", Person: "", Household: "begun"}, store.PutDialogue{Chat: "old", Person: person, Dialogue: store.Dialogue{Kind: "dog"}}, store.PutAdapter{Chat: "old", Notes: []byte("notes")},
			store.PutBlocked{Chat: "old", Since: morning}, store.PutAdapter{Chat: "older", Notes: []byte("others")})
	})
	must(t, commit(s, store.MoveChat{From: "old", To: "new"}, store.MoveChat{From: "older", To: "older"}, store.MoveChat{From: "none", To: "n2"}))
	for range 2 { // moving once more finds nothing to do
		view(t, s, func(tx store.Snapshot) error {
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
			return nil
		})
		must(t, commit(s, store.MoveChat{From: "old", To: "new"}))
	}
}

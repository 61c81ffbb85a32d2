package storetest

import (
	"cmp"
	"fmt"
	"slices"
	"testing"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
)

// sorted puts what a store has in an order of its own into one.
func sorted[T any](all []T, err error) ([]T, error) {
	slices.SortFunc(all, func(a, b T) int { return cmp.Compare(fmt.Sprint(a), fmt.Sprint(b)) })
	return all, err
}

// wantMembers compares the members of a household in any order.
func wantMembers(t *testing.T, tx store.Snapshot, household string, want ...store.Member) {
	t.Helper()
	want, _ = sorted(want, nil)
	is(t, "members of "+household, want)(sorted(tx.Members(household)))
}

func membersOf(t *testing.T, s store.Store) {
	ines, tomas, group := store.Member{Chat: chat, Person: person}, store.Member{Chat: "b", Person: "terminal/Tomas"}, store.Member{Chat: "group"}
	of := func(m store.Member, id string) store.Write {
		return store.PutMember{Chat: m.Chat, Person: m.Person, Household: id}
	}
	view(t, s, func(tx store.Snapshot) { wantMembers(t, tx, "quayside") })
	must(t, commit(s, of(ines, "quayside"), of(tomas, "quayside"), of(group, "quayside"), of(store.Member{Chat: "c", Person: "x"}, "quaysid")))
	view(t, s, func(tx store.Snapshot) { wantMembers(t, tx, "quayside", ines, tomas, group) })
	// Belonging to another is belonging to it no longer.
	must(t, commit(s, of(tomas, "mill"), of(ines, "quayside"), of(group, ""), of(group, "")))
	view(t, s, func(tx store.Snapshot) {
		wantMembers(t, tx, "quayside", ines)
		wantMembers(t, tx, "mill", tomas)
	})
}

func invitations(t *testing.T, s store.Store) {
	one := store.Invite{Key: "k1", Household: "quayside", By: person, For: "Tomas", Expires: morning}
	two := store.Invite{Key: "k2", Household: "quayside", By: person, Only: "terminal/Tomas", Expires: morning}
	other := store.Invite{Key: "k3", Household: "mill", Expires: morning}
	view(t, s, func(tx store.Snapshot) {
		fails(t, "an invitation of an empty store", store.NotFound)(tx.Invite("k1"))
	})
	wantCode(t, "an invitation without a key", commit(s, store.PutInvite{Household: "mill"}), store.Internal)
	must(t, commit(s, store.DeleteInvite("k1"), store.PutInvite(two), store.PutInvite(one), store.PutInvite(other)))
	want := func(household string, want ...store.Invite) {
		t.Helper()
		view(t, s, func(tx store.Snapshot) {
			is(t, "invitations of "+household, want)(tx.Invites(household))
			for _, i := range want {
				is(t, "invitation "+i.Key, i)(tx.Invite(i.Key))
			}
		})
	}
	want("quayside", one, two)
	want("mill", other)
	one.Used, two.Household = "terminal/Tomas", "mill"
	must(t, commit(s, store.PutInvite(one), store.PutInvite(two), store.DeleteInvite("k3")))
	want("quayside", one)
	want("mill", two)
}

func endings(t *testing.T, s store.Store) {
	want := func(until time.Time, limit int, want ...string) {
		t.Helper()
		view(t, s, func(tx store.Snapshot) {
			is(t, fmt.Sprint("endings until ", until), want)(tx.Endings(until, limit))
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
	must(t, cmp.Or(fill("quayside", "a"), fill("quay", "b")))
	must(t, commit(s, store.DeleteHousehold("quayside"), store.DeleteHousehold("none")))
	view(t, s, func(tx store.Snapshot) {
		fails(t, "the household", store.NotFound)(tx.Household("quayside"))
		fails(t, "its member", store.NotFound)(tx.Member("a", person))
		fails(t, "its change", store.NotFound)(tx.Change("quayside", 0))
		fails(t, "its invitation", store.NotFound)(tx.Invite("k-quayside"))
		wantMembers(t, tx, "quayside")
		is(t, "endings", []string{"quay"})(tx.Endings(morning, 10))
		fails(t, "the other household", "")(tx.Household("quay"))
		fails(t, "its change", "")(tx.Change("quay", 0))
		fails(t, "its invitation", "")(tx.Invite("k-quay"))
		wantMembers(t, tx, "quay", store.Member{Chat: "b", Person: person}, store.Member{Chat: "b2"})
	})
}

func chatMoves(t *testing.T, s store.Store) {
	var ws []store.Write
	for n := range 250 { // more than one batch of any size that is likely
		ws = append(ws, store.Enqueue(message([]string{"old", "older", "new"}[n%3], n)))
	}
	must(t, commit(s, append(ws, store.PutMember{Chat: "old", Person: "", Household: "quayside"}, store.PutMember{Chat: "old", Person: person, Household: "quayside"}, store.PutMember{Chat: "older", Person: "", Household: "mill"},
		store.PutMember{Chat: "new", Person: "", Household: "begun"}, store.PutDialogue{Chat: "old", Person: person, Dialogue: store.Dialogue{Kind: "dog"}}, store.PutAdapter{Chat: "old", Notes: []byte("notes")},
		store.PutBlocked{Chat: "old", Since: morning}, store.PutAdapter{Chat: "older", Notes: []byte("others")})...))
	must(t, commit(s, store.MoveChat{From: "old", To: "new"}, store.MoveChat{From: "older", To: "older"}, store.MoveChat{From: "none", To: "n2"}))
	for range 2 { // moving once more finds nothing to do
		view(t, s, func(tx store.Snapshot) {
			wantMembers(t, tx, "quayside", store.Member{Chat: "new"}, store.Member{Chat: "new", Person: person})
			wantMembers(t, tx, "begun")
			wantMembers(t, tx, "mill", store.Member{Chat: "older"})
			is(t, "dialogue", store.Dialogue{Kind: "dog"})(tx.Dialogue("new", person))
			fails(t, "the dialogue under the old name", store.NotFound)(tx.Dialogue("old", person))
			fails(t, "the member under the old name", store.NotFound)(tx.Member("old", ""))
			for name, want := range map[string][]byte{"old": nil, "new": []byte("notes"), "older": []byte("others")} {
				is(t, "notes of "+name, want)(tx.Adapter(name))
			}
			is(t, "blocked", morning)(tx.Blocked("new"))
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
		})
		must(t, commit(s, store.MoveChat{From: "old", To: "new"}))
	}
}

package storetest

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
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

// issue is something published by a household, of one version.
func issue(token, household string) store.Published {
	return store.Published{Household: household, Person: person, Rev: 1, Published: planner.Published{
		Token: token, Author: "The quay kitchen", Title: "Turkey and heart", About: "For dogs that like it plain.", ForWhom: "healthy adults",
		Versions: []planner.PublishedVersion{{At: morning, Recipes: Quayside().Recipes, Foods: Quayside().Foods, Switch: 10, Profile: "nrc-adult"}},
	}}
}

func published(t *testing.T, s store.Store) {
	one, two, three := issue("t1", "quayside"), issue("t2", "mill"), issue("t3", "quayside")
	view(t, s, func(tx store.Snapshot) {
		fails(t, "what an empty store has published", store.NotFound)(tx.Published("t1"))
	})
	for what, w := range map[string]store.Write{
		"without a token": store.PutPublished{Household: "mill"}, "a reader of nothing": store.PutReader{Household: "mill"},
		"a reader without a household": store.PutReader{Token: "t1"},
	} {
		wantCode(t, what, commit(s, w), store.Internal)
	}
	must(t, commit(s, store.PutPublished(three), store.PutPublished(one), store.PutPublished(two)))
	var readers []store.Reader
	for i := range 5 {
		r := store.Reader{Token: "t1", Household: fmt.Sprint("h", i), Version: 1, Since: morning}
		readers = append(readers, r)
		must(t, commit(s, store.PutReader(r)))
	}
	other := store.Reader{Token: "t3", Household: "h2", Version: 2, Since: morning}
	must(t, commit(s, store.PutReader(other)))
	view(t, s, func(tx store.Snapshot) {
		is(t, "by its token", one)(tx.Published("t1"))
		is(t, "by its household", []store.Published{one, three})(tx.PublishedBy("quayside"))
		is(t, "behind one", []store.Published{two, three})(tx.PublishedAfter("t1", 5))
		is(t, "readers", readers[:3])(tx.Readers("t1", "", 3))
		is(t, "readers behind one", readers[3:])(tx.Readers("t1", "h2", 3))
		is(t, "what is kept", []store.Reader{readers[2], other})(tx.Reading("h2"))
	})
	rests := func(e store.Expectation) error {
		return s.Commit(context.Background(), store.Commit{Expect: []store.Expectation{e}})
	}
	must(t, errors.Join(rests(store.PublishedAt{Token: "t1", Rev: 1}), rests(store.PublishedAt{Token: "none"})))
	wantCode(t, "an older revision", rests(store.PublishedAt{Token: "t1"}), store.Conflict)
	asked := readers[2]
	asked.Told, asked.ToldAt, asked.Asked = 2, morning, []store.Asked{{ID: "q1", Chat: "c", Person: person, Text: "Is it salty?", At: morning}}
	must(t, errors.Join(rests(store.ReaderIs(readers[2])), rests(store.ReaderIs{Token: "t1", Household: "none"}), commit(s, store.PutReader(asked)), rests(store.ReaderIs(asked))))
	wantCode(t, "a reader as it was", rests(store.ReaderIs(readers[2])), store.Conflict)
	wantCode(t, "no reader", rests(store.ReaderIs{Token: "t1", Household: "h1"}), store.Conflict)
	one.Household, one.Rev = "mill", 2 // in the place of what was there
	must(t, commit(s, store.PutPublished(one), store.DeleteReader{Token: "t1", Household: "h0"}, store.DeleteReader{Token: "t1", Household: "none"}))
	must(t, commit(s, store.DeleteHousehold("quayside")))
	view(t, s, func(tx store.Snapshot) {
		is[[]store.Published](t, "by its household", nil)(tx.PublishedBy("quayside"))
		is(t, "by the other", []store.Published{one, two})(tx.PublishedBy("mill"))
		is(t, "readers that are left", []store.Reader{readers[1], asked, readers[3], readers[4]})(tx.Readers("t1", "", 9))
		is(t, "what is kept", []store.Reader{asked})(tx.Reading("h2"))
	})
}

// publishingForgotten deletes an author's household outright, and erases another.
func publishingForgotten(t *testing.T, s store.Store) {
	for _, id := range []string{"quayside", "mill", "forge"} {
		must(t, commit(s, store.PutHousehold{Household: &planner.Household{ID: id, Carers: Quayside().Carers}}, store.PutPublished(issue("t-"+id, id))))
	}
	must(t, commit(s, store.PutReader{Token: "t-mill", Household: "quayside"}, store.PutReader{Token: "t-mill", Household: "forge"},
		store.PutReader{Token: "t-quayside", Household: "forge"}))
	must(t, commit(s, store.DeleteHousehold("quayside")))
	var ws []store.Write
	view(t, s, func(tx store.Snapshot) {
		fails(t, "what a deleted household published", store.NotFound)(tx.Published("t-quayside"))
		is[[]store.Reader](t, "readers of what is gone", nil)(tx.Readers("t-quayside", "", 9))
		is(t, "readers of the other", []store.Reader{{Token: "t-mill", Household: "forge"}})(tx.Readers("t-mill", "", 9))
		out, err1 := store.EraseHousehold(tx, "mill", morning)
		person, err2 := store.ErasePerson(tx, "forge", person, morning)
		must(t, errors.Join(err1, err2))
		ws = append(out, person...)
	})
	must(t, commit(s, ws...))
	view(t, s, func(tx store.Snapshot) {
		is(t, "of an erased household's stays", store.Published{Rev: 2, Published: planner.Published{Token: "t-mill", Withdrawn: planner.Withdrawal{At: morning}}})(tx.Published("t-mill"))
		is(t, "the one who is to be told", []store.Reader{{Token: "t-mill", Household: "forge"}})(tx.Readers("t-mill", "", 9))
		other, err := tx.Published("t-forge")
		if said := fmt.Sprintf("%+v", other); err != nil || strings.Contains(said, "quay kitchen") || strings.Contains(said, person) || len(other.Versions) != 1 {
			t.Errorf("an erased person's: %s, %v", said, err)
		}
	})
}

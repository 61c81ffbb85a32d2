package storetest

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"bowlwright/planner"
	"bowlwright/store"
)

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
	must(t, commit(s, store.DeletePublished("t1"), store.PutPublished(three), store.PutPublished(one), store.PutPublished(two)))
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
	must(t, commit(s, store.DeletePublished("t3")))
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

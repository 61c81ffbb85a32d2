package storetest

import (
	"context"
	"errors"
	"fmt"
	"reflect"
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
	view(t, s, func(tx store.Snapshot) error {
		_, err := tx.Published("t1")
		wantCode(t, "what an empty store has published", err, store.NotFound)
		return nil
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
	view(t, s, func(tx store.Snapshot) error {
		got, err1 := tx.Published("t1")
		by, err2 := tx.PublishedBy("quayside")
		all, err3 := tx.PublishedAfter("t1", 5)
		page1, err4 := tx.Readers("t1", "", 3)
		page2, err5 := tx.Readers("t1", "h2", 3)
		kept, err6 := tx.Reading("h2")
		for what, is := range map[string][2]any{
			"by its token": {got, one}, "by its household": {by, []store.Published{one, three}}, "behind one": {all, []store.Published{two, three}},
			"readers": {page1, readers[:3]}, "readers behind one": {page2, readers[3:]}, "what is kept": {kept, []store.Reader{readers[2], other}},
		} {
			if !reflect.DeepEqual(is[0], is[1]) {
				t.Errorf("%s: %+v\nwant %+v", what, is[0], is[1])
			}
		}
		return errors.Join(err1, err2, err3, err4, err5, err6)
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
	view(t, s, func(tx store.Snapshot) error {
		by, err1 := tx.PublishedBy("quayside")
		mill, err2 := tx.PublishedBy("mill")
		left, err3 := tx.Readers("t1", "", 9)
		kept, err4 := tx.Reading("h2")
		if len(by) != 0 || len(mill) != 2 || len(left) != 4 || len(kept) != 1 {
			t.Errorf("by one household %d, by the other %d, readers %d, kept %d; want 0, 2, 4, 1", len(by), len(mill), len(left), len(kept))
		}
		return errors.Join(err1, err2, err3, err4)
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
	update(t, s, func(tx store.Snapshot, put Put) error {
		_, err := tx.Published("t-quayside")
		wantCode(t, "what a deleted household published", err, store.NotFound)
		gone, err1 := tx.Readers("t-quayside", "", 9)
		left, err2 := tx.Readers("t-mill", "", 9)
		if len(gone) != 0 || len(left) != 1 {
			t.Errorf("%d readers of what is gone, %d of the other; want 0 and 1", len(gone), len(left))
		}
		out, err3 := store.EraseHousehold(tx, "mill", morning)
		person, err4 := store.ErasePerson(tx, "forge", person, morning)
		put(append(out, person...)...)
		return errors.Join(err1, err2, err3, err4)
	})
	view(t, s, func(tx store.Snapshot) error {
		p, err1 := tx.Published("t-mill")
		want := store.Published{Rev: 2, Published: planner.Published{Token: "t-mill", Withdrawn: planner.Withdrawal{At: morning}}}
		if !reflect.DeepEqual(p, want) {
			t.Errorf("of an erased household's stays %+v, want %+v", p, want)
		}
		if left, err := tx.Readers("t-mill", "", 9); len(left) != 1 || err != nil {
			t.Errorf("its readers: %v, %v; want the one who is to be told", left, err)
		}
		other, err2 := tx.Published("t-forge")
		if said := fmt.Sprintf("%+v", other); strings.Contains(said, "quay kitchen") || strings.Contains(said, person) || len(other.Versions) != 1 {
			t.Errorf("an erased person's: %s", said)
		}
		return errors.Join(err1, err2)
	})
}

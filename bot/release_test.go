package bot

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

const releasedToken = "r-0123456789abcdefghijkl"

// released fills a store with so many households that keep the first version of
// a recipe, and its author's, who releases a second at a time.
func released(tb testing.TB, s store.Store, readers int, at time.Time) {
	tb.Helper()
	author := homeInUse(tb, "author")
	one := author.Freeze(author.Recipes[:1], nil, nil)
	two := author.Freeze(author.Recipes[:1], nil, nil)
	two.Recipes[0].Ingredients[0].Grams = 350
	two.Why, two.At = "Less thigh", at
	p := store.Published{Household: "author", Person: "x/author", Of: "p1", Rev: 2, Published: planner.Published{
		Token: releasedToken, Author: "The quay kitchen", Title: "Turkey and heart", Versions: []planner.PublishedVersion{one, two},
	}}
	c := store.Commit{Writes: []store.Write{
		store.PutHousehold{Household: author}, store.PutMember{Chat: "x/author", Person: "x/author", Household: "author"},
		store.PutPublished(p), store.PutDue{Household: store.Errand(store.TellErrand, p.Token), At: at},
	}}
	for i := range readers {
		h := homeInUse(tb, fmt.Sprintf("h%05d", i))
		h.Reminders = nil
		h.Recipes[0].From = planner.Origin{Token: p.Token, Version: 1, Recipe: "1"}
		c.Writes = append(c.Writes, store.PutHousehold{Household: h}, store.PutMember{Chat: "x/" + h.ID, Person: "x/" + h.ID, Household: h.ID},
			store.PutReader{Token: p.Token, Household: h.ID, Version: 1, Told: 1, Since: at})
	}
	if err := s.Commit(context.Background(), c); err != nil {
		tb.Fatal(err)
	}
}

// failing is a store whose disk is full after some commits.
type failing struct {
	store.Store
	left int
}

func (f *failing) Commit(ctx context.Context, c store.Commit) error {
	if f.left--; f.left < 0 {
		return &store.Error{Code: store.Full, Op: "commit"}
	}
	return f.Store.Commit(ctx, c)
}

// TestReleaseGoesOn breaks off a release half-way: it goes on where it was, and
// each reader hears once, behind all else.
func TestReleaseGoesOn(t *testing.T) {
	const readers = 1200 // more than a step
	s, err := bolt.Open(filepath.Join(t.TempDir(), "s.db"), bolt.Options{NoSync: true})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	released(t, s, readers, monday)
	for _, commits := range []int{1, 300, readers + 10} {
		NewAssistant(&failing{s, commits}, nutrition.Default()).Errands(t.Context(), monday.Add(20*time.Minute))
	}
	if _, err := NewAssistant(s, nutrition.Default()).Tick(t.Context(), monday.Add(time.Hour)); err != nil {
		t.Fatal(err)
	}
	told := map[string]int{}
	err = storetest.Look(t.Context(), s, func(tx store.Snapshot) error {
		all, err := tx.Pending("", 2*readers)
		for _, m := range all {
			told[m.Chat]++
			r, err := say.DecodeReply(m.Body)
			if err != nil || !m.Behind || !strings.Contains(fmt.Sprint(r.Body), "Less thigh") {
				t.Fatalf("%+v: %v", m, r)
			}
		}
		return err
	})
	if err != nil || len(told) != readers {
		t.Errorf("%d of %d were told, %v", len(told), readers, err)
	}
	for chat, n := range told {
		if n != 1 {
			t.Errorf("%s was told %d times", chat, n)
		}
	}
}

// TestReleasesOfADay: a household hears of one new version a day, and then of
// the latest; what is withdrawn it hears at once, and a pause holds the rest back.
func TestReleasesOfADay(t *testing.T) {
	s := storetest.NewMemory()
	released(t, s, 1, monday)
	a := NewAssistant(s, nutrition.Default())
	var said []string
	pass := func(at time.Time) {
		t.Helper()
		if _, err := a.Tick(t.Context(), at); err != nil {
			t.Fatal(err)
		}
		err := storetest.Change(t.Context(), s, func(tx store.Snapshot, put storetest.Put) error {
			all, err := tx.Pending("x/h00000", 10)
			for _, m := range all {
				r, _ := say.DecodeReply(m.Body)
				said = append(said, at.Format("2 15:04 ")+r.Body[0].Text)
				put(store.Delivered(m.Number))
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	publish := func(at time.Time, change func(p *store.Published)) {
		t.Helper()
		err := storetest.Change(t.Context(), s, func(tx store.Snapshot, put storetest.Put) error {
			p, _ := tx.Published(releasedToken)
			p.Rev++
			change(&p)
			return put(store.PutPublished(p), store.PutDue{Household: store.Errand(store.TellErrand, p.Token), At: at})
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	next := func(p *store.Published) {
		v := p.Versions[len(p.Versions)-1]
		p.Versions = append(p.Versions, v)
	}
	pass(monday)
	publish(monday.Add(time.Hour), next)
	pass(monday.Add(time.Hour))
	publish(monday.Add(2*time.Hour), next)
	for h := 2; h < 30; h++ {
		pass(monday.Add(time.Duration(h) * time.Hour))
	}
	publish(monday.Add(30*time.Hour), next)
	publish(monday.Add(31*time.Hour), func(p *store.Published) { p.Withdrawn = planner.Withdrawal{At: monday, Why: "salt"} })
	for h := 31; h < 60; h++ {
		pass(monday.Add(time.Duration(h) * time.Hour))
	}
	t.Log(strings.Join(said, "\n"))
	want := []string{"number 2.", "number 4.", "IMPORTANT"}
	if len(said) != len(want) {
		t.Fatalf("said %q", said)
	}
	for i := range want {
		if !strings.Contains(said[i], want[i]) {
			t.Errorf("%q, want %s", said[i], want[i])
		}
	}
}

// TestFigures gives an author counts of five households or more, and no other.
func TestFigures(t *testing.T) {
	for readers, want := range map[int]string{4: "Fewer than 5", 6: "6 households keep Turkey and heart.\nanother amount of kale, cooked: 6"} {
		s := storetest.NewMemory()
		released(t, s, readers, monday)
		a := NewAssistant(s, nutrition.Default())
		say := func(who, text string) {
			t.Helper()
			if err := a.Handle(t.Context(), talk.Event{ID: who + text, Chat: who, Person: who, Name: "Ines", At: monday, Text: text}); err != nil {
				t.Fatal(err)
			}
		}
		for i := range readers {
			say(fmt.Sprintf("x/h%05d", i), "change the kale to 70 g in Turkey and heart")
			if i == 0 {
				say("x/h00000", "swap the carrot in Turkey and heart")
				say("x/h00000", "change the broccoli to 70 g in Turkey and heart")
			}
		}
		say("x/author", "readers of Turkey and heart")
		err := storetest.Look(t.Context(), s, func(tx store.Snapshot) error {
			all, err := tx.Pending("x/author", 10)
			if len(all) != 1 || !strings.Contains(string(all[0].Body), strings.ReplaceAll(want, "\n", `\n`)) || strings.Contains(string(all[0].Body), "broccoli") {
				t.Errorf("of %d readers: %s", readers, all[0].Body)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
}

package bot

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/edition"
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
	one := edition.Freeze(author, author.Recipes[:1], nil, nil)
	two := edition.Freeze(author, author.Recipes[:1], nil, nil)
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
	t.Parallel()
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
	next := func(p *store.Published) { p.Versions = append(p.Versions, p.Versions[len(p.Versions)-1]) }
	err := storetest.Change(t.Context(), s, func(tx store.Snapshot, put storetest.Put) error {
		h, err := tx.Household("h00000")
		h.Quiet = planner.Quiet{From: planner.At(22, 0), To: planner.At(7, 0)}
		put(store.PutHousehold{Household: h})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	day := planner.Instant(planner.DateOf(monday), 0, time.UTC)
	happens := map[int]func(p *store.Published){ // by the hour
		9: next, 12: next, 47: next, 24 + 24 + 10: next,
		24 + 24 + 24 + 3: func(p *store.Published) { p.Withdrawn = planner.Withdrawal{At: monday, Why: "salt"} },
	}
	for h := 6; h < 24*4; h++ {
		at := day.Add(time.Duration(h) * time.Hour)
		if change := happens[h]; change != nil {
			publish(at, change)
		}
		pass(at)
	}
	want := []string{"2 07:00 The quay kitchen has a new version of Turkey and heart, number 2.", "3 07:00 The quay kitchen has a new version of Turkey and heart, number 4.",
		"4 07:00 The quay kitchen has a new version of Turkey and heart, number 5.", "5 03:00 IMPORTANT: Turkey and heart was withdrawn."}
	if !slices.Equal(said, want) {
		t.Errorf("said %q", said)
	}
}

// TestOperatorWithdraws: what whoever runs the program withdraws, its author hears
// of as well as who keeps it, once, and by night too.
func TestOperatorWithdraws(t *testing.T) {
	s := storetest.NewMemory()
	night := monday.Add(20 * time.Hour) // 3 in the morning
	released(t, s, 1, monday.AddDate(0, 0, -1))
	err := storetest.Change(t.Context(), s, func(tx store.Snapshot, put storetest.Put) error {
		p, err := tx.Published(releasedToken)
		p.Rev++
		p.Withdrawn = planner.Withdrawal{At: monday, Why: "Too salty.", Operator: true}
		return errors.Join(err, put(store.PutPublished(p), store.PutDue{Household: store.Errand(store.TellErrand, p.Token), At: night}))
	})
	if err != nil {
		t.Fatal(err)
	}
	a := NewAssistant(s, nutrition.Default())
	for range 3 {
		if _, err := a.Tick(t.Context(), night); err != nil {
			t.Fatal(err)
		}
	}
	for chat, want := range map[string]string{"x/author": "Your recipe is still here.", "x/h00000": "Your copy stays yours."} {
		said := ""
		err := storetest.Look(t.Context(), s, func(tx store.Snapshot) error {
			all, err := tx.Pending(chat, 10)
			for _, m := range all {
				r, _ := say.DecodeReply(m.Body)
				said += text([]say.Reply{r})
			}
			return err
		})
		if err != nil || strings.Count(said, "Whoever runs this bot withdrew Turkey and heart on Mon 2 Mar: Too salty.") != 1 || !strings.Contains(said, want) {
			t.Errorf("%s read %q, %v", chat, said, err)
		}
	}
}

// TestLimits: a household releases so many versions within a day.
func TestLimits(t *testing.T) {
	s := storetest.NewMemory()
	released(t, s, 0, monday.AddDate(0, 0, -7))
	a := NewAssistant(s, nutrition.Default())
	n := 0
	tell := func(text string) (last string) {
		t.Helper()
		n++
		if err := a.Handle(t.Context(), talk.Event{ID: fmt.Sprint(n), Chat: "x/author", Person: "x/author", Name: "Ines", At: monday, Text: text}); err != nil {
			t.Fatal(err)
		}
		err := storetest.Look(t.Context(), s, func(tx store.Snapshot) error {
			all, err := tx.Pending("x/author", 100)
			last = string(all[len(all)-1].Body)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		return last
	}
	for i := range 5 {
		tell(fmt.Sprintf("change the kale to %d g in Turkey and heart", 70+i))
		tell("release Turkey and heart")
		tell("A little more kale")
		if got := tell("release it"); !strings.Contains(got, "is out.") {
			t.Fatalf("release %d: %s", i+1, got)
		}
	}
	tell("change the kale to 80 g in Turkey and heart")
	if got := tell("release Turkey and heart"); !strings.Contains(got, "5 new versions within a day") {
		t.Errorf("the sixth: %s", got)
	}
	a.MayPublish = func(talk.Event) bool { return false }
	if got := tell("publish Turkey and heart"); !strings.Contains(got, "is published already") {
		t.Errorf("%s", got)
	}
	tell("copy Turkey and heart as Turkey light")
	if got := tell("publish Turkey light"); !strings.Contains(got, "isn't open to you") {
		t.Errorf("where nobody may publish: %s", got)
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

// TestReplyAnswers: an author answers by a reply to the question, whatever it
// speaks of, and who asked is not named.
func TestReplyAnswers(t *testing.T) {
	s := storetest.NewMemory()
	released(t, s, 1, monday)
	a := NewAssistant(s, nutrition.Default())
	n := 0
	tell := func(who, text string, under ...string) {
		t.Helper()
		n++
		e := talk.Event{ID: fmt.Sprint(n), Chat: who, Person: who, Name: "Somebody", At: monday, Text: text, Under: under}
		if err := a.Handle(t.Context(), e); err != nil {
			t.Fatal(err)
		}
	}
	said := func(who string) (last say.Reply) {
		t.Helper()
		err := storetest.Change(t.Context(), s, func(tx store.Snapshot, put storetest.Put) error {
			all, err := tx.Pending(who, 20)
			for _, m := range all {
				last, _ = say.DecodeReply(m.Body)
				put(store.Delivered(m.Number))
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		return last
	}
	const reader = "x/h00000"
	tell("x/author", "let readers ask about Turkey and heart")
	tell(reader, "ask the author about Turkey and heart")
	tell(reader, "May I leave out the kelp?")
	said(reader)
	asked := said("x/author")
	text := fmt.Sprint(asked.Body)
	if !strings.Contains(text, "May I leave out the kelp?") || strings.Contains(text, "Somebody") || strings.Contains(text, "h00000") {
		t.Fatalf("the author reads %s", text)
	}
	tell("x/author", "No: without it she collapses one day. Feed no raisins either.", asked.Buttons[0][0].Data, asked.Buttons[0][1].Data)
	if got := fmt.Sprint(said(reader).Body); !strings.Contains(got, "Feed no raisins either.") || strings.Contains(got, "x/author") {
		t.Errorf("the reader is told %s", got)
	}
	if got := fmt.Sprint(said("x/author").Body); !strings.Contains(got, "Sent.") {
		t.Errorf("the author is told %s", got)
	}
}

// TestQuestionToGroup brings a question to the group in which its author
// published.
func TestQuestionToGroup(t *testing.T) {
	s := storetest.NewMemory()
	released(t, s, 1, monday)
	err := storetest.Change(t.Context(), s, func(tx store.Snapshot, put storetest.Put) error {
		p, err := tx.Published(releasedToken)
		p.Asking = true
		put(store.PutPublished(p), store.PutMember{Chat: "x/author", Person: "x/author"}, store.PutMember{Chat: "x/-1", Household: "author"})
		return err
	})
	a := NewAssistant(s, nutrition.Default())
	for i, text := range []string{"ask the author about Turkey and heart", "May I leave out the kelp?"} {
		if err == nil {
			err = a.Handle(t.Context(), talk.Event{ID: fmt.Sprint(i), Chat: "x/h00000", Person: "x/h00000", Name: "Somebody", At: monday, Text: text})
		}
	}
	if err == nil {
		err = storetest.Look(t.Context(), s, func(tx store.Snapshot) error {
			all, err := tx.Pending("x/-1", 10)
			if len(all) != 1 || !strings.Contains(string(all[0].Body), "leave out the kelp") {
				t.Errorf("the group hears %d messages", len(all))
			}
			return err
		})
	}
	if err != nil {
		t.Fatal(err)
	}
}

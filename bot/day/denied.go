package day

import (
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/recipes"
	"bowlwright/bot/remind"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
)

// NotGiven takes one dose off the record that is said not to have been given: the one of a
// time, a part of the day or a name that the text has, else the last: "the one at 8:15 was
// your mistake". Where only one of two is denied, or a medicine of which none is recorded,
// it says what is. It reports false where nothing is said of a dose.
func NotGiven(t *talk.Turn, s string) bool {
	s, _, _ = strings.Cut(s, "\n")
	clauses := slices.Concat(say.Each(read.SentencesOf(s), read.Clauses)...)
	at := slices.IndexFunc(clauses, func(c string) bool { return read.Says("dose-denied", c) })
	if at < 0 || read.IsQuestion(s) || t.Talk.Kind != "" {
		return false
	}
	clause, of := clauses[at], read.DogsOf(clauses[at], t.Names())
	day, part, _ := read.DayAsked(talk.DaysIn(t, clause), t.Event.At)
	w, err := span.WhenText(clause, t.Event.At)
	timed := err == nil && len(w.Times) == 1 && strings.ContainsAny(clause, "0123456789") // "this morning" names none
	named := func(title string) bool {
		return slices.ContainsFunc(strings.Fields(talk.WithoutDogs(t, title)), func(word string) bool {
			return !span.IsForm(word) && say.HasLetters(word) && len(word) > 3 && read.HasName(clause, word)
		})
	}
	about := slices.DeleteFunc(remind.Given(t, of), func(r *planner.Reminder) bool { return !named(talk.AboutReminder(t, r)) })
	all := t.Entries(store.EntryQuery{Kinds: []planner.EntryKind{planner.Given, planner.NoteDone}, From: t.Event.At.Add(-doseWindow), Newest: true})
	all = slices.DeleteFunc(all, func(e planner.Entry) bool {
		title, clock := e.Text, planner.ClockOf(e.At.In(t.Event.At.Location())) // a reminder of one day is gone
		if _, r, ok := t.Home.Occurrence(e.Of); ok {
			title = talk.AboutReminder(t, r)
		}
		return e.Date != day || !named(title) && (len(about) > 0 || !timed && !read.Says("any-dose", clause)) || len(of) > 0 && !slices.Contains(of, e.Dog) ||
			timed && clock != w.Times[0] && clock != w.Times[0]+say.Noon || part == read.FirstPart && clock >= say.Noon || part == read.LastPart && clock < say.Noon
	})
	if len(all) == 0 || read.Says("second-dose", clause) && len(all) < 2 {
		if len(all) > 0 {
			if _, r, ok := t.Home.Occurrence(all[0].Of); ok {
				about = []*planner.Reminder{r}
			}
		}
		for _, r := range about {
			if r.Dose == nil || len(all) > 0 {
				text, _, _ := givenText(t, r, day, true)
				t.Say(say.Whole(text))
			}
		}
		return len(t.Replies) > 0
	}
	e := all[0]
	if other := slices.IndexFunc(all, func(was planner.Entry) bool { return was.Kind != e.Kind && was.Entered.Equal(e.Entered) }); other >= 0 && len(about) == 0 {
		t.SayMsg("given.which-not") // "that pill", of two told in one message
		return true
	}
	if told := justTold(t); len(told) == 1 && told[0].ID == e.ID {
		t.GoTo(read.Sentence{Intent: read.Undo})
		return true
	}
	o, r, ok := t.Home.Occurrence(e.Of)
	if !ok {
		return false
	}
	what, how := talk.AboutReminder(t, r), talk.EntryText(t, e)
	t.Mutate("did.given", what)
	t.Unnote(e)
	if r.ShiftTo(o.Date); r.Stock != nil {
		r.Stock.Add(e.Amount)
	}
	text, _, _ := givenText(t, r, day, true)
	talk.SayDone(t, say.JoinParas(msg("given.off-record", "what", say.Capital(what), "how", how), text))
	return true
}

// LeftOutOnce notes a dose that a meal is said to have gone without, or says of a food that
// its recipe stays, and reports whether a text tells that: "forgot the oil last night".
func LeftOutOnce(t *talk.Turn, s string) bool {
	what := read.Find("left-out-once", s)
	if what == "" || len(t.Offered("shop")) > 0 || read.Says("medicine", what) || read.IsQuestion(s) || t.Talk.Kind == "recipe" {
		return false
	}
	if saidSkip(t, read.DueSaid{Act: read.SaidSkip, Thing: what, Dogs: read.DogsOf(s, t.Names())}) {
		return true
	}
	r := recipes.RecipeWith(t, what)
	if r != nil {
		food, _, _ := strings.Cut(recipes.FindIn(t, r, what).Name, ",")
		t.SayMsg("fed.without", "food", food, "recipe", r.Name)
	}
	return r != nil
}

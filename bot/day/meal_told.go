package day

import (
	"slices"

	"bowlwright/bot/read"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
)

// MealTold notes the meal of a dog of which a text tells who fed it, how much of what and
// when, in any words, and reports whether it tells that and nothing else.
func MealTold(t *talk.Turn, s string) bool {
	m, ok := read.ToldMeal(s, t.Names(), t.Home.Units)
	got, exact := t.Understand(s)
	if exact = exact && (got.Intent == read.AtePart && (got.Food == "" || m.Recipe == "") || got.Intent == read.Fed && m.Grams == 0) && (m.At == "" || got.Words != ""); !ok || exact || m.Grams == 0 && Waits(t) == "supp.given" {
		return false
	}
	of := slices.DeleteFunc(t.Living(), func(d *planner.Dog) bool {
		return len(m.Dogs) > 0 && !slices.Contains(m.Dogs, d.ID) || !talk.MayBe(d, read.SexSaid(s)) // "Moose ate hers"
	})
	if len(of) != 1 {
		return false
	}
	d := of[0]
	if m.By != "" {
		t.By = whoIs(t, m.By)
	}
	return t.As(m.Text, func() bool {
		times := clocksFed(t, d, m.At)
		switch {
		case len(times) == 1 && planner.Instant(t.Date(), times[0], t.Event.At.Location()).After(t.Event.At):
			t.SayMsg("due.fed-ahead", "dog", d.Name, "time", times[0].String())
		case read.Says("was-meal", s) && treatWasMeal(t, d):
		case m.Grams > 0 || read.Says("some-eaten", m.Text):
			answerAtePart(t, d, read.Sentence{Dog: d.ID, Grams: m.Grams, Recipe: m.Recipe})
		default:
			answerFed(t, d, read.Sentence{Dog: d.ID, Words: m.At})
		}
		return true
	})
}

// treatWasMeal has the last treat that was told of a dog be its meal.
func treatWasMeal(t *talk.Turn, d *planner.Dog) bool {
	all := t.Entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.Treat}, From: t.Event.At.Add(-movedWithin), Newest: true, Limit: 1})
	for _, e := range slices.Clone(all) {
		mealAfterAll(t, d, e.ID)
	}
	return len(all) > 0
}

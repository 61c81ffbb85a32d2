package kitchen

import (
	"cmp"
	"reflect"
	"slices"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/larder"
	"bowlwright/store"
)

// mealOver is after what time a meal that nobody answered counts as eaten: our own
// choice.
const mealOver = time.Hour

// lotsOf are the lots of a household that can be counted: not all that an imported
// file may have.
func lotsOf(h *planner.Household) []planner.Lot {
	return slices.DeleteFunc(slices.Clone(h.Packs), func(l planner.Lot) bool {
		return l.Each <= 0 || l.Kcal <= 0 || len(l.Moves) == 0
	})
}

// mealsOf are the meals of a household's dogs before a day that are not settled:
// those that were told, and those whose time has passed and that nobody answered.
func mealsOf(t *talk.Turn, h *planner.Household, before planner.Date) (all []larder.Meal) {
	first := before
	for _, l := range lotsOf(h) {
		if made := t.DateAt(l.Moves[0].At); made.Before(first) {
			first = made
		}
	}
	if first.Before(h.PacksTo) {
		first = h.PacksTo
	}
	kinds := []planner.EntryKind{planner.Fed, planner.NotFed}
	h = elsewhere(t, h, first)
	since := planner.Instant(first, 0, t.Event.At.Location())
	for i := range h.Dogs {
		d := &h.Dogs[i]
		need := planner.AmountOf(*d, t.Event.At).Kcal
		answered := map[planner.Date]int{}
		for _, e := range t.Entries(store.EntryQuery{Dog: d.ID, Kinds: kinds, From: since.AddDate(0, 0, -1)}) {
			if e.Kind == planner.Fed && !e.Date.Before(first) && e.Date.Before(before) {
				kcal := cmp.Or(e.Kcal, need/nutrition.Kcal(talk.MealsOf(*d)))
				all = append(all, mealOf(h, d.ID, e.Date, answered[e.Date], e.Recipe, larder.Meal{At: e.At, Dog: d.ID, Kcal: kcal, Told: true})...)
			}
			answered[e.Date]++
		}
		for day := first; d.Died.IsZero() && day.Before(before); day = day.AddDays(1) {
			if _, paused := h.PausedOn(d.ID, day); !paused && need > 0 {
				all = append(all, unanswered(t, h, d, day, answered[day], need)...)
			}
		}
	}
	return all
}

// longestStay is how long before a day a stay elsewhere may have begun that is looked for
// (our own choice).
const longestStay = 30

// elsewhere is a household in which the days, from one on, on which dogs are fed
// elsewhere, or a vet keeps a dog or its food, are pauses.
func elsewhere(t *talk.Turn, h *planner.Household, from planner.Date) *planner.Household {
	is := *h
	is.Pauses = slices.Clone(h.Pauses)
	for _, d := range h.Dogs {
		begun := len(is.Pauses)
		for _, e := range t.Entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.Away, planner.SignSeen, planner.VetSaw}, From: planner.Instant(from.AddDays(-longestStay), 0, t.Event.At.Location())}) {
			switch {
			case e.Kind == planner.Away:
				is.Pauses = append(is.Pauses, planner.Pause{Dog: d.ID, From: e.Date, Until: e.Until.AddDays(1)})
			case e.Kind == planner.VetSaw:
				for i := begun; i < len(is.Pauses) && e.Date.Before(is.Pauses[i].Until); i++ {
					is.Pauses[i].Until = e.Date
				}
			case t.Alarm(e.Text).Held():
				start, end := read.FastSpan(e.Text, e.At.In(t.Event.At.Location()))
				is.Pauses = append(is.Pauses, planner.Pause{Dog: d.ID, From: planner.DateOf(start), Until: planner.DateOf(cmp.Or(end, t.Event.At.AddDate(0, 0, 1)))})
			}
		}
		if !d.Fasting.IsZero() {
			is.Pauses = append(is.Pauses, planner.Pause{Dog: d.ID, From: t.DateAt(d.Fasting), Until: t.Date().AddDays(1)})
		}
	}
	return &is
}

// mealOf is what a dog's meal of a day, counted from 0, was of: of what the dog eats
// on it, or of a recipe that was told and is none of these.
func mealOf(h *planner.Household, dog string, day planner.Date, n int, told string, m larder.Meal) (all []larder.Meal) {
	fares := planner.FareOn(h, dog, day)
	if told != "" && !slices.ContainsFunc(fares, func(f planner.Fare) bool { return f.Recipe.ID == told }) {
		m.Recipe = told
		return []larder.Meal{m}
	}
	for _, f := range fares {
		share := f.ShareAt(n)
		if f.Recipe.ID != "" && share > 0 {
			part := m
			part.Recipe, part.Kcal = f.Recipe.ID, m.Kcal*nutrition.Kcal(share)
			all = append(all, part)
		}
	}
	return all
}

// unanswered are the meals of a dog's day whose time has passed, the last first
// that nobody answered for.
func unanswered(t *talk.Turn, h *planner.Household, d *planner.Dog, day planner.Date, answered int, need nutrition.Kcal) (all []larder.Meal) {
	times := d.MealTimes()
	for n := min(answered, len(times)); n < len(times); n++ {
		at := planner.Instant(day, times[n], t.Event.At.Location())
		if t.Event.At.Sub(at) > mealOver {
			all = append(all, mealOf(h, d.ID, day, n, "", larder.Meal{At: at, Dog: d.ID, Kcal: need / nutrition.Kcal(len(times))})...)
		}
	}
	return all
}

// settle takes the meals before a day into the packs' moves, as they were in a
// household, so that what is changed of dogs and their food later does not bring
// back packs that were eaten.
func settle(t *talk.Turn, h *planner.Household, before planner.Date) {
	if len(lotsOf(h)) == 0 || !t.Home.PacksTo.Before(before) {
		return
	}
	fed := larder.Settle(lotsOf(h), mealsOf(t, h, before))
	for i := range t.Home.Packs {
		if l := &t.Home.Packs[i]; len(fed[l.ID]) > 0 {
			l.AddFed(fed[l.ID])
		}
	}
	t.Home.PacksTo, t.Changed = before, true
}

// eatOtherwise reports that between two states of a household it was changed what
// its dogs eat.
func eatOtherwise(t *talk.Turn, was, is *planner.Household) bool {
	of := func(h *planner.Household) (all []any) { // what tells which packs its dogs' meals were of
		for _, d := range h.Dogs {
			all = append(all, d.ID, d.Recipe, d.Died.IsZero(), planner.AmountOf(d, t.Event.At).Kcal, d.MealTimes())
		}
		return all
	}
	return !reflect.DeepEqual(of(was), of(is)) || !reflect.DeepEqual(was.Rotations, is.Rotations) ||
		!reflect.DeepEqual(was.Transitions, is.Transitions) || !reflect.DeepEqual(was.Others, is.Others)
}

package day

import (
	"slices"

	"bowlwright/bot/balance"
	"bowlwright/bot/bowls"
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// sayRest says what of today a dog is still to be fed, where a meal of it was left
// out, or of the one meal that is asked for what it is.
func sayRest(t *talk.Turn, d *planner.Dog) {
	var told []string
	var blocks []say.Block
	var open []say.Button
	one, times, r := bowls.NamesMeal(t), d.MealTimes(), mealRecipe(t, d, t.Date())
	if one && r != nil && bowls.Barred(t, d, r) {
		return
	}
	_, part, _ := read.DayAsked(t.OfDays(), t.Event.At)
	for i, m := range restOf(t, d) {
		when, fed := times[i].String(), m.entry.Kind != ""
		if one && !slices.Contains(part.Of(times), times[i]) {
			continue
		}
		switch {
		case fed:
			told = append(told, msg("rest.done", "when", when, "how", msg("fed.word-"+string(m.entry.Kind))))
		case !one && t.Event.At.Sub(m.at) > fedWindow:
			told = append(told, msg("rest.done", "when", when, "how", msg("fed.not-recorded")))
		}
		if fed && !one || !one && t.Event.At.Sub(m.at) > fedWindow {
			continue
		}
		more, _ := mealBlocks(t, d, t.Date(), i)
		if blocks = append(blocks, more...); m.due.ID != "" && !fed {
			open = append(open, talk.DueButton(t, msg("button.fed-meal", "dog", d.Name, "when", when), "fed", m.due))
		}
	}
	last := msg(say.Choose(len(blocks) == 0, "rest.nothing", "rest.only"), "dog", d.Name, "meals", say.List(told))
	if one {
		last = say.Where(len(told) > 0, say.List(told)+".")
	}
	if one && r != nil {
		last = say.JoinParas(last, balance.StillFailing(t, d, r, balance.Failing(t, d, r)))
	}
	out := t.Say(append(blocks, say.Para(last))...).Offer(open...)
	if id, _ := planner.RecipeOn(t.Home, d.ID, t.Date()); t.Recipe(id) != nil {
		out.Offer(t.Button(msg("button.whole-day"), "bowl", "recipe", d.ID, id))
	}
}

// restOf are the meals of a dog's day, in the order of their times. What was told
// without a time is the first that nothing was told of.
func restOf(t *talk.Turn, d *planner.Dog) []meal {
	all := say.Each(d.MealTimes(), func(clock planner.Clock) meal {
		return meal{at: planner.Instant(t.Date(), clock, t.Event.At.Location())}
	})
	var untimed []meal
	for _, m := range mealsOn(t, d, t.Date()) {
		if i := slices.Index(d.MealTimes(), m.due.Clock); m.due.ID != "" && i >= 0 {
			all[i] = m
		} else if m.due.ID == "" {
			untimed = append(untimed, m)
		}
	}
	for _, m := range untimed {
		i := slices.IndexFunc(all, func(o meal) bool { return o.at.Equal(m.at) })
		if i < 0 || all[i].entry.Kind != "" {
			i = slices.IndexFunc(all, func(o meal) bool { return o.entry.Kind == "" })
		}
		if i >= 0 {
			all[i].entry = m.entry
		}
	}
	return all
}

package remind

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// fedAtTimes are the dogs whose feeding times were said; all where none were.
func fedAtTimes(t *talk.Turn) []*planner.Dog {
	none := !slices.ContainsFunc(t.Home.Dogs, func(d planner.Dog) bool { return len(d.FeedAt) > 0 })
	return slices.DeleteFunc(t.Dogs(), func(d *planner.Dog) bool { return !none && len(d.FeedAt) == 0 })
}

// sayUnreminded says of which dogs nobody said when they are fed.
func sayUnreminded(t *talk.Turn, out *say.Reply) {
	with := fedAtTimes(t)
	switch dogs := slices.DeleteFunc(t.Dogs(), func(d *planner.Dog) bool { return slices.Contains(with, d) }); len(dogs) {
	case 0:
	case 1:
		offerMealsLater(t, out, dogs[0])
	default:
		out.Add(msg("feeding.none-of", "dog", talk.NamesOf(dogs)))
	}
}

// answerMoveMeal sets the time of the first or the last meal of a dog, or of all
// where they are fed together, and leaves their other meals where they are.
func answerMoveMeal(t *talk.Turn, s read.Sentence) {
	dogs := slices.DeleteFunc(t.Dogs(), func(d *planner.Dog) bool { return s.Dog != "" && d.ID != s.Dog })
	if len(dogs) == 0 {
		talk.WhoFeeds(t)
		return
	}
	moved, ok := ClocksSaid(t, s.Words)
	if !ok {
		return
	}
	times := slices.Clone(dogs[0].MealTimes())
	switch {
	case slices.ContainsFunc(dogs, func(d *planner.Dog) bool { return !slices.Equal(d.MealTimes(), times) }):
		talk.WhichDog(t)
		return
	case len(moved) > 1:
		times = moved
	case s.Intent == read.MoveDinner:
		if noon := planner.At(12, 0); moved[0] < noon && len(times) > 1 { // "dinner to 6"
			moved[0] += noon
		}
		times[len(times)-1] = moved[0]
	default:
		times[0] = moved[0]
	}
	feedAt(t, dogs, times, false)
}

// usualTimes are the times at which a dog is fed that has none yet: those of
// another dog of the household with as many meals, for they are fed together.
func usualTimes(t *talk.Turn, d *planner.Dog) []planner.Clock {
	for _, o := range t.Dogs() {
		if o.ID != d.ID && len(o.FeedAt) == talk.MealsOf(*d) {
			return o.FeedAt
		}
	}
	return planner.DefaultMealTimes(talk.MealsOf(*d))
}

// offerMealsLater offers reminders of its meals for a dog that comes to a
// household whose other dogs have them.
func offerMealsLater(t *talk.Turn, out *say.Reply, d *planner.Dog) {
	if mealsMode(t) != mealsEach || len(d.FeedAt) > 0 {
		return
	}
	out.Add(msg("feeding.none-of", "dog", d.Name))
	out.Offer(t.Button(msg("button.meals-same", "dog", d.Name, "times", say.ClocksText(usualTimes(t, d))), "meals", "same", d.ID),
		t.Button(msg("button.times-of", "dog", d.Name), "meals", "times", d.ID))
}

// fewerMeals feeds a dog as often as was chosen under SayFewerMeals.
func fewerMeals(t *talk.Turn, d *planner.Dog, n float64) {
	if meals := int(n); !talk.Stale(t, meals >= talk.MealsOf(*d)) {
		feedAt(t, []*planner.Dog{d}, planner.DefaultMealTimes(meals), false)
	}
}

// beforeMeals puts the times for "10 minutes before each meal", of the dog that is named
// or of all.
func beforeMeals(t *talk.Turn, words string) string {
	words = read.Without("minutes-said", words)
	m := read.Pattern("before-meals").FindStringSubmatch(words)
	if m == nil {
		return words
	}
	minutes, _ := strconv.Atoi(m[1])
	_, _, of := talk.DogsIn(t, words)
	if len(of) == 0 {
		of = fedAtTimes(t)
	}
	var times []string
	_, part, _ := read.DayAsked(m[0], t.Event.At)
	for _, d := range of {
		for _, meal := range part.Of(d.MealTimes()) {
			if at := meal - planner.Clock(minutes); at.Valid() && !slices.Contains(times, at.String()) {
				times = append(times, at.String())
			}
		}
	}
	slices.Sort(times)
	what := cmp.Or(strings.TrimSpace(strings.Replace(words, m[0], "", 1)), msg("remind.soon-fed", "dogs", talk.NamesOf(of)))
	return msg(say.Choose(part == read.WholeDay, "remind.before-meals", "remind.before-meal"), "what", what, "times", strings.Join(times, " and "))
}

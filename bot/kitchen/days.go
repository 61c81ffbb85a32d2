package kitchen

import (
	"slices"
	"strings"

	"bowlwright/bot/bowls"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// answerDays makes food for some days: of the recipe that is named or spoken of,
// or, where none is named, of each that the dogs eat on those days.
func answerDays(t *talk.Turn, s read.Sentence) {
	of := t.Dogs()
	if d := t.Dog(s.Dog); d != nil {
		of = []*planner.Dog{d}
	}
	if sayNoRecipe(t, s) {
		return
	}
	if s.Weight > 0 || slices.Contains(strings.Fields(strings.ToLower(t.Event.Text)), "it") || !byRotation(t, of, &s) {
		bowls.AnswerScale(t, s)
	}
}

// sayNoRecipe says that what is to be made is no recipe of the household's, and reports
// whether that is so: another is not made in its place.
func sayNoRecipe(t *talk.Turn, s read.Sentence) bool {
	if s.Recipe != "" || s.Food == "" || read.Says("home-food", s.Food) || read.Says("other-meal", s.Food) || len(t.Home.Recipes) == 0 {
		return false
	}
	names := talk.RecipeNames(t)
	t.SayMsg("batch.no-recipe", "what", say.Short(s.Food), "recipes", say.List(names), "n", len(names))
	return true
}

// daysTogether makes food for several dogs that are named.
func daysTogether(t *talk.Turn, of []*planner.Dog, s read.Sentence) {
	if sayNoRecipe(t, s) || byRotation(t, of, &s) {
		return
	}
	if r := talk.RecipeMeant(t, s); r != nil {
		makeFor(t, r, s.Days, of)
	}
}

// run is on how many of some days dogs eat a recipe.
type run struct {
	recipe string
	days   int
	dogs   []*planner.Dog
}

// mostDays is for how many days the recipes of each are looked up (our own
// choice).
const mostDays = 400

// byRotation makes what dogs eat from tomorrow on for some days, where no recipe is named
// and that is more than one, and reports whether it did; one alone is the recipe meant.
func byRotation(t *talk.Turn, of []*planner.Dog, s *read.Sentence) bool {
	from := t.Date().AddDays(1)
	runs, recipes := runsOf(t, of, from, s.Days)
	switch {
	case s.Recipe != "" || recipes == 0:
		return false
	case recipes == 1:
		s.Recipe = runs[0].recipe
		return false
	}
	makeRuns(t, runs, from, s.Days)
	return true
}

// runsOf is what dogs eat on some days from one on, and how many recipes that is.
func runsOf(t *talk.Turn, of []*planner.Dog, from planner.Date, days float64) (runs []run, recipes int) {
	if days < 1 || days > mostDays {
		return nil, 0
	}
	names := map[string]bool{}
	for _, d := range of {
		var order []string
		on := map[string]int{}
		for n := range int(days) {
			id, ok := planner.RecipeOn(t.Home, d.ID, from.AddDays(n))
			if ok && on[id] == 0 {
				order = append(order, id)
			}
			on[id]++
		}
		for _, id := range order {
			names[id] = true
			i := slices.IndexFunc(runs, func(r run) bool { return r.recipe == id && r.days == on[id] })
			if i < 0 {
				i, runs = len(runs), append(runs, run{recipe: id, days: on[id]})
			}
			runs[i].dogs = append(runs[i].dogs, d)
		}
	}
	return runs, len(names)
}

// makeRuns makes each recipe for its dogs and days.
func makeRuns(t *talk.Turn, runs []run, from planner.Date, days float64) {
	for _, r := range runs {
		makeFor(t, t.Recipe(r.recipe), float64(r.days), r.dogs)
	}
	if len(t.Replies) > 0 {
		t.Replies[0].Begin(msg("batch.by-rotation", "from", say.DayText(from), "to", say.DayText(from.AddDays(int(days)-1))))
	}
}

// makeFor makes one recipe, unless bone in it would be cooked.
func makeFor(t *talk.Turn, r *planner.Recipe, days float64, of []*planner.Dog) {
	if read.SaysCooking(t.AsTyped()) && recipes.NotCooked(t, r) {
		return
	}
	t.Talk.Recipe = r.ID
	bowls.Days(t, r, days, of...)
}

package menu

import (
	"slices"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// WithoutWords answers that a food is left out for some days, and reports whether a
// text was that: "no fish this week". What a dog never gets is for good, so nothing
// becomes of its profile; the recipes in use that have the food are named.
func WithoutWords(t *talk.Turn, s string) bool {
	is, ok := t.Understand(s)
	if !ok || is.Intent != read.EatsWithout || !read.Excludable(is.Food) || len(t.Home.Dogs) == 0 {
		return false
	}
	of := dogsSaid(t, is.Dog)
	if len(of) == 0 {
		of = talk.AllDogs(t)
	}
	var with, without []string
	for i := range t.Home.Recipes {
		r := &t.Home.Recipes[i]
		has := slices.ContainsFunc(r.Ingredients, func(in planner.Ingredient) bool {
			f := t.Foods.Food(in.Food)
			return f != nil && nutrition.Excluded(f, []string{is.Food})
		})
		eaten := slices.ContainsFunc(of, func(id string) bool {
			today, _ := planner.RecipeOn(t.Home, id, t.Date())
			rot := planner.RotationOf(t.Home, id)
			return today == r.ID || rot != nil && rot.Has(r.ID)
		})
		switch {
		case has && eaten:
			with = append(with, r.Name)
		case !has && !r.Topper():
			without = append(without, r.Name)
		}
	}
	if len(with) == 0 {
		t.SayMsg("without.none", "food", is.Food, "dogs", talk.DogNames(t, of))
		return true
	}
	instead := ""
	if len(without) > 0 {
		instead = msg("without.instead", "dog", t.Dog(of[0]).Name, "recipe", without[0])
	}
	t.Say(say.Para(msg("without.with", "food", is.Food, "recipes", say.List(with), "n", len(with))), say.Para(instead), say.Para(msg("without.good", "food", is.Food, "dog", t.Dog(of[0]).Name)))
	return true
}

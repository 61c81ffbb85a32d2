package planner

import "slices"

// Uses reports that a recipe has a food, as a line or as a supplement.
func (r *Recipe) Uses(food string) bool {
	return slices.ContainsFunc(r.Ingredients, func(in Ingredient) bool { return in.Food == food }) ||
		slices.ContainsFunc(r.Doses, func(d Dose) bool { return d.Food == food })
}

// Drop takes a food out of a recipe.
func (r *Recipe) Drop(food string) {
	r.Ingredients = slices.DeleteFunc(r.Ingredients, func(in Ingredient) bool { return in.Food == food })
	r.Doses = slices.DeleteFunc(r.Doses, func(d Dose) bool { return d.Food == food })
}

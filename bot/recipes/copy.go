package recipes

import (
	"bowlwright/bot/read"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// copyRecipe makes a recipe like another, under the name that a sentence says or
// one that is free. The copy's versions begin anew.
func copyRecipe(t *talk.Turn, r *planner.Recipe, s read.Sentence) {
	name := recipeName(s.Words)
	switch {
	case name == "":
		name = freeName(t, r.Name)
	case t.RecipeNamed(name) != nil:
		t.SayMsg("recipe.name-taken", "name", name)
		return
	case read.SaysCooking(name) && AnyBone(t, r.Ingredients):
		RefuseCooked(t, r)
		return
	}
	KeepRecipe(t, RecipeDraft{Of: r.ID, Name: name, Ingredients: r.Ingredients, Doses: r.Doses, Days: r.Days}, "")
}

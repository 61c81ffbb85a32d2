package recipes

import (
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// renameRecipe gives a recipe another name. One that is meant by some words of
// its name alone is asked about first.
func renameRecipe(t *talk.Turn, r *planner.Recipe, s read.Sentence) {
	name, sure := dogs.NewName(t.Event.Text, r.Name, s.Words)
	name = recipeName(name)
	if name == "" || t.RecipeNamed(name) != nil {
		t.SayMsg("recipe.name-taken", "name", name)
		return
	}
	if !sure {
		t.AskedSure("rename", r.ID, name)
		t.SayMsg("rename.this-recipe", "recipe", r.Name, "name", name).
			Offer(t.Answer(msg("button.yes-rename"), "yes", "yes"), t.Answer(msg("button.keep"), "yes", "no"))
		return
	}
	recipeRenamed(t, r, name)
}

// pressRename renames the recipe that was asked about.
func pressRename(t *talk.Turn, args []string) {
	r, name := t.Recipe(talk.Arg(args, 0)), talk.Arg(args, 1)
	switch {
	case r == nil || name == "":
		t.SayMsg("press.gone")
	case t.RecipeNamed(name) != nil:
		t.SayMsg("recipe.name-taken", "name", name)
	default:
		recipeRenamed(t, r, name)
	}
}

func recipeRenamed(t *talk.Turn, r *planner.Recipe, name string) {
	if read.SaysCooking(name) && AnyBone(t, r.Ingredients) {
		RefuseCooked(t, r)
		return
	}
	t.Mutate("did.recipe-changed", r.Name)
	r.Name = name
	ShowRecipe(t, r, msg("recipe.changed", "recipe", name), t.UndoButton())
}

// freeName makes a name that no recipe has: "Turkey 2".
func freeName(t *talk.Turn, name string) string {
	for i := 2; ; i++ {
		if n := name + " " + say.Trim(float64(i), 0); t.RecipeNamed(n) == nil {
			return n
		}
	}
}

// takeRecipeName takes what a new recipe is called.
func takeRecipeName(t *talk.Turn, d RecipeDraft, in talk.Answer) {
	got := foodline.RecipeText(in.Value(), t.Foods)
	if len(got.Lines) > 0 || len(got.Problems) > 0 && got.Problems[0].Code == span.BareNumber {
		takePaste(t, d, in.Value()) // lines, not a name
		return
	}
	if read.NamesNothing(in.Value()) || read.Says("of-lines", in.Value()) || read.Says("tells-kitchen", in.Value()) || len(got.Problems) == 1 && got.Problems[0].Code == span.NoFood {
		t.SayMsg("ask.recipe-name") // an amount, "every 3 days" or "new recipe"
		return
	}
	name := recipeName(in.Value())
	if name == "" || strings.Contains(in.Value(), "\n") {
		t.SayMsg("wrong.name", "n", say.MaxName)
		return
	}
	d.Name = name
	goOnWithRecipe(t, d, nil, nil)
}

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
	if s.Food != "" { // "but no rice"
		AnswerSetLine(t, read.Sentence{Intent: read.DropLine, Food: s.Food, Recipe: t.Talk.Recipe})
	}
}

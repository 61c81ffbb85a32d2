package recipes

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// renameRecipe gives a recipe another name. One that is meant by some words of
// its name alone is asked about first.
func renameRecipe(t *talk.Turn, r *planner.Recipe, s read.Sentence) {
	first, asks := nameAndAsks(s.Words)
	name, sure := dogs.NewName(t.Event.Text, r.Name, first)
	name = recipeName(name)
	sure = sure || justShown(t, r)
	if !sure && asks == "" && name != "" && t.RecipeNamed(name) == nil {
		t.AskedSure("rename", r.ID, name)
		t.SayMsg("rename.this-recipe", "recipe", r.Name, "name", name).
			Offer(t.Answer(msg("button.yes-rename"), "yes", "yes"), t.Answer(msg("button.keep"), "yes", "no"))
		return
	}
	recipeRenamed(t, r, name)
	answerAsked(t, asks)
}

// justShown reports that a recipe was shown in the last message.
func justShown(t *talk.Turn, r *planner.Recipe) bool {
	return slices.ContainsFunc(t.Offered("recipe"), func(args []string) bool { return slices.Contains(args, r.ID) })
}

// RenamedAgain takes a name that is said once more of the recipe that was just shown: "no,
// it's just Turkey" of Turkey pot.
func RenamedAgain(t *talk.Turn, s string) bool {
	r, name := talk.TheRecipe(t, nil), read.Find("just-called", s)
	if r == nil || name == "" || t.Talk.Kind != "" || !justShown(t, r) || !shareWord(r.Name, name) {
		return false
	}
	recipeRenamed(t, r, recipeName(name))
	return true
}

// nameAndAsks parts a name from the question behind it: "Rice pot, and how much does she
// get?"
func nameAndAsks(s string) (name, asks string) {
	if m := read.Pattern("name-then-asks").FindStringSubmatch(s); m != nil {
		return m[1], m[2]
	}
	return s, ""
}

// nameAndRemark parts a name from what is told behind it: "Beef. Only for Moose".
func nameAndRemark(t *talk.Turn, s string) (name, says string) {
	m := read.Pattern("name-then-says").FindStringSubmatch(s)
	if m == nil || foodsIn(t.RecipeText(s)) > 0 {
		return s, ""
	}
	return m[1], m[2] + m[3] + m[4]
}

// answerAsked answers what was asked behind the name of a recipe, of that recipe.
func answerAsked(t *talk.Turn, asks string) {
	t.Event.Text = cmp.Or(asks, t.Event.Text)
	if asked, ok := t.Understand(asks); ok && t.Talk.Kind == "" {
		asked.Recipe = cmp.Or(asked.Recipe, t.Talk.Recipe)
		t.GoTo(asked)
	} else if asks != "" && !t.Aside(asks) {
		t.NotUnderstood(asks)
	}
}

// pressRename renames the recipe that was asked about.
func pressRename(t *talk.Turn, args []string) {
	r, name := t.Recipe(talk.Arg(args, 0)), talk.Arg(args, 1)
	if !talk.Gone(t, r == nil) {
		recipeRenamed(t, r, name)
	}
}

func recipeRenamed(t *talk.Turn, r *planner.Recipe, name string) {
	if unfitName(t, r, name) {
		return
	}
	t.Mutate("did.recipe-changed", r.Name)
	r.Name = name
	ShowRecipe(t, r, msg("recipe.changed", "recipe", name), t.UndoButton())
}

// unfitName says why a recipe cannot have a name, and reports whether it cannot.
func unfitName(t *talk.Turn, r *planner.Recipe, name string) bool {
	switch {
	case r.Name == name:
		t.SayMsg("recipe.called", "recipe", name)
	case name == "" || t.RecipeNamed(name) != nil && t.RecipeNamed(name).ID != r.ID:
		t.SayMsg("recipe.name-taken", "name", name)
	case read.SaysCooking(name) && AnyBone(t, r.Ingredients):
		RefuseCooked(t, r)
	default:
		return false
	}
	return true
}

// freeName makes a name that no recipe has: "Turkey 2".
func freeName(t *talk.Turn, name string) string {
	for i := 2; ; i++ {
		if n := name + " " + say.Trim(float64(i), 0); t.RecipeNamed(n) == nil {
			return n
		}
	}
}

// namedInWords takes the name that a sentence gives the recipe that is typed, for the first
// time or in place of another, and then what else it says: "no, it's just called Rice pot",
// "call it Rice pot. And how much does she get?" It reports whether it gave one.
func namedInWords(t *talk.Turn, d RecipeDraft, s string) bool {
	first, asks := nameAndAsks(s)
	rest, name := read.CutCalled(first)
	rest = read.Without("only-agrees", rest)
	if told, says := nameAndRemark(t, first); t.Talk.Step == "name" && name == "" && asks == "" && says != "" {
		recipes := len(t.Home.Recipes)
		d.only = t.DogNamed(read.Find("only-for", says))
		if takeRecipeName(t, d, talk.Answer{Text: told}); d.only == nil || len(t.Home.Recipes) == recipes {
			t.Unused(says)
		}
		return true
	}
	if just := read.Find("just-called", s); name == "" && just != "" && !t.Foods.Find(just).Known() {
		rest, name = "", just
	}
	if t.Talk.Step == "name" && name == "" && asks != "" {
		rest, name = "", first
	}
	if d.ID != "" || name == "" || strings.Contains(s, "\n") {
		return false
	}
	switch named := recipeName(name); {
	case t.Talk.Step == "name" && rest == "":
		takeRecipeName(t, d, talk.Answer{Text: name})
	case rest == "" && read.Says("saves-as", first):
		d.Name = named
		saveDraft(t, d)
	case rest == "":
		d.Name = named
		goOnWithRecipe(t, d, nil, []string{msg("recipe.called", "recipe", named)})
	default:
		d.Name = named
		t.Ask("recipe", "lines", d)
		recipeDialogue(t, d, talk.Answer{Text: rest})
	}
	answerAsked(t, asks)
	return true
}

// takeRecipeName takes what a new recipe is called.
func takeRecipeName(t *talk.Turn, d RecipeDraft, in talk.Answer) {
	if in.Press == "" {
		in.Text = read.Without("name-lines", in.Text)
	}
	got := t.RecipeText(in.Value())
	if len(got.Lines) > 0 || len(got.Problems) > 0 && got.Problems[0].Code == span.BareNumber || talk.IsLine(t, in.Value()) || read.Says("some-of", in.Value()) {
		takePaste(t, d, in.Value()) // lines, not a name
		return
	}
	if talk.IsNotSure(in.Value()) || read.NamesNothing(in.Value()) || read.Says("of-lines", in.Value()) || read.Says("tells-kitchen", in.Value()) || len(got.Problems) == 1 && got.Problems[0].Code == span.NoFood {
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
	if name == "" {
		name = freeName(t, r.Name)
	} else if unfitName(t, r, name) {
		return
	}
	KeepRecipe(t, RecipeDraft{Of: r.ID, Name: name, Ingredients: r.Ingredients, Doses: r.Doses, Days: r.Days}, "")
	if s.Food != "" { // "but no rice"
		AnswerSetLine(t, read.Sentence{Intent: read.DropLine, Food: s.Food, Recipe: t.Talk.Recipe})
	}
}

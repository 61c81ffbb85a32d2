package recipes

import (
	"cmp"
	"math"
	"slices"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

func listRecipes(t *talk.Turn) {
	var rows []say.TableRow
	var said []string
	for _, r := range t.Recipes() {
		shown := talk.RecipeShown{Recipe: r, Brief: true}
		t.Happened(&shown)
		said = append(said, shown.Said)
		sum, err := planner.TotalsOf(*r, t.Foods)
		cell := say.Choose(err == nil && sum.Grams > 0, say.Trim(sum.Energy.Mid/float64(sum.Grams), 2), msg("value.unknown"))
		rows = append(rows, say.TableRow{Label: r.Name, Cells: []string{cell}})
	}
	out := t.Say(say.Para(msg("recipe.list", "n", len(rows))), say.TableBlock(append([]say.TableRow{{Label: "", Cells: []string{"kcal/g"}}}, rows...)), say.Para(say.JoinParas(said...)))
	for _, r := range t.Recipes() {
		out.Offer(t.Button(r.Name, "recipe", "show", r.ID))
	}
	out.Offer(t.Button(msg("button.add-recipe"), "recipe", "add"), t.Button(msg("button.house"), "house", "list"))
}

// ShowRecipe says energy and weight first, then ingredients, shares and what
// is not known.
func ShowRecipe(t *talk.Turn, r *planner.Recipe, head string, extra ...say.Button) {
	t.Talk.Recipe = r.ID
	sum, err := planner.TotalsOf(*r, t.Foods)
	if err != nil {
		t.Say(say.Para(head), say.Para(RecipeTrouble(r.Name, err)))
		return
	}
	shown := talk.RecipeShown{Recipe: r}
	t.Happened(&shown)
	if sum.Grams == 0 {
		out := t.Say(say.Para(head), say.Para(shown.Said), say.Whole(DosesText(t, r)), say.Para(msg("scale-wrong.empty", "recipe", r.Name)))
		offerForRecipe(t, out, r)
		out.Offer(extra...)
		return
	}
	unknown, cut := unknownText(t, r, MostNamed)
	out := t.Say(say.Whole(head), say.Para(RecipeEnergy(t, r, sum)), say.Whole(shown.Said), say.TableBlock(LineRows(t, r.Ingredients)),
		say.Whole(DosesText(t, r)), say.Para(msg("recipe.shares")), say.TableBlock(shareRows(sum)), say.Waits(unknown))
	offerForRecipe(t, out, r)
	out.Offer(extra...)
	if cut {
		out.Offer(t.Button(msg("button.unknown"), "recipe", "unknown", r.ID))
	}
	out.Offer(shown.Buttons...)
}

// LineRows are the lines of a recipe with their amounts.
func LineRows(t *talk.Turn, lines []planner.Ingredient) []say.TableRow {
	return say.Each(lines, func(in planner.Ingredient) say.TableRow {
		return say.TableRow{Label: LineName(t, in.Food), Cells: []string{say.ExactMass(in.Grams, t.Home.Units)}}
	})
}

func offerForRecipe(t *talk.Turn, out *say.Reply, r *planner.Recipe) {
	out.Offer(say.Each(t.Dogs()[:min(len(t.Home.Dogs), 3)], func(d *planner.Dog) say.Button {
		return t.Button(msg("button.bowl-for", "dog", d.Name), "bowl", "recipe", d.ID, r.ID)
	})...)
	out.Offer(t.Button(msg("button.complete"), "analysis", "look", r.ID, dogs.IDOf(talk.TalkedOf(t))))
	out.Offer(t.Button(msg("button.scale"), "scale", "ask", r.ID), t.Button(msg("button.change"), "recipe", "edit", r.ID),
		t.Button(msg("button.lines"), "recipe", "text", r.ID), t.Button(msg("button.remove"), "recipe", "remove", r.ID))
	if r.Method != "" || len(r.Notes) > 0 {
		out.Offer(t.Button(msg("button.notes"), "desk", "notes", r.ID), cardButton(t, r))
	}
}

// RecipeEnergy is the line "Turkey and heart: 935 kcal (910-960) in 615 g,
// 1.52 kcal/g".
func RecipeEnergy(t *talk.Turn, r *planner.Recipe, sum planner.Totals) string {
	perGram := say.Choose(sum.Grams > 0 && sum.Energy.Complete, say.Trim(sum.Energy.Mid/float64(sum.Grams), 2), msg("value.unknown"))
	days := say.Where(r.Days > 0, msg("recipe.days", "n", say.Trim(r.Days, 1)))
	kcal := say.KcalRange(sum.Energy) + say.Where(r.Measured().Has(nutrition.Energy), " "+msg("recipe.energy-measured"))
	return msg("recipe.energy", "recipe", r.Name, "kcal", kcal,
		"grams", say.Mass(sum.Grams, t.Home.Units), "per", perGram) + days
}

// NotesOf are an author's notes on a recipe and its foods, a line each.
func NotesOf(t *talk.Turn, r *planner.Recipe) (lines []string) {
	for _, n := range r.Notes {
		switch {
		case n.Food == "":
			lines = append([]string{n.Text}, lines...)
		case r.Uses(n.Food):
			lines = append(lines, msg("recipe.note", "food", say.Capital(t.FoodName(n.Food)), "text", n.Text))
		}
	}
	return lines
}

// DosesText lists a recipe's supplements with their cadence.
func DosesText(t *talk.Turn, r *planner.Recipe) string {
	return say.LinesOf(r.Doses, func(d planner.Dose) string { return DoseText(t, d) })
}

// DoseText prints a supplement: "vitamin E 200 IU, every 3 days".
func DoseText(t *talk.Turn, d planner.Dose) string {
	return talk.DoseAmount(t, d) + ", " + say.Choose(d.Batch, msg("dose.batch"), say.CadenceText(d.Cadence))
}

// shareRows are the shares by body part, the largest first; parts of which
// there is nothing are left out.
func shareRows(sum planner.Totals) []say.TableRow {
	var parts []nutrition.Part
	for p, f := range sum.Shares {
		if f > 0.0005 {
			parts = append(parts, nutrition.Part(p))
		}
	}
	slices.SortStableFunc(parts, func(a, b nutrition.Part) int { return cmp.Compare(sum.Shares[b], sum.Shares[a]) })
	return say.Each(parts, func(p nutrition.Part) say.TableRow {
		return say.TableRow{Label: msg("part." + p.String()), Cells: []string{say.Percent(sum.Shares[p])}}
	})
}

// recipeVerbs are what buttons about a recipe do.
func recipeVerbs() map[string]func(t *talk.Turn, r *planner.Recipe, more []string) {
	return map[string]func(t *talk.Turn, r *planner.Recipe, more []string){
		"show":    talk.Tapped(func(t *talk.Turn, r *planner.Recipe) { ShowRecipe(t, r, "") }),
		"edit":    talk.Tapped(offerRecipeEdit),
		"text":    talk.Tapped(sayLines),
		"unknown": talk.Tapped(sayUnknown),
		"lines":   talk.Tapped(askMoreLines),
		"less":    talk.TappedOn(func(t *talk.Turn, r *planner.Recipe, food string) { setLine(t, r, food, -1, 0) }),
		"set":     pressSetLine,
		"copy":    talk.Tapped(func(t *talk.Turn, r *planner.Recipe) { copyRecipe(t, r, read.Sentence{}) }),
		"remove":  talk.Tapped(askRemoveRecipe),
		"really":  talk.Tapped(removeRecipe),
	}
}

// pressRecipe does what a button about a recipe asks.
func pressRecipe(t *talk.Turn, args []string) {
	if talk.Arg(args, 0) == "add" {
		beginRecipe(t, "")
		return
	}
	talk.OfRecipe(recipeVerbs())(t, args)
}

// answerAdd begins a recipe with the lines of a text, or the name that it has.
func answerAdd(t *talk.Turn, s read.Sentence) {
	if s.Words == "" && foodsIn(t.RecipeText(t.AsTyped())) > 0 {
		TakePasted(t, t.AsTyped())
		return
	}
	beginRecipe(t, cmp.Or(s.Words, read.Find("heres-one", t.AsTyped())))
}

func beginRecipe(t *talk.Turn, named string) {
	if named != "" && !read.Says("no-title", named) {
		nameOrLine(t, named)
		return
	}
	talk.ParkSame(t, "recipe")
	askForLines(t, RecipeDraft{})
}

// sayLines says a recipe as it can be pasted.
func sayLines(t *talk.Turn, r *planner.Recipe) {
	t.Say(say.Whole(foodline.FormatLines(copied(*r, t.Home.Units), t.Foods, t.Home.Units))).Offer(cardButton(t, r))
}

// cardButton offers a recipe as a picture, to print and for a browser.
func cardButton(t *talk.Turn, r *planner.Recipe) say.Button {
	return t.Button(msg("button.card"), "card", "picture", r.ID)
}

// sayUnknown says all that is not known of a recipe.
func sayUnknown(t *talk.Turn, r *planner.Recipe) {
	text, _ := unknownText(t, r, int(nutrition.NutrientCount))
	t.Say(say.Whole(text)).Offer(t.Button(msg("button.complete"), "analysis", "look", r.ID, dogs.IDOf(talk.TalkedOf(t))))
}

func askMoreLines(t *talk.Turn, r *planner.Recipe) {
	t.Ask("recipe", "lines", RecipeDraft{ID: r.ID, Name: r.Name, Ingredients: r.Ingredients, Doses: r.Doses, Days: r.Days})
	t.SayMsg("ask.recipe-more", "recipe", r.Name).Offer(t.StopButton())
}

// askRemoveRecipe asks whether a recipe is to go.
func askRemoveRecipe(t *talk.Turn, r *planner.Recipe) {
	t.Talk.Recipe = r.ID
	t.AskedSure("recipe", "really", r.ID)
	going := talk.RecipeGoing{ID: r.ID}
	t.Happened(&going)
	t.Say(say.Para(msg("recipe.remove-sure", "recipe", r.Name)), say.Para(going.Uses)).
		Offer(t.Button(msg("button.yes-remove"), "recipe", "really", r.ID), t.Button(msg("button.keep"), "recipe", "show", r.ID))
}

// copied is a recipe with amounts as a person would write them: to a tenth of
// a gram or a hundredth of an ounce.
func copied(r planner.Recipe, u planner.Units) planner.Recipe {
	unit := nutrition.Grams(1)
	round := 10.0
	if u.Ounces {
		unit, round = nutrition.GramsPerOunce, 100
	}
	r.Ingredients = slices.Clone(r.Ingredients)
	for i := range r.Ingredients {
		if n := math.Round(float64(r.Ingredients[i].Grams/unit)*round) / round; n > 0 {
			r.Ingredients[i].Grams = nutrition.Grams(n) * unit
		}
	}
	return r
}

func offerRecipeEdit(t *talk.Turn, r *planner.Recipe) {
	out := t.SayMsg("recipe.edit-what", "recipe", r.Name)
	out.Offer(t.Button(msg("button.add-lines"), "recipe", "lines", r.ID))
	out.Offer(t.Button(msg("button.notes"), "desk", "notes", r.ID), t.Button(msg("button.copy"), "recipe", "copy", r.ID))
	out.Offer(t.Button(msg("button.versions"), "desk", "versions", r.ID), t.Button(msg("button.compare"), "desk", "compare", r.ID))
	out.Offer(t.Button(msg("button.standing"), "desk", "standing", r.ID), t.Button(msg("button.lab"), "lab", "show", r.ID), t.Button(msg("button.publish"), "publish", "recipe", r.ID))
	for _, i := range r.Ingredients {
		out.Offer(t.Button(msg("button.take-out", "food", t.FoodName(i.Food)), "recipe", "less", r.ID, i.Food))
	}
	for _, d := range r.Doses {
		out.Offer(t.Button(msg("button.take-out", "food", DoseText(t, d)), "recipe", "less", r.ID, d.Food))
	}
}

func removeRecipe(t *talk.Turn, r *planner.Recipe) {
	name, id := r.Name, r.ID
	t.Mutate("did.recipe-removed", name)
	t.Home.Recipes = slices.DeleteFunc(t.Home.Recipes, func(r planner.Recipe) bool { return r.ID == id })
	for i := range t.Home.Dogs {
		t.Home.Dogs[i].Forget(id)
	}
	if t.Talk.Recipe == id {
		t.Talk.Recipe = ""
	}
	gone := talk.RecipeRemoved{ID: id, Name: name}
	t.Happened(&gone)
	t.Say(say.Para(msg("recipe.removed", "recipe", name)), say.Para(gone.Said)).Offer(t.UndoButton())
}

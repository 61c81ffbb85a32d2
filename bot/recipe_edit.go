package bot

import (
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// answerSetLine gives a food of a recipe another amount, as a sentence says.
func (t *turn) answerSetLine(s read.Sentence) {
	r, key := t.lineMeant(s)
	if r == nil {
		return
	}
	t.mutate("did.recipe-changed", r.Name)
	for i := range r.Ingredients {
		if r.Ingredients[i].Food == key {
			if s.Factor > 0 { // "double the rice"
				s.Grams = r.Ingredients[i].Grams * nutrition.Grams(s.Factor)
			}
			r.Ingredients[i].Grams, r.Ingredients[i].Typed = s.Grams, ""
		}
	}
	t.showRecipe(r, msg("recipe.changed", "recipe", r.Name), t.undoButton())
}

// lineNamed takes "change the kelp to 60 g" for a line of a recipe that is called
// something like kelp: it is not its whole name, and a food of it.
func (t *turn) lineNamed(r *planner.Recipe, s read.Sentence) (read.Sentence, bool) {
	rest, ok := strings.CutPrefix(strings.ToLower(strings.TrimSpace(t.event.Text)), "change ")
	words, _, to := strings.Cut(strings.TrimPrefix(rest, "the "), " to ")
	if !ok || !to || s.Grams <= 0 || strings.EqualFold(words, r.Name) || t.findIn(r, words) == nil {
		return s, false
	}
	s.Intent, s.Food, s.Recipe = read.SetLine, words, r.ID
	return s, true
}

// answerDropLine takes a food out of a recipe, as a sentence says.
func (t *turn) answerDropLine(s read.Sentence) {
	if r, key := t.lineMeant(s); r != nil {
		t.removeIngredient(r, key)
	}
}

// lineMeant is the recipe and the food in it that a sentence means; where
// there is none it says so and returns nil.
func (t *turn) lineMeant(s read.Sentence) (*planner.Recipe, string) {
	r := t.recipe(s.Recipe)
	if r == nil {
		r = t.recipeWith(s.Food)
	}
	if r == nil {
		r = t.recipeMeant(s)
	}
	if r == nil {
		return nil, ""
	}
	if f := t.findIn(r, s.Food); f != nil {
		return r, f.Key
	}
	for _, d := range r.Doses {
		if strings.Contains(strings.ToLower(t.foodName(d.Food)), strings.ToLower(s.Food)) {
			return r, d.Food
		}
	}
	t.sayMsg("scale.not-in-recipe", "food", short(s.Food), "recipe", r.Name)
	return nil, ""
}

// editDraft does to the lines typed so far what a sentence asks: "remove the
// rice", "change the carrots to 150 g". It reports whether it was one of these
// and about a line of the draft.
func (t *turn) editDraft(d recipeDraft, s string) bool {
	got, ok := read.Understand(s, t.names(), t.home.Units)
	if !ok || strings.Contains(s, "\n") || got.Intent != read.SetLine && got.Intent != read.DropLine {
		return false
	}
	if got.Intent == read.DropLine {
		for i, o := range d.Open {
			if shareWord(o, got.Food) {
				d.Open = slices.Delete(slices.Clone(d.Open), i, i+1)
				t.goOnWithRecipe(d, nil, []string{msg("recipe.dropped", "line", short(o))})
				return true
			}
		}
	}
	f := t.findIn(&planner.Recipe{Ingredients: d.Ingredients}, got.Food)
	if f == nil && len(d.Open) == 0 {
		return false
	}
	if f == nil { // else it would be taken for one line more
		t.goOnWithRecipe(d, nil, []string{msg("recipe.no-line", "food", short(got.Food))})
		return true
	}
	i := slices.IndexFunc(d.Ingredients, func(in planner.Ingredient) bool { return in.Food == f.Key })
	d.Ingredients = slices.Clone(d.Ingredients)
	if got.Intent == read.SetLine {
		d.Ingredients[i].Grams, d.Ingredients[i].Typed = got.Grams, ""
		t.goOnWithRecipe(d, []string{msg("recipe.line", "amount", exactMass(got.Grams, t.home.Units), "food", f.Name)}, nil)
		return true
	}
	d.Ingredients = slices.Delete(d.Ingredients, i, i+1)
	t.goOnWithRecipe(d, nil, []string{msg("recipe.dropped", "line", f.Name)})
	return true
}

// answersOpenLine takes "leave it out", and "grams" where it is asked whether
// a bare number is a weight; it reports whether a text was one of these.
func (t *turn) answersOpenLine(d recipeDraft, p read.Problem, typed string) bool {
	switch strings.ToLower(strings.Trim(typed, " .!")) {
	case "leave it out", "leave it", "leave out", "drop it", "drop", "skip", "skip it", "remove it", "forget it", "none":
		t.pressRecipeLine(d, "drop")
	case "g", "gr", "gram", "grams":
		if p.Code != read.BareNumber {
			return false
		}
		t.pressRecipeLine(d, "grams")
	case "piece", "pieces", "pcs":
		if p.Code != read.BareNumber {
			return false
		}
		t.pressRecipeLine(d, "pieces")
	default:
		way, ok := p.WayOf(typed)
		if ok {
			t.pressRecipeLine(d, "way:"+way)
		}
		return ok
	}
	return true
}

// withUnit writes a unit to the bare number of the first open line, and reads
// the line again.
func (t *turn) withUnit(d recipeDraft, pieces bool) {
	p := t.openProblem(d)
	at := strings.LastIndex(d.Open[0], p.Part)
	if p.Code != read.BareNumber || at < 0 {
		t.sayMsg("press.stale")
		return
	}
	with := p.Part + " g"
	if pieces {
		with = "x " + p.Part
	}
	d.Open = slices.Clone(d.Open)
	d.Open[0] = d.Open[0][:at] + with + d.Open[0][at+len(p.Part):]
	t.takeAgain(d)
}

// takeAgain reads the first open line again after it was put right.
func (t *turn) takeAgain(d recipeDraft) {
	if got := read.RecipeText(d.Open[0], t.foods); len(got.Lines) == 1 && len(got.Problems) == 0 {
		t.replaceOpen(d, got.Lines[0])
		return
	}
	t.goOnWithRecipe(d, nil, nil)
}

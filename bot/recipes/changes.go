package recipes

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// LineChanges takes a text that changes lines of one recipe, several at once or in words
// that no sentence has: "turkey to 300 g in Stew, 100 g heart added, no rice". All of it is
// done, or nothing where a part is not clear.
func LineChanges(t *talk.Turn, s string) bool {
	meant := talk.Likeliest(t, s)
	s = withUnits(t, read.Without("line-lead", span.InFigures(s)))
	id, text, ok := read.OfRecipe(s, t.Names().Recipes)
	r, named := talk.TheRecipe(t, nil), id != ""
	if named {
		r = t.Recipe(id)
	}
	if !ok || r == nil || read.IsQuestion(s) || t.Talk.Kind == "recipe" && !named || strings.Contains(s, "\n") || namesDog(t, text) {
		return false
	}
	is, whole := t.Understand(s)
	if got := t.RecipeText(text); named && !whole && len(got.Lines) == 1 && len(got.Problems) == 0 && got.Lines[0].Dose != nil { // "Stew: vitamin E 200 IU per batch"
		addLines(t, r, text)
		return true
	}
	parts := read.LineParts(text)
	surely := whole && slices.Contains(draftEdits, is.Intent) || meant.Intent == "recipe.set" && meant.P >= surelyLines // "no more rice or peas", "peas out, rice 200 g"
	there := slices.DeleteFunc(slices.Clone(parts), func(p read.LinePart) bool { return p.Kind == read.AddPart })
	if len(parts) == 0 || is.Intent == read.AddRecipe || !named && !surely && !parts[0].Verb && !isWas(t, r, parts[0]) || whole && len(parts) == 1 && (parts[0].Kind != read.SwapPart || parts[0].Amount == "") && is.Intent != read.ScaleRecipe ||
		whole && is.Intent == read.AddLines && len(there) == 0 {
		return false
	}
	if len(there) > 0 && !named { // "halve the rice and double the carrots", of the one that has rice
		r = cmp.Or(RecipeWith(t, there[0].Food), r)
	}
	now := *r
	now.Ingredients, now.Doses = slices.Clone(r.Ingredients), slices.Clone(r.Doses)
	no, done, open := "", 0, []string(nil)
	for _, p := range parts {
		if p.Kind != read.AddPart && p.Amount == "" && len(FindAllIn(t, r, p.Food)) == 0 && KeyIn(t, r, p.Food) == "" {
			return false // it says something besides
		}
		switch why := changeLine(t, &now, p); {
		case why == "":
			done++
		case p.Kind == read.AddPart && len(t.RecipeText(p.Food).Problems) == 1 && t.RecipeText(p.Food).Problems[0].Code == span.AmbiguousFood:
			open = append(open, p.Food)
		default:
			no = cmp.Or(no, why)
		}
	}
	switch {
	case no != "" && len(parts) == 1 && parts[0].Kind == read.SwapPart && len(FindAllIn(t, r, parts[0].Food)) == 1: // by which spinach?
		p := parts[0]
		grams, _ := gramsOf(t, FindAllIn(t, r, p.Food)[0], p.More)
		t.GoTo(read.Sentence{Intent: read.Swap, Recipe: r.ID, FoodList: []string{p.Food, p.New}, Grams: grams})
		return true
	case done == 0 || len(parts) == 1 && len(open)+len(no) > 0:
		return false
	case no != "":
		t.Say(say.Para(no))
		return true
	}
	d, said := RecipeDraft{ID: r.ID, Adds: true, Name: r.Name, Ingredients: now.Ingredients, Doses: now.Doses, Days: r.Days, Open: open}, say.Capital(ChangesText(t, *r, now))+"."
	if len(open) > 0 { // which sweet potato?
		goOnWithRecipe(t, d, nil, []string{said, msg("recipe.not-yet", "recipe", r.Name)})
	} else {
		KeepRecipe(t, d, said)
	}
	return true
}

// surelyLines is how likely a text must change a recipe that begins with no word for that (our
// own choice).
const surelyLines = 0.9

// withUnits puts grams to the bare amounts of a text that changes lines, where the household
// has grams: "make the potatoes 400 and add 15 g kelp".
func withUnits(t *talk.Turn, s string) string {
	if t.Home.Units.Ounces || read.Says("many-lines", s) {
		return s
	}
	return read.Without("line-bare", s)
}

// isWas reports that a recipe has as much of a food as a part of a text says that it had.
func isWas(t *talk.Turn, r *planner.Recipe, p read.LinePart) bool {
	key := KeyIn(t, r, p.Food)
	return key != "" && p.Was == say.Trim(float64(r.Grams(key)), 0)
}

// changeLine does to a recipe what a part of a text says, and says why it cannot.
func changeLine(t *talk.Turn, r *planner.Recipe, p read.LinePart) (no string) {
	unclear := msg("changes.which", "recipe", r.Name, "part", say.Short(p.Text))
	if got := t.RecipeText(p.Text).Problems; len(got) == 1 && got[0].Code == span.RefusedFood {
		return say.JoinParas(say.ProblemText(got[0]), msg("changes.none", "recipe", r.Name))
	}
	if p.Kind == read.AddPart {
		return say.Where(!addLine(t, r, p.Food), unclear)
	}
	found := FindAllIn(t, r, p.Food)
	if p.Kind == read.DropPart && len(found) == 0 && KeyIn(t, r, p.Food) != "" {
		r.Drop(KeyIn(t, r, p.Food))
		return ""
	}
	if len(found) != 1 || unnamedOrgan(found[0], p.Food) {
		return unclear
	}
	f := found[0]
	at, now := lineAt(r, f.Key, p.Food)
	grams, ok := gramsOf(t, f, p.Amount)
	switch {
	case p.Kind == "" || p.Kind == read.BareLine:
		ok = false
	case p.Kind == read.DropPart, p.Kind == read.SwapPart && p.Amount == "":
		grams, ok = 0, true
	case p.Kind == read.TwoPart:
		grams, ok = 2*now, true
	case p.Kind == read.HalfPart:
		grams, ok = now/2, true
	case p.Kind == read.MorePart:
		grams += now
	case p.Kind == read.LessPart, p.Kind == read.SwapPart:
		grams, ok = now-grams, ok && grams <= now
	default:
		ok = ok && grams > 0
	}
	if !ok {
		return msg("changes.not", "recipe", r.Name, "part", say.Short(p.Text))
	}
	setGrams(r, f.Key, at, grams)
	return say.Where(p.Kind == read.SwapPart && !addLine(t, r, cmp.Or(p.More, p.Amount, say.ExactMass(now, t.Home.Units))+" "+p.New), unclear)
}

// lineAt is the line of a food that words single out of several ("the second salt", "one of
// the salts"), -1 where they mean all of it; and how much that is.
func lineAt(r *planner.Recipe, key, words string) (line int, grams nutrition.Grams) {
	var at []int
	for i, in := range r.Ingredients {
		if in.Food == key {
			at = append(at, i)
		}
	}
	n := span.PlaceOf(read.Find("which-of", words), len(at))
	if len(at) < 2 || n == 0 && !read.Says("one-of", words) {
		return -1, r.Grams(key)
	}
	line = at[min(max(n, 1), len(at))-1]
	return line, r.Ingredients[line].Grams
}

// setGrams gives a line of a food another amount, or all of its lines together (-1), which
// then are one; with none it goes.
func setGrams(r *planner.Recipe, key string, at int, is nutrition.Grams) {
	first := slices.IndexFunc(r.Ingredients, func(in planner.Ingredient) bool { return in.Food == key })
	kept := r.Ingredients[:0:0]
	for i, in := range r.Ingredients {
		switch {
		case in.Food != key || at >= 0 && i != at:
			kept = append(kept, in)
		case is > 0 && (i == at || at < 0 && i == first):
			in.Grams, in.Typed = is, ""
			kept = append(kept, in)
		}
	}
	r.Ingredients = kept
}

// gramsOf is what an amount of a food weighs.
func gramsOf(t *talk.Turn, f *nutrition.Food, amount string) (nutrition.Grams, bool) {
	got := t.RecipeText(amount + " " + f.Name)
	if len(got.Lines) != 1 || len(got.Problems) > 0 || got.Lines[0].Ingredient == nil {
		return 0, false
	}
	return got.Lines[0].Ingredient.Grams, true
}

// addLine puts a line into a recipe, on top of what there is of its food. A name that fits
// several foods is that of which the recipe has some. It reports whether it was a line.
func addLine(t *talk.Turn, r *planner.Recipe, line string) bool {
	got := t.RecipeText(line)
	if len(got.Problems) == 1 && len(got.Lines) == 0 {
		some := got.Problems[0].Finding.Choices
		has := slices.IndexFunc(some, func(f *nutrition.Food) bool { return r.Grams(f.Key) > 0 })
		f := Named(some, foodline.ReadLine(line).Food())
		if f == nil && has >= 0 {
			f = some[has]
		}
		if l, ok := foodline.With(got.Problems[0], f); ok {
			got.Lines, got.Problems = []foodline.Line{l}, nil
		}
	}
	if len(got.Lines) == 0 || len(got.Problems) > 0 {
		return false
	}
	d := RecipeDraft{ID: r.ID, Adds: true, Ingredients: r.Ingredients, Doses: r.Doses}
	for _, l := range got.Lines {
		takeLine(t, &d, l)
	}
	r.Ingredients, r.Doses = d.Ingredients, d.Doses
	return true
}

// ChangesText says what changed between two versions: "kale 50 → 60 g".
func ChangesText(t *talk.Turn, was, is planner.Recipe) string {
	var parts []string
	for _, c := range planner.Changes(was, is, false) {
		food := LineName(t, c.Food)
		switch {
		case c.Is == 0 && c.IsDose == nil:
			parts = append(parts, msg("change.out", "food", food))
		case c.Was == 0 && c.WasDose == nil:
			parts = append(parts, msg("change.in", "food", food, "amount", amountText(t, c.Is, c.IsDose)))
		default:
			parts = append(parts, msg("change.amount", "food", food, "was", amountText(t, c.Was, c.WasDose), "is", amountText(t, c.Is, c.IsDose)))
		}
	}
	if was.Days != is.Days {
		parts = append(parts, msg("change.days", "was", say.Trim(max(was.Days, 1), 1), "is", say.Trim(max(is.Days, 1), 1)))
	}
	return cmp.Or(strings.Join(parts, "; "), msg("change.none"))
}

// LineName is a food's name; of one that the household removed, that.
func LineName(t *talk.Turn, key string) string {
	return say.Choose(t.Foods.Food(key) == nil, msg("change.removed"), t.FoodName(key))
}

// amountText is how much of a food a recipe has.
func amountText(t *talk.Turn, g nutrition.Grams, d *planner.Dose) string {
	if d == nil {
		return say.ExactMass(g, t.Home.Units)
	}
	text := strings.TrimSpace(strings.TrimPrefix(DoseText(t, *d), t.FoodName(d.Food)))
	if g > 0 {
		text = say.ExactMass(g, t.Home.Units) + " + " + text
	}
	return text
}

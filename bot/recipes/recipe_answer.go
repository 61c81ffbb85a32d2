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

// amountAlone takes an amount without a food while a line is open: it is no line
// of its own. It reports whether it was one.
func amountAlone(t *talk.Turn, d RecipeDraft, p span.Problem, got foodline.Recipe) bool {
	if len(got.Problems) != 1 || got.Problems[0].Code != span.NoFood || p.Code == span.NoFood {
		return false
	}
	openAs(t, d, say.Choose(p.Code == span.NoAmount, p.Text+" "+got.Problems[0].Text, d.Open[0]))
	return true
}

// singledOut is the one of the foods that a line may mean that words single out by its
// place or by its fat: "2", "number two", "the last one", "the leanest"; nil for none.
func singledOut(p span.Problem, typed string) *nutrition.Food {
	offered := offeredFoods(p)
	n := span.PlaceOf("number "+strings.TrimRight(typed, " .!"), len(offered))
	byFat := func(a, b *nutrition.Food) int {
		return cmp.Compare(a.Per100[nutrition.Fat].Mid, b.Per100[nutrition.Fat].Mid)
	}
	switch {
	case len(offered) == 0:
	case read.Says("says-plain", typed):
		return Named(offered, read.Without("says-plain", typed))
	case read.Says("says-leanest", typed):
		return slices.MinFunc(offered, byFat)
	case read.Says("says-fattest", typed):
		return slices.MaxFunc(offered, byFat)
	case n >= 1 && n <= len(offered) && p.Code != span.NoAmount && p.Code != span.BareNumber: // there a number is an amount
		return offered[n-1]
	}
	return nil
}

// FoodChosen is the one of some foods that a name may mean that words single out, also by
// what it is called: "the boiled ones, without skin"; nil for none.
func FoodChosen(t *talk.Turn, name, typed string) *nutrition.Food {
	line := "100 g " + name
	p := openProblem(t, RecipeDraft{Open: []string{line}})
	if f := singledOut(p, typed); f != nil {
		return f
	}
	if l, ok := lineSaid(t, line, typed); ok {
		return t.Foods.Food(l.Ingredient.Food)
	}
	return nil
}

// choiceWords are the words that may say which of some foods is meant.
func choiceWords(offered []*nutrition.Food, typed string) []string {
	words := strings.FieldsFunc(strings.ToLower(typed), func(r rune) bool { return strings.ContainsRune(" .,!?;", r) })
	return slices.DeleteFunc(words, func(w string) bool {
		return read.In("choice-fillers", w) && !slices.ContainsFunc(offered, func(f *nutrition.Food) bool { return shareWord(f.Name, w) })
	})
}

// choiceSaid takes words for one of the foods that the open line may mean, or for what
// its pieces weigh: "the ground one", "the 85", "about 100 g each". Where they fit
// several foods, or nothing at all, it is asked again. It reports whether a text was
// such an answer.
func choiceSaid(t *talk.Turn, d RecipeDraft, p span.Problem, typed string) bool {
	offered := slices.Concat(p.Finding.Choices, p.Finding.Nearest)
	words := choiceWords(offered, typed)
	if len(words) == 0 {
		return false
	}
	named := words
	words = slices.DeleteFunc(slices.Clone(words), func(w string) bool { return shareWord(p.Text, w) || len(w) < 4 && strings.Contains(p.Text, w) })
	with := p.Text + " " + strings.Join(words, " ")
	fewer := t.RecipeText(with).Problems
	narrows := len(fewer) == 1 && fewer[0].Code == span.AmbiguousFood && len(fewer[0].Finding.Choices) < len(offered) && isOffered(p, fewer[0].Finding.Choices[0].Key)
	if len(words) == 0 {
		words = named
	}
	var fit []*nutrition.Food
	for _, f := range offered {
		if !slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(" "+strings.ToLower(f.Name), " "+w) }) {
			fit = append(fit, f)
		}
	}
	switch {
	case len(offered) == 0 || strings.ContainsAny(typed, "½¼¾"):
		return false
	case len(fit) == 1:
		completeOpenLine(t, d, fit[0].Key)
	case narrows, len(fit) > 1 && len(fit) < len(offered), strings.Contains(typed, "%"): // the nearest are offered
		openAs(t, d, with)
	case len(fit) > 1:
		stillOpen(t, d)
	default:
		return false
	}
	return true
}

// lineSaid is an open line as a text puts it right, or with words of it that say which of
// its foods is meant, or what a piece weighs.
func lineSaid(t *talk.Turn, open, typed string) (l foodline.Line, ok bool) {
	if got := t.RecipeText(typed); len(got.Lines) > 0 {
		return got.Lines[0], len(got.Lines) == 1 && len(got.Problems) == 0 && putsRight(t, open, got.Lines[0], typed)
	}
	words := choiceWords(offeredFoods(openProblem(t, RecipeDraft{Open: []string{open}})), typed)
	was, got := t.RecipeText(open).Problems, t.RecipeText(open+" "+strings.Join(words, " "))
	if len(words) == 0 || len(was) != 1 || len(got.Lines) != 1 || len(got.Problems) > 0 {
		return l, false
	}
	l = got.Lines[0]
	unused := slices.ContainsFunc(l.Ignored, func(w string) bool { return slices.Contains(words, w) })
	return l, !unused && l.Ingredient != nil && (isOffered(was[0], l.Ingredient.Food) || was[0].Code == span.NoMeasure)
}

// saveDraft keeps a recipe where nothing is open, or says what is.
func saveDraft(t *talk.Turn, d RecipeDraft) {
	d.Stay = false
	goOnWithRecipe(t, d, nil, []string{say.Where(len(d.Open) > 0, msg("recipe.not-saved"))})
}

// asksDraft reports that a text asks what there is of the recipe that is typed.
func asksDraft(t *talk.Turn, s string) bool {
	got, _ := t.Understand(s)
	return read.Says("asks-draft", s) || got.Intent == read.ListRecipes && len(t.Home.Recipes) == 0
}

// putBack takes a line that was left out into the recipe again: "put the turkey back in". It
// reports whether a text asked for one.
func putBack(t *talk.Turn, d RecipeDraft, s string) bool {
	m := read.Pattern("puts-back").FindStringSubmatch(s)
	if m == nil {
		return false
	}
	food, amount, out, is := m[1]+m[2], m[3], planner.Recipe{Ingredients: d.Out}, planner.Recipe{Ingredients: d.Ingredients}
	f := FindIn(t, &out, food)
	if f == nil && len(d.Out) > 0 && read.In("choice-fillers", food) { // "put it back"
		f = t.Foods.Food(d.Out[len(d.Out)-1].Food)
	}
	switch {
	case amount == "" && FindIn(t, &is, food) != nil: // it is there
		recipeAgain(t, d)
		return true
	case f != nil:
		food, amount = f.Name, cmp.Or(amount, say.ExactMass(out.Grams(f.Key), t.Home.Units))
	}
	takePaste(t, d, amount+" "+food)
	return true
}

// ofAnother reports a sentence that says exactly something of another recipe than
// the one that is entered.
func ofAnother(t *talk.Turn, d RecipeDraft, s string) bool {
	got, ok := t.Understand(s)
	return ok && got.Recipe != "" && got.Recipe != d.ID && len(strings.Fields(s)) > 2
}

// openProblem reads the first open line again and returns what is wrong
// with it.
func openProblem(t *talk.Turn, d RecipeDraft) span.Problem {
	got := t.RecipeText(d.Open[0])
	if len(got.Problems) > 0 {
		return got.Problems[0]
	}
	return span.Problem{Text: d.Open[0], Code: span.NoAmount}
}

// namesNewRecipe reports that what was typed first for a new recipe is its name:
// no food, and no amount.
func namesNewRecipe(t *talk.Turn, d RecipeDraft, s string) bool {
	if d.Name != "" || len(d.Ingredients)+len(d.Doses)+len(d.Open) > 0 || !canName(t, s) {
		return false
	}
	p, found := t.RecipeText(s).Problems[0], t.Foods.Find(s)
	return p.Code == span.NoAmount && found.Food == nil && len(found.Choices)+len(found.Nearest) == 0
}

// recipeBrief says in a line what is open of the recipe that is entered.
func recipeBrief(t *talk.Turn, d RecipeDraft) {
	if t.Talk.Step == "lines" && len(d.Open) > 0 {
		stillOpen(t, d)
		return
	}
	goOnWithRecipe(t, d, nil, nil)
}

// completeOpenLine takes the food that was chosen for the first open line.
func completeOpenLine(t *talk.Turn, d RecipeDraft, food string) {
	p := openProblem(t, d)
	f := t.Foods.Food(food)
	line, ok := foodline.With(p, f)
	switch {
	case f != nil && (p.Code == span.NoAmount || !ok && p.Code != span.BareNumber): // the measure is none of that food
		openAs(t, d, f.Name)
		return
	case !ok && p.Code == span.BareNumber: // the food is clear: its amount is asked for
		askOpenLine(t, d, "")
		return
	case !ok:
		askOpenLine(t, d, msg("press.stale"))
		return
	}
	replaceOpen(t, d, line)
}

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

// choiceWords are the words that may say which of some foods is meant; how lean one is
// stays together.
func choiceWords(offered []*nutrition.Food, typed string) (words []string) {
	for _, w := range strings.FieldsFunc(strings.ToLower(typed), func(r rune) bool { return strings.ContainsRune(" .,!?;", r) }) {
		switch last := len(words) - 1; {
		case last >= 0 && (w == "%" || w == "fat" || w == "lean") && span.IsASCIIDigit(words[last][0]):
			words[last] += " " + w
		case !read.In("choice-fillers", w) || slices.ContainsFunc(offered, func(f *nutrition.Food) bool { return shareWord(f.Name, w) }):
			words = append(words, w)
		}
	}
	return words
}

// answered is an open line as an answer has it, with another amount or with words that tell
// which of its foods is meant, and the food where that is one. Loosely, words that tell
// nothing are passed over. It reports false where an answer says nothing of the line.
func answered(t *talk.Turn, open, typed string, loosely bool) (_ string, f *nutrition.Food, ok bool) {
	said, line, was := read.Without("recipe-lead", typed), open, foodline.ReadLine(open)
	is := foodline.ReadLine(strings.ReplaceAll(said, ",", " "))
	amount, food := is.Amount(!strings.ContainsAny(was.Amount(false), "0123456789")), was.Food()
	if len(was.Amounts) == 0 {
		food = open // with what its label says
	}
	switch {
	case amount == "":
	case read.Says("each-one", typed): // of the pieces that the line has
		line, said = open+" "+amount+" each", is.Food()
	default:
		line, said = amount+" "+food, is.Food()
	}
	if read.Says("grade", said) { // in place of the one that was said before
		line = strings.TrimSpace(read.Without("grade", line))
	}
	p := openProblem(t, RecipeDraft{Open: []string{line}})
	offered := slices.Concat(p.Finding.Choices, p.Finding.Nearest)
	words := choiceWords(offered, said)
	if named := slices.DeleteFunc(slices.Clone(words), func(w string) bool { return shareWord(line, w) || len(w) < 4 && strings.Contains(line, w) }); len(named) > 0 {
		words = named
	}
	if len(words) == 0 || !span.HasLetter(said) && !read.Says("grade", said) {
		return line, nil, line != open || said != ""
	}
	if loosely {
		of := func(some []*nutrition.Food, kind string) bool {
			return slices.ContainsFunc(some, func(f *nutrition.Food) bool { return f != nil && f.Species == kind })
		}
		other := false
		words = slices.DeleteFunc(words, func(w string) bool {
			found := t.Foods.Find(w)
			other = other || of(append(found.Choices, found.Food), w) && !of(offered, w) // turkey in place of beef
			some := whichOf(t, line, offered, []string{w})
			return len(some) == 0 || slices.Equal(some, offered)
		})
		if other {
			return line, nil, false
		}
	}
	some := whichOf(t, line, offered, words)
	switch {
	case len(some) == 0 || len(words) == 0:
		return line, nil, false
	case len(some) == 1:
		return line, some[0], true
	case !slices.Equal(some, offered):
		line += " " + strings.Join(words, " ")
	}
	return line, nil, true
}

// whichOf are the foods that a line means with some words, or else those of the ones offered
// whose names have the words; of how lean one is the nearest.
func whichOf(t *talk.Turn, line string, offered []*nutrition.Food, words []string) []*nutrition.Food {
	var fit []*nutrition.Food
	for _, f := range offered {
		if !slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(" "+strings.ToLower(f.Name), " "+w) }) {
			fit = append(fit, f)
		}
	}
	got, said, ignored := t.RecipeText(line+" "+strings.Join(words, " ")), strings.ReplaceAll(strings.Join(words, " "), " %", "%"), []string(nil)
	if len(got.Lines) > 0 {
		ignored = got.Lines[0].Ignored
	} else if len(got.Problems) > 0 {
		ignored = got.Problems[0].Finding.Ignored
	}
	switch {
	case len(got.Lines)+len(got.Problems) != 1 || slices.ContainsFunc(ignored, func(w string) bool { return read.HasName(said, w) }):
	case len(got.Lines) == 1 && got.Lines[0].Ingredient != nil:
		return []*nutrition.Food{t.Foods.Food(got.Lines[0].Ingredient.Food)}
	case len(got.Lines) == 1 || len(fit) > 0:
	case len(got.Problems[0].Finding.Choices) > 0:
		return got.Problems[0].Finding.Choices
	case len(words) == 1 && read.Says("grade", words[0]):
		return got.Problems[0].Finding.Nearest
	}
	return fit
}

// choiceSaid takes an answer to the open line: another amount, or words for one of the foods
// that it may mean, "the ground one", "the 85", "about 100 g each". Where they fit several
// foods it is asked again. It reports whether a text was such an answer.
func choiceSaid(t *talk.Turn, d RecipeDraft, typed string, loosely bool) bool {
	line, f, ok := answered(t, d.Open[0], typed, loosely)
	if !ok {
		return false
	}
	switch {
	case f != nil:
		d.Open = append([]string{line}, d.Open[1:]...)
		completeOpenLine(t, d, f.Key)
	case line == d.Open[0]:
		stillOpen(t, d)
	default:
		openAs(t, d, line)
	}
	return true
}

// lineSaid is an open line as a text puts it right, or with what it says of it.
func lineSaid(t *talk.Turn, open, typed string) (l foodline.Line, ok bool) {
	if got := t.RecipeText(typed); len(got.Lines) > 0 {
		return got.Lines[0], len(got.Lines) == 1 && len(got.Problems) == 0 && putsRight(t, open, got.Lines[0], typed)
	}
	line, f, ok := answered(t, open, typed, false)
	if f != nil {
		return foodline.With(openProblem(t, RecipeDraft{Open: []string{line}}), f)
	}
	got := t.RecipeText(line)
	if !ok || len(got.Lines) != 1 || len(got.Problems) > 0 {
		return l, false
	}
	return got.Lines[0], true
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
		openAs(t, d, strings.TrimSpace(foodline.ReadLine(p.Text).Amount(false)+" "+f.Name))
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

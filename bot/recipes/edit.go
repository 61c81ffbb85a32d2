package recipes

import (
	"slices"
	"strconv"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// AnswerSetLine gives a food of a recipe another amount, takes it out, or puts a mince of
// so much fat in its place, as a sentence says. Where it is not clear of which line that
// is, it asks.
func AnswerSetLine(t *talk.Turn, s read.Sentence) {
	r, keys, sure := linesMeant(t, s)
	if r == nil {
		return
	}
	at := slices.IndexFunc(r.Ingredients, func(in planner.Ingredient) bool { return in.Food == keys[0] })
	now := nutrition.Grams(0)
	if at >= 0 {
		now = r.Ingredients[at].Grams
	}
	switch is := amountSet(now, s); {
	case s.Intent == read.FatOfLine && at >= 0:
		food, said := withFat(t, keys[0], s.Factor)
		changeLine(t, r, keys[0], said, func(in *planner.Ingredient) { in.Food = food })
	case !sure:
		askLine(t, r, s, keys)
	case s.Intent == read.DropLine, s.Intent == read.LessOfLine && is == 0 && at >= 0:
		removeIngredient(t, r, keys[0])
	case at < 0: // a supplement, which has a dose
		dose := slices.IndexFunc(r.Doses, func(d planner.Dose) bool { return d.Food == keys[0] })
		t.SayMsg("recipe.is-dose", "recipe", r.Name, "dose", DoseText(t, r.Doses[dose]))
	case is <= 0:
		t.SayMsg("recipe.not-so-much", "amount", say.ExactMass(now, t.Home.Units), "food", t.FoodName(keys[0]), "recipe", r.Name)
	default:
		setLine(t, r, keys[0], is)
	}
}

// setLine gives a line of a recipe another amount.
func setLine(t *talk.Turn, r *planner.Recipe, key string, is nutrition.Grams) {
	changeLine(t, r, key, msg("recipe.changed", "recipe", r.Name), func(in *planner.Ingredient) { in.Grams = is })
}

// changeLine changes the lines of a food, and shows the recipe with what is said of that.
func changeLine(t *talk.Turn, r *planner.Recipe, key, said string, change func(*planner.Ingredient)) {
	t.Mutate("did.recipe-changed", r.Name)
	for i := range r.Ingredients {
		if in := &r.Ingredients[i]; in.Food == key {
			change(in)
			in.Typed = ""
		}
	}
	ShowRecipe(t, r, said, t.UndoButton())
}

// askLine asks which line a sentence is to change, of those that its words may mean.
func askLine(t *talk.Turn, r *planner.Recipe, s read.Sentence, keys []string) {
	out := t.SayMsg("recipe.which-line", "food", say.Short(s.Food), "recipe", r.Name)
	for _, in := range r.Ingredients {
		if !slices.Contains(keys, in.Food) {
			continue
		}
		label, grams := msg("button.line-out", "food", t.FoodName(in.Food)), nutrition.Grams(0)
		if is := amountSet(in.Grams, s); s.Intent != read.DropLine && is > 0 {
			label, grams = msg("button.line-set", "food", t.FoodName(in.Food), "amount", say.ExactMass(is, t.Home.Units)), is
		}
		out.Offer(t.Button(label, "recipe", "set", r.ID, in.Food, strconv.FormatFloat(float64(grams), 'g', -1, 64)))
	}
}

// pressSetLine changes the line that was chosen, or takes it out.
func pressSetLine(t *talk.Turn, r *planner.Recipe, more []string) {
	key := talk.Arg(more, 0)
	grams, err := strconv.ParseFloat(talk.Arg(more, 1), 64)
	switch has := slices.ContainsFunc(r.Ingredients, func(in planner.Ingredient) bool { return in.Food == key }); {
	case err != nil || !has:
		t.SayMsg("press.gone")
	case grams > 0:
		setLine(t, r, key, nutrition.Grams(grams))
	default:
		removeIngredient(t, r, key)
	}
}

// amountSet is what there is of a food once a sentence has changed it.
func amountSet(now nutrition.Grams, s read.Sentence) nutrition.Grams {
	switch {
	case s.Intent == read.MoreOfLine:
		return now + s.Grams
	case s.Intent == read.LessOfLine:
		return now - s.Grams
	case s.Factor > 0: // "double the rice"
		return now * nutrition.Grams(s.Factor)
	}
	return s.Grams
}

// LineNamed reads "change the kelp to 60 g" as a line of a recipe that is
// called something like kelp: the word is not its whole name, and it has such a
// food.
func LineNamed(t *talk.Turn, r *planner.Recipe, s read.Sentence) (read.Sentence, bool) {
	rest, ok := strings.CutPrefix(strings.ToLower(strings.TrimSpace(t.Event.Text)), "change ")
	words, _, to := strings.Cut(strings.TrimPrefix(rest, "the "), " to ")
	if !ok || !to || s.Grams <= 0 || strings.EqualFold(words, r.Name) || FindIn(t, r, words) == nil {
		return s, false
	}
	s.Intent, s.Food, s.Recipe = read.SetLine, words, r.ID
	return s, true
}

// linesMeant is the recipe and the foods in it that a sentence may mean, and whether
// it is surely the first of them: "beef" is not surely the beef liver. Where there is
// none it says so and returns nil.
func linesMeant(t *talk.Turn, s read.Sentence) (r *planner.Recipe, keys []string, sure bool) {
	if r = MeantWith(t, s); r == nil {
		return nil, nil, false
	}
	if all := FindAllIn(t, r, s.Food); len(all) > 0 {
		keys = say.Each(all, func(f *nutrition.Food) string { return f.Key })
		return r, keys, len(all) == 1 && !unnamedOrgan(all[0], s.Food)
	}
	if dose := KeyIn(t, r, s.Food); dose != "" {
		return r, []string{dose}, true
	}
	t.SayMsg("scale.not-in-recipe", "food", say.Short(s.Food), "recipe", r.Name)
	return nil, nil, false
}

// unnamedOrgan reports that a food is an organ of an animal of which words name no
// organ: too much of one does harm where meat was meant.
func unnamedOrgan(f *nutrition.Food, words string) bool {
	if f.Part != nutrition.Liver && f.Part != nutrition.SecretingOrgan && f.Part != nutrition.MuscularOrgan {
		return false
	}
	name := strings.FieldsFunc(strings.ToLower(f.Name), func(r rune) bool { return r == ' ' || r == ',' })
	return span.PlaceOf(words, 1) == 0 && len(name) > 1 && strings.TrimSuffix(strings.ToLower(words), "s") == name[0]
}

// withFat is the same mince with so much fat, or the nearest to it that the table has,
// and what there is to say of it.
func withFat(t *talk.Turn, key string, share float64) (food, said string) {
	name := t.FoodName(key)
	if kind, _, _ := strings.Cut(name, ","); strings.Contains(name, "ground") {
		found := t.Foods.Find(kind + " mince " + say.Trim(share*100, 0) + "% fat")
		for _, f := range append([]*nutrition.Food{found.Food}, found.Nearest...) {
			if f != nil && strings.HasPrefix(f.Name, kind) {
				name, key = f.Name, f.Key
				break
			}
		}
	}
	return key, msg("recipe.fat", "food", name, "fat", say.Trim(t.Foods.Food(key).Per100[nutrition.Fat].Mid, 0))
}

// editDraft does to the lines typed so far what a sentence asks: "remove the
// rice", "change the carrots to 150 g", "add 2 eggs". It reports whether it was one of these
// and about a line of the draft.
func editDraft(t *talk.Turn, d RecipeDraft, s string) bool {
	got, ok := t.Understand(read.Without("draft-fix", s))
	if r := talk.Likeliest(t, s); !ok && r.Intent == "recipe.set" && !talk.IsLine(t, s) { // "make liver 80"
		got, ok = t.Understand(r.InFull())
	}
	if own := ownFoodOf(t, got.Own); own != nil && got.Intent == read.RemoveOwn { // of the draft, not of the foods
		got.Intent, got.Food = read.DropLine, own.Name
	}
	if ok && got.Intent == read.AddLines && got.Recipe == "" && !strings.Contains(s, "\n") {
		takePaste(t, d, got.Words)
		return true
	}
	if !ok || strings.Contains(s, "\n") || !slices.Contains([]read.Intent{read.SetLine, read.MoreOfLine, read.LessOfLine, read.DropLine, read.FatOfLine}, got.Intent) {
		return false
	}
	if got.Intent == read.DropLine {
		for i, o := range d.Open {
			if shareWord(o, got.Food) {
				out, rest := partsOf(o, got.Food)
				d.Open = slices.Replace(slices.Clone(d.Open), i, i+1, rest...)
				goOnWithRecipe(t, d, nil, []string{msg("recipe.dropped", "line", say.Short(out))})
				return true
			}
		}
		for i, o := range slices.Backward(d.Doses) { // the one typed last
			if shareWord(t.FoodName(o.Food), got.Food) {
				d.Doses = slices.Delete(slices.Clone(d.Doses), i, i+1)
				goOnWithRecipe(t, d, nil, []string{msg("recipe.dropped", "line", DoseText(t, o))})
				return true
			}
		}
	}
	f := FindIn(t, &planner.Recipe{Ingredients: d.Ingredients}, got.Food)
	if f == nil && len(d.Open) == 0 {
		return false
	}
	if f == nil { // else it would be taken for one line more
		goOnWithRecipe(t, d, nil, []string{msg("recipe.no-line", "food", say.Short(got.Food))})
		return true
	}
	i := slices.IndexFunc(d.Ingredients, func(in planner.Ingredient) bool { return in.Food == f.Key })
	d.Ingredients = slices.Clone(d.Ingredients)
	if got.Intent == read.FatOfLine {
		food, said := withFat(t, f.Key, got.Factor)
		d.Ingredients[i].Food, d.Ingredients[i].Typed = food, ""
		goOnWithRecipe(t, d, nil, []string{said})
		return true
	}
	if grams := amountSet(d.Ingredients[i].Grams, got); got.Intent != read.DropLine && grams > 0 {
		if got.Intent == read.SetLine { // that is all of it, in however many lines it was typed
			same := func(in planner.Ingredient) bool { return in.Food == f.Key }
			d.Ingredients = append(d.Ingredients[:i+1], slices.DeleteFunc(d.Ingredients[i+1:], same)...)
		}
		d.Ingredients[i].Grams, d.Ingredients[i].Typed = grams, ""
		goOnWithRecipe(t, d, []string{msg("recipe.line", "amount", say.ExactMass(grams, t.Home.Units), "food", f.Name)}, nil)
		return true
	}
	d.Ingredients = slices.Delete(d.Ingredients, i, i+1)
	goOnWithRecipe(t, d, nil, []string{msg("recipe.dropped", "line", f.Name)})
	return true
}

// partsOf parts an open line that names several foods: those that are meant to go,
// and what stays open.
func partsOf(line, food string) (out string, rest []string) {
	var gone, stay []string
	goes := false
	for _, part := range strings.Split(line, ", ") {
		if first, _ := talk.CutWord(strings.ToLower(part)); !read.In("qualifiers", first) { // "500 g rice, cooked"
			goes = shareWord(part, food)
		}
		if goes {
			gone = append(gone, part)
		} else {
			stay = append(stay, part)
		}
	}
	if len(stay) > 0 {
		rest = []string{strings.Join(stay, ", ")}
	}
	return strings.Join(gone, ", "), rest
}

// withoutFood takes "no salt" while lines are typed: such a line goes, and it is none
// of its own. It reports whether a text was that.
func withoutFood(t *talk.Turn, d RecipeDraft, s string) bool {
	food, ok := strings.CutPrefix(strings.ToLower(strings.Trim(s, " .!")), "no ")
	if !ok || strings.ContainsAny(food, "0123456789,\n") {
		return false
	}
	if found := t.Foods.Find(food); found.Food == nil && found.Refused == nil && len(found.Choices) == 0 {
		return false
	}
	if !editDraft(t, d, "leave out the "+food) {
		goOnWithRecipe(t, d, nil, []string{msg("recipe.no-line", "food", food)})
	}
	return true
}

// answersOpenLine takes "leave it out", and "grams" where it is asked whether
// a bare number is a weight; it reports whether a text was one of these.
func answersOpenLine(t *talk.Turn, d RecipeDraft, p span.Problem, typed string) bool {
	if read.Says("drops-it", typed) {
		pressRecipeLine(t, d, "drop")
		return true
	}
	said := strings.ToLower(strings.Trim(typed, " .!"))
	if p.Code == span.BareNumber && p.Part != "" { // "50 g" to "50 g, or 50 pieces?"
		said = strings.TrimSpace(strings.TrimPrefix(said, strings.ToLower(p.Part)))
	}
	way, ok := p.WayOf(typed)
	press := "way:" + way
	switch said {
	case "g", "gr", "gram", "grams":
		press, ok = "grams", p.Code == span.BareNumber
	case "piece", "pieces", "pcs":
		press, ok = "pieces", p.Code == span.BareNumber
	}
	if ok {
		pressRecipeLine(t, d, press)
	}
	return ok
}

// withUnit writes a unit to the bare number of the first open line, and reads
// the line again.
func withUnit(t *talk.Turn, d RecipeDraft, pieces bool) {
	p := openProblem(t, d)
	at := strings.LastIndex(d.Open[0], p.Part)
	if p.Code != span.BareNumber || at < 0 {
		t.SayMsg("press.stale")
		return
	}
	with := say.Choose(pieces, "x "+p.Part, p.Part+" g")
	d.Open = slices.Clone(d.Open)
	d.Open[0] = d.Open[0][:at] + with + d.Open[0][at+len(p.Part):]
	takeAgain(t, d)
}

// takeAgain reads the first open line again after it was put right.
func takeAgain(t *talk.Turn, d RecipeDraft) {
	if got := foodline.RecipeText(d.Open[0], t.Foods); len(got.Lines) == 1 && len(got.Problems) == 0 {
		replaceOpen(t, d, got.Lines[0])
		return
	}
	goOnWithRecipe(t, d, nil, nil)
}

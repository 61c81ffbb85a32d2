package recipes

import (
	"cmp"
	"math"
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

// AnswerSetLine gives a food of a recipe another amount or takes it out, as a sentence
// says. Where it is not clear of which line that is, or how much, it asks.
func AnswerSetLine(t *talk.Turn, s read.Sentence) {
	r, keys, sure := linesMeant(t, s)
	if r == nil {
		return
	}
	at, now := lineAt(r, keys[0], t.AsTyped())
	supposed := read.Says("supposes", t.AsTyped()) && t.Event.Press == "" // "what if i made it 200 g"
	switch is := amountSet(now, s); {
	case !sure || supposed || unsaid(s) && now > 0:
		askLine(t, r, s, keys)
	case s.Intent == read.DropLine, s.Intent == read.LessOfLine && is == 0 && now > 0:
		setLine(t, r, keys[0], at, 0)
	case now == 0: // a supplement, which has a dose
		dose := planner.FirstOf(r.Doses, func(d *planner.Dose) bool { return d.Food == keys[0] })
		t.SayMsg("recipe.is-dose", "recipe", r.Name, "dose", DoseText(t, *dose))
	case is <= 0:
		t.SayMsg("recipe.not-so-much", "amount", say.ExactMass(now, t.Home.Units), "food", t.FoodName(keys[0]), "recipe", r.Name)
	default:
		setLine(t, r, keys[0], at, is)
	}
}

// setLine gives a food of a recipe, or one of its lines, another amount, and shows it; with
// none it goes.
func setLine(t *talk.Turn, r *planner.Recipe, key string, at int, is nutrition.Grams) {
	t.Mutate("did.recipe-changed", r.Name)
	if is == 0 && at < 0 { // a supplement too
		r.Drop(key)
	} else {
		setGrams(r, key, at, is)
	}
	ShowRecipe(t, r, msg("recipe.changed", "recipe", r.Name), t.UndoButton())
}

// askLine asks which line a sentence is to change, of those that its words may mean, or by
// how much.
func askLine(t *talk.Turn, r *planner.Recipe, s read.Sentence, keys []string) {
	out := t.SayMsg(say.Choose(unsaid(s), "recipe.how-much", "recipe.which-line"), "food", say.Short(s.Food), "recipe", r.Name)
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

// unsaid reports that a sentence wants more or less of a food and does not say how much.
func unsaid(s read.Sentence) bool {
	return (s.Intent == read.MoreOfLine || s.Intent == read.LessOfLine) && s.Grams == 0 && s.Factor == 0
}

// pressSetLine changes the line that was chosen, or takes it out.
func pressSetLine(t *talk.Turn, r *planner.Recipe, more []string) {
	key := talk.Arg(more, 0)
	grams, err := strconv.ParseFloat(talk.Arg(more, 1), 64)
	if !talk.Gone(t, err != nil || r.Grams(key) == 0) {
		setLine(t, r, key, -1, nutrition.Grams(grams))
	}
}

// amountSet is what there is of a food once a sentence has changed it, by a tenth where
// that does not say how much (our own choice), to 5 g.
func amountSet(now nutrition.Grams, s read.Sentence) nutrition.Grams {
	if unsaid(s) {
		s.Grams = nutrition.Grams(max(1, math.Round(float64(now)/50)) * 5)
	}
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

// answerFat puts a mince of so much fat in the place of that of a recipe.
func answerFat(t *talk.Turn, s read.Sentence) {
	s.Food = cmp.Or(s.Food, "mince")
	r := MeantWith(t, s)
	if r == nil {
		return
	}
	some := minces(t, r, s.Food)
	if len(some) != 1 {
		talk.OfferAlso(t, t.SayMsg(say.Choose(len(some) == 0, "recipe.no-mince", "recipe.which-line"), "food", say.Short(s.Food), "recipe", r.Name), t.Event.Text, say.Each(some, func(f *nutrition.Food) read.Reading {
			return read.Reading{Intent: string(read.FatOfLine), Slots: map[string]string{"food": f.Name, "amount": percentText(s.Factor)}}
		}))
		return
	}
	t.Mutate("did.recipe-changed", r.Name)
	ShowRecipe(t, r, setFat(t, r.Ingredients, some[0], s.Factor), t.UndoButton())
}

// minces are the ground meats of a recipe that words may mean.
func minces(t *talk.Turn, r *planner.Recipe, words string) (some []*nutrition.Food) {
	words = strings.TrimSpace(read.Without("mince-words", words))
	for _, in := range r.Ingredients {
		f := t.Foods.Food(in.Food)
		if f != nil && strings.Contains(f.Name, "ground") && (words == "" || shareWord(f.Name, words)) && !slices.Contains(some, f) {
			some = append(some, f)
		}
	}
	return some
}

// percentText is how much fat a mince is said to have; one that is said to be 90 % lean
// has a tenth.
func percentText(share float64) string { return say.Trim(min(share, 1-share)*100, 0) + "%" }

// setFat puts the same mince with so much fat, or the nearest to it that the table has, in
// its place, and says which.
func setFat(t *talk.Turn, lines []planner.Ingredient, mince *nutrition.Food, share float64) string {
	was := mince
	kind, _, _ := strings.Cut(mince.Name, ",")
	found := t.Foods.Find(kind + " mince " + percentText(share) + " fat")
	for _, f := range append([]*nutrition.Food{found.Food}, found.Nearest...) {
		if f != nil && strings.HasPrefix(f.Name, kind) {
			mince = f
			break
		}
	}
	for i := range lines {
		if lines[i].Food == was.Key {
			lines[i].Food, lines[i].Typed = mince.Key, ""
		}
	}
	return msg("recipe.fat", "food", mince.Name, "fat", say.Trim(mince.Per100[nutrition.Fat].Mid, 0))
}

// draftEdits are what a sentence may do to a line of a recipe that is being entered.
var draftEdits = []read.Intent{read.SetLine, read.MoreOfLine, read.LessOfLine, read.DropLine, read.FatOfLine, read.Swap, read.SwapSame}

// editDraft does to the lines typed so far, also to those that are open, what a sentence
// asks: "remove the rice", "change the carrots to 150 g", "add 2 eggs", "not salmon, cod".
// It reports whether it was one of these.
func editDraft(t *talk.Turn, d RecipeDraft, s string) bool {
	if read.Says("supposes", s) {
		return false // "what if i leave the carrots out"
	}
	fixed := read.Without("draft-fix", s)
	got, ok := t.Understand(fixed)
	surely := ok && fixed == s
	if r := talk.Likeliest(t, s); !ok && r.Intent == "recipe.set" && !talk.IsLine(t, s) { // "make liver 80"
		got, ok = t.Understand(r.InFull())
	}
	if parts := read.LineParts(withUnits(t, s)); len(parts) > 1 && (!ok || slices.Contains(draftEdits, got.Intent)) && !strings.Contains(s, "\n") && !namesDog(t, s) && changesDraft(t, d, parts) {
		return true
	}
	if own := ownFoodOf(t, got.Own); own != nil && got.Intent == read.RemoveOwn { // of the draft, not of the foods
		got.Intent, got.Food = read.DropLine, own.Name
	}
	if ok && got.Intent == read.AddLines && got.Recipe == "" && !strings.Contains(s, "\n") && !tellsDog(t, got.Words) {
		takePaste(t, d, got.Words)
		return true
	}
	in := ""
	switch {
	case !ok || strings.Contains(s, "\n") || !slices.Contains(draftEdits, got.Intent):
		return false
	case got.Intent == read.FatOfLine:
		got.Food = cmp.Or(got.Food, "mince")
	case got.Intent == read.Swap || got.Intent == read.SwapSame:
		if len(got.FoodList) != 2 || !t.Foods.Find(got.FoodList[1]).Known() {
			return false
		}
		got.Food, in = got.FoodList[0], got.FoodList[1]
	}
	if drops := []read.LinePart{{Kind: read.DropPart, Food: got.Food, Text: s}}; got.Intent == read.DropLine && changesDraft(t, d, drops) {
		return true
	}
	open := slices.IndexFunc(d.Open, func(o string) bool { return names(o, got.Food) })
	lines := &planner.Recipe{Ingredients: slices.Clone(d.Ingredients), Doses: d.Doses}
	f := FindIn(t, lines, got.Food)
	i := slices.IndexFunc(lines.Ingredients, func(in planner.Ingredient) bool { return f != nil && in.Food == f.Key })
	d.Ingredients, d.Open = lines.Ingredients, slices.Clone(d.Open)
	switch {
	case open >= 0 && (f == nil || got.Intent == read.FatOfLine || got.Food == lastLine): // of which that is asked
		line := openChanged(t, d.Open[open], got, in)
		d.Open = slices.Delete(d.Open, open, open+1)
		takePaste(t, d, line)
		return true
	case f == nil && !surely && (!t.Foods.Find(got.Food).Known() || fixed == s):
		return false // "Pip was 19 kg"
	case f == nil && !surely && got.Grams > 0: // "no, only once carrots 100 g", where there are none yet
		takePaste(t, d, say.ExactMass(got.Grams, t.Home.Units)+" "+got.Food)
		return true
	case f == nil: // else it would be taken for one line more
		goOnWithRecipe(t, d, nil, []string{msg("recipe.no-line", "food", say.Short(got.Food))})
		return true
	case in != "":
		line := say.ExactMass(cmp.Or(got.Grams, d.Ingredients[i].Grams), t.Home.Units) + " " + in
		d.Ingredients = slices.Delete(d.Ingredients, i, i+1)
		takePaste(t, d, line)
		return true
	case got.Intent == read.FatOfLine:
		said := msg("recipe.no-mince", "food", f.Name)
		if minced := minces(t, lines, got.Food); len(minced) > 0 {
			said = setFat(t, d.Ingredients, minced[0], got.Factor)
		}
		goOnWithRecipe(t, d, nil, []string{said})
		return true
	default:
		at, now := lineAt(lines, f.Key, s)
		is := amountSet(now, got)
		if is <= 0 {
			return changesDraft(t, d, []read.LinePart{{Kind: read.DropPart, Food: got.Food, Text: s}})
		}
		setGrams(lines, f.Key, at, is)
		d.Ingredients = lines.Ingredients
		goOnWithRecipe(t, d, []string{msg("recipe.line", "amount", say.ExactMass(is, t.Home.Units), "food", f.Name)}, nil)
	}
	return true
}

// changesDraft does what parts of a text do to the lines typed so far, or to those that are
// open: "no pasta or rice", "carrots 100 g and the peas out". It reports whether each was about
// one of them, and one is left out.
func changesDraft(t *talk.Turn, d RecipeDraft, parts []read.LinePart) bool {
	is := planner.Recipe{Ingredients: slices.Clone(d.Ingredients), Doses: slices.Clone(d.Doses)}
	d.Open, d.Out = slices.Clone(d.Open), slices.Clone(d.Out)
	var notes, gone []string
	for _, p := range parts {
		key, n := KeyIn(t, &is, p.Food), len(d.Open)
		at, was := lineAt(&is, key, p.Text)
		if p.Kind == read.DropPart {
			d.Open = slices.DeleteFunc(d.Open, func(o string) bool {
				out := names(o, p.Food) && (p.Food != lastLine || len(gone) == 0)
				if out {
					gone = append(gone, say.Short(o))
				}
				return out
			})
		}
		dose := planner.FirstOf(is.Doses, func(o *planner.Dose) bool { return o.Food == key })
		switch {
		case len(d.Open) < n:
		case p.Kind == read.DropPart && len(FindAllIn(t, &is, p.Food)) > 1: // of two livers
			goOnWithRecipe(t, d, nil, []string{msg("recipe.which-out", "food", say.Short(p.Food))})
			return true
		case key == "", p.Kind != read.DropPart && changeLine(t, &is, p) != "":
			return false
		case p.Kind != read.DropPart:
			notes = append(notes, msg("recipe.line", "amount", say.ExactMass(is.Grams(key), t.Home.Units), "food", t.FoodName(key)))
		case was == 0:
			gone = append(gone, DoseText(t, *dose))
			is.Drop(key)
		default:
			line := is.Ingredients[max(at, slices.IndexFunc(is.Ingredients, func(in planner.Ingredient) bool { return in.Food == key }))]
			line.Grams = was
			d.Out = append(slices.DeleteFunc(d.Out, func(o planner.Ingredient) bool { return o.Food == key }), line)
			gone = append(gone, t.FoodName(key))
			setGrams(&is, key, at, 0)
		}
	}
	if len(gone) == 0 {
		return false
	}
	d.Ingredients, d.Doses = is.Ingredients, is.Doses
	goOnWithRecipe(t, d, notes, []string{msg("recipe.dropped", "line", strings.Join(gone, "; "))})
	return true
}

// lastLine is the food that "make that 400 g" changes, and allLines what "leave out the
// rest" does without.
const lastLine, allLines = "last line", "rest"

// names reports that a line as it was typed names a food in these words.
func names(line, food string) bool {
	if food == lastLine || food == allLines { // the one that is asked about, or all of them
		return true
	}
	line, food = read.Without("mince", line), strings.TrimSuffix(read.Without("mince", strings.ToLower(food)), "s")
	return read.HasName(line, food) || read.HasName(line, food+"s")
}

// openChanged is an open line as a sentence changes it: its amount, its food, or how much
// fat that has.
func openChanged(t *talk.Turn, line string, s read.Sentence, in string) string {
	was, now := foodline.ReadLine(line), nutrition.Grams(0)
	if s.Intent == read.FatOfLine {
		return line + " " + percentText(s.Factor) + " fat"
	}
	amount := was.Amount(true)
	for _, a := range was.Amounts {
		if a.Kind == span.ByMass {
			now = nutrition.Grams(a.N)
		}
	}
	if is := amountSet(now, s); is > 0 {
		amount = say.ExactMass(is, t.Home.Units)
	}
	return amount + " " + cmp.Or(in, was.Food())
}

// answersOpenLine takes "leave it out", and "grams" where it is asked whether
// a bare number is a weight; it reports whether a text was one of these.
func answersOpenLine(t *talk.Turn, d RecipeDraft, p span.Problem, typed string) bool {
	if read.Says("drops-it", typed) {
		pressRecipeLine(t, d, "drop")
		return true
	}
	said := strings.ToLower(strings.Trim(typed, " .!"))
	if p.Part != "" { // "50 g" to "50 g, or 50 pieces?"
		said = strings.TrimSpace(strings.TrimPrefix(said, strings.ToLower(p.Part)))
	}
	way, ok := p.WayOf(typed)
	press := "way:" + way
	if unit := read.SaidKind("number-unit", said); unit != "" {
		press, ok = unit, p.Code == span.BareNumber
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
	if talk.Stale(t, p.Code != span.BareNumber || at < 0) {
		return
	}
	with := say.Choose(pieces, "x "+p.Part, p.Part+" g")
	openAs(t, d, d.Open[0][:at]+with+d.Open[0][at+len(p.Part):])
}

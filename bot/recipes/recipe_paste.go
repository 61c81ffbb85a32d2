package recipes

import (
	"reflect"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// splitRecipes cuts a paste where a line begins another recipe: "recipe Lamb".
func splitRecipes(text string) (all []string) {
	for _, line := range strings.Split(text, "\n") {
		word, rest := talk.CutWord(strings.TrimPrefix(strings.TrimSpace(line), "/"))
		if begins := strings.EqualFold(strings.TrimSuffix(word, ":"), "recipe") && rest != ""; begins || len(all) == 0 {
			if begins {
				line = rest
			}
			all = append(all, line)
			continue
		}
		all[len(all)-1] += "\n" + line
	}
	return all
}

// pastedRecipes takes recipes one after another, until something has to be
// asked about one; it says which are left.
func pastedRecipes(t *talk.Turn, all []string) {
	for i, text := range all {
		var d RecipeDraft
		text, d.Weighed = read.CutWeights(text)
		first, after, _ := strings.Cut(text, "\n")
		if name, line := namedFirst(t, first); name != "" {
			d.Name, text = name, line+"\n"+after
		} else if canName(t, first) {
			d.Name, text = recipeName(first), after
		}
		takePaste(t, d, text)
		if left := all[i+1:]; len(left) > 0 && t.Talk.Kind == "recipe" {
			t.LastReply().Add(msg("recipe.after-this", "names", say.ListOf(left, func(text string) string {
				name, _, _ := strings.Cut(text, "\n")
				return say.Short(name)
			})))
			return
		}
	}
}

// namedFirst parts the name of a recipe from the lines behind it: "Beef v2: 400 g beef heart",
// "Wren stew, 600 g turkey, 2 eggs".
func namedFirst(t *talk.Turn, s string) (name, line string) {
	for _, sign := range []string{":", ",", " - "} {
		before, line, ok := strings.Cut(s, sign)
		line = strings.TrimSpace(line)
		switch said := sign == ":" && (read.Says("edition", before) || strings.ContainsAny(before, "\"”")); {
		case !ok || line == "":
		case read.NamesNothing(before):
			return namedFirst(t, line)
		case said || canName(t, before) && sign == ":" || isTitle(before, t) && namesLine(t, before, line):
			return recipeName(before), line
		}
	}
	return "", ""
}

// namesLine reports that words before a line may be the name of a recipe: they are no food,
// and the line has its own.
func namesLine(t *talk.Turn, before, line string) bool {
	first, _, _ := strings.Cut(line, ",")
	got := t.RecipeText(first)
	own := len(got.Lines) > 0 || len(got.Problems) > 0 && (got.Problems[0].Code == span.AmbiguousFood || got.Problems[0].Code == span.UnknownFood)
	return own && strings.ContainsAny(first, "0123456789½¼¾") && !t.Foods.Find(before).Known()
}

// PastedRecipe takes a text of several recipe lines as a recipe, without a
// command.
func PastedRecipe(t *talk.Turn, s string) bool {
	got := t.RecipeText(s)
	if before, lines, two := strings.Cut(s, ". "); two && strings.HasPrefix(got.Name, before) && talk.Sentence(t, before) {
		if first, rest := talk.CutWord(lines); strings.EqualFold(first, "recipe") {
			lines = rest
		}
		return TakePasted(t, lines) // "fed Wren. recipe lamb pot: 600 g lamb mince, ..."
	}
	if got.Name != "" && !namesDog(t, got.Name) && len(got.Lines)+len(got.Problems) > 1 { // "Fish day: 500 g salmon, 2 eggs"
		return TakePasted(t, s)
	}
	if undosed := func(l foodline.Line) bool { return l.Dose == nil }; got.Name == "" && len(got.Lines) > 1 && !strings.Contains(s, "\n") && !slices.ContainsFunc(got.Lines, undosed) && talk.TheRecipe(t, nil) != nil {
		return LoneLine(t, s) // supplements alone are no recipe where one is spoken of
	}
	if bones := len(got.Problems) > 1 && slices.ContainsFunc(got.Problems, CookedBoneLine); (len(got.Lines) == 0 && !bones || len(got.Lines) < 2 && !strings.Contains(s, "\n")) && (foodsIn(got) < 2 || read.IsQuestion(s)) {
		return false
	}
	return TakePasted(t, s)
}

// PastedAside takes lines of a recipe in the middle of a question about something
// else, which waits; one that begins with its amount is enough where a dog is asked about.
func PastedAside(t *talk.Turn, s string) bool {
	least := say.Choose(t.Talk.Kind == "dog" && read.FromAmount(s) == s, 1, 2)
	return t.Talk.Kind != "recipe" && t.Talk.Kind != "food" && !read.IsQuestion(s) && foodsIn(t.RecipeText(s)) >= least && TakePasted(t, s)
}

// foodsIn is how many amounts of a food there are in a text: of "100 g pasta" it is
// asked which one.
func foodsIn(got foodline.Recipe) (n int) {
	for _, l := range got.Lines {
		if l.Ingredient != nil {
			n++
		}
	}
	for _, p := range got.Problems {
		if p.Code == span.AmbiguousFood {
			n++
		}
	}
	return n
}

// TakePasted begins a recipe with lines.
func TakePasted(t *talk.Turn, s string) bool {
	takePaste(t, RecipeDraft{}, s)
	return true
}

// takePaste reads lines into the draft and goes on with what they lack.
func takePaste(t *talk.Turn, d RecipeDraft, s string) {
	s, cooked := read.CutWeights(s)
	d.Weighed = d.Weighed || cooked
	s, called := read.CutCalled(s)
	if d.Name == "" {
		d.Name = recipeName(called)
	}
	if d.Name == "" {
		if first, after, more := strings.Cut(s, "\n"); more && isTitle(first, t) {
			s = after
			if !read.NamesNothing(first) {
				d.Name = recipeName(first)
			}
		}
	}
	got := t.RecipeText(s)
	if d.Name == "" && got.Name != "" && !read.NamesNothing(got.Name) {
		d.Name = recipeName(got.Name)
	}
	if got.Days > 0 {
		d.Days = got.Days
	} else if got.Remark != "" {
		t.Unused(got.Remark)
	}
	d.Stay = d.ID == "" && d.Name != "" && !strings.Contains(s, "\n")
	var notes []string
	refused := takeMethod(&d, got.Method)
	for _, l := range got.Lines {
		if l.Dose != nil && l.Dose.Absurd() {
			refused = append(refused, msg("recipe.absurd-dose", "line", say.Short(l.Text)))
			continue
		}
		notes = append(notes, takeLine(t, &d, l))
	}
	for _, p := range got.Problems {
		d.Stay = d.Stay || p.Code == span.TooLong // the rest comes in a second message
		if CookedBoneLine(p) {
			d.Cooked = append(d.Cooked, p.Text)
			continue
		}
		if line, ok := foodline.With(p, cookedOf(t, p.Finding.Choices)); ok && d.Weighed {
			notes = append(notes, takeLine(t, &d, line))
			continue
		}
		if p.Code == span.RefusedFood || p.Code == span.TooLong {
			refused = append(refused, say.ProblemText(p))
			continue
		}
		d.Open = append(d.Open, strings.TrimRight(p.Text, " ,;"))
	}
	goOnWithRecipe(t, d, notes, refused)
}

// MostMethod is how many characters a method may have (our own choice).
const MostMethod = 2000

// takeMethod puts how a recipe is made into the draft, and says why where it does
// not.
func takeMethod(d *RecipeDraft, text string) (refused []string) {
	danger, n := PutsInDanger(text), utf8.RuneCountInString(text)
	switch {
	case danger != "":
		return []string{danger}
	case n > MostMethod:
		return []string{msg("recipe.method-long", "n", n, "most", MostMethod)}
	case n > 0:
		d.Method = text
	}
	return nil
}

// PutsInDanger refuses a method or a note that puts in what dogs must not eat; it
// is empty where none does.
func PutsInDanger(text string) string {
	switch no, found := alarm.Unfit(text); {
	case no.Medicine:
		return msg("recipe.puts-in-medicine", "name", no.Typed)
	case found:
		return msg("recipe.puts-in-danger", "why", msg("food.refused", "food", no.Typed, "reason", msg("refuse."+no.Key)))
	}
	return ""
}

// takeLine puts a line into the draft and returns how it was understood. In
// a recipe that is being changed, a food it already has gets the new amount.
func takeLine(t *talk.Turn, d *RecipeDraft, l foodline.Line) string {
	if l.Dose != nil {
		said := DoseText(t, *l.Dose)
		if i := slices.IndexFunc(d.Doses, func(o planner.Dose) bool { return o.Food == l.Dose.Food }); i >= 0 {
			same := d.Doses[i]
			same.Cadence, same.Batch, same.Typed = l.Dose.Cadence, l.Dose.Batch, l.Dose.Typed
			if d.ID != "" && reflect.DeepEqual(same, *l.Dose) { // how often is put right
				d.Doses = slices.Replace(slices.Clone(d.Doses), i, i+1, same)
				return said
			}
			said += msg("recipe.beside", "what", DoseText(t, d.Doses[i]))
		}
		d.Doses = append(slices.Clone(d.Doses), *l.Dose)
		return said
	}
	for i := range d.Ingredients {
		if d.ID != "" && d.Ingredients[i].Food == l.Ingredient.Food {
			old := d.Ingredients[i].Grams
			if d.Adds || slices.Contains(l.Ignored, "more") || slices.Contains(l.Ignored, "extra") { // on top of what there is
				in := *l.Ingredient // what was read stays as it is
				in.Grams, in.Typed = old+in.Grams, ""
				l.Ingredient, l.Measure, l.Ignored = &in, nil, nil
			}
			said := lineText(t, l)
			if is := l.Ingredient.Grams; old != is {
				said += msg(say.Choose(d.Adds, "recipe.added-up", "recipe.in-place"), "grams", say.ExactMass(old, t.Home.Units), "more", say.ExactMass(is-old, t.Home.Units))
			}
			d.Ingredients = slices.Clone(d.Ingredients)
			d.Ingredients[i] = *l.Ingredient
			return said
		}
	}
	d.Ingredients = append(d.Ingredients, *l.Ingredient)
	return lineText(t, l)
}

// lineText says a line as it was understood, with the weight that a
// household measure was taken for and where that is from.
func lineText(t *talk.Turn, l foodline.Line) string {
	s := msg("recipe.line", "amount", say.ExactMass(l.Ingredient.Grams, t.Home.Units), "food", t.FoodName(l.Ingredient.Food))
	if l.Measure != nil {
		s += msg("recipe.measure", "n", say.Trim(l.Count, 2), "unit", unitOf(*l.Measure), "each", say.ExactMass(l.Measure.Grams, t.Home.Units), "source", say.TableName(l.Measure.Source))
	}
	if len(l.Ingredient.Label) > 0 {
		s += msg("recipe.by-label", "says", say.ListOf(l.Ingredient.Label, func(x planner.Fact) string {
			return LimitText(x.PerGram*float64(l.Ingredient.Grams), x.Nutrient.Unit()) + " " + x.Nutrient.Name()
		}))
	}
	words := strings.Join(l.Ignored, " ")
	return s + say.Where(words != "", msg(say.Choose(read.Says("iodised", words), "recipe.iodised", "recipe.ignored"), "words", words))
}

// canName reports that what follows the command on its line is a name: no
// food is in it ("Bowl 1").
func canName(t *talk.Turn, s string) bool {
	got := t.RecipeText(s)
	if len(got.Lines) > 0 || len(got.Problems) != 1 || recipeName(s) == "" {
		return false
	}
	switch got.Problems[0].Code {
	case span.NoAmount, span.NoFood, span.UnknownFood:
		return true
	case span.NoMeasure: // "Stew 2"
		return len(s) > 1 && unicode.IsLetter(rune(s[0])) && unicode.IsDigit(rune(s[len(s)-1]))
	}
	return CookedBoneLine(got.Problems[0]) // "Baked wings"
}

// CookedBoneLine reports that a line names bone that is cooked.
func CookedBoneLine(p span.Problem) bool {
	return p.Code == span.RefusedFood && p.Finding.Refused != nil && p.Finding.Refused.Key == "cooked-bone"
}

// isTitle reports that the first line of a paste names the recipe: it holds
// no amount.
func isTitle(line string, t *talk.Turn) bool {
	got := t.RecipeText(strings.TrimRight(line, ": "))
	if len(got.Lines) > 0 || len(got.Problems) == 0 {
		return got.Name != ""
	}
	switch got.Problems[0].Code {
	case span.NoAmount, span.NoFood, span.UnknownFood, span.AmbiguousFood, span.RefusedFood:
		return (CookedBoneLine(got.Problems[0]) || got.Problems[0].Code != span.RefusedFood) && !strings.ContainsAny(line, "0123456789½¼¾")
	}
	return false
}

// mayBeAnother reports that several lines pasted while a recipe is being entered
// may be another recipe: they have a name of their own, or come while something
// is asked about lines that were pasted together.
func mayBeAnother(t *talk.Turn, d RecipeDraft, s string) bool {
	first, after, more := strings.Cut(s, "\n")
	got := t.RecipeText(s)
	switch {
	case len(d.Ingredients)+len(d.Doses)+len(d.Open) == 0:
		return false
	case !more: // "Fish day: 500 g salmon, 2 eggs"
		return got.Name != "" && len(got.Lines)+len(got.Problems) > 1 && !strings.EqualFold(recipeName(got.Name), d.Name)
	case len(got.Lines) == 0 && !strings.ContainsAny(after, "0123456789½¼¾"):
		return false
	}
	if isTitle(first, t) && !read.NamesNothing(first) {
		return !strings.EqualFold(recipeName(first), d.Name)
	}
	return !d.Stay && d.ID == ""
}

// askMore asks whether what was pasted belongs to the recipe under way.
func askMore(t *talk.Turn, d RecipeDraft) {
	t.Ask("recipe", "more", d)
	first, _, _ := strings.Cut(d.More, "\n")
	label := msg(say.Choose(d.Name == "", "button.more-of-it", "button.more-of"), "recipe", d.Name)
	t.SayMsg(say.Choose(d.Name == "", "ask.recipe-more-of-it", "ask.recipe-more-of"), "line", say.Short(first), "recipe", d.Name).Offer(t.Answer(label, "more", "add"), t.Answer(msg("button.another-recipe"), "more", "new"), t.StopButton())
}

// takeMore takes the answer to it. The recipe under way waits while another is
// entered.
func takeMore(t *talk.Turn, d RecipeDraft, in talk.Answer) {
	less := d
	less.More = ""
	switch {
	case in.Press == "add":
		takePaste(t, less, d.More)
	case in.Press == "new":
		t.Ask("recipe", "lines", less)
		talk.PutAside(t)
		takePaste(t, RecipeDraft{}, d.More)
	default:
		elsewhere(t, in, func() { askMore(t, d) })
	}
}

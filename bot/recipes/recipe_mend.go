package recipes

import (
	"slices"
	"strings"
	"unicode"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// mendOpenLine takes what was typed while a line is open: its amount, the line
// as it should be, the food alone, a question, or one more line. Only a text
// about the same food replaces an open line.
func mendOpenLine(t *talk.Turn, d RecipeDraft, typed string) {
	p := openProblem(t, d)
	if word := read.Find("asks-word", typed); word != "" {
		t.SayMsg(say.Choose(strings.EqualFold(word, "parboiled"), "explain.parboiled", "explain.enriched"))
		t.Again(func() { stillOpen(t, d) })
		return
	}
	if answersOpenLine(t, d, p, typed) {
		return
	}
	if f := singledOut(p, typed); f != nil {
		completeOpenLine(t, d, f.Key)
		return
	}
	got := t.RecipeText(typed)
	switch {
	case eachSaid(t, d, typed), choiceSaid(t, d, typed, false):
		return
	case len(got.Lines) > 0 && len(got.Problems) == 0:
		notes := say.Each(got.Lines, func(l foodline.Line) string { return takeLine(t, &d, l) })
		goOnWithRecipe(t, d, notes, nil)
		return
	case len(got.Lines) > 0 && len(got.Problems) > 0: // several, not all of them clear
		takePaste(t, d, typed)
		return
	case t.Aside(typed):
		return
	case len(got.Problems) > 1 && !noLine(t, typed): // several, none of them clear
		takePaste(t, d, typed)
		return
	}
	noLineOf(t, d, p, typed, got)
}

// eachSaid takes an answer for one of the open lines, or for several of them: "50 g spinach,
// raw, and the sweet potato is baked". It reports whether all of a text was that.
func eachSaid(t *talk.Turn, d RecipeDraft, typed string) bool {
	d.Open, d.Ingredients = slices.Clone(d.Open), slices.Clone(d.Ingredients)
	var notes []string
	for _, part := range read.Pattern("answer-and").Split(typed, -1) {
		var l foodline.Line
		i := slices.IndexFunc(d.Open, func(open string) (is bool) {
			l, is = lineSaid(t, open, part)
			return is
		})
		if i < 0 {
			return false
		}
		d.Open = slices.Delete(d.Open, i, i+1)
		notes = append(notes, takeLine(t, &d, l))
	}
	goOnWithRecipe(t, d, notes, nil)
	return true
}

// noLineOf takes what was typed while a line is open and is no line: a food that
// may be meant, courtesy, a question, or something like neither.
func noLineOf(t *talk.Turn, d RecipeDraft, p span.Problem, typed string, got foodline.Recipe) {
	free := p.Code == span.UnknownFood || p.Code == span.NoFood
	near := t.Foods.Find(typed)
	if !read.IsQuestion(typed) && !read.Says("denies-choice", typed) && !namesDog(t, typed) && !talk.SaysElse(t, typed, "answer", "recipe.", "food.") && choiceSaid(t, d, typed, true) {
		return
	}
	few := len(strings.Fields(typed)) <= mostFoodWords // a sentence comes near some food too
	like := shareWord(p.Text, typed) || near.Food != nil || few && (len(near.Choices) > 0 || free && len(near.Nearest) > 0) || len(foodline.ReadLine(typed).Amounts) > 0
	switch {
	case read.CourtesyOf(typed) != read.NoCourtesy || read.Says("bare-number", typed):
		goOnWithRecipe(t, d, nil, nil)
	case !like || noLine(t, typed) || read.Says("denies-choice", typed):
		t.Beside(typed, func() { stillOpen(t, d) })
	default:
		takeOpenProblem(t, d, p, typed, got.Problems)
	}
}

// namesDog reports that a text is about one of the household's dogs, and so no line.
func namesDog(t *talk.Turn, s string) bool {
	_, _, dogs := read.DogsNamed(s, t.Names())
	return len(dogs) > 0
}

// noLine reports that a text asks or wants something, or tells of a dog or the kitchen, and
// is no line of a recipe, nor its name.
func noLine(t *talk.Turn, s string) bool {
	named := t.Talk.Step == "name"
	switch {
	case strings.Contains(s, "\n"):
		return false
	case read.IsQuestion(s) || !named && read.Orders(s):
		return true
	case len(t.RecipeText(s).Lines) > 0:
		return false
	}
	ofDog := (!named || read.Says("for-whom", s)) && namesDog(t, s) // "Pip's pot" is a name
	return ofDog || read.Says("tells-kitchen", s) || read.CourtesyOf(s) != read.NoCourtesy || talk.Likeliest(t, s).Intent == "stop" || talk.SaysElse(t, s, "answer", "recipe.set", "recipe.add", "supp.", "food.ask", "shop.")
}

// mostFoodWords is how many words the name of a food has at most that is typed
// without an amount (our own choice).
const mostFoodWords = 4

// takeOpenProblem takes a typed line that is not understood either: in place
// of the open one where it is about the same, else as one line more.
func takeOpenProblem(t *talk.Turn, d RecipeDraft, p span.Problem, typed string, problems []span.Problem) {
	if len(problems) == 1 && problems[0].Code == span.RefusedFood {
		if shareWord(p.Text, typed) && !otherAmount(p, typed) {
			d.Open = d.Open[1:]
		}
		goOnWithRecipe(t, d, nil, []string{say.ProblemText(problems[0])})
		return
	}
	text := typed
	if len(problems) > 0 {
		text = problems[0].Text
	}
	if bare := len(foodline.ReadLine(text).Amounts) == 0; shareWord(p.Text, text) && !otherAmount(p, text) || p.Code == span.NoFood || p.Code == span.UnknownFood && bare {
		if bare {
			text = strings.TrimSpace(foodline.ReadLine(p.Text).Amount(true) + " " + text) // "tripe 1 kg", and then "green tripe"
		}
		openAs(t, d, text)
		return
	}
	d.Open = append(d.Open, text)
	goOnWithRecipe(t, d, nil, nil)
}

func replaceOpen(t *talk.Turn, d RecipeDraft, line foodline.Line) {
	d.Open = d.Open[1:]
	note := takeLine(t, &d, line)
	goOnWithRecipe(t, d, []string{note}, nil)
}

// putsRight reports that a line is an open one corrected: it is about one of the
// foods that that could be, or it shares a word with it and has no other amount.
// "150 g beef heart" is a line beside "1 kg minced beef".
func putsRight(t *talk.Turn, open string, l foodline.Line, typed string) bool {
	key := ""
	if l.Ingredient != nil {
		key = l.Ingredient.Food
	} else if l.Dose != nil {
		key = l.Dose.Food
	}
	for _, p := range t.RecipeText(open).Problems {
		return isOffered(p, key) || shareWord(open, typed) && !otherAmount(p, typed)
	}
	return shareWord(open, typed)
}

// otherAmount reports that a line of which only the food is unclear has another
// amount than what was typed.
func otherAmount(p span.Problem, typed string) bool {
	if p.Code != span.UnknownFood && p.Code != span.AmbiguousFood {
		return false
	}
	x, y := foodline.ReadLine(p.Text).Amounts, foodline.ReadLine(typed).Amounts
	return len(x) > 0 && len(y) > 0 && (x[0].Kind != y[0].Kind || x[0].N != y[0].N)
}

// isOffered reports that a food is one of those that a line could mean.
func isOffered(p span.Problem, key string) bool {
	may := slices.Concat([]*nutrition.Food{p.Finding.Food}, p.Finding.Choices, p.Finding.Nearest)
	return slices.ContainsFunc(may, func(f *nutrition.Food) bool { return f != nil && f.Key == key })
}

// shareWord reports that two texts have a word in common that can be a
// food's: of four letters or more, by its beginning.
func shareWord(a, b string) bool {
	words := func(s string) []string {
		return strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !unicode.IsLetter(r) })
	}
	for _, x := range words(a) {
		for _, y := range words(b) {
			if len(x) >= 4 && len(y) >= 4 && x[:4] == y[:4] {
				return true
			}
		}
	}
	return false
}

// LoneLine takes one recipe line typed outside of a dialogue. It asks which
// recipe it belongs to or, for a supplement that is given every so often,
// whether somebody wants a reminder of it.
func LoneLine(t *talk.Turn, s string) bool {
	if words := strings.Fields(strings.ToLower(s)); len(words) == 2 && read.In("counted-times", words[1]) {
		return false // "2 years" is no pear
	}
	s = read.Without("reminder-closes", s) // "told to give it with the oil"
	got := t.RecipeText(s)
	if len(got.Lines) == 0 || len(got.Problems) > 0 {
		return false
	}
	r, l := talk.TheRecipe(t, nil), got.Lines[0]
	given := l.Dose != nil || l.Ingredient != nil && say.Dosed(t.Foods.Food(l.Ingredient.Food))
	dose := len(got.Lines) == 1 && given && len(t.Home.Dogs) > 0 && saysHowOften(t, s)
	if r == nil && !dose {
		return TakePasted(t, s)
	}
	d := RecipeDraft{Open: []string{s}}
	var to []say.Button
	if r != nil {
		d.ID = r.ID
		to = append(to, t.Answer(msg("button.add-to", "recipe", r.Name), "where", "add"))
	}
	to = append(to, t.Answer(msg("button.new-recipe"), "where", "new"))
	t.Ask("recipe", "where", d)
	if dose {
		t.SayMsg("ask.where-dose", "line", say.Short(s)).Offer(t.Answer(msg("button.remind-me"), "where", "remind")).Offer(to...).Offer(t.StopButton())
		return true
	}
	t.SayMsg("ask.where", "line", say.Short(s), "recipe", r.Name).Offer(to...).Offer(t.StopButton())
	return true
}

// saysHowOften reports that a text says how often something comes round.
func saysHowOften(t *talk.Turn, s string) bool {
	w, err := span.WhenText(s, t.Event.At)
	return err == nil && (w.Repeats || w.Monthly)
}

// takeWhere takes the answer to where a lone line belongs. With "remind me" may come when it
// is given: "remind me, next one wednesday".
func takeWhere(t *talk.Turn, d RecipeDraft, in talk.Answer) {
	lines := strings.Join(d.Open, "\n")
	r, both := t.Recipe(d.ID), read.Says("where-both", in.Text)
	switch {
	case (both || in.Press == "remind" || read.Says("where-remind", in.Text)) && saysHowOften(t, lines):
		if both && r != nil {
			addLines(t, r, lines)
		}
		t.EndDialogue()
		t.GoTo(read.Sentence{Intent: read.Remind, Words: strings.TrimSpace("give " + lines + " " + read.Find("where-when", in.Text))})
	case (in.Press == "add" || read.Says("where-add", in.Text)) && r != nil:
		addLines(t, r, lines)
	case in.Press == "new" || read.Says("where-new", in.Text):
		takePaste(t, RecipeDraft{}, lines)
	case talk.IsYes(in.Text):
		LoneLine(t, lines)
	default:
		t.EndDialogue()
		t.RouteWords(in.Text)
	}
}

// addSaid puts into a recipe what a sentence adds, or begins the profile of the dog that it
// adds: "add Rex, 24 kg, male, 3 years".
func addSaid(t *talk.Turn, s read.Sentence) {
	if tellsDog(t, s.Words) && dogs.Introduced(t, s.Words) {
		return
	}
	if r := talk.RecipeMeant(t, s); r != nil {
		addLines(t, r, s.Words)
	}
}

// tellsDog reports that a line tells of a dog, what it weighs and more, and of no food.
func tellsDog(t *talk.Turn, line string) bool {
	d, wrong := read.DogLine(line, t.Home.Units, t.Event.At)
	return d.Weight > 0 && len(wrong) == 0 && (d.Sex != "" || !d.Born.IsZero()) && !t.Foods.Find(d.Name).Known()
}

// addLines puts lines into a recipe of the household.
func addLines(t *talk.Turn, r *planner.Recipe, lines string) {
	takePaste(t, RecipeDraft{ID: r.ID, Adds: true, Name: r.Name, Ingredients: r.Ingredients, Doses: r.Doses, Days: r.Days}, lines)
}

package foodline

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// parseLine reads one line; forced is the food it is about where that has
// been chosen.
func parseLine(text string, t *nutrition.Table, forced *nutrition.Food) (Line, *span.Problem) {
	l := ReadLine(text)
	words := l.Food()
	found := nutrition.Finding{Food: forced}
	if forced == nil && l.salt != nil {
		found.Food = t.Food(l.salt.food)
	}
	if found.Food == nil && span.HasLetter(words) {
		found = l.find(words, t)
	}
	if found.Refused != nil && len(l.Amounts) == 0 && len(l.facts) == 0 && l.nameLikeRefusal(words) {
		found = nutrition.Finding{}
	}
	switch {
	case found.Refused != nil: // whatever else is wrong
		return Line{}, l.foodProblem(span.RefusedFood, words, found)
	case l.Code != "":
		return Line{}, l.trouble(l.Code, l.Part)
	case found.Food != nil:
		return l.line(found)
	case !span.HasLetter(words):
		return Line{}, l.foodProblem(span.NoFood, text, found)
	case len(l.Amounts) == 0 && len(l.facts) == 0:
		return Line{}, l.foodProblem(span.NoAmount, words, found)
	case len(l.of(span.ByMass)) > 1 && len(found.Choices) == 0: // two foods, perhaps
		masses := l.of(span.ByMass)
		return Line{}, l.trouble(span.TwoAmounts, l.Span(masses[1].From, masses[1].To))
	case len(found.Choices) > 0:
		return Line{}, l.foodProblem(span.AmbiguousFood, words, found)
	}
	if l.labelled() {
		found.Nearest = nil // a product, and none of the foods that are called alike
	}
	return Line{}, l.foodProblem(span.UnknownFood, words, found)
}

// nameLikeRefusal reports that a text without an amount comes near a refused
// food only by a word with a capital within it, and with a typing error: a
// name ("is it right for Molly") rather than something mouldy.
func (l *lexed) nameLikeRefusal(words string) bool {
	if nutrition.FindRefusalAsTyped(words) != nil {
		return false
	}
	var kept []string
	for i, w := range strings.Fields(words) {
		if r, _ := utf8.DecodeRuneInString(w); i == 0 || !unicode.IsUpper(r) {
			kept = append(kept, w)
		}
	}
	return nutrition.FindRefusal(strings.Join(kept, " ")) == nil
}

func (l *lexed) foodProblem(code span.Code, part string, found nutrition.Finding) *span.Problem {
	p := span.NewProblem(code, l.Text)
	p.Part, p.Finding = part, found
	return &p
}

// find finds the food of a line. Words of forms, containers and cuts that are
// in the way are left out, and of several foods that it could be a form means the one
// supplement.
func (l *lexed) find(words string, t *nutrition.Table) nutrition.Finding {
	if name, isKey := l.name(); isKey {
		return nutrition.Finding{Food: t.Food(name)}
	} else if name != "" {
		return t.Find(name)
	}
	found := t.Find(words)
	if !found.Known() {
		if without := l.withoutForm(words); without != words && span.HasLetter(without) {
			found = t.Find(without)
		}
	}
	if found.Food == nil && l.form != "" {
		supplements := slices.DeleteFunc(slices.Clone(found.Choices), func(f *nutrition.Food) bool { return !f.Has(nutrition.Supplement) })
		if len(supplements) == 1 && l.form != "capsule" {
			return nutrition.Finding{Food: supplements[0], Ignored: found.Ignored}
		}
	}
	return found
}

// withoutForm leaves the words of forms, containers and cuts out of a food's
// name.
func (l *lexed) withoutForm(words string) string {
	var kept []string
	said := false
	for _, w := range strings.Fields(words) {
		plain := strings.ToLower(strings.Trim(w, ",;.-"))
		if u := span.UnitWords[plain]; u.Kind == span.ByForm || span.Holders[u.Name] || span.CutWords[plain] != "" && plain != "ground" && plain != "minced" {
			continue
		}
		kept = append(kept, w)
		said = said || !language.In("line-fillers", plain)
	}
	if !said {
		return ""
	}
	return strings.Join(kept, " ")
}

// line makes a line of a food that was found.
func (l *lexed) line(found nutrition.Finding) (Line, *span.Problem) {
	f := found.Food
	line := Line{Text: l.Text, Ignored: append(l.ignored, found.Ignored...)}
	if i := l.strayNumber(found.Ignored); i >= 0 {
		return Line{}, l.trouble(span.TwoAmounts, l.Tokens[i].Text)
	}
	if piece := l.Often.Named && wholePiece(l.form) && l.form != ""; len(l.Amounts) == 0 && len(l.facts) == 0 && !piece { // "fish oil capsule every day"
		return Line{}, l.foodProblem(span.NoAmount, l.Food(), nutrition.Finding{})
	}
	if l.isDose(f) {
		return l.dose(f, line)
	}
	return l.ingredient(f, line)
}

// labelled reports that a line says what is in its food, as a label does.
func (l *lexed) labelled() bool {
	if len(l.facts) > 0 {
		return true
	}
	for i := range l.Tokens {
		_, end := nutrientAt(l.Lexed, i)
		if end > 0 && (l.Any(end+1, "%") || l.IsNumber(end) && l.Any(end+2, "%")) {
			return true
		}
	}
	return false
}

// strayNumber returns the token of a number that is left in the food's name
// and made no difference to it, or -1.
func (l *lexed) strayNumber(ignored []string) int {
	for i, t := range l.Tokens {
		if t.Kind == span.NumberToken && !t.Used && !t.Num.Bad && len(l.Amounts) > 0 && slices.Contains(ignored, t.Text) && !l.inName(i, i+1, t.Num) {
			return i
		}
	}
	return -1
}

func (l *lexed) trouble(code span.Code, part string) *span.Problem {
	p := span.NewProblem(code, l.Text)
	if part != "" {
		p.Part = part
	}
	return &p
}

func (l *lexed) ingredient(f *nutrition.Food, line Line) (Line, *span.Problem) {
	g, p := l.weigh(f, &line)
	if p != nil {
		return Line{}, p
	}
	if l.Often.Times > 1 {
		g *= nutrition.Grams(l.Often.Times)
	}
	if g > span.MostOfAFood {
		return Line{}, l.trouble(span.TooMuch, "")
	}
	line.Ingredient = &planner.Ingredient{Food: f.Key, Grams: g, Typed: l.Text}
	for _, x := range l.facts {
		fact, p := l.perGram(f, x, g, line.Count)
		if p != nil {
			return Line{}, p
		}
		if slices.ContainsFunc(line.Ingredient.Label, func(other planner.Fact) bool { return other.Nutrient == fact.Nutrient }) {
			return Line{}, l.trouble(span.TwoAmounts, "")
		}
		line.Ingredient.Label = append(line.Ingredient.Label, fact)
	}
	return line, nil
}

// perGram returns a label's fact per gram of an ingredient.
func (l *lexed) perGram(f *nutrition.Food, x fact, grams nutrition.Grams, count float64) (planner.Fact, *span.Problem) {
	n, amount, p := l.inNutrient(f, x)
	if p != nil {
		return planner.Fact{}, p
	}
	switch x.basis {
	case perMass:
		if x.per != 1 {
			amount /= x.per
		}
	case perLine:
		if l.each && count > 0 {
			amount *= count
		}
		amount /= float64(grams)
	case perForm:
		m, ok := measureOf(f, x.form, "")
		if !ok {
			return planner.Fact{}, l.trouble(span.NoMeasure, "")
		}
		amount /= x.per * float64(m.Grams)
	}
	return planner.Fact{Nutrient: n, PerGram: amount}, nil
}

// inNutrient returns the nutrient and the amount that a fact is about.
func (l *lexed) inNutrient(f *nutrition.Food, x fact) (nutrition.Nutrient, float64, *span.Problem) {
	n := x.nutrient
	if n == nutrition.NutrientCount {
		active, ok := activeOf(f)
		if !ok {
			return 0, 0, l.trouble(span.NoMeasure, "")
		}
		n = active
	}
	amount, ok := toUnit(n, x.n, x.unit, l.synthetic)
	if !ok {
		return 0, 0, l.trouble(span.MixedUnits, "")
	}
	return n, amount, nil
}

// bothWays is how far apart a metric and an imperial weight of the same may
// be: labels round.
const bothWays = 0.06

// asTyped is how far the weight in brackets may be from the measure's own.
const asTyped = 0.15

// weigh returns what the line's food weighs, and notes in the line the
// household measure whose weight was taken.
func (l *lexed) weigh(f *nutrition.Food, line *Line) (nutrition.Grams, *span.Problem) {
	masses, counts := l.of(span.ByMass), l.of(span.ByMeasure, span.ByVolume, span.ByForm, span.ByCount)
	if len(masses) == 2 && masses[0].Metric != masses[1].Metric && within(masses[0].N, masses[1].N, bothWays) {
		masses = masses[:1] // "250 g (9 oz)"
	}
	if len(masses) > 1 || len(counts) > 1 {
		all := append(masses, counts...)
		return 0, l.trouble(span.TwoAmounts, l.Span(all[1].From, all[1].To))
	}
	if len(masses) == 0 && len(counts) == 0 {
		return 0, l.foodProblem(span.NoAmount, l.Food(), nutrition.Finding{})
	}
	if len(counts) == 0 {
		return nutrition.Grams(masses[0].N), nil
	}
	c := counts[0]
	m, ok := measureOf(f, c.Unit, l.noteOf())
	if len(masses) == 0 {
		if !ok {
			return 0, l.trouble(span.NoMeasure, l.Span(c.From, l.shownEnd(c)))
		}
		line.Measure, line.Count = &m, c.N
		return m.Grams * nutrition.Grams(c.N), nil
	}
	w := masses[0]
	if m, ok := f.MeasureOf(c.Unit, l.Span(w.From, w.To)); ok && w.Inside && m.Note == l.Span(w.From, w.To) {
		line.Measure, line.Count = &m, c.N // a can of a size that the source weighed, drained
		return m.Grams * nutrition.Grams(c.N), nil
	}
	switch {
	case w.Each || l.each:
		line.Count = c.N
		return nutrition.Grams(w.N * c.N), nil
	case l.all || c.N == 1:
		return nutrition.Grams(w.N), nil
	case w.Inside && span.Holders[c.Unit]:
		line.Count = c.N
		return nutrition.Grams(w.N * c.N), nil
	case w.Inside && ok && within(w.N, float64(m.Grams)*c.N, asTyped):
		return nutrition.Grams(w.N), nil
	}
	return 0, l.trouble(span.TwoAmounts, l.Span(w.From, w.To))
}

// shownEnd is the end of an amount with the word of its form, which is not a
// part of it.
func (l *lexed) shownEnd(a span.Amount) int {
	return span.Choose(a.Kind == span.ByForm && a.To < len(l.Tokens), a.To+1, a.To)
}

// within reports that two amounts are the same but for a part of them.
func within(a, b, part float64) bool { return a <= b*(1+part) && b <= a*(1+part) }

// measureOf is the weight of one of a measure of a food; of a volume by its cup.
func measureOf(f *nutrition.Food, unit, note string) (nutrition.Measure, bool) {
	if span.UnitWords[unit].Kind == span.ByVolume {
		m, ok := f.MeasureOf("cup", "")
		m.Grams /= nutrition.MillilitresPerCup
		m.Unit, m.Note = "ml", ""
		m.Source += ", from the cup by volume"
		return m, ok
	}
	return f.MeasureOf(unit, note)
}

// noteOf is the size or the cut that a measure is named with.
func (l *lexed) noteOf() string {
	if l.note != "" {
		return l.note
	}
	for i := range l.Tokens {
		if c := span.CutWords[l.Word(i)]; c != "" {
			return c
		}
		if s, end := l.sizeAt(i); end > i && s != "" {
			return s
		}
	}
	return ""
}

// Labelled reports that the line of an UnknownFood is about a product with its
// label.
func Labelled(p span.Problem) bool { return p.Code == span.UnknownFood && ReadLine(p.Text).labelled() }

package read

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// parseLine reads one line; forced is the food it is about where that has
// been chosen.
func parseLine(text string, t *nutrition.Table, forced *nutrition.Food) (Line, *Problem) {
	l := lexLine(text)
	words := l.food()
	found := nutrition.Finding{Food: forced}
	if salt := l.saltFood(t); salt != nil && forced == nil {
		found = nutrition.Finding{Food: salt}
	} else if forced == nil && hasLetter(words) {
		found = l.find(words, t)
	}
	if found.Refused != nil && len(l.amounts) == 0 && len(l.facts) == 0 && l.nameLikeRefusal(words) {
		found = nutrition.Finding{}
	}
	switch {
	case found.Refused != nil: // whatever else is wrong
		return Line{}, l.foodProblem(RefusedFood, words, found)
	case l.code != "":
		p := problem(l.code, text)
		p.Part = l.part
		return Line{}, &p
	case found.Food != nil:
		return l.line(found)
	case !hasLetter(words):
		return Line{}, l.foodProblem(NoFood, text, found)
	case len(l.amounts) == 0 && len(l.facts) == 0:
		return Line{}, l.foodProblem(NoAmount, words, found)
	case len(l.of(byMass)) > 1 && len(found.Choices) == 0: // two foods, perhaps
		masses := l.of(byMass)
		return Line{}, l.trouble(TwoAmounts, l.span(masses[1].from, masses[1].to))
	case len(found.Choices) > 0:
		return Line{}, l.foodProblem(AmbiguousFood, words, found)
	}
	if l.labelled() {
		found.Nearest = nil // a product, and none of the foods that are called alike
	}
	return Line{}, l.foodProblem(UnknownFood, words, found)
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

func hasLetter(s string) bool { return strings.ContainsFunc(s, unicode.IsLetter) }

func (l *lexed) foodProblem(code Code, part string, found nutrition.Finding) *Problem {
	p := problem(code, l.text)
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
	if found.Food == nil && found.Refused == nil && len(found.Choices) == 0 {
		if without := l.withoutForm(words); without != words && hasLetter(without) {
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
		if u := unitWords[plain]; u.kind == byForm || holders[u.name] || cutWords[plain] != "" && plain != "ground" && plain != "minced" {
			continue
		}
		kept = append(kept, w)
		said = said || !lineFillers[plain]
	}
	if !said {
		return ""
	}
	return strings.Join(kept, " ")
}

// line makes a line of a food that was found.
func (l *lexed) line(found nutrition.Finding) (Line, *Problem) {
	f := found.Food
	line := Line{Text: l.text, Ignored: append(l.ignored, found.Ignored...)}
	if i := l.strayNumber(found.Ignored); i >= 0 {
		return Line{}, l.trouble(TwoAmounts, l.tokens[i].text)
	}
	if len(l.amounts) == 0 && len(l.facts) == 0 {
		return Line{}, l.foodProblem(NoAmount, l.food(), nutrition.Finding{})
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
	for i := range l.tokens {
		_, end := l.nutrientAt(i)
		if end > 0 && (l.any(end+1, "%") || l.isNumber(end) && l.any(end+2, "%")) {
			return true
		}
	}
	return false
}

// Labelled reports that the line of an UnknownFood is about a product with its
// label.
func (p Problem) Labelled() bool { return p.Code == UnknownFood && lexLine(p.Text).labelled() }

// strayNumber returns the token of a number that is left in the food's name
// and made no difference to it, or -1.
func (l *lexed) strayNumber(ignored []string) int {
	for i, t := range l.tokens {
		if t.kind == numberToken && !t.used && !t.num.bad && len(l.amounts) > 0 && slices.Contains(ignored, t.text) && !l.inName(i, i+1, t.num) {
			return i
		}
	}
	return -1
}

func (l *lexed) trouble(code Code, part string) *Problem {
	p := problem(code, l.text)
	if part != "" {
		p.Part = part
	}
	return &p
}

// ingredient makes an ingredient of a line.
func (l *lexed) ingredient(f *nutrition.Food, line Line) (Line, *Problem) {
	g, p := l.weigh(f, &line)
	if p != nil {
		return Line{}, p
	}
	if l.cadence.times > 1 {
		g *= nutrition.Grams(l.cadence.times)
	}
	if g > mostOfAFood {
		return Line{}, l.trouble(TooMuch, "")
	}
	line.Ingredient = &planner.Ingredient{Food: f.Key, Grams: g, Typed: l.text}
	for _, x := range l.facts {
		fact, p := l.perGram(f, x, g, line.Count)
		if p != nil {
			return Line{}, p
		}
		for _, other := range line.Ingredient.Label {
			if other.Nutrient == fact.Nutrient {
				return Line{}, l.trouble(TwoAmounts, "")
			}
		}
		line.Ingredient.Label = append(line.Ingredient.Label, fact)
	}
	return line, nil
}

// perGram returns a label's fact per gram of an ingredient.
func (l *lexed) perGram(f *nutrition.Food, x fact, grams nutrition.Grams, count float64) (planner.Fact, *Problem) {
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
		weight, ok := formWeight(f, x.form)
		if !ok {
			return planner.Fact{}, l.trouble(NoMeasure, "")
		}
		amount /= x.per * float64(weight)
	}
	return planner.Fact{Nutrient: n, PerGram: amount}, nil
}

// formWeight is what one capsule, spoon or millilitre of a food weighs.
func formWeight(f *nutrition.Food, form string) (nutrition.Grams, bool) {
	if form == "ml" || form == "l" {
		m, ok := f.MeasureOf("cup", "")
		return m.Grams / nutrition.MillilitresPerCup, ok
	}
	m, ok := f.MeasureOf(form, "")
	return m.Grams, ok
}

// inNutrient returns the nutrient and the amount that a fact is about.
func (l *lexed) inNutrient(f *nutrition.Food, x fact) (nutrition.Nutrient, float64, *Problem) {
	n := x.nutrient
	if n == nutrition.NutrientCount {
		active, ok := activeOf(f)
		if !ok {
			return 0, 0, l.trouble(NoMeasure, "")
		}
		n = active
	}
	amount, ok := toUnit(n, x.n, x.unit, l.synthetic)
	if !ok {
		return 0, 0, l.trouble(MixedUnits, "")
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
func (l *lexed) weigh(f *nutrition.Food, line *Line) (nutrition.Grams, *Problem) {
	masses, counts := l.of(byMass), l.of(byMeasure, byVolume, byForm, byCount)
	if len(masses) == 2 && masses[0].metric != masses[1].metric && within(masses[0].n, masses[1].n, bothWays) {
		masses = masses[:1] // "250 g (9 oz)"
	}
	if len(masses) > 1 || len(counts) > 1 {
		all := append(masses, counts...)
		return 0, l.trouble(TwoAmounts, l.span(all[1].from, all[1].to))
	}
	if len(masses) == 0 && len(counts) == 0 {
		return 0, l.foodProblem(NoAmount, l.food(), nutrition.Finding{})
	}
	if len(counts) == 0 {
		return nutrition.Grams(masses[0].n), nil
	}
	c := counts[0]
	m, ok := l.measure(f, c)
	if len(masses) == 0 {
		if !ok {
			return 0, l.trouble(NoMeasure, l.span(c.from, l.shownEnd(c)))
		}
		line.Measure, line.Count = &m, c.n
		return m.Grams * nutrition.Grams(c.n), nil
	}
	w := masses[0]
	if m, ok := f.MeasureOf(c.unit, l.span(w.from, w.to)); ok && w.inside && m.Note == l.span(w.from, w.to) {
		line.Measure, line.Count = &m, c.n // a can of a size that the source weighed, drained
		return m.Grams * nutrition.Grams(c.n), nil
	}
	switch {
	case w.each || l.each:
		line.Count = c.n
		return nutrition.Grams(w.n * c.n), nil
	case l.all || c.n == 1:
		return nutrition.Grams(w.n), nil
	case w.inside && holders[c.unit]:
		line.Count = c.n
		return nutrition.Grams(w.n * c.n), nil
	case w.inside && ok && within(w.n, float64(m.Grams)*c.n, asTyped):
		return nutrition.Grams(w.n), nil
	}
	return 0, l.trouble(TwoAmounts, l.span(w.from, w.to))
}

// shownEnd is the end of an amount with the word of its form, which is not a
// part of it.
func (l *lexed) shownEnd(a amount) int {
	if a.kind == byForm && a.to < len(l.tokens) {
		return a.to + 1
	}
	return a.to
}

// within reports that two amounts are the same but for a part of them.
func within(a, b, part float64) bool { return a <= b*(1+part) && b <= a*(1+part) }

// measure returns the weight of one of what a line counts.
func (l *lexed) measure(f *nutrition.Food, a amount) (nutrition.Measure, bool) {
	if a.kind == byVolume {
		m, ok := f.MeasureOf("cup", "")
		m.Grams /= nutrition.MillilitresPerCup
		m.Unit, m.Note = "ml", ""
		m.Source += ", from the cup by volume"
		return m, ok
	}
	return f.MeasureOf(a.unit, l.noteOf())
}

// noteOf is the size or the cut that a measure is named with.
func (l *lexed) noteOf() string {
	if l.note != "" {
		return l.note
	}
	for i := range l.tokens {
		if c := cutWords[l.word(i)]; c != "" {
			return c
		}
		if s, end := l.sizeAt(i); end > i && s != "" {
			return s
		}
	}
	return ""
}

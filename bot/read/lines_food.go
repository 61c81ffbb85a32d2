package read

import (
	"strings"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// parseLine reads one line, finding its food by find.
func parseLine(text string, find func(string) nutrition.Finding) (Line, *Problem) {
	l := lex(text)
	l.takeFacts()
	l.takeCadence()
	l.takeAmounts()
	if l.code != "" {
		p := problem(l.code, text)
		p.Part = l.part
		return Line{}, &p
	}
	words := l.rest()
	if words == "" || !hasLetter(words) {
		p := problem(NoFood, text)
		return Line{}, &p
	}
	found := l.find(words, find)
	if found.Food == nil {
		return Line{}, l.noFood(text, words, found)
	}
	return l.line(text, found)
}

// find finds the food; where the word of a form ("capsule", "acetate") is in
// the way it is left out.
func (l *lexed) find(words string, find func(string) nutrition.Finding) nutrition.Finding {
	found := find(words)
	if found.Food != nil || found.Refused != nil || l.form == "" && !isSynthetic(l.text) {
		return found
	}
	var kept []string
	for _, w := range strings.Fields(words) {
		if plain := strings.ToLower(strings.Trim(w, ",;")); formWords[plain] == "" && !isSynthetic(plain) {
			kept = append(kept, w)
		}
	}
	if without := find(strings.Join(kept, " ")); len(kept) > 0 && (without.Food != nil || len(found.Choices) == 0) {
		return without
	}
	return found
}

// noFood is the problem of a line whose food is not clear. What dogs must not
// eat comes first, then a missing amount: choosing a food cannot mend that.
func (l *lexed) noFood(text, words string, found nutrition.Finding) *Problem {
	p := problem(UnknownFood, text)
	p.Part, p.Finding = words, found
	switch {
	case found.Refused != nil:
		p.Code = RefusedFood
	case len(l.amounts) == 0:
		p.Code = NoAmount
	case len(found.Choices) > 0:
		p.Code = AmbiguousFood
	}
	return &p
}

// line makes a line of a food that was found.
func (l *lexed) line(text string, found nutrition.Finding) (Line, *Problem) {
	f := found.Food
	line := Line{Text: text, Ignored: found.Ignored}
	if f.Has(nutrition.Supplement) || l.cadence.named || l.form != "" && l.one(byMass, byMeasure, byVolume) == nil {
		d, p := l.dose(f)
		if p != nil {
			return Line{}, p
		}
		if d != nil {
			d.Typed = text
			line.Dose = d
			return line, nil
		}
	}
	a := l.one(byMass, byMeasure, byVolume, byCount, byActive)
	if a == nil {
		p := problem(NoAmount, text)
		return Line{}, &p
	}
	g, m, ok := l.weigh(f, a)
	if !ok {
		p := problem(NoMeasure, text)
		p.Part = l.text[l.tokens[a.from].start:l.tokens[a.to-1].end]
		return Line{}, &p
	}
	if err := checkAmount(float64(g), mostOfAFood, text); err != nil {
		p := err.(Problem)
		return Line{}, &p
	}
	line.Ingredient = &planner.Ingredient{Food: f.Key, Grams: g, Typed: text, Label: l.label()}
	if m != nil {
		line.Measure, line.Count = m, a.n
	}
	return line, nil
}

// label are the facts per gram.
func (l *lexed) label() []planner.Fact {
	var out []planner.Fact
	for _, x := range l.facts {
		if x.per == "g" {
			out = append(out, planner.Fact{Nutrient: x.nutrient, PerGram: x.amount})
		}
	}
	return out
}

// weigh returns what an amount of a food weighs, and the household measure
// that it was taken by; false where no source gives its weight.
func (l *lexed) weigh(f *nutrition.Food, a *amount) (nutrition.Grams, *nutrition.Measure, bool) {
	switch a.kind {
	case byMass:
		return a.grams, nil, true
	case byActive:
		unit, ok := map[string]nutrition.Grams{"mg": 1e-3, "ug": 1e-6}[a.unit]
		return nutrition.Grams(a.n) * unit, nil, ok
	case byVolume:
		m, ok := f.MeasureOf("cup", "")
		if !ok {
			return 0, nil, false
		}
		m.Grams /= nutrition.MillilitresPerCup
		m.Unit, m.Note = "ml", ""
		m.Source += ", from the cup by volume"
		return m.Grams * nutrition.Grams(a.n), &m, true
	}
	m, ok := f.MeasureOf(a.unit, l.noteOf())
	if !ok {
		return 0, nil, false
	}
	return m.Grams * nutrition.Grams(a.n), &m, true
}

// noteOf is the size or cut that a measure is named with.
func (l *lexed) noteOf() string {
	if l.note != "" {
		return l.note
	}
	for _, t := range l.tokens {
		switch t.text {
		case "chopped", "sliced", "diced", "mashed", "grated", "shredded", "minced", "cubed", "pureed":
			return t.text
		}
	}
	return ""
}

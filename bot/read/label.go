package read

import (
	"strings"

	"bowlwright/nutrition"
)

// Label is what the package of a food says.
type Label struct {
	Name   string
	Piece  nutrition.Grams                // weight of one piece, where the label is per piece; else 0
	Per100 map[nutrition.Nutrient]float64 // in the nutrient's unit per 100 g
}

// LabelText reads a food from its label: its name, then what is in 100 g or
// in a piece, at commas or on lines of their own.
//
//	Beef mix: 180 kcal, protein 17 g, fat 12 g, calcium 300 mg
//	Biscuit, per piece of 10 g: 35 kcal, 12 % protein
//
// Figures are per 100 g unless the label says per piece and what a piece
// weighs. What the label does not say is not in Per100: it is not known, not
// nothing.
func LabelText(text string) (Label, []Problem) {
	text = strings.TrimSpace(Clean(text))
	if _, cut := firstRunes(text, 2000); cut {
		return Label{}, []Problem{problem(TooLong, text)}
	}
	name, rest, ok := strings.Cut(text, ":")
	if first, after, lines := strings.Cut(text, "\n"); lines && (!ok || len(first) < len(name)) {
		name, rest, ok = first, after, true
	}
	if !ok {
		return Label{}, []Problem{problem(NoFood, text)}
	}
	out := Label{Per100: map[nutrition.Nutrient]float64{}}
	per, problems := out.takeName(name, rest)
	for _, part := range strings.FieldsFunc(rest, func(r rune) bool { return r == '\n' || r == ';' }) {
		for _, figure := range splitFigures(part) {
			if p := out.takeFigure(figure, per); p != nil {
				problems = append(problems, *p)
			}
		}
	}
	if len(out.Per100) == 0 && len(problems) == 0 {
		problems = append(problems, problem(NoAmount, text))
	}
	return out, problems
}

// splitFigures splits at commas that are no decimal signs.
func splitFigures(s string) []string {
	var parts []string
	from := 0
	for i := range len(s) {
		if s[i] != ',' || i > 0 && i+1 < len(s) && startsNumber(s, i-1) && startsNumber(s, i+1) {
			continue
		}
		parts = append(parts, s[from:i])
		from = i + 1
	}
	return append(parts, s[from:])
}

// takeName reads the name and by how much the figures are: it returns what
// they are per, in grams.
func (out *Label) takeName(name, rest string) (nutrition.Grams, []Problem) {
	l := lex(name)
	per := nutrition.Grams(100)
	for i := range l.tokens {
		if !l.is(i, "per") && !l.is(i, "each") {
			continue
		}
		words := l.words()
		at := i + 1
		piece := at < len(words) && measureWords[words[at]] == "piece"
		for at < len(words) && (measureWords[words[at]] == "piece" || words[at] == "of" || words[at] == "(") {
			at++
		}
		g, end, code := massIn(words, at)
		if end == 0 || code != "" || g <= 0 || g > mostOfAFood {
			return 0, []Problem{problem(NotMass, name)}
		}
		if per = g; piece {
			out.Piece = g
		}
		l.use(i, end)
		break
	}
	out.Name, _ = firstRunes(strings.Trim(l.rest(), ",;-() "), 60)
	if !hasLetter(out.Name) {
		return per, []Problem{problem(NoFood, name+" "+rest)}
	}
	return per, nil
}

// takeFigure reads one figure: "protein 17 g", "17 % protein", "180 kcal".
func (out *Label) takeFigure(s string, per nutrition.Grams) *Problem {
	l := lex(s)
	if len(l.tokens) == 0 || !hasLetter(s) && !strings.ContainsAny(s, "0123456789") {
		return nil
	}
	for i := range l.tokens {
		n, ok := parseNumber(l.tokens[i].text)
		if !ok || i+1 >= len(l.tokens) {
			continue
		}
		unit, percent := factUnits[l.tokens[i+1].text], l.is(i+1, "%")
		if unit == "" && !percent {
			continue
		}
		nutrient, end := l.nutrientFrom(i + 2)
		if end == 0 {
			var from int
			if nutrient, from = l.nutrientBefore(i); from < 0 {
				if unit != "kcal" {
					break
				}
				nutrient = nutrition.Energy
			}
		}
		if percent {
			unit, n = "g", n*float64(per)/100
		}
		x, ok := inUnit(nutrient, n, unit, s)
		if !ok || x < 0 {
			break
		}
		x *= 100 / float64(per)
		if u := nutrient.Unit(); u == "g" && x > 100 || nutrient == nutrition.Energy && x > 902 {
			p := problem(TooMuch, s) // more than there can be in 100 g; 902 kcal is pure fat (USDA)
			return &p
		}
		out.Per100[nutrient] = x
		return nil
	}
	p := problem(BadNumber, strings.TrimSpace(s))
	return &p
}

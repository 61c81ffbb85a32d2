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
	for _, t := range lex(s, nil) {
		if t.kind == signToken && t.text == "," {
			parts = append(parts, s[from:t.start])
			from = t.end
		}
	}
	return append(parts, s[from:])
}

// takeName reads the name and by how much the figures are: it returns what
// they are per, in grams.
func (out *Label) takeName(name, rest string) (nutrition.Grams, []Problem) {
	l := &lexed{text: name, tokens: lex(name, nil)}
	per := nutrition.Grams(100)
	for i := range l.tokens {
		if !l.any(i, "per", "each") {
			continue
		}
		at := i + 1
		piece := unitWords[l.word(at)].name == "piece"
		for l.any(at, "of", "(") || unitWords[l.word(at)].name == "piece" {
			at++
		}
		g, end := l.massAt(at)
		if end == 0 || l.code != "" || g <= 0 || g > mostOfAFood {
			return 0, []Problem{problem(NotMass, name)}
		}
		if per = g; piece {
			out.Piece = g
		}
		l.use(i, end)
		break
	}
	out.Name, _ = firstRunes(strings.Trim(l.food(), ",;-() "), 60)
	if !hasLetter(out.Name) {
		return per, []Problem{problem(NoFood, name+" "+rest)}
	}
	return per, nil
}

// takeFigure reads one figure: "protein 17 g", "17 % protein", "180 kcal".
func (out *Label) takeFigure(s string, per nutrition.Grams) *Problem {
	l := &lexed{text: s, tokens: lex(s, nil)}
	if !l.left() {
		return nil
	}
	l.takeSaid() // which form of vitamin E
	for i := range l.tokens {
		f, end := l.shareAt(i, float64(per))
		if end == 0 {
			continue
		}
		nutrient, ok := l.nutrientBeside(i, end)
		switch {
		case ok:
		case f.unit.kind == byEnergy:
			nutrient, ok = nutrition.Energy, true
		case l.any(end, "salt") || l.any(i-1, "salt"):
			nutrient, ok = nutrition.Sodium, true
			f.n /= saltPerSodium
		}
		if !ok {
			break
		}
		x, ok := toUnit(nutrient, f.n, f.unit, l.synthetic)
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

// saltPerSodium is how much salt a label declares for its sodium: Regulation
// (EU) No 1169/2011, annex I.
const saltPerSodium = 2.5

// shareAt reads a quantity, or a percentage of the grams that figures are per.
func (l *lexed) shareAt(i int, per float64) (fact, int) {
	if n, at := l.numberAt(i); at > 0 && l.any(at, "%", "percent") {
		return fact{n: n.value * per / 100, unit: unitWords["g"]}, at + 1
	}
	return l.quantityAt(i)
}

// nutrientBeside returns the nutrient that is named right after a quantity, or
// before it.
func (l *lexed) nutrientBeside(from, end int) (nutrition.Nutrient, bool) {
	if l.any(end, "of") {
		end++
	}
	if n, to := l.nutrientAt(end); to > 0 {
		return n, true
	}
	for i := range from {
		if n, to := l.nutrientAt(i); to > 0 && l.adjacent(to, from) {
			return n, true
		}
	}
	return 0, false
}

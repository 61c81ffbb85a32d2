package foodline

import (
	"slices"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
)

// Label is what the package of a food says.
type Label struct {
	Name   string
	Piece  nutrition.Grams // weight of one piece, where the label is per piece; else 0
	Form   string          // what a piece is: "piece", "capsule", "scoop"
	Per    nutrition.Grams // what the figures are given for; 0: for 100 g
	PerSay string          // the same as typed: "5 g", "scoop of 6 g"
	// Nominal: nobody says what a piece weighs, and it is counted as nominalPiece.
	Nominal bool
	Per100  map[nutrition.Nutrient]float64 // in the nutrient's unit per 100 g as fed
	Open    []nutrition.Nutrient           // said to be not known: "zinc unknown"

	dry map[nutrition.Nutrient]bool // given in dry matter
}

// LabelText reads a food from its label: its name, then what is in 100 g or
// in a piece, at commas or on lines of their own.
//
//	Beef mix: 180 kcal, protein 17 g, fat 12 g, calcium 300 mg
//	Biscuit, per piece of 10 g: 35 kcal, 12 % protein
//
//	Kibble, dry matter: protein 30 %, vitamin E 200 IU/kg, moisture 8 %
//
// Figures are per 100 g unless the label says per piece and what a piece
// weighs. Those in dry matter are made into figures as fed, by the moisture,
// which must be said. What the label does not say is not in Per100: it is not
// known, not nothing.
func LabelText(text string) (Label, []span.Problem) {
	text = strings.TrimSpace(language.Without("label-said", span.Clean(text)))
	if _, cut := span.FirstRunes(text, 2000); cut {
		return Label{}, []span.Problem{span.NewProblem(span.TooLong, text)}
	}
	name, rest, ok := strings.Cut(text, ":")
	if first, after, lines := strings.Cut(text, "\n"); lines && (!ok || len(first) < len(name)) {
		name, rest, ok = first, after, true
	}
	if first, figures, _ := strings.Cut(text, ","); !ok && !strings.ContainsAny(first, "0123456789") && HasFigures(figures) {
		name, rest, ok = first, figures, true // "Mineral powder, calcium 18 %, phosphorus 6 %"
	}
	if !ok {
		return Label{}, []span.Problem{span.NewProblem(span.NoFood, text)}
	}
	if serving, figures, more := strings.Cut(rest, ":"); more && strings.TrimSpace(name) != "" && isServing(serving) {
		name, rest = name+", "+serving, figures // "Joint powder: per 5 g: zinc 20 mg"
	}
	if l := plainLine(rest); len(l.Tokens) > 1 {
		if end, ok := l.takeServing(0, &Label{}); ok && end > 0 && end < len(l.Tokens) && l.Tokens[end].Kind != span.SignToken {
			name, rest = name+", "+rest[:l.Tokens[end].Start], rest[l.Tokens[end].Start:] // "Beef mix: per 100 g 180 kcal"
		}
	}
	out := Label{Per100: map[nutrition.Nutrient]float64{}, dry: map[nutrition.Nutrient]bool{}}
	name, dry := cutWords(name, language.Pattern("dry-name"), "$1")
	per, problems := out.takeName(name, rest)
	if len(problems) > 0 {
		return out, problems
	}
	figures, fed := labelParts(rest), false
	for _, f := range figures {
		of, alone := basisAlone(f)
		dry, fed = dry || of && alone, fed || !of && alone
	}
	if dry && fed { // nobody knows which figures are which
		return out, append(problems, span.NewProblem(span.BadNumber, rest))
	}
	// "Calcium 1 %, protein 48 % in dry matter": of one, or of all?
	last := len(figures) - 1
	for last > 0 && ofWater(figures[last]) {
		last--
	}
	unclear := !dry && !fed && last > 0 && language.Says("dry-of", figures[last]) && !slices.ContainsFunc(figures[:last], saysBasis)
	for i, f := range figures {
		if _, alone := basisAlone(f); alone {
			continue
		}
		if unclear && i < last && !ofWater(f) {
			problems = append(problems, span.NewProblem(span.WhichBasis, f))
			continue
		}
		if !strings.ContainsAny(f, "0123456789") && !language.Says("nutrient-word", f) && HasFigures(rest) {
			continue // "for cooked food"
		}
		if p := out.takeFigure(f, per, dry); p != nil {
			problems = append(problems, *p)
		}
	}
	if len(out.Per100)+len(out.Open) == 0 && len(problems) == 0 {
		problems = append(problems, span.NewProblem(span.NoAmount, text))
	}
	if !out.asFed() {
		problems = append(problems, span.NewProblem(span.NoMoisture, text))
	}
	return out, problems
}

// LabelIn is the label in a text that is one, "Biscuit, per piece of 10 g: 35 kcal",
// or that tells of a food and has one: "add a food Beef mix: 180 kcal". Empty: none.
func LabelIn(s string) string {
	if m := language.Pattern("new-food").FindStringSubmatch(s); m != nil {
		return m[1]
	}
	head, _, ok := strings.Cut(s, ":")
	if ok && !strings.ContainsAny(head, "0123456789\n") && HasFigures(s) { // "Venison trim: 129 kcal, protein 21 g"
		return s
	}
	l, problems := LabelText(s)
	if len(problems) > 0 || ok && (l.PerSay == "" || !strings.Contains(strings.ToLower(head), " per ")) {
		return ""
	}
	return s
}

// HasFigures reports that a text has the figures of a label, and is no recipe.
func HasFigures(s string) bool {
	return language.Says("energy-figure", s) && language.Says("macro-figure", s) || language.Says("mineral-figures", s)
}

// labelParts are the figures of a label: its lines, and what stands between
// commas.
func labelParts(s string) (all []string) {
	for _, line := range strings.FieldsFunc(language.Without("label-bound", s), func(r rune) bool { return r == '\n' || r == ';' }) {
		for _, part := range splitFigures(line) {
			all = append(all, splitAnd(part)...)
		}
	}
	return all
}

// splitAnd splits "0.6 % calcium and 0.5 % phosphorus in dry matter": both are in
// dry matter.
func splitAnd(part string) (all []string) {
	for _, s := range strings.Split(part, " and ") {
		if n := len(all); n > 0 && !(strings.ContainsAny(s, "0123456789") && strings.ContainsAny(all[n-1], "0123456789")) {
			all[n-1] += " and " + s // "methionine and cystine 1.2 g"
		} else {
			all = append(all, s)
		}
	}
	for i, last := 0, all[len(all)-1]; i < len(all)-1 && language.Says("dry-of", last); i++ {
		if !saysBasis(all[i]) {
			all[i] += " in dry matter"
		}
	}
	return all
}

// ofWater reports that a figure says how much water there is, or dry matter.
func ofWater(s string) bool {
	rest, dry := cutDry(s)
	return dry && !language.Says("dry-of", s) && !span.HasLetter(rest) || language.Says("water-figure", s)
}

// saysBasis reports that a figure says whether it is in dry matter or as fed.
func saysBasis(s string) bool {
	_, dry := cutDry(s)
	return dry || saysAsFed(s)
}

// isServing reports that a text says what figures are for, and nothing else.
func isServing(s string) bool {
	s, dry := cutDry(s)
	l := plainLine(s)
	if len(l.Tokens) == 0 {
		return dry
	}
	end, ok := l.takeServing(0, &Label{})
	return end == len(l.Tokens) || !ok
}

// splitFigures splits at commas that are no decimal signs.
func splitFigures(s string) []string {
	var parts []string
	from := 0
	for _, t := range span.Tokens(s, nil) {
		if t.Kind == span.SignToken && t.Text == "," {
			parts = append(parts, s[from:t.Start])
			from = t.End
		}
	}
	return append(parts, s[from:])
}

// takeName reads the name and by how much the figures are: it returns what
// they are per, in grams.
func (out *Label) takeName(name, rest string) (nutrition.Grams, []span.Problem) {
	l := plainLine(name)
	per := nutrition.Grams(100)
	for i := range l.Tokens {
		end, ok := l.takeServing(i, out)
		if !ok {
			return 0, []span.Problem{span.NewProblem(span.NotMass, name)}
		}
		if end > 0 {
			per = out.Per
			l.Use(i, end)
			break
		}
	}
	out.Name, _ = span.FirstRunes(strings.Trim(l.Food(), ",;-() "), 60)
	if !span.HasLetter(out.Name) {
		return per, []span.Problem{span.NewProblem(span.NoFood, name+" "+rest)}
	}
	return per, nil
}

// nominalPiece is what a capsule or tablet counts for in grams where its label
// does not say: what it holds is right by the piece, and its weight is a trifle
// beside the food's (our own choice).
const nominalPiece nutrition.Grams = 1

// takeServing reads what the figures of a label are for, at a token: "per 5 g",
// "1 capsule", "per scoop of 6 g", "1 tablet (2 g)". It returns its end, 0 for
// none, and false where it is nothing whose weight is known.
func (l *lexed) takeServing(i int, out *Label) (end int, ok bool) {
	at := l.After(i, "per", "each", "in")
	from, said := at, at > i
	n := span.Numeral{Value: 1}
	if m, to := l.NumberAt(at); to > 0 {
		n, at = m, to
	} else if !said {
		return 0, true
	}
	u, to := l.UnitAt(at)
	switch {
	case to == 0:
		return 0, !said || l.Any(i, "in")
	case u.Kind == span.ByMass && said:
		out.Per, out.PerSay = nutrition.Grams(u.In(n)), l.Span(at-min(1, at-i-1), to)
		return to, out.Per > 0 && out.Per <= span.MostOfAFood && l.Code == ""
	case u.Kind == span.ByForm || u.Kind == span.ByMeasure:
	default:
		return 0, !said
	}
	out.Form, end = u.Name, to
	to = l.AfterAll(to, "of", "(", "=", ":")
	each, stop := l.MassAt(to)
	switch {
	case stop > 0 && each > 0:
		end = stop
		end = l.After(end, ")")
	case !wholePiece(u.Name):
		return 0, false
	default:
		each, out.Nominal = nominalPiece, true
	}
	out.Piece, out.Per = each, each*nutrition.Grams(n.Value)
	out.PerSay = l.Span(from, end)
	return end, out.Per > 0 && out.Per <= span.MostOfAFood && l.Code == ""
}

// takeFigure reads one figure: "protein 17 g", "17 % protein", "180 kcal".
func (out *Label) takeFigure(s string, per nutrition.Grams, dry bool) *span.Problem {
	if n, ok := openFigure(s); ok {
		out.Open = append(out.Open, n)
		return nil
	}
	typed := s
	s, says := cutDry(language.Pattern("vitamin-aside").ReplaceAllString(s, ""))
	s = language.Pattern("figure-verbs").ReplaceAllString(s, "$1")
	switch {
	case says && !language.Says("dry-of", typed) && out.takeDryShare(s):
		return nil
	case language.Says("maybe-dry", s):
		return new(span.NewProblem(span.BadNumber, strings.TrimSpace(typed)))
	case saysAsFed(s):
		dry = false
	default:
		dry = dry || says
	}
	l := plainLine(s)
	if !l.Left() {
		return nil
	}
	l.takeSaid() // which form of vitamin E
	for i := range l.Tokens {
		f, end := l.shareAt(i, float64(per))
		if end == 0 {
			continue
		}
		nutrient, ok := l.nutrientBeside(i, end)
		base := per
		if !ok || end < len(l.Tokens) {
			own, found := l.ownBasis(end)
			switch {
			case !found:
			case own == 0:
				return new(span.NewProblem(span.NotMass, strings.TrimSpace(typed)))
			default:
				base = own
			}
			if !ok && found {
				nutrient, ok = l.nutrientAfterBasis(end)
			}
		}
		switch {
		case ok:
		case f.unit.Kind == span.ByEnergy:
			nutrient, ok = nutrition.Energy, true
		case l.Any(end, "salt") || l.Any(i-1, "salt"):
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
		x *= 100 / float64(base)
		if u := nutrient.Unit(); u == "g" && x > 100 || nutrient == nutrition.Energy && x > 902 {
			return new(span.NewProblem(span.TooMuch, typed)) // more than there can be in 100 g; 902 kcal is pure fat (USDA)
		}
		out.Per100[nutrient], out.dry[nutrient] = x, dry
		return nil
	}
	return new(span.NewProblem(span.BadNumber, strings.TrimSpace(typed)))
}

// saltPerSodium is how much salt a label declares for its sodium: Regulation
// (EU) No 1169/2011, annex I.
const saltPerSodium = 2.5

// shareAt reads a quantity, or a percentage of the grams that figures are per.
func (l *lexed) shareAt(i int, per float64) (fact, int) {
	if n, at := l.NumberAt(i); at > 0 && l.Any(at, "%", "percent") {
		return fact{n: n.Value * per / 100, unit: span.UnitWords["g"]}, at + 1
	}
	return l.quantityAt(i)
}

// nutrientBeside returns the nutrient that is named right after a quantity, or
// before it.
func (l *lexed) nutrientBeside(from, end int) (nutrition.Nutrient, bool) {
	end = l.After(end, "of")
	if n, to := nutrientAt(l.Lexed, end); to > 0 {
		return n, true
	}
	for i := range from {
		if n, to := nutrientAt(l.Lexed, i); to > 0 && l.adjacent(to, from) {
			return n, true
		}
	}
	n, ok := signs[l.Word(0)]
	return n, ok && from == 1
}

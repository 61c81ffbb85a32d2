package foodline

import (
	"slices"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
)

// fact is what a label says: so much of a nutrient in an amount of the food.
type fact struct {
	nutrient nutrition.Nutrient // nutrition.NutrientCount: the one the supplement is given for
	n        float64            // in unit
	unit     span.Unit
	basis    basis
	per      float64 // the amount of the basis that holds so much
	form     string  // of perForm
}

type basis uint8

const (
	perLine basis = iota // in what the line names, or in each piece of it
	perMass              // per grams
	perForm              // per capsule, per teaspoon, per millilitre
)

type phrase struct {
	words    []string
	nutrient nutrition.Nutrient
}

// phrases are all names of nutrients by their first word, longest first.
var phrases = func() map[string][]phrase {
	all := map[string][]phrase{}
	add := func(name string, n nutrition.Nutrient) {
		words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return r == ' ' || r == '-' })
		all[words[0]] = append(all[words[0]], phrase{words, n})
	}
	for n := range nutrition.NutrientCount {
		add(n.String(), n)
		if name, _, _ := strings.Cut(n.Name(), " ("); name != n.String() {
			add(name, n)
		}
		for name, key := range language.Kinds[string]("label") {
			if key == n.String() {
				add(name, n)
			}
		}
	}
	for _, list := range all {
		slices.SortStableFunc(list, func(a, b phrase) int { return len(b.words) - len(a.words) })
	}
	return all
}()

// nutrientAt reads the name of a nutrient at a token and returns the token
// after it, or 0.
func nutrientAt(l *span.Lexed, i int) (nutrition.Nutrient, int) {
	if n, ok := letters[l.Word(i)]; ok && l.Tokens[i].Inside && l.Any(i-1, "iu") {
		return n, i + 1
	}
	for _, p := range phrases[l.Word(i)] {
		at := i
		for k, w := range p.words {
			if k > 0 && l.Any(at, "-") {
				at++
			}
			if l.Word(at) != w {
				at = 0
				break
			}
			at++
		}
		if at > 0 {
			return p.nutrient, at
		}
	}
	return 0, 0
}

// letters are the vitamins that a label in brackets names by their letter alone,
// behind their units: "(400 IU D, 4000 IU A)".
var letters = map[string]nutrition.Nutrient{"a": nutrition.Retinoids, "d": nutrition.VitaminD, "e": nutrition.VitaminE}

// signs are elements whose signs mean something else, but before a label's figure: "Mg 0.1 %".
var signs = map[string]nutrition.Nutrient{"mg": nutrition.Magnesium, "k": nutrition.Potassium, "i": nutrition.Iodine, "cl": nutrition.Chloride}

// takeFacts finds what a line says of its label and marks it as used. A
// nutrient's name that is all that the line says of its food stays.
func (l *lexed) takeFacts() {
	others := l.namesMore()
	for i := 0; i < len(l.Tokens); i++ {
		f, name, end := l.factAt(i)
		if end == 0 {
			continue
		}
		l.UseAny(i-1, ",", ";")
		if others || name[0] == name[1] {
			l.Use(i, end)
		} else {
			l.Use(i, name[0])
			l.Use(name[1], end)
		}
		l.facts = append(l.facts, f)
		i = end - 1
	}
	l.takeLooseFacts(others)
	for i := range l.facts {
		if l.facts[i].n < 0 {
			l.Wrong(span.Negative, 0, len(l.Tokens))
		}
	}
}

// factAt reads a fact that names what it is per: "600 mcg iodine per g",
// "iodine 600 µg/g", "600 mcg/g iodine", "120 kcal per 100 g". It returns the
// tokens of the nutrient's name and the token after the fact, or 0.
func (l *lexed) factAt(i int) (f fact, name [2]int, end int) {
	if n, at := nutrientAt(l.Lexed, i); at > 0 {
		name = [2]int{i, at}
		at = l.AfterAll(at, ":", "=", "of", "content")
		if f, at = l.quantityAt(at); at == 0 {
			return fact{}, name, 0
		}
		f.nutrient = n
		end = l.perAt(at, &f)
		return f, name, end
	}
	f, at := l.quantityAt(i)
	if at == 0 {
		return fact{}, name, 0
	}
	at = l.After(at, "of")
	if n, to := nutrientAt(l.Lexed, at); to > 0 {
		f.nutrient = n
		end = l.perAt(to, &f)
		return f, [2]int{at, to}, end
	}
	if end = l.perAt(at, &f); end == 0 || f.unit.Kind == span.ByMass && f.unit.Factor >= 1 {
		return fact{}, name, 0 // "250 g/9 oz" says a weight twice
	}
	f.nutrient = span.Choose(f.unit.Kind == span.ByEnergy, nutrition.Energy, nutrition.NutrientCount)
	after := l.After(end, "of")
	if n, to := nutrientAt(l.Lexed, after); to > 0 {
		f.nutrient, name, end = n, [2]int{after, to}, to
	}
	return f, name, end
}

// quantityAt reads a number with a unit in which nutrients are given.
func (l *lexed) quantityAt(i int) (fact, int) {
	n, at := l.NumberAt(i)
	if at == 0 {
		return fact{}, 0
	}
	u, end := l.UnitAt(at)
	if end == 0 || u.Kind != span.ByMass && u.Kind != span.ByActive && u.Kind != span.ByEnergy || u.Kind == span.ByMass && !u.Metric {
		return fact{}, 0
	}
	return fact{n: n.Whole(), unit: u}, end
}

// perAt reads what a fact is per: "per g", "/100 g", "in each capsule", "a
// tablet".
func (l *lexed) perAt(i int, f *fact) int {
	at := i
	switch {
	case l.Any(i, "per", "/", "in"):
		at++
		if l.Any(i, "in") && l.Any(at, "all", "total") {
			return 0
		}
		at = l.After(at, "a", "an", "each", "every")
	case l.Any(i, "a", "an", "each"):
		if u, _ := l.UnitAt(i + 1); u.Kind != span.ByForm {
			return 0
		}
		at++
	default:
		return 0
	}
	n := span.Numeral{Value: 1}
	if m, end := l.NumberAt(at); end > 0 && l.Tokens[at].Kind == span.NumberToken {
		n, at = m, end
	}
	u, end := l.UnitAt(at)
	switch {
	case end == 0 || n.Value <= 0:
		return 0
	case l.Any(end, "body", "bodyweight", "bw", "dog", "live"), l.Any(end, "of") && l.Any(end+1, "body", "dog", "bodyweight", "live"):
		return 0 // a dose by the dog's weight
	case u.Kind == span.ByMass && u.In(n) <= 1000:
		f.basis, f.per = perMass, u.In(n)
	case u.Kind == span.ByForm || u.Kind == span.ByMeasure || u.Kind == span.ByVolume:
		f.basis, f.per, f.form = perForm, u.In(n), u.Name
	default:
		return 0
	}
	return end
}

// takeLooseFacts takes nutrients whose amount stands beside them with nothing
// said of what it is in: "(360 mg EPA, 240 mg DHA)", "kelp tablet 150 mcg
// iodine". Outside of brackets that is done only where a food is named
// besides, and only of what nobody weighs into a bowl by that name.
func (l *lexed) takeLooseFacts(others bool) {
	var runs []looseRun
	for i := 0; i < len(l.Tokens); i++ {
		r := looseRun{from: i}
		if r.n, r.to = nutrientAt(l.Lexed, i); r.to > 0 {
			r.isName = true
		} else if r.f, r.to = l.quantityAt(i); r.to == 0 {
			continue
		} else if l.Any(r.to, "of") {
			r.to++
		}
		r.inside = l.Tokens[i].Inside
		i = r.to - 1
		runs = append(runs, r)
	}
	for k := 0; k+1 < len(runs); k++ {
		a, b := runs[k], runs[k+1]
		if !l.pairs(a, b) || !a.inside && (!others || !l.loose(a, b)) {
			continue
		}
		// "2 g iodine 600 µg": in a row that begins and ends with an amount
		// each name's own is the one after it.
		end := k + 1
		for end+1 < len(runs) && l.pairs(runs[end], runs[end+1]) {
			end++
		}
		if b.isName && !runs[end].isName {
			continue
		}
		f, name := a.f, b.n
		if a.isName {
			f, name = b.f, a.n
		}
		f.nutrient, f.basis = name, perLine
		l.facts = append(l.facts, f)
		l.UseAny(a.from-1, ",", ";")
		l.Use(a.from, b.to)
		k++
	}
}

// looseRun is the name of a nutrient or a quantity.
type looseRun struct {
	isName, inside bool
	n              nutrition.Nutrient
	f              fact
	from, to       int
}

// pairs reports that a name and a quantity stand side by side.
func (l *lexed) pairs(a, b looseRun) bool {
	return a.isName != b.isName && a.inside == b.inside && l.adjacent(a.to, b.from)
}

// adjacent reports that only a colon or nothing stands between two places.
func (l *lexed) adjacent(from, to int) bool {
	return from == to || from+1 == to && l.Any(from, ":", "=")
}

// loose reports that a pair outside of brackets is a fact and not a part of a
// food's name.
func (l *lexed) loose(a, b looseRun) bool {
	switch span.Choose(b.isName, b, a).n {
	case nutrition.Energy, nutrition.Water, nutrition.Protein, nutrition.Fat, nutrition.Carbohydrate, nutrition.Ash, nutrition.Fibre,
		nutrition.Sodium, nutrition.Chloride, nutrition.SaturatedFat, nutrition.Cholesterol:
		return false
	}
	if !b.isName {
		return true
	}
	return !span.HasLetter(l.Word(b.to)) || l.Any(b.to, "a", "per", "in", "daily", "every", "and", "twice", "once", "each", "total") || l.IsNumber(b.to) // not "5 g calcium carbonate"
}

// namesMore reports that a line has words besides nutrients, quantities and
// the forms of supplements, so that a nutrient in it is not its food.
func (l *lexed) namesMore() bool {
	for i := 0; i < len(l.Tokens); i++ {
		if l.Tokens[i].Kind == span.NameToken {
			return true
		}
		if l.Word(i) == "" || l.Tokens[i].Kind != span.WordToken {
			continue
		}
		_, nutrient := nutrientAt(l.Lexed, i)
		_, unit := l.UnitAt(i)
		_, number := l.NumberAt(i)
		_, often := l.CadenceAt(i, false)
		if end := max(nutrient, unit, number, often); end > 0 {
			i = end - 1
			continue
		}
		if !language.In("line-fillers", l.Word(i)) && !language.In("strength-words", l.Word(i)) && span.PeriodOf(l.Word(i))+span.Cadences[l.Word(i)].Days == 0 {
			return true
		}
	}
	return false
}

// toUnit converts a quantity to the unit of a nutrient; false where the one
// cannot be told from the other. synthetic is said of vitamin E.
func toUnit(n nutrition.Nutrient, x float64, u span.Unit, synthetic bool) (float64, bool) {
	switch u.Kind {
	case span.ByActive:
		return x, n.Unit() == "IU"
	case span.ByEnergy:
		return x * u.Factor, n == nutrition.Energy
	}
	if u.Name == n.Unit() {
		return x, true
	}
	ug := x * u.Factor * 1e6
	if u.Name == "mg" {
		ug = x * 1e3
	} else if u.Name == "ug" {
		ug = x
	}
	switch n {
	case nutrition.VitaminE:
		if synthetic {
			return ug / 1e3 * nutrition.VitaminEAcetateIUPerMg, true
		}
		return ug / 1e3 * nutrition.VitaminEIUPerMg, true
	case nutrition.VitaminD:
		return ug * nutrition.VitaminDIUPerUg, true
	case nutrition.Retinoids:
		return ug * nutrition.RetinolIUPerUg, true
	}
	switch n.Unit() {
	case "g":
		return ug / 1e6, true
	case "mg":
		return ug / 1e3, true
	case "ug":
		return ug, true
	}
	return 0, false
}

// subjectNames are names of figures that are made of several nutrients, and
// what a name means here that means less on a label: all of vitamin A.
var subjectNames = []struct {
	words   [][]string
	subject nutrition.Subject
}{
	{language.Phrases("subject:calcium-phosphorus"), nutrition.CalciumPhosphorus},
	{language.Phrases("subject:epa-dha"), nutrition.EPADHA},
	{language.Phrases("subject:vitamin-a"), nutrition.VitaminA},
}

// notAsked are nutrients whose names mean something else in a question.
var notAsked = map[string]bool{"energy": true, "water": true, "moisture": true, "ash": true, "la": true, "ala": true}

// SubjectAt reads the name of a nutrient that is asked for, or of a figure made
// of several. It returns the token after it, or 0.
func SubjectAt(l *span.Lexed, at int) (s nutrition.Subject, end int) {
	for _, n := range subjectNames {
		if end = l.LongestOf(at, n.words); end > 0 {
			return n.subject, end
		}
	}
	if notAsked[l.Word(at)] {
		return 0, 0
	}
	n, end := nutrientAt(l, at)
	return nutrition.Subject(n), end
}

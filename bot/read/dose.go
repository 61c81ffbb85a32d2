package read

import (
	"slices"
	"strings"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// fact is what a label says: so much of a nutrient in an amount of the food.
type fact struct {
	nutrient nutrition.Nutrient
	amount   float64 // in the nutrient's unit
	per      string  // "g" for each gram, or a form: "capsule"
}

// nutrientWords are the ways in which labels name nutrients.
var nutrientWords = func() map[string]nutrition.Nutrient {
	words := map[string]nutrition.Nutrient{
		"vit e": nutrition.VitaminE, "vit. e": nutrition.VitaminE, "tocopherol": nutrition.VitaminE, "vit d": nutrition.VitaminD,
		"vitamin d3": nutrition.VitaminD, "vit d3": nutrition.VitaminD, "vitamin a": nutrition.Retinoids, "vit a": nutrition.Retinoids,
		"retinol": nutrition.Retinoids, "b1": nutrition.Thiamin, "vitamin b1": nutrition.Thiamin, "thiamine": nutrition.Thiamin,
		"b2": nutrition.Riboflavin, "vitamin b2": nutrition.Riboflavin, "b3": nutrition.Niacin, "b5": nutrition.PantothenicAcid,
		"b6": nutrition.VitaminB6, "b12": nutrition.VitaminB12, "cobalamin": nutrition.VitaminB12, "folic acid": nutrition.Folate,
		"fiber": nutrition.Fibre, "salt": nutrition.Sodium, "carbs": nutrition.Carbohydrate, "thiamin": nutrition.Thiamin,
		"riboflavin": nutrition.Riboflavin, "niacin": nutrition.Niacin, "pantothenic acid": nutrition.PantothenicAcid, "moisture": nutrition.Water,
		"vitamin a (preformed)": nutrition.Retinoids,
	}
	for n := range nutrition.NutrientCount {
		if _, ok := words[n.Name()]; !ok {
			words[n.Name()] = n
		}
		words[n.String()] = n
	}
	delete(words, "salt") // salt is not sodium
	return words
}()

// nutrientTokens are nutrientWords with their words split as lines are, and
// the most tokens that any of them has.
var nutrientTokens, mostNutrientTokens = func() (map[string]nutrition.Nutrient, int) {
	tokens, most := map[string]nutrition.Nutrient{}, 0
	for name, n := range nutrientWords {
		words := lineWords(name)
		tokens[strings.Join(words, " ")] = n
		most = max(most, len(words))
	}
	return tokens, most
}()

// factUnits are the units of what a label says.
var factUnits = map[string]string{
	"iu": "iu", "mcg": "ug", "ug": "ug", "µg": "ug", "μg": "ug", "mg": "mg", "g": "g", "kcal": "kcal",
}

// takeFacts finds what a line says of its label and marks it as used: "600
// mcg iodine per g", "iodine 600 µg/g", "120 kcal per 100 g", "(500 mg EPA)".
func (l *lexed) takeFacts() {
	for i := 1; i < len(l.tokens); i++ {
		if unit := factUnits[l.tokens[i].text]; unit != "" && !l.tokens[i].used {
			l.factAt(i, unit)
		}
	}
}

// factAt takes the fact whose unit stands at a token.
func (l *lexed) factAt(at int, unit string) {
	n, ok := parseNumber(l.tokens[at-1].text)
	if !ok || n < 0 {
		return
	}
	from, next := at-1, at+1
	if l.is(next, "of") {
		next++
	}
	nutrient, end := l.nutrientFrom(next)
	switch {
	case end > 0:
		next = end
	case unit == "kcal":
		nutrient = nutrition.Energy
	default:
		if nutrient, from = l.nutrientBefore(at - 1); from < 0 {
			return
		}
	}
	per, end := l.perFrom(next)
	if end == 0 {
		if !l.is(next, ")") || from == 0 || !l.is(from-1, "(") {
			return
		}
		per, end = fact{amount: 1, per: "capsule"}, next // "(500 mg EPA)": of one capsule
	}
	x, ok := inUnit(nutrient, n, unit, l.text)
	if !ok || slices.ContainsFunc(l.facts, func(f fact) bool { return f.nutrient == nutrient }) {
		return
	}
	l.facts = append(l.facts, fact{nutrient, x / per.amount, per.per})
	l.use(from, end)
}

func (l *lexed) is(at int, word string) bool {
	return at >= 0 && at < len(l.tokens) && l.tokens[at].text == word
}

// nutrientFrom reads a nutrient's name, the longest that fits, and returns
// its end, or 0.
func (l *lexed) nutrientFrom(at int) (nutrition.Nutrient, int) {
	for n := min(mostNutrientTokens, len(l.tokens)-at); n > 0; n-- {
		if nutrient, ok := nutrientTokens[l.joined(at, at+n)]; ok {
			return nutrient, at + n
		}
	}
	return 0, 0
}

// nutrientBefore reads a nutrient's name that ends before a token, and
// returns where it begins, or -1.
func (l *lexed) nutrientBefore(at int) (nutrition.Nutrient, int) {
	if l.is(at-1, ":") {
		at--
	}
	for n := min(mostNutrientTokens, at); n > 0; n-- {
		if nutrient, ok := nutrientTokens[l.joined(at-n, at)]; ok {
			return nutrient, at - n
		}
	}
	return 0, -1
}

// joined are the texts of tokens with spaces between them.
func (l *lexed) joined(from, to int) string {
	var b strings.Builder
	for i := from; i < to; i++ {
		if i > from {
			b.WriteByte(' ')
		}
		b.WriteString(l.tokens[i].text)
	}
	return b.String()
}

// perFrom reads "per g", "/100 g", "in each capsule", and returns by what an
// amount is divided, what it is then for each of, and the end, or 0.
func (l *lexed) perFrom(at int) (fact, int) {
	switch {
	case l.is(at, "in") && l.is(at+1, "each"):
		at += 2
	case l.is(at, "per") || l.is(at, "/") || l.is(at, "in") || l.is(at, "each") || l.is(at, "a"):
		at++
	default:
		return fact{}, 0
	}
	by := 1.0
	if at < len(l.tokens) {
		if n, ok := parseNumber(l.tokens[at].text); ok && n > 0 {
			by, at = n, at+1
		}
	}
	if at >= len(l.tokens) {
		return fact{}, 0
	}
	switch w := l.tokens[at].text; {
	case w == "g" || w == "gram" || w == "grams":
		return fact{amount: by, per: "g"}, at + 1
	case w == "kg":
		return fact{amount: by * 1000, per: "g"}, at + 1
	case formWords[w] != "":
		return fact{amount: by, per: formWords[w]}, at + 1
	}
	return fact{}, 0
}

// inUnit converts an amount to the unit of a nutrient. text is the line, in
// which a synthetic form of vitamin E may be named.
func inUnit(n nutrition.Nutrient, x float64, unit, text string) (float64, bool) {
	if unit == "mcg" || unit == "µg" || unit == "μg" {
		unit = "ug"
	}
	if unit == strings.ToLower(n.Unit()) {
		return x, true
	}
	ug, ok := map[string]float64{"ug": 1, "mg": 1e3, "g": 1e6}[unit]
	if !ok {
		return 0, false // IU of something that is not counted so, or kcal
	}
	switch n {
	case nutrition.VitaminE:
		per := nutrition.VitaminEIUPerMg
		if isSynthetic(text) {
			per = nutrition.VitaminEAcetateIUPerMg
		}
		return x * ug / 1e3 * per, true
	case nutrition.VitaminD:
		return x * ug * nutrition.VitaminDIUPerUg, true
	case nutrition.Retinoids:
		return x * ug * nutrition.RetinolIUPerUg, true
	}
	to, ok := map[string]float64{"ug": 1, "mg": 1e3, "g": 1e6}[n.Unit()]
	if !ok {
		return 0, false
	}
	return x * (ug / to), true
}

// isSynthetic reports that a label's vitamin E is the synthetic form.
func isSynthetic(text string) bool {
	text = strings.ToLower(text)
	return strings.Contains(text, "synthetic") || strings.Contains(text, "acetate") || strings.Contains(text, "dl-alpha") || strings.Contains(text, "dl alpha")
}

// activeOf returns the one nutrient for whose sake a supplement is given,
// where it is of one: the only one whose content the label must tell.
func activeOf(f *nutrition.Food) (nutrition.Nutrient, bool) {
	if !f.Has(nutrition.Supplement) {
		return 0, false
	}
	var active nutrition.Nutrient
	found := 0
	for n := range nutrition.NutrientCount {
		v := f.Per100[n]
		if !v.Complete {
			active, found = n, found+1
		} else if v.High > 0 {
			return 0, false
		}
	}
	return active, found == 1
}

// dose makes a dose of a line about a supplement, nil where the line weighs
// the supplement like a food.
func (l *lexed) dose(f *nutrition.Food) (*planner.Dose, *Problem) {
	active, pure := activeOf(f)
	if !pure && l.form == "" && !l.cadence.named && !l.per1000 {
		return nil, nil
	}
	d := planner.Dose{Food: f.Key, Cadence: l.cadence.Cadence, Per1000: l.per1000, Form: l.form}
	count := 0.0
	if a := l.one(byCount); a != nil {
		count = a.n
		if d.Form == "" {
			d.Form = "capsule"
		}
	}
	if d.Form != "" && count == 0 {
		count = 1
	}
	each := max(count, 1) * max(l.cadence.times, 1)
	d.Count = count * max(l.cadence.times, 1)
	if p := l.doseAmounts(&d, f, active, pure, each); p != nil {
		return nil, p
	}
	for _, x := range l.facts {
		if x.per != "g" {
			d.Amounts = append(d.Amounts, planner.Amount{Nutrient: x.nutrient, Amount: x.amount * each})
		} else if d.Grams > 0 {
			d.Amounts = append(d.Amounts, planner.Amount{Nutrient: x.nutrient, Amount: x.amount * float64(d.Grams)})
		}
	}
	if d.Count == 0 && d.Grams == 0 && len(d.Amounts) == 0 {
		p := problem(NoAmount, l.text)
		return nil, &p
	}
	return &d, nil
}

// doseAmounts fills in weight and active amount of a dose. An amount of a
// counted dose is that of one piece.
func (l *lexed) doseAmounts(d *planner.Dose, f *nutrition.Food, active nutrition.Nutrient, pure bool, each float64) *Problem {
	switch a := l.one(byActive, byMass, byMeasure, byVolume); {
	case a == nil:
	case a.kind == byActive && pure:
		x, ok := inUnit(active, a.n, a.unit, l.text)
		if !ok {
			p := problem(NoMeasure, l.text)
			return &p
		}
		d.Amounts = append(d.Amounts, planner.Amount{Nutrient: active, Amount: x * each})
	case a.kind == byActive:
		grams := map[string]nutrition.Grams{"mg": 1e-3, "ug": 1e-6}[a.unit]
		if grams == 0 {
			p := problem(NoMeasure, l.text)
			return &p
		}
		d.Grams = nutrition.Grams(a.n*each) * grams
	case a.kind == byMass && pure:
		x, ok := inUnit(active, float64(a.grams), "g", l.text)
		if ok {
			d.Amounts = append(d.Amounts, planner.Amount{Nutrient: active, Amount: x * each})
		}
	case a.kind == byMass:
		d.Grams = a.grams * nutrition.Grams(each)
	default:
		g, _, ok := l.weigh(f, a)
		if !ok {
			p := problem(NoMeasure, l.text)
			return &p
		}
		d.Grams = g * nutrition.Grams(max(l.cadence.times, 1))
	}
	if d.Grams == 0 && d.Form == "capsule" {
		if m, ok := f.MeasureOf("capsule", ""); ok {
			d.Grams = m.Grams * nutrition.Grams(each)
		}
	}
	return nil
}

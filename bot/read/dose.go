package read

import (
	"regexp"
	"sort"
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

// nutrientPattern matches any of nutrientWords, the longest first.
var nutrientPattern = func() string {
	var words []string
	for w := range nutrientWords {
		words = append(words, regexp.QuoteMeta(w))
	}
	sort.Slice(words, func(i, j int) bool {
		if len(words[i]) != len(words[j]) {
			return len(words[i]) > len(words[j])
		}
		return words[i] < words[j]
	})
	return strings.Join(words, "|")
}()

const (
	factNumber = `(\d+(?:[.,]\d+)*)`
	factUnit   = `(iu|mcg|ug|µg|μg|mg|g|kcal)`
	factPer    = ` ?(?:per|/|in|in each|each|a) ?(100 ?g|1 ?g|g|gram|kg|capsule|softgel|tablet|pill|drop)s?\b`
)

var (
	amountFirst = regexp.MustCompile(`(?i)` + factNumber + ` ?` + factUnit + `\b(?: of)? ?(?:(` + nutrientPattern + `)\b)?` + factPer)
	nameFirst   = regexp.MustCompile(`(?i)\b(` + nutrientPattern + `) ?:? ?` + factNumber + ` ?` + factUnit + factPer)
	nameAmount  = regexp.MustCompile(`(?i)\(` + factNumber + ` ?` + factUnit + ` ?(` + nutrientPattern + `)\)`)
)

// takeFacts finds what a line says of its label and marks it as used.
func (l *lexed) takeFacts() {
	for _, m := range amountFirst.FindAllStringSubmatchIndex(l.text, -1) {
		name := "energy"
		if m[6] >= 0 {
			name = l.text[m[6]:m[7]]
		} else if !strings.EqualFold(l.text[m[4]:m[5]], "kcal") {
			continue
		}
		l.takeFact(name, l.text[m[2]:m[3]], l.text[m[4]:m[5]], l.text[m[8]:m[9]], m[0], m[1])
	}
	for _, m := range nameFirst.FindAllStringSubmatchIndex(l.text, -1) {
		l.takeFact(l.text[m[2]:m[3]], l.text[m[4]:m[5]], l.text[m[6]:m[7]], l.text[m[8]:m[9]], m[0], m[1])
	}
	for _, m := range nameAmount.FindAllStringSubmatchIndex(l.text, -1) {
		l.takeFact(l.text[m[6]:m[7]], l.text[m[2]:m[3]], l.text[m[4]:m[5]], "capsule", m[0], m[1])
	}
}

func (l *lexed) takeFact(name, number, unit, per string, start, end int) {
	n, ok := parseNumber(number)
	nutrient, known := nutrientWords[strings.ToLower(name)]
	if !ok || !known {
		return
	}
	x, ok := inUnit(nutrient, n, strings.ToLower(unit), l.text)
	if !ok {
		return
	}
	f := fact{nutrient: nutrient, amount: x, per: "g"}
	switch p := strings.ToLower(strings.ReplaceAll(per, " ", "")); p {
	case "100g":
		f.amount /= 100
	case "kg":
		f.amount /= 1000
	case "g", "1g", "gram":
	default:
		f.per = formWords[p]
	}
	for _, other := range l.facts {
		if other.nutrient == f.nutrient {
			return
		}
	}
	l.facts = append(l.facts, f)
	l.useBytes(start, end)
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

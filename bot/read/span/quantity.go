package span

import (
	"cmp"
	"maps"
	"math"
	"strconv"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// maxQuantityRunes is how long a text that is one quantity may be.
const maxQuantityRunes = 200

// MostOfAFood is the most grams of one food that is taken for meant: 100 kg
// (common practice, no source: no household kitchen holds more).
const MostOfAFood = 100_000

// mostOfADog is the most kilograms that are taken for a body weight at all;
// whether a dog can weigh so much is judged in package planner.
const mostOfADog = 10_000

// LexQuantity splits a short text; one that is too long or empty is a
// Problem.
func LexQuantity(s string) (*Lexed, error) {
	clean, cut := FirstRunes(s, 4*maxQuantityRunes)
	clean = Clean(clean)
	if _, long := FirstRunes(clean, maxQuantityRunes); long || cut {
		return nil, NewProblem(TooLong, clean)
	}
	l := Lex(clean)
	for len(l.Tokens) > 0 && (l.Any(0, "about", "approx", "ca", "circa", "roughly", "around", "~") || l.Any(1, ".") && l.Any(0, "approx", "ca")) {
		l.Tokens = l.Tokens[1:]
	}
	if n := len(l.Tokens); n > 1 && l.Any(n-1, ".", "!") { // "19.6 kg."
		l.Tokens = l.Tokens[:n-1]
	}
	if len(l.Tokens) == 0 {
		return nil, NewProblem(Empty, clean)
	}
	return l, nil
}

// Number reads a text that is one number: "12", "1,5", "1/2", "1 ½", "two",
// "half a", "a dozen", "1,234.5", "1.234,5". A single point is a decimal
// point; a single comma is a decimal comma, but where exactly three digits
// follow it ("1,250") it stands for thousands. The error is a Problem: Empty,
// TooLong, BadNumber.
func Number(s string) (float64, error) {
	l, err := LexQuantity(s)
	if err != nil {
		return 0, err
	}
	n, end := l.NumberAt(0)
	if end == 0 || end != len(l.Tokens) || math.IsInf(n.Whole(), 0) {
		return 0, NewProblem(BadNumber, s)
	}
	return n.Whole(), nil
}

// MassAt reads the mass that begins at a token, with its smaller units, and
// returns the token after it, or 0.
func (l *Lexed) MassAt(i int) (nutrition.Grams, int) {
	n, end := l.NumberAt(i)
	if end == 0 {
		return 0, 0
	}
	u, to := l.UnitAt(end)
	if to == 0 || u.Kind != ByMass {
		return 0, 0
	}
	if u.IsGram() && n.Point {
		l.Wrong(BadNumber, i, to)
	}
	a := Amount{Kind: ByMass, N: u.In(n), From: i, To: to}
	if f, next := l.AndPart(to); next > 0 { // "a pound and a half"
		a.N, a.To = a.N+f*u.Factor, next
	}
	if n.Value >= 0 {
		l.AddSmaller(&a, u)
	}
	return nutrition.Grams(a.N), a.To
}

// Unmeant is what is wrong with an amount that nobody can mean, empty for any other.
func Unmeant(x, most float64) Code {
	switch {
	case x < 0:
		return Negative
	case x == 0:
		return Zero
	case !(x <= most):
		return TooMuch
	}
	return ""
}

// BodyWeight reads a text that is the weight of a dog: "19.6 kg", "42 lb 8
// oz", "3 stone 2 lb"; a bare number is in the household's unit. The error is
// a Problem: Empty, TooLong, NotWeight, MixedUnits, Negative, Zero. It does
// not judge whether a dog can weigh so much.
func BodyWeight(s string, u planner.Units) (nutrition.Kilograms, error) {
	l, err := LexQuantity(s)
	if err != nil {
		return 0, err
	}
	var w nutrition.Kilograms
	n, end := l.NumberAt(0)
	unit, to := l.UnitAt(end)
	if bare := end > 0 && end == len(l.Tokens); bare && u.Pounds {
		unit, to = UnitWords["lb"], end
	} else if bare {
		unit, to = UnitWords["kg"], end
	}
	switch whole := end > 0 && to == len(l.Tokens); { // these keep their figure to the last digit
	case whole && unit.Name == "kg":
		w = nutrition.Kilograms(n.Value)
	case whole && unit.Name == "lb":
		w = nutrition.Kilograms(n.Value) * nutrition.KilosPerPound
	default:
		g, end := l.MassAt(0)
		if code := cmp.Or(l.Code, NotWeight); end == 0 || end != len(l.Tokens) || l.Code != "" {
			return 0, NewProblem(code, s)
		}
		w = nutrition.Kilograms(g / 1000)
	}
	switch code := Unmeant(float64(w), mostOfADog); code {
	case "":
		return w, nil
	case TooMuch:
		return 0, NewProblem(NotWeight, s)
	default:
		return w, NewProblem(code, s)
	}
}

// Energy reads a text that is one energy with its unit: "900 kcal", "900
// calories", "3.7 MJ". The error is a Problem: Empty, TooLong, NotEnergy,
// Negative, Zero, TooMuch.
func Energy(s string) (nutrition.Kcal, error) {
	l, err := LexQuantity(s)
	if err != nil {
		return 0, err
	}
	kcal, end := l.EnergyAt(0)
	if end != len(l.Tokens) {
		return 0, NewProblem(NotEnergy, s)
	}
	if code := Unmeant(float64(kcal), mostEnergy); code != "" {
		return 0, NewProblem(code, s)
	}
	return kcal, nil
}

// EnergyAt reads the energy that begins at a token, and returns the token after it, or 0.
func (l *Lexed) EnergyAt(i int) (nutrition.Kcal, int) {
	n, to := l.NumberAt(i)
	u, end := l.UnitAt(to)
	if to == 0 || u.Kind != ByEnergy {
		return 0, 0
	}
	return nutrition.Kcal(u.In(n)), end
}

// mostEnergy is what 100 kg of pure fat hold, at 9 kcal a gram.
const mostEnergy = 9 * MostOfAFood

// Amount is a quantity found in a line.
type Amount struct {
	Kind     AmountKind
	N        float64 // grams, IU, kcal, millilitres, or how many
	Unit     string  // its name; "piece" of a bare number
	Metric   bool    // of masses
	Each     bool    // typed as what each piece has: "2 x 250 g"
	Inside   bool    // in round brackets
	From, To int     // tokens
}

// perTeaspoon is how many teaspoons the measures are that can be named
// together: "1 cup 2 tbsp".
var perTeaspoon = map[string]float64{"cup": 48, "fl oz": 6, "tbsp": 3, "tsp": 1}

const poundsPerStone = 14

// AddSmaller adds the smaller units that follow an amount: "1 lb 4 oz", "1 cup
// and 2 tbsp", "1 kg 200 g",
// "4 stone 13".
func (l *Lexed) AddSmaller(a *Amount, u Unit) {
	for {
		at := l.After(a.To, ",", "and", "plus", "&", "+")
		n, end := l.NumberAt(at)
		if end == 0 || l.Tokens[at].Kind != NumberToken && u.Kind != ByMass || l.Tokens[at].Comma || l.Tokens[at].Stop {
			return
		}
		v, to := l.UnitAt(end)
		if u.Name == "st" && to == 0 && n.Value <= poundsPerStone { // "4 st 13 and a half"
			v, to = UnitWords["lb"], end
			if part, after := l.AndPart(end); after > 0 {
				n.Value, to = n.Value+part, after
			}
		}
		if to == 0 || v.Kind != u.Kind {
			return
		}
		switch {
		case v.Kind == ByMass && v.Metric != u.Metric:
			if at == a.To {
				l.Wrong(MixedUnits, a.From, to)
				a.To = to
			}
			return
		case v.Kind == ByMass && v.Factor < u.Factor:
			a.N += v.In(n)
		case v.Kind == ByMeasure && perTeaspoon[v.Name] > 0 && perTeaspoon[v.Name] < perTeaspoon[u.Name]:
			a.N = a.N*perTeaspoon[u.Name]/perTeaspoon[v.Name] + v.In(n)
			a.Unit = v.Name
		default:
			return
		}
		a.To, u = to, v
	}
}

// FormatMass prints a mass so that Mass reads the same number of grams again:
// as the shortest figure in ounces or grams that does, in grams where no
// figure in ounces does.
func FormatMass(g nutrition.Grams, u planner.Units) string {
	if u.Ounces {
		for digits := 1; digits <= 17; digits++ {
			x, err := strconv.ParseFloat(strconv.FormatFloat(g.Ounces(), 'g', digits, 64), 64)
			if err == nil && x*float64(nutrition.GramsPerOunce) == float64(g) {
				return Plain(x) + " oz"
			}
		}
	}
	return GramsInFull(g)
}

// GramsInFull prints grams in full. Three digits after the point get a fourth, for
// "1.125 g" may be taken for 1125 g and is not read.
func GramsInFull(g nutrition.Grams) string {
	s := Plain(float64(g))
	if pointOfThousands(s) {
		s += "0"
	}
	return s + " g"
}

// Unit is what an amount is counted in.
type Unit struct {
	Kind   AmountKind
	Factor float64 // grams, kcal or millilitres of one; 1 for the others
	Name   string  // of a measure or a form; "mg" and "µg" by their name
	Metric bool    // of masses
}

// AmountKind is what an amount is an amount of.
type AmountKind uint8

const (
	ByMass    AmountKind = iota + 1 // grams
	ByActive                        // IU
	ByEnergy                        // kcal
	ByVolume                        // millilitres
	ByMeasure                       // cups, spoons, pieces
	ByForm                          // capsules, drops
	ByCount                         // a bare number
)

// UnitWords are the units as they are written.
var UnitWords = func() map[string]Unit {
	units := map[string]Unit{}
	for kind, name := range []string{ByMass: "mass", ByActive: "active", ByEnergy: "energy", ByVolume: "volume", ByMeasure: "measure", ByForm: "form"} {
		maps.Copy(units, valuesOf(func(v valueLine) Unit { return Unit{AmountKind(kind), v.figure(), v.name, len(v.of) > 1} }, name))
	}
	for w := range valuesOf(valueLine.is, "measures") {
		u := Unit{Kind: ByMeasure, Factor: 1, Name: w}
		units[w], units[w+"s"] = u, u
	}
	return units
}()

// IsForm reports that a word is a form that supplements come in: "capsules".
func IsForm(word string) bool {
	u, ok := UnitWords[Fold(word)]
	return ok && u.Kind == ByForm
}

// IsGram reports that a unit is the gram. Grams with a point and three digits
// ("1.200 g") are a thousand times as much to those who part thousands with
// it, and nobody weighs a food to the milligram: they are not read.
func (u Unit) IsGram() bool { return u.Kind == ByMass && u.Metric && u.Factor == 1 }

// UnitAt reads the unit at a token and returns the token after it, or 0.
func (l *Lexed) UnitAt(i int) (Unit, int) {
	if i >= len(l.Tokens) || l.Tokens[i].Kind != WordToken {
		return Unit{}, 0
	}
	w, end := l.Word(i), i+1
	switch w {
	case "":
		return Unit{}, 0
	case "fl", "fluid", "floz":
		if w != "floz" {
			end = l.After(end, ".")
			if !l.Any(end, "oz", "ounce", "ounces") {
				return Unit{}, 0
			}
			end++
		}
		return Unit{Kind: ByMeasure, Factor: 1, Name: "fl oz"}, l.afterPoint(end)
	case "international":
		if l.Any(end, "unit", "units") {
			return UnitWords["iu"], end + 1
		}
	case "i": // "I.U."
		if l.Any(end, ".") && l.Any(end+1, "u") {
			return UnitWords["iu"], l.afterPoint(end + 2)
		}
		return Unit{}, 0
	case "level", "heaped", "heaping", "rounded", "full", "scant", "generous":
		if u, to := l.UnitAt(end); to > 0 && (u.Kind == ByMeasure || u.Kind == ByForm) {
			return u, to
		}
		return Unit{}, 0
	}
	u, ok := UnitWords[w]
	if !ok {
		return Unit{}, 0
	}
	return u, l.afterPoint(end)
}

// afterPoint steps over the point of an abbreviation: "oz.", "tbsp.".
func (l *Lexed) afterPoint(i int) int {
	return Choose(i > 0 && l.Any(i, ".") && l.Tokens[i-1].End == l.Tokens[i].Start, i+1, i)
}

// In returns a number in a unit's base: grams, kcal, millilitres or how many.
// A comma that may be for thousands is so before small units and bare
// numbers, and a decimal comma before large ones: "1,250 g" and "1,250 kg"
// are the same.
func (u Unit) In(n Numeral) float64 {
	large := u.Kind == ByMass && u.Factor > 100 || u.Kind == ByVolume && u.Factor > 100 || u.Kind == ByEnergy && u.Name == "mj" ||
		u.Kind == ByMeasure
	return Choose(large, n.Value, n.Whole()) * u.Factor
}

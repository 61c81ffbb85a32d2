package span

import "maps"

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
		maps.Copy(units, valuesOf(func(v valueLine) Unit { return Unit{AmountKind(kind), v.figure(0), v.name, len(v.of) > 1} }, name))
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
	if i > 0 && l.Any(i, ".") && l.Tokens[i-1].End == l.Tokens[i].Start {
		return i + 1
	}
	return i
}

// In returns a number in a unit's base: grams, kcal, millilitres or how many.
// A comma that may be for thousands is so before small units and bare
// numbers, and a decimal comma before large ones: "1,250 g" and "1,250 kg"
// are the same.
func (u Unit) In(n Numeral) float64 {
	large := u.Kind == ByMass && u.Factor > 100 || u.Kind == ByVolume && u.Factor > 100 || u.Kind == ByEnergy && u.Name == "mj" ||
		u.Kind == ByMeasure
	if large {
		return n.Value * u.Factor
	}
	return n.Whole() * u.Factor
}

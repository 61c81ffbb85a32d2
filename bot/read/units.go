package read

import "maps"

// unit is what an amount is counted in.
type unit struct {
	kind   amountKind
	factor float64 // grams, kcal or millilitres of one; 1 for the others
	name   string  // of a measure or a form; "mg" and "µg" by their name
	metric bool    // of masses
}

// amountKind is what an amount is an amount of.
type amountKind uint8

const (
	byMass    amountKind = iota + 1 // grams
	byActive                        // IU
	byEnergy                        // kcal
	byVolume                        // millilitres
	byMeasure                       // cups, spoons, pieces
	byForm                          // capsules, drops
	byCount                         // a bare number
)

// unitWords are the units as they are written.
var unitWords = func() map[string]unit {
	units := map[string]unit{}
	for kind, name := range []string{byMass: "mass", byActive: "active", byEnergy: "energy", byVolume: "volume", byMeasure: "measure", byForm: "form"} {
		maps.Copy(units, valuesOf(func(v valueLine) unit { return unit{amountKind(kind), v.figure(0), v.name, len(v.of) > 1} }, name))
	}
	for w := range valuesOf(valueLine.is, "measures") {
		u := unit{kind: byMeasure, factor: 1, name: w}
		units[w], units[w+"s"] = u, u
	}
	return units
}()

// IsForm reports that a word is a form that supplements come in: "capsules".
func IsForm(word string) bool {
	u, ok := unitWords[fold(word)]
	return ok && u.kind == byForm
}

// isGram reports that a unit is the gram. Grams with a point and three digits
// ("1.200 g") are a thousand times as much to those who part thousands with
// it, and nobody weighs a food to the milligram: they are not read.
func (u unit) isGram() bool { return u.kind == byMass && u.metric && u.factor == 1 }

// unitAt reads the unit at a token and returns the token after it, or 0.
func (l *lexed) unitAt(i int) (unit, int) {
	if i >= len(l.tokens) || l.tokens[i].kind != wordToken {
		return unit{}, 0
	}
	w, end := l.word(i), i+1
	switch w {
	case "":
		return unit{}, 0
	case "fl", "fluid", "floz":
		if w != "floz" {
			if l.any(end, ".") {
				end++
			}
			if !l.any(end, "oz", "ounce", "ounces") {
				return unit{}, 0
			}
			end++
		}
		return unit{kind: byMeasure, factor: 1, name: "fl oz"}, l.afterPoint(end)
	case "i": // "I.U."
		if l.any(end, ".") && l.any(end+1, "u") {
			return unitWords["iu"], l.afterPoint(end + 2)
		}
		return unit{}, 0
	case "level", "heaped", "heaping", "rounded", "full", "scant", "generous":
		if u, to := l.unitAt(end); to > 0 && (u.kind == byMeasure || u.kind == byForm) {
			return u, to
		}
		return unit{}, 0
	}
	u, ok := unitWords[w]
	if !ok {
		return unit{}, 0
	}
	return u, l.afterPoint(end)
}

// afterPoint steps over the point of an abbreviation: "oz.", "tbsp.".
func (l *lexed) afterPoint(i int) int {
	if i > 0 && l.any(i, ".") && l.tokens[i-1].end == l.tokens[i].start {
		return i + 1
	}
	return i
}

// in returns a number in a unit's base: grams, kcal, millilitres or how many.
// A comma that may be for thousands is so before small units and bare
// numbers, and a decimal comma before large ones: "1,250 g" and "1,250 kg"
// are the same.
func (u unit) in(n number) float64 {
	large := u.kind == byMass && u.factor > 100 || u.kind == byVolume && u.factor > 100 || u.kind == byEnergy && u.name == "mj" ||
		u.kind == byMeasure
	if large {
		return n.value * u.factor
	}
	return n.whole() * u.factor
}

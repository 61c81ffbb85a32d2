package read

import "bowlwright/nutrition"

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

const (
	gramsPerTonne = 1e6
	kcalPerKJ     = 1 / 4.184 // exact by the definition of the thermochemical calorie
)

// unitWords are the units as they are written. Pounds and ounces are those of
// the international agreement of 1959, a stone is 14 lb.
var unitWords = func() map[string]unit {
	units := map[string]unit{}
	add := func(u unit, words ...string) {
		for _, w := range words {
			units[w] = u
		}
	}
	mass := func(grams float64, metric bool, words ...string) {
		add(unit{byMass, grams, words[0], metric}, words...)
	}
	mass(1, true, "g", "gr", "gm", "gms", "grm", "gram", "grams", "gramme", "grammes")
	mass(1000, true, "kg", "kgs", "kilo", "kilos", "kilogram", "kilograms", "kilogramme", "kilogrammes")
	mass(1e-3, true, "mg", "mgs", "milligram", "milligrams", "milligramme", "milligrammes")
	mass(1e-6, true, "ug", "mcg", "mcgs", "µg", "μg", "microgram", "micrograms", "microgramme", "microgrammes")
	mass(gramsPerTonne, true, "t", "ton", "tons", "tonne", "tonnes")
	mass(float64(nutrition.GramsPerOunce), false, "oz", "ozs", "ounce", "ounces")
	mass(float64(nutrition.GramsPerPound), false, "lb", "lbs", "pound", "pounds")
	mass(float64(gramsPerStone), false, "st", "stone", "stones")
	add(unit{kind: byActive, factor: 1, name: "iu"}, "iu", "ius")
	add(unit{kind: byEnergy, factor: 1, name: "kcal"}, "kcal", "kcals", "cal", "cals", "calorie", "calories", "kilocalorie", "kilocalories")
	add(unit{kind: byEnergy, factor: kcalPerKJ, name: "kj"}, "kj", "kilojoule", "kilojoules")
	add(unit{kind: byEnergy, factor: 1000 * kcalPerKJ, name: "mj"}, "mj", "megajoule", "megajoules")
	add(unit{kind: byVolume, factor: 1, name: "ml"}, "ml", "mls", "millilitre", "millilitres", "milliliter", "milliliters", "cc")
	add(unit{kind: byVolume, factor: 10, name: "ml"}, "cl")
	add(unit{kind: byVolume, factor: 100, name: "ml"}, "dl")
	add(unit{kind: byVolume, factor: 1000, name: "l"}, "l", "litre", "litres", "liter", "liters")
	measure := func(words ...string) { add(unit{kind: byMeasure, factor: 1, name: words[0]}, words...) }
	measure("cup", "cups", "c")
	measure("tbsp", "tbsps", "tablespoon", "tablespoons", "tablespoonful", "tablespoonfuls", "tbs", "tbl")
	measure("tsp", "tsps", "teaspoon", "teaspoons", "teaspoonful", "teaspoonfuls")
	for _, w := range []string{
		"piece", "slice", "can", "fillet", "stalk", "head", "spear", "sprig", "sheet", "strip", "wedge", "floret", "packet",
		"handful", "pinch", "dash", "splash", "bunch", "clove", "knob", "glug", "drizzle", "sprinkle", "spoon", "spoonful", "bowl",
		"jar", "pot", "bag", "box", "carton", "bottle", "tub", "pack", "package", "container", "serving", "portion", "pint", "quart", "gallon", "stick", "chunk", "cube",
	} {
		measure(w, w+"s")
	}
	measure("piece", "pc", "pcs")
	measure("can", "tin", "tins")
	measure("leaf", "leaves")
	measure("pinch", "pinches")
	measure("bunch", "bunches")
	measure("box", "boxes")
	form := func(words ...string) { add(unit{kind: byForm, factor: 1, name: words[0]}, words...) }
	form("capsule", "capsules", "cap", "caps", "softgel", "softgels", "gelcap", "gelcaps", "pearl", "pearls")
	form("tablet", "tablets", "tab", "tabs", "pill", "pills", "chew", "chews")
	form("drop", "drops")
	form("pump", "pumps", "squirt", "squirts", "spray", "sprays")
	form("scoop", "scoops")
	form("sachet", "sachets")
	return units
}()

// IsForm reports that a word is a form that supplements come in: "capsules".
func IsForm(word string) bool {
	u, ok := unitWords[fold(word)]
	return ok && u.kind == byForm
}

// holders are the measures that a weight is printed on: "2 cans (120 g)" are
// 120 g each.
var holders = map[string]bool{
	"can": true, "packet": true, "jar": true, "pot": true, "bag": true, "box": true, "carton": true, "bottle": true, "tub": true,
	"pack": true, "package": true, "container": true, "fillet": true, "capsule": true, "tablet": true, "sachet": true, "stick": true,
}

// sizeWords are sizes of pieces, before the piece or the measure.
var sizeWords = map[string]string{
	"small": "small", "little": "small", "medium": "medium", "large": "large", "big": "large", "jumbo": "jumbo", "xl": "extra large",
}

// cutWords are the cuts that a measure is filled with.
var cutWords = map[string]string{
	"chopped": "chopped", "sliced": "sliced", "diced": "diced", "mashed": "mashed", "grated": "grated", "shredded": "shredded",
	"minced": "chopped", "cubed": "cubes", "pureed": "pureed", "puréed": "pureed", "halved": "halves", "ground": "ground", "whole": "whole", "half": "half",
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

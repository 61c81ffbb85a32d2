package nutrition

import (
	"slices"
	"strings"
)

// MeasureUnits are the units that measures are given in.
var MeasureUnits = []string{
	"cup", "tbsp", "tsp", "fl oz", "piece", "slice", "can", "fillet", "leaf", "head", "stalk", "spear", "sprig",
	"sheet", "strip", "wedge", "floret", "packet", "capsule", "drop",
}

// perCup is how many of a unit make one US cup. Exact by definition: 1 cup =
// 8 fl oz = 16 tbsp = 48 tsp.
var perCup = map[string]float64{"cup": 1, "fl oz": 8, "tbsp": 16, "tsp": 48}

// MillilitresPerCup is the US customary cup, exact by definition (1 US gallon
// = 231 cubic inches, 16 cups).
const MillilitresPerCup = 236.5882365

// sameNote maps other words for a note to the one in the table.
var sameNote = map[string]string{
	"slices": "sliced", "minced": "chopped", "cubed": "cubes", "cut": "chopped",
	"puréed": "pureed", "purée": "pureed", "puree": "pureed", "big": "large", "xl": "extra large",
	"extra-large": "extra large", "milled": "ground", "little": "small", "halved": "halves", "mash": "mashed",
}

// MeasureOf returns what one unit of the food weighs, and false where no
// source gives it. Unit is one of MeasureUnits; note chooses among several
// ("large", "chopped") and may be empty.
//
// Without a note it is the measure without one, else the usual one: large for
// hen eggs, medium for other pieces, chopped for a cup. A note that the food
// has no measure for gives the same, except for a size of a piece, which would
// change the weight. Cups, fluid ounces and spoons are worked out from one
// another by volume where only one of them has a weight.
func (f *Food) MeasureOf(unit, note string) (Measure, bool) {
	note = strings.ToLower(strings.TrimSpace(note))
	if s, ok := sameNote[note]; ok {
		note = s
	}
	if m, ok := f.measure(unit, note); ok {
		return m, true
	}
	per, ok := perCup[unit]
	if !ok {
		return Measure{}, false
	}
	for _, from := range []string{"cup", "tbsp", "tsp", "fl oz"} {
		if m, ok := f.measure(from, note); ok {
			m.Grams *= Grams(perCup[from] / per)
			m.Source += ", from the " + from + " by volume"
			m.Unit = unit
			return m, true
		}
	}
	return Measure{}, false
}

// noteOrder is which measure of a unit is meant where none is named.
var noteOrder = []string{"", "medium", "chopped", "sliced", "diced", "whole", "mashed", "half"}

// sizes are the notes that are sizes.
var sizes = []string{"extra small", "small", "medium", "large", "extra large", "jumbo"}

func (f *Food) measure(unit, note string) (Measure, bool) {
	var found []*Measure
	for i := range f.Measure {
		if f.Measure[i].Unit == unit {
			found = append(found, &f.Measure[i])
		}
	}
	with := func(note string) *Measure {
		for _, m := range found {
			if m.Note == note {
				return m
			}
		}
		return nil
	}
	if len(found) == 0 {
		return Measure{}, false
	}
	if note != "" {
		if m := with(note); m != nil {
			return *m, true
		}
		if slices.Contains(sizes, note) && len(found) > 1 {
			return Measure{}, false
		}
	}
	if f.Has(Egg) {
		if m := with("large"); m != nil {
			return *m, true
		}
	}
	for _, n := range noteOrder {
		if m := with(n); m != nil {
			return *m, true
		}
	}
	return *found[0], true
}

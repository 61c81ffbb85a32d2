package bot

import (
	"strings"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// absurdDose reports a dose that no dog can be given: more of a nutrient than
// the heaviest dog could have in a week at the highest published maximum, or
// more than a hundred times the highest published minimum of such a week where
// no maximum is published.
func absurdDose(d planner.Dose) bool {
	const weekOfHeaviest = 7 * 4 // thousands of kcal: about 4000 kcal a day (110 kcal x 120 kg^0.75)
	for _, a := range d.Amounts {
		most := 0.0
		for _, p := range nutrition.Profiles() {
			r, ok := p.Requirement(nutrition.Subject(a.Nutrient))
			if a.Nutrient == nutrition.Retinoids {
				r, ok = p.Requirement(nutrition.VitaminA)
			}
			switch {
			case !ok:
			case r.HasMax():
				most = max(most, r.Max)
			case r.HasMin():
				most = max(most, r.Min*100)
			}
		}
		if most > 0 && a.Amount > most*weekOfHeaviest {
			return true
		}
	}
	return false
}

// canName reports that what follows the command on its line is a name: no
// food is in it ("Bowl 1").
func (t *turn) canName(s string) bool {
	got := read.RecipeText(s, t.foods)
	if len(got.Lines) > 0 || len(got.Problems) != 1 || recipeName(s) == "" {
		return false
	}
	switch got.Problems[0].Code {
	case read.NoAmount, read.NoFood, read.UnknownFood:
		return true
	}
	return false
}

// isTitle reports that the first line of a paste names the recipe: it holds
// no amount.
func isTitle(line string, t *turn) bool {
	got := read.RecipeText(strings.TrimRight(line, ": "), t.foods)
	if len(got.Lines) > 0 || len(got.Problems) == 0 {
		return got.Name != ""
	}
	switch got.Problems[0].Code {
	case read.NoAmount, read.NoFood, read.UnknownFood, read.AmbiguousFood:
		return !strings.ContainsAny(line, "0123456789½¼¾")
	}
	return false
}

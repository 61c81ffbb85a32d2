package planner

import (
	"slices"

	"bowlwright/nutrition"
)

// StandingKind says what a recipe is meant to be; the zero value is not said.
type StandingKind string

// The kinds of standing as stored.
const (
	IsComplete  StandingKind = "complete"  // it meets a table on what is known
	IsTopper    StandingKind = "topper"    // goes on top of other food: see TreatShare
	ForSomeDays StandingKind = "some-days" // not to be fed every day
)

// TreatShare is the most of a day's kcal that treats should make up (AAHA and
// WSAVA nutrition guidelines, from memory). A topper brings no more, so that what
// the rest is complete in stays so.
const TreatShare = 0.1

// Standing is what a recipe's author says of it. Whether one that is said to be
// complete is so on what is known, the analysis tells whenever it is shown.
type Standing struct {
	Kind      StandingKind `json:"kind,omitempty"`
	Table     string       `json:"table,omitempty"`      // of IsComplete: the id of its profile
	CheckedBy string       `json:"checked_by,omitempty"` // who looked at the lines as they are: the author's words
	CheckedAt string       `json:"checked_at,omitempty"` // and when, as typed
}

// back is the standing of a recipe that goes back to a version: that of then. A
// recipe that is not to be all of a dog's food stays so where nothing was said
// then.
func (s Standing) back(now Standing) Standing {
	if s.Kind == "" && now.Kind != IsComplete {
		s.Kind = now.Kind
	}
	return s
}

// Topper reports that a recipe is one.
func (r *Recipe) Topper() bool { return r.Standing.Kind == IsTopper }

// Share is how much of a dog's kcal a recipe may bring: all, or a topper's tenth.
func (r *Recipe) Share(k nutrition.Kcal) nutrition.Kcal {
	if r.Topper() {
		return k * TreatShare
	}
	return k
}

// isTopper reports that a recipe of the household is a topper.
func (h *Household) isTopper(recipe string) bool {
	return slices.ContainsFunc(h.Recipes, func(r Recipe) bool { return r.ID == recipe && r.Topper() })
}

// OnTop is a topper with the food that it goes on: nine times its energy and
// weight, of which nothing else is known. So what it brings too much of is judged
// by the whole of a day, and nothing is called too little.
func OnTop(m nutrition.Mixture) nutrition.Mixture {
	sum := nutrition.Sum(nutrition.Mixture{Items: m.Items})
	if !(sum.Grams > 0) {
		return m
	}
	const times = (1 - TreatShare) / TreatShare
	rest := &nutrition.Food{Kind: nutrition.OwnKind, Part: nutrition.Muscle} // its liver and bone count as parts of the whole
	rest.Per100[nutrition.Energy] = sum.Values[nutrition.Energy].Times(100 / float64(sum.Grams))
	m.Items = append(slices.Clone(m.Items), nutrition.Item{Food: rest, Grams: times * sum.Grams})
	return m
}

// SameParts reports that two recipes have the same foods in the same
// proportions, so that what was found of the one holds for the other, and the
// same supplements.
func SameParts(a, b *Recipe) bool {
	whole, of := a.Grams(""), b.Grams("")
	if len(a.Ingredients) != len(b.Ingredients) || len(a.Doses) != len(b.Doses) || (whole > 0) != (of > 0) {
		return false
	}
	if whole == 0 {
		return SameLines(a, b)
	}
	factor := float64(of / whole)
	scaled := *a
	scaled.Doses = slices.Clone(a.Doses)
	for i := range scaled.Doses {
		if d := &scaled.Doses[i]; d.Batch {
			*d = d.Times(factor)
		}
	}
	return slices.EqualFunc(a.Ingredients, b.Ingredients, func(x, y Ingredient) bool {
		g := float64(x.Grams) * factor
		return x.Food == y.Food && slices.Equal(x.Label, y.Label) && alike(g, float64(y.Grams))
	}) && slices.EqualFunc(scaled.Doses, b.Doses, alikeDose)
}

// alike reports that two amounts differ by no more than rounding.
func alike(x, y float64) bool { return max(x, y)-min(x, y) <= 1e-6*max(x, y) }

// alikeDose is sameDose of doses that were multiplied out.
func alikeDose(x, y Dose) bool {
	same := len(x.Amounts) == len(y.Amounts) && alike(x.Count, y.Count) && alike(float64(x.Grams), float64(y.Grams))
	for i := range x.Amounts {
		same = same && x.Amounts[i].Nutrient == y.Amounts[i].Nutrient && alike(x.Amounts[i].Amount, y.Amounts[i].Amount)
	}
	x.Count, x.Grams, x.Amounts = y.Count, y.Grams, y.Amounts
	return same && sameDose(x, y)
}

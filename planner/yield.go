package planner

import (
	"slices"

	"bowlwright/nutrition"
)

// UsualYield is the range of what some food weighs cooked over what it weighs
// raw, by the weights of its kinds. Dry grain and pulses take up water that has
// to be added. A recipe that weighs nothing has the range of meat.
func UsualYield(r Recipe, p nutrition.Pantry) nutrition.Yield {
	var y nutrition.Yield
	var whole float64
	for _, in := range r.Ingredients {
		f := p.Food(in.Food)
		if f == nil || !weighable(in.Grams) {
			continue
		}
		each := f.Yield()
		whole += float64(in.Grams)
		y.Low += float64(in.Grams) * each.Low
		y.High += float64(in.Grams) * each.High
	}
	if whole <= 0 {
		return nutrition.MeatYield()
	}
	return nutrition.Yield{Low: y.Low / whole, High: y.High / whole}
}

// Cooking is what a carer told of a recipe that is cooked.
type Cooking struct {
	Raw    int          `json:"raw,omitempty"`    // what went into the pan, g
	Cooked int          `json:"cooked,omitempty"` // what came out, g; 0: never weighed
	Day    Date         `json:"day,omitzero"`     // of the weighing; zero: another's, adopted with the recipe
	Of     []Ingredient `json:"of,omitempty"`     // the lines that were weighed; of others it says nothing
	Poured bool         `json:"poured,omitempty"` // fat and juice were poured off
}

// Weigh keeps what a recipe as it is now weighed raw and cooked.
func (r *Recipe) Weigh(raw, cooked int, day Date) {
	r.Cooking = Cooking{Raw: raw, Cooked: cooked, Day: day, Of: slices.Clone(r.Ingredients), Poured: r.Cooking.Poured}
}

// Yield is what a recipe weighed cooked over what it weighed raw; false where it
// was not weighed, or its lines are others since.
func (r *Recipe) Yield() (float64, bool) {
	c := r.Cooking
	if c.Raw < 1 || c.Cooked < 1 || !SameParts(&Recipe{Ingredients: c.Of}, &Recipe{Ingredients: r.Ingredients}) {
		return 0, false
	}
	return float64(c.Cooked) / float64(c.Raw), true
}

// InCookedWeights reports that a recipe is written in cooked weights: something in
// it was weighed cooked, and nothing that is cooked was weighed raw.
func InCookedWeights(r Recipe, p nutrition.Pantry) bool {
	cooked := false
	for _, in := range r.Ingredients {
		f := p.Food(in.Food)
		if f == nil {
			return false
		}
		if y := f.Yield(); y.Low != 1 || y.High != 1 {
			return false
		}
		cooked = cooked || f.Has(nutrition.Cooked)
	}
	return cooked
}

// oilyFat is the fat of an oily fish, g per 100 g, from here on (common practice,
// no source).
const oilyFat = 5

// Oily reports that a recipe has oily fish in it.
func Oily(r Recipe, p nutrition.Pantry) bool {
	for _, in := range r.Ingredients {
		if f := p.Food(in.Food); f != nil && f.Part == nutrition.Fish && f.Per100[nutrition.Fat].Mid >= oilyFat {
			return true
		}
	}
	return false
}

// UseBy is the day by which food frozen at -18 °C on a day is used: three months,
// with oily fish two (for quality; from memory).
func UseBy(frozen Date, oily bool) Date {
	months := 3
	if oily {
		months = 2
	}
	return DateOf(frozen.Noon().AddDate(0, months, 0))
}

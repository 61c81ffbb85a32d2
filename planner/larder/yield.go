package larder

import (
	"slices"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// UsualYield is the range of what some food weighs cooked over what it weighs
// raw, by the weights of its kinds. Dry grain and pulses take up water that has
// to be added. A recipe that weighs nothing has the range of meat.
func UsualYield(r planner.Recipe, p nutrition.Pantry) nutrition.Yield {
	var y nutrition.Yield
	var whole float64
	for _, in := range r.Ingredients {
		f := p.Food(in.Food)
		if f == nil || !planner.Weighable(in.Grams) {
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

// InCookedWeights reports that a recipe is written in cooked weights: something in
// it was weighed cooked, and nothing that is cooked was weighed raw.
func InCookedWeights(r planner.Recipe, p nutrition.Pantry) bool {
	raw, cooked := weighed(r, p)
	return cooked && !raw
}

// InRawWeights reports the opposite.
func InRawWeights(r planner.Recipe, p nutrition.Pantry) bool {
	raw, cooked := weighed(r, p)
	return raw && !cooked
}

// weighed reports whether something of a recipe that is cooked was weighed raw, and whether
// something was weighed cooked: neither of one that has a food no more.
func weighed(r planner.Recipe, p nutrition.Pantry) (raw, cooked bool) {
	for _, in := range r.Ingredients {
		f := p.Food(in.Food)
		if f == nil {
			return false, false
		}
		y := f.Yield()
		raw, cooked = raw || y.Low != 1 || y.High != 1, cooked || f.Has(nutrition.Cooked)
	}
	return raw, cooked
}

// oilyFat is the fat of an oily fish, g per 100 g, from here on (common practice,
// no source).
const oilyFat = 5

// Oily reports that a recipe has oily fish in it.
func Oily(r planner.Recipe, p nutrition.Pantry) bool {
	return slices.ContainsFunc(r.Ingredients, func(in planner.Ingredient) bool {
		f := p.Food(in.Food)
		return f != nil && f.Part == nutrition.Fish && f.Per100[nutrition.Fat].Mid >= oilyFat
	})
}

// UseBy is the day by which food frozen at -18 °C on a day is used: three months,
// with oily fish two (for quality; from memory).
func UseBy(frozen planner.Date, oily bool) planner.Date {
	months := 3
	if oily {
		months = 2
	}
	return planner.DateOf(frozen.Noon().AddDate(0, months, 0))
}

package planner

import "bowlwright/nutrition"

// Yield is what food weighs cooked over what it weighed raw, as a range.
type Yield struct{ Low, High float64 }

// Has reports that a yield lies within the range.
func (y Yield) Has(cooked float64) bool { return cooked >= y.Low && cooked <= y.High }

// usualYields are by kind of food: USDA Table of Cooking Yields for Meat and
// Poultry, 2012, and common practice; from memory.
var usualYields = map[string]Yield{
	"meat":      {0.55, 0.95},
	"vegetable": {0.7, 1},
	"grain":     {2.2, 3.2}, // dry rice, taken for all dry grain
	"pulse":     {2, 2.8},   // dry
	"as-is":     {1, 1},     // cooked or canned already, oils, supplements
}

// usualYield is that of a food. Eggs and what has no kind of its own are taken
// as vegetables: our own choice.
func usualYield(f *nutrition.Food) Yield {
	switch {
	case f.Has(nutrition.Cooked), f.Has(nutrition.Canned), f.Has(nutrition.Supplement), f.Kind == "oil", f.Has(nutrition.Dairy):
		return usualYields["as-is"]
	case f.Has(nutrition.Grain):
		return usualYields["grain"]
	case f.Kind == "legume" && f.Has(nutrition.CookFirst):
		return usualYields["pulse"]
	case f.Part <= nutrition.Fish && f.Kind != "egg":
		return usualYields["meat"]
	}
	return usualYields["vegetable"]
}

// UsualYield is the range of what some food weighs cooked over what it weighs
// raw, by the weights of its kinds. Dry grain and pulses take up water that has
// to be added. A recipe that weighs nothing has the range of meat.
func UsualYield(r Recipe, p nutrition.Pantry) Yield {
	var y Yield
	var whole float64
	for _, in := range r.Ingredients {
		f := p.Food(in.Food)
		if f == nil || !weighable(in.Grams) {
			continue
		}
		each := usualYield(f)
		whole += float64(in.Grams)
		y.Low += float64(in.Grams) * each.Low
		y.High += float64(in.Grams) * each.High
	}
	if whole <= 0 {
		return usualYields["meat"]
	}
	return Yield{y.Low / whole, y.High / whole}
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

package portions

import (
	"math"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Portion is what a dog gets of two foods on a day of a transition, rounded
// to a kitchen scale and split into meals. The day is the sum of the two, and
// of its meals.
type Portion struct {
	Old, New           nutrition.Grams
	OldMeals, NewMeals []nutrition.Grams
	Share              float64        // of the kcal that the new food is to bring, 0-1
	Kcal               nutrition.Kcal // what it was made for
	OldKcal            nutrition.Kcal // what the old food brings as rounded
	NewKcal            nutrition.Kcal // and the new one, by the middle estimate of its energy
}

// PortionOn returns a dog's portion of a day: so many kcal in so many meals, 0
// counting as 2. The old food is rounded first and the new one fills up to the
// kcal, so one rounding makes up for the other. Errors are those of
// FactorForKcal and, for no kcal of the old food or too many meals, a
// *ScaleError.
func PortionOn(t planner.Transition, day planner.Date, r planner.Recipe, p nutrition.Pantry, k nutrition.Kcal, meals int, u planner.Units) (Portion, error) {
	if meals == 0 {
		meals = planner.UsualMeals
	}
	if meals < 0 || meals > planner.MostMeals || !(k > 0) {
		return Portion{}, &planner.ScaleError{Code: planner.AbsurdAmount}
	}
	if !(t.OldPer100 > 0) {
		return Portion{}, &planner.ScaleError{Code: planner.NoEnergy}
	}
	factor, err := planner.FactorForKcal(r, p, k)
	if err != nil {
		return Portion{}, err
	}
	perUnitOld := nutrition.Kcal(t.OldPer100/100) * nutrition.Kcal(unit(u))
	perUnitNew := k / nutrition.Kcal(r.Grams("")*nutrition.Grams(factor)/unit(u))
	out := Portion{Share: t.ShareOn(day), Kcal: k}
	old := onScale(float64(k/perUnitOld)*(1-out.Share), u)
	out.OldKcal = nutrition.Kcal(old) * perUnitOld
	fresh := 0
	if out.Share > 0 {
		fresh = onScale(float64((k-out.OldKcal)/perUnitNew), u)
	}
	out.NewKcal = nutrition.Kcal(fresh) * perUnitNew
	split := splitMeals([]int{old, fresh}, meals, u)
	out.Old, out.New = nutrition.Grams(old)*unit(u), nutrition.Grams(fresh)*unit(u)
	out.OldMeals, out.NewMeals = inGrams(split[0], u), inGrams(split[1], u)
	return out, nil
}

// onScale is an amount in units, rounded to what a kitchen scale shows.
func onScale(units float64, u planner.Units) int {
	if !(units > 0) {
		return 0
	}
	s := ScaleStep(units, u)
	return int(math.Round(units/float64(s))) * s
}

func inGrams(units []int, u planner.Units) []nutrition.Grams {
	out := make([]nutrition.Grams, len(units))
	for i, n := range units {
		out[i] = nutrition.Grams(n) * unit(u)
	}
	return out
}

package planner

import (
	"math"
	"slices"

	"bowlwright/nutrition"
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
func (t Transition) PortionOn(day Date, r Recipe, p nutrition.Pantry, k nutrition.Kcal, meals int, u Units) (Portion, error) {
	if meals == 0 {
		meals = defaultMeals
	}
	if meals < 0 || meals > MostMeals || !(k > 0) {
		return Portion{}, &ScaleError{Code: AbsurdAmount}
	}
	if !(t.OldPer100 > 0) {
		return Portion{}, &ScaleError{Code: NoEnergy}
	}
	factor, err := FactorForKcal(r, p, k)
	if err != nil {
		return Portion{}, err
	}
	perUnitOld := nutrition.Kcal(t.OldPer100/100) * nutrition.Kcal(unit(u))
	perUnitNew := k / nutrition.Kcal(r.grams("")*nutrition.Grams(factor)/unit(u))
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
func onScale(units float64, u Units) int {
	if !(units > 0) {
		return 0
	}
	s := step(units, u)
	return int(math.Round(units/float64(s))) * s
}

func inGrams(units []int, u Units) []nutrition.Grams {
	out := make([]nutrition.Grams, len(units))
	for i, n := range units {
		out[i] = nutrition.Grams(n) * unit(u)
	}
	return out
}

// The limits of a transition. The days are common practice, no source. The
// energy is what a food can have: watery vegetables have some 15 to 30 kcal
// in 100 g and pure fat 900 (Atwater's 9 kcal per g).
const (
	LeastSteps  = 7
	MostSteps   = 14
	LeastPer100 = 30
	MostPer100  = 900
)

// TransitionError says what is wrong with a transition.
type TransitionError struct{ Code TransitionCode }

// TransitionCode classifies what is wrong with a transition.
type TransitionCode string

// The codes.
const (
	NoOldEnergy  TransitionCode = "no-kcal"      // the old food's kcal are not said
	OddOldEnergy TransitionCode = "odd-kcal"     // no food has so few or so many
	StepCount    TransitionCode = "days"         // not LeastSteps-MostSteps
	NoTarget     TransitionCode = "no-target"    // neither a recipe nor a rotation, or both
	GoneTarget   TransitionCode = "gone-target"  // the household has it no more
	NoSuchDog    TransitionCode = "gone-dog"     // the household has it no more
	TwoAtOnce    TransitionCode = "two-at-once"  // the dog is being switched already
	NoFirstDay   TransitionCode = "no-start-day" // the first day is not set
)

// Error is the code.
func (e *TransitionError) Error() string { return "planner: transition: " + string(e.Code) }

// Validate returns the first thing that is wrong with a transition that is to
// be added to a household, as a *TransitionError; nil where nothing is.
func (t Transition) Validate(h *Household) error {
	code := TransitionCode("")
	switch {
	case !slices.ContainsFunc(h.Dogs, func(d Dog) bool { return d.ID == t.Dog }):
		code = NoSuchDog
	case TransitionOf(h, t.Dog) != nil:
		code = TwoAtOnce
	case (t.Recipe == "") == (t.Rotation == ""):
		code = NoTarget
	case !h.has(t.NewRecipe(h)):
		code = GoneTarget
	case t.OldPer100 == 0:
		code = NoOldEnergy
	case !(t.OldPer100 >= LeastPer100 && t.OldPer100 <= MostPer100):
		code = OddOldEnergy
	case t.Days < LeastSteps || t.Days > MostSteps:
		code = StepCount
	case t.Start.IsZero():
		code = NoFirstDay
	default:
		return nil
	}
	return &TransitionError{code}
}

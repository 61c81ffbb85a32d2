package planner

import (
	"fmt"
	"slices"

	"bowlwright/nutrition"
)

// Totals is a recipe as a whole.
type Totals struct {
	Grams  nutrition.Grams
	Energy nutrition.Value              // kcal
	Shares [nutrition.PartCount]float64 // fractions of the weight, bone by its middle estimate
}

// TotalsOf adds a recipe's ingredients up; a figure on a label replaces that
// of the table. A food that the pantry lacks is a *MissingFoodError.
func TotalsOf(r Recipe, p nutrition.Pantry) (Totals, error) {
	t := Totals{Energy: nutrition.Exactly(0)}
	for i := range r.Ingredients {
		in := &r.Ingredients[i]
		f := p.Food(in.Food)
		if f == nil {
			return Totals{}, &MissingFoodError{in.Food}
		}
		t.Grams += in.Grams
		t.Energy = t.Energy.Plus(in.energy(f))
		bone := f.Bone.Mid
		t.Shares[f.Part] += float64(in.Grams) * (1 - bone)
		t.Shares[nutrition.BonePart] += float64(in.Grams) * bone
	}
	if t.Grams > 0 {
		for i := range t.Shares {
			t.Shares[i] /= float64(t.Grams)
		}
	}
	return t, nil
}

// energy is what an ingredient brings, kcal.
func (in *Ingredient) energy(f *nutrition.Food) nutrition.Value {
	for _, fact := range in.Label {
		if fact.Nutrient == nutrition.Energy {
			return nutrition.Exactly(fact.PerGram * float64(in.Grams))
		}
	}
	return f.Per100[nutrition.Energy].Times(float64(in.Grams) / 100)
}

// ScaleError says why a recipe cannot be scaled.
type ScaleError struct{ Code ScaleCode }

// ScaleCode classifies why a recipe cannot be scaled.
type ScaleCode string

// The codes.
const (
	EmptyRecipe   ScaleCode = "empty"          // it weighs nothing
	NoEnergy      ScaleCode = "no-energy"      // it brings no energy
	UnknownEnergy ScaleCode = "unknown-energy" // the energy of a food in it is not known
	AbsentFood    ScaleCode = "absent-food"    // the food is not in it
	AbsurdAmount  ScaleCode = "absurd"         // not above zero, or more than a kitchen holds
)

// Error names the code.
func (e *ScaleError) Error() string { return fmt.Sprintf("planner: scale: %s", e.Code) }

// mostFood is the most that a scaled recipe may weigh: a tonne is no
// kitchen's batch.
const mostFood = nutrition.Grams(1e6)

// Scale returns the recipe with every ingredient times a factor. Doses stay:
// a capsule belongs to a dog, not to a weight of food; those per 1000 kcal
// follow the energy fed by themselves.
func Scale(r Recipe, factor float64) (Recipe, error) {
	var sum nutrition.Grams
	for i := range r.Ingredients {
		sum += r.Ingredients[i].Grams
	}
	if !(factor > 0) || !(sum*nutrition.Grams(factor) <= mostFood) {
		return Recipe{}, &ScaleError{AbsurdAmount}
	}
	r.Ingredients = slices.Clone(r.Ingredients)
	for i := range r.Ingredients {
		r.Ingredients[i].Grams *= nutrition.Grams(factor)
		r.Ingredients[i].Typed = ""
	}
	return r, nil
}

// FactorForKcal returns the factor at which the recipe's middle estimate of
// energy is so much.
func FactorForKcal(r Recipe, p nutrition.Pantry, k nutrition.Kcal) (float64, error) {
	t, err := TotalsOf(r, p)
	switch {
	case err != nil:
		return 0, err
	case !t.Energy.Complete:
		return 0, &ScaleError{UnknownEnergy}
	case !(t.Energy.Mid > 0):
		return 0, &ScaleError{NoEnergy}
	}
	return checked(float64(k) / t.Energy.Mid)
}

// FactorForGrams returns the factor at which the recipe weighs so much.
func FactorForGrams(r Recipe, g nutrition.Grams) (float64, error) {
	var sum nutrition.Grams
	for i := range r.Ingredients {
		sum += r.Ingredients[i].Grams
	}
	if !(sum > 0) {
		return 0, &ScaleError{EmptyRecipe}
	}
	return checked(float64(g / sum))
}

// FactorForIngredient returns the factor at which the recipe takes so much of
// one of its foods, of all lines with it together.
func FactorForIngredient(r Recipe, food string, have nutrition.Grams) (float64, error) {
	var sum nutrition.Grams
	for i := range r.Ingredients {
		if r.Ingredients[i].Food == food {
			sum += r.Ingredients[i].Grams
		}
	}
	if !(sum > 0) {
		return 0, &ScaleError{AbsentFood}
	}
	return checked(float64(have / sum))
}

// checked refuses a factor that no kitchen can mean.
func checked(f float64) (float64, error) {
	if !(f > 0) || f > 1e6 {
		return 0, &ScaleError{AbsurdAmount}
	}
	return f, nil
}

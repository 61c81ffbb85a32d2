package planner

import (
	"fmt"
	"slices"

	"bowlwright/nutrition"
)

// Totals is a recipe as a whole, without its doses.
type Totals struct {
	Grams  nutrition.Grams
	Energy nutrition.Value              // kcal; a range where bone makes it one, incomplete where a food's is not known
	Shares [nutrition.PartCount]float64 // fractions of the weight, bone by its middle estimate
	// Unknown lists the foods whose energy is not known, each once, and
	// UnknownGrams is what they weigh. Energy is what the others bring.
	Unknown      []string
	UnknownGrams nutrition.Grams
}

// TotalsOf adds a recipe's ingredients up; the energy on a label, or
// what a laboratory measured of the whole, replaces that of the table. Supplements given by dose are not in it: a capsule's few kcal
// are within what a kitchen scale leaves open. A food that the pantry lacks is
// a *MissingFoodError, a weight that is negative or no number a *ScaleError.
func TotalsOf(r Recipe, p nutrition.Pantry) (Totals, error) {
	t := Totals{Energy: nutrition.Exactly(0)}
	for i := range r.Ingredients {
		in := &r.Ingredients[i]
		f := p.Food(in.Food)
		if f == nil {
			return Totals{}, &MissingFoodError{in.Food}
		}
		if !Weighable(in.Grams) {
			return Totals{}, &ScaleError{Code: AbsurdAmount, Food: in.Food}
		}
		t.add(in, f)
	}
	if perGram, ok := r.LabEnergy(); ok {
		t.Energy, t.Unknown, t.UnknownGrams = nutrition.Exactly(perGram*float64(t.Grams)), nil, 0
	}
	if t.Grams > 0 {
		for i := range t.Shares {
			t.Shares[i] /= float64(t.Grams)
		}
	}
	return t, nil
}

// Weighable reports that an amount is a number from nothing to mostFood.
func Weighable(g nutrition.Grams) bool { return g >= 0 && g <= mostFood }

func (t *Totals) add(in *Ingredient, f *nutrition.Food) {
	t.Grams += in.Grams
	bone := f.Bone.Mid
	t.Shares[f.Part] += float64(in.Grams) * (1 - bone)
	t.Shares[nutrition.BonePart] += float64(in.Grams) * bone
	e := in.Energy(f)
	t.Energy = t.Energy.Plus(e)
	if !e.Complete {
		t.UnknownGrams += in.Grams
		if !slices.Contains(t.Unknown, in.Food) {
			t.Unknown = append(t.Unknown, in.Food)
		}
	}
}

// Energy is what an ingredient brings, kcal.
func (in *Ingredient) Energy(f *nutrition.Food) nutrition.Value {
	for _, fact := range in.Label {
		if fact.Nutrient == nutrition.Energy {
			return nutrition.Exactly(fact.PerGram * float64(in.Grams))
		}
	}
	return f.Per100[nutrition.Energy].Times(float64(in.Grams) / 100)
}

// fatEnergy is what pure fat brings, kcal per g; no food brings more (USDA SR
// documentation). littleUnknown is the share of a recipe's known energy up to
// which that of the other foods may be left out of a scaling: a fifth of how
// far single dogs lie from any equation.
const (
	fatEnergy     = 9.02
	littleUnknown = nutrition.EnergySpread / 5
)

// kcal returns the energy that scaling goes by: the middle estimate. Foods
// of unknown energy are left out where they cannot matter, as a gram of a
// mineral in a kilogram of meat; else nobody knows what the recipe brings.
func (t *Totals) kcal() (nutrition.Kcal, error) {
	known := nutrition.Kcal(t.Energy.Mid)
	switch {
	case !(t.Grams > 0):
		return 0, &ScaleError{Code: EmptyRecipe}
	case !t.Energy.Complete && fatEnergy*float64(t.UnknownGrams) > littleUnknown*float64(known):
		return 0, &ScaleError{Code: UnknownEnergy, Food: t.Unknown[0]}
	case !(known > 0):
		return 0, &ScaleError{Code: NoEnergy}
	}
	return known, nil
}

// ScaleError says why a recipe cannot be scaled.
type ScaleError struct {
	Code ScaleCode
	Food string // key of the food that stands in the way; empty where none does alone
}

// ScaleCode classifies why a recipe cannot be scaled.
type ScaleCode string

// The codes.
const (
	EmptyRecipe   ScaleCode = "empty"          // it weighs nothing
	NoEnergy      ScaleCode = "no-energy"      // it brings no energy
	UnknownEnergy ScaleCode = "unknown-energy" // the energy of a food in it is not known
	AbsentFood    ScaleCode = "absent-food"    // the food is not in it
	AbsurdAmount  ScaleCode = "absurd"         // not above zero, or nothing that a kitchen weighs
)

// Error names the code and the food's key.
func (e *ScaleError) Error() string { return fmt.Sprintf("planner: scale: %s %s", e.Code, e.Food) }

// A recipe weighs from what a letter scale shows to a tonne (common practice,
// no source): anything else is a slip of the finger.
const (
	leastFood = nutrition.Grams(0.1)
	mostFood  = nutrition.Grams(1e6)
)

// Scale returns the recipe with every ingredient times a factor, sharing
// nothing with the one that came in. What the carer typed no longer holds and
// is left out. Doses stay, but for those that are stirred into the whole: a
// capsule belongs to a dog, not to a weight of food, and those per 1000 kcal
// follow the energy fed by themselves. Days
// stay too, since a factor does not say whether it makes food for more days or
// for a larger dog. It returns a *ScaleError of code EmptyRecipe or AbsurdAmount.
func Scale(r Recipe, factor float64) (Recipe, error) {
	if _, err := r.factor(r.Grams(""), float64(r.Grams(""))*factor); err != nil {
		return Recipe{}, err
	}
	r.Ingredients = slices.Clone(r.Ingredients)
	for i := range r.Ingredients {
		in := &r.Ingredients[i]
		in.Grams *= nutrition.Grams(factor)
		in.Typed = ""
		in.Label = slices.Clone(in.Label)
	}
	r.Doses = slices.Clone(r.Doses)
	for i := range r.Doses {
		d := &r.Doses[i]
		d.Amounts = slices.Clone(d.Amounts)
		if d.Batch {
			*d = d.Times(factor)
		}
		d.Cadence.Weekdays = slices.Clone(d.Cadence.Weekdays)
	}
	return r, nil
}

// FactorForKcal returns the factor at which the recipe's middle estimate of
// energy is so much. Errors are those of TotalsOf and *ScaleError.
func FactorForKcal(r Recipe, p nutrition.Pantry, k nutrition.Kcal) (float64, error) {
	t, err := TotalsOf(r, p)
	if err != nil {
		return 0, err
	}
	known, err := t.kcal()
	if err != nil {
		return 0, err
	}
	return r.factor(t.Grams, float64(k/known)*float64(t.Grams))
}

// FactorForGrams returns the factor at which the recipe weighs so much.
func FactorForGrams(r Recipe, g nutrition.Grams) (float64, error) {
	return r.factor(r.Grams(""), float64(g))
}

// FactorForIngredient returns the factor at which the recipe takes so much of
// one of its foods, of all lines with it together.
func FactorForIngredient(r Recipe, food string, have nutrition.Grams) (float64, error) {
	of := r.Grams(food)
	if !(of > 0) {
		return 0, &ScaleError{Code: AbsentFood, Food: food}
	}
	whole := r.Grams("")
	return r.factor(whole, float64(have/of)*float64(whole))
}

// Grams returns what a food weighs in the recipe, or all of it.
func (r *Recipe) Grams(food string) (sum nutrition.Grams) {
	for i := range r.Ingredients {
		if in := &r.Ingredients[i]; food == "" || in.Food == food {
			sum += in.Grams
		}
	}
	return sum
}

// factor returns what makes the recipe, which weighs whole, weigh want, and
// refuses what no kitchen weighs. Amounts that are no numbers compare false.
func (r *Recipe) factor(whole nutrition.Grams, want float64) (float64, error) {
	for i := range r.Ingredients {
		if in := &r.Ingredients[i]; !Weighable(in.Grams) {
			return 0, &ScaleError{Code: AbsurdAmount, Food: in.Food}
		}
	}
	switch {
	case whole == 0:
		return 0, &ScaleError{Code: EmptyRecipe}
	case !(want >= float64(leastFood) && want <= float64(mostFood)):
		return 0, &ScaleError{Code: AbsurdAmount}
	}
	return want / float64(whole), nil
}

package portions

import (
	"math"
	"slices"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Bowl is a recipe scaled to one dog and one day, rounded to a kitchen scale
// and split into meals. Rows add up to Day, their meals to Meals, and Meals to
// Day.
type Bowl struct {
	Rows   []BowlRow
	Day    nutrition.Grams   // the day's whole: the sum of the rows
	Meals  []nutrition.Grams // each meal's whole
	Kcal   nutrition.Kcal    // what it was made for: all of the day, or a topper's share
	Energy nutrition.Value   // what it brings as rounded, with the tiny rows, kcal
	Tiny   []TinyRow
	Doses  []DoseRow
	Factor float64 // the recipe times this is the day, before rounding
}

// BowlRow is one ingredient: its Meals add up to its Day.
type BowlRow struct {
	Food  string // key
	Day   nutrition.Grams
	Meals []nutrition.Grams
}

// TinyRow is an ingredient of which a day takes less than a kitchen scale
// shows, or of a mineral or an oil so little that its steps are too coarse. It is in
// none of the sums; Week is what to weigh out for seven days, Meals what each meal
// has of it. Day and Week are rounded to 0.1 g, or to two figures where that would be
// nothing.
type TinyRow struct {
	Food      string // key
	Day, Week nutrition.Grams
	Meals     []nutrition.Grams
}

// DoseRow is a supplement that goes with the bowl on the days of its cadence:
// the recipe's own, multiplied out where it is given per 1000 kcal.
type DoseRow struct{ Dose planner.Dose }

// BowlFor makes the bowl of a day from a recipe: so many kcal in so many
// meals, 0 counting as 2; of a topper, its share of them. An ingredient of less than a step of the scale
// (1 g, 0.1 oz) is a TinyRow: rounded up it could be twice what is meant.
// Errors are those of FactorForKcal; more meals than MostMeals, or fewer than
// none, are a *ScaleError of code AbsurdAmount.
func BowlFor(r planner.Recipe, p nutrition.Pantry, k nutrition.Kcal, meals int, u planner.Units) (Bowl, error) {
	if meals == 0 {
		meals = planner.UsualMeals
	}
	if meals < 0 || meals > planner.MostMeals {
		return Bowl{}, &planner.ScaleError{Code: planner.AbsurdAmount}
	}
	k = r.Share(k)
	factor, err := planner.FactorForKcal(r, p, k)
	if err != nil {
		return Bowl{}, err
	}
	b := Bowl{Kcal: k, Factor: factor, Energy: nutrition.Exactly(0), Doses: dosesFor(r.Doses, k)}
	weighed := make([]*planner.Ingredient, 0, len(r.Ingredients))
	parts := make([]nutrition.Grams, 0, len(r.Ingredients))
	for i := range r.Ingredients {
		in := &r.Ingredients[i]
		switch g := in.Grams * nutrition.Grams(factor); {
		case g == 0:
		case g < almost*unit(u), IsFine(p.Food(in.Food)) && roundsOff(g, unit(u)):
			b.Tiny = append(b.Tiny, TinyRow{in.Food, tenths(g), tenths(7 * g), slices.Repeat([]nutrition.Grams{tenths(g) / nutrition.Grams(meals)}, meals)})
			b.bring(in, p, g)
		default:
			weighed, parts = append(weighed, in), append(parts, g)
		}
	}
	days, whole := roundUnits(parts, u)
	b.fill(weighed, days, whole, meals, u)
	for i, in := range weighed {
		b.bring(in, p, b.Rows[i].Day)
	}
	if perGram, ok := r.LabEnergy(); ok {
		b.Energy = nutrition.Exactly(perGram * float64(b.Day))
	}
	return b, nil
}

// almost is the share of a step from which an amount reads as the whole step
// when it is told to a tenth of a gram.
const almost = 0.95

// IsFine reports that of a food a little more or less matters: a mineral, an oil or the
// like.
func IsFine(f *nutrition.Food) bool { return f != nil && f.Part == nutrition.Other }

// roundsOff reports that a kitchen scale's step takes too much off less than 5 g: more
// than a tenth (our own choices). bot/card/page.js does the same.
func roundsOff(g, step nutrition.Grams) bool {
	const under, off = 5, 0.1
	rounded := nutrition.Grams(math.Round(float64(g/step))) * step
	return g < under && math.Abs(float64(rounded-g)) > off*float64(g)
}

// fill makes the rows of day amounts in units, and the meals.
func (b *Bowl) fill(weighed []*planner.Ingredient, days []int, whole, meals int, u planner.Units) {
	one := unit(u)
	b.Day = nutrition.Grams(whole) * one
	b.Rows = make([]BowlRow, len(weighed))
	flat := make([]nutrition.Grams, (len(weighed)+1)*meals)
	totals := make([]int, meals)
	b.Meals = flat[len(weighed)*meals:]
	for i, row := range splitMeals(days, meals, u) {
		grams := flat[i*meals : (i+1)*meals : (i+1)*meals]
		for m, n := range row {
			grams[m] = nutrition.Grams(n) * one
			totals[m] += n
		}
		b.Rows[i] = BowlRow{weighed[i].Food, nutrition.Grams(days[i]) * one, grams}
	}
	for m, n := range totals {
		b.Meals[m] = nutrition.Grams(n) * one
	}
}

// bring adds the energy of so much of an ingredient. The pantry has its food:
// the factor was reckoned with it.
func (b *Bowl) bring(in *planner.Ingredient, p nutrition.Pantry, g nutrition.Grams) {
	some := planner.Ingredient{Grams: g, Label: in.Label}
	b.Energy = b.Energy.Plus(some.Energy(p.Food(in.Food)))
}

// tenths rounds to 0.1 g, and anything less to two figures.
func tenths(g nutrition.Grams) nutrition.Grams {
	scale := 10.0
	if g > 0 && g < 0.1 {
		scale = math.Pow(10, math.Floor(1-math.Log10(float64(g)))+1)
	}
	return nutrition.Grams(math.Round(float64(g)*scale) / scale)
}

// dosesFor returns a recipe's supplements for a dog that eats so much.
func dosesFor(doses []planner.Dose, k nutrition.Kcal) []DoseRow {
	if len(doses) == 0 {
		return nil
	}
	rows := make([]DoseRow, len(doses))
	for i, d := range doses {
		rows[i] = DoseRow{d.For(k)}
	}
	return rows
}

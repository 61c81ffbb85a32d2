package planner

import (
	"math"

	"bowlwright/nutrition"
)

// Bowl is a recipe scaled to one dog and one day, rounded to a kitchen scale
// and split into meals.
type Bowl struct {
	Rows   []BowlRow
	Day    nutrition.Grams   // the day's whole: the sum of the rows
	Meals  []nutrition.Grams // each meal's whole
	Kcal   nutrition.Kcal    // what it was made for
	Tiny   []TinyRow
	Doses  []DoseRow
	Factor float64 // the recipe times this
}

// BowlRow is one ingredient: its Meals add up to its Day.
type BowlRow struct {
	Food  string // key
	Day   nutrition.Grams
	Meals []nutrition.Grams
}

// TinyRow is an ingredient of less a day than a kitchen scale shows. It is
// in none of the sums; Week is what to weigh out for seven days.
type TinyRow struct {
	Food      string // key
	Day, Week nutrition.Grams
}

// DoseRow is a supplement that goes with the bowl: the recipe's own, with
// the amount for this dog where it is given per 1000 kcal.
type DoseRow struct{ Dose Dose }

// tiny is the amount a day below which an ingredient is a TinyRow: 1 g, or
// 0.1 oz, would read as nothing or as twice as much.
func tiny(u Units) nutrition.Grams {
	if u.Ounces {
		return 0.05 * nutrition.GramsPerOunce
	}
	return 0.95
}

// BowlFor makes the bowl of a day from a recipe: so many kcal in so many
// meals. Errors are those of FactorForKcal; meals below 1 count as 1.
func BowlFor(r Recipe, p nutrition.Pantry, k nutrition.Kcal, meals int, u Units) (Bowl, error) {
	factor, err := FactorForKcal(r, p, k)
	if err != nil {
		return Bowl{}, err
	}
	meals = max(meals, 1)
	b := Bowl{Kcal: k, Factor: factor, Doses: dosesFor(r.Doses, k)}
	parts := make([]nutrition.Grams, 0, len(r.Ingredients))
	foods := make([]string, 0, len(r.Ingredients))
	for i := range r.Ingredients {
		in := &r.Ingredients[i]
		g := in.Grams * nutrition.Grams(factor)
		if g < tiny(u) {
			b.Tiny = append(b.Tiny, TinyRow{in.Food, g, g * 7})
			continue
		}
		parts, foods = append(parts, g), append(foods, in.Food)
	}
	b.fill(parts, foods, meals, u)
	return b, nil
}

// fill rounds the parts and splits them into meals.
func (b *Bowl) fill(parts []nutrition.Grams, foods []string, meals int, u Units) {
	one := float64(unit(u))
	rounded, whole := RoundParts(parts, u)
	days := make([]int, len(rounded))
	for i, g := range rounded {
		days[i] = int(math.Round(float64(g) / one))
	}
	b.Day = whole
	b.Meals = make([]nutrition.Grams, meals)
	b.Rows = make([]BowlRow, len(parts))
	flat := make([]nutrition.Grams, len(parts)*meals)
	totals := make([]int, meals)
	for i, row := range splitMeals(days, meals, u) {
		b.Rows[i] = BowlRow{foods[i], rounded[i], flat[i*meals : (i+1)*meals]}
		for m, n := range row {
			flat[i*meals+m] = nutrition.Grams(float64(n) * one)
			totals[m] += n
		}
	}
	for m, n := range totals {
		b.Meals[m] = nutrition.Grams(float64(n) * one)
	}
}

// dosesFor is the recipe's supplements for a dog that eats so much.
func dosesFor(doses []Dose, k nutrition.Kcal) []DoseRow {
	var rows []DoseRow
	for _, d := range doses {
		if d.Per1000 {
			d = d.times(float64(k) / 1000)
		}
		rows = append(rows, DoseRow{d})
	}
	return rows
}

// times returns the dose times a factor, as a dose of its own.
func (d Dose) times(f float64) Dose {
	d.Per1000 = false
	d.Count *= f
	d.Grams *= nutrition.Grams(f)
	amounts := make([]Amount, len(d.Amounts))
	for i, a := range d.Amounts {
		amounts[i] = Amount{a.Nutrient, a.Amount * f}
	}
	d.Amounts = amounts
	return d
}

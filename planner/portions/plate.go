package portions

import (
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Plate is all that a dog eats on a day as one bowl, and each food of it by itself.
type Plate struct {
	Bowl
	Parts []PlatePart
}

// PlatePart is one food of a plate. Its bowl has all meals of the day, in which
// there may be none of it.
type PlatePart struct {
	planner.Fare
	Bowl
}

// PlateFor makes the bowls of a dog's fare: so many kcal a day in all, as many in
// each meal. Errors are those of BowlFor.
func PlateFor(all []planner.Fare, p nutrition.Pantry, k nutrition.Kcal, u planner.Units) (Plate, error) {
	out := Plate{}
	for i, f := range all {
		b, err := bowl(f, p, k, u)
		if err != nil {
			return Plate{}, err
		}
		if i == 0 {
			out.Bowl = emptyBowl(len(f.Shares))
		}
		out.Parts = append(out.Parts, PlatePart{f, b})
		out.take(b, every(len(f.Shares)))
	}
	return out, nil
}

func emptyBowl(meals int) Bowl {
	return Bowl{Energy: nutrition.Exactly(0), Meals: make([]nutrition.Grams, meals)}
}

// every is the meals from 0 on.
func every(meals int) []int {
	at := make([]int, meals)
	for i := range at {
		at[i] = i
	}
	return at
}

// bowl is one food's part of a day of so many kcal. Meals of which it brings the
// same share are made together, so that they are as even as the scale shows them.
func bowl(f planner.Fare, p nutrition.Pantry, k nutrition.Kcal, u planner.Units) (Bowl, error) {
	out := emptyBowl(len(f.Shares))
	each := k / nutrition.Kcal(len(f.Shares))
	done := map[float64]bool{0: true}
	for _, s := range f.Shares {
		if done[s] {
			continue
		}
		done[s] = true
		var at []int
		for m, share := range f.Shares {
			if share == s {
				at = append(at, m)
			}
		}
		b, err := evenBowl(f, p, each*nutrition.Kcal(s)*nutrition.Kcal(len(at)), len(at), u)
		if err != nil {
			return Bowl{}, err
		}
		out.take(b, at)
	}
	out.Doses = dosesFor(f.Recipe.Doses, out.Kcal)
	return out, nil
}

// evenBowl is so many kcal of it in meals that are alike.
func evenBowl(f planner.Fare, p nutrition.Pantry, k nutrition.Kcal, meals int, u planner.Units) (Bowl, error) {
	if len(f.Recipe.Ingredients) > 0 || f.Recipe.ID != "" {
		return BowlFor(f.Recipe, p, k, meals, u)
	}
	if !(f.Per100 > 0) || !(k > 0) {
		return Bowl{}, &planner.ScaleError{Code: planner.NoEnergy}
	}
	perUnit := nutrition.Kcal(f.Per100/100) * nutrition.Kcal(unit(u))
	units := onScale(float64(k/perUnit), u)
	b := Bowl{Kcal: k, Energy: nutrition.Exactly(float64(perUnit) * float64(units)), Day: nutrition.Grams(units) * unit(u)}
	b.Meals = inGrams(splitMeals([]int{units}, meals, u)[0], u)
	b.Rows = []BowlRow{{f.Recipe.Name, b.Day, b.Meals}}
	return b, nil
}

// take adds a bowl whose meals are those of the day at some places.
func (b *Bowl) take(o Bowl, at []int) {
	b.Day += o.Day
	b.Kcal += o.Kcal
	b.Energy = b.Energy.Plus(o.Energy)
	b.Factor += o.Factor
	b.Doses = append(b.Doses, o.Doses...)
	for i, m := range at {
		b.Meals[m] += o.Meals[i]
	}
	for _, row := range o.Rows {
		none := BowlRow{Food: row.Food, Meals: make([]nutrition.Grams, len(b.Meals))}
		mine := planner.FirstOrAdded(&b.Rows, func(r *BowlRow) bool { return r.Food == row.Food }, none)
		mine.Day += row.Day
		for i, m := range at {
			mine.Meals[m] += row.Meals[i]
		}
	}
	for _, row := range o.Tiny {
		none := TinyRow{Food: row.Food, Meals: make([]nutrition.Grams, len(b.Meals))}
		mine := planner.FirstOrAdded(&b.Tiny, func(r *TinyRow) bool { return r.Food == row.Food }, none)
		mine.Day += row.Day
		mine.Week += row.Week
		for i, m := range at {
			mine.Meals[m] += row.Meals[i]
		}
	}
}

package planner

import "bowlwright/nutrition"

// Less is kcal that come off a dog's next meals because it had them besides: from a
// meal on, as much of each as may be, until they are made up for.
type Less struct {
	Kcal nutrition.Kcal `json:"kcal"`
	From Date           `json:"from"`
	Meal int            `json:"meal,omitempty"` // of that day, from 0: the first that is smaller
}

// MostLess is what part of a meal may come off, and LessMeals of how many meals: the
// dog must still get enough of its food, and what is more is not made up for (both
// our own choice).
const (
	MostLess  = 0.5
	LessMeals = 4
)

// At is what comes off a meal of a day, where each of so many is to bring so much.
func (l Less) At(day Date, meal, meals int, each nutrition.Kcal) nutrition.Kcal {
	n := l.From.DaysTo(day)*meals + meal - l.Meal
	if l.From.IsZero() || n < 0 || n >= LessMeals || !(each > 0) || !(l.Kcal > 0) {
		return 0
	}
	most := each * MostLess
	return min(max(l.Kcal-most*nutrition.Kcal(n), 0), most)
}

// Meals is how many meals are smaller, and how much comes off in all.
func (l Less) Meals(meals int, each nutrition.Kcal) (n int, off nutrition.Kcal) {
	for i := range LessMeals {
		at := l.Meal + i
		o := l.At(l.From.AddDays(at/meals), at%meals, meals, each)
		if o > 0 {
			n++
		}
		off += o
	}
	return n, off
}

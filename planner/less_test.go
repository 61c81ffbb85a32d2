package planner

import (
	"math"
	"testing"

	"bowlwright/nutrition"
)

// TestLess takes what a dog stole off its next meals: never more than half of one,
// never more than was stolen, and nothing before or after.
func TestLess(t *testing.T) {
	for _, c := range []struct {
		kcal, each nutrition.Kcal
		first      int
		meals      int
		want       []nutrition.Kcal // of the day's and the next days' meals
	}{
		{560, 500, 1, 2, []nutrition.Kcal{0, 250, 250, 60, 0, 0}},
		{100, 500, 0, 2, []nutrition.Kcal{100, 0, 0, 0}},
		{5000, 100, 0, 3, []nutrition.Kcal{50, 50, 50, 50, 0, 0}},
		{0, 500, 0, 2, []nutrition.Kcal{0, 0}},
		{-3, 500, 0, 2, []nutrition.Kcal{0, 0}},
		{560, 0, 0, 2, []nutrition.Kcal{0, 0}},
	} {
		l := Less{Kcal: c.kcal, From: firstMarch, Meal: c.first}
		var sum nutrition.Kcal
		for i, want := range c.want {
			got := l.At(firstMarch.AddDays(i/c.meals), i%c.meals, c.meals, c.each)
			if got != want {
				t.Errorf("%v: meal %d is %v less, want %v", c, i, got, want)
			}
			sum += got
		}
		if n, off := l.Meals(c.meals, c.each); math.Abs(float64(off-sum)) > 1e-9 || n > LessMeals {
			t.Errorf("%v: %d meals, %v less, by meals %v", c, n, off, sum)
		}
		if got := l.At(firstMarch.AddDays(-1), 0, c.meals, c.each); got != 0 {
			t.Errorf("%v: the day before is %v less", c, got)
		}
	}
	if got := (Less{Kcal: 100}).At(firstMarch, 0, 2, 500); got != 0 {
		t.Errorf("of no day: %v", got)
	}
}

package planner

import (
	"math"
	"testing"
)

// A weighing holds for the lines that were in the pan, more or less of all of
// them, and not for others.
func TestYieldIsOfTheLinesWeighed(t *testing.T) {
	r := Recipe{Ingredients: []Ingredient{{Food: "turkey-ground", Grams: 600}, {Food: "carrot", Grams: 60}}}
	if _, ok := r.Yield(); ok {
		t.Error("a yield that nobody weighed")
	}
	r.Weigh(3000, 2200, Date{2026, 3, 2})
	if y, ok := r.Yield(); !ok || math.Abs(y-2200.0/3000) > 1e-9 {
		t.Errorf("%v %v", y, ok)
	}
	double, err := Scale(r, 2)
	if _, ok := double.Yield(); err != nil || !ok {
		t.Error("twice as much has no yield", err)
	}
	r.Ingredients[1].Grams = 160
	if _, ok := r.Yield(); ok {
		t.Error("the yield of other lines")
	}
}

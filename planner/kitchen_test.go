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

// Packs that were counted raw are as many, and as much of them was fed, when they weigh
// what they do cooked; and raw again they are as they were.
func TestPacksWeighedCooked(t *testing.T) {
	l := Lot{Each: 800, Kcal: 1000, Moves: []PackMove{{Kind: PacksMade, Packs: 10}, {Kind: PacksFed, Grams: 400}}}
	first := l.Moves
	l.Weigh(600, 0.75)
	if l.Each != 600 || l.Raw != 800 || l.Yield != 0.75 || l.Kcal != 1000 || l.Moves[0].Packs != 10 || l.Moves[1].Grams != 300 || first[1].Grams != 400 {
		t.Errorf("%+v", l)
	}
	l.Weigh(l.Raw, 0)
	if l.Each != 800 || l.Raw != 0 || l.Yield != 0 || l.Moves[1].Grams != 400 {
		t.Errorf("raw again: %+v", l)
	}
}

package portions

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

func TestPortionOn(t *testing.T) {
	tr := planner.Transition{Old: "kibble", OldPer100: 400, Days: 10, Start: firstMarch}
	r := recipeOf("lean", 300, "fatty", 100) // 500 kcal in 400 g: 1.25 kcal a gram
	for _, c := range []struct {
		day      int
		old, new nutrition.Grams
	}{
		// 1000 kcal: 225 g bring 900 kcal, 80 g the other 100.
		{-1, 250, 0}, {0, 225, 80}, {4, 125, 400}, {9, 0, 800}, {20, 0, 800},
		// A fifth is 200 kcal, 160 g; the old 800 kcal 200 g.
		{1, 200, 160},
	} {
		got, err := PortionOn(tr, firstMarch.AddDays(c.day), r, testShelf(), 1000, 0, metric)
		if err != nil || got.Old != c.old || got.New != c.new {
			t.Errorf("day %d: %v and %v g (%v), want %v and %v", c.day, got.Old, got.New, err, c.old, c.new)
		}
	}
}

func TestPortionAddsUp(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 9))
	r := twelve()
	for range sampled(2000, 300) {
		tr := planner.Transition{OldPer100: planner.LeastPer100 + rng.Float64()*(planner.MostPer100-planner.LeastPer100), Days: 7 + rng.IntN(8), Start: firstMarch}
		k, meals, u := nutrition.Kcal(100+rng.Float64()*2500), 1+rng.IntN(4), planner.Units{Ounces: rng.IntN(2) == 0}
		p, err := PortionOn(tr, firstMarch.AddDays(rng.IntN(16)-1), r, nutrition.Default(), k, meals, u)
		if err != nil {
			t.Fatal(err)
		}
		var old, fresh nutrition.Grams
		for m := range meals {
			old, fresh = old+p.OldMeals[m], fresh+p.NewMeals[m]
		}
		if math.Abs(float64(old-p.Old)) > 1e-6 || math.Abs(float64(fresh-p.New)) > 1e-6 || p.Old < 0 || p.New < 0 {
			t.Fatalf("%+v: meals do not add up to the day", p)
		}
		// One rounding is left: half a step of the new food where there is any,
		// else of the old one.
		left := nutrition.Kcal(2.5 * max(1, float64(p.NewKcal)/max(1, float64(p.New))))
		if p.Share == 0 {
			left = nutrition.Kcal(2.5 * tr.OldPer100 / 100)
		}
		if p.New == 0 && p.Share > 0 {
			left += nutrition.Kcal(2.5 * tr.OldPer100 / 100)
		}
		if off := math.Abs(float64(p.OldKcal + p.NewKcal - k)); off > float64(left)*1.5+1 {
			t.Fatalf("%+v at %.0f kcal per 100 g: %v kcal off", p, tr.OldPer100, off)
		}
	}
}

func TestPortionErrors(t *testing.T) {
	r := recipeOf("lean", 100)
	for _, c := range []struct {
		name  string
		per   float64
		r     planner.Recipe
		k     nutrition.Kcal
		meals int
		want  planner.ScaleCode
	}{
		{"no kcal on the label", 0, r, 500, 2, planner.NoEnergy},
		{"no number", math.NaN(), r, 500, 2, planner.NoEnergy},
		{"no kcal for the dog", 380, r, 0, 2, planner.AbsurdAmount},
		{"more meals than there are", 380, r, 500, 1000, planner.AbsurdAmount},
		{"an empty recipe", 380, planner.Recipe{}, 500, 2, planner.EmptyRecipe},
		{"unknown energy", 380, recipeOf("mystery", 100), 500, 2, planner.UnknownEnergy},
	} {
		tr := planner.Transition{OldPer100: c.per, Days: 7, Start: firstMarch}
		_, err := PortionOn(tr, firstMarch, c.r, testShelf(), c.k, c.meals, metric)
		var e *planner.ScaleError
		if !errors.As(err, &e) || e.Code != c.want {
			t.Errorf("%s: %v, want %s", c.name, err, c.want)
		}
	}
}

package planner

import (
	"testing"

	"bowlwright/nutrition"
)

// TestHardBoneCountsOnlyGround holds that a shank whose bone may be left brings
// the calcium of its meat alone.
func TestHardBoneCountsOnlyGround(t *testing.T) {
	calcium := func(typed string) float64 {
		r := Recipe{Ingredients: []Ingredient{{Food: "lamb-shank", Grams: 100, Typed: typed}}}
		m, err := MixtureOf(r, nutrition.Default(), 0)
		if err != nil {
			t.Fatal(err)
		}
		return nutrition.Sum(m).Values[nutrition.Calcium].Mid
	}
	if whole := calcium("100 g lamb shank"); whole > 50 {
		t.Errorf("whole: %v mg", whole)
	}
	if ground := calcium("100 g lamb shank, ground"); ground < 1000 {
		t.Errorf("ground: %v mg", ground)
	}
}

package planner

import (
	"strings"
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

// TestOilLeavesFailings holds that an oil beside the food brings no iodine, nor
// the vitamins that its row does not list, so that a recipe still fails in them;
// a liver oil, whose row lists vitamin D, brings that.
func TestOilLeavesFailings(t *testing.T) {
	const every = nutrition.FailCalcium + " " + nutrition.FailIodine + " " + nutrition.FailVitaminE + " " + nutrition.FailVitaminD
	for food, want := range map[string]nutrition.FailCode{
		"":                 every,
		"salmon-oil":       every,
		"herring-oil":      every,
		"fish-oil-capsule": every,
		"cod-liver-oil":    nutrition.FailCalcium + " " + nutrition.FailIodine + " " + nutrition.FailVitaminE,
		"vitamin-d":        nutrition.FailCalcium + " " + nutrition.FailIodine + " " + nutrition.FailVitaminE,
		"iodine":           nutrition.FailCalcium + " " + nutrition.FailVitaminE + " " + nutrition.FailVitaminD,
	} {
		r := Recipe{Days: 2, Ingredients: []Ingredient{{Food: "beef-ground-95", Grams: 800}, {Food: "beef-heart", Grams: 100}}}
		if food != "" {
			r.Doses = []Dose{{Food: food, Grams: 4.5}}
		}
		m, err := MixtureOf(r, nutrition.Default(), 700)
		if err != nil {
			t.Fatal(err)
		}
		a := nutrition.Analyse(m, nutrition.ProfileByID("aafco-adult"), nutrition.Basis{Kcal: 700})
		var got []string
		for _, f := range nutrition.Failings(m, &a) {
			if f.Code != nutrition.FailRatio {
				got = append(got, string(f.Code))
			}
		}
		if list := strings.Join(got, " "); list != string(want) {
			t.Errorf("with %q: %s, want %s", food, list, want)
		}
	}
}

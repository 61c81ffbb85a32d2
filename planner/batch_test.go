package planner

import (
	"math"
	"testing"

	"bowlwright/nutrition"
)

// By hand: 1000 g of turkey thigh (USDA SR26) are food for so many days of 500
// kcal as it has kcal over 500; 400 IU stirred into it are that part of 400 a
// day, and half of the recipe holds 200.
func TestBatchDose(t *testing.T) {
	table := nutrition.Default()
	r := Recipe{Ingredients: []Ingredient{{Food: "turkey-thigh-skinless", Grams: 1000}},
		Doses: []Dose{{Food: "vitamin-e", Batch: true, Amounts: []Amount{{nutrition.VitaminE, 400}}}}}
	total, err := TotalsOf(r, table)
	if err != nil {
		t.Fatal(err)
	}
	for _, eaten := range []nutrition.Kcal{0, 500} {
		m, err := MixtureOf(r, table, eaten)
		if err != nil || len(m.Extras) != 1 {
			t.Fatal(m.Extras, err)
		}
		want := 400.0
		if eaten > 0 {
			want *= float64(eaten) / total.Energy.Mid
		}
		if x := m.Extras[0]; x.NotKnown || math.Abs(x.PerDay-want) > 1e-9 {
			t.Errorf("%v kcal a day: %+v, want %v", eaten, x, want)
		}
	}
	half, err := Scale(r, 0.5)
	if err != nil || half.Doses[0].Amounts[0].Amount != 200 || r.Doses[0].Amounts[0].Amount != 400 {
		t.Errorf("%+v of %+v: %v", half.Doses, r.Doses, err)
	}
}

package planner

import (
	"testing"

	"bowlwright/nutrition"
)

func TestAbsurdDose(t *testing.T) {
	for _, c := range []struct {
		n    nutrition.Nutrient
		x    float64
		want bool
	}{
		{nutrition.VitaminE, 400, false}, // a common capsule (common practice, no source)
		{nutrition.VitaminD, 1000, false},
		{nutrition.VitaminD, 1e6, true},
		{nutrition.Zinc, 50, false},
		{nutrition.Manganese, 1e5, true},
	} {
		d := Dose{Amounts: []Amount{{c.n, c.x}}}
		if got := d.Absurd(); got != c.want {
			t.Errorf("%v of %s: absurd is %v", c.x, c.n, got)
		}
	}
}

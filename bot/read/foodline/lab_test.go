package foodline

import (
	"math"
	"testing"

	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
)

// By hand: 0.45 % is 0.45 g in 100 g; 90 mg/kg of a dry matter of 31 % is
// 90 * 0.31 / 10 = 2.79 mg in 100 g as fed, 12000 IU/kg is 372 IU.
func TestLabText(t *testing.T) {
	for _, c := range []struct {
		text  string
		water float64 // -1: not known
		day   string
		used  bool
		want  map[nutrition.Nutrient]float64
	}{
		{"calcium 0.45 %, phosphorus 0.38 %, as fed, dry matter 31 %, from 2026-02-10", -1, "2026-02-10", false,
			map[nutrition.Nutrient]float64{nutrition.Calcium: 450, nutrition.Phosphorus: 380, nutrition.Water: 69}},
		{"Zinc: 90 mg/kg\nVitamin A = 12000 IU/kg\non dry matter\nDry matter 31 %\ndated 10 Feb 2026", -1, "10 Feb 2026", false,
			map[nutrition.Nutrient]float64{nutrition.Zinc: 2.79, nutrition.Retinoids: 372, nutrition.Water: 69}},
		{"zinc 90 mg/kg in dry matter, calcium 450 mg as fed", 69, "", true,
			map[nutrition.Nutrient]float64{nutrition.Zinc: 2.79, nutrition.Calcium: 450, nutrition.Water: 69}},
		{"zinc 27.9 mg/kg; as is; 2026-02-10", 50, "2026-02-10", false, map[nutrition.Nutrient]float64{nutrition.Zinc: 2.79}},
	} {
		l, day, used, problems := LabText(c.text, c.water)
		if len(problems) > 0 || day != c.day || used != c.used || len(l.Per100) != len(c.want) {
			t.Errorf("%q: %v, %q, %v, %v", c.text, l.Per100, day, used, problems)
		}
		for n, want := range c.want {
			if math.Abs(l.Per100[n]-want) > 1e-9 {
				t.Errorf("%q: %s is %v, want %v", c.text, n, l.Per100[n], want)
			}
		}
	}
	if _, _, _, problems := LabText("zinc 90 mg/kg in dry matter", -1); len(problems) != 1 || problems[0].Code != span.NoMoisture {
		t.Errorf("nobody said how much water there is: %v", problems)
	}
	l, _, _, problems := LabText("calcium 0.45 %, pH 6.2, iodine ?", -1)
	if len(problems) != 1 || len(l.Per100) != 1 || len(l.Open) != 1 {
		t.Errorf("%v, %v, %v", l.Per100, l.Open, problems)
	}
}

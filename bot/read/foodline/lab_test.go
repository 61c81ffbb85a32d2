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
	// What says that it is in dry matter is never taken as fed: it is made fed, by
	// hand 48 * 0.3 = 14.4 g, or left out and told.
	for _, text := range []string{
		"protein 48 % dm", "protein 48% dm", "protein 48 %dm", "protein 48% DM", "protein 48 % (dm)", "protein 48 % d.m.", "protein 48 % in dm", "protein 48 % of DM",
		"protein 48 % on dry matter", "protein 48 % of the dry matter", "protein 48 % dry mass", "protein 48 % on a dm basis", "protein 48% DMB", "protein 48 % moisture free",
		"dm protein 48 %", "protein (dm) 48 %", "protein dm 48 %", "48 % dm protein", "protein 480 g/kg of dm", "protein 48 g dm", "protein 48 %\ndm",
		"On dry matter: calcium 1 %, protein 48 %", "dm: protein 48 %, calcium 0.3 % as is",
	} {
		if l, _, used, problems := LabText(text, 70); len(problems) > 0 || !used || math.Abs(l.Per100[nutrition.Protein]-14.4) > 1e-9 {
			t.Errorf("%q: %v, %v, %v", text, l.Per100, used, problems)
		} else if x, ok := l.Per100[nutrition.Calcium]; ok && math.Abs(x-300) > 1e-9 {
			t.Errorf("%q: %v", text, l.Per100)
		}
	}
	for _, text := range []string{"0.6 % calcium and 48 % protein in dry matter", "calcium 600 mg and protein 48 g on dm"} {
		if l, _, _, problems := LabText(text, 70); len(problems) > 0 || math.Abs(l.Per100[nutrition.Calcium]-180) > 1e-9 || math.Abs(l.Per100[nutrition.Protein]-14.4) > 1e-9 {
			t.Errorf("%q: %v, %v", text, l.Per100, problems)
		}
	}
	if l, _, _, problems := LabText("calcium 0.6 % and methionine and cystine 1.2 g and dry matter 30 %", -1); len(problems) > 0 || len(l.Per100) != 3 || l.Per100[nutrition.Calcium] != 600 {
		t.Errorf("three figures: %v, %v", l.Per100, problems)
	}
	if l, _, _, problems := LabText("calcium 0.6 %, protein 48 % in dry matter", 70); len(problems) != 1 || problems[0].Code != span.WhichBasis || len(l.Per100) != 2 {
		t.Errorf("of one or of both: %v, %v", l.Per100, problems)
	}
	for _, text := range []string{"protein 48 % dry", "protein 48 % of solids", "protein 14 % as fed, 48 % on dry matter", "as fed\ncalcium 1 %\non dry matter\nprotein 48 %"} {
		if l, _, _, problems := LabText(text, 70); len(problems) != 1 || l.Per100[nutrition.Protein] > 14 {
			t.Errorf("%q: %v, %v", text, l.Per100, problems)
		}
	}
	if l, _, _, problems := LabText("dm 31 %, protein 14 %", -1); len(problems) > 0 || l.Per100[nutrition.Water] != 69 || l.Per100[nutrition.Protein] != 14 {
		t.Errorf("the share of dry matter: %v, %v", l.Per100, problems)
	}
	if l, _, _, problems := LabText("zinc 90 mg/kg in dry matter, iron 5 mg", -1); len(problems) != 1 || problems[0].Code != span.NoMoisture || len(l.Per100) != 1 {
		t.Errorf("nobody said how much water there is: %v, %v", l.Per100, problems)
	}
	l, _, _, problems := LabText("calcium 0.45 %, pH 6.2, iodine ?", -1)
	if len(problems) != 1 || len(l.Per100) != 1 || len(l.Open) != 1 {
		t.Errorf("%v, %v, %v", l.Per100, l.Open, problems)
	}
}

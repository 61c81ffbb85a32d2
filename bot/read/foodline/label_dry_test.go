package foodline

import (
	"math"
	"testing"

	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
)

// Figures in dry matter are made into figures as fed by hand: with 70 % moisture
// there are 30 g of dry matter in 100 g, so 50 % protein of it is 15 g, 12 g
// calcium a kg of it are 12000 mg * 0.3 / 10 = 360 mg, and 500 IU/kg are 15 IU.
func TestLabelDryMatter(t *testing.T) {
	for _, text := range []string{
		"Beef mix, dry matter: protein 50 %, calcium 12 g/kg, vitamin E 500 IU/kg, moisture 70 %",
		"Beef mix: dry matter: protein 50 %, calcium 12 g/kg, vitamin E 500 IU/kg, moisture 70 %",
		"Beef mix (DM): moisture 70 %, protein 50 %, calcium 12 g/kg, vitamin E 500 IU/kg",
		"Beef mix\nprotein 50 % on a dry matter basis\ncalcium 12 g/kg dm\nvitamin E 500 IU/kg dry matter\nmoisture 70 %",
		"Beef mix, on dry matter: protein 50 %, calcium 360 mg as fed, vitamin E 500 IU/kg, moisture 70 %",
		"Beef mix: dry matter 30 %, protein 50 % DM, calcium 360 mg, 15 IU vitamin E",
		"Beef mix, per 100 g dry matter: protein 50 g, calcium 1200 mg, vitamin E 50 IU, moisture 70 g",
	} {
		got, problems := LabelText(text)
		if len(problems) > 0 || got.Name != "Beef mix" {
			t.Errorf("%q: %+v, %v", text, got, problems)
		}
		for n, want := range map[nutrition.Nutrient]float64{nutrition.Protein: 15, nutrition.Calcium: 360, nutrition.VitaminE: 15, nutrition.Water: 70} {
			if math.Abs(got.Per100[n]-want) > 1e-9 {
				t.Errorf("%q: %s is %v, want %v", text, n, got.Per100[n], want)
			}
		}
	}
	if got, problems := LabelText("Beef mix, dry matter: protein 50 %"); len(problems) != 1 || problems[0].Code != span.NoMoisture {
		t.Errorf("nobody said how much water there is, yet %+v, %v", got, problems)
	}
}

// TestLabelEveryNutrient types each nutrient of the tables on a label, by its
// name and in its unit.
func TestLabelEveryNutrient(t *testing.T) {
	for n := range nutrition.NutrientCount {
		for _, name := range []string{n.String(), n.Name()} {
			got, problems := LabelText("Mix: " + name + " 2 " + n.Unit())
			if x, ok := got.Per100[n]; len(problems) > 0 || !ok || math.Abs(x-2) > 1e-9 {
				t.Errorf("%s: %+v, %v", name, got.Per100, problems)
			}
		}
	}
	got, problems := LabelText("Mix: zinc unknown, iron ?")
	if len(problems) > 0 || len(got.Open) != 2 || len(got.Per100) != 0 {
		t.Errorf("%+v, %v", got, problems)
	}
}

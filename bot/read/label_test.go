package read

import (
	"math"
	"testing"

	"bowlwright/nutrition"
)

func TestLabelText(t *testing.T) {
	got, problems := LabelText("Beef mix: 180 kcal, protein 17 g, 12,5 g fat, calcium 300 mg, vitamin E 10 mg, iodine 50 µg, 65 % moisture")
	if len(problems) > 0 || got.Name != "Beef mix" {
		t.Fatalf("%+v %v", got, problems)
	}
	for n, want := range map[nutrition.Nutrient]float64{
		nutrition.Energy: 180, nutrition.Protein: 17, nutrition.Fat: 12.5, nutrition.Calcium: 300, nutrition.VitaminE: 14.9,
		nutrition.Iodine: 50, nutrition.Water: 65,
	} {
		if x, ok := got.Per100[n]; !ok || math.Abs(x-want) > 1e-9 {
			t.Errorf("%s = %v, want %v", n, x, want)
		}
	}
	if _, ok := got.Per100[nutrition.Zinc]; ok {
		t.Error("zinc is known though no label says it")
	}
	piece, problems := LabelText("Biscuit, per piece of 10 g:\n35 kcal\n1.2 g protein")
	if len(problems) > 0 || piece.Name != "Biscuit" || piece.Piece != 10 || math.Abs(piece.Per100[nutrition.Energy]-350) > 1e-9 || math.Abs(piece.Per100[nutrition.Protein]-12) > 1e-9 {
		t.Errorf("%+v %v", piece, problems)
	}
	for _, bad := range []string{"", "Beef mix", "Beef mix: lots of protein", "Beef mix: protein 170 g", "Beef mix: 1800 kcal", ": 100 kcal", "Beef mix: protein -3 g"} {
		if got, problems := LabelText(bad); len(problems) == 0 {
			t.Errorf("%q was taken: %+v", bad, got)
		}
	}
}

// Salt counts as sodium times 2.5 on labels: Regulation (EU) No 1169/2011.
func TestLabelSalt(t *testing.T) {
	got, problems := LabelText("Sardines:\n753 kJ / 180 kcal\nfat 10 g\nsaturates 2,5 g\nsalt 1 g")
	if len(problems) > 0 || math.Abs(got.Per100[nutrition.Sodium]-400) > 1e-9 || got.Per100[nutrition.SaturatedFat] != 2.5 ||
		math.Abs(got.Per100[nutrition.Energy]-180) > 1 {
		t.Errorf("%+v %v", got, problems)
	}
}

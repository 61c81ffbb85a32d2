package foodline

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

// What a label's figures are for is read as it stands: 20 mg in 5 g are 400 mg
// in 100 g, 4000 mg/kg are 400 mg, 15 mg a capsule are counted by the capsule.
func TestLabelServings(t *testing.T) {
	for _, c := range []struct {
		text, name, per string
		zinc            float64 // mg per 100 g
		piece           nutrition.Grams
	}{
		{"Joint powder, per 5 g: zinc 20 mg", "Joint powder", "5 g", 400, 0},
		{"Joint powder: per 5 g: zinc 20 mg", "Joint powder", "5 g", 400, 0},
		{"Multi, 1 capsule: zinc 15 mg", "Multi", "1 capsule", 1500, 1},
		{"Multi per 2 capsules: zinc 15 mg", "Multi", "2 capsules", 750, 1},
		{"Mineral mix: calcium 20 %, zinc 4000 mg/kg", "Mineral mix", "", 400, 0},
		{"Mineral mix: calcium 20 %, 4000 mg/kg zinc", "Mineral mix", "", 400, 0},
		{"Greens per scoop of 6 g: zinc 24 mg", "Greens", "scoop of 6 g", 400, 6},
		{"Calm: 1 tablet (2 g): zinc 50 mg", "Calm", "1 tablet (2 g)", 2500, 2},
		{"Ash: zinc 15 mg per 5 g", "Ash", "", 300, 0},
	} {
		got, problems := LabelText(c.text)
		zinc := got.Per100[nutrition.Zinc]
		if len(problems) > 0 || got.Name != c.name || got.PerSay != c.per || zinc < c.zinc*0.999 || zinc > c.zinc*1.001 || got.Piece != c.piece {
			t.Errorf("%q: %+v, %+v", c.text, got, problems)
		}
	}
	for _, no := range []string{"Omega oil, per 5 ml: EPA 900 mg", "Greens per scoop: zinc 20 mg", "Greens: zinc 20 mg per scoop"} {
		if got, problems := LabelText(no); len(problems) == 0 {
			t.Errorf("%q: what it is for is no weight, yet %+v", no, got)
		}
	}
}

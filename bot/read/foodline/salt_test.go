package foodline

import (
	"math"
	"testing"

	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
)

// By hand: zinc 65.38 of zinc gluconate's 455.68 is 14.35 %, iodine 126.90 of
// potassium iodide's 166.00 is 76.4 %, iron 55.85 of ferrous sulphate
// heptahydrate's 278.0 is 20.1 %.
func TestSaltOrElement(t *testing.T) {
	table := nutrition.Default()
	for _, c := range []struct {
		line, food      string
		element, salted float64 // a day, in the nutrient's unit, or grams of calcium carbonate
	}{
		{"zinc gluconate 50 mg daily", "zinc", 50, 7.174},
		{"50 mg zinc gluconate daily", "zinc", 50, 7.174},
		{"potassium iodide 1 mg daily", "iodine", 1000, 764.5},
		{"ferrous sulphate 100 mg daily", "iron", 100, 20.09},
		{"copper sulphate 5 mg daily", "copper", 5, 1.2725},
		{"calcium carbonate 500 mg daily", "calcium-carbonate", 1.2487, 0.5},
		{"2 capsules zinc picolinate 22 mg daily", "zinc", 44, 9.292},
	} {
		got := RecipeText(c.line, table)
		if len(got.Problems) != 1 || got.Problems[0].Code != span.SaltOrElement {
			t.Errorf("%q: %+v, %+v", c.line, got.Lines, got.Problems)
			continue
		}
		for way, want := range map[string]float64{span.OfElement: c.element, span.OfSalt: c.salted} {
			said := got.Problems[0].Saying(way)
			again := RecipeText(said, table)
			if len(again.Lines) != 1 || again.Lines[0].Dose == nil || again.Lines[0].Dose.Food != c.food {
				t.Errorf("%q: %+v", said, again)
				continue
			}
			d := again.Lines[0].Dose
			x := float64(d.Grams)
			if len(d.Amounts) > 0 {
				x = d.Amounts[0].Amount
			}
			if math.Abs(x-want) > 0.002*want {
				t.Errorf("%q: %v, want %v", said, x, want)
			}
		}
	}
	// Nothing is asked of what is said: a plain element, a label, grams of powder.
	for _, line := range []string{"zinc 50 mg daily", "5 g calcium carbonate", "zinc gluconate 50 mg elemental daily",
		"iodine (as potassium iodide) 225 µg daily", "iodine supplement (potassium iodide) 225 µg daily"} {
		if got := RecipeText(line, table); len(got.Problems) > 0 {
			t.Errorf("%q: %+v", line, got.Problems)
		}
	}
	for _, s := range salts() {
		if table.Food(s.food) == nil || !(s.Share > 0.05 && s.Share < 0.85) {
			t.Errorf("%v: %v of %s", s.words, s.Share, s.food)
		}
	}
}

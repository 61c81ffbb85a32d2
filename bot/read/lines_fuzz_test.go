package read

import (
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// FuzzMassRoundTrip prints any mass and reads it again.
func FuzzMassRoundTrip(f *testing.F) {
	f.Add(250.0, false)
	f.Add(0.1, true)
	f.Add(28.349523125, true)
	f.Add(99999.999, true)
	f.Add(1.125, false)
	f.Fuzz(func(t *testing.T, x float64, ounces bool) {
		if !(x > 0) || x > mostOfAFood || x < 1e-9 {
			t.Skip("no amount of food")
		}
		s := FormatMass(nutrition.Grams(x), planner.Units{Ounces: ounces})
		got, err := Mass(s)
		if err != nil || got != nutrition.Grams(x) {
			t.Errorf("%v printed as %q and read as %v, %v", x, s, got, err)
		}
	})
}

// FuzzRecipeRoundTrip makes a recipe of bytes, prints it as lines and reads
// it again.
func FuzzRecipeRoundTrip(f *testing.F) {
	f.Add([]byte{1, 2, 3, 4, 5, 6, 7, 8}, false)
	f.Add([]byte("turkey and heart, the whole of it, with everything"), true)
	f.Add([]byte{200, 0, 0, 0, 230, 9, 9, 9, 240, 1, 1, 1, 247, 200, 100, 50}, false)
	f.Fuzz(func(t *testing.T, b []byte, ounces bool) {
		want := madeRecipe(b)
		text := FormatLines(want, nutrition.Default(), planner.Units{Ounces: ounces})
		got := RecipeText(text, nutrition.Default())
		if len(got.Problems) > 0 {
			t.Fatalf("printed as\n%s\nproblems %v", text, got.Problems)
		}
		if r := untyped(got.Planner()); !sameRecipe(r, want) {
			t.Errorf("printed as\n%s\nread as %+v\nwant    %+v", text, r, want)
		}
	})
}

// madeRecipe makes a recipe of any bytes: every food of the table can be in
// it, with any weight, label and cadence.
func madeRecipe(b []byte) planner.Recipe {
	r := planner.Recipe{Name: "Fuzz"}
	foods := nutrition.Default().Foods()
	for ; len(b) >= 4 && len(r.Ingredients)+len(r.Doses) < 30; b = b[4:] {
		food := foods[(int(b[0])<<8+int(b[1]))%len(foods)]
		amount := float64(int(b[2])<<8+int(b[3])+1) / 7
		if active, pure := activeOf(food); pure {
			d := planner.Dose{Food: food.Key, Cadence: madeCadence(b[1]), Per1000: b[2]%3 == 0}
			if b[2]%2 == 0 {
				d.Count, d.Form = float64(b[3]%4+1), []string{"capsule", "tablet", "drop"}[b[1]%3]
			}
			d.Amounts = []planner.Amount{{Nutrient: active, Amount: amount}}
			r.Doses = append(r.Doses, d)
			continue
		}
		in := planner.Ingredient{Food: food.Key, Grams: nutrition.Grams(amount)}
		if b[3]%5 == 0 {
			in.Label = []planner.Fact{{Nutrient: nutrition.Iodine, PerGram: float64(b[2]) / 3}, {Nutrient: nutrition.Energy, PerGram: 1.25}}
		}
		r.Ingredients = append(r.Ingredients, in)
	}
	return r
}

func madeCadence(b byte) planner.Cadence {
	switch b % 4 {
	case 1:
		return planner.Cadence{EveryDays: int(b)%300 + 2}
	case 2:
		return planner.Cadence{Weekdays: []time.Weekday{time.Monday, time.Weekday(2 + b%5)}}
	case 3:
		return planner.Cadence{PerWeek: int(b)%5 + 2}
	}
	return planner.Cadence{}
}

// untyped drops how lines were typed, which printing does not keep.
func untyped(r planner.Recipe) planner.Recipe {
	for i := range r.Ingredients {
		r.Ingredients[i].Typed = ""
	}
	for i := range r.Doses {
		r.Doses[i].Typed = ""
	}
	return r
}

// sameRecipe compares recipes; amounts of counted doses are printed for one
// piece, and may differ in the last bit.
func sameRecipe(a, b planner.Recipe) bool {
	if a.Name != b.Name || !reflect.DeepEqual(a.Ingredients, b.Ingredients) || len(a.Doses) != len(b.Doses) {
		return false
	}
	for i := range a.Doses {
		x, y := a.Doses[i], b.Doses[i]
		if len(x.Amounts) != len(y.Amounts) {
			return false
		}
		for j := range x.Amounts {
			if x.Amounts[j].Nutrient != y.Amounts[j].Nutrient || math.Abs(x.Amounts[j].Amount/y.Amounts[j].Amount-1) > 1e-12 {
				return false
			}
		}
		x.Amounts, y.Amounts = nil, nil
		if !reflect.DeepEqual(x, y) {
			return false
		}
	}
	return true
}

// FuzzRecipeText reads anything: no line is lost, and what was read, printed
// and read again is the same.
func FuzzRecipeText(f *testing.F) {
	for _, s := range []string{"250 g turkey thigh\n2 eggs\nx", "½ lb beef heart, 3 eggs and 5 g salt", "a:\n# b\n1 2 3 4", "vitamin E 200 IU every 3 days",
		"\u202e١٢ g كبد", "1 tsp kelp powder (600 mcg iodine per g)", "10 drops vitamin D 100 IU weekly", "2 kg 500 lb rice 🐕"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got := RecipeText(s, nutrition.Default())
		seen := map[int]bool{}
		for _, l := range got.Lines {
			seen[l.Number] = true
		}
		for _, p := range got.Problems {
			seen[p.Line] = true
		}
		named := got.Name != ""
		for i, raw := range strings.Split(Clean(s), "\n") {
			line := trimBullet(raw)
			if line == "" || strings.HasPrefix(line, "#") || seen[i+1] {
				continue
			}
			if !named {
				t.Errorf("line %d of %q is lost", i+1, s)
			}
			named = false // the name is one line
		}
		r := untyped(got.Planner())
		if len(r.Ingredients) == 0 {
			return
		}
		again := RecipeText(FormatLines(planner.Recipe{Ingredients: r.Ingredients}, nutrition.Default(), planner.Units{}), nutrition.Default())
		if len(again.Problems) > 0 || !reflect.DeepEqual(untyped(again.Planner()).Ingredients, r.Ingredients) {
			t.Errorf("%q read, printed and read again: %+v, problems %v", s, again.Lines, again.Problems)
		}
	})
}

// BenchmarkRecipe12Lines reads a recipe of twelve lines.
func BenchmarkRecipe12Lines(b *testing.B) {
	text := `Turkey and heart:
500 g turkey thigh, no skin
1/2 lb beef heart
2 eggs
60 g chicken liver
40 g beef kidney
kale, cooked 40g
120 g sardines in tomato sauce
1 tsp kelp powder (600 mcg iodine per g)
30 g blueberries
1 tbsp olive oil
eggshell powder 5 g
vitamin E 200 IU every 3 days
`
	t := nutrition.Default()
	if got := RecipeText(text, t); len(got.Lines) != 12 {
		b.Fatalf("%d lines, problems %v", len(got.Lines), got.Problems)
	}
	b.ReportAllocs()
	for b.Loop() {
		RecipeText(text, t)
	}
}

// BenchmarkRecipeWorst reads a paste of the longest lines that take most
// splitting.
func BenchmarkRecipeWorst(b *testing.B) {
	text := strings.Repeat(strings.Repeat("5 g kale, ", 28)+"\n", 33)
	for b.Loop() {
		RecipeText(text, nutrition.Default())
	}
}

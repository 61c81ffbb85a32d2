package planner

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"bowlwright/nutrition"
)

// twelve is a recipe of twelve ingredients from the table, by the usual
// shares of body parts (common practice, no source).
func twelve() Recipe {
	r := recipeOf("turkey-ground-85", 420, "beef-heart", 130, "turkey-gizzard", 60, "turkey-neck", 210, "turkey-liver", 45,
		"lamb-kidney", 25, "lamb-spleen", 20, "lamb-lung", 30, "rabbit", 60, "turkey-breast-skinless", 40, "eggshell-powder", 2, "kelp-powder", 1)
	r.Doses = []Dose{
		{Food: "vitamin-e", Count: 1, Form: "capsule", Amounts: []Amount{{nutrition.VitaminE, 200}}, Cadence: Cadence{EveryDays: 3}},
		{Food: "fish-oil-capsule", Count: 2, Form: "capsule", Grams: 2, Amounts: []Amount{{nutrition.EPA, 0.36}}, Per1000: true, Typed: "2 a day"},
	}
	return r
}

func TestBowlFor(t *testing.T) {
	r := recipeOf("lean", 400, "fatty", 190, "oil", 10, "salt", 2, "mystery", 0) // 870 kcal
	r.Doses = twelve().Doses
	b, err := BowlFor(r, testShelf(), 435, 0, metric)
	if err != nil {
		t.Fatal(err)
	}
	if b.Factor != 0.5 || b.Kcal != 435 || b.Day != 300 || len(b.Meals) != 2 {
		t.Errorf("%+v", b)
	}
	// With the gram of salt the parts are 301 g; the whole is told as 300.
	want := []struct {
		food      string
		low, high nutrition.Grams
	}{{"lean", 200, 200}, {"fatty", 95, 95}, {"oil", 4, 5}, {"salt", 1, 1}}
	sum := nutrition.Grams(0)
	for i, row := range b.Rows {
		sum += row.Day
		if row.Food != want[i].food || row.Day < want[i].low || row.Day > want[i].high {
			t.Errorf("%+v, want %+v", row, want[i])
		}
	}
	if len(b.Rows) != 4 || sum != b.Day || b.Meals[0]+b.Meals[1] != b.Day || math.Abs(float64(b.Meals[0]-b.Meals[1])) > 1 {
		t.Errorf("rows %+v, meals %v", b.Rows, b.Meals)
	}
	d := []Dose{b.Doses[0].Dose, b.Doses[1].Dose}
	if !reflect.DeepEqual(d[0], r.Doses[0]) {
		t.Errorf("a dose by the dog changed: %+v", d[0])
	}
	if d[1].Per1000 || d[1].Typed != "" || !near(d[1].Count, 1, 1e-12) || !near(float64(d[1].Grams), 1, 1e-12) || !near(d[1].Amounts[0].Amount, 0.18, 1e-12) {
		t.Errorf("per 1000 kcal: %+v", d[1])
	}
	if r.Doses[1].Amounts[0].Amount != 0.36 {
		t.Error("the recipe's dose changed")
	}
}

func TestTinyRows(t *testing.T) {
	s := testShelf()
	for _, c := range []struct {
		grams int // of salt in 1000 g, of which the dog eats a tenth
		u     Units
		tiny  *TinyRow
	}{
		{3, metric, &TinyRow{"salt", 0.3, 2.1}},
		{9, metric, &TinyRow{"salt", 0.9, 6.3}},
		{10, metric, nil},
		{15, metric, nil},
		{15, imperial, &TinyRow{"salt", 1.5, 10.5}}, // 0.05 oz would be told as 0.1
		{28, imperial, nil},
		{30, imperial, nil},
	} {
		b, err := BowlFor(recipeOf("lean", 1000, "salt", c.grams), s, 100, 2, c.u)
		if err != nil {
			t.Fatal(err)
		}
		switch {
		case c.tiny == nil && (len(b.Tiny) > 0 || len(b.Rows) != 2 || b.Rows[1].Day <= 0):
			t.Errorf("%d g: %+v, %+v", c.grams, b.Rows, b.Tiny)
		case c.tiny != nil && (len(b.Tiny) != 1 || b.Tiny[0] != *c.tiny || len(b.Rows) != 1):
			t.Errorf("%d g: %+v, %+v, want %+v", c.grams, b.Rows, b.Tiny, *c.tiny)
		}
	}
	for g, want := range map[nutrition.Grams]nutrition.Grams{0.0341: 0.034, 0.0996: 0.1, 0.14: 0.1, 0.25: 0.3, 0: 0} {
		if got := tenths(g); math.Abs(float64(got-want)) > 1e-12 {
			t.Errorf("tenths(%v) = %v, want %v", g, got, want)
		}
	}
}

// TestBowlHolds: on random recipes and dogs, everything adds up, and what the
// bowl brings is what was asked for as near as the scale can tell.
func TestBowlHolds(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	s := testShelf()
	foods := []string{"lean", "fatty", "oil", "salt", "neck"}
	for range 5000 {
		var recipe Recipe
		recipe.Ingredients = append(recipe.Ingredients, Ingredient{Food: "lean", Grams: 300})
		for range r.IntN(12) {
			recipe.Ingredients = append(recipe.Ingredients, Ingredient{Food: foods[r.IntN(len(foods))], Grams: nutrition.Grams(300 * r.Float64() * r.Float64())})
		}
		u := Units{Ounces: r.IntN(2) == 0}
		k, meals := nutrition.Kcal(60+2000*r.Float64()), 1+r.IntN(MostMeals)
		b, err := BowlFor(recipe, s, k, meals, u)
		if err != nil {
			t.Fatal(err)
		}
		totals := make([]int, meals)
		whole := 0
		for _, row := range b.Rows {
			day := 0
			for m, g := range row.Meals {
				n := toUnits(t, g, u)
				day += n
				totals[m] += n
			}
			if day != toUnits(t, row.Day, u) || day == 0 || len(row.Meals) != meals {
				t.Fatalf("%+v", row)
			}
			whole += day
		}
		for m := range totals {
			if totals[m] != toUnits(t, b.Meals[m], u) {
				t.Fatalf("meal %d of %d: %+v", m, totals[m], b)
			}
		}
		if whole != toUnits(t, b.Day, u) || len(b.Rows)+len(b.Tiny) > len(recipe.Ingredients) {
			t.Fatalf("%+v", b)
		}
		// A step of every row, at the most energy a food here has, bounds it.
		if off := math.Abs(b.Energy.Mid - float64(k)); off > 9*5*float64(len(b.Rows)) {
			t.Fatalf("%v kcal asked, %v brought: %+v", k, b.Energy, b)
		}
	}
}

// TestDemoBowls: a typical fresh recipe brings 1.3 to 1.9 kcal per g, and a
// day's food is 2 to 4 % of body weight, up to twice that for a small dog of
// high activity (common practice, no source).
func TestDemoBowls(t *testing.T) {
	r := twelve()
	sum, err := TotalsOf(r, nutrition.Default())
	if err != nil {
		t.Fatal(err)
	}
	if density := sum.Energy.Mid / float64(sum.Grams); density < 1.3 || density > 1.9 {
		t.Errorf("%.2f kcal per g", density)
	}
	for _, c := range []struct {
		dog       Dog
		low, high float64
	}{{juniper(), 0.02, 0.045}, {bracken(), 0.02, 0.04}, {pip(), 0.04, 0.085}} {
		n := NeedOf(c.dog, testNow)
		for _, u := range []Units{metric, imperial} {
			b, err := BowlFor(r, nutrition.Default(), n.Kcal, 2, u)
			if err != nil {
				t.Fatal(err)
			}
			if share := float64(b.Day) / 1000 / float64(c.dog.Weight); share < c.low || share > c.high {
				t.Errorf("%s: %v g a day, %.1f %%", c.dog.Name, b.Day, 100*share)
			}
			if !near(b.Energy.Mid, float64(n.Kcal), 0.015) {
				t.Errorf("%s: %.0f kcal asked, %.0f brought", c.dog.Name, n.Kcal, b.Energy.Mid)
			}
			for _, row := range b.Rows {
				exact := 0.0
				for _, in := range r.Ingredients {
					if in.Food == row.Food {
						exact = float64(in.Grams) * b.Factor
					}
				}
				if math.Abs(float64(row.Day)-exact) > max(5, exact/10) {
					t.Errorf("%s: %v of %s, meant %.1f", c.dog.Name, row.Day, row.Food, exact)
				}
			}
		}
	}
}

func FuzzBowlFor(f *testing.F) {
	f.Add(300.0, 40.0, 2.5, 500.0, 2, false)
	f.Add(1e-300, 50.0, 49.99, 1e9, 3, true)
	f.Fuzz(func(t *testing.T, a, b, c, kcal float64, meals int, ounces bool) {
		r := Recipe{Ingredients: []Ingredient{{Food: "lean", Grams: nutrition.Grams(a)}, {Food: "oil", Grams: nutrition.Grams(b)}, {Food: "neck", Grams: nutrition.Grams(c)}}}
		u := Units{Ounces: ounces}
		bowl, err := BowlFor(r, testShelf(), nutrition.Kcal(kcal), meals, u)
		if err != nil {
			return
		}
		var sum nutrition.Grams
		for _, row := range bowl.Rows {
			sum += row.Day
		}
		if !near(float64(sum), float64(bowl.Day), 1e-9) || bowl.Day < 0 || math.IsNaN(bowl.Factor) {
			t.Errorf("%+v", bowl)
		}
	})
}

func BenchmarkScaleAndRound12(b *testing.B) {
	r, p := twelve(), nutrition.Default()
	parts := make([]nutrition.Grams, len(r.Ingredients))
	b.ReportAllocs()
	for b.Loop() {
		f, err := FactorForKcal(r, p, 1025)
		if err != nil {
			b.Fatal(err)
		}
		scaled, err := Scale(r, f)
		if err != nil {
			b.Fatal(err)
		}
		for i := range scaled.Ingredients {
			parts[i] = scaled.Ingredients[i].Grams
		}
		RoundParts(parts, metric)
	}
}

func BenchmarkBowl12(b *testing.B) {
	r, p := twelve(), nutrition.Default()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := BowlFor(r, p, 1025, 2, metric); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNeedOf(b *testing.B) {
	d := bracken()
	d.Health = "no kidney trouble, heart murmur"
	b.ReportAllocs()
	for b.Loop() {
		NeedOf(d, testNow)
	}
}

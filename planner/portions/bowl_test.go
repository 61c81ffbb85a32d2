package portions

import (
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

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
	d := []planner.Dose{b.Doses[0].Dose, b.Doses[1].Dose}
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
		u     planner.Units
		tiny  *TinyRow
	}{
		{3, metric, &TinyRow{"salt", 0.3, 2.1, []nutrition.Grams{0.15, 0.15}}},
		{9, metric, &TinyRow{"salt", 0.9, 6.3, []nutrition.Grams{0.45, 0.45}}},
		{10, metric, nil},
		{15, metric, &TinyRow{"salt", 1.5, 10.5, []nutrition.Grams{0.75, 0.75}}}, // 2 g would be a third too much
		{20, metric, nil},
		{15, imperial, &TinyRow{"salt", 1.5, 10.5, []nutrition.Grams{0.75, 0.75}}}, // 0.05 oz would be told as 0.1
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
		case c.tiny != nil && (len(b.Tiny) != 1 || !reflect.DeepEqual(b.Tiny[0], *c.tiny) || len(b.Rows) != 1):
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
		var recipe planner.Recipe
		recipe.Ingredients = append(recipe.Ingredients, planner.Ingredient{Food: "lean", Grams: 300})
		for range r.IntN(12) {
			recipe.Ingredients = append(recipe.Ingredients, planner.Ingredient{Food: foods[r.IntN(len(foods))], Grams: nutrition.Grams(300 * r.Float64() * r.Float64())})
		}
		u := planner.Units{Ounces: r.IntN(2) == 0}
		k, meals := nutrition.Kcal(60+2000*r.Float64()), 1+r.IntN(planner.MostMeals)
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
	sum, err := planner.TotalsOf(r, nutrition.Default())
	if err != nil {
		t.Fatal(err)
	}
	if density := sum.Energy.Mid / float64(sum.Grams); density < 1.3 || density > 1.9 {
		t.Errorf("%.2f kcal per g", density)
	}
	for _, c := range []struct {
		dog       planner.Dog
		low, high float64
	}{
		{planner.Dog{Name: "Juniper", Weight: 19.6, Born: born(2022), Sex: planner.Female, Neutered: planner.Yes, Condition: 5, Activity: planner.ModerateCalm}, 0.02, 0.045},
		{planner.Dog{Name: "Bracken", Weight: 34.8, Born: born(2018), Sex: planner.Male, Neutered: planner.Yes, Condition: 7, Activity: planner.LowActivity}, 0.02, 0.04},
		{planner.Dog{Name: "Pip", Weight: 6.4, Born: born(2024), Activity: planner.HighActivity}, 0.04, 0.085},
	} {
		n := planner.NeedOf(c.dog, born(2026))
		for _, u := range []planner.Units{metric, imperial} {
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
		r := planner.Recipe{Ingredients: []planner.Ingredient{{Food: "lean", Grams: nutrition.Grams(a)}, {Food: "oil", Grams: nutrition.Grams(b)}, {Food: "neck", Grams: nutrition.Grams(c)}}}
		u := planner.Units{Ounces: ounces}
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
		f, err := planner.FactorForKcal(r, p, 1025)
		if err != nil {
			b.Fatal(err)
		}
		scaled, err := planner.Scale(r, f)
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

// A topper's bowl is a tenth of the day, its doses per 1000 kcal with it.
func TestTopperBowl(t *testing.T) {
	r := recipeOf("lean", 400, "fatty", 190, "oil", 10, "salt", 2, "mystery", 0) // 870 kcal
	r.Doses = twelve().Doses
	r.Standing.Kind = planner.IsTopper
	b, err := BowlFor(r, testShelf(), 4350, 0, metric)
	if err != nil {
		t.Fatal(err)
	}
	if b.Factor != 0.5 || b.Kcal != 435 || b.Day != 300 { // as TestBowlFor's for 435 kcal
		t.Errorf("%v kcal, %v g, times %v", b.Kcal, b.Day, b.Factor)
	}
	if n := b.Doses[1].Dose.Count; !near(n, 1, 1e-9) { // 2 for 1000 kcal: 0.87, and there are only whole ones
		t.Errorf("%v capsules", n)
	}
}

// 1.2 kcal a gram by a laboratory: 300 kcal are 250 g, whatever the table says.
func TestBowlByLab(t *testing.T) {
	r := recipeOf("lean", 400, "mystery", 100)
	r.Lab.Set(nutrition.Energy, 1.2)
	r.Measure()
	b, err := BowlFor(r, testShelf(), 300, 2, metric)
	if err != nil || !near(b.Factor, 0.5, 1e-9) || b.Day != 250 || !near(b.Energy.Mid, 300, 1e-9) {
		t.Errorf("%+v, %v", b, err)
	}
}

func TestBowlErrors(t *testing.T) {
	r := recipeOf("lean", 100)
	for _, c := range []struct {
		r     planner.Recipe
		meals int
		want  planner.ScaleCode
	}{{r, 7, planner.AbsurdAmount}, {r, -1, planner.AbsurdAmount}, {planner.Recipe{}, 2, planner.EmptyRecipe}} {
		_, err := BowlFor(c.r, testShelf(), 500, c.meals, metric)
		var e *planner.ScaleError
		if !errors.As(err, &e) || e.Code != c.want {
			t.Errorf("%d meals: %v, want %s", c.meals, err, c.want)
		}
	}
}

func near(got, want, fraction float64) bool {
	return math.Abs(got-want) <= fraction*math.Abs(want)
}

// born is a day of a year.
func born(year int) time.Time { return time.Date(year, time.June, 1, 9, 0, 0, 0, time.UTC) }

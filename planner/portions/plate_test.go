package portions

import (
	"math"
	"math/rand/v2"
	"testing"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// TestPlateConserves makes plates of random fares: each food's rows and meals add
// up, the parts add up to the whole, and it brings the kcal it was made for but for
// what the scale leaves open.
func TestPlateConserves(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 8))
	shelf := testShelf()
	turkey := recipeOf("lean", 600, "fatty", 200)
	turkey.ID, turkey.Name = "t", "Turkey"
	kibble := recipeOf("fatty", 100)
	kibble.Name = "kibble"
	for range 500 {
		meals := 1 + r.IntN(4)
		a, b, old := planner.Fare{Recipe: turkey}, planner.Fare{Recipe: kibble}, planner.Fare{Recipe: planner.Recipe{Name: "tins"}, Per100: 90}
		for range meals {
			x, y := []float64{0, 0.25, 0.5, 1}[r.IntN(4)], []float64{0, 0.5, 1}[r.IntN(3)]
			a.Shares, b.Shares, old.Shares = append(a.Shares, x), append(b.Shares, (1-x)*y), append(old.Shares, (1-x)*(1-y))
		}
		var all []planner.Fare
		for _, f := range []planner.Fare{a, b, old} {
			if f.Share() > 0 {
				all = append(all, f)
			}
		}
		k, u := nutrition.Kcal(300+r.IntN(2000)), planner.Units{Ounces: r.IntN(2) == 0}
		p, err := PlateFor(all, shelf, k, u)
		if err != nil {
			t.Fatal(err)
		}
		var day, ofParts nutrition.Grams
		for _, row := range p.Rows {
			day += row.Day
			var of nutrition.Grams
			for _, g := range row.Meals {
				of += g
			}
			if math.Abs(float64(of-row.Day)) > 1e-6 {
				t.Fatalf("%v: meals of %s are %v, the day %v", all, row.Food, of, row.Day)
			}
		}
		for _, part := range p.Parts {
			ofParts += part.Day
		}
		if math.Abs(float64(day-p.Day)) > 1e-6 || math.Abs(float64(ofParts-p.Day)) > 1e-6 || math.Abs(float64(p.Kcal/k)-1) > 1e-9 {
			t.Fatalf("%v: day %v, rows %v, parts %v, kcal %v of %v", all, p.Day, day, ofParts, p.Kcal, k)
		}
		if off := math.Abs(p.Energy.Mid - float64(k)); off > 15*float64(len(p.Rows)*meals) {
			t.Fatalf("%v: it brings %v kcal of %v", all, p.Energy.Mid, k)
		}
	}
}

package planner

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"bowlwright/nutrition"
)

// fareText is a fare in short: each food and its share of each meal.
func fareText(all []Fare) string {
	var parts []string
	for _, f := range all {
		parts = append(parts, fmt.Sprintf("%s %.3g", f.Recipe.Name, f.Shares))
	}
	return strings.Join(parts, ", ")
}

func TestFare(t *testing.T) {
	chicken := []Ingredient{{Food: "chicken", Grams: 100}}
	day := firstMarch
	until := func(o Other, last Date) Other { o.Until = last; return o }
	kibble := Other{Dog: "d1", From: day, Name: "kibble", Lines: chicken, Share: 0.5}
	morning := Other{Dog: "d1", From: day, Name: "kibble", Lines: chicken, At: FirstMeal}
	only := until(Other{Dog: "d1", From: day, Name: "chicken", Lines: chicken}, day)
	supper := until(Other{Dog: "d1", From: day, Name: "chicken", Lines: chicken, At: LastMeal}, day)
	for _, c := range []struct {
		name   string
		others []Other
		day    Date
		want   string
	}{
		{"the usual", nil, day, "Turkey [1 1]"},
		{"half and half", []Other{kibble}, day, "Turkey [0.5 0.5], kibble [0.5 0.5]"},
		{"the day before", []Other{kibble}, day.AddDays(-1), "Turkey [1 1]"},
		{"the morning", []Other{morning}, day, "Turkey [0 1], kibble [1 0]"},
		{"today alone", []Other{only}, day, "chicken [1 1]"},
		{"tomorrow as ever", []Other{only}, day.AddDays(1), "Turkey [1 1]"},
		{"today alone, told before what lasts", []Other{only, kibble}, day, "chicken [1 1]"},
		{"supper beside what lasts", []Other{supper, kibble}, day, "Turkey [0.5 0], kibble [0.5 0], chicken [0 1]"},
		{"what lasts takes the place of what lasted", []Other{kibble, morning}, day, "Turkey [0 1], kibble [1 0]"},
		{"a day takes the place of the same day", []Other{supper, only}, day, "chicken [1 1]"},
		{"half of another recipe", []Other{{Dog: "d1", From: day, Recipe: "l", Share: 0.25}}, day, "Turkey [0.75 0.75], Lamb [0.25 0.25]"},
		{"more of the same recipe", []Other{{Dog: "d1", From: day, Recipe: "t", Share: 0.25}}, day, "Turkey [1 1]"},
		{"a recipe that is gone", []Other{{Dog: "d1", From: day, Recipe: "gone", Share: 0.25}}, day, "Turkey [1 1]"},
		{"shares that nobody told", []Other{{Dog: "d1", From: day, Lines: chicken, Share: -2}, {Dog: "d1", From: day, Lines: chicken, Share: math.NaN()}}, day, "Turkey [1 1]"},
	} {
		h := rotationHome()
		h.Rotations = nil
		h.Dogs[0].Recipe = "t"
		for i := range h.Recipes {
			h.Recipes[i].Name = map[string]string{"t": "Turkey", "l": "Lamb"}[h.Recipes[i].ID]
		}
		for _, o := range c.others {
			h.SetOther(o)
		}
		if got := fareText(FareOn(h, "d1", c.day)); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

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
		a, b, old := Fare{Recipe: turkey}, Fare{Recipe: kibble}, Fare{Recipe: Recipe{Name: "tins"}, Per100: 90}
		for range meals {
			x, y := []float64{0, 0.25, 0.5, 1}[r.IntN(4)], []float64{0, 0.5, 1}[r.IntN(3)]
			a.Shares, b.Shares, old.Shares = append(a.Shares, x), append(b.Shares, (1-x)*y), append(old.Shares, (1-x)*(1-y))
		}
		var all []Fare
		for _, f := range []Fare{a, b, old} {
			if f.Share() > 0 {
				all = append(all, f)
			}
		}
		k, u := nutrition.Kcal(300+r.IntN(2000)), Units{Ounces: r.IntN(2) == 0}
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
			t.Fatalf("%v: it brings %v kcal of %v", fareText(all), p.Energy.Mid, k)
		}
	}
}

package planner

import (
	"fmt"
	"math"
	"strings"
	"testing"
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

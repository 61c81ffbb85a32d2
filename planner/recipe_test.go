package planner

import (
	"encoding/json"
	"testing"
	"time"

	"bowlwright/nutrition"
)

func lines(food string, grams nutrition.Grams) []Ingredient {
	return []Ingredient{{Food: "turkey", Grams: 250}, {Food: food, Grams: grams}}
}

// A version is made where lines change that a bowl was shown of, or that stood
// for a day; else the recipe is still being written.
func TestKeepVersions(t *testing.T) {
	monday := time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		name  string
		was   Recipe
		is    []Ingredient
		after time.Duration
		kept  int
	}{
		{"at once", Recipe{Since: monday}, lines("kale", 60), time.Hour, 0},
		{"shown", Recipe{Since: monday, Shown: true}, lines("kale", 60), time.Hour, 1},
		{"a day old", Recipe{Since: monday}, lines("kale", 60), 24 * time.Hour, 1},
		{"of an older record", Recipe{}, lines("kale", 60), 0, 1},
		{"shown, the same lines", Recipe{Since: monday, Shown: true}, lines("kale", 50), time.Hour, 0},
	} {
		c.was.ID, c.was.Ingredients = "r1", lines("kale", 50)
		before := &Household{Recipes: []Recipe{c.was}}
		h := before.Clone()
		h.Recipes[0].Ingredients = c.is
		at := monday.Add(c.after)
		h.KeepVersions(before, at)
		r := h.Recipes[0]
		if len(r.Versions) != c.kept {
			t.Errorf("%s: %d versions, want %d", c.name, len(r.Versions), c.kept)
			continue
		}
		if c.kept == 0 {
			continue
		}
		if v := r.Versions[0]; v.Number != 1 || v.Ingredients[1].Grams != 50 || !v.Since.Equal(c.was.Since) {
			t.Errorf("%s: kept %+v", c.name, v)
		}
		if r.Number != 2 || !r.Since.Equal(at) || r.Shown {
			t.Errorf("%s: it is %+v", c.name, r)
		}
	}
}

// Only the newest are kept; going back keeps what was, at once.
func TestVersionsKept(t *testing.T) {
	at := time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)
	h := &Household{Recipes: []Recipe{{ID: "r1", Ingredients: lines("kale", 1)}}}
	for i := 2; i <= 30; i++ {
		before := h.Clone()
		at = at.Add(settled)
		h.Recipes[0].Ingredients = lines("kale", nutrition.Grams(i))
		h.KeepVersions(before, at)
	}
	r := &h.Recipes[0]
	if len(r.Versions) != MostVersions || r.Versions[0].Number != 10 || r.Number != 30 {
		t.Fatalf("%d versions from %d, now %d", len(r.Versions), r.Versions[0].Number, r.Number)
	}
	if _, ok := r.Version(9); ok {
		t.Error("version 9 is still there")
	}
	before := h.Clone()
	v, ok := r.Version(12)
	if !ok {
		t.Fatal("no version 12")
	}
	r.GoBack(v, at)
	h.KeepVersions(before, at)
	if r.Number != 31 || r.Ingredients[1].Grams != 12 {
		t.Errorf("went back to %+v", r.Present())
	}
	if last := r.Versions[len(r.Versions)-1]; last.Number != 30 || last.Ingredients[1].Grams != 30 {
		t.Errorf("what was is kept as %+v", last)
	}
}

// A record that was written before there were versions reads without them, and
// is written as it was.
func TestRecipeWithoutVersions(t *testing.T) {
	const old = `{"id":"r1","name":"Turkey and heart","ingredients":[{"food":"turkey","grams":250}]}`
	var r Recipe
	if err := json.Unmarshal([]byte(old), &r); err != nil {
		t.Fatal(err)
	}
	if v := r.Present(); v.Number != 1 || len(r.Versions) != 0 || !v.Since.IsZero() {
		t.Errorf("%+v", v)
	}
	if got, err := json.Marshal(r); err != nil || string(got) != old {
		t.Errorf("written as %s, %v", got, err)
	}
}

func TestChanges(t *testing.T) {
	oil := func(n float64) []Dose { return []Dose{{Food: "fish-oil", Count: n, Form: "capsule"}} }
	was := Recipe{Ingredients: lines("kale", 50), Doses: oil(1)}
	is := Recipe{Ingredients: lines("carrot", 80), Doses: oil(2)}
	got := Changes(was, is, false)
	if len(got) != 3 || got[0].Food != "kale" || got[0].Is != 0 || got[1].Food != "fish-oil" || got[1].IsDose.Count != 2 || got[2].Food != "carrot" || got[2].Was != 0 {
		t.Errorf("%+v", got)
	}
	if all := Changes(was, is, true); len(all) != 4 || all[0].Was != 250 || all[0].Is != 250 {
		t.Errorf("%+v", all)
	}
	if none := Changes(was, was, false); len(none) != 0 {
		t.Errorf("%+v", none)
	}
}

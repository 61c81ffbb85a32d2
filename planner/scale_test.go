package planner

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"bowlwright/nutrition"
)

// shelf is a pantry of made-up foods with round figures.
type shelf map[string]*nutrition.Food

func (s shelf) Food(key string) *nutrition.Food { return s[key] }

// testShelf holds foods of 1, 2 and 9 kcal per g, one of no energy, one of
// unknown energy and a bony one with a range.
func testShelf() shelf {
	s := shelf{}
	add := func(key string, part nutrition.Part, energy nutrition.Value, bone nutrition.Bone) {
		f := &nutrition.Food{Key: key, Part: part, Bone: bone}
		f.Per100[nutrition.Energy] = energy
		s[key] = f
	}
	add("lean", nutrition.Muscle, nutrition.Exactly(100), nutrition.Bone{})
	add("fatty", nutrition.Muscle, nutrition.Exactly(200), nutrition.Bone{})
	add("oil", nutrition.Other, nutrition.Exactly(900), nutrition.Bone{})
	add("salt", nutrition.Other, nutrition.Exactly(0), nutrition.Bone{})
	add("mystery", nutrition.Other, nutrition.Unknown(), nutrition.Bone{})
	add("neck", nutrition.Muscle, nutrition.Between(120, 150, 170), nutrition.Bone{Kind: nutrition.PoultryBone, Low: 0.3, Mid: 0.4, High: 0.5})
	return s
}

func recipeOf(parts ...any) Recipe {
	r := Recipe{ID: "r", Name: "test"}
	for i := 0; i < len(parts); i += 2 {
		r.Ingredients = append(r.Ingredients, Ingredient{Food: parts[i].(string), Grams: nutrition.Grams(parts[i+1].(int))})
	}
	return r
}

func TestTotalsOf(t *testing.T) {
	r := recipeOf("lean", 200, "neck", 100, "oil", 10, "mystery", 5, "mystery", 5)
	r.Ingredients[0].Label = []Fact{{nutrition.Protein, 0.2}, {nutrition.Energy, 1.5}}
	got, err := TotalsOf(r, testShelf())
	if err != nil {
		t.Fatal(err)
	}
	want := Totals{Grams: 320, Energy: nutrition.Value{Low: 300 + 120 + 90, Mid: 300 + 150 + 90, High: 300 + 170 + 90},
		Unknown: []string{"mystery"}, UnknownGrams: 10}
	want.Shares[nutrition.Muscle], want.Shares[nutrition.BonePart], want.Shares[nutrition.Other] = 260.0/320, 40.0/320, 20.0/320
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
	got, err = TotalsOf(Recipe{}, testShelf())
	if err != nil || got.Grams != 0 || got.Energy != nutrition.Exactly(0) {
		t.Errorf("nothing: %+v, %v", got, err)
	}
	_, err = TotalsOf(recipeOf("lean", 1, "unicorn", 2), testShelf())
	var missing *MissingFoodError
	if !errors.As(err, &missing) || missing.Food != "unicorn" {
		t.Errorf("missing food: %v", err)
	}
}

// TestTotalsAgreeWithAnalysis: the analysis of the same recipe, by other code,
// has the same weight, energy and shares.
func TestTotalsAgreeWithAnalysis(t *testing.T) {
	r := twelve()
	r.Doses = nil // the analysis counts their energy too
	got, err := TotalsOf(r, nutrition.Default())
	if err != nil {
		t.Fatal(err)
	}
	m, err := MixtureOf(r, nutrition.Default(), 0)
	if err != nil {
		t.Fatal(err)
	}
	sum, shares := nutrition.Sum(m), nutrition.SharesOf(m.Items)
	e := sum.Values[nutrition.Energy]
	if !near(float64(got.Grams), float64(sum.Grams), 1e-12) || !near(got.Energy.Mid, e.Mid, 1e-12) || !near(got.Energy.Low, e.Low, 1e-12) {
		t.Errorf("%v g, %+v kcal; analysis %v g, %+v kcal", got.Grams, got.Energy, sum.Grams, e)
	}
	for p := range shares {
		if math.Abs(got.Shares[p]-shares[p].Mid) > 1e-12 {
			t.Errorf("%v: %v, analysis %v", nutrition.Part(p), got.Shares[p], shares[p].Mid)
		}
	}
}

func TestFactors(t *testing.T) {
	s := testShelf()
	r := recipeOf("lean", 200, "fatty", 100, "lean", 100) // 400 g, 500 kcal
	for name, c := range map[string]struct {
		want   float64
		factor func() (float64, error)
	}{
		"kcal":       {1.5, func() (float64, error) { return FactorForKcal(r, s, 750) }},
		"grams":      {2.5, func() (float64, error) { return FactorForGrams(r, 1000) }},
		"ingredient": {3, func() (float64, error) { return FactorForIngredient(r, "lean", 900) }},
		"salt": {2, func() (float64, error) {
			return FactorForKcal(recipeOf("lean", 200, "fatty", 100, "lean", 100, "salt", 9), s, 1000)
		}},
		"a gram of mystery": {2, func() (float64, error) {
			return FactorForKcal(recipeOf("lean", 200, "fatty", 100, "lean", 100, "mystery", 2), s, 1000)
		}},
	} {
		if got, err := c.factor(); err != nil || !near(got, c.want, 1e-12) {
			t.Errorf("%s: %v, %v; want %v", name, got, err, c.want)
		}
	}
}

func TestScaleErrors(t *testing.T) {
	s := testShelf()
	r := recipeOf("lean", 200, "fatty", 100)
	bad := recipeOf("lean", 200, "fatty", -100)
	nan := nutrition.Grams(math.NaN())
	for name, c := range map[string]struct {
		want ScaleCode
		food string
		try  func() error
	}{
		"no ingredients": {EmptyRecipe, "", func() error { _, err := FactorForKcal(Recipe{}, s, 500); return err }},
		"nothing weighs": {EmptyRecipe, "", func() error { _, err := FactorForGrams(recipeOf("lean", 0), 500); return err }},
		"empty scaled":   {EmptyRecipe, "", func() error { _, err := Scale(Recipe{}, 2); return err }},
		"no energy":      {NoEnergy, "", func() error { _, err := FactorForKcal(recipeOf("salt", 10), s, 500); return err }},
		"mystery alone":  {UnknownEnergy, "mystery", func() error { _, err := FactorForKcal(recipeOf("mystery", 10), s, 500); return err }},
		"much mystery": {UnknownEnergy, "mystery", func() error {
			_, err := FactorForKcal(recipeOf("lean", 200, "mystery", 2), s, 500)
			return err
		}},
		"absent":           {AbsentFood, "oil", func() error { _, err := FactorForIngredient(r, "oil", 500); return err }},
		"present, 0 g":     {AbsentFood, "oil", func() error { _, err := FactorForIngredient(recipeOf("oil", 0, "lean", 1), "oil", 5); return err }},
		"no kcal":          {AbsurdAmount, "", func() error { _, err := FactorForKcal(r, s, 0); return err }},
		"negative kcal":    {AbsurdAmount, "", func() error { _, err := FactorForKcal(r, s, -500); return err }},
		"kcal no number":   {AbsurdAmount, "", func() error { _, err := FactorForKcal(r, s, nutrition.Kcal(math.NaN())); return err }},
		"no grams":         {AbsurdAmount, "", func() error { _, err := FactorForGrams(r, 0); return err }},
		"2000 kg":          {AbsurdAmount, "", func() error { _, err := FactorForGrams(r, 2e6); return err }},
		"grams no number":  {AbsurdAmount, "", func() error { _, err := FactorForGrams(r, nan); return err }},
		"factor 0":         {AbsurdAmount, "", func() error { _, err := Scale(r, 0); return err }},
		"factor negative":  {AbsurdAmount, "", func() error { _, err := Scale(r, -1); return err }},
		"factor infinite":  {AbsurdAmount, "", func() error { _, err := Scale(r, math.Inf(1)); return err }},
		"factor no number": {AbsurdAmount, "", func() error { _, err := Scale(r, math.NaN()); return err }},
		"factor too small": {AbsurdAmount, "", func() error { _, err := Scale(r, 1e-4); return err }},
		"bad weight":       {AbsurdAmount, "fatty", func() error { _, err := Scale(bad, 2); return err }},
		"bad weight, kcal": {AbsurdAmount, "fatty", func() error { _, err := FactorForKcal(bad, s, 500); return err }},
	} {
		var e *ScaleError
		if err := c.try(); !errors.As(err, &e) || e.Code != c.want || e.Food != c.food {
			t.Errorf("%s: %v, want %s %s", name, err, c.want, c.food)
		} else if !strings.Contains(err.Error(), string(c.want)) {
			t.Errorf("%s: %q does not tell its code", name, err)
		}
	}
}

// TestScaleSharesNothing: what comes out can be changed without changing what
// came in.
func TestScaleSharesNothing(t *testing.T) {
	make := func() Recipe {
		r := recipeOf("lean", 200, "oil", 10)
		r.Days = 2
		r.Ingredients[0].Typed = "200 g lean"
		r.Ingredients[0].Label = []Fact{{nutrition.Energy, 1}}
		r.Doses = []Dose{{Food: "vitamin-e", Count: 1, Amounts: []Amount{{nutrition.VitaminE, 200}}, Typed: "1 vitamin E",
			Cadence: Cadence{Weekdays: []time.Weekday{1}}}}
		return r
	}
	r, want := make(), make()
	got, err := Scale(r, 3)
	if err != nil {
		t.Fatal(err)
	}
	if got.Ingredients[0].Grams != 600 || got.Ingredients[1].Grams != 30 || got.Ingredients[0].Typed != "" || got.Days != 2 {
		t.Errorf("%+v", got)
	}
	if !reflect.DeepEqual(got.Doses, want.Doses) {
		t.Errorf("doses changed: %+v", got.Doses)
	}
	got.Ingredients[0].Label[0].PerGram, got.Doses[0].Amounts[0].Amount, got.Doses[0].Cadence.Weekdays[0] = 9, 9, 9
	got.Doses[0].Count, got.Ingredients[1].Grams = 9, 9
	if !reflect.DeepEqual(r, want) {
		t.Errorf("the recipe changed: %+v", r)
	}
}

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

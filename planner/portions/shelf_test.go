package portions

import (
	"os"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

var firstMarch = planner.Date{Year: 2026, Month: time.March, Day: 1}

// sampled is how many cases of a campaign to try.
func sampled(all, few int) int {
	if os.Getenv("BOWLWRIGHT_LONG") != "" {
		return all
	}
	return few
}

// shelf is a pantry of made-up foods with round figures.
type shelf map[string]*nutrition.Food

func (s shelf) Food(key string) *nutrition.Food { return s[key] }

// testShelf holds foods of 1, 2 and 9 kcal per g, one of no energy, one of
// unknown energy and a bony one with a range.
func testShelf() shelf {
	s := shelf{}
	for key, energy := range map[string]nutrition.Value{"lean": nutrition.Exactly(100), "fatty": nutrition.Exactly(200),
		"oil": nutrition.Exactly(900), "salt": nutrition.Exactly(0), "mystery": nutrition.Unknown()} {
		s[key] = &nutrition.Food{Key: key, Part: nutrition.Muscle}
		s[key].Per100[nutrition.Energy] = energy
	}
	s["salt"].Part = nutrition.Other
	s["neck"] = &nutrition.Food{Key: "neck", Part: nutrition.Muscle, Bone: nutrition.Bone{Kind: nutrition.PoultryBone, Low: 0.3, Mid: 0.4, High: 0.5}}
	s["neck"].Per100[nutrition.Energy] = nutrition.Between(120, 150, 170)
	return s
}

func recipeOf(parts ...any) planner.Recipe {
	r := planner.Recipe{ID: "r", Name: "test"}
	for i := 0; i < len(parts); i += 2 {
		r.Ingredients = append(r.Ingredients, planner.Ingredient{Food: parts[i].(string), Grams: nutrition.Grams(parts[i+1].(int))})
	}
	return r
}

// twelve is a recipe of twelve ingredients from the table, by the usual
// shares of body parts (common practice, no source).
func twelve() planner.Recipe {
	r := recipeOf("turkey-ground-85", 420, "beef-heart", 130, "turkey-gizzard", 60, "turkey-neck", 210, "turkey-liver", 45,
		"lamb-kidney", 25, "lamb-spleen", 20, "lamb-lung", 30, "rabbit", 60, "turkey-breast-skinless", 40, "eggshell-powder", 2, "kelp-powder", 1)
	r.Doses = []planner.Dose{
		{Food: "vitamin-e", Count: 1, Form: "capsule", Amounts: []planner.Amount{{Nutrient: nutrition.VitaminE, Amount: 200}}, Cadence: planner.Cadence{EveryDays: 3}},
		{Food: "fish-oil-capsule", Count: 2, Form: "capsule", Grams: 2, Amounts: []planner.Amount{{Nutrient: nutrition.EPA, Amount: 0.36}}, Per1000: true, Typed: "2 a day"},
	}
	return r
}

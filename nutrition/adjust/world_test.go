package adjust

import (
	"math"
	"math/rand/v2"
	"testing"

	"bowlwright/nutrition"
)

// made returns a food of which everything is known to be nothing but what is
// given, per 100 g. Energy is 100 kcal unless given.
func made(key string, values map[nutrition.Nutrient]nutrition.Value) *nutrition.Food {
	f := &nutrition.Food{Key: key, Name: key}
	for n := range f.Per100 {
		f.Per100[n] = nutrition.Exactly(0)
	}
	f.Per100[nutrition.Energy] = nutrition.Exactly(100)
	for n, v := range values {
		f.Per100[n] = v
	}
	return f
}

// mixtureOf makes a mixture of the table's foods: key, grams, key, grams.
func mixtureOf(t testing.TB, parts ...any) nutrition.Mixture {
	t.Helper()
	var m nutrition.Mixture
	for i := 0; i < len(parts); i += 2 {
		f := nutrition.Default().Food(parts[i].(string))
		if f == nil {
			t.Fatalf("no food %v", parts[i])
		}
		m.Items = append(m.Items, nutrition.Item{Food: f, Grams: nutrition.Grams(parts[i+1].(int))})
	}
	return m
}

// twelve is a recipe of twelve ingredients.
func twelve(t testing.TB) nutrition.Mixture {
	m := mixtureOf(t,
		"turkey-thigh-skinless", 400, "chicken-wing", 220, "beef-heart", 150, "chicken-liver", 40, "beef-kidney", 40,
		"mackerel-atlantic", 50, "egg", 50, "kale-cooked", 30, "spinach-cooked", 20, "carrot", 20, "blueberry", 20, "wheat-germ-oil", 2)
	m.Extras = []nutrition.Extra{{Name: "vitamin E", Nutrient: nutrition.VitaminE, PerDay: 20}}
	return m
}

// randomMixture takes 1 to 14 foods of the whole table at random.
func randomMixture(rng *rand.Rand) nutrition.Mixture {
	foods := nutrition.Default().Foods()
	var m nutrition.Mixture
	for range 1 + rng.IntN(14) {
		m.Items = append(m.Items, nutrition.Item{Food: foods[rng.IntN(len(foods))], Grams: nutrition.Grams(1 + rng.Float64()*500)})
	}
	return m
}

func nearly(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Abs(b) }

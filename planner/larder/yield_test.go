package larder

import (
	"testing"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

func TestInCookedWeights(t *testing.T) {
	table := nutrition.Default()
	for want, foods := range map[bool][][]string{
		true:  {{"kale-cooked", "calcium-carbonate"}, {"duck-liver+cooked", "salmon-oil"}},
		false: {{"kale-cooked", "turkey-ground"}, {"sardine-oil"}, {"no-such-food"}, {}},
	} {
		for _, keys := range foods {
			var r planner.Recipe
			for _, key := range keys {
				r.Ingredients = append(r.Ingredients, planner.Ingredient{Food: key, Grams: 100})
			}
			if got := InCookedWeights(r, table); got != want {
				t.Errorf("%v: %t", keys, got)
			}
		}
	}
}

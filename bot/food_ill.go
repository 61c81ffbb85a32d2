package bot

import (
	"slices"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// illFoods are the foods that a dog with an illness has only after its vet was
// asked (common practice; the limits are coarse, no source).
var illFoods = []struct {
	illness string
	asks    func(f *nutrition.Food) bool
}{
	// Of fat about a quarter of the energy and more; the skin and liver oils too.
	{planner.Pancreas, func(f *nutrition.Food) bool {
		per := f.Per100
		return per[nutrition.Fat].High*9 >= per[nutrition.Energy].High/4 || per[nutrition.Fat].High >= 5
	}},
	// Bone, organs, and what is rich in protein or phosphorus.
	{planner.Kidney, func(f *nutrition.Food) bool {
		per := f.Per100
		return f.Bone.Kind != nutrition.NoBone || f.Part == nutrition.Liver || per[nutrition.Protein].High >= 12 || per[nutrition.Phosphorus].High >= 150
	}},
	{planner.BladderStones, func(f *nutrition.Food) bool { return f.Has(nutrition.Oxalate) || f.Part == nutrition.Liver }},
	{planner.Diabetes, func(f *nutrition.Food) bool { return f.Per100[nutrition.Carbohydrate].High >= 5 }},
	{planner.LiverIllness, func(f *nutrition.Food) bool { return f.Part == nutrition.Liver || f.Per100[nutrition.Copper].High >= 1 }},
	{planner.Heart, func(f *nutrition.Food) bool { return f.Key == saltKey || f.Per100[nutrition.Sodium].High >= 200 }},
}

// illFood is the answer about a food, or any of several, for a dog whose
// illness speaks against it; empty where none does, or the dog is well.
func illFood(d *planner.Dog, name string, foods ...*nutrition.Food) string {
	if d == nil {
		return ""
	}
	codes := planner.Illness(d.Health)
	for _, i := range illFoods {
		if slices.Contains(codes, i.illness) && slices.ContainsFunc(foods, i.asks) {
			return msg("ill-food."+i.illness, "dog", d.Name, "food", name)
		}
	}
	return ""
}

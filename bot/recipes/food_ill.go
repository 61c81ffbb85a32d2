package recipes

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/illness"
)

// illFoods say what in a food speaks against it for a dog with an illness, the
// first that fits (common practice; the limits are coarse, no source).
var illFoods = []struct {
	illness, why string
	asks         func(f *nutrition.Food) bool
}{
	// Of fat about a quarter of the energy and more; the skin and liver oils too.
	{illness.Pancreas, "fat", func(f *nutrition.Food) bool {
		per := f.Per100
		return per[nutrition.Fat].High*9 >= per[nutrition.Energy].High/4 || per[nutrition.Fat].High >= 5
	}},
	// Bone, organs, and what is rich in protein or phosphorus.
	{illness.Kidney, "phosphorus", func(f *nutrition.Food) bool {
		per := f.Per100
		return f.Bone.Kind != nutrition.NoBone || f.Part == nutrition.Liver || per[nutrition.Protein].High >= 12 || per[nutrition.Phosphorus].High >= 150
	}},
	{illness.Kidney, "salt", salty},
	{illness.BladderStones, "oxalate", func(f *nutrition.Food) bool { return f.Has(nutrition.Oxalate) || f.Has(nutrition.SomeOxalate) }},
	{illness.BladderStones, "purine", func(f *nutrition.Food) bool { return f.Part == nutrition.Liver }},
	{illness.Diabetes, "sugar", func(f *nutrition.Food) bool { return f.Per100[nutrition.Carbohydrate].High >= 5 }},
	{illness.Liver, "copper", func(f *nutrition.Food) bool {
		return f.Part == nutrition.Liver || f.Per100[nutrition.Copper].High >= 1
	}},
	{illness.Liver, "salt", salty},
	{illness.Heart, "salt", salty},
	{copperBreed, "copper-breed", nutrition.CopperLiver},
	// Too much vitamin A harms unborn pups (common veterinary practice, from memory).
	{string(planner.Pregnant), "vitamin-a", func(f *nutrition.Food) bool { return f.Part == nutrition.Liver || f.Has(nutrition.LiverOil) }},
}

// copperBreed stands among the illnesses for a breed that is inclined to store
// copper.
const copperBreed = "copper-breed"

// anyBone is bone of which nobody said the animal or the cut.
var anyBone = &nutrition.Food{Bone: nutrition.Bone{Kind: nutrition.MammalBone}}

// illnessOf is what a dog has, and that it is pregnant, by which illFoods are
// looked up.
func illnessOf(d *planner.Dog) []string {
	codes := illness.In(d.Health)
	if len(codes) == 0 && d.Ill {
		codes = []string{"unknown"}
	}
	if d.StoresCopper {
		codes = append(codes, copperBreed)
	}
	if d.Stage == planner.Pregnant {
		codes = append(codes, string(planner.Pregnant))
	}
	return codes
}

func salty(f *nutrition.Food) bool {
	return f.Key == SaltKey || f.Per100[nutrition.Sodium].High >= 200
}

// illNamed are the illnesses, and pregnancy, that a question itself names beside its foods:
// "can a diabetic dog have banana".
func illNamed(text string, foods []string) []string {
	text = strings.ToLower(text)
	for _, food := range foods { // "is kidney ok for dogs" names none
		text = strings.Replace(text, strings.ToLower(food), ",", 1)
	}
	codes := illness.In(text)
	if alarm.Expecting(text) {
		codes = append(codes, string(planner.Pregnant))
	}
	return codes
}

// illFood is the answer about a food, or any of several, for a dog with an
// illness, its own or one that the question names: yes for a healthy dog, but
// ask the vet for this one, and why if that is known. It is empty for a dog
// that is well, and where only pregnancy or a breed is known and nothing speaks
// against the food. How is the answer for a healthy dog.
func illFood(d *planner.Dog, named []string, name, how string, foods ...*nutrition.Food) string {
	who, codes := msg("ill.yours"), named
	if d != nil && len(named) == 0 {
		who, codes = d.Name, illnessOf(d)
	}
	code, why := illWhy(codes, foods)
	if len(codes) == 0 || code == "" && (codes[0] == string(planner.Pregnant) || codes[0] == copperBreed) {
		return ""
	}
	first := msg("ill-food", "food", say.Capital(name), "how", msg("ill-for."+how), "dog", who, "illness", msg("ill."+cmp.Or(code, codes[0])))
	if of := someOf(code, why, foods); why != "" && of != "" { // "cod", of which only one kind is salty
		first += " " + of + ": " + msg("ill-why."+why)
	} else if why != "" {
		first += " " + msg("ill-why."+why)
	}
	return first
}

// Against says of a food that a dog had what speaks against it: that it is left out for
// the dog, or is nothing for its illness. It is empty where nothing is known to. The food
// may begin with its weight.
func Against(t *talk.Turn, d *planner.Dog, food string) string {
	if d == nil {
		return ""
	}
	out := say.Where(dogs.NotFor(t, d, food), msg("had-excluded", "dog", d.Name, "foods", say.List(d.Excludes)))
	name, _ := read.AmountOff(food)
	if f := t.Foods.Find(name).Food; f != nil {
		if code, why := illWhy(illnessOf(d), []*nutrition.Food{f}); why != "" {
			out = say.JoinParas(out, msg("ill-had", "dog", d.Name, "illness", msg("ill."+code), "why", msg("ill-why."+why)))
		}
	}
	return out
}

// illWhy is which of some illnesses speaks against a food, and why; empty
// where none is known to.
func illWhy(codes []string, foods []*nutrition.Food) (code, why string) {
	for _, i := range illFoods {
		if slices.Contains(codes, i.illness) && slices.ContainsFunc(foods, i.asks) {
			return i.illness, i.why
		}
	}
	return "", ""
}

// someOf names the foods of which something is so, where it is not so of all.
func someOf(code, why string, foods []*nutrition.Food) string {
	var names []string
	for _, i := range illFoods {
		for _, f := range foods {
			if i.illness == code && i.why == why && i.asks(f) {
				names = append(names, f.Name)
			}
		}
	}
	return say.Where(len(names) < len(foods), say.Capital(say.List(names)))
}

// illOthers says it of the other dogs of the household for whom a food is
// known to be wrong, where none was named.
func illOthers(t *talk.Turn, dog string, named []string, foods ...*nutrition.Food) string {
	if dog != "" || len(named) > 0 {
		return ""
	}
	var lines []string
	answered := talk.TalkedOf(t)
	for _, d := range t.Dogs() {
		if code, _ := illWhy(illnessOf(d), foods); code != "" && d != answered {
			lines = append(lines, msg("ill-other", "dog", d.Name, "illness", msg("ill."+code)))
		}
	}
	return strings.Join(lines, "\n")
}

// offerIllness offers to note an illness that a question tells of a dog of the
// household: "Rex has diabetes, can he have rice".
func offerIllness(t *talk.Turn, named []string) {
	_, _, ids := read.DogsNamed(t.AsTyped(), t.Names())
	if len(named) == 0 || len(ids) != 1 {
		return
	}
	d := t.Dog(ids[0])
	if slices.Contains(illness.In(d.Health), named[0]) {
		return
	}
	t.SayMsg("ill.not-noted", "dog", d.Name, "illness", msg("ill."+named[0])).
		Offer(t.Button(msg("button.note-illness"), "dog", "ill", d.ID, named[0]))
}

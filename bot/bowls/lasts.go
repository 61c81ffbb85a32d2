package bowls

import (
	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// answerLasts says for how many days an amount of a recipe is enough: for the
// dog that is named, else for all together.
func answerLasts(t *talk.Turn, s read.Sentence) {
	if len(t.Home.Dogs) == 0 {
		talk.WhoFeeds(t)
		return
	}
	r, sum, ok := sumsMeant(t, s)
	if !ok {
		return
	}
	var ids []string
	var need nutrition.Kcal
	for _, d := range t.Dogs() {
		if s.Dog == "" || s.Dog == d.ID {
			if dogs.Held(t, d) {
				return
			}
			ids = append(ids, d.ID)
			need += planner.AmountOf(*d, t.Event.At).Kcal
		}
	}
	if !sum.Energy.Complete || sum.Energy.Mid <= 0 || need <= 0 || sum.Grams <= 0 {
		t.Say(say.Para(recipes.RecipeEnergy(t, r, sum)))
		return
	}
	aDay := nutrition.Grams(float64(need) / sum.Energy.Mid * float64(sum.Grams))
	t.Say(say.Para(msg("lasts.days", "days", say.Trim(float64(s.Grams/aDay), 1), "grams", say.Mass(s.Grams, dogs.UnitsOf(t, s)), "recipe", r.Name, "dogs", talk.DogNames(t, ids))),
		say.Para(msg("lasts.why", "day", say.Mass(aDay, t.Home.Units), "kcal", say.Kcal(need)))).
		Offer(t.Button(msg("button.storing"), "food", "storing"))
}

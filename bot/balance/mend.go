package balance

import (
	"cmp"
	"slices"

	"bowlwright/bot/dogs"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/nutrition/adjust"
)

// together is one list of what would mend a recipe; nothing for a dog whose
// food is a vet's matter.
func together(t *talk.Turn, l Looked) adjust.Together {
	if dogs.Gated(t, l.Dog) {
		return adjust.Together{}
	}
	return adjust.MendTogether(l.Result, l.Mixture, l.Profile, t.Foods, dogs.Excluder(t, l.Dog))
}

// A list that is longer, or leaves more open, is another recipe.
const mostSteps, mostLeftOpen = 10, 3

// togetherText says what would mend all of it, a line each with its purpose,
// and what that leaves open. Against a dog's day the amounts are for a day,
// else for the whole recipe.
func togetherText(t *talk.Turn, l Looked, all adjust.Together) string {
	if len(all.Steps) == 0 {
		return ""
	}
	if len(all.Open) > mostLeftOpen || len(all.Steps) > mostSteps {
		return msg("mend.too-much")
	}
	per := say.Choose(l.Result.Days() > 0, msg("mend.day"), msg("mend.whole"))
	open, _ := recipes.NamesOf(all.Open, recipes.MostNamed)
	first := msg(say.Choose(len(all.Open) > 0, "mend.some", "mend.all"), "open", open, "per", per)
	return say.JoinParas(first, say.LinesOf(all.Steps, func(s adjust.Step) string { return stepText(t, s) }))
}

// stepText is one line of it: "3.5 g calcium carbonate: calcium".
func stepText(t *talk.Turn, s adjust.Step) string {
	if s.Less != "" || s.ByLabel {
		return msg(say.Choose(s.Less != "", "mend.less-dose", "mend.label"), "amount", recipes.LimitText(s.PerDay, s.Nutrient.Unit()), "nutrient", s.Nutrient.Name())
	}
	g := cmp.Or(s.PerDayGrams, s.Grams)
	if slices.Contains(s.For, nutrition.Subject(nutrition.Calcium)) { // which says it
		s.For = slices.DeleteFunc(slices.Clone(s.For), func(x nutrition.Subject) bool { return x == nutrition.CalciumPhosphorus })
	}
	purpose, _ := recipes.NamesOf(s.For, 3)
	return msg(say.Choose(g < 0, "mend.less", "mend.add"), "grams", say.ExactMass(max(g, -g), t.Home.Units), "food", s.Food.Name, "for", purpose)
}

// unchangedText says that no shift among a recipe's foods helps; less of one may.
func unchangedText(recipe string, a adjust.Answer) string {
	less := func(s adjust.Step) bool { return s.Grams < 0 }
	return msg(say.Choose(slices.ContainsFunc(a.Closers.Steps, less), "balance.less", "balance.unchanged"), "recipe", recipe)
}

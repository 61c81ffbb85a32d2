package balance

import (
	"slices"
	"strings"

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
	lines := []string{msg("mend.all", "per", per)}
	if len(all.Open) > 0 {
		open, _ := recipes.NamesOf(all.Open, recipes.MostNamed)
		lines[0] = msg("mend.some", "open", open, "per", per)
	}
	for _, s := range all.Steps {
		lines = append(lines, stepText(t, s))
	}
	return strings.Join(lines, "\n")
}

// stepText is one line of it: "3.5 g calcium carbonate: calcium".
func stepText(t *talk.Turn, s adjust.Step) string {
	if s.Less != "" {
		return msg("mend.less-dose", "amount", recipes.LimitText(s.PerDay, s.Nutrient.Unit()), "nutrient", s.Nutrient.Name())
	}
	if s.ByLabel {
		return msg("mend.label", "amount", recipes.LimitText(s.PerDay, s.Nutrient.Unit()), "nutrient", s.Nutrient.Name())
	}
	g := s.Grams
	if s.PerDayGrams != 0 {
		g = s.PerDayGrams
	}
	if slices.Contains(s.For, nutrition.Subject(nutrition.Calcium)) { // which says it
		s.For = slices.DeleteFunc(slices.Clone(s.For), func(x nutrition.Subject) bool { return x == nutrition.CalciumPhosphorus })
	}
	purpose, _ := recipes.NamesOf(s.For, 3)
	if g < 0 {
		return msg("mend.less", "grams", say.ExactMass(-g, t.Home.Units), "food", s.Food.Name, "for", purpose)
	}
	return msg("mend.add", "grams", say.ExactMass(g, t.Home.Units), "food", s.Food.Name, "for", purpose)
}

// unchangedText says that no shift among a recipe's foods helps; less of one may.
func unchangedText(recipe string, a adjust.Answer) string {
	return say.Choose(slices.ContainsFunc(a.Closers.Steps, func(s adjust.Step) bool { return s.Grams < 0 }), msg("balance.less", "recipe", recipe), msg("balance.unchanged", "recipe", recipe))
}

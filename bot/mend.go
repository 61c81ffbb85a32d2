package bot

import (
	"slices"
	"strings"

	"bowlwright/nutrition"
)

// together is one list of what would mend a recipe; nothing for a dog whose
// food is a vet's matter.
func (t *turn) together(l looked) nutrition.Together {
	if t.gated(l.dog) {
		return nutrition.Together{}
	}
	return nutrition.MendTogether(l.result, l.mixture, l.profile, t.foods, t.excluder(l.dog))
}

// A list that is longer, or leaves more open, is another recipe.
const mostSteps, mostLeftOpen = 10, 3

// togetherText says what would mend all of it, a line each with what it is for,
// and what that leaves open. Against a dog's day the amounts are those of a day,
// else they are for the whole recipe.
func (t *turn) togetherText(l looked, all nutrition.Together) string {
	if len(all.Steps) == 0 {
		return ""
	}
	if len(all.Open) > mostLeftOpen || len(all.Steps) > mostSteps {
		return msg("mend.too-much")
	}
	per := msg("mend.whole")
	if l.result.Days() > 0 {
		per = msg("mend.day")
	}
	lines := []string{msg("mend.all", "per", per)}
	if len(all.Open) > 0 {
		open, _ := namesOf(all.Open, mostNamed)
		lines[0] = msg("mend.some", "open", open, "per", per)
	}
	for _, s := range all.Steps {
		lines = append(lines, t.stepText(s))
	}
	return strings.Join(lines, "\n")
}

// stepText is one line of it: "3.5 g calcium carbonate: calcium".
func (t *turn) stepText(s nutrition.Step) string {
	if s.Less != "" {
		return msg("mend.less-dose", "amount", limitText(s.PerDay, s.Nutrient.Unit()), "nutrient", s.Nutrient.Name())
	}
	if s.ByLabel {
		return msg("mend.label", "amount", limitText(s.PerDay, s.Nutrient.Unit()), "nutrient", s.Nutrient.Name())
	}
	g := s.Grams
	if s.PerDayGrams != 0 {
		g = s.PerDayGrams
	}
	if slices.Contains(s.For, nutrition.Subject(nutrition.Calcium)) { // which says it
		s.For = slices.DeleteFunc(slices.Clone(s.For), func(x nutrition.Subject) bool { return x == nutrition.CalciumPhosphorus })
	}
	purpose, _ := namesOf(s.For, 3)
	if g < 0 {
		return msg("mend.less", "grams", exactMass(-g, t.home.Units), "food", s.Food.Name, "for", purpose)
	}
	return msg("mend.add", "grams", exactMass(g, t.home.Units), "food", s.Food.Name, "for", purpose)
}

// unchangedText says that no shift among a recipe's foods helps; less of one may.
func unchangedText(recipe string, a nutrition.BalanceAnswer) string {
	if slices.ContainsFunc(a.Closers.Steps, func(s nutrition.Step) bool { return s.Grams < 0 }) {
		return msg("balance.less", "recipe", recipe)
	}
	return msg("balance.unchanged", "recipe", recipe)
}

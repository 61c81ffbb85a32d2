package recipes

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// mattersFirst are the nutrients that home-made food is most often short of,
// for which a missing figure matters most (Stockman and others 2013 on
// home-made recipes for dogs, from memory; the order is our own choice).
var mattersFirst = []nutrition.Subject{
	nutrition.Subject(nutrition.Iodine), nutrition.Subject(nutrition.Calcium), nutrition.CalciumPhosphorus, nutrition.Subject(nutrition.VitaminD),
	nutrition.Subject(nutrition.Zinc), nutrition.Subject(nutrition.Copper), nutrition.Subject(nutrition.VitaminE), nutrition.Subject(nutrition.Choline),
	nutrition.Subject(nutrition.Manganese), nutrition.VitaminA, nutrition.EPADHA, nutrition.Subject(nutrition.EPA), nutrition.Subject(nutrition.DHA),
	nutrition.Subject(nutrition.Selenium), nutrition.Subject(nutrition.Phosphorus),
}

// byWeight puts what matters most first and leaves the rest in its order.
func byWeight(all []nutrition.Subject) {
	rank := func(s nutrition.Subject) int {
		if i := slices.Index(mattersFirst, s); i >= 0 {
			return i
		}
		return len(mattersFirst)
	}
	slices.SortStableFunc(all, func(a, b nutrition.Subject) int { return cmp.Compare(rank(a), rank(b)) })
}

// MostNamed is how many nutrients without figures a line names.
const MostNamed = 6

// NamesOf lists nutrients, those that matter most first: the first few and
// how many more there are. It reports whether it left any out.
func NamesOf(all []nutrition.Subject, most int) (text string, cut bool) {
	byWeight(all)
	var names []string
	for i, s := range all {
		if i == most && len(all) > most+1 {
			return say.List(append(names, msg("recipe.unknown-more", "n", len(all)-most))), true
		}
		names = append(names, s.Name())
	}
	return say.List(names), false
}

// unknownText names the nutrients of which the table lacks a value for every
// ingredient, or for some. It reports whether it left any out.
func unknownText(t *talk.Turn, r *planner.Recipe, most int) (text string, cut bool) {
	var none, some []nutrition.Subject
	for n := nutrition.Calcium; n < nutrition.NutrientCount; n++ {
		missing := 0
		for _, i := range r.Ingredients {
			f := t.Foods.Food(i.Food)
			onLabel := func(x planner.Fact) bool { return x.Nutrient == n }
			if f != nil && !f.Per100[n].Complete && !slices.ContainsFunc(i.Label, onLabel) {
				missing++
			}
		}
		switch {
		case missing == 0 || n == nutrition.Cholesterol || n == nutrition.VitaminK || n == nutrition.VitaminC:
		case missing == len(r.Ingredients):
			none = append(none, nutrition.Subject(n))
		default:
			some = append(some, nutrition.Subject(n))
		}
	}
	var lines []string
	if len(none) > 0 {
		names, more := NamesOf(none, most)
		lines, cut = append(lines, msg("recipe.unknown", "what", names)), more
	}
	if len(some) > 0 {
		names, more := NamesOf(some, most)
		lines, cut = append(lines, msg("recipe.unknown-part", "what", names)), cut || more
	}
	return strings.Join(lines, "\n"), cut
}

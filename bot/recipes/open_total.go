package recipes

import (
	"slices"

	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// addingUp are the vitamins that several things in a bowl bring without anybody
// counting them together.
var addingUp = []nutrition.Nutrient{nutrition.VitaminD, nutrition.Retinoids}

// OpenTotal says that nobody knows how much vitamin D or A there is in all: the
// strength of something given for it is not known, and something else brings it too.
func OpenTotal(t *talk.Turn, m nutrition.Mixture) string {
	var vitamins, unknown, beside []string
	add := func(to *[]string, name string) {
		if !slices.Contains(*to, name) {
			*to = append(*to, name)
		}
	}
	strong := map[string]bool{}
	for _, key := range []string{"vitamin-d", "vitamin-a", "cod-liver-oil"} { // plain fish oil has next to none
		strong[t.FoodName(key)] = true
	}
	for _, n := range addingUp {
		var open, more []string
		for _, x := range m.Extras {
			switch {
			case x.Nutrient != n:
			case x.NotKnown && strong[x.Name]:
				add(&open, x.Name)
			case x.PerDay > 0:
				add(&more, x.Name)
			}
		}
		for _, it := range m.Items {
			if it.Food != nil && it.Grams > 0 && nutrition.Concentrated(it.Food) && it.Food.Per100[n].Mid > 0 {
				add(&more, it.Food.Name)
			}
		}
		if len(open) == 0 || len(open)+len(more) < 2 {
			continue
		}
		add(&vitamins, say.Choose(n == nutrition.Retinoids, nutrition.VitaminA.Name(), n.Name()))
		for _, o := range open {
			add(&unknown, o)
		}
		for _, o := range more {
			add(&beside, o)
		}
	}
	return say.Where(len(vitamins) > 0, msg("supplement.open-total", "vitamins", say.List(vitamins), "unknown", say.List(unknown), "all", say.List(append(unknown, beside...))))
}

// CookText says which fish and game of a recipe are to be cooked or frozen before
// they are fed.
func CookText(t *talk.Turn, ingredients []planner.Ingredient) string {
	items := say.Each(ingredients, func(in planner.Ingredient) nutrition.Item {
		return nutrition.Item{Food: t.Foods.Food(in.Food), Grams: in.Grams}
	})
	return say.LinesOf(nutrition.Cautions(items, nutrition.CautionContext{}), func(c nutrition.Caution) string {
		return say.Where(c.Code == nutrition.RawAnadromousCaution || c.Code == nutrition.RawGameCaution, CautionText(c, t.Foods))
	})
}

// CautionText says a caution with the foods that call for it.
func CautionText(c nutrition.Caution, p nutrition.Pantry) string {
	key := "caution." + string(c.Code)
	if !words.Has(key) {
		return ""
	}
	var names []string
	for _, k := range c.Foods {
		if f := p.Food(k); f != nil {
			names = append(names, f.Name)
		}
	}
	return say.Choose(len(names) == 0, msg(key), msg("caution.foods", "foods", say.List(names), "caution", msg(key)))
}

// liverOilText warns of cod liver oil that is new in a recipe, and of what is
// not known of its vitamins in all.
func liverOilText(t *talk.Turn, d RecipeDraft) string {
	var lines []string
	old := t.Recipe(d.ID)
	for _, in := range d.Ingredients {
		f := t.Foods.Food(in.Food)
		if f == nil || !f.Has(nutrition.LiverOil) || old != nil && slices.ContainsFunc(old.Ingredients, func(was planner.Ingredient) bool { return was.Food == in.Food }) {
			continue
		}
		lines = append(lines, msg("supplement.liver-oil", "food", f.Name))
	}
	if m, err := planner.MixtureOf(planner.Recipe{Ingredients: d.Ingredients, Doses: d.Doses, Days: d.Days}, t.Foods, anyDog); err == nil {
		lines = append(lines, OpenTotal(t, m))
	}
	return say.JoinParas(lines...)
}

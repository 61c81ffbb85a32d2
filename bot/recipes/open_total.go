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

// ItemsOf are ingredients as cautions look at them.
func ItemsOf(t *talk.Turn, ingredients []planner.Ingredient) []nutrition.Item {
	return say.Each(ingredients, func(in planner.Ingredient) nutrition.Item {
		return nutrition.Item{Food: t.Foods.Food(in.Food), Grams: in.Grams}
	})
}

// CookText says which fish and game of a recipe are to be cooked or frozen before
// they are fed.
func CookText(t *talk.Turn, ingredients []planner.Ingredient) string {
	return say.LinesOf(nutrition.Cautions(ItemsOf(t, ingredients), nutrition.CautionContext{}), func(c nutrition.Caution) string {
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

// How many times a maximum one day's dose may bring. Above the first it is kept
// only after a yes; from the second on not at all, since that is usually a slip
// of the unit (both our own choice).
const (
	WellAbove = 2
	FarAbove  = 10
)

// FarOf is from how many times its maximum on a nutrient is not kept. Of salt 2 g
// per kg of weight poison a dog and 4 g kill (veterinary poison literature, from
// memory); twice the maximum of sodium comes to about 1 g of salt.
func FarOf(s nutrition.Subject) float64 {
	if s == nutrition.Subject(nutrition.Sodium) {
		return WellAbove
	}
	return FarAbove
}

// DoseAbove says of what a dose that is given so often on a day brings well more
// than the most that a dog is to have, and whether of any it brings far more.
func DoseAbove(t *talk.Turn, dose *planner.Dose, d *planner.Dog, perDay float64) (text string, far bool) {
	aDay := planner.AmountOf(*d, t.Event.At).Kcal
	profile := planner.RequirementsFor(*d, t.Event.At, t.Home.Profile)
	if aDay <= 0 || profile == nil {
		return "", false
	}
	var lines []string
	for _, o := range nutrition.Overdoses(nutrition.Mixture{Extras: ExtrasOf(t, dose, d, perDay)}, profile, aDay) {
		times, isFar := o.Amount/o.Max, o.Amount >= FarOf(o.Subject)*o.Max
		if isFar || o.Amount >= WellAbove*o.Max {
			far = far || isFar
			lines = append(lines, msg("supplement.far", "times", say.Choose(times < FarAbove, say.Trim(times, 1), say.Trim(times, 0)), "nutrient", o.Subject.Name(), "dog", d.Name,
				"most", say.Sig(o.Max*float64(aDay)/1000), "unit", say.UnitText(o.Subject.Unit()), "table", msg("profile."+o.Profile)))
		}
	}
	return say.JoinParas(lines...), far
}

// NoStrength says of a dose that may harm that its strength is not known.
func NoStrength(t *talk.Turn, dose *planner.Dose) string {
	f := t.Foods.Food(dose.Food)
	if f == nil || !byDose[f.Key] || !f.Has(nutrition.Supplement) || len(dose.Amounts) > 0 || f.Key == "calcium-carbonate" || f.Key == "kelp-powder" { // these are counted, or told of by themselves
		return ""
	}
	return msg("supplement.no-strength", "food", f.Name)
}

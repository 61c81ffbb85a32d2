package talk

import (
	"math"

	"bowlwright/bot/read/slots"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

func MealsOf(d planner.Dog) int {
	return len(d.MealTimes())
}

// MovedDiabetic is what is said first where meals of a diabetic dog are to be
// moved or to rest: they go with its insulin.
func MovedDiabetic(dogs ...*planner.Dog) string {
	for _, d := range dogs {
		if d != nil && d.Diabetic() {
			return msg("diabetic.moved", "dog", d.Name)
		}
	}
	return ""
}

// DoseAmount prints a supplement without how often it is given.
func DoseAmount(t *Turn, d planner.Dose) string {
	s := t.FoodName(d.Food)
	if d.Count > 0 && d.Form != "" {
		form := d.Form
		if d.Count != 1 {
			form += "s"
		}
		s += " " + msg("dose.count", "n", say.Trim(d.Count, 2), "form", form)
	}
	if d.Grams > 0 && d.Count == 0 {
		mass := say.ExactMass(d.Grams, t.Home.Units)
		if n, ok := t.teaspoons(d); ok {
			mass = msg("dose.spoons", "n", say.Trim(n, 2), "mass", mass)
		}
		s += " " + mass
	}
	for _, a := range d.Amounts {
		decimals := 2
		if a.Amount >= 100 { // of an amount worked out for a dog, more is no use
			decimals = 0
		}
		s += " " + say.Trim(a.Amount, decimals) + " " + say.UnitText(a.Nutrient.Unit())
		if len(d.Amounts) > 1 {
			s += " " + a.Nutrient.Name()
		}
	}
	if d.Count > 1 && len(d.Amounts) > 0 {
		s += " " + msg("dose.in-all")
	}
	if d.Per1000 {
		s += " " + msg("dose.per-1000")
	}
	return s
}

// teaspoons is how many teaspoons a dose by weight is, if that is a whole
// number of quarters: nobody weighs an oil each morning.
func (t *Turn) teaspoons(d planner.Dose) (n float64, ok bool) {
	f := t.Foods.Food(d.Food)
	if !say.Dosed(f) {
		return 0, false
	}
	m, ok := f.MeasureOf("tsp", "")
	if !ok || m.Grams <= 0 {
		return 0, false
	}
	n = float64(d.Grams / m.Grams)
	quarters := math.Round(n * 4)
	return quarters / 4, quarters > 0 && math.Abs(n-quarters/4) < 0.005
}

func RecipeNames(t *Turn) []string {
	return say.Each(t.Home.Recipes, func(r planner.Recipe) string { return r.Name })
}

// LocalTime is the time of the event on the household's clock.
func LocalTime(t *Turn) string {
	return t.Event.At.In(t.Home.Location()).Format("15:04")
}

// DayOf is a day that was, with its year where that is not the present one.
func DayOf(t *Turn, d planner.Date) string { return t.DateText(d) }

// slotsOf is what is named in a text.
func (t *Turn) slotsOf(text string) *slots.Found {
	return slots.In(span.Clean(text), span.Context{Names: t.Names(), Units: t.Home.Units, Now: t.Event.At})
}

// FoodsNamed are the foods of the table that a text names, each by a name that is its own.
func (t *Turn) FoodsNamed(text string) (all []*nutrition.Food) {
	for _, n := range t.slotsOf(text).Named() {
		if f := t.Foods.Find(n.Text).Food; n.Kind == slots.Food && f != nil {
			all = append(all, f)
		}
	}
	return all
}

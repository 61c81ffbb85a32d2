package day

import (
	"bowlwright/bot/bowls"
	"bowlwright/bot/menu"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/portions"
)

// fareMeal is a meal of a day on which a dog eats other food than its recipe, or
// other food beside it.
func fareMeal(t *talk.Turn, d *planner.Dog, day planner.Date, meal int) (m *mealBowl, trouble string) {
	n := planner.AmountOf(*d, t.Event.At)
	m = &mealBowl{dog: d, need: n, meal: meal, meals: talk.MealsOf(*d), ofFood: ofFood(t, d)}
	each, off := mealKcal(t, d, n, day, meal)
	m.off = off
	fare := planner.FareOn(t.Home, d.ID, day)
	if menu.Lacking(fare) {
		return nil, msg("due.no-recipe", "dog", d.Name)
	}
	p, err := portions.PlateFor(fare, t.Foods, (each-off)*nutrition.Kcal(m.meals), t.Home.Units)
	if err != nil {
		return nil, recipes.RecipeTrouble(talk.FareNames(fare), err)
	}
	m.Bowl, m.parts = p.Bowl, p.Parts
	m.Recipe = &planner.Recipe{Name: talk.FareNames(fare)}
	for _, f := range fare { // the journal has the meal under the recipe that is in it
		if m.Recipe.ID == "" && f.Shares[min(meal, m.meals-1)] > 0 {
			m.Recipe.ID = f.Recipe.ID
		}
		m.Recipe.Ingredients = append(m.Recipe.Ingredients, f.Recipe.Ingredients...)
	}
	return m, ""
}

// what is the foods of a meal, or of the day where it is below 0, each with its
// grams.
func (m *mealBowl) what(t *talk.Turn, meal int) string {
	food := func(b portions.Bowl, name, at string, raw bool) string {
		total := b.Day
		if meal >= 0 {
			total, at = b.Meals[min(meal, len(b.Meals)-1)], ""
		}
		if total == 0 {
			return ""
		}
		return msg("due.food", "total", say.WholeText(total, t.Home.Units)+say.Where(raw, msg("bowl.raw")), "recipe", name, "at", at)
	}
	if len(m.parts) == 0 {
		return food(m.Bowl, m.Recipe.Name, "", m.cooks > 0 && m.fresh == 0 && recipes.Cooks(t, m.Recipe))
	}
	var parts []string
	for _, p := range m.parts {
		if text := food(p.Bowl, p.Recipe.Name, menu.AtText(p.Fare), recipes.Cooks(t, &p.Recipe)); text != "" {
			parts = append(parts, text)
		}
	}
	return say.List(parts)
}

// cookedText says what a meal is in cooked grams, where it comes from packs that
// were cooked.
func (m *mealBowl) cookedText(t *talk.Turn) string {
	if m.cooks > 0 {
		return bowls.Made(t, m.dog, m.Recipe, m.cooks, m.meals).Said
	}
	return bowls.CookedParts(t, m.dog, m.parts)
}

// fedDog is the dog that a bowl's occurrence is about.
func fedDog(t *talk.Turn, r *planner.Reminder) *planner.Dog {
	d := t.Dog(r.Dog)
	if d == nil && r.Dog == "" && len(t.Home.Dogs) == 1 {
		d = &t.Home.Dogs[0]
	}
	talk.Gone(t, d == nil)
	return d
}

// switchMeal is a meal of a dog that is being switched, of both foods.
func switchMeal(t *talk.Turn, tr *planner.Transition, r *planner.Recipe, d *planner.Dog, day planner.Date, meal int) (m *mealBowl, trouble string) {
	n := planner.AmountOf(*d, t.Event.At)
	m = &mealBowl{dog: d, need: n, meal: meal, meals: talk.MealsOf(*d), ofFood: ofFood(t, d)}
	each := nutrition.Kcal(0)
	each, m.off = mealKcal(t, d, n, day, meal)
	p, err := portions.PortionOn(*tr, day, *r, t.Foods, (each-m.off)*nutrition.Kcal(m.meals), m.meals, t.Home.Units)
	if err != nil {
		return nil, recipes.RecipeTrouble(r.Name, err)
	}
	m.Bowl, m.fresh, m.cooks = menu.SwitchBowl(tr, r, p), p.New, p.NewKcal
	mixed := *r // it keeps its id, under which the journal has it
	switch {
	case p.New == 0:
		mixed.Name = tr.Old
	case p.Old > 0:
		mixed.Name = msg("transition.mixed", "old", tr.Old, "new", r.Name)
	}
	m.Recipe = &mixed
	if whole, err := portions.BowlFor(*r, t.Foods, p.NewKcal, m.meals, t.Home.Units); err == nil && p.New > 0 {
		m.Bowl.Doses = whole.Doses
	}
	return m, ""
}

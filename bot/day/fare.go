package day

import (
	"cmp"
	"strings"

	"bowlwright/bot/bowls"
	"bowlwright/bot/menu"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/portions"
)

// fill makes a meal of so many kcal of what a dog eats on a day on which that is other
// food than its recipe, or other food beside it; it returns what stands against it.
func (m *mealBowl) fill(t *talk.Turn, fare []planner.Fare, each nutrition.Kcal) (trouble string) {
	if menu.Lacking(fare) {
		return msg("due.no-recipe", "dog", m.dog.Name)
	}
	p, err := portions.PlateFor(fare, t.Foods, each*nutrition.Kcal(m.meals), t.Home.Units)
	if err != nil {
		return recipes.RecipeTrouble(talk.FareNames(fare), err)
	}
	m.Bowl, m.parts = p.Bowl, p.Parts
	m.Recipe = &planner.Recipe{Name: talk.FareNames(fare)}
	for _, f := range fare { // the journal has the meal under the recipe that is in it
		if m.Recipe.ID == "" && f.Shares[min(m.meal, m.meals-1)] > 0 {
			m.Recipe.ID = f.Recipe.ID
		}
		m.Recipe.Ingredients = append(m.Recipe.Ingredients, f.Recipe.Ingredients...)
	}
	return ""
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

// mix makes a meal of so many kcal of both foods of a switch.
func (m *mealBowl) mix(t *talk.Turn, tr *planner.Transition, r *planner.Recipe, day planner.Date, each nutrition.Kcal) (trouble string) {
	p, err := portions.PortionOn(*tr, day, *r, t.Foods, each*nutrition.Kcal(m.meals), m.meals, t.Home.Units)
	if err != nil {
		return recipes.RecipeTrouble(r.Name, err)
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
	return ""
}

// foodBeside parts a treat of so many kcal from the food that is told behind it, or before,
// by its amount: "a dental chew, 70 kcal, and 15 g cheese".
func foodBeside(t *talk.Turn, s string, said read.TreatSaid) (treat, food read.TreatSaid) {
	all := read.Clauses(s)
	for _, part := range []string{all[len(all)-1], all[0]} {
		told, _ := read.Treat(part, t.Names())
		rest := cmp.Or(told.Rest, read.WithoutBit(part))
		before, behind, _ := strings.Cut(s, part)
		head, ok := read.Treat(strings.Trim(before+behind, " ,;"), t.Names())
		_, refused, weighs := recipes.ServingOf(t, rest)
		if len(all) > 1 && said.Each > 0 && told.Each == 0 && ok && head.Each > 0 && (before != "" || head.What != "") && weighs && refused == nil {
			head.Dog = said.Dog
			return head, read.TreatSaid{Dog: said.Dog, Rest: rest}
		}
	}
	return said, food
}

// treatVerbs are what buttons about a dog's treats do.
func treatVerbs() map[string]func(t *talk.Turn, d *planner.Dog, more []string) {
	takeOff := func(off bool) func(*talk.Turn, *planner.Dog, []string) {
		return talk.Tapped(func(t *talk.Turn, d *planner.Dog) {
			t.Mutate("did.treats-off", d.Name)
			d.TreatsOff = off
			t.Say(say.Para(msg(say.Choose(off, "treat.now-off", "treat.now-kept"), "dog", d.Name))).Offer(t.UndoButton())
		})
	}
	return map[string]func(t *talk.Turn, d *planner.Dog, more []string){
		"give": pressGive,
		"less": talk.TappedFigure(pressLess),
		"move": talk.TappedOn(moveEntry),
		"meal": talk.TappedOn(mealAfterAll),
		"off":  takeOff(true),
		"keep": takeOff(false),
	}
}

// pressGive gives the treat to the dog that was chosen.
func pressGive(t *talk.Turn, d *planner.Dog, more []string) {
	total, err := span.Number(talk.Arg(more, 0))
	pieces, err2 := span.Number(talk.Arg(more, 1))
	if talk.Stale(t, err != nil || err2 != nil || !(total > 0 && total <= mostTreat)) {
		return
	}
	giveTreat(t, d, nutrition.Kcal(total), pieces, talk.Arg(more, 2), "", t.Date())
}

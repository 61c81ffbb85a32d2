package bot

import (
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// switching returns the transition that a dog's bowl of a day is made by, and
// the recipe that comes; nil where there is none.
func (t *turn) switching(d *planner.Dog, day planner.Date) (*planner.Transition, *planner.Recipe) {
	tr := planner.TransitionOf(t.home, d.ID)
	if tr == nil || tr.Over(day) {
		return nil, nil
	}
	r := t.recipe(tr.NewRecipe(t.home))
	if r == nil {
		return nil, nil
	}
	return tr, r
}

// showTransition says what a dog that is being switched gets today, and asks
// for its stool.
func (t *turn) showTransition(tr *planner.Transition, head string) *Reply {
	d, today := t.dog(tr.Dog), t.date()
	t.talk.Dog = d.ID
	r := t.recipe(tr.NewRecipe(t.home))
	if tr.Over(today) || r == nil {
		return t.say(para(head), para(t.overText(tr, d))).offer(t.button(msg("button.bowl"), "bowl", "dog", d.ID))
	}
	if n := planner.AmountOf(*d, t.event.At); n.Waits() {
		return t.say(para(head), para(t.heldText(d, n))).
			offer(append(t.gateButtons(d, n), t.button(msg("button.transition-stop"), "transition", "stop", d.ID))...)
	}
	blocks := append([]Block{para(head)}, t.portionBlocks(tr, d, r, today)...)
	if tr.Held() {
		blocks = append(blocks, para(msg("transition.held")))
	} else if over := tr.OverOn(); !over.IsZero() {
		blocks = append(blocks, para(msg("transition.over-on", "day", dayText(over.AddDays(-1)))))
	}
	out := t.say(append(blocks, para(t.afterText(tr)))...)
	if !today.Before(tr.Start) {
		out.offer(t.stoolButtons(d.ID, today)...)
	}
	hold := t.button(msg("button.transition-hold"), "transition", "hold", d.ID)
	if tr.Held() {
		hold = t.button(msg("button.transition-on"), "transition", "on", d.ID)
	}
	return out.offer(hold, t.button(msg("button.transition-stop"), "transition", "stop", d.ID))
}

// portionBlocks are the amounts of both foods on a day: the numbers first,
// the reason, then each a day and a meal.
func (t *turn) portionBlocks(tr *planner.Transition, d *planner.Dog, r *planner.Recipe, day planner.Date) []Block {
	n, u, meals := planner.AmountOf(*d, t.event.At), t.home.Units, mealsOf(*d)
	p, err := tr.PortionOn(day, *r, t.foods, n.Kcal, meals, u)
	if err != nil {
		return []Block{para(scaleTrouble(t, r.Name, err))}
	}
	t.shown(d)
	in := ""
	if meals > 1 {
		in = msg("transition.meals", "n", meals)
	}
	step := tr.StepOn(day)
	args := []any{"old", wholeText(p.Old, u), "old-name", tr.Old, "new", wholeText(p.New, u), "new-name", r.Name, "dog", d.Name, "meals", in,
		"n", step, "of", tr.Days, "share", percent(p.Share), "day", dayText(tr.Start)}
	first := ""
	switch {
	case day.Before(tr.Start):
		first = msg("transition.all-old", args...)
	case p.Share == 0:
		first = msg("transition.all-old-back", args...)
	case p.Share == 1:
		first = msg("transition.all-new", args...)
	default:
		first = msg("transition.amounts", args...)
	}
	why := msg("transition.kcal", "kcal", kcal(n.Kcal), "range", t.needRange(n), "old", kcal(p.OldKcal), "old-name", tr.Old,
		"new", kcal(p.NewKcal), "new-name", r.Name)
	if p.New == 0 {
		why = msg("transition.kcal-old", "kcal", kcal(n.Kcal), "range", t.needRange(n), "old-name", tr.Old)
	}
	blocks := []Block{para(first), para(why), tableBlock(t.bowlRows(switchBowl(tr, r, p), meals, u))}
	if p.New == 0 {
		return append(blocks, para(t.gateText(*d, n)))
	}
	if whole, err := planner.BowlFor(*r, t.foods, p.NewKcal, meals, u); err == nil {
		blocks = append(blocks, para(t.bowlDoses(eater{dog: d}, whole)))
	}
	return append(blocks, para(joinParas(t.tooMuchText(r, d), t.excludedText(d, *r), t.gateText(*d, n))))
}

// switchBowl is a portion as a bowl of two foods, called by what the carer
// calls them.
func switchBowl(tr *planner.Transition, r *planner.Recipe, p planner.Portion) planner.Bowl {
	b := planner.Bowl{Day: p.Old + p.New, Kcal: p.Kcal, Energy: nutrition.Exactly(float64(p.OldKcal + p.NewKcal))}
	if p.Old > 0 {
		b.Rows = append(b.Rows, planner.BowlRow{Food: tr.Old, Day: p.Old, Meals: p.OldMeals})
	}
	if p.New > 0 {
		b.Rows = append(b.Rows, planner.BowlRow{Food: r.Name, Day: p.New, Meals: p.NewMeals})
	}
	b.Meals = make([]nutrition.Grams, len(p.OldMeals))
	for m := range b.Meals {
		b.Meals[m] = p.OldMeals[m] + p.NewMeals[m]
	}
	return b
}

// switchMeal is a meal of a dog that is being switched, of both foods.
func (t *turn) switchMeal(tr *planner.Transition, r *planner.Recipe, d *planner.Dog, day planner.Date, meal int) (m *mealBowl, trouble string) {
	n := planner.AmountOf(*d, t.event.At)
	m = &mealBowl{dog: d, need: n, meal: meal, meals: mealsOf(*d)}
	each := n.Kcal / nutrition.Kcal(m.meals)
	if d.TreatsOff && !d.Diabetic() {
		m.off = min(t.treatsSinceMeal(d, day, meal), each*mostOffMeal)
	}
	p, err := tr.PortionOn(day, *r, t.foods, (each-m.off)*nutrition.Kcal(m.meals), m.meals, t.home.Units)
	if err != nil {
		return nil, scaleTrouble(t, r.Name, err)
	}
	m.bowl, m.fresh = switchBowl(tr, r, p), p.New
	mixed := *r // it keeps its id, under which the journal has it
	switch {
	case p.New == 0:
		mixed.Name = tr.Old
	case p.Old > 0:
		mixed.Name = msg("transition.mixed", "old", tr.Old, "new", r.Name)
	}
	m.recipe = &mixed
	if whole, err := planner.BowlFor(*r, t.foods, p.NewKcal, m.meals, t.home.Units); err == nil && p.New > 0 {
		m.bowl.Doses = whole.Doses
	}
	return m, ""
}

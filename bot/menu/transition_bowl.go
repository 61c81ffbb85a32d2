package menu

import (
	"bowlwright/bot/balance"
	"bowlwright/bot/bowls"
	"bowlwright/bot/dogs"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/bot/weighing"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/portions"
)

// ShowTransition says what a dog that is being switched gets today, and asks
// for its stool.
func ShowTransition(t *talk.Turn, tr *planner.Transition, head string) *say.Reply {
	d, today := t.Dog(tr.Dog), t.Date()
	t.Talk.Dog = d.ID
	r := t.Recipe(tr.NewRecipe(t.Home))
	if tr.Over(today) || r == nil {
		return t.Say(say.Para(head), say.Para(overText(t, tr, d))).Offer(t.Button(msg("button.bowl"), "bowl", "dog", d.ID))
	}
	if n := planner.AmountOf(*d, t.Event.At); n.Waits() {
		return t.Say(say.Para(head), say.Para(dogs.HeldText(t, d, n))).
			Offer(append(dogs.GateButtons(t, d, n), t.Button(msg("button.transition-stop"), "transition", "stop", d.ID))...)
	}
	blocks := append([]say.Block{say.Para(head)}, portionBlocks(t, tr, d, r, today)...)
	if tr.Held() && !tr.Resting(today) {
		blocks = append(blocks, say.Para(msg("transition.held")))
	} else if over := tr.OverOn(); !over.IsZero() {
		blocks = append(blocks, say.Para(msg("transition.over-on", "day", say.DayText(over.AddDays(-1)))))
	}
	out := t.Say(append(blocks, say.Para(afterText(tr)))...)
	balance.AskPork(t, out, r)
	if !today.Before(tr.Start) && !tr.Resting(today) {
		out.Offer(stoolButtons(t, d.ID, today)...)
	}
	hold := t.Button(say.Choose(tr.Held(), msg("button.transition-on"), msg("button.transition-hold")), "transition", say.Choose(tr.Held(), "on", "hold"), d.ID)
	return out.Offer(hold, t.Button(msg("button.transition-stop"), "transition", "stop", d.ID))
}

// portionBlocks are the amounts of both foods on a day: the numbers first,
// the reason, then each a day and a meal.
func portionBlocks(t *talk.Turn, tr *planner.Transition, d *planner.Dog, r *planner.Recipe, day planner.Date) []say.Block {
	n, u, meals := planner.AmountOf(*d, t.Event.At), t.Home.Units, talk.MealsOf(*d)
	p, err := portions.PortionOn(*tr, day, *r, t.Foods, balance.FoodKcal(t, d, n.Kcal), meals, u)
	if err != nil {
		return []say.Block{say.Para(recipes.RecipeTrouble(r.Name, err))}
	}
	weighing.Shown(t, d)
	made := bowls.Made(t, d, r, p.NewKcal, meals)
	in := say.Where(meals > 1, msg("transition.meals", "n", meals))
	step := tr.StepOn(day)
	args := []any{"old", say.WholeText(p.Old, u), "old-name", tr.Old, "new", say.WholeText(p.New, u) + say.Where(made.Raw, msg("bowl.raw")), "new-name", r.Name, "dog", d.Name, "meals", in,
		"n", step, "of", tr.Days, "share", say.Percent(p.Share), "day", say.DayText(tr.Start)}
	first := ""
	switch {
	case tr.Resting(day):
		first = msg("transition.all-old-held", args...)
	case day.Before(tr.Start):
		first = msg("transition.all-old", args...)
	case p.Share == 0:
		first = msg("transition.all-old-back", args...)
	case p.Share == 1:
		first = msg("transition.all-new", args...)
	default:
		first = msg("transition.amounts", args...)
	}
	why := msg("transition.kcal", "kcal", say.Kcal(n.Kcal), "range", dogs.NeedRange(t, n), "old", say.Kcal(p.OldKcal), "old-name", tr.Old,
		"new", say.Kcal(p.NewKcal), "new-name", r.Name)
	if p.New == 0 {
		why = msg("transition.kcal-old", "kcal", say.Kcal(n.Kcal), "range", dogs.NeedRange(t, n), "old-name", tr.Old)
	}
	blocks := []say.Block{say.Para(first), say.Whole(say.Where(p.New > 0, made.Said)), say.Para(why), say.TableBlock(bowls.BowlRows(t, SwitchBowl(tr, r, p), meals, u))}
	if p.New == 0 {
		return append(blocks, say.Whole(dogs.GateText(*d, n)))
	}
	if whole, err := portions.BowlFor(*r, t.Foods, p.NewKcal, meals, u); err == nil {
		blocks = append(blocks, say.Para(bowls.BowlDoses(t, d, whole, t.Date())))
	}
	return append(blocks, say.Whole(say.JoinParas(recipes.CookText(t, r.Ingredients), balance.TooMuchText(t, r, d), balance.KeptText(t, d, r), dogs.GateText(*d, n))))
}

// SwitchBowl is a portion as a bowl of two foods, called by what the carer
// calls them.
func SwitchBowl(tr *planner.Transition, r *planner.Recipe, p portions.Portion) portions.Bowl {
	b := portions.Bowl{Day: p.Old + p.New, Kcal: p.Kcal, Energy: nutrition.Exactly(float64(p.OldKcal + p.NewKcal))}
	if p.Old > 0 {
		b.Rows = append(b.Rows, portions.BowlRow{Food: tr.Old, Day: p.Old, Meals: p.OldMeals})
	}
	if p.New > 0 {
		b.Rows = append(b.Rows, portions.BowlRow{Food: r.Name, Day: p.New, Meals: p.NewMeals})
	}
	b.Meals = make([]nutrition.Grams, len(p.OldMeals))
	for m := range b.Meals {
		b.Meals[m] = p.OldMeals[m] + p.NewMeals[m]
	}
	return b
}

// sayNotSet says with a bowl that the steps to its recipe are still being asked for: it is
// the new food alone, at once.
func sayNotSet(t *talk.Turn, d *planner.Dog, r *planner.Recipe, out *say.Reply) {
	var open transitionDraft
	if talk.Unfinished(t, "transition", &open) && open.Dog == d.ID && open.Recipe == r.ID {
		out.Begin(msg("transition.not-set", "dog", d.Name))
	}
}

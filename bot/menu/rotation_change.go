package menu

import (
	"slices"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// changeRotation keeps what a rotation becomes, and shows it.
func changeRotation(t *talk.Turn, r *planner.Rotation, kind, head string, to planner.Rotation) {
	t.Mutate(kind, dogNames(t, r.Dogs))
	*r = to
	showRotation(t, r, head).Offer(t.UndoButton())
}

// skipRotation leaves out today's recipe.
func skipRotation(t *talk.Turn, r *planner.Rotation) {
	today := t.Date()
	_, before := r.On(today)
	_, instead := r.Instead[today]
	to, ok := r.Skip(today)
	if !ok {
		t.SayMsg("rotation.not-skipped")
		return
	}
	_, after := to.On(today)
	head := say.Choose(instead, msg("rotation.put-back", "recipe", talk.RecipeName(t, after)), msg("rotation.skipped", "before", talk.RecipeName(t, before), "recipe", talk.RecipeName(t, after)))
	changeRotation(t, r, "did.rotation-skip", head, to)
}

// repeatRotation has yesterday's recipe eaten again.
func repeatRotation(t *talk.Turn, r *planner.Rotation) {
	to, ok := r.Repeat(t.Date())
	if !ok {
		t.SayMsg("rotation.not-repeated")
		return
	}
	_, id := to.On(t.Date())
	changeRotation(t, r, "did.rotation-repeat", msg("rotation.repeated", "recipe", talk.RecipeName(t, id)), to)
}

// mostPairs is how many days are offered to change places with today.
const mostPairs = 4

// askExchange asks which days are to change places.
func askExchange(t *talk.Turn, r *planner.Rotation) {
	today := t.Date()
	_, now := r.On(today)
	example := talk.RecipeName(t, r.Turns[len(r.Turns)-1].Recipe)
	t.Ask("rotation", "swap", rotationDraft{ID: r.ID})
	out := t.SayMsg("rotation.ask-swap", "recipe", example)
	var row []say.Button
	for n := 1; n < calendarDays && now != "" && len(row) < mostPairs; n++ {
		day := today.AddDays(n)
		if _, id := r.On(day); id != now {
			row = append(row, t.Button(msg("rotation.pair", "day", say.DayText(day)), "rotation", "pair", r.ID, say.StampOfDate(today), say.StampOfDate(day)))
		}
	}
	out.Rows(2, row...).Offer(t.StopButton())
}

// takeExchange takes the days as typed.
func takeExchange(t *talk.Turn, r *planner.Rotation, s string) {
	x, ok := read.ExchangeText(s, t.Names(), t.Event.At)
	if !ok {
		if t.Talk.Kind == "rotation" && t.Asked(s) {
			return
		}
		talk.Wrong(t, msg("rotation-wrong.swap", "what", say.Short(s)), func() { askExchange(t, r) })
		return
	}
	exchange(t, r, x)
}

// exchange has two days change places, or another recipe eaten on a day.
func exchange(t *talk.Turn, r *planner.Rotation, x read.Exchange) {
	t.EndIf("rotation")
	if x.Recipe != "" {
		if to, ok := r.Eat(x.Day, x.Recipe); ok {
			changeRotation(t, r, "did.rotation-swap", msg("rotation.eaten", "recipe", talk.RecipeName(t, x.Recipe), "day", say.DayText(x.Day)), to)
		} else {
			t.SayMsg("rotation.not-begun")
		}
		return
	}
	to, ok := r.SwapDays(x.Day, x.With)
	if !ok {
		t.SayMsg("rotation.not-swapped")
		return
	}
	if x.With.Before(x.Day) {
		x.Day, x.With = x.With, x.Day
	}
	_, first := to.On(x.Day)
	_, second := to.On(x.With)
	changeRotation(t, r, "did.rotation-swap", msg("rotation.swapped", "recipe", talk.RecipeName(t, first), "day", say.DayText(x.Day),
		"other", talk.RecipeName(t, second), "later", say.DayText(x.With)), to)
}

// askStopRotation asks whether a rotation is to end.
func askStopRotation(t *talk.Turn, r *planner.Rotation) {
	ask := msg(say.Choose(len(r.Dogs) == 0, "rotation.stop-plan", "rotation.stop-sure"), "order", orderText(t, r.Turns), "dogs", dogNames(t, r.Dogs), "n", len(r.Dogs))
	switching := switchingTo(t, r.ID)
	t.AskedSure("rotation", "really", r.ID)
	t.Say(say.Para(say.JoinParas(ask, say.Where(len(switching) > 0, msg("rotation.stop-sure-switch", "dogs", talk.DogNames(t, switching)))))).Offer(t.Button(msg("button.rotation-stop"), "rotation", "really", r.ID), t.Button(msg("button.keep"), "rotation", "show", r.ID))
}

// switchingTo are the dogs that are being switched to a rotation.
func switchingTo(t *talk.Turn, rotation string) (dogs []string) {
	for _, tr := range t.Home.Transitions {
		if !tr.Done && tr.Rotation == rotation {
			dogs = append(dogs, tr.Dog)
		}
	}
	return dogs
}

// stopRotation ends a rotation.
func stopRotation(t *talk.Turn, r *planner.Rotation) {
	id, names, dogs := r.ID, dogNames(t, r.Dogs), slices.Clone(r.Dogs)
	t.Mutate("did.rotation-stopped", names)
	for _, dog := range switchingTo(t, id) {
		dropTransition(t, dog)
	}
	t.Home.Rotations = slices.DeleteFunc(t.Home.Rotations, func(o planner.Rotation) bool { return o.ID == id })
	without := slices.DeleteFunc(dogs, func(dog string) bool {
		_, ok := planner.RecipeOn(t.Home, dog, t.Date())
		return ok || planner.TransitionOf(t.Home, dog) != nil
	})
	text := say.JoinParas(msg("rotation.stopped", "dogs", names), say.Where(len(without) > 0 && len(t.Home.Recipes) > 1, msg("rotation.no-recipe", "dogs", talk.DogNames(t, without), "n", len(without))))
	t.Say(say.Para(text)).Offer(t.UndoButton())
}

// recipeUseText says, before a recipe is removed, which rotations have it.
func recipeUseText(t *talk.Turn, recipe string) string {
	return say.LinesOf(t.Home.Rotations, func(r planner.Rotation) string {
		return say.Where(r.Has(recipe), msg("rotation.used", "dogs", dogNames(t, r.Dogs)))
	})
}

// forgetRecipe takes a recipe that is removed out of rotations and ends
// transitions to it; it returns what that did. The recipe is gone already.
func forgetRecipe(t *talk.Turn, id, name string) string {
	var lines []string
	switched := map[string]bool{}
	for _, tr := range t.Home.Transitions {
		switched[tr.Dog] = !tr.Done
	}
	for _, rot := range planner.ForgetRecipe(t.Home, id, t.Date()) {
		if r := rotation(t, rot); r != nil {
			lines = append(lines, msg("rotation.lost", "recipe", name, "order", orderText(t, r.Turns)))
		} else {
			lines = append(lines, msg("rotation.ended", "recipe", name))
		}
	}
	for _, d := range t.Dogs() {
		if switched[d.ID] && planner.TransitionOf(t.Home, d.ID) == nil {
			talk.DropReminders(t, planner.StoolReminder, d.ID)
			lines = append(lines, msg("rotation.switch-ended", "dog", d.Name))
		}
	}
	return say.JoinParas(lines...)
}

// planRotations lets each rotation that a dog is being switched to, and that
// no other dog eats by, begin when the switch is over.
func planRotations(t *talk.Turn) {
	for i := range t.Home.Transitions {
		tr := &t.Home.Transitions[i]
		r := rotation(t, tr.Rotation)
		if tr.Done || r == nil || len(r.Dogs) != 1 || r.Dogs[0] != tr.Dog {
			continue
		}
		if over := tr.OverOn(); !over.IsZero() {
			r.Start, r.Instead, r.Moves = over, nil, nil
		}
	}
}

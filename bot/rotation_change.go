package bot

import (
	"slices"
	"time"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// stampOfDate is a day in a button.
func stampOfDate(d planner.Date) string {
	return time.Date(d.Year, d.Month, d.Day, 12, 0, 0, 0, time.UTC).Format("20060102")
}

// dateOfStamp is the day that a button stands for.
func dateOfStamp(s string) (planner.Date, bool) {
	at, err := time.Parse("20060102", s)
	if err != nil {
		return planner.Date{}, false
	}
	return planner.DateOf(at), true
}

// changeRotation keeps what a rotation becomes, and shows it.
func (t *turn) changeRotation(r *planner.Rotation, kind, head string, to planner.Rotation) {
	t.mutate(kind, t.dogNames(r.Dogs))
	*r = to
	t.showRotation(r, head).offer(t.undoButton())
}

// skipRotation leaves out today's recipe.
func (t *turn) skipRotation(r *planner.Rotation) {
	today := t.date()
	_, before := r.On(today)
	_, instead := r.Instead[today]
	to, ok := r.Skip(today)
	if !ok {
		t.sayMsg("rotation.not-skipped")
		return
	}
	_, after := to.On(today)
	head := msg("rotation.skipped", "before", t.recipeName(before), "recipe", t.recipeName(after))
	if instead {
		head = msg("rotation.put-back", "recipe", t.recipeName(after))
	}
	t.changeRotation(r, "did.rotation-skip", head, to)
}

// repeatRotation has yesterday's recipe eaten again.
func (t *turn) repeatRotation(r *planner.Rotation) {
	to, ok := r.Repeat(t.date())
	if !ok {
		t.sayMsg("rotation.not-repeated")
		return
	}
	_, id := to.On(t.date())
	t.changeRotation(r, "did.rotation-repeat", msg("rotation.repeated", "recipe", t.recipeName(id)), to)
}

// mostPairs is how many days are offered to change places with today.
const mostPairs = 4

// askExchange asks which days are to change places.
func (t *turn) askExchange(r *planner.Rotation) {
	today := t.date()
	_, now := r.On(today)
	example := t.recipeName(r.Turns[len(r.Turns)-1].Recipe)
	t.ask("rotation", "swap", rotationDraft{ID: r.ID})
	out := t.sayMsg("rotation.ask-swap", "recipe", example)
	var row []Button
	for n := 1; n < calendarDays && now != "" && len(row) < mostPairs; n++ {
		day := today.AddDays(n)
		if _, id := r.On(day); id != now {
			row = append(row, t.button(msg("rotation.pair", "day", dayText(day)), "rotation", "pair", r.ID, stampOfDate(today), stampOfDate(day)))
		}
	}
	for pair := range slices.Chunk(row, 2) {
		out.offer(pair...)
	}
	out.offer(t.stopButton())
}

// takeExchange takes the days as typed.
func (t *turn) takeExchange(r *planner.Rotation, s string) {
	x, ok := read.ExchangeText(s, t.names(), t.event.At)
	if !ok {
		if t.talk.Kind == "rotation" && t.asked(s) {
			return
		}
		t.wrong(msg("rotation-wrong.swap", "what", short(s)), func() { t.askExchange(r) })
		return
	}
	t.exchange(r, x)
}

// exchange has two days change places, or another recipe eaten on a day.
func (t *turn) exchange(r *planner.Rotation, x read.Exchange) {
	if t.talk.Kind == "rotation" {
		t.endDialogue()
	}
	if x.Recipe != "" {
		to, ok := r.Eat(x.Day, x.Recipe)
		if !ok {
			t.sayMsg("rotation.not-begun")
			return
		}
		t.changeRotation(r, "did.rotation-swap", msg("rotation.eaten", "recipe", t.recipeName(x.Recipe), "day", dayText(x.Day)), to)
		return
	}
	to, ok := r.SwapDays(x.Day, x.With)
	if !ok {
		t.sayMsg("rotation.not-swapped")
		return
	}
	if x.With.Before(x.Day) {
		x.Day, x.With = x.With, x.Day
	}
	_, first := to.On(x.Day)
	_, second := to.On(x.With)
	t.changeRotation(r, "did.rotation-swap", msg("rotation.swapped", "recipe", t.recipeName(first), "day", dayText(x.Day),
		"other", t.recipeName(second), "later", dayText(x.With)), to)
}

// askStopRotation asks whether a rotation is to end.
func (t *turn) askStopRotation(r *planner.Rotation) {
	ask := msg("rotation.stop-sure", "dogs", t.dogNames(r.Dogs), "n", len(r.Dogs))
	if switching := t.switchingTo(r.ID); len(switching) > 0 {
		ask = joinParas(ask, msg("rotation.stop-sure-switch", "dogs", t.dogNames(switching)))
	}
	t.askedSure("rotation", "really", r.ID)
	t.say(para(ask)).offer(t.button(msg("button.rotation-stop"), "rotation", "really", r.ID), t.button(msg("button.keep"), "rotation", "show", r.ID))
}

// switchingTo are the dogs that are being switched to a rotation.
func (t *turn) switchingTo(rotation string) (dogs []string) {
	for i := range t.home.Transitions {
		if tr := &t.home.Transitions[i]; !tr.Done && tr.Rotation == rotation {
			dogs = append(dogs, tr.Dog)
		}
	}
	return dogs
}

// stopRotation ends a rotation.
func (t *turn) stopRotation(r *planner.Rotation) {
	id, names, dogs := r.ID, t.dogNames(r.Dogs), slices.Clone(r.Dogs)
	t.mutate("did.rotation-stopped", names)
	for _, dog := range t.switchingTo(id) {
		t.dropTransition(dog)
	}
	t.home.Rotations = slices.DeleteFunc(t.home.Rotations, func(o planner.Rotation) bool { return o.ID == id })
	var without []string
	for _, dog := range dogs {
		if _, ok := planner.RecipeOn(t.home, dog, t.date()); !ok && planner.TransitionOf(t.home, dog) == nil {
			without = append(without, dog)
		}
	}
	text := msg("rotation.stopped", "dogs", names)
	if len(without) > 0 && len(t.home.Recipes) > 1 {
		text = joinParas(text, msg("rotation.no-recipe", "dogs", t.dogNames(without), "n", len(without)))
	}
	t.say(para(text)).offer(t.undoButton())
}

// recipeUseText says, before a recipe is removed, which rotations have it.
func (t *turn) recipeUseText(recipe string) string {
	var lines []string
	for i := range t.home.Rotations {
		r := &t.home.Rotations[i]
		if slices.ContainsFunc(r.Turns, func(w planner.Turn) bool { return w.Recipe == recipe }) {
			lines = append(lines, msg("rotation.used", "dogs", t.dogNames(r.Dogs)))
		}
	}
	return joinParas(lines...)
}

// forgetRecipe takes a recipe that is removed out of rotations and ends
// transitions to it; it returns what that did. The recipe is gone already.
func (t *turn) forgetRecipe(id, name string) string {
	var lines []string
	switched := map[string]bool{}
	for i := range t.home.Transitions {
		switched[t.home.Transitions[i].Dog] = !t.home.Transitions[i].Done
	}
	for _, rotation := range planner.ForgetRecipe(t.home, id, t.date()) {
		if r := t.rotation(rotation); r != nil {
			lines = append(lines, msg("rotation.lost", "recipe", name, "order", t.orderText(r.Turns)))
		} else {
			lines = append(lines, msg("rotation.ended", "recipe", name))
		}
	}
	for i := range t.home.Dogs {
		if d := &t.home.Dogs[i]; switched[d.ID] && planner.TransitionOf(t.home, d.ID) == nil {
			t.dropStoolReminder(d.ID)
			lines = append(lines, msg("rotation.switch-ended", "dog", d.Name))
		}
	}
	return joinParas(lines...)
}

// forgetDog takes a dog that is removed out of rotations and transitions.
func (t *turn) forgetDog(id string) {
	planner.ForgetDog(t.home, id)
	t.dropStoolReminder(id)
}

// planRotations lets each rotation that a dog is being switched to, and that
// no other dog eats by, begin when the switch is over.
func (t *turn) planRotations() {
	for i := range t.home.Transitions {
		tr := &t.home.Transitions[i]
		r := t.rotation(tr.Rotation)
		if tr.Done || r == nil || len(r.Dogs) != 1 || r.Dogs[0] != tr.Dog {
			continue
		}
		if over := tr.OverOn(); !over.IsZero() {
			r.Start, r.Instead, r.Moves = over, nil, nil
		}
	}
}

package bot

import (
	"time"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// toldAdult marks that the grown weight of a dog was asked for.
func toldAdult(d *planner.Dog) string { return "adult:" + d.ID }

// lacksAdult reports that a growing dog's band is not known for want of its
// grown weight.
func (t *turn) lacksAdult(d *planner.Dog) bool {
	return t.growing(d) && !d.Born.IsZero() && d.AdultWeight == 0
}

// adultToAsk reports that the grown weight of a growing dog is to be asked for,
// the first time alone. That opens no dialogue: a weight that is typed next may
// be a weigh-in.
func (t *turn) adultToAsk(d *planner.Dog) bool {
	if !t.lacksAdult(d) || t.home.Told[toldAdult(d)] {
		return false
	}
	if t.home.Told == nil {
		t.home.Told = map[string]bool{}
	}
	t.home.Told[toldAdult(d)], t.changed = true, true
	return true
}

// offerGrowth offers to tell what is missing for the band.
func (t *turn) offerGrowth(r *Reply, d *planner.Dog, h planner.History) {
	switch {
	case !t.growing(d):
	case t.lacksAdult(d):
		r.offer(t.button(msg("button.grown-weight"), "weigh", "adult", d.ID), t.button(msg("button.dont-know"), "weigh", "no-adult", d.ID))
	case planner.GrowthOf(*d, h).Gap == planner.NoBirth:
		r.offer(t.button(msg("button.birth-date"), "dog", "field", d.ID, "age"))
	}
}

// askAdult asks for the grown weight.
func (t *turn) askAdult(d *planner.Dog) {
	t.ask("weigh", "adult", weighDraft{Dog: d.ID, Asked: t.event.At})
	t.sayMsg("growth.ask-adult", "dog", d.Name).offer(t.answer(msg("button.dont-know"), "adult", "unknown"))
}

// adultWaits is how long a weight counts as the answer to askAdult; a later one
// is a weigh-in.
const adultWaits = 12 * time.Hour

// takeAdult takes the grown weight.
func (t *turn) takeAdult(d *planner.Dog, w weighDraft, in answer) {
	switch {
	case in.press == "unknown" || isNotSure(in.text):
		t.endDialogue()
		t.adultUnknown(d)
		return
	case in.press == "" && t.event.At.Sub(w.Asked) > adultWaits:
		t.endDialogue()
		t.routeWords(in.text)
		return
	}
	kg, err := read.BodyWeight(in.value(), t.home.Units)
	if err != nil {
		if t.aside(in.text) {
			return
		}
		t.say(para(problemOf(err, in.value()))).offer(t.answer(msg("button.dont-know"), "adult", "unknown"))
		return
	}
	if t.setAdult(d, kg) {
		t.endDialogue()
	}
}

// adultUnknown leaves the band unknown.
func (t *turn) adultUnknown(d *planner.Dog) {
	t.sayMsg("growth.unknown", "dog", d.Name).offer(t.button(msg("button.trend"), "weigh", "trend", d.ID))
}

// setAdult sets the grown weight of a growing dog, says what follows, and
// reports whether it did.
func (t *turn) setAdult(d *planner.Dog, kg nutrition.Kilograms) bool {
	was, changed := *d, *d
	changed.AdultWeight = kg
	switch err := changed.Validate(t.event.At); {
	case err != nil:
		t.say(para(fieldText(err, t.home.Units)))
		return false
	case kg < d.Weight:
		t.sayMsg("growth.adult-low", "dog", d.Name, "weight", bodyWeight(d.Weight, t.home.Units))
		return false
	case !d.Born.IsZero() && planner.GoalOf(changed, t.event.At) != planner.GrowGoal:
		t.sayMsg("growth.is-grown", "dog", d.Name).offer(t.button(msg("button.set-ideal"), "dog", "field", d.ID, "ideal"))
		return false
	}
	t.mutate("did.grown-weight", d.Name)
	d.AdultWeight = kg
	head := msg("growth.adult-set", "dog", d.Name, "adult", bodyWeight(kg, t.home.Units))
	h := t.history(d)
	r := t.say(para(head), para(t.growthText(d, h)), para(t.kcalByAdult(was, *d)))
	t.offerGrowth(r, d, h)
	r.offer(t.undoButton(), t.button(msg("button.trend"), "weigh", "trend", d.ID), t.button(msg("button.bowl"), "bowl", "dog", d.ID))
	return true
}

// kcalByAdult says what the grown weight makes of the daily kcal, which the
// equation for growth takes by the share of it that the dog has.
func (t *turn) kcalByAdult(was, is planner.Dog) string {
	before, after := planner.AmountOf(was, t.event.At), planner.AmountOf(is, t.event.At)
	if after.ByHand || kcal(before.Kcal) == kcal(after.Kcal) {
		return ""
	}
	return msg("growth.kcal", "dog", is.Name, "kcal", kcal(after.Kcal), "before", kcal(before.Kcal))
}

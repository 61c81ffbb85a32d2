package weighing

import (
	"time"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/judge"
)

// lacksAdult reports that a growing dog's band is not known for want of its
// grown weight.
func lacksAdult(t *talk.Turn, d *planner.Dog) bool {
	return dogs.Growing(t, d) && !d.Born.IsZero() && d.AdultWeight == 0
}

// adultToAsk reports that the grown weight of a growing dog should be asked
// for, once. That opens no dialogue: a weight that is typed next may be a
// weigh-in.
func adultToAsk(t *talk.Turn, d *planner.Dog) bool {
	return lacksAdult(t, d) && talk.TellOnce(t, "adult:"+d.ID)
}

// offerGrowth offers to tell what is missing for the band.
func offerGrowth(t *talk.Turn, r *say.Reply, d *planner.Dog, h judge.History) {
	switch {
	case !dogs.Growing(t, d):
	case lacksAdult(t, d), leanAbove(d, judge.GrowthOf(*d, h)):
		r.Offer(t.Button(msg("button.grown-weight"), "weigh", "adult", d.ID), t.Button(msg("button.dont-know"), "weigh", "no-adult", d.ID))
	case judge.GrowthOf(*d, h).Gap == planner.NoBirth:
		r.Offer(t.Button(msg("button.birth-date"), "dog", "field", d.ID, "age"))
	}
}

// askAdult asks for the grown weight.
func askAdult(t *talk.Turn, d *planner.Dog) {
	t.Ask("weigh", "adult", weighDraft{Dog: d.ID, Asked: t.Event.At})
	t.SayMsg("growth.ask-adult", "dog", d.Name).Offer(t.Answer(msg("button.dont-know"), "adult", "unknown"))
}

// adultWaits is how long a weight counts as the answer to askAdult; a later one
// is a weigh-in.
const adultWaits = 12 * time.Hour

// takeAdult takes the grown weight.
func takeAdult(t *talk.Turn, d *planner.Dog, w weighDraft, in talk.Answer) {
	switch {
	case in.Press == "unknown" || talk.IsNotSure(in.Text):
		t.EndDialogue()
		adultUnknown(t, d)
		return
	case in.Press == "" && t.Event.At.Sub(w.Asked) > adultWaits:
		t.EndDialogue()
		t.RouteWords(in.Text)
		return
	}
	kg, err := span.BodyWeight(in.Value(), t.Home.Units)
	if err != nil {
		if t.Aside(in.Text) {
			return
		}
		t.Say(say.Para(talk.ProblemOf(err, in.Value()))).Offer(t.Answer(msg("button.dont-know"), "adult", "unknown"))
		return
	}
	if setAdult(t, d, kg) {
		t.EndDialogue()
	}
}

// adultUnknown leaves the band unknown.
func adultUnknown(t *talk.Turn, d *planner.Dog) {
	t.SayMsg("growth.unknown", "dog", d.Name).Offer(t.Button(msg("button.trend"), "weigh", "trend", d.ID))
}

// setAdult sets the grown weight of a growing dog, says what follows, and
// reports whether it did.
func setAdult(t *talk.Turn, d *planner.Dog, kg nutrition.Kilograms) bool {
	was, changed := *d, *d
	changed.AdultWeight = kg
	switch err := changed.Validate(t.Event.At); {
	case err != nil:
		t.Say(say.Para(say.FieldText(err, t.Home.Units)))
		return false
	case kg < d.Weight:
		t.SayMsg("growth.adult-low", "dog", d.Name, "weight", say.BodyWeight(d.Weight, t.Home.Units))
		return false
	case !d.Born.IsZero() && judge.GoalOf(changed, t.Event.At) != planner.GrowGoal:
		t.SayMsg("growth.is-grown", "dog", d.Name).Offer(t.Button(msg("button.set-ideal"), "dog", "field", d.ID, "ideal"))
		return false
	}
	t.Mutate("did.grown-weight", d.Name)
	d.AdultWeight = kg
	head := msg("growth.adult-set", "dog", d.Name, "adult", say.BodyWeight(kg, t.Home.Units))
	h := History(t, d)
	r := t.Say(say.Para(head), say.Para(growthText(t, d, h)), say.Para(kcalByAdult(t, was, *d)))
	offerGrowth(t, r, d, h)
	r.Offer(t.UndoButton(), t.Button(msg("button.trend"), "weigh", "trend", d.ID), t.Button(msg("button.bowl"), "bowl", "dog", d.ID))
	return true
}

// kcalByAdult says what the grown weight makes of the daily kcal, which the
// equation for growth takes by the share of it that the dog has.
func kcalByAdult(t *talk.Turn, was, is planner.Dog) string {
	before, after := planner.AmountOf(was, t.Event.At), planner.AmountOf(is, t.Event.At)
	return say.Where(!after.ByHand && say.Kcal(before.Kcal) != say.Kcal(after.Kcal), msg("growth.kcal", "dog", is.Name, "kcal", say.Kcal(after.Kcal), "before", say.Kcal(before.Kcal)))
}

package bot

import (
	"time"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// weighDialogue takes the answer to an open question about weights.
func (t *turn) weighDialogue(in answer) {
	var w weighDraft
	t.draft(&w)
	d := t.dog(w.Dog)
	if d == nil {
		t.endDialogue()
		t.sayMsg("press.gone")
		return
	}
	switch t.talk.Step {
	case "fix":
		t.fixWeighing(d, w, in)
	case "away":
		t.takeAway(d, in)
	case "adult":
		t.takeAdult(d, w, in)
	case "ribs", "waist", "tuck":
		t.takeScoreStep(d, w, in)
	default:
		t.endDialogue()
		t.sayMsg("press.stale")
	}
}

// fixWeighing takes another weight, another day, or both, for a weigh-in.
func (t *turn) fixWeighing(d *planner.Dog, w weighDraft, in answer) {
	e, ok := t.entry(w.Entry)
	if !ok {
		t.endDialogue()
		t.sayMsg("press.gone")
		return
	}
	if e.Kind == planner.Doubted && (isYes(in.text) || isNo(in.text)) {
		t.pressDoubt(d, choose(isYes(in.text), "right", "wrong"), []string{"", d.ID, e.ID})
		return
	}
	kg, err := read.BodyWeight(in.value(), t.home.Units)
	said, special, wrong := read.Weighing(in.value(), t.names(), t.home.Units, t.event.At)
	day, dayAlone := planner.Date{}, false
	if from, until, is := read.PastSpan(in.value(), t.event.At); err != nil && !special && is && from == until {
		day, dayAlone = from, true
	}
	switch {
	case special && wrong != nil:
		t.sayWeighWrong(wrong, in.value())
		return
	case err == nil:
		e.Weight = kg
	case special:
		e.Weight = said.Weight
		if !said.Day.IsZero() {
			t.moveTo(&e, said.Day)
		}
	case dayAlone:
		t.moveTo(&e, day)
	default:
		if t.aside(in.text) {
			return
		}
		t.say(para(problemOf(err, in.value()))).offer(t.button(msg("button.stop"), "stop"))
		return
	}
	changed := *d
	changed.Weight = e.Weight
	if err := changed.Validate(t.event.At); err != nil {
		t.say(para(fieldText(err, t.home.Units)))
		return
	}
	t.keepFix(d, e)
}

// correctable is for how long after it was entered a weigh-in is what
// "actually 27.6" is about. Our own choice: a person who has put the scale away
// does not come back to it in such words.
const correctable = 15 * time.Minute

// correctWords takes a weight that corrects the one just entered, and reports
// whether a text was one. Where the carer has just entered those of several
// dogs, it is of the only one that it fits, else it asks.
func (t *turn) correctWords(s string) bool {
	kg, ok := read.CorrectedWeight(s, t.home.Units)
	if !ok {
		return false
	}
	var recent, fit []*planner.Dog
	for i := range t.home.Dogs {
		d := &t.home.Dogs[i]
		e, ok := t.lastEntered(d)
		if !ok || e.Person != t.event.Person || t.event.At.Sub(e.Entered) > correctable {
			continue
		}
		recent = append(recent, d)
		if planner.FitsDog(*d, t.historyAbout(d, e.At), kg) {
			fit = append(fit, d)
		}
	}
	if len(fit) == 1 {
		recent = fit
	}
	switch len(recent) {
	case 0:
		return false
	case 1:
		e, _ := t.lastEntered(recent[0])
		t.correct(recent[0], e, kg)
		return true
	}
	r := t.sayMsg("dog.whose-weight", "weight", bodyWeight(kg, t.home.Units))
	for _, d := range recent {
		e, _ := t.lastEntered(d)
		r.offer(t.button(d.Name, "weigh", "fix-to", d.ID, e.ID, trim(float64(kg)*1000, 4)))
	}
	return true
}

// pressFix corrects the weight of a weigh-in for the dog that was chosen.
func (t *turn) pressFix(d *planner.Dog, id, grams string) {
	e, ok := t.entry(id)
	g, err := read.Number(grams)
	if !ok || e.Dog != d.ID || e.Kind != planner.Weighed && e.Kind != planner.Doubted || err != nil {
		t.sayMsg("press.gone")
		return
	}
	t.correct(d, e, nutrition.Kilograms(g/1000))
}

// correct gives a weigh-in another weight; see keepFix.
func (t *turn) correct(d *planner.Dog, e planner.Entry, kg nutrition.Kilograms) {
	e.Weight = kg
	if !t.possible(d, weighing{weight: kg}) {
		t.say(para(fieldText(&planner.FieldError{Field: "weight"}, t.home.Units)))
		return
	}
	t.keepFix(d, e)
}

// weighOnProfile takes a weight that was typed for the profile: a weigh-in, or
// the right figure for one that was just entered.
func (t *turn) weighOnProfile(d *planner.Dog, kg nutrition.Kilograms) {
	if e, ok := t.lastEntered(d); ok && e.Person == t.event.Person && t.event.At.Sub(e.Entered) <= correctable {
		e.Weight = kg
		t.keepFix(d, e)
		return
	}
	t.weigh(d, weighing{weight: kg})
}

// moveTo sets the day of a weigh-in.
func (t *turn) moveTo(e *planner.Entry, day planner.Date) {
	e.Date = day
	e.At = planner.Instant(day, noon, t.event.At.Location())
	if e.At.After(t.event.At) {
		e.At = t.event.At
	}
}

// keepFix puts a corrected weigh-in in the place of what was. One that is far
// from what the dog weighed before waits, as a new one does; the question stays
// open for a yes, a no or another correction.
func (t *turn) keepFix(d *planner.Dog, e planner.Entry) {
	t.endDialogue()
	was := *d
	t.mutate("did.weighing-changed", d.Name)
	h := t.historyBut(d, e.At, e.ID)
	doubt := planner.Unlikely(*d, h, e.Weight)
	doubted := len(h.Weighings) > 0 && doubt.Unlikely
	e.Kind = planner.Weighed
	if doubted {
		e.Kind = planner.Doubted
	}
	e = t.note(e)
	t.newestWeight(d)
	if doubted {
		t.askDoubtAgain(d)
		t.ask("weigh", "fix", weighDraft{Dog: d.ID, Entry: e.ID})
		t.sayDoubt(d, e, doubt)
		return
	}
	t.dropDoubtReminder(d.ID)
	h, decision, posts := t.judge(d)
	head := msg("weigh.fixed", "dog", d.Name, "weight", bodyWeight(e.Weight, t.home.Units), "day", t.dayOf(e.Date))
	if counts := t.weighedOn(d, e.At); counts != e.Weight {
		head += " " + msg("weigh.fixed-counts", "counts", bodyWeight(counts, t.home.Units))
	}
	r := t.say(para(head),
		para(t.kcalAfter(was, *d)), para(t.decisionText(d, h, decision, posts)))
	t.offerDecision(r, d, h, decision)
	t.offerGrowth(r, d, h)
	r.offer(t.undoButton(), t.button(msg("button.trend"), "weigh", "trend", d.ID))
}

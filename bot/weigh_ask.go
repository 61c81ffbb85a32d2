package bot

import (
	"bowlwright/bot/read"
	"bowlwright/planner"
	"bowlwright/store"
)

// onLast deletes or changes the last weigh-in of the dog that is named. Of
// several dogs the one last spoken of may not be the one that is meant, so it
// asks, and each button says which weigh-in it is about.
func onLast(press string, do func(*turn, *planner.Dog)) func(*turn, read.Sentence) {
	return func(t *turn, s read.Sentence) {
		d := t.dog(s.Dog)
		if len(t.home.Dogs) == 1 {
			d = &t.home.Dogs[0]
		}
		switch {
		case d != nil:
			t.talk.Dog = d.ID
			do(t, d)
		case len(t.home.Dogs) == 0:
			t.askWhose("")
		default:
			t.askWhichLast(press)
		}
	}
}

// askWhichLast offers the last weigh-in of each dog.
func (t *turn) askWhichLast(press string) {
	var buttons []Button
	for i := range t.home.Dogs {
		d := &t.home.Dogs[i]
		if e, ok := t.lastEntered(d); ok {
			label := msg("button.weigh-in-of", "dog", d.Name, "weight", bodyWeight(e.Weight, t.home.Units), "day", t.dayOf(e.Date))
			buttons = append(buttons, t.button(label, "weigh", press, d.ID, e.ID))
		}
	}
	if len(buttons) == 0 {
		t.sayMsg("weigh.none-yet")
		return
	}
	r := t.sayMsg("weigh.which-last")
	for _, b := range buttons {
		r.offer(b)
	}
}

// askWhose asks which dog is meant.
func (t *turn) askWhose(press string) {
	if len(t.home.Dogs) == 0 {
		t.sayMsg("who.none").offer(t.button(msg("button.add-dog"), "dog", "add"))
		return
	}
	r := t.sayMsg("who.which")
	for i := range t.home.Dogs {
		r.offer(t.button(t.home.Dogs[i].Name, "weigh", press, t.home.Dogs[i].ID))
	}
}

// dropLast deletes the weigh-in of a dog that was entered last.
func (t *turn) dropLast(d *planner.Dog) {
	if e, ok := t.lastEntered(d); ok {
		t.deleteWeighing(d, e.ID)
		return
	}
	t.sayMsg("weigh.none", "dog", d.Name, "weight", bodyWeight(d.Weight, t.home.Units))
}

// fixLast asks what the weigh-in that was entered last should be.
func (t *turn) fixLast(d *planner.Dog) {
	if e, ok := t.lastEntered(d); ok {
		t.askWeighing(d, e.ID)
		return
	}
	t.sayMsg("weigh.none", "dog", d.Name, "weight", bodyWeight(d.Weight, t.home.Units))
}

// lastEntered is the weigh-in of a dog that was entered last, whatever day it
// is of, among those of late.
func (t *turn) lastEntered(d *planner.Dog) (last planner.Entry, ok bool) {
	for _, e := range t.entries(store.EntryQuery{Dog: d.ID, Kinds: scaleKinds, Newest: true, Limit: 50}) {
		if !ok || e.Entered.After(last.Entered) {
			last, ok = e, true
		}
	}
	return last, ok
}

// weighCommand records a weight, or shows what there is of weights.
func (t *turn) weighCommand(rest string) {
	if rest != "" {
		if d := t.dogNamed(rest); d != nil {
			t.showWeights(d)
			return
		}
		if t.weighWords(rest) || t.bareWeight(rest) || t.sentence(rest) || t.sentence("weigh "+rest) {
			return
		}
		t.sayMsg("weigh.unread", "text", short(rest))
		return
	}
	if len(t.home.Dogs) == 1 {
		t.showWeights(&t.home.Dogs[0])
		return
	}
	t.askWhose("show")
}

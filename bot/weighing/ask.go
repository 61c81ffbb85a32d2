package weighing

import (
	"slices"
	"strings"
	"time"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// onLast deletes or changes the last weigh-in of the dog that is named. With
// several dogs the one last spoken of may not be meant, so it asks, and each
// button says which weigh-in it is about.
func onLast(press string, do func(t *talk.Turn, d *planner.Dog, e planner.Entry)) func(*talk.Turn, read.Sentence) {
	return func(t *talk.Turn, s read.Sentence) {
		d := t.Dog(s.Dog)
		if len(t.Home.Dogs) == 1 {
			d = &t.Home.Dogs[0]
		}
		switch {
		case ofDay(t, s, press, d):
		case d != nil:
			t.Talk.Dog = d.ID
			if e, ok := lastEntered(t, d); ok {
				do(t, d, e)
			} else {
				t.SayMsg("weigh.none", "dog", d.Name, "weight", say.BodyWeight(d.Weight, t.Home.Units))
			}
		case len(t.Home.Dogs) == 0:
			talk.NoDog(t)
		default:
			askWhichLast(t, press)
		}
	}
}

// ofDay deletes or corrects the weigh-in of the day or the weight that is named, where
// there is one, and reports whether either is. Of several it asks which.
func ofDay(t *talk.Turn, s read.Sentence, press string, of *planner.Dog) bool {
	day, named := read.DayThatWas(s.Words, t.Event.At)
	if !named {
		day, _, named = read.DayAsked(t.OfDays(), t.Event.At)
	}
	was := nutrition.Kilograms(s.Factor)
	if t.Home.Units.Pounds {
		was *= nutrition.KilosPerPound
	}
	if !named && !(was > 0) && !(s.Weight > 0) {
		return false
	}
	var buttons []say.Button
	var dog *planner.Dog
	var entry planner.Entry
	for _, d := range t.Dogs() {
		if of != nil && of != d {
			continue
		}
		for _, e := range t.Entries(store.EntryQuery{Dog: d.ID, Kinds: talk.ScaleKinds, Newest: true, Limit: 50}) {
			if named && e.Date != day || was > 0 && say.BodyWeight(e.Weight, t.Home.Units) != say.BodyWeight(was, t.Home.Units) {
				continue
			}
			if !named && !(was > 0) { // of the last one
				if last, ok := lastEntered(t, d); !ok || last.ID != e.ID {
					continue
				}
			}
			buttons = append(buttons, ofDayButton(t, d, e, press, s.Weight))
			dog, entry = d, e
		}
	}
	before := s.Weight > 0 && t.AsTyped() != t.Event.Text && entry.Date != t.Date() // it may be today's, as it was put
	switch {
	case len(buttons) == 0 && was > 0:
		t.SayMsg("weigh.none-of", "weight", say.BodyWeight(was, t.Home.Units))
	case len(buttons) == 0:
		t.SayMsg("weigh.none-that-day", "day", t.DateText(day))
	case len(buttons) > 1:
		t.SayMsg("weigh.which-last").Rows(1, buttons...)
	case before:
		today := weightButton(t, msg("button.new-weight", "weight", say.BodyWeight(s.Weight, t.Home.Units)), dog, weighed{weight: s.Weight})
		t.SayMsg("weigh.which-last").Rows(1, append(buttons, today)...)
	case press == "delete":
		deleteWeighing(t, dog, entry)
	case s.Weight > 0:
		correct(t, dog, entry, s.Weight)
	default:
		askWeighing(t, dog, entry)
	}
	return true
}

// ofDayButton deletes or corrects one weigh-in, to a weight where one is said.
func ofDayButton(t *talk.Turn, d *planner.Dog, e planner.Entry, press string, is nutrition.Kilograms) say.Button {
	label := msg("button.weigh-in-of", "dog", d.Name, "weight", say.BodyWeight(e.Weight, t.Home.Units), "day", talk.DayOf(t, e.Date))
	if is > 0 {
		return t.Button(label, "weigh", "fix-to", d.ID, e.ID, say.Trim(float64(is)*1000, 4))
	}
	return t.Button(label, "weigh", press, d.ID, e.ID)
}

// askWhichLast offers the last weigh-in of each dog.
func askWhichLast(t *talk.Turn, press string) {
	var buttons []say.Button
	for _, d := range t.Dogs() {
		if e, ok := lastEntered(t, d); ok {
			buttons = append(buttons, ofDayButton(t, d, e, press, 0))
		}
	}
	if len(buttons) == 0 {
		t.SayMsg("weigh.none-yet")
		return
	}
	t.SayMsg("weigh.which-last").Rows(1, buttons...)
}

// lastEntered is a dog's weigh-in that was entered last, whatever day it is
// for, among the recent ones.
func lastEntered(t *talk.Turn, d *planner.Dog) (last planner.Entry, ok bool) {
	for _, e := range t.Entries(store.EntryQuery{Dog: d.ID, Kinds: talk.ScaleKinds, Newest: true, Limit: 50}) {
		if !ok || e.Entered.After(last.Entered) {
			last, ok = e, true
		}
	}
	return last, ok
}

// weighCommand records a weight, or shows what there is of weights.
func weighCommand(t *talk.Turn, rest string) {
	switch d := t.DogNamed(rest); {
	case d != nil:
		showWeights(t, d)
	case rest != "" && (WeighWords(t, rest) || BareWeight(t, rest) || talk.Sentence(t, rest) || talk.Sentence(t, "weigh "+rest)):
	case rest != "":
		t.SayMsg("weigh.unread", "text", say.Short(rest))
	case len(t.Home.Dogs) == 0:
		talk.NoDog(t)
	case len(t.Home.Dogs) == 1:
		showWeights(t, &t.Home.Dogs[0])
	default:
		talk.OfferDogs(t, t.SayMsg("who.which"), "weigh", "show")
	}
}

// askedAgo is how long a question for a weight waits for its answer (our own
// choice).
const askedAgo = 36 * time.Hour

// askedToWeigh are the dogs whose weekly question has not been answered.
func askedToWeigh(t *talk.Turn) []*planner.Dog {
	from := t.Event.At.Add(-askedAgo)
	asked := map[string]time.Time{}
	for _, o := range planner.Agenda(t.Home, from, t.Event.At) {
		if r := t.Reminder(o.Reminder); r != nil && r.Kind == planner.WeighReminder {
			asked[r.Dog] = o.Send
		}
	}
	if len(asked) == 0 {
		return nil
	}
	weighed := map[string]time.Time{}
	for _, e := range t.Entries(store.EntryQuery{Kinds: talk.ScaleKinds, From: from}) {
		weighed[e.Dog] = e.At
	}
	return slices.DeleteFunc(t.Living(), func(d *planner.Dog) bool {
		at, ok := asked[d.ID]
		if every, all := asked[""]; all && (!ok || at.Before(every)) {
			at, ok = every, true
		}
		return !ok || weighed[d.ID].After(at)
	})
}

// sayWeighDue asks for the weights that are due.
func sayWeighDue(t *talk.Turn, r *planner.Reminder, o planner.Occurrence) {
	asked := dogs.AskedOf(t, r)
	if len(asked) == 0 {
		return
	}
	names := talk.NamesOf(asked)
	example, _, _ := strings.Cut(say.BodyWeight(asked[0].Weight, t.Home.Units), " ") // what a carer may type
	text := say.Choose(len(asked) > 1, msg("weigh.due-all", "dogs", names, "example", asked[0].Name+" "+example), msg("weigh.due", "dogs", names, "example", example))
	t.Say(say.Para(text), say.Para(talk.LateText(t, o))).Offer(talk.DueButton(t, msg("button.later"), "later", o))
}

package weighing

import (
	"strings"
	"time"

	"bowlwright/bot/dogs"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
)

// askedAgo is how long a question for a weight waits for its answer.
const askedAgo = 36 * time.Hour

// askedToWeigh are the dogs whose weekly question has not been answered.
func askedToWeigh(t *talk.Turn) (dogs []*planner.Dog) {
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
	for i := range t.Home.Dogs {
		d := &t.Home.Dogs[i]
		at, ok := asked[d.ID]
		if every, all := asked[""]; all && (!ok || at.Before(every)) {
			at, ok = every, true
		}
		if ok && d.Died.IsZero() && !weighed[d.ID].After(at) {
			dogs = append(dogs, d)
		}
	}
	return dogs
}

// sayWeighDue asks for the weights that are due.
func sayWeighDue(t *talk.Turn, due []planner.Occurrence) {
	for _, o := range due {
		r := t.Reminder(o.Reminder)
		if r == nil {
			continue
		}
		var names []string
		for _, d := range dogs.AskedOf(t, r) {
			names = append(names, d.Name)
		}
		if len(names) == 0 {
			continue
		}
		text := msg("weigh.due", "dogs", say.List(names), "example", exampleWeight(t, r))
		if len(names) > 1 {
			text = msg("weigh.due-all", "dogs", say.List(names), "example", names[0]+" "+exampleWeight(t, r))
		}
		t.Say(say.Para(text), say.Para(talk.LateText(t, o))).Offer(talk.DueButton(t, msg("button.later"), "later", o))
	}
}

// exampleWeight is what a carer may type.
func exampleWeight(t *talk.Turn, r *planner.Reminder) string {
	d := t.Dog(r.Dog)
	if d == nil {
		d = dogs.AskedOf(t, r)[0]
	}
	s, _, _ := strings.Cut(say.BodyWeight(d.Weight, t.Home.Units), " ")
	return s
}

package bot

import (
	"strings"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
)

// askedAgo is how long a question for a weight waits for its answer.
const askedAgo = 36 * time.Hour

// askedToWeigh are the dogs whose weekly question has not been answered.
func (t *turn) askedToWeigh() (dogs []*planner.Dog) {
	from := t.event.At.Add(-askedAgo)
	asked := map[string]time.Time{}
	for _, o := range planner.Agenda(t.home, from, t.event.At) {
		if r := t.reminder(o.Reminder); r != nil && r.Kind == planner.WeighReminder {
			asked[r.Dog] = o.Send
		}
	}
	if len(asked) == 0 {
		return nil
	}
	weighed := map[string]time.Time{}
	for _, e := range t.entries(store.EntryQuery{Kinds: scaleKinds, From: from}) {
		weighed[e.Dog] = e.At
	}
	for i := range t.home.Dogs {
		d := &t.home.Dogs[i]
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
func (t *turn) sayWeighDue(due []planner.Occurrence) {
	for _, o := range due {
		r := t.reminder(o.Reminder)
		if r == nil {
			continue
		}
		var names []string
		for _, d := range t.askedOf(r) {
			names = append(names, d.Name)
		}
		if len(names) == 0 {
			continue
		}
		text := msg("weigh.due", "dogs", list(names), "example", t.exampleWeight(r))
		if len(names) > 1 {
			text = msg("weigh.due-all", "dogs", list(names), "example", names[0]+" "+t.exampleWeight(r))
		}
		t.say(para(text), para(t.lateText(o))).offer(t.dueButton(msg("button.later"), "later", o))
	}
}

// exampleWeight is what a carer may type.
func (t *turn) exampleWeight(r *planner.Reminder) string {
	d := t.dog(r.Dog)
	if d == nil {
		d = t.askedOf(r)[0]
	}
	s, _, _ := strings.Cut(bodyWeight(d.Weight, t.home.Units), " ")
	return s
}

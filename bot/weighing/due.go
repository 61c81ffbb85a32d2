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
	for _, d := range t.Dogs() {
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
func sayWeighDue(t *talk.Turn, r *planner.Reminder, o planner.Occurrence) {
	asked := dogs.AskedOf(t, r)
	if len(asked) == 0 {
		return
	}
	names, example := talk.NamesOf(asked), exampleWeight(t, asked[0])
	text := msg("weigh.due", "dogs", names, "example", example)
	if len(asked) > 1 {
		text = msg("weigh.due-all", "dogs", names, "example", asked[0].Name+" "+example)
	}
	t.Say(say.Para(text), say.Para(talk.LateText(t, o))).Offer(talk.DueButton(t, msg("button.later"), "later", o))
}

// exampleWeight is what a carer may type.
func exampleWeight(t *talk.Turn, d *planner.Dog) string {
	s, _, _ := strings.Cut(say.BodyWeight(d.Weight, t.Home.Units), " ")
	return s
}

package bot

import (
	"slices"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// answerDied answers the news that a dog has died. Nothing is taken away or
// stopped before a carer says so.
func (t *turn) answerDied(s read.Sentence) {
	d := t.dog(s.Dog)
	if d == nil {
		d = t.theDog()
	}
	if d != nil {
		t.sayDied(d)
		return
	}
	out := t.sayMsg("died.sorry")
	for i := range t.home.Dogs {
		out.offer(t.button(t.home.Dogs[i].Name, "dog", "died", t.home.Dogs[i].ID))
	}
}

func (t *turn) sayDied(d *planner.Dog) {
	t.talk.Dog = d.ID
	t.sayMsg("died.sorry-for", "dog", d.Name).
		offer(t.button(msg("button.died-rest"), "dog", "rest", d.ID)).
		offer(t.button(msg("button.died-remove"), "dog", "remove", d.ID))
}

// restDog stops all that is said of a dog that has died, and keeps its records.
func (t *turn) restDog(d *planner.Dog) {
	t.mutate("did.dog-changed", d.Name)
	d.Died = t.event.At.UTC()
	t.happened(&dogRested{d.ID})
	if !slices.ContainsFunc(t.home.Dogs, func(d planner.Dog) bool { return d.Died.IsZero() }) {
		t.home.Reminders = slices.DeleteFunc(t.home.Reminders, func(r planner.Reminder) bool { return r.Kind != planner.NoteReminder })
	}
	t.inPlace(t.sayMsg("died.rests", "dog", d.Name).
		offer(t.button(msg("button.died-remove"), "dog", "remove", d.ID), t.undoButton()))
}

// askedOf are the dogs that a reminder is about: one, or every one that lives.
func (t *turn) askedOf(r *planner.Reminder) (dogs []*planner.Dog) {
	for i := range t.home.Dogs {
		if d := &t.home.Dogs[i]; d.Died.IsZero() && (r.Dog == "" || r.Dog == d.ID) {
			dogs = append(dogs, d)
		}
	}
	return dogs
}

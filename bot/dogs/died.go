package dogs

import (
	"slices"

	"bowlwright/bot/read"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// answerDied answers the news that a dog has died. Nothing is taken away or
// stopped before a carer says so.
func answerDied(t *talk.Turn, s read.Sentence) {
	d := t.Dog(s.Dog)
	if d == nil {
		d = t.TheDog()
	}
	if d != nil {
		sayDied(t, d)
		return
	}
	out := t.SayMsg("died.sorry")
	for i := range t.Home.Dogs {
		out.Offer(t.Button(t.Home.Dogs[i].Name, "dog", "died", t.Home.Dogs[i].ID))
	}
}

func sayDied(t *talk.Turn, d *planner.Dog) {
	t.Talk.Dog = d.ID
	t.SayMsg("died.sorry-for", "dog", d.Name).
		Offer(t.Button(msg("button.died-rest"), "dog", "rest", d.ID)).
		Offer(t.Button(msg("button.died-remove"), "dog", "remove", d.ID))
}

// restDog stops all that is said of a dog that has died, and keeps its records.
func restDog(t *talk.Turn, d *planner.Dog) {
	t.Mutate("did.dog-changed", d.Name)
	d.Died = t.Event.At.UTC()
	t.Happened(&talk.DogRested{ID: d.ID})
	if !slices.ContainsFunc(t.Home.Dogs, func(d planner.Dog) bool { return d.Died.IsZero() }) {
		t.Home.Reminders = slices.DeleteFunc(t.Home.Reminders, func(r planner.Reminder) bool { return r.Kind != planner.NoteReminder })
	}
	t.InPlace(t.SayMsg("died.rests", "dog", d.Name).
		Offer(t.Button(msg("button.died-remove"), "dog", "remove", d.ID), t.UndoButton()))
}

// AskedOf are the dogs that a reminder is about: one, or every one that lives.
func AskedOf(t *talk.Turn, r *planner.Reminder) (dogs []*planner.Dog) {
	for i := range t.Home.Dogs {
		if d := &t.Home.Dogs[i]; d.Died.IsZero() && (r.Dog == "" || r.Dog == d.ID) {
			dogs = append(dogs, d)
		}
	}
	return dogs
}

package dogs

import (
	"slices"

	"bowlwright/bot/read"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// answerDied answers the news that a dog has died: nothing more is said of it,
// and nothing is taken away before a carer says so.
func answerDied(t *talk.Turn, s read.Sentence) {
	if d := t.Dog(s.Dog); d != nil {
		sayDied(t, d)
		return
	}
	talk.OfferDogs(t, t.SayMsg("died.sorry"), "dog", "died")
}

// sayDied stops all that is said of a dog that has died, at once, and keeps
// its records.
func sayDied(t *talk.Turn, d *planner.Dog) {
	t.Talk.Dog = d.ID
	if d.Died.IsZero() {
		t.Mutate("did.dog-changed", d.Name)
		d.Died = t.Event.At.UTC()
		t.Happened(&talk.DogRested{ID: d.ID})
		if len(t.Living()) == 0 {
			t.Home.Reminders = slices.DeleteFunc(t.Home.Reminders, func(r planner.Reminder) bool { return r.Kind != planner.NoteReminder })
		}
	}
	t.InPlace(t.SayMsg("died.sorry-for", "dog", d.Name).
		Offer(t.UndoButton(), t.Button(msg("button.died-remove"), "dog", "remove", d.ID)))
}

// AskedOf are the dogs that a reminder is about: one, or every one that lives.
func AskedOf(t *talk.Turn, r *planner.Reminder) []*planner.Dog {
	return slices.DeleteFunc(t.Living(), func(d *planner.Dog) bool { return r.Dog != "" && r.Dog != d.ID })
}

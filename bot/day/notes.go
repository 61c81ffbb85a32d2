package day

import (
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// sayNote says a one-off reminder as it was typed.
func sayNote(t *talk.Turn, r *planner.Reminder, o planner.Occurrence) {
	text := msg("due.note", "text", r.Text)
	if d := t.Dog(r.Dog); d != nil {
		text = msg("due.note-of", "dog", d.Name, "text", r.Text)
	}
	t.Say(say.Para(text), say.Para(talk.LateText(t, o))).
		Offer(talk.DueButton(t, msg("button.done"), "done", o), talk.DueButton(t, msg("button.later"), "later", o))
}

// pressNoteDone notes that what a reminder said is done; one for a single
// day is then dropped.
func pressNoteDone(t *talk.Turn, r *planner.Reminder, o planner.Occurrence, _ []string) {
	if done := talk.Answered(t, o); len(done) > 0 {
		talk.AlreadyAnswered(t, r, o, done[0])
		return
	}
	about := talk.AboutReminder(t, r)
	t.Mutate("did.note-done", about)
	e := t.Note(planner.Entry{Kind: planner.NoteDone, Dog: r.Dog, Of: o.ID, Date: o.Date, Text: r.Text})
	talk.DropSnooze(t, o.ID)
	if r.Schedule.Once && r.Kind == planner.NoteReminder {
		talk.DropReminder(t, r.ID)
	}
	talk.SayDone(t, msg("due.done", "what", about, "how", talk.EntryText(t, e)))
}

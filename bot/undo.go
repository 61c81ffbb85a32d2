package bot

import (
	"hash/fnv"
	"strconv"

	"bowlwright/bot/read"
	"bowlwright/store"
)

// changeID is a short name of the change that an event makes.
func changeID(event string) string {
	h := fnv.New64a()
	h.Write([]byte(event)) // never fails
	return strconv.FormatUint(h.Sum64(), 36)
}

// undoSaid takes back what was asked for in words: the open question, else one
// step, and says what the next would be. Another carer's change it asks about.
func (t *turn) undoSaid(words string) {
	if t.leaveQuestion() {
		return
	}
	if last, err := t.tx.LastChange(t.home.ID); err == nil && last.Person != "" && last.Person != t.event.Person {
		t.askedSure("undo", last.ID)
		t.sayMsg("undo.other", "done", t.doneBy(last)).offer(t.button(msg("button.undo-that"), "undo", last.ID))
		return
	}
	t.undo("")
	if !t.popped {
		return
	}
	before, err := t.tx.ChangeBefore(t.home.ID)
	t.sayNext(before, err, read.SaysSeveral(words))
}

// sayNext says what the next undo would take back. A carer who asked for
// several steps has a button for it.
func (t *turn) sayNext(next store.Change, err error, several bool) {
	if err != nil {
		return // there is none, or it is read when it is asked for
	}
	out := &t.replies[len(t.replies)-1]
	text := msg("undo.next", "done", t.doneBy(next))
	if several {
		text = msg("undo.one-step") + " " + text
		out.offer(t.button(msg("button.undo"), "undo", next.ID))
	}
	out.Body = append(out.Body, para(text))
}

// leaveQuestion leaves the open question rather than to take back a record
// that has nothing to do with it. What the question followed from in one
// message belongs to it, and is taken back with it.
func (t *turn) leaveQuestion() bool {
	_, open := t.reg.forms[t.talk.Kind]
	by := t.talk.By
	no := refusing(t.offered())
	if !open && no >= 0 {
		by = t.talk.Offer.By
	}
	last, err := t.tx.LastChange(t.home.ID)
	if !open && no < 0 || err == nil && last.ID == by {
		return false
	}
	switch {
	case open:
		kept := t.park()
		t.endDialogue()
		out := t.sayMsg("undo.question")
		if kept {
			out.offer(t.button(msg("button.go-on"), "resume"))
		}
	default:
		t.event.Press = t.talk.Offer.Buttons[no].Data
		t.routePress()
	}
	t.sayNext(last, err, false)
	return true
}

// undo takes back the last change of the household. id is the change that
// the pressed button belongs to; empty for whichever is last.
func (t *turn) undo(id string) {
	last, err := t.tx.LastChange(t.home.ID)
	if isNotFound(err) {
		t.sayMsg("undo.nothing")
		return
	}
	if err != nil {
		t.fail(err)
		return
	}
	done := t.doneBy(last)
	if id != "" && id != last.ID {
		t.sayMsg("undo.later", "done", done).
			offer(t.button(msg("button.undo-that"), "undo", last.ID))
		return
	}
	back := last.Before
	back.Carers, back.Gone, back.Came = t.home.Carers, t.home.Gone, t.home.Came
	back.LastID, back.Told, back.Cautions = t.home.LastID, t.home.Told, t.home.Cautions
	t.happened(&changeTakenBack{back, t.home, last})
	t.undone = t.home
	t.home, t.changed, t.popped = back, true, true
	t.revertNotes(last)
	t.left = t.park() || t.left // what was being typed can be gone on with
	t.endDialogue()
	t.sayMsg("undo.done", "done", done)
}

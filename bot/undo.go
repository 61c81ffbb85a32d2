package bot

import (
	"hash/fnv"
	"strconv"

	"bowlwright/bot/read"
)

// changeID is a short name of the change that an event makes.
func changeID(event string) string {
	h := fnv.New64a()
	h.Write([]byte(event)) // never fails
	return strconv.FormatUint(h.Sum64(), 36)
}

// undoSaid takes back what was asked for in words. It is one step, and says so
// where several were asked for.
func (t *turn) undoSaid(words string) {
	t.undo("")
	if t.popped && read.SaysSeveral(words) {
		last := &t.replies[len(t.replies)-1]
		last.Body = append(last.Body, para(msg("undo.one-step")))
		last.offer(t.button(msg("button.undo"), "undo", ""))
	}
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

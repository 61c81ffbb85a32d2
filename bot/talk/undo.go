package talk

import (
	"hash/fnv"
	"strconv"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/store"
)

// ChangeID is a short name of the change that an event makes.
func ChangeID(event string) string {
	h := fnv.New64a()
	h.Write([]byte(event)) // never fails
	return strconv.FormatUint(h.Sum64(), 36)
}

// LastChange is the household's newest change before this turn; the zero one where there
// is none.
func (t *Turn) LastChange() store.Change {
	if t.last == nil || t.lastOf != t.Home.ID {
		c, err := t.Snap.Change(t.Home.ID, 0)
		Found(t, err)
		t.last, t.lastOf = &c, t.Home.ID
	}
	return *t.last
}

// undoNamed takes back the open question, else one step, and says what the next
// would be. It asks before it takes back another carer's change.
// What is named, and not in the last change, is not taken for that: it asks.
func (t *Turn) undoNamed(words, what string) {
	last := t.LastChange()
	if named := read.UndoNames(what); last.ID != "" && len(named) > 0 && !read.NamesAll(t.doneBy(last, t.Home), named) {
		t.AskedSure("undo", last.ID)
		t.Say(say.Para(msg("undo.which", "done", t.doneBy(last, t.Home))), say.Para(t.lastChanges())).Offer(t.Button(msg("button.undo-that"), "undo", last.ID))
		return
	}
	if t.leaveQuestion() {
		return
	}
	if last.Person != "" && last.Person != t.Event.Person {
		t.AskedSure("undo", last.ID)
		t.SayMsg("undo.other", "done", t.doneBy(last, t.Home)).Offer(t.Button(msg("button.undo-that"), "undo", last.ID))
		return
	}
	t.undo("")
	if !t.Popped {
		return
	}
	if before, err := t.Snap.Change(t.Home.ID, 1); err == nil { // else there is none, or it is read when it is asked for
		t.sayNext(before, read.Says("several", words))
	}
}

// sayUndo says what was changed, and takes back nothing.
func (t *Turn) sayUndo(read.Sentence) {
	if last := t.LastChange(); last.ID != "" {
		t.Say(say.Para(t.lastChanges())).Offer(t.Button(msg("button.undo-newest"), "undo", last.ID))
		return
	}
	t.SayMsg("undo.nothing")
}

// lastChanges lists those of today, two in any case and no more than a phone shows.
func (t *Turn) lastChanges() string {
	all := []string{msg("undo.list")}
	for after := t.Home; len(all) <= 10; {
		c, err := t.Snap.Change(t.Home.ID, len(all)-1)
		if err != nil || len(all) > 2 && t.DateAt(c.At) != t.Date() {
			break
		}
		all, after = append(all, msg("undo.line", "done", t.doneBy(c, after), "when", t.Clock(c.At))), c.Before
	}
	return JoinLines(all)
}

// sayNext says what the next undo would take back. A carer who asked for
// several steps has a button for it.
func (t *Turn) sayNext(next store.Change, several bool) {
	out := &t.Replies[len(t.Replies)-1]
	text := msg("undo.next", "done", t.doneBy(next, t.Home))
	if several {
		text = msg("undo.one-step") + " " + text
		out.Offer(t.Button(msg("button.undo"), "undo", next.ID))
	}
	out.Body = append(out.Body, say.Para(text))
}

// leaveQuestion drops the open question rather than take back a record that has
// nothing to do with it. A record made by the message that opened the question
// belongs to it, and is taken back too.
func (t *Turn) leaveQuestion() bool {
	_, open := t.reg.Forms[t.Talk.Kind]
	by := t.Talk.By
	no := refusing(t.offer().Buttons)
	if !open && no >= 0 {
		by = t.Talk.Offer.By
	}
	last := t.LastChange()
	if !open && no < 0 || last.ID != "" && last.ID == by {
		return false
	}
	if open {
		kept := t.park()
		t.EndDialogue()
		t.dropped = true
		out := t.SayMsg("undo.question")
		if kept {
			out.Offer(t.Button(msg("button.go-on"), "resume"))
		}
	} else {
		t.Event.Press = t.Talk.Offer.Buttons[no].Data
		t.routePress()
	}
	if last.ID != "" {
		t.sayNext(last, false)
	}
	return true
}

// undo takes back the last change of the household. id is the change that
// the pressed button belongs to; empty for whichever is last.
func (t *Turn) undo(id string) {
	last := t.LastChange()
	if last.ID == "" {
		t.SayMsg("undo.nothing")
		return
	}
	done := t.doneBy(last, t.Home)
	if id != "" && id != last.ID {
		t.SayMsg("undo.later", "done", done).
			Offer(t.Button(msg("button.undo-that"), "undo", last.ID))
		return
	}
	t.Undone, t.Popped = t.Home, true
	t.takeBack(last)
	t.left = t.park() || t.left // what was being typed can be gone on with
	t.EndDialogue()
	t.SayMsg("undo.done", "done", done)
}

// takeBack has the household be as it was before its last change.
func (t *Turn) takeBack(last store.Change) {
	back := last.Before.Clone()
	back.Carers, back.Gone, back.Came = t.Home.Carers, t.Home.Gone, t.Home.Came
	back.LastID, back.Told, back.Cautions = t.Home.LastID, t.Home.Told, t.Home.Cautions
	t.Happened(&ChangeTakenBack{back, t.Home, last})
	t.Home, t.Changed = back, true
	t.revertNotes(last)
}

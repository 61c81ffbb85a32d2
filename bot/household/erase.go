package household

import (
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/store"
)

// leaveOrErase tells those who say that they leave from those who want what is
// kept of them to be gone.
func leaveOrErase(t *talk.Turn, _ read.Sentence) {
	if read.Says("leaving", t.Event.Text) {
		askLeave(t)
		return
	}
	askErase(t)
}

// askErase asks, once, and offers all data as a file first. Where others feed
// along it is about the person alone, in a group about the group.
func askErase(t *talk.Turn) {
	switch {
	case t.Member == "":
		t.SayMsg("leave.nothing")
		return
	case t.Event.Group && len(talk.Others(t)) > 0:
		askLeave(t)
		return
	}
	t.Ask("carers", "erase", carersDraft{Asked: t.Event.At})
	if len(besides(t)) == 0 {
		offerErase(t, t.SayMsg("erase.sure"))
		return
	}
	h := &talk.CarerErasing{}
	t.Happened(h)
	out := t.Say(say.Para(msg("erase.self", "name", othersNames(t))), say.Whole(h.Stays))
	offerErase(t, out)
	for _, b := range h.Buttons {
		out.Offer(b)
	}
}

func offerErase(t *talk.Turn, r *say.Reply) {
	label := say.Choose(len(besides(t)) == 0, msg("button.erase-all"), msg("button.erase-self"))
	r.Offer(t.Answer(label, "erase", "delete"), t.Answer(msg("button.keep"), "erase", "stay")).
		Offer(t.Answer(msg("button.erase-export"), "erase", "export"))
}

// besides are the members of the household that are not the person of the turn
// in another chat.
func besides(t *talk.Turn) (out []store.Member) {
	for _, m := range talk.Others(t) {
		if m.Person != t.Event.Person {
			out = append(out, m)
		}
	}
	return out
}

// exportFirst sends everything as a file, and leaves the question open.
func exportFirst(t *talk.Turn, d carersDraft) {
	t.GoTo(read.Sentence{Intent: read.Export})
	t.Ask("carers", "erase", d)
	offerErase(t, t.LastReply())
}

// erase deletes the household, or what it holds of the person where others
// remain.
func erase(t *talk.Turn) {
	rest := besides(t)
	name := talk.NameOf(t, t.Event.Person)
	t.Expect(store.HouseholdAt{ID: t.Home.ID, Rev: t.Rev, None: t.Newcomer})
	done := msg("erase.done")
	var writes []store.Write
	var err error
	if len(rest) > 0 {
		done = msg("erase.done-self")
		writes, err = store.ErasePerson(t.Snap, t.Home.ID, t.Event.Person, t.Event.At)
		t.Tell(rest, say.Reply{Body: []say.Block{say.Para(msg("leave.told", "name", name))}})
	} else {
		writes, err = store.EraseHousehold(t.Snap, t.Home.ID, t.Event.At)
	}
	if err != nil {
		t.Fail(err)
		return
	}
	t.Write(writes...)
	t.Leave()
	t.Say(say.Para(done), say.Para(backupsText(t)))
}

// backupsText says until when backups have what was erased.
func backupsText(t *talk.Turn) string {
	if t.BackupsUntil == nil {
		return msg("erase.copies")
	}
	return msg("erase.backups", "until", t.BackupsUntil(t.Event.At).In(t.Event.At.Location()).Format("Mon 2 Jan 2006"))
}

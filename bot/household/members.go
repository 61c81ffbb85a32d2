package household

import (
	"slices"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
)

// showCarers says who feeds the dogs of the household, and who is invited.
func showCarers(t *talk.Turn) {
	names := say.Each(t.Home.Carers, func(c planner.Carer) string {
		return say.Choose(c.Person == t.Event.Person, msg("carers.you", "name", c.Name), c.Name)
	})
	blocks := []say.Block{say.Para(msg("carers.list", "n", len(names), "names", say.List(names))), say.Para(holds(t))}
	if inGroup(t) {
		blocks = append(blocks, say.Para(msg("carers.group")))
	}
	r := t.Say(append(blocks, say.Para(invitesText(t)))...)
	r.Offer(t.Button(msg("button.invite"), "carers", "invite"))
	offerTakeBack(t, r)
	offerRemove(t, r)
	if canLeave(t) {
		r.Offer(t.Button(msg("button.leave"), "carers", "leave"), t.Button(msg("button.erase"), "carers", "erase"))
	}
}

// inGroup reports whether a group is this household, or one of its chats.
func inGroup(t *talk.Turn) bool {
	return t.Event.Group || slices.ContainsFunc(talk.Others(t), func(m store.Member) bool { return m.Person == "" })
}

// holds says what the household has, empty where it has nothing.
func holds(t *talk.Turn) string {
	what := thingsOf(t.Home)
	return say.Where(what != "", msg("carers.holds", "what", what))
}

// thingsOf lists what a household has: "Juniper, Bracken and 2 recipes".
func thingsOf(h *planner.Household) string {
	what := say.Each(h.Dogs, func(d planner.Dog) string { return d.Name })
	if n := len(h.Recipes); n > 0 {
		what = append(what, msg("carers.recipes", "n", n))
	}
	if n := len(h.Foods); n > 0 {
		what = append(what, msg("carers.foods", "n", n))
	}
	return say.List(what)
}

// offerRemove offers to remove each of the others, as far as there is room.
func offerRemove(t *talk.Turn, r *say.Reply) {
	const most = 8
	for _, c := range t.Home.Carers[:min(len(t.Home.Carers), most+1)] {
		if c.Person != t.Event.Person {
			r.Offer(t.Button(msg("button.remove-carer", "name", c.Name), "carers", "remove", talk.CarerCode(c.Person)))
		}
	}
}

// carerVerbs are what buttons about carers do. What cannot be taken back is only asked
// here: the answer belongs to the open question, so an old button does no harm.
func carerVerbs() map[string]talk.Press {
	return map[string]talk.Press{
		"show":      func(t *talk.Turn, _ []string) { showCarers(t) },
		"today":     func(t *talk.Turn, _ []string) { t.GoTo(read.Sentence{Intent: read.Today}) },
		"invite":    func(t *talk.Turn, _ []string) { invite(t, "") },
		"take-back": func(t *talk.Turn, args []string) { takeBack(t, talk.Arg(args, 0)) },
		"leave":     func(t *talk.Turn, _ []string) { askLeave(t) },
		"erase":     func(t *talk.Turn, _ []string) { askErase(t) },
		"remove":    func(t *talk.Turn, args []string) { askRemove(t, talk.Arg(args, 0)) },
	}
}

// carersDraft is the state of a question about who belongs to the household.
type carersDraft struct {
	Asked time.Time `json:"asked"`
	Who   string    `json:"who,omitempty"` // the person to be removed
	Key   string    `json:"key,omitempty"` // of the invitation to follow
}

// sureFor is how long such a question stays open.
const sureFor = time.Hour

// carersDialogue takes the answer to such a question. Anything else closes it
// and is answered on its own.
func carersDialogue(t *talk.Turn, d carersDraft, in talk.Answer) {
	step, said := t.Talk.Step, sureWord(in)
	late := t.Event.At.Sub(d.Asked) > sureFor
	t.EndDialogue()
	switch {
	case said == "" && in.Press == "":
		t.RouteWords(in.Text)
	case said == "" || late:
		t.SayMsg("press.stale")
	case said == "export": // everything as a file, and the question stays open
		t.GoTo(read.Sentence{Intent: read.Export})
		t.Ask("carers", "erase", d)
		offerErase(t, t.LastReply())
	case said == "stay":
		t.SayMsg("carers.stays")
	case step == "join":
		followInvite(t, d.Key, true, said == "delete")
	case step == "erase":
		erase(t)
	case step == "leave":
		leave(t, said == "delete")
	case step == "remove":
		remove(t, d.Who)
	}
}

// sureWord reads an answer: keep (which is yes), delete or stay; empty where
// it is none of them.
func sureWord(in talk.Answer) string {
	first, _ := talk.CutWord(in.Text)
	if in.Press == "" && talk.IsNo(first) {
		return "stay" // "no leave it"
	}
	return read.SaidKind("leave-said", in.Value())
}

func askRemove(t *talk.Turn, code string) {
	for _, c := range t.Home.Carers {
		if talk.CarerCode(c.Person) == code && c.Person != t.Event.Person {
			t.Ask("carers", "remove", carersDraft{Asked: t.Event.At, Who: c.Person})
			t.SayMsg("carers.remove-sure", "name", c.Name).
				Offer(t.Answer(msg("button.yes-remove"), "remove", "keep"), t.Answer(msg("button.keep"), "remove", "stay"))
			return
		}
	}
	t.SayMsg("press.gone")
}

// remove takes a person out of the household in every chat but a group, of
// which the person may still be part. What the person invited others with is
// taken back too.
func remove(t *talk.Turn, person string) {
	i := talk.CarerIn(t.Home.Carers, person)
	if talk.Gone(t, i < 0) {
		return
	}
	name := t.Home.Carers[i].Name
	group := inGroup(t)
	theirs := slices.DeleteFunc(talk.Others(t), func(m store.Member) bool { return m.Person != person })
	rest := slices.DeleteFunc(talk.Others(t), func(m store.Member) bool { return m.Person == person })
	talk.DropMembers(t, theirs)
	talk.DropCarers(t, func(p string) bool { return p == person })
	t.Changed = true
	me := talk.NameOf(t, t.Event.Person)
	t.Tell(theirs, say.Reply{Body: []say.Block{say.Para(msg("carers.you-removed", "by", me))}})
	t.Tell(rest, say.Reply{Body: []say.Block{say.Para(msg("carers.removed-by", "name", name, "by", me))}})
	extra := say.Where(group, msg("carers.removed-group", "name", name))
	t.Say(say.Para(msg("carers.removed", "name", name)), say.Para(extra))
}

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
func besides(t *talk.Turn) []store.Member {
	return slices.DeleteFunc(talk.Others(t), func(m store.Member) bool { return m.Person == t.Event.Person })
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
	talk.Leave(t)
	t.Say(say.Para(done), say.Para(backupsText(t)))
}

// backupsText says until when backups have what was erased.
func backupsText(t *talk.Turn) string {
	if t.BackupsUntil == nil {
		return msg("erase.copies")
	}
	return msg("erase.backups", "until", t.BackupsUntil(t.Event.At).In(t.Event.At.Location()).Format("Mon 2 Jan 2006"))
}

package bot

import (
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/planner"
	"bowlwright/store"
)

// showCarers says who feeds the dogs of the household, and who is invited.
func (t *turn) showCarers(head string) {
	var names []string
	for _, c := range t.home.Carers {
		if c.Person == t.event.Person {
			names = append(names, msg("carers.you", "name", c.Name))
			continue
		}
		names = append(names, c.Name)
	}
	blocks := []Block{para(head), para(msg("carers.list", "n", len(names), "names", list(names))), para(t.holds())}
	if t.inGroup() {
		blocks = append(blocks, para(msg("carers.group")))
	}
	r := t.say(append(blocks, para(t.invitesText()))...)
	r.offer(t.button(msg("button.invite"), "carers", "invite"))
	t.offerTakeBack(r)
	t.offerRemove(r)
	if t.canLeave() {
		r.offer(t.button(msg("button.leave"), "carers", "leave"))
	}
}

// inGroup reports whether a group is this household, or one of its chats.
func (t *turn) inGroup() bool {
	for _, m := range t.others() {
		if m.Person == "" {
			return true
		}
	}
	return t.event.Group
}

// holds says what the household has, empty where it has nothing.
func (t *turn) holds() string {
	what := thingsOf(t.home)
	if what == "" {
		return ""
	}
	return msg("carers.holds", "what", what)
}

// thingsOf lists what a household has: "Juniper, Bracken and 2 recipes".
func thingsOf(h *planner.Household) string {
	var what []string
	for i := range h.Dogs {
		what = append(what, h.Dogs[i].Name)
	}
	if n := len(h.Recipes); n > 0 {
		what = append(what, msg("carers.recipes", "n", n))
	}
	if n := len(h.Foods); n > 0 {
		what = append(what, msg("carers.foods", "n", n))
	}
	return list(what)
}

// offerRemove offers to remove each of the others, as far as there is room.
func (t *turn) offerRemove(r *Reply) {
	const most = 8
	for _, c := range t.home.Carers[:min(len(t.home.Carers), most+1)] {
		if c.Person != t.event.Person {
			r.offer(t.button(msg("button.remove-carer", "name", c.Name), "carers", "remove", carerCode(c.Person)))
		}
	}
}

// pressCarers does what a button about carers asks. What cannot be taken back
// is only asked here: the answer belongs to the open question, so that an old
// button does no harm.
func (t *turn) pressCarers(args []string) {
	switch arg(args, 0) {
	case "show":
		t.showCarers("")
	case "today":
		t.goTo(read.Sentence{Intent: read.Today})
	case "invite":
		t.invite("")
	case "take-back":
		t.takeBack(arg(args, 1))
	case "leave":
		t.askLeave()
	case "remove":
		t.askRemove(arg(args, 1))
	default:
		t.sayMsg("press.stale")
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

// carersDialogue takes the answer to such a question. Anything but an answer
// closes it and is answered for itself.
func (t *turn) carersDialogue(in answer) {
	var d carersDraft
	t.draft(&d)
	step, said := t.talk.Step, sureWord(in)
	late := t.event.At.Sub(d.Asked) > sureFor
	t.endDialogue()
	switch {
	case said == "" && in.press == "":
		t.routeWords(in.text)
	case said == "" || late:
		t.sayMsg("press.stale")
	case said == "stay":
		t.sayMsg("carers.stays")
	case step == "join":
		t.joinSure(d, said == "delete")
	case step == "leave":
		t.leave(said == "delete")
	case step == "remove":
		t.remove(d.Who)
	}
}

// sureWord reads an answer: keep (which is yes), delete or stay; empty where
// it is none of them.
func sureWord(in answer) string {
	switch strings.ToLower(strings.Trim(in.value(), " .!")) {
	case "keep", "yes", "y", "join", "leave", "remove":
		return "keep"
	case "delete":
		return "delete"
	case "stay", "no", "n":
		return "stay"
	}
	return ""
}

func (t *turn) askRemove(code string) {
	for _, c := range t.home.Carers {
		if carerCode(c.Person) == code && c.Person != t.event.Person {
			t.ask("carers", "remove", carersDraft{Asked: t.event.At, Who: c.Person})
			t.sayMsg("carers.remove-sure", "name", c.Name).
				offer(t.answer(msg("button.yes-remove"), "remove", "keep"), t.answer(msg("button.keep"), "remove", "stay"))
			return
		}
	}
	t.sayMsg("press.gone")
}

// remove takes a person out of the household in every chat but a group, of
// which the person may still be part. What the person invited others with is
// taken back too.
func (t *turn) remove(person string) {
	i := carerIn(t.home.Carers, person)
	if i < 0 {
		t.sayMsg("press.gone")
		return
	}
	name := t.home.Carers[i].Name
	group := t.inGroup()
	var theirs, rest []store.Member
	for _, m := range t.others() {
		if m.Person != person {
			rest = append(rest, m)
			continue
		}
		theirs = append(theirs, m)
	}
	t.dropMembers(theirs)
	t.dropCarers(func(p string) bool { return p == person })
	t.changed = true
	me := t.nameOf(t.event.Person)
	t.tell(theirs, Reply{Body: []Block{para(msg("carers.you-removed", "by", me))}})
	t.tell(rest, Reply{Body: []Block{para(msg("carers.removed-by", "name", name, "by", me))}})
	extra := ""
	if group {
		extra = msg("carers.removed-group", "name", name)
	}
	t.say(para(msg("carers.removed", "name", name)), para(extra))
}

// dropMembers takes members out of the household, with what they were in the
// middle of.
func (t *turn) dropMembers(members []store.Member) {
	for _, m := range members {
		t.do(func(tx store.Tx) error {
			if err := tx.DeleteDialogue(m.Chat, m.Person); err != nil {
				return err
			}
			return tx.DeleteMember(m.Chat, m.Person)
		})
	}
}

// mostGone is how many former carers a household remembers.
const mostGone = 50

// dropCarers moves carers to those who are gone, and takes back what they
// invited others with.
func (t *turn) dropCarers(out func(person string) bool) {
	var kept []planner.Carer
	for _, c := range t.home.Carers {
		if out(c.Person) {
			t.home.Gone = append(t.home.Gone, c)
			delete(t.home.Came, c.Person)
			continue
		}
		kept = append(kept, c)
	}
	t.home.Carers = kept
	t.home.Gone = t.home.Gone[max(0, len(t.home.Gone)-mostGone):]
	for _, i := range t.invites() {
		if out(i.By) {
			t.do(func(tx store.Tx) error { return tx.DeleteInvite(i.Key) })
		}
	}
}

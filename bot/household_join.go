package bot

import (
	"regexp"
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/planner"
	"bowlwright/store"
)

// payloadForm is what the payload of a link can be.
var payloadForm = regexp.MustCompile(`^[A-Za-z0-9_-]{1,64}$`)

// startCommand greets, or follows the link whose payload comes with it.
func (t *turn) startCommand(payload string) {
	switch {
	case payload == "":
		t.goTo(read.Sentence{Intent: read.WhoAreYou})
	case payloadForm.MatchString(payload) && strings.HasPrefix(payload, joinPrefix):
		t.followInvite(inviteKey(payload))
	default:
		t.sayMsg("start.unknown").offer(t.button(msg("button.help"), "help"))
	}
}

// followInvite brings the person to the household of an invitation. Who has
// something in another household is asked first.
func (t *turn) followInvite(key string) {
	i, target := t.invitation(key)
	switch {
	case t.err != nil:
	case i.Household == t.home.ID && !t.joins:
		t.sayMsg("join.already")
	case target == nil:
		t.sayMsg("join.closed").offer(t.button(msg("button.help"), "help"))
	case i.Household != t.home.ID && t.member != "" && thingsOf(t.home) != "":
		t.askJoin(i, target)
	default:
		t.join(i, target, false)
	}
}

// invitation reads an invitation and its household. The household is nil
// where the person cannot use the invitation, for whatever reason, so that
// nothing is told to somebody who tries.
func (t *turn) invitation(key string) (store.Invite, *planner.Household) {
	i, err := t.tx.Invite(key)
	if err != nil {
		if !isNotFound(err) {
			t.fail(err)
		}
		return store.Invite{}, nil
	}
	if i.Used != "" || !t.event.At.Before(i.Expires) || i.Only != "" && i.Only != t.event.Person {
		return i, nil
	}
	h, err := t.tx.Household(i.Household)
	if err != nil {
		if !isNotFound(err) {
			t.fail(err)
		}
		return i, nil
	}
	return i, h
}

func (t *turn) askJoin(i store.Invite, target *planner.Household) {
	t.ask("carers", "join", carersDraft{Asked: t.event.At, Key: i.Key})
	first := msg("join.sure", "name", carersOf(target), "what", thingsOf(t.home))
	if t.event.Group {
		first = msg("join.sure-group", "name", carersOf(target), "what", thingsOf(t.home))
	}
	if len(t.others()) > 0 {
		t.say(para(first), para(msg("join.leaves"))).
			offer(t.answer(msg("button.join"), "join", "keep"), t.answer(msg("button.stay"), "join", "stay"))
		return
	}
	t.say(para(first), para(msg("join.last", "days", keptDays))).
		offer(t.answer(msg("button.join-keep", "days", keptDays), "join", "keep")).
		offer(t.answer(msg("button.join-delete"), "join", "delete"), t.answer(msg("button.stay"), "join", "stay"))
}

// carersOf names those who care in a household, where nobody does any more
// those who did last.
func carersOf(h *planner.Household) string {
	var names []string
	for _, c := range h.Carers {
		names = append(names, c.Name)
	}
	if len(names) == 0 && len(h.Gone) > 0 {
		names = []string{h.Gone[len(h.Gone)-1].Name}
	}
	return list(names)
}

// joinSure joins after the question.
func (t *turn) joinSure(d carersDraft, forget bool) {
	i, target := t.invitation(d.Key)
	switch {
	case t.err != nil:
	case target == nil:
		t.sayMsg("join.closed").offer(t.button(msg("button.help"), "help"))
	default:
		t.join(i, target, forget)
	}
}

// join moves the person from the household of the turn to that of an
// invitation, and uses the invitation up.
func (t *turn) join(i store.Invite, target *planner.Household, forget bool) {
	said := Reply{}
	if target.ID != t.home.ID {
		said = t.depart(forget)
		unfinished := t.portable()
		t.home, t.newcomer = target, false
		t.joins, t.changed, t.before, t.popped = true, true, nil, false
		t.talk = talk{Parked: unfinished}
		t.enter()
		t.cameByInvite(i)
	}
	used := i
	used.Used = t.event.Person
	t.effects = append(t.effects, effect{inviteMoved(i), func(tx store.Tx) error { return tx.PutInvite(used) }})
	with := t.others()
	first := msg("join.back")
	if names := t.othersNames(); names != "" {
		first = msg("join.done", "name", names)
	}
	caution := ""
	if t.member == "" {
		caution = msg("caution.first-use") // nobody has told this person yet
	}
	r := t.say(para(first), para(t.holds()), para(caution))
	r.offer(t.button(msg("button.today"), "carers", "today"), t.button(msg("button.carers"), "carers", "show"))
	if t.talk.Parked != nil {
		r.offer(t.button(msg("button.go-on-parked"), "resume"))
	}
	if len(said.Body) > 0 {
		t.replies = append(t.replies, said)
	}
	news := Reply{Body: []Block{para(msg("join.told", "name", t.nameOf(t.event.Person), "by", t.nameOf(i.By)))}}
	news.offer(t.button(msg("button.carers"), "carers", "show"))
	t.tell(with, news)
}

// portable is what was being typed, where it means the same in another
// household: a new dog, or a new recipe of foods that every household has.
func (t *turn) portable() *parked {
	t.park()
	p := t.talk.Parked
	if p == nil || len(t.home.Foods) > 0 {
		return nil
	}
	if ok := t.reg.forms[p.Kind].Portable; ok == nil || !ok(p.Draft) {
		return nil
	}
	return p
}

// othersNames names the other carers of the household.
func (t *turn) othersNames() string {
	var names []string
	for _, c := range t.home.Carers {
		if c.Person != t.event.Person {
			names = append(names, c.Name)
		}
	}
	return list(names)
}

// keptDays is how long a household that nobody belongs to any more is kept.
const keptDays = 30

// canLeave reports whether there is anything to leave.
func (t *turn) canLeave() bool {
	return t.member != "" && (len(t.others()) > 0 || thingsOf(t.home) != "")
}

func (t *turn) askLeave() {
	what := thingsOf(t.home)
	last := len(t.others()) == 0
	if !t.canLeave() {
		t.sayMsg("leave.nothing")
		return
	}
	t.ask("carers", "leave", carersDraft{Asked: t.event.At})
	if !last {
		first := msg("leave.sure", "name", t.othersNames())
		if t.event.Group {
			first = msg("leave.sure-group")
		}
		t.say(para(first)).
			offer(t.answer(msg("button.leave"), "leave", "keep"), t.answer(msg("button.stay"), "leave", "stay"))
		return
	}
	first := msg("leave.last", "what", what, "days", keptDays)
	if t.event.Group {
		first = msg("leave.last-group", "what", what, "days", keptDays)
	}
	t.say(para(first)).
		offer(t.answer(msg("button.leave-keep", "days", keptDays), "leave", "keep")).
		offer(t.answer(msg("button.leave-delete"), "leave", "delete"), t.answer(msg("button.stay"), "leave", "stay"))
}

// leave ends the person's part in the household.
func (t *turn) leave(forget bool) {
	said := t.depart(forget)
	t.leaves, t.joins, t.changed, t.before = true, false, false, nil
	said.Body = append([]Block{para(msg("leave.done"))}, said.Body...)
	t.replies = append(t.replies, said)
}

// depart takes the member of this event out of the household, and says what
// becomes of one that nobody belongs to any more: it is deleted where forget
// is set or nothing is in it, else kept for keptDays with a way back for this
// person alone. A household that was never stored is simply let go.
func (t *turn) depart(forget bool) (said Reply) {
	if t.member == "" {
		return said
	}
	old, at := t.home, t.event.At
	id, rev, absent := old.ID, t.rev, t.newcomer
	rest, what := t.others(), thingsOf(old)
	name := t.nameOf(t.event.Person)
	t.dropCarers(func(person string) bool { return !belongs(rest, person) })
	old.Rev = rev + 1
	ending := time.Time{}
	switch {
	case len(rest) > 0:
		news := msg("leave.told", "name", name)
		if t.event.Group {
			news = msg("leave.told-group", "name", name)
		}
		t.tell(rest, Reply{Body: []Block{para(news)}})
	case forget || what == "":
		if what != "" {
			said.Body = []Block{para(msg("leave.deleted", "what", what))}
		}
		t.effects = append(t.effects, effect{stands(id, rev, absent), func(tx store.Tx) error { return tx.DeleteHousehold(id) }})
		return said
	default:
		ending = at.AddDate(0, 0, keptDays)
		said = t.wayBack(ending, what)
	}
	t.effects = append(t.effects, effect{stands(id, rev, absent), func(tx store.Tx) error {
		if err := tx.PutEnding(id, ending); err != nil {
			return err
		}
		return tx.PutHousehold(old)
	}})
	return said
}

// stands is the check that a household has not moved since it was read.
func stands(id string, rev uint64, absent bool) func(store.Tx) (bool, error) {
	return func(tx store.Tx) (bool, error) { return homeMoved(tx, id, rev, absent) }
}

// belongs reports whether a person is among some members; in a group anybody
// may be.
func belongs(members []store.Member, person string) bool {
	for _, m := range members {
		if m.Person == person || m.Person == "" {
			return true
		}
	}
	return false
}

// wayBack makes the invitation by which the last carer can come back.
func (t *turn) wayBack(until time.Time, what string) Reply {
	payload := newPayload()
	i := store.Invite{
		Key: inviteKey(payload), Household: t.home.ID, By: t.event.Person, Only: t.event.Person, Expires: until.UTC(),
	}
	t.do(func(tx store.Tx) error { return tx.PutInvite(i) })
	return Reply{Body: []Block{para(msg("leave.kept", "what", what, "until", until.Format("Mon 2 Jan 2006")))}, Start: payload}
}

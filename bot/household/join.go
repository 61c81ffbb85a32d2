package household

import (
	"regexp"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
)

// payloadForm is what the payload of a link can be.
var payloadForm = regexp.MustCompile(`^[A-Za-z0-9_-]{1,64}$`)

// startCommand greets, or follows a link by its payload.
func startCommand(t *talk.Turn, payload string) {
	switch {
	case payload == "":
		t.GoTo(read.Sentence{Intent: read.WhoAreYou})
	case payloadForm.MatchString(payload) && strings.HasPrefix(payload, joinPrefix):
		followInvite(t, inviteKey(payload), false, false)
	default:
		if opened := (talk.LinkOpened{Payload: payload}); payloadForm.MatchString(payload) {
			if t.Happened(&opened); opened.Taken {
				return
			}
		}
		t.SayMsg("start.unknown").Offer(t.Button(msg("button.help"), "help"))
	}
}

// followInvite brings the person to the household of an invitation. Who has
// something in another household is asked first, and says whether to forget it.
func followInvite(t *talk.Turn, key string, sure, forget bool) {
	i, target := invitation(t, key)
	switch {
	case t.Err != nil:
	case i.Household == t.Home.ID && !t.Joins:
		t.SayMsg("join.already")
	case target == nil:
		t.SayMsg("join.closed").Offer(t.Button(msg("button.help"), "help"))
	case !sure && i.Household != t.Home.ID && t.Member != "" && thingsOf(t.Home) != "":
		askJoin(t, i, target)
	default:
		join(t, i, target, forget)
	}
}

// invitation reads an invitation and its household. The household is nil if the
// person cannot use the invitation, whatever the reason: nobody learns anything
// by trying.
func invitation(t *talk.Turn, key string) (store.Invite, *planner.Household) {
	i, err := t.Snap.Invite(key)
	if !talk.Found(t, err) {
		return store.Invite{}, nil
	}
	if i.Used != "" || !t.Event.At.Before(i.Expires) || i.Only != "" && i.Only != t.Event.Person {
		return i, nil
	}
	h, err := t.Snap.Household(i.Household)
	if !talk.Found(t, err) {
		return i, nil
	}
	return i, h
}

func askJoin(t *talk.Turn, i store.Invite, target *planner.Household) {
	t.Ask("carers", "join", carersDraft{Asked: t.Event.At, Key: i.Key})
	first := say.Choose(t.Event.Group, msg("join.sure-group", "name", carersOf(target), "what", thingsOf(t.Home)), msg("join.sure", "name", carersOf(target), "what", thingsOf(t.Home)))
	if len(talk.Others(t)) > 0 {
		t.Say(say.Para(first), say.Para(msg("join.leaves"))).
			Offer(t.Answer(msg("button.join"), "join", "keep"), t.Answer(msg("button.stay"), "join", "stay"))
		return
	}
	t.Say(say.Para(first), say.Para(msg("join.last", "days", keptDays))).
		Offer(t.Answer(msg("button.join-keep", "days", keptDays), "join", "keep")).
		Offer(t.Answer(msg("button.join-delete"), "join", "delete"), t.Answer(msg("button.stay"), "join", "stay"))
}

// carersOf names a household's carers or, if all have left, the last ones.
func carersOf(h *planner.Household) string {
	carers := h.Carers
	if len(carers) == 0 {
		carers = h.Gone[max(0, len(h.Gone)-1):]
	}
	return say.ListOf(carers, func(c planner.Carer) string { return c.Name })
}

// join moves the person from the household of the turn to that of an
// invitation, and uses the invitation up.
func join(t *talk.Turn, i store.Invite, target *planner.Household, forget bool) {
	said := say.Reply{}
	if target.ID != t.Home.ID {
		said = depart(t, forget)
		unfinished := talk.Portable(t)
		t.Home, t.Newcomer = target, false
		t.Joins, t.Changed, t.Before, t.Popped = true, true, nil, false
		t.Talk = talk.Conversation{Parked: unfinished}
		talk.Enter(t)
		talk.CameByInvite(t, i)
	}
	t.Expect(store.InviteIs(i))
	used := i
	used.Used = t.Event.Person
	t.Write(store.PutInvite(used))
	with := talk.Others(t)
	names := othersNames(t)
	first := say.Choose(names == "", msg("join.back"), msg("join.done", "name", names))
	caution := say.Where(t.Member == "", msg("caution.first-use")) // nobody has told this person yet
	r := t.Say(say.Para(first), say.Para(holds(t)), say.Para(caution))
	r.Offer(t.Button(msg("button.today"), "carers", "today"), t.Button(msg("button.carers"), "carers", "show"))
	if t.Talk.Parked != nil {
		r.Offer(t.Button(msg("button.go-on-parked"), "resume"))
	}
	if len(said.Body) > 0 {
		t.Replies = append(t.Replies, said)
	}
	news := say.Reply{Body: []say.Block{say.Para(msg("join.told", "name", talk.NameOf(t, t.Event.Person), "by", talk.NameOf(t, i.By)))}}
	news.Offer(t.Button(msg("button.carers"), "carers", "show"))
	t.Tell(with, news)
}

// othersNames names the other carers of the household.
func othersNames(t *talk.Turn) string {
	others := slices.DeleteFunc(slices.Clone(t.Home.Carers), func(c planner.Carer) bool { return c.Person == t.Event.Person })
	return say.ListOf(others, func(c planner.Carer) string { return c.Name })
}

// keptDays is how long a household that nobody belongs to any more is kept.
const keptDays = 30

// canLeave reports whether there is anything to leave.
func canLeave(t *talk.Turn) bool {
	return t.Member != "" && (len(talk.Others(t)) > 0 || thingsOf(t.Home) != "")
}

func askLeave(t *talk.Turn) {
	what := thingsOf(t.Home)
	last := len(talk.Others(t)) == 0
	if !canLeave(t) {
		t.SayMsg("leave.nothing")
		return
	}
	t.Ask("carers", "leave", carersDraft{Asked: t.Event.At})
	if !last {
		first := say.Choose(t.Event.Group, msg("leave.sure-group"), msg("leave.sure", "name", othersNames(t)))
		t.Say(say.Para(first)).
			Offer(t.Answer(msg("button.leave"), "leave", "keep"), t.Answer(msg("button.stay"), "leave", "stay"))
		return
	}
	first := say.Choose(t.Event.Group, msg("leave.last-group", "what", what, "days", keptDays), msg("leave.last", "what", what, "days", keptDays))
	t.Say(say.Para(first)).
		Offer(t.Answer(msg("button.leave-keep", "days", keptDays), "leave", "keep")).
		Offer(t.Answer(msg("button.leave-delete"), "leave", "delete"), t.Answer(msg("button.stay"), "leave", "stay"))
}

// leave ends the person's part in the household.
func leave(t *talk.Turn, forget bool) {
	said := depart(t, forget)
	talk.Leave(t)
	t.Replies = append(t.Replies, *said.Begin(msg("leave.done")))
}

// depart takes the member of this event out of the household, and says what
// becomes of a household without members: it is deleted if forget is set or
// nothing is in it, else kept for keptDays with a way back for this person
// alone. One that was never stored is simply let go.
func depart(t *talk.Turn, forget bool) (said say.Reply) {
	if t.Member == "" {
		return said
	}
	old, at := t.Home, t.Event.At
	stands := store.HouseholdAt{ID: old.ID, Rev: t.Rev, None: t.Newcomer}
	rest, what := talk.Others(t), thingsOf(old)
	name := talk.NameOf(t, t.Event.Person)
	talk.DropCarers(t, func(person string) bool { // but for those who are there still; in a group anybody may be
		return !slices.ContainsFunc(rest, func(m store.Member) bool { return m.Person == person || m.Person == "" })
	})
	old.Rev = t.Rev + 1
	ending := time.Time{}
	switch {
	case len(rest) > 0:
		news := say.Choose(t.Event.Group, msg("leave.told-group", "name", name), msg("leave.told", "name", name))
		t.Tell(rest, say.Reply{Body: []say.Block{say.Para(news)}})
	case forget || what == "":
		if what != "" {
			said.Body = []say.Block{say.Para(msg("erase.done")), say.Para(backupsText(t))}
		}
		writes, err := store.EraseHousehold(t.Snap, old.ID, at)
		t.Fail(err)
		t.Expect(stands)
		t.Write(writes...)
		return said
	default:
		ending = at.AddDate(0, 0, keptDays)
		said = wayBack(t, ending, what)
	}
	t.Expect(stands)
	t.Write(store.PutEnding{Household: old.ID, At: ending}, store.PutHousehold{Household: old})
	return said
}

// wayBack makes the invitation by which the last carer can come back.
func wayBack(t *talk.Turn, until time.Time, what string) say.Reply {
	payload := Token(joinPrefix, tokenSize)
	i := store.Invite{
		Key: inviteKey(payload), Household: t.Home.ID, By: t.Event.Person, Only: t.Event.Person, Expires: until.UTC(),
	}
	t.Write(store.PutInvite(i))
	return say.Reply{Body: []say.Block{say.Para(msg("leave.kept", "what", what, "until", until.Format("Mon 2 Jan 2006")))}, Start: payload}
}

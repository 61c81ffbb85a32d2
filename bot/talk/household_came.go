package talk

import (
	"context"
	"time"

	"bowlwright/bot/say"
	"bowlwright/planner"
	"bowlwright/store"
)

// A carer who came to a household by a group loses it with the group; one who
// came by an invitation keeps it. Where it is not known how somebody came, the
// others are asked.

// cameBy notes by which chat a carer came.
func (t *Turn) cameBy(person, chat string) {
	if t.Home.Came == nil {
		t.Home.Came = map[string]string{}
	}
	t.Home.Came[person] = chat
}

// CameByInvite notes how the person came who follows an invitation. An
// invitation made in a group may have been passed on to somebody outside, so
// this is not known before the adapter has looked (StillIn).
func CameByInvite(t *Turn, i store.Invite) {
	switch {
	case t.Event.Group:
	case i.Group == "":
		t.cameBy(t.Event.Person, t.Event.Chat)
	case t.Home.Came[t.Event.Person] != i.Group:
		delete(t.Home.Came, t.Event.Person)
	}
}

// GroupOf returns the group in which a person has to be to belong to the
// household of a chat; empty where there is none.
func (a *Assistant) GroupOf(ctx context.Context, chat, person string) (group string, err error) {
	snap, err := a.store.Read(ctx)
	if err != nil {
		return "", err
	}
	defer snap.Close()
	home, err := homeOf(snap, chat, person)
	if home == nil {
		return "", err
	}
	came, known := home.Came[person]
	members, err := snap.Members(home.ID)
	for _, m := range members {
		if m.Person == "" && (!known || m.Chat == came) {
			group = m.Chat
		}
	}
	return group, err
}

// homeOf is the household of a person in a chat, nil where there is none.
func homeOf(snap store.Snapshot, chat, person string) (*planner.Household, error) {
	id, err := snap.Member(chat, person)
	var home *planner.Household
	if err == nil {
		home, err = snap.Household(id)
	}
	return home, store.OrNone(err)
}

// StillIn notes that a person is in a group: who has come by a link that was
// made there came by the group.
func (a *Assistant) StillIn(ctx context.Context, group, person string, at time.Time) error {
	return a.aboutGroup(ctx, group, at, func(t *Turn) {
		if _, known := t.Home.Came[person]; known {
			return
		}
		for _, i := range Invites(t) {
			if i.Used == person && i.Group == group {
				t.cameBy(person, group)
				t.Changed = true
			}
		}
	})
}

// LeftGroup takes a person who has left a group out of its household, if the
// person came by the group. Where that is not known, it asks the others, once.
func (a *Assistant) LeftGroup(ctx context.Context, group, person string, at time.Time) error {
	return a.aboutGroup(ctx, group, at, func(t *Turn) { t.leftGroup(group, person) })
}

func (t *Turn) leftGroup(group, person string) {
	i := CarerIn(t.Home.Carers, person)
	if i < 0 {
		return
	}
	name := t.Home.Carers[i].Name
	var theirs, rest []store.Member
	for _, m := range Others(t) {
		if m.Person == person {
			theirs = append(theirs, m)
		} else {
			rest = append(rest, m)
		}
	}
	came, known := t.Home.Came[person]
	switch {
	case len(theirs) == 0: // a carer by what was said in the group alone
		DropCarers(t, func(p string) bool { return p == person })
	case came == group:
		DropMembers(t, theirs)
		DropCarers(t, func(p string) bool { return p == person })
		t.Tell(theirs, say.Reply{Body: []say.Block{say.Para(msg("group.you-left"))}})
		t.Tell(rest, say.Reply{Body: []say.Block{say.Para(msg("group.left", "name", name))}})
	case !known:
		t.cameBy(person, theirs[0].Chat) // so that it is asked once
		ask := say.Reply{Body: []say.Block{say.Para(msg("group.left-ask", "name", name))}}
		ask.Offer(t.Button(msg("button.remove-carer", "name", name), "carers", "remove", CarerCode(person)))
		t.Tell(rest, ask)
	default:
		return
	}
	t.Changed = true
}

// aboutGroup changes the household of a group though nobody has said anything.
func (a *Assistant) aboutGroup(ctx context.Context, group string, at time.Time, change func(*Turn)) error {
	return store.Answer(ctx, a.store, func(snap store.Snapshot) (c store.Commit, err error) {
		home, err := homeOf(snap, group, "")
		if home == nil {
			return c, err
		}
		t := a.nobodysTurn(ctx, snap, home, at)
		t.Event.ID = "group/" + group
		change(t)
		if t.Err != nil || !t.Changed {
			return c, t.Err
		}
		t.Expect(store.MemberOf{Chat: group, Household: home.ID}, t.homeStands())
		for _, m := range t.told {
			t.enqueue(m.chat, m.reply)
		}
		t.keepHome()
		return store.Commit{Expect: t.expect, Writes: t.writes}, t.Err
	})
}

// MoveChat goes on with a chat under another name, as when a group becomes
// another kind of group; nothing of it is lost.
func (a *Assistant) MoveChat(ctx context.Context, from, to string) error {
	return store.Answer(ctx, a.store, func(snap store.Snapshot) (c store.Commit, err error) {
		c.Writes = []store.Write{store.MoveChat{From: from, To: to}}
		home, err := homeOf(snap, from, "")
		if home == nil && err == nil {
			home, err = homeOf(snap, to, "") // it was moved before
		}
		if home == nil {
			return c, err
		}
		c.Expect = []store.Expectation{store.HouseholdAt{ID: home.ID, Rev: home.Rev}}
		invites, err := snap.Invites(home.ID)
		for _, i := range invites {
			if i.Group == from {
				i.Group = to
				c.Writes = append(c.Writes, store.PutInvite(i))
			}
		}
		changed := false
		for person, came := range home.Came {
			if came == from {
				home.Came[person], changed = to, true
			}
		}
		if changed {
			home.Rev++
			c.Writes = append(c.Writes, store.PutHousehold{Household: home})
		}
		return c, err
	})
}

// Invites are the invitations of the household, open or not.
func Invites(t *Turn) []store.Invite {
	all, err := t.Snap.Invites(t.Home.ID)
	t.Fail(err)
	return all
}

// Portable is what was being typed, if it means the same in another household:
// a new dog, or a new recipe of foods that every household has.
func Portable(t *Turn) *parked {
	t.park()
	p := t.Talk.Parked
	if p == nil || len(t.Home.Foods) > 0 {
		return nil
	}
	if ok := t.reg.Forms[p.Kind].Portable; ok == nil || !ok(p.Draft) {
		return nil
	}
	return p
}

// DropMembers takes members out of the household, with their open dialogues.
func DropMembers(t *Turn, members []store.Member) {
	for _, m := range members {
		t.Write(store.PutDialogue{Chat: m.Chat, Person: m.Person}, store.PutMember{Chat: m.Chat, Person: m.Person})
	}
}

// mostGone is how many former carers a household remembers (our own choice).
const mostGone = 50

// DropCarers moves carers to those who are gone, and takes back their
// invitations.
func DropCarers(t *Turn, out func(person string) bool) {
	var kept []planner.Carer
	for _, c := range t.Home.Carers {
		if out(c.Person) {
			t.Home.Gone = append(t.Home.Gone, c)
			delete(t.Home.Came, c.Person)
			continue
		}
		kept = append(kept, c)
	}
	t.Home.Carers = kept
	t.Home.Gone = t.Home.Gone[max(0, len(t.Home.Gone)-mostGone):]
	for _, i := range Invites(t) {
		if out(i.By) {
			t.Write(store.DeleteInvite(i.Key))
		}
	}
}

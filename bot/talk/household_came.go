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
	err = a.store.View(ctx, func(tx store.Tx) error {
		home, err := homeOf(tx, chat, person)
		if home == nil {
			return err
		}
		came, known := home.Came[person]
		members, err := tx.Members(home.ID)
		for _, m := range members {
			if m.Person == "" && (!known || m.Chat == came) {
				group = m.Chat
			}
		}
		return err
	})
	return group, err
}

// homeOf is the household of a person in a chat, nil where there is none.
func homeOf(tx store.Tx, chat, person string) (*planner.Household, error) {
	id, err := tx.Member(chat, person)
	var home *planner.Household
	if err == nil {
		home, err = tx.Household(id)
	}
	if IsNotFound(err) {
		return nil, nil
	}
	return home, err
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
	for _, m := range t.Others() {
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
	return a.store.Update(ctx, func(tx store.Tx) error {
		home, err := homeOf(tx, group, "")
		if home == nil {
			return err
		}
		t := a.nobodysTurn(ctx, tx, home, at)
		t.Event.ID = "group/" + group
		change(t)
		if t.Err != nil || !t.Changed {
			return t.Err
		}
		for _, e := range t.Effects {
			if err := e.Write(tx); err != nil {
				return err
			}
		}
		for _, m := range t.told {
			if err := t.enqueue(tx, m.chat, m.reply); err != nil {
				return err
			}
		}
		return t.writeHome(tx)
	})
}

// MoveChat goes on with a chat under another name, as when a group becomes
// another kind of group; nothing of it is lost.
func (a *Assistant) MoveChat(ctx context.Context, from, to string) error {
	return a.store.Update(ctx, func(tx store.Tx) error {
		if err := tx.MoveChat(from, to); err != nil {
			return err
		}
		home, err := homeOf(tx, to, "")
		if home == nil {
			return err
		}
		invites, err := tx.Invites(home.ID)
		if err != nil {
			return err
		}
		for _, i := range invites {
			if i.Group == from {
				i.Group = to
				if err := tx.PutInvite(i); err != nil {
					return err
				}
			}
		}
		changed := false
		for person, came := range home.Came {
			if came == from {
				home.Came[person], changed = to, true
			}
		}
		if !changed {
			return nil
		}
		home.Rev++
		return tx.PutHousehold(home)
	})
}

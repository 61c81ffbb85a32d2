package talk

import (
	"cmp"
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/planner"
	"bowlwright/store"
)

// told is a reply to another chat than that of the event.
type told struct {
	chat  string
	reply say.Reply
}

// memberPerson is under whose name membership is kept: a group belongs to a
// household as a whole.
func (e *Event) memberPerson() string {
	return say.Where(!e.Group, e.Person)
}

// Meant reports whether an event is for the assistant. In a group that is a
// press, what is addressed to it, and a command that it has.
func (e *Event) Meant(commands map[string]Command) bool {
	if !e.Group || e.Press != "" || e.Addressed {
		return true
	}
	text := strings.TrimSpace(e.Text)
	if !strings.HasPrefix(text, "/") {
		return false
	}
	name, _ := CutWord(text[1:])
	_, known := commands[strings.ToLower(name)]
	return known || isStop(name)
}

// newHome is the household of a person who belongs to none: the one that the
// adapter names, unless the person has left it or was removed or it is there no
// more, else a new one.
func (t *Turn) newHome() (string, error) {
	if t.Event.Home == "" {
		return freshID(), nil
	}
	h, err := t.Snap.Household(t.Event.Home)
	if err != nil && !store.IsNotFound(err) {
		return "", err
	}
	if h == nil || CarerIn(h.Gone, t.Event.Person) >= 0 {
		return freshID(), nil
	}
	return t.Event.Home, nil
}

func freshID() string { return strings.ToLower(rand.Text()[:16]) }

// CarerIn is where a person is in a list, -1 where it is not.
func CarerIn(carers []planner.Carer, person string) int {
	return slices.IndexFunc(carers, func(c planner.Carer) bool { return c.Person == person })
}

// joinCarer notes the person among the household's carers, by the name that
// the person has now, or has told.
func (t *Turn) joinCarer() {
	c := planner.Carer{Person: t.Event.Person, Name: CarerName(t.Event.Name)}
	i := CarerIn(t.Home.Carers, c.Person)
	switch {
	case i < 0:
		t.Home.Carers = append(t.Home.Carers, c)
		t.cameBy(c.Person, t.Event.Chat)
	case t.Home.Carers[i].Name != cmp.Or(t.Home.Carers[i].Called, c.Name):
		t.Home.Carers[i].Name = c.Name
	default:
		return
	}
	if i := CarerIn(t.Home.Gone, c.Person); i >= 0 {
		t.Home.Gone = append(t.Home.Gone[:i], t.Home.Gone[i+1:]...)
	}
	t.Changed = true
}

// longestName is how many characters of a carer's name are kept.
const longestName = 40

// CarerName is a name as typed, on one line, cut where it is too long.
func CarerName(s string) string {
	s = span.JoinFields(say.Printable(strings.ToValidUTF8(s, ""))) // nothing that reaches beyond the name
	return say.Cut(cmp.Or(s, msg("carer.nameless")), longestName)
}

// CarerCode names a carer in a button, whatever the adapter calls the person.
func CarerCode(person string) string {
	sum := sha256.Sum256([]byte(person))
	return hex.EncodeToString(sum[:6])
}

// keepMember keeps who belongs to the household in this chat.
func (t *Turn) keepMember() {
	m := store.PutMember{Chat: t.Event.Chat, Person: t.Event.memberPerson()}
	switch {
	case t.Leaves:
		t.Write(m)
	case t.Joins:
		m.Household = t.Home.ID
		t.Write(store.PutEnding{Household: t.Home.ID}, m)
	}
}

// Others are the members of the household besides the one of this event.
func Others(t *Turn) []store.Member {
	all, err := t.Snap.Members(t.Home.ID)
	t.Fail(err)
	return slices.DeleteFunc(all, func(m store.Member) bool { return m.Chat == t.Event.Chat && m.Person == t.Event.memberPerson() })
}

// Tell says something in the chats of some members, once in each.
func (t *Turn) Tell(members []store.Member, r say.Reply) {
	done := map[string]bool{t.Event.Chat: true}
	for _, m := range members {
		if !done[m.Chat] {
			done[m.Chat] = true
			t.told = append(t.told, told{m.Chat, r})
		}
	}
}

// doneBy says what a change was, by what the household was after it, and who made
// it where that was another.
func (t *Turn) doneBy(c store.Change, after *planner.Household) string {
	all := append([]store.Done{{Kind: c.Kind, About: c.About}}, c.Also...)
	done := say.ListOf(all, func(d store.Done) string { return t.Msg(d.Kind, "about", d.About) })
	told := ChangeTold{Change: c, After: after}
	if t.Happened(&told); told.Said != "" {
		done = msg("undo.what", "done", done, "what", told.Said)
	}
	if c.Person == t.Event.Person {
		return done
	}
	return msg("undo.by", "done", done, "name", NameOf(t, c.Person), "when", t.Clock(c.At))
}

// ByName begins what stands for who did something and is no carer, before the name.
const ByName = "by "

// NameOf is the name of a person who is or was a carer here, or did something here.
func NameOf(t *Turn, person string) string {
	if name, ok := strings.CutPrefix(person, ByName); ok {
		return name
	}
	if i := CarerIn(t.Home.Carers, person); i >= 0 {
		return t.Home.Carers[i].Name
	}
	if i := CarerIn(t.Home.Gone, person); i >= 0 {
		return t.Home.Gone[i].Name
	}
	return msg("carer.nameless")
}

// Clock prints an instant by the household's clock: the time alone today, the
// day with it otherwise.
func (t *Turn) Clock(at time.Time) string {
	at = at.In(t.Event.At.Location())
	return say.Choose(at.Format(time.DateOnly) == t.Event.At.Format(time.DateOnly), at.Format("15:04"), at.Format("Mon 2 Jan 15:04"))
}

// Forget deletes the households that everybody has left for as long as they
// were to be kept, in steps.
func (a *Assistant) Forget(ctx context.Context, now time.Time) error {
	return store.InSteps(ctx, a.store, func(snap store.Snapshot) (store.Commit, error) {
		ids, err := snap.Endings(now, 1)
		if err != nil || len(ids) == 0 {
			return store.Commit{}, err
		}
		return forget(snap, ids[0], now)
	})
}

// forgetStep is how many entries of a journal one step forgets.
const forgetStep = 1000

// forget is the next step of deleting a household, unless somebody belongs to it
// again. It ends with the household, so that what was broken off goes on.
func forget(snap store.Snapshot, id string, now time.Time) (c store.Commit, err error) {
	rev, err := snap.Revision(id)
	gone := store.IsNotFound(err)
	if err != nil && !gone {
		return c, err
	}
	c.Expect = []store.Expectation{store.HouseholdAt{ID: id, Rev: rev, None: gone}}
	members, err := snap.Members(id)
	if err != nil {
		return c, err
	}
	if len(members) > 0 {
		c.Writes = []store.Write{store.PutEnding{Household: id}}
		return c, nil
	}
	entries, err := snap.Entries(id, store.EntryQuery{Limit: forgetStep})
	for _, e := range entries {
		c.Writes = append(c.Writes, store.DeleteEntry{Household: id, ID: e.ID})
	}
	if err == nil && len(entries) < forgetStep {
		var rest []store.Write
		rest, err = store.EraseHousehold(snap, id, now)
		c.Writes = append(c.Writes, rest...)
	}
	return c, err
}

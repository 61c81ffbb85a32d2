package talk

import (
	"bowlwright/planner"
	"bowlwright/store"
)

// Invites are the invitations of the household, open or not.
func Invites(t *Turn) []store.Invite {
	all, err := t.Snap.Invites(t.Home.ID)
	if err != nil {
		t.Fail(err)
	}
	return all
}

// Portable is what was being typed, if it means the same in another household:
// a new dog, or a new recipe of foods that every household has.
func (t *Turn) Portable() *parked {
	t.park()
	p := t.Talk.Parked
	if p == nil || len(t.Home.Foods) > 0 {
		return nil
	}
	if ok := t.reg.forms[p.Kind].Portable; ok == nil || !ok(p.Draft) {
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

// mostGone is how many former carers a household remembers.
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

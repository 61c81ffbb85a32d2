package store

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"math"
	"slices"
	"strings"
	"time"
)

// Marks that stand among the handled events until their time has passed, as
// those do, and hold nothing of a person.
const (
	// CompactMark says that something was erased since the file was last made
	// anew: a store that keeps freed pages must make it anew before they are gone.
	CompactMark = "compact"
	erasedMark  = "erased/"
)

// keepErased is for how long it is remembered that something was erased, for a
// backup of before to be restored without it; our own choice.
const keepErased = 2 * 366 * 24 * time.Hour

// ErasedMark is the mark of a household that was erased, or of what one person
// was in a household that goes on. It is a hash: ids do not come back from it.
func ErasedMark(household, person string) string {
	sum := sha256.Sum256([]byte(household + "\x00" + person))
	return erasedMark + hex.EncodeToString(sum[:16])
}

// IsErasedMark reports that an event is such a mark.
func IsErasedMark(event string) bool { return strings.HasPrefix(event, erasedMark) }

// marks are what an erasure leaves behind.
func marks(household, person string, now time.Time) []Write {
	later := now.Add(keepErased)
	return []Write{MarkSeen{ErasedMark(household, person), later}, MarkSeen{CompactMark, later}}
}

// EraseHousehold is what takes a household out of the store wholly: also what
// is under way in its chats and said to them, and which of its reminders were
// said. Of what it published stays that it was withdrawn, and who keeps it, so
// that these can be told.
func EraseHousehold(snap Snapshot, id string, now time.Time) (out []Write, err error) {
	members, err := snap.Members(id)
	if err != nil {
		return nil, err
	}
	for _, m := range members {
		out = append(out, ForgetChat(m.Chat))
	}
	seen, err := snap.SeenBefore(farAway, math.MaxInt)
	for _, event := range seen {
		if strings.Contains(event, "/"+id+"/") {
			out = append(out, ForgetEvent(event))
		}
	}
	if err != nil {
		return nil, err
	}
	published, err := snap.PublishedBy(id)
	for _, p := range published {
		out = append(out, PutPublished{Rev: p.Rev + 1, Published: p.Forgotten(now)}, PutDue{Household: Errand(TellErrand, p.Token), At: now})
	}
	out = append(out, PutDue{Household: Errand(NewsErrand, id)})
	return append(append(out, DeleteHousehold(id)), marks(id, "", now)...), err
}

// farAway is after every time at which an event was handled.
var farAway = time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)

// ErasePerson is what takes a person out of a household that goes on: name and
// id, in its journal too. What the person recorded stays, entered by nobody.
// What can be taken back holds former names, so it goes; what the person
// published stays without its author's name.
func ErasePerson(snap Snapshot, household, person string, now time.Time) (out []Write, err error) {
	h, err := snap.Household(household)
	if err != nil {
		return nil, err
	}
	h.Forget(person)
	h.Rev++
	out = append(out, PutHousehold{h})
	members, err1 := snap.Members(household)
	for _, m := range members {
		if m.Person == person {
			out = append(out, ForgetChat(m.Chat), PutMember{Chat: m.Chat, Person: m.Person})
		}
		out = append(out, PutDialogue{Chat: m.Chat, Person: person}) // in a group
	}
	invites, err2 := snap.Invites(household)
	for _, i := range invites {
		if i.By == person || i.Used == person || i.Only == person {
			out = append(out, DeleteInvite(i.Key))
		}
	}
	published, err3 := snap.PublishedBy(household)
	for _, p := range published {
		if p.Person == person {
			p.Author, p.Person, p.Rev = "", "", p.Rev+1
			out = append(out, PutPublished(p))
		}
	}
	kept, err4 := snap.Reading(household)
	for _, r := range kept {
		mine := func(a Asked) bool { return a.Person == person }
		if asked := slices.DeleteFunc(slices.Clone(r.Asked), mine); len(asked) < len(r.Asked) {
			r.Asked = asked
			out = append(out, PutReader(r))
		}
	}
	for range MaxChanges {
		out = append(out, PopChange(household))
	}
	entries, err5 := snap.Entries(household, EntryQuery{})
	for _, e := range entries {
		if e.Person == person {
			e.Person = ""
			out = append(out, PutEntry{household, e})
		}
	}
	return append(out, marks(household, person, now)...), cmp.Or(err1, err2, err3, err4, err5)
}

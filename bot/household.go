package bot

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"bowlwright/planner"
	"bowlwright/store"
)

// effect is something that a turn does to another record than its household
// and its conversation.
type effect struct {
	// moved reports that what the effect rests on has changed since.
	moved func(store.Tx) (bool, error)
	write func(store.Tx) error
}

// told is a reply to another chat than that of the event.
type told struct {
	chat  string
	reply Reply
}

// unmoved is the check of an effect that rests on nothing.
func unmoved(store.Tx) (bool, error) { return false, nil }

// do adds an effect that rests on nothing but the turn's household.
func (t *turn) do(write func(store.Tx) error) {
	t.effects = append(t.effects, effect{unmoved, write})
}

// memberPerson is under whose name membership is kept: a group belongs to a
// household as a whole.
func (e *Event) memberPerson() string {
	if e.Group {
		return ""
	}
	return e.Person
}

// meant reports whether an event is for the assistant. In a group that is a
// press, what is addressed to it, and a command that it has.
func (e *Event) meant(commands map[string]command) bool {
	if !e.Group || e.Press != "" || e.Addressed {
		return true
	}
	text := strings.TrimSpace(e.Text)
	if !strings.HasPrefix(text, "/") {
		return false
	}
	name, _ := cutWord(text[1:])
	_, known := commands[strings.ToLower(name)]
	return known || isStop(name)
}

// newHome is the household of a person who belongs to none: the one that the
// adapter names, unless the person has left it or was removed, else a new one.
func (t *turn) newHome() (string, error) {
	if t.event.Home == "" {
		return freshID(), nil
	}
	h, err := t.tx.Household(t.event.Home)
	if err != nil && !isNotFound(err) {
		return "", err
	}
	if h != nil && carerIn(h.Gone, t.event.Person) >= 0 {
		return freshID(), nil
	}
	return t.event.Home, nil
}

func freshID() string { return strings.ToLower(rand.Text()[:16]) }

// carerIn is where a person is in a list, -1 where it is not.
func carerIn(carers []planner.Carer, person string) int {
	for i := range carers {
		if carers[i].Person == person {
			return i
		}
	}
	return -1
}

// joinCarer notes the person among the household's carers, by the name that
// the person has now.
func (t *turn) joinCarer() {
	c := planner.Carer{Person: t.event.Person, Name: carerName(t.event.Name)}
	switch i := carerIn(t.home.Carers, c.Person); {
	case i < 0:
		t.home.Carers = append(t.home.Carers, c)
		t.cameBy(c.Person, t.event.Chat)
	case t.home.Carers[i].Name != c.Name:
		t.home.Carers[i].Name = c.Name
	default:
		return
	}
	if i := carerIn(t.home.Gone, c.Person); i >= 0 {
		t.home.Gone = append(t.home.Gone[:i], t.home.Gone[i+1:]...)
	}
	t.changed = true
}

// longestName is how many characters of a carer's name are kept.
const longestName = 40

// carerName is a name as typed, on one line, cut where it is too long.
func carerName(s string) string {
	s = strings.Join(strings.Fields(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && !unicode.IsSpace(r) || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069 {
			return -1 // they would reach beyond the name
		}
		return r
	}, strings.ToValidUTF8(s, ""))), " ")
	if s == "" {
		return msg("carer.nameless")
	}
	if utf8.RuneCountInString(s) > longestName {
		return string([]rune(s)[:longestName-1]) + "…"
	}
	return s
}

// carerCode names a carer in a button, whatever the adapter calls the person.
func carerCode(person string) string {
	sum := sha256.Sum256([]byte(person))
	return hex.EncodeToString(sum[:6])
}

// writeMember keeps who belongs to the household in this chat.
func (t *turn) writeMember(tx store.Tx) error {
	chat, person := t.event.Chat, t.event.memberPerson()
	switch {
	case t.leaves:
		return tx.DeleteMember(chat, person)
	case t.joins:
		if err := tx.PutEnding(t.home.ID, time.Time{}); err != nil {
			return err
		}
		return tx.PutMember(chat, person, t.home.ID)
	}
	return nil
}

// others are the members of the household besides the one of this event.
func (t *turn) others() []store.Member {
	all, err := t.tx.Members(t.home.ID)
	if err != nil {
		t.fail(err)
	}
	var out []store.Member
	for _, m := range all {
		if m.Chat != t.event.Chat || m.Person != t.event.memberPerson() {
			out = append(out, m)
		}
	}
	return out
}

// tell says something in the chats of some members, once in each.
func (t *turn) tell(members []store.Member, r Reply) {
	done := map[string]bool{t.event.Chat: true}
	for _, m := range members {
		if !done[m.Chat] {
			done[m.Chat] = true
			t.told = append(t.told, told{m.Chat, r})
		}
	}
}

// doneBy says what a change was, and who made it where that was another.
func (t *turn) doneBy(c store.Change) string {
	done := msg(c.Kind, "about", c.About)
	if c.Person == t.event.Person {
		return done
	}
	return msg("undo.by", "done", done, "name", t.nameOf(c.Person), "when", t.clock(c.At))
}

// nameOf is the name of a person who is or was a carer here.
func (t *turn) nameOf(person string) string {
	if i := carerIn(t.home.Carers, person); i >= 0 {
		return t.home.Carers[i].Name
	}
	if i := carerIn(t.home.Gone, person); i >= 0 {
		return t.home.Gone[i].Name
	}
	return msg("carer.nameless")
}

// clock prints an instant by the household's clock: the time alone today, the
// day with it otherwise.
func (t *turn) clock(at time.Time) string {
	at = at.In(t.event.At.Location())
	if at.Format(time.DateOnly) == t.event.At.Format(time.DateOnly) {
		return at.Format("15:04")
	}
	return at.Format("Mon 2 Jan 15:04")
}

// Forget deletes the households that nobody has belonged to for as long as
// they were to be kept, and returns how many.
func (a *Assistant) Forget(ctx context.Context, now time.Time) (n int, err error) {
	const step = 100 // households a transaction, so that none waits for long
	for {
		done := 0
		err := a.store.Update(ctx, func(tx store.Tx) error {
			ids, err := tx.Endings(now, step)
			for _, id := range ids {
				if err := forget(tx, id); err != nil {
					return err
				}
			}
			done = len(ids)
			return err
		})
		if err != nil {
			return n, err
		}
		if n += done; done < step {
			return n, nil
		}
	}
}

// forget deletes a household unless somebody belongs to it again.
func forget(tx store.Tx, id string) error {
	members, err := tx.Members(id)
	if err != nil {
		return err
	}
	if len(members) > 0 {
		return tx.PutEnding(id, time.Time{})
	}
	return tx.DeleteHousehold(id)
}

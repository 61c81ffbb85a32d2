package talk

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"time"

	"bowlwright/bot/say"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// Assistant answers events on a store. It holds no state of its own: what it
// knows of a conversation is in the store, so that it goes on after a
// restart. Its methods may be called from several goroutines.
type Assistant struct {
	store store.Store
	table *nutrition.Table
	reg   *Registry
	bell  chan struct{} // rung when something falls due sooner than was known
}

// NewAssistant returns an assistant on a store and a food table, with what its
// rooms answer, ask and say.
func NewAssistant(s store.Store, t *nutrition.Table, reg *Registry) *Assistant {
	return &Assistant{store: s, table: t, reg: reg, bell: make(chan struct{}, 1)}
}

// attempts is how often an event is worked out anew because another changed the
// same household meanwhile. After that it gets the store to itself.
const attempts = 3

// errMoved says that what a turn was worked out on has changed since.
var errMoved = errors.New("bot: household changed meanwhile")

// Handle does what an event asks, in one transaction with the event's id and
// every reply it causes; the replies are in the outbox when it returns nil.
// An event whose id was handled before changes nothing. An error is a
// *store.Error or a defect; TroubleText says it to a person.
//
// The answer is worked out on a reading transaction, so that a long
// computation for one household holds up no other, and is written only where
// nothing it was worked out on has changed.
func (a *Assistant) Handle(ctx context.Context, e Event) error {
	if !e.Meant(a.reg.Commands) {
		return nil
	}
	for range attempts {
		var t *Turn
		err := a.store.View(ctx, func(tx store.Tx) (err error) {
			t, err = a.turn(ctx, tx, e)
			return err
		})
		if err != nil {
			return err
		}
		err = a.store.Update(ctx, func(tx store.Tx) error {
			if moved, err := t.moved(tx); err != nil || moved {
				return cmp.Or(err, errMoved)
			}
			return t.write(tx)
		})
		if err == nil {
			a.ring(t)
		}
		if !errors.Is(err, errMoved) {
			return err
		}
	}
	var t *Turn
	err := a.store.Update(ctx, func(tx store.Tx) (err error) {
		if t, err = a.turn(ctx, tx, e); err != nil {
			return err
		}
		return t.write(tx)
	})
	if err == nil {
		a.ring(t)
	}
	return err
}

// turn works out the answer to an event; nothing is written.
func (a *Assistant) turn(ctx context.Context, tx store.Tx, e Event) (*Turn, error) {
	t := &Turn{Ctx: ctx, Tx: tx, reg: a.reg, Event: e, Base: a.table}
	seen, err := tx.Seen(e.ID)
	if err != nil || seen {
		t.seen = seen
		return t, err
	}
	if err := t.begin(); err != nil {
		return nil, err
	}
	t.route()
	t.Happened(&TurnAnswered{cmp.Or(t.Undone, t.Before)})
	t.Tx = nil // it ends with the transaction
	return t, t.Err
}

// moved reports whether what the turn was worked out on has changed.
func (t *Turn) moved(tx store.Tx) (bool, error) {
	seen, err := tx.Seen(t.Event.ID)
	if err != nil || seen || t.seen {
		return seen != t.seen, err
	}
	member, err := tx.Member(t.Event.Chat, t.Event.memberPerson())
	if err != nil && !IsNotFound(err) {
		return false, err
	}
	if member != t.Member {
		return true, nil
	}
	if moved, err := HomeMoved(tx, t.Home.ID, t.Rev, t.Newcomer); err != nil || moved {
		return moved, err
	}
	for _, e := range t.Effects {
		if moved, err := e.Moved(tx); err != nil || moved {
			return moved, err
		}
	}
	d, err := tx.Dialogue(t.Event.Chat, t.Event.Person)
	if err != nil && !IsNotFound(err) {
		return false, err
	}
	return !sameDialogue(d, t.loaded), nil
}

// HomeMoved reports whether a household is no longer at a revision, or no
// longer absent.
func HomeMoved(tx store.Tx, id string, rev uint64, absent bool) (bool, error) {
	now, err := tx.Revision(id)
	switch {
	case IsNotFound(err):
		return !absent, nil
	case err != nil:
		return false, err
	}
	return absent || now != rev, nil
}

func sameDialogue(a, b store.Dialogue) bool {
	return a.Kind == b.Kind && a.Step == b.Step && a.Since.Equal(b.Since) && bytes.Equal(a.Data, b.Data)
}

// begin loads what a turn needs: the household of the person in this chat
// (a new one where there is none) and the conversation.
func (t *Turn) begin() error {
	id, err := t.Tx.Member(t.Event.Chat, t.Event.memberPerson())
	switch {
	case IsNotFound(err):
		t.Joins, t.Changed = true, true
		if id, err = t.newHome(); err != nil {
			return err
		}
	case err != nil:
		return err
	default:
		t.Member = id
	}
	t.Home, err = t.Tx.Household(id)
	switch {
	case IsNotFound(err):
		t.Home = &planner.Household{ID: id, Zone: DefaultZoneName, Created: t.Event.At, Amounts: true}
		t.Newcomer, t.Changed = true, true
	case err != nil:
		return err
	}
	t.Enter()
	return t.loadTalk()
}

// Enter makes the turn one of the household that it has loaded.
func (t *Turn) Enter() {
	t.Rev = t.Home.Rev
	t.reminded = len(t.Home.Reminders) > 0
	if zone, err := time.LoadLocation(t.Home.Zone); err == nil {
		t.Event.At = t.Event.At.In(zone) // birthdays come by the household's clock
	}
	t.joinCarer()
	t.Foods = t.Base.With(t.Home.Foods)
	t.Happened(&HouseholdEntered{})
	t.asWas = t.Home.Clone()
}

// DefaultZoneName is the zone of a household until a carer names one.
const DefaultZoneName = "UTC"

// write keeps what the turn worked out, in one transaction.
func (t *Turn) write(tx store.Tx) error {
	if t.seen {
		return nil
	}
	for _, e := range t.Effects {
		if err := e.Write(tx); err != nil {
			return err
		}
	}
	if err := t.writeMember(tx); err != nil {
		return err
	}
	if err := t.writeHome(tx); err != nil {
		return err
	}
	if err := t.writeDue(tx); err != nil {
		return err
	}
	if err := t.saveTalk(tx); err != nil {
		return err
	}
	if err := t.keepTopic(tx); err != nil {
		return err
	}
	for _, r := range t.Replies {
		if err := t.enqueue(tx, t.Event.Chat, r); err != nil {
			return err
		}
	}
	for _, m := range t.told {
		if err := t.enqueue(tx, m.chat, m.reply); err != nil {
			return err
		}
	}
	return tx.MarkSeen(t.Event.ID, t.Event.At)
}

func (t *Turn) enqueue(tx store.Tx, chat string, r say.Reply) error {
	topic, err := t.topicFor(tx, chat)
	if err != nil {
		return err
	}
	_, err = tx.Enqueue(store.Outgoing{Chat: chat, Topic: topic, Event: t.Event.ID, At: t.Event.At, Body: say.EncodeReply(r)})
	return err
}

// writeHome keeps the household and what it was before.
func (t *Turn) writeHome(tx store.Tx) error {
	if !t.Changed {
		return nil
	}
	if t.Before != nil {
		t.change.Before = t.Before
		if err := tx.PushChange(t.Home.ID, t.change); err != nil {
			return err
		}
	}
	if t.Popped {
		if err := tx.PopChange(t.Home.ID); err != nil {
			return err
		}
	}
	t.Home.Rev = t.Rev + 1
	return tx.PutHousehold(t.Home)
}

// IsNotFound reports that a record is not there.
func IsNotFound(err error) bool {
	var e *store.Error
	return errors.As(err, &e) && e.Code == store.NotFound
}

// TroubleText says to a person what an error of the store or the assistant
// means and what to do, without its technical text.
func TroubleText(err error) string {
	var e *store.Error
	if errors.As(err, &e) {
		if key := "trouble." + string(e.Code); words.Has(key) {
			return msg(key)
		}
	}
	return msg("trouble.internal")
}

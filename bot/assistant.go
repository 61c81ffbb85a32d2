package bot

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"time"

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
	reg   *registry
	bell  chan struct{} // rung when something falls due sooner than was known
}

// newAssistant returns an assistant on a store and a food table, with what its
// rooms answer, ask and say.
func newAssistant(s store.Store, t *nutrition.Table, reg *registry) *Assistant {
	return &Assistant{store: s, table: t, reg: reg, bell: make(chan struct{}, 1)}
}

// attempts is how often an event is worked out anew because another changed
// the same household meanwhile, before it is worked out with the store to
// itself.
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
	if !e.meant(a.reg.commands) {
		return nil
	}
	for range attempts {
		var t *turn
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
	var t *turn
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
func (a *Assistant) turn(ctx context.Context, tx store.Tx, e Event) (*turn, error) {
	t := &turn{ctx: ctx, tx: tx, reg: a.reg, event: e, base: a.table}
	seen, err := tx.Seen(e.ID)
	if err != nil || seen {
		t.seen = seen
		return t, err
	}
	if err := t.begin(); err != nil {
		return nil, err
	}
	t.route()
	t.happened(&turnAnswered{cmp.Or(t.undone, t.before)})
	t.tx = nil // it ends with the transaction
	return t, t.err
}

// moved reports whether what the turn was worked out on has changed.
func (t *turn) moved(tx store.Tx) (bool, error) {
	seen, err := tx.Seen(t.event.ID)
	if err != nil || seen || t.seen {
		return seen != t.seen, err
	}
	member, err := tx.Member(t.event.Chat, t.event.memberPerson())
	if err != nil && !isNotFound(err) {
		return false, err
	}
	if member != t.member {
		return true, nil
	}
	if moved, err := homeMoved(tx, t.home.ID, t.rev, t.newcomer); err != nil || moved {
		return moved, err
	}
	for _, e := range t.effects {
		if moved, err := e.moved(tx); err != nil || moved {
			return moved, err
		}
	}
	d, err := tx.Dialogue(t.event.Chat, t.event.Person)
	if err != nil && !isNotFound(err) {
		return false, err
	}
	return !sameDialogue(d, t.loaded), nil
}

// homeMoved reports whether a household is no longer at a revision, or no
// longer absent.
func homeMoved(tx store.Tx, id string, rev uint64, absent bool) (bool, error) {
	now, err := tx.Revision(id)
	switch {
	case isNotFound(err):
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
func (t *turn) begin() error {
	id, err := t.tx.Member(t.event.Chat, t.event.memberPerson())
	switch {
	case isNotFound(err):
		t.joins, t.changed = true, true
		if id, err = t.newHome(); err != nil {
			return err
		}
	case err != nil:
		return err
	default:
		t.member = id
	}
	t.home, err = t.tx.Household(id)
	switch {
	case isNotFound(err):
		t.home = &planner.Household{ID: id, Zone: defaultZoneName, Created: t.event.At, Amounts: true}
		t.newcomer, t.changed = true, true
	case err != nil:
		return err
	}
	t.enter()
	return t.loadTalk()
}

// enter makes the turn one of the household that it has loaded.
func (t *turn) enter() {
	t.rev = t.home.Rev
	t.reminded = len(t.home.Reminders) > 0
	if zone, err := time.LoadLocation(t.home.Zone); err == nil {
		t.event.At = t.event.At.In(zone) // birthdays come by the household's clock
	}
	t.joinCarer()
	t.foods = t.base.With(t.home.Foods)
	t.happened(&householdEntered{})
}

// defaultZoneName is the zone of a household until a carer names one.
const defaultZoneName = "UTC"

// write keeps what the turn worked out, in one transaction.
func (t *turn) write(tx store.Tx) error {
	if t.seen {
		return nil
	}
	for _, e := range t.effects {
		if err := e.write(tx); err != nil {
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
	for _, r := range t.replies {
		if err := t.enqueue(tx, t.event.Chat, r); err != nil {
			return err
		}
	}
	for _, m := range t.told {
		if err := t.enqueue(tx, m.chat, m.reply); err != nil {
			return err
		}
	}
	return tx.MarkSeen(t.event.ID, t.event.At)
}

func (t *turn) enqueue(tx store.Tx, chat string, r Reply) error {
	topic, err := t.topicFor(tx, chat)
	if err != nil {
		return err
	}
	_, err = tx.Enqueue(store.Outgoing{Chat: chat, Topic: topic, Event: t.event.ID, At: t.event.At, Body: EncodeReply(r)})
	return err
}

// writeHome keeps the household and what it was before.
func (t *turn) writeHome(tx store.Tx) error {
	if !t.changed {
		return nil
	}
	if t.before != nil {
		t.change.Before = t.before
		if err := tx.PushChange(t.home.ID, t.change); err != nil {
			return err
		}
	}
	if t.popped {
		if err := tx.PopChange(t.home.ID); err != nil {
			return err
		}
	}
	t.home.Rev = t.rev + 1
	return tx.PutHousehold(t.home)
}

// isNotFound reports that a record is not there.
func isNotFound(err error) bool {
	var e *store.Error
	return errors.As(err, &e) && e.Code == store.NotFound
}

// TroubleText says to a person what an error of the store or the assistant
// means and what to do, without its technical text.
func TroubleText(err error) string {
	var e *store.Error
	if errors.As(err, &e) {
		if key := "trouble." + string(e.Code); hasMessage(key) {
			return msg(key)
		}
	}
	return msg("trouble.internal")
}

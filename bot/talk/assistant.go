package talk

import (
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
	// Unheard is told of a message that was not understood, by the intent that
	// came nearest and nothing else of it; nil: nobody is.
	Unheard func(nearest string)

	// BackupsUntil is when the last backup made until now is deleted; nil: there
	// are none by the clock.
	BackupsUntil func(now time.Time) time.Time

	// MayPublish reports whether the operator lets a person publish; nil:
	// everybody may.
	MayPublish func(Event) bool

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

// Handle does what an event asks, in one commit with the event's id and every
// reply it causes; the replies are in the outbox when it returns nil. An event
// whose id was handled before changes nothing. An error is a *store.Error or a
// defect; TroubleText says it to a person.
//
// The answer is worked out on a snapshot, so that a long computation for one
// household holds up no other, and is kept only where nothing it was worked out
// on has changed.
func (a *Assistant) Handle(ctx context.Context, e Event) error {
	if !e.Meant(a.reg.Commands) {
		return nil
	}
	var t *Turn
	err := store.Answer(ctx, a.store, func(snap store.Snapshot) (c store.Commit, err error) {
		t, c, err = a.turn(ctx, snap, e)
		return c, err
	})
	if err == nil {
		a.ring(t)
	}
	if err == nil && t.lost != "" && a.Unheard != nil {
		a.Unheard(t.lost)
	}
	return err
}

// turn works out the answer to an event, and what is to be kept of it.
func (a *Assistant) turn(ctx context.Context, snap store.Snapshot, e Event) (*Turn, store.Commit, error) {
	t := &Turn{Ctx: ctx, Snap: snap, reg: a.reg, Event: e, Base: a.table, BackupsUntil: a.BackupsUntil, MayPublish: a.MayPublish}
	seen, err := snap.Seen(e.ID)
	if err != nil || seen {
		return t, store.Commit{Event: e.ID}, err
	}
	if err := t.begin(); err != nil {
		return nil, store.Commit{}, err
	}
	t.route()
	t.Happened(&TurnAnswered{cmp.Or(t.Undone, t.Before)})
	t.keep()
	c := store.Commit{Event: e.ID, At: e.At, Expect: t.expect, Writes: t.writes}
	t.Snap = nil // nothing more is read
	return t, c, t.Err
}

// begin loads what a turn needs: the household of the person in this chat
// (a new one where there is none) and the conversation.
func (t *Turn) begin() error {
	id, err := t.Snap.Member(t.Event.Chat, t.Event.memberPerson())
	switch {
	case store.IsNotFound(err):
		t.Joins, t.Changed = true, true
		if id, err = t.newHome(); err != nil {
			return err
		}
	case err != nil:
		return err
	default:
		t.Member = id
	}
	t.Home, err = t.Snap.Household(id)
	switch {
	case store.IsNotFound(err):
		t.Home = &planner.Household{ID: id, Zone: DefaultZoneName, Created: t.Event.At, Amounts: true}
		t.Newcomer, t.Changed = true, true
	case err != nil:
		return err
	}
	Enter(t)
	return t.loadTalk()
}

// Enter makes the turn one of the household that it has loaded.
func Enter(t *Turn) {
	t.Rev = t.Home.Rev
	t.reminded = len(t.Home.Reminders) > 0
	t.Event.At = t.Event.At.In(t.Home.Location()) // birthdays come by the household's clock
	t.joinCarer()
	t.Shelve()
	t.Happened(&HouseholdEntered{})
	t.asWas = t.Home.Clone()
}

// DefaultZoneName is the zone of a household until a carer names one.
const DefaultZoneName = "UTC"

// keep adds what the turn has worked out to what rooms have it write.
func (t *Turn) keep() {
	chat, person := t.Event.Chat, t.Event.memberPerson()
	t.Expect(store.MemberOf{Chat: chat, Person: person, Household: t.Member}, t.homeStands(),
		store.DialogueIs{Chat: chat, Person: t.Event.Person, Dialogue: t.loaded})
	t.keepMember()
	t.keepHome()
	t.keepDue()
	t.keepTalk()
	t.keepTopic()
	for _, r := range t.Replies {
		t.enqueue(chat, r)
	}
	for _, m := range t.told {
		t.enqueue(m.chat, m.reply)
	}
}

// homeStands expects the household to be as the turn has read it.
func (t *Turn) homeStands() store.HouseholdAt {
	return store.HouseholdAt{ID: t.Home.ID, Rev: t.Rev, None: t.Newcomer}
}

func (t *Turn) enqueue(chat string, r say.Reply) {
	live := r.Changes()
	if live != "" {
		t.dropChanges(chat, live)
	}
	t.Write(store.Enqueue{Chat: chat, Topic: t.topicFor(chat), Event: t.Event.ID, At: t.Event.At, Live: live, Body: say.EncodeReply(r)})
}

// mostWaiting is among how many messages that wait in a chat earlier changes of a
// message are looked for (our own choice).
const mostWaiting = 50

// dropChanges takes the changes of a message that still wait in a chat out of the
// outbox: the next one makes them superfluous.
func (t *Turn) dropChanges(chat, live string) {
	waiting, err := t.Snap.Pending(chat, mostWaiting)
	t.Fail(err)
	for _, m := range waiting {
		if m.Live == live {
			t.Write(store.Delivered(m.Number))
		}
	}
}

// keepHome keeps the household, what it was before, and its journal.
func (t *Turn) keepHome() {
	t.keepNotes()
	if !t.Changed {
		return
	}
	if t.Before != nil {
		t.change.Before = t.Before
		t.Write(store.PushChange{Household: t.Home.ID, Change: t.change})
	}
	if t.Popped {
		t.Write(store.PopChange(t.Home.ID))
	}
	t.Home.Rev = t.Rev + 1
	t.Write(store.PutHousehold{Household: t.Home})
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

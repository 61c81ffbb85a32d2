package store

import (
	"context"
	"time"

	"bowlwright/planner"
)

// Store keeps households and what is under way for them. Every
// implementation passes the suite of package storetest.
type Store interface {
	// View calls f with a transaction that reads one consistent state. f must
	// not call the store itself.
	View(ctx context.Context, f func(Tx) error) error
	// Update calls f with a transaction that reads and writes, alone. What f
	// wrote is durable when Update returns nil, and undone when f or the
	// commit fails. f must not call the store itself.
	Update(ctx context.Context, f func(Tx) error) error
	// Close releases the file. It waits for transactions under way.
	Close() error
}

// Tx is one transaction. Values it returns are the caller's own. A missing
// record is an *Error with code NotFound.
type Tx interface {
	// Seen reports whether an event with this id was marked before.
	Seen(event string) (bool, error)
	// MarkSeen records the id of an event that has been handled at a time.
	MarkSeen(event string, at time.Time) error

	Membership
	Journal
	Agenda

	Household(id string) (*planner.Household, error)
	PutHousehold(h *planner.Household) error
	// Revision returns the Rev of a household, and costs less than all of it.
	Revision(household string) (uint64, error)

	// Dialogue returns the state of what a person is in the middle of in a
	// chat; NotFound where there is nothing.
	Dialogue(chat, person string) (Dialogue, error)
	PutDialogue(chat, person string, d Dialogue) error
	DeleteDialogue(chat, person string) error

	// PushChange keeps what a household was before a change, so that it can
	// be taken back; it keeps the last MaxChanges of a household.
	PushChange(household string, c Change) error
	// LastChange returns the newest change, NotFound where there is none.
	LastChange(household string) (Change, error)
	// ChangeBefore returns the change before the newest, NotFound where there is
	// none.
	ChangeBefore(household string) (Change, error)
	// PopChange forgets the newest change.
	PopChange(household string) error

	// Adapter returns an adapter's own notes on a chat, nil where none.
	Adapter(chat string) ([]byte, error)
	PutAdapter(chat string, notes []byte) error

	// Enqueue puts a message at the end of the outbox and returns its number;
	// numbers rise and are never given twice.
	Enqueue(m Outgoing) (uint64, error)
	// Pending returns up to limit messages of the outbox in order; those of
	// one chat where chat is not empty.
	Pending(chat string, limit int) ([]Outgoing, error)
	// Oldest returns the number of the first message of the outbox for a chat,
	// 0 where there is none.
	Oldest(chat string) (uint64, error)
	// Delivered takes a message out of the outbox.
	Delivered(number uint64) error
	// PendingChats returns up to limit chats that have messages in the outbox
	// and whose names begin with prefix, in an order of the store's own. It
	// begins behind the chat after, at the start where that is empty.
	PendingChats(prefix, after string, limit int) ([]PendingChat, error)

	// Blocked returns since when a chat refuses messages, the zero time where
	// it does not.
	Blocked(chat string) (since time.Time, err error)
	// PutBlocked notes that a chat refuses messages, or with the zero time
	// that it takes them again.
	PutBlocked(chat string, since time.Time) error

	// PutDead keeps a message that can never be delivered; it does not take
	// it out of the outbox. A message is kept once, by its number.
	PutDead(d Dead) error
	// Dead returns up to limit of those messages in the order of their numbers.
	Dead(limit int) ([]Dead, error)
	DeleteDead(number uint64) error

	// PutUpdate keeps what an adapter received until it has been handled; the
	// same id again replaces it.
	PutUpdate(u Update) error
	// Updates returns up to limit of those with ids above after, in the order
	// of their ids.
	Updates(after int64, limit int) ([]Update, error)
	DeleteUpdate(id int64) error
}

// MaxChanges is how many changes of a household can be taken back.
const MaxChanges = 20

// Dialogue is the state of an unfinished dialogue.
type Dialogue struct {
	Kind  string    `json:"kind"`           // which dialogue
	Step  string    `json:"step"`           // where it stands
	Data  []byte    `json:"data,omitempty"` // its own state, JSON
	Since time.Time `json:"since,omitzero"` // when it was last moved on
}

// Change is what a household was before something changed it.
type Change struct {
	ID     string             `json:"id"`
	At     time.Time          `json:"at"`
	Person string             `json:"person"`
	Kind   string             `json:"kind"`            // message key of what was done: "dog.added"
	About  string             `json:"about,omitempty"` // the name it was done to
	Before *planner.Household `json:"before"`

	// What the change did to the journal: taking it back deletes what it
	// added and adds what it removed.
	Added   []planner.Entry `json:"added,omitempty"`
	Removed []planner.Entry `json:"removed,omitempty"`
}

// Outgoing is a message in the outbox. Body is the bot's own rendering-free
// form of the reply (bot.EncodeReply).
type Outgoing struct {
	Number  uint64    `json:"number"`
	Chat    string    `json:"chat"`
	Topic   string    `json:"topic,omitempty"` // of the chat, where it goes to; empty: the chat itself
	Event   string    `json:"event"`           // the event that caused it
	At      time.Time `json:"at"`
	Expires time.Time `json:"expires,omitzero"` // when it is no longer worth sending
	Body    []byte    `json:"body"`
}

// PendingChat is a chat that has messages in the outbox.
type PendingChat struct {
	Chat   string
	Oldest uint64 // the number of the first of them
}

// Dead is a message that can never be delivered.
type Dead struct {
	Message Outgoing  `json:"message"`
	Reason  string    `json:"reason"` // what the platform said of it; no part of the message
	At      time.Time `json:"at"`
}

// Update is something received and not yet handled, as it came.
type Update struct {
	ID   int64 // the platform's
	Body []byte
}

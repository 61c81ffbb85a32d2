package store

import (
	"context"
	"time"

	"bowlwright/planner"
)

// Store keeps households and what is under way for them. Every
// implementation passes the suite of package storetest. Its methods may be
// called from several goroutines.
type Store interface {
	// Read gives a snapshot: one state, however long it is read. Whoever asked for
	// it closes it, and does so before committing anything.
	Read(ctx context.Context) (Snapshot, error)
	// Commit does what a commit says, as one: when it returns nil all of it is
	// durable, else nothing has happened. ErrConflict says that something which
	// the commit rests on is no longer so; Answer then answers again.
	Commit(ctx context.Context, c Commit) error

	// Work is shared out among those who claim it, in one process or many. What
	// was claimed is given to nobody else until it is done, its lease is over, or
	// its holder lets go.

	// ClaimDue claims households that are due at a time, the earliest first, each
	// once. One is done when its next time is put.
	ClaimDue(ctx context.Context, c Claim, at time.Time) ([]Due, error)
	// ClaimOutbox claims a chat and returns its first messages; none where another
	// holds the chat, or the chat refuses messages. Its holder may claim it again
	// for those that follow, so that all go in order.
	ClaimOutbox(ctx context.Context, c Claim, chat string) ([]Outgoing, error)
	// ClaimInbox claims updates in the order of their ids, each once, but for those
	// of a chat of which another holds an update. One is done when it is deleted.
	ClaimInbox(ctx context.Context, c Claim) ([]Update, error)
	// Renew gives somebody another lease, from now, of all that they hold and
	// nobody else has claimed.
	Renew(ctx context.Context, by string, lease time.Duration) error
	// Release lets go of all that somebody holds.
	Release(ctx context.Context, by string) error
	// Lead waits until nobody else leads in a role, and calls f to lead until it
	// returns. The context that it is given ends when another may lead; then Lead
	// waits and calls it again.
	Lead(ctx context.Context, role string, f func(context.Context)) error
	// Hear calls wake, until ctx ends, with a chat into whose outbox some process
	// has put something, and with the empty name where it should look for itself:
	// updates may wait in the inbox. Nothing is told for certain, so who hears also
	// looks now and then; where one process has the store to itself nothing is told.
	Hear(ctx context.Context, wake func(chat string))

	// Close releases the file. It waits for commits under way.
	Close() error
}

// Sizes says how much a store holds.
type Sizes struct {
	Households, Inbox, Dead int
	Outbox, Refused         int       // messages that wait to be sent; and those of chats that refuse them
	Oldest                  time.Time // when the first of the outbox that nobody refuses was put there; zero: there is none
	Bytes                   int64     // that the store takes up
}

// Snapshot is one state of a store, read as it is asked. Values it returns are
// the caller's own. A missing record is an *Error with code NotFound. It is for
// one goroutine.
type Snapshot interface {
	// Close ends it; whatever is asked of it then is an error. Closing twice is
	// none.
	Close()

	// Seen reports whether an event with this id was handled before.
	Seen(event string) (bool, error)
	// SeenBefore returns up to limit events that were handled before a time.
	SeenBefore(at time.Time, limit int) ([]string, error)

	Household(id string) (*planner.Household, error)
	// Revision returns the Rev of a household, and costs less than all of it.
	Revision(household string) (uint64, error)
	// Change returns the newest change, or one so many before it; NotFound where
	// there is none.
	Change(household string, before int) (Change, error)

	// Member returns the household that a person belongs to in a chat. An
	// empty person stands for everybody in the chat.
	Member(chat, person string) (household string, err error)
	// Members returns everybody who belongs to a household, by chat and
	// person in an order of the store's own.
	Members(household string) ([]Member, error)
	// Invite returns an invitation, open or not.
	Invite(key string) (Invite, error)
	// Invites returns all invitations of a household in the order of their
	// keys.
	Invites(household string) ([]Invite, error)
	// Endings returns up to limit households whose ending is not after a time,
	// in the order of their ids.
	Endings(until time.Time, limit int) ([]string, error)

	// Published returns what a token opens, withdrawn or not.
	Published(token string) (Published, error)
	// PublishedBy returns what a household has published, in the order of the
	// tokens.
	PublishedBy(household string) ([]Published, error)
	// PublishedAfter returns up to limit of all that was published, in the order
	// of the tokens, behind one of them.
	PublishedAfter(token string, limit int) ([]Published, error)
	// Readers returns up to limit readers of what a token opens, in the order of
	// their households, behind one of them.
	Readers(token, after string, limit int) ([]Reader, error)
	// Reading returns what a household keeps, in the order of the tokens.
	Reading(household string) ([]Reader, error)

	// Entry returns one entry of a journal; NotFound where there is none.
	Entry(household, id string) (planner.Entry, error)
	// Entries returns the entries that a query asks for, in the order in
	// which they happened (Entry.At, then ID), or the other way round. It
	// costs what it returns and a little for each kind and dog.
	Entries(household string, q EntryQuery) ([]planner.Entry, error)

	// Due returns a household's next time; the zero Due where it has none.
	Due(household string) (Due, error)
	// DueBy returns up to limit households whose time is not after an
	// instant, the earliest first. It costs what it returns.
	DueBy(at time.Time, limit int) ([]Due, error)

	// Dialogue returns the state of what a person is in the middle of in a
	// chat; NotFound where there is nothing.
	Dialogue(chat, person string) (Dialogue, error)
	// Adapter returns an adapter's own notes on a chat, nil where none.
	Adapter(chat string) ([]byte, error)

	// Pending returns up to limit messages of the outbox in order; those of
	// one chat where chat is not empty.
	Pending(chat string, limit int) ([]Outgoing, error)
	// PendingChats returns up to limit chats that have messages in the outbox
	// and whose names begin with prefix, in an order of the store's own. It
	// begins behind the chat after, at the start where that is empty.
	PendingChats(prefix, after string, limit int) ([]PendingChat, error)
	// Blocked returns since when a chat refuses messages, the zero time where
	// it does not.
	Blocked(chat string) (since time.Time, err error)
	// Dead returns up to limit messages that can never be delivered, in the
	// order of their numbers.
	Dead(limit int) ([]Dead, error)

	// Updates returns up to limit of the updates in the inbox with ids above
	// after, in the order of their ids.
	Updates(after int64, limit int) ([]Update, error)

	// Sizes says how much there is, for whoever watches. It costs the chats that
	// refuse messages, and what waits for them.
	Sizes() (Sizes, error)
}

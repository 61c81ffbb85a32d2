package store

import (
	"slices"
	"time"

	"bowlwright/planner"
)

// MaxChanges is how many changes of a household can be taken back.
const MaxChanges = 20

// Dialogue is the state of an unfinished dialogue.
type Dialogue struct {
	Kind  string    `json:"kind"`           // which dialogue
	Step  string    `json:"step"`           // where it stands
	Data  []byte    `json:"data,omitempty"` // its own state, JSON
	Since time.Time `json:"since,omitzero"` // when it was last moved on
}

// None says that somebody is in the middle of nothing.
func (d Dialogue) None() bool {
	return d.Kind == "" && d.Step == "" && d.Data == nil && d.Since.IsZero()
}

// Change is what a household was before something changed it.
type Change struct {
	ID     string             `json:"id"`
	At     time.Time          `json:"at"`
	Person string             `json:"person"`
	Kind   string             `json:"kind"`            // message key of what was done: "dog.added"
	About  string             `json:"about,omitempty"` // the name it was done to
	Also   []Done             `json:"also,omitempty"`  // what else was done
	Before *planner.Household `json:"before"`

	// What the change did to the journal: taking it back deletes what it
	// added and adds what it removed.
	Added   []planner.Entry `json:"added,omitempty"`
	Removed []planner.Entry `json:"removed,omitempty"`
}

// Done is one thing that a change did, as Kind and About of it.
type Done struct {
	Kind  string `json:"kind"`
	About string `json:"about,omitempty"`
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
	Live    string    `json:"live,omitempty"`   // the message of the chat that it changes: a later change makes it superfluous
	Behind  bool      `json:"behind,omitempty"` // it goes after all that is not, whenever that came
	Body    []byte    `json:"body"`
}

// FirstBehind is below the numbers of messages that go behind all others, and
// above the numbers of those.
const FirstBehind = 1 << 62

// Numbered gives a message its place in the outbox, by the count of those that
// came before.
func (m Outgoing) Numbered(n uint64) Outgoing {
	m.Number = n
	if m.Behind {
		m.Number += FirstBehind
	}
	return m
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
	ID   int64  // the platform's
	Chat string // that it is about; empty: of none, or not known
	Body []byte
}

// Member is a person in a chat; everybody in the chat where Person is empty.
type Member struct {
	Chat   string `json:"chat"`
	Person string `json:"person"`
}

// Invite is an invitation into a household. Key is made from the token that
// opens it, so that reading the file does not open it.
type Invite struct {
	Key       string    `json:"key"`
	Household string    `json:"household"`
	By        string    `json:"by"`              // the person who made it
	For       string    `json:"for,omitempty"`   // whom it is for, as typed
	Only      string    `json:"only,omitempty"`  // the one person who may use it; anybody where empty
	Group     string    `json:"group,omitempty"` // the group in which it was made; empty: in none, or not known
	Expires   time.Time `json:"expires"`
	Used      string    `json:"used,omitempty"` // the person who used it
}

// Published is what a household has published.
type Published struct {
	Household string `json:"household,omitempty"` // empty where that was erased
	Person    string `json:"person,omitempty"`    // who published it; empty where that is not kept any more
	Of        string `json:"of,omitempty"`        // id of the household's recipe or rotation that it was made of
	Rev       uint64 `json:"rev"`                 // counts the times it was written
	planner.Published
}

// Reader is a household that keeps what was published.
type Reader struct {
	Token     string    `json:"token"`
	Household string    `json:"household"`
	Version   int       `json:"version"` // that it keeps, counted from 1
	Since     time.Time `json:"since"`

	Told   int       `json:"told,omitempty"`    // the newest version that it was told of
	ToldAt time.Time `json:"told_at,omitzero"`  // and when
	Gone   bool      `json:"gone,omitempty"`    // it was told that it is withdrawn
	Own    []Swapped `json:"own,omitempty"`     // what it changed of it
	Asked  []Asked   `json:"asked,omitempty"`   // its questions to the author, the oldest first
	NoAsks bool      `json:"no_asks,omitempty"` // the author takes none of it any more
}

// Swapped is a food of something published that a reader put another in the
// place of, changed, added or left out; see edition.Own.
type Swapped struct {
	Recipe string `json:"recipe"` // its id there
	Out    string `json:"out,omitempty"`
	In     string `json:"in,omitempty"` // empty: left out; a food of the reader's own is OwnFood
}

// OwnFood stands for any food that a household has added itself.
const OwnFood = "own"

// Asked is a reader's question to an author. Who asks is told to nobody until
// Named.
type Asked struct {
	ID     string    `json:"id"`
	Chat   string    `json:"chat"`
	Person string    `json:"person"`
	Text   string    `json:"text"`
	At     time.Time `json:"at"`
	Named  bool      `json:"named,omitempty"`
	Ended  bool      `json:"ended,omitempty"`
}

// ReaderOf is a household as a reader of what a token opens; false where it is
// none.
func ReaderOf(snap Snapshot, token, household string) (r Reader, ok bool, err error) {
	all, err := snap.Reading(household)
	for _, r := range all {
		if r.Token == token {
			return r, true, nil
		}
	}
	return Reader{}, false, err
}

// NextDue returns the earliest time at which something is due, the zero time where
// nothing is ever.
func NextDue(s Snapshot) (next time.Time, err error) {
	first, err := s.DueBy(time.Unix(1<<62-1, 0), 1) // after every time that a record can hold
	for _, d := range first {
		next = d.At
	}
	return next, err
}

// Oldest returns the number of the first message of the outbox for a chat, 0 where
// there is none.
func Oldest(s Snapshot, chat string) (number uint64, err error) {
	first, err := s.Pending(chat, 1)
	for _, m := range first {
		number = m.Number
	}
	return number, err
}

// EntryQuery says which entries are meant. Zero fields ask for nothing.
type EntryQuery struct {
	Dog    string              // id
	Kinds  []planner.EntryKind // any of these
	From   time.Time           // At is not before
	To     time.Time           // At is before
	Newest bool                // the newest first
	Limit  int                 // at most so many
}

// Finds reports whether a query asks for an entry, its limit aside.
func (q EntryQuery) Finds(e planner.Entry) bool {
	return (q.Dog == "" || q.Dog == e.Dog) &&
		(len(q.Kinds) == 0 || slices.Contains(q.Kinds, e.Kind)) &&
		(q.From.IsZero() || !e.At.Before(q.From)) &&
		(q.To.IsZero() || e.At.Before(q.To))
}

// Due is when something is next to be said to a household, or an errand to be
// done.
type Due struct {
	Household string    `json:"household"`        // or the id of an errand
	At        time.Time `json:"at,omitzero"`      // the next time, UTC
	Through   time.Time `json:"through,omitzero"` // everything due up to here has been said
}

// The kinds of errands.
const (
	TellErrand = "tell" // readers are to hear of what a token opens
	NewsErrand = "news" // a household is to hear of what it keeps
)

// Errand is the id under which an errand is due. No household has such an id.
func Errand(kind, of string) string { return kind + ":" + of }

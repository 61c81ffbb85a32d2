package talk

import (
	"cmp"
	"time"
)

// Event is something a person did in a chat. Exactly one of Text and Press
// is set.
type Event struct {
	ID     string    // unique; a redelivery carries the same
	Chat   string    // adapter's identifier of the chat: "terminal/Ines"
	Person string    // adapter's identifier of the person
	Name   string    // what the person is called
	Handle string    // the name under which the platform finds the person, without @; empty: none
	Home   string    // a household to join where the person has none yet; only an adapter that knows sets it
	At     time.Time // when it happened
	Text   string    // what was typed
	Press  string    // Data of the button that was pressed
	File   []byte    // a file that was sent; Text is then empty

	// Opens is what a link begins with that opens a chat with the assistant and
	// ends in a payload; empty: there are none, and what is typed is one.
	Opens string
	// Message is the adapter's identifier of the message under which the
	// pressed button stands; empty where a message cannot be changed.
	Message string
	// Under is what stands on the buttons of the message that a text replies to;
	// empty where it replies to none, or an adapter cannot tell.
	Under []string
	// Topic is the adapter's identifier of the part of the chat in which it
	// happened, where the chat is divided; empty: in no part of its own. The
	// answer goes there.
	Topic string
	// Group says that Chat is a group: the group is the household, and only
	// what is meant for the assistant is answered.
	Group bool
	// Addressed says, of a text in a group, that it mentions the assistant or
	// replies to it, or is a command that names it ("/today@itsname"). A plain
	// command needs no address. Text is then without the mention.
	Addressed bool
}

// LinkTo is what opens a chat with the assistant with a payload.
func (e *Event) LinkTo(payload string) string { return cmp.Or(e.Opens, "/start ") + payload }

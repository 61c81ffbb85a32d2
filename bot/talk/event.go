package talk

import (
	"cmp"
	"encoding/json"
	"time"

	"bowlwright/store"
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

// A group can be divided into topics, and is still one household. What somebody
// asks in a topic is answered there; what nobody asked for in that chat goes to
// the topic in which somebody last spoke.

// ChatNotes are what is kept of a chat that is no household's matter.
type ChatNotes struct {
	Topic string            `json:"topic,omitempty"` // of a group: in which it was spoken with last
	Live  map[string]string `json:"live,omitempty"`  // the messages that change in place, by say.Reply.Live, as the adapter calls them
}

// NotesOf are those of a chat. What cannot be read is no reason to say nothing.
func NotesOf(snap store.Snapshot, chat string) (notes ChatNotes, err error) {
	data, err := snap.Adapter(chat)
	json.Unmarshal(data, &notes)
	return notes, err
}

// Put keeps the notes.
func (n ChatNotes) Put(chat string) store.PutAdapter {
	if n.Topic == "" && len(n.Live) == 0 {
		return store.PutAdapter{Chat: chat}
	}
	data, _ := json.Marshal(n) // never fails
	return store.PutAdapter{Chat: chat, Notes: data}
}

// topicOf is the topic of a chat in which its household was last spoken with.
func (t *Turn) topicOf(chat string) string {
	notes, err := NotesOf(t.Snap, chat)
	t.Fail(err)
	return notes.Topic
}

// keepTopic notes the topic of the turn's event.
func (t *Turn) keepTopic() {
	notes, err := NotesOf(t.Snap, t.Event.Chat)
	t.Fail(err)
	if !t.Event.Group || notes.Topic == t.Event.Topic {
		return
	}
	notes.Topic = t.Event.Topic
	t.Write(notes.Put(t.Event.Chat))
}

// topicFor is the topic of a chat into which a reply of the turn goes.
func (t *Turn) topicFor(chat string) string {
	if chat == t.Event.Chat {
		return t.Event.Topic
	}
	return t.topicOf(chat)
}

package talk

import (
	"encoding/json"

	"bowlwright/store"
)

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
	if err != nil {
		t.Fail(err)
	}
	return notes.Topic
}

// keepTopic notes the topic of the turn's event.
func (t *Turn) keepTopic() {
	notes, err := NotesOf(t.Snap, t.Event.Chat)
	if err != nil {
		t.Fail(err)
	}
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

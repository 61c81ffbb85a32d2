package talk

import (
	"encoding/json"

	"bowlwright/store"
)

// A group can be divided into topics, and is still one household. What somebody
// asks in a topic is answered there; what nobody asked for in that chat goes to
// the topic in which somebody last spoke.

// groupNotes are what is kept of a group that is no household's matter.
type groupNotes struct {
	Topic string `json:"topic,omitempty"` // in which it was spoken with last
}

// topicOf is the topic of a chat in which its household was last spoken with.
func (t *Turn) topicOf(chat string) string {
	data, err := t.Snap.Adapter(chat)
	if err != nil {
		t.Fail(err)
	}
	var notes groupNotes
	json.Unmarshal(data, &notes) // what cannot be read is no reason to say nothing
	return notes.Topic
}

// keepTopic notes the topic of the turn's event.
func (t *Turn) keepTopic() {
	if !t.Event.Group || t.topicOf(t.Event.Chat) == t.Event.Topic {
		return
	}
	var data []byte
	if t.Event.Topic != "" {
		data, _ = json.Marshal(groupNotes{t.Event.Topic}) // never fails
	}
	t.Write(store.PutAdapter{Chat: t.Event.Chat, Notes: data})
}

// topicFor is the topic of a chat into which a reply of the turn goes.
func (t *Turn) topicFor(chat string) string {
	if chat == t.Event.Chat {
		return t.Event.Topic
	}
	return t.topicOf(chat)
}

package talk

import (
	"encoding/json"
	"fmt"

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
func topicOf(tx store.Tx, chat string) (string, error) {
	data, err := tx.Adapter(chat)
	var notes groupNotes
	if err != nil || len(data) == 0 || json.Unmarshal(data, &notes) != nil {
		return "", err // what cannot be read is no reason to say nothing
	}
	return notes.Topic, nil
}

// keepTopic notes the topic of the turn's event.
func (t *Turn) keepTopic(tx store.Tx) error {
	if !t.Event.Group {
		return nil
	}
	was, err := topicOf(tx, t.Event.Chat)
	if err != nil || was == t.Event.Topic {
		return err
	}
	if t.Event.Topic == "" {
		return tx.PutAdapter(t.Event.Chat, nil)
	}
	data, err := json.Marshal(groupNotes{t.Event.Topic})
	if err != nil {
		return fmt.Errorf("bot: encode notes: %w", err)
	}
	return tx.PutAdapter(t.Event.Chat, data)
}

// topicFor is the topic of a chat into which a reply of the turn goes.
func (t *Turn) topicFor(tx store.Tx, chat string) (string, error) {
	if chat == t.Event.Chat {
		return t.Event.Topic, nil
	}
	return topicOf(tx, chat)
}

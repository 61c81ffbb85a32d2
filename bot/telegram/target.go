package telegram

import "strconv"

// target is where messages go: a chat, or a topic of it.
type target struct {
	name  string // of the chat, with the adapter's prefix
	topic string // as update.topic has it
}

// chat is the platform's id of the chat.
func (t target) chat() int64 {
	id, _ := chatID(t.name)
	return id
}

// thread is the platform's id of the topic, 0 where the message goes into none.
func (t target) thread() int {
	n, err := strconv.Atoi(t.topic)
	if err != nil {
		return 0
	}
	return n
}

// noSuchTopic are refusals of a message because of its topic, which is gone or
// closed (from memory of the platform's answers).
var noSuchTopic = []string{"message thread not found", "topic_deleted", "topic_closed", "topic_id_invalid"}

// topicGone reports that a message was refused because of its topic.
func topicGone(err error) bool { return says(err, noSuchTopic...) }

package standin

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strconv"
	"strings"
)

// Person is somebody who talks to the bot. The platform gives the private
// chat with a person the person's own id.
type Person struct {
	ID       int64
	Name     string
	Username string
}

// Button is a button under a message.
type Button struct{ Text, Data string }

// Message is a message in a chat, as it stands there now.
type Message struct {
	ID      int64
	Chat    int64
	Topic   int64  // of the chat, 0 where it is in none
	Bot     bool   // the bot wrote it
	Text    string // or caption, without markup
	HTML    string // as it was sent
	File    []byte // of a picture or document
	Name    string // its method's field: "photo", "document"
	Title   string // the file's own name, where it was uploaded
	Buttons [][]Button
	Edited  int // how often
}

type chat struct {
	id       int64
	kind     string
	title    string
	messages []*Message
	blocked  bool
	kicked   bool           // the bot is out of it
	out      map[int64]bool // people who are not in it
	movedTo  int64
	topics   map[int64]bool // those that are open; nil in a chat without
}

// locked locks the world, and returns what unlocks it.
func (s *Server) locked() (unlock func()) {
	s.mu.Lock()
	return s.mu.Unlock
}

// addChat makes a chat known.
func (s *Server) addChat(id int64, kind, title string) *chat {
	c := &chat{id: id, kind: kind, title: title, out: map[int64]bool{}}
	s.chats[id] = c
	return c
}

// AddGroup makes a group known; id is negative.
func (s *Server) AddGroup(id int64, title string) {
	defer s.locked()()
	s.addChat(id, "group", title)
}

// AddForum makes a group known that is divided into topics, besides the
// general one, which has no id.
func (s *Server) AddForum(id int64, title string, topics ...int64) {
	defer s.locked()()
	c := s.addChat(id, "supergroup", title)
	c.topics = map[int64]bool{}
	for _, t := range topics {
		c.topics[t] = true
	}
}

// DeleteTopic takes a topic out of a group.
func (s *Server) DeleteTopic(id, topic int64) {
	defer s.locked()()
	delete(s.chats[id].topics, topic)
}

// Block makes a chat refuse the bot's messages, or take them again.
func (s *Server) Block(id int64, yes bool) {
	defer s.locked()()
	if c := s.chats[id]; c != nil {
		c.blocked = yes
	}
}

// Migrate makes a group another chat: calls for the old one are answered with
// the new id from then on, and the bot is told by an update.
func (s *Server) Migrate(from, to int64) {
	defer s.locked()()
	old := s.chats[from]
	s.addChat(to, "supergroup", old.title)
	old.movedTo = to
	m := s.message(old, s.newMessage(), describe(Person{ID: 1, Name: "Ines"}))
	m["migrate_to_chat_id"] = to
	s.push(map[string]any{"message": m})
}

// Greet makes the private chat with a person known, as if the person had
// written in it before.
func (s *Server) Greet(p Person) {
	defer s.locked()()
	s.known(p, 0)
}

// Say has a person write a text in a chat (0: in the private chat with the
// bot) and returns the id of the update that tells the bot of it.
func (s *Server) Say(p Person, chatID int64, text string) int64 {
	return s.SayMore(p, chatID, text, nil)
}

// SayMore is Say with more fields of the message: "entities", "caption".
func (s *Server) SayMore(p Person, chatID int64, text string, more map[string]any) int64 {
	defer s.locked()()
	return s.write(s.known(p, chatID), p, 0, text, more)
}

// SayIn has a person write a text in a topic of a group.
func (s *Server) SayIn(p Person, chatID, topic int64, text string) int64 {
	defer s.locked()()
	c := s.chats[chatID]
	if !c.topics[topic] {
		panic(fmt.Sprintf("standin: %d has no topic %d", chatID, topic))
	}
	// The platform makes it a reply to the message that made the topic.
	made := s.message(c, topic, describe(Person{ID: 1, Name: "Ines"}))
	made["message_thread_id"], made["is_topic_message"], made["forum_topic_created"] = topic, true, map[string]any{"name": "Topic", "icon_color": 7322096}
	return s.write(c, p, topic, text, map[string]any{"message_thread_id": topic, "is_topic_message": true, "reply_to_message": made})
}

// write puts a person's message into a chat and tells the bot of it. The lock
// is held.
func (s *Server) write(c *chat, p Person, topic int64, text string, more map[string]any) int64 {
	id := s.newMessage()
	c.messages = append(c.messages, &Message{ID: id, Chat: c.id, Topic: topic, Text: text})
	m := s.message(c, id, describe(p))
	if text != "" {
		m["text"] = text
	}
	maps.Copy(m, more)
	return s.push(map[string]any{"message": m})
}

// Edit has a person edit a message of theirs.
func (s *Server) Edit(p Person, text string) int64 {
	defer s.locked()()
	c := s.known(p, 0)
	m := s.message(c, s.messages, describe(p))
	m["edit_date"], m["text"] = m["date"], text
	return s.push(map[string]any{"edited_message": m})
}

// Press has a person press a button with that data under a message and
// returns the update's id. Whether the button is there is not checked: old
// ones can be replayed.
func (s *Server) Press(p Person, chatID, messageID int64, data string) int64 {
	defer s.locked()()
	c := s.known(p, chatID)
	under := s.message(c, messageID, itself)
	for _, m := range c.messages {
		if m.ID == messageID {
			m.inTopic(under)
		}
	}
	id := s.nextID
	return s.push(map[string]any{"callback_query": map[string]any{
		"id": "press-" + strconv.FormatInt(id, 10), "from": describe(p), "message": under, "chat_instance": "1", "data": data,
	}})
}

// Push gives out an update as it is, be it malformed; id must be above those
// before.
func (s *Server) Push(id int64, body string) {
	defer s.locked()()
	s.updates = append(s.updates, Update{ID: id, Body: json.RawMessage(body)})
	s.nextID = max(s.nextID, id+1)
	s.notify()
}

// push gives an update the next id. The lock is held.
func (s *Server) push(u map[string]any) int64 {
	id := s.nextID
	s.nextID++
	u["update_id"] = id
	body, err := json.Marshal(u)
	if err != nil {
		panic(fmt.Sprintf("standin: %v", err)) // a map of plain values
	}
	s.updates = append(s.updates, Update{id, body, chatOf(body)})
	s.notify()
	return id
}

func (s *Server) newMessage() int64 {
	s.messages++
	return s.messages
}

// known returns a chat, which a person who writes privately makes known.
func (s *Server) known(p Person, id int64) *chat {
	if id == 0 {
		id = p.ID
	}
	if c := s.chats[id]; c != nil {
		return c
	}
	return s.addChat(id, "private", p.Name)
}

// itself is the bot.
var itself = map[string]any{"id": ID, "is_bot": true, "first_name": "Bowlwright", "username": Username}

// message is what every message has.
func (s *Server) message(c *chat, id int64, from map[string]any) map[string]any {
	return map[string]any{"message_id": id, "date": s.o.Now().Unix(), "chat": c.describe(), "from": from}
}

func describe(p Person) map[string]any {
	u := map[string]any{"id": p.ID, "is_bot": false, "first_name": p.Name}
	if p.Username != "" {
		u["username"] = p.Username
	}
	return u
}

// inTopic adds to a message's description in which topic it is.
func (m *Message) inTopic(described map[string]any) {
	if m.Topic != 0 {
		described["message_thread_id"], described["is_topic_message"] = m.Topic, true
	}
}

func (c *chat) describe() map[string]any {
	if c.kind == "private" {
		return map[string]any{"id": c.id, "type": c.kind, "first_name": c.title}
	}
	d := map[string]any{"id": c.id, "type": c.kind, "title": c.title}
	if c.topics != nil {
		d["is_forum"] = true
	}
	return d
}

// Messages returns the messages of a chat as they stand there now.
func (s *Server) Messages(chatID int64) []Message {
	defer s.locked()()
	c := s.chats[chatID]
	if c == nil {
		return nil
	}
	var out []Message
	for _, m := range c.messages {
		out = append(out, *m)
	}
	return out
}

// FromBot returns the messages of a chat that the bot wrote.
func (s *Server) FromBot(chatID int64) []Message {
	return slices.DeleteFunc(s.Messages(chatID), func(m Message) bool { return !m.Bot })
}

// Calls returns the calls of a method so far, all where it is empty; those of
// getUpdates are only counted.
func (s *Server) Calls(method string) []Call {
	defer s.locked()()
	return slices.DeleteFunc(slices.Clone(s.calls), func(c Call) bool { return method != "" && c.Method != method })
}

// State is what has become of the stand-in.
type State struct {
	Asked       int      // how often the bot has asked for updates and been answered
	Sent        int      // messages that the bot has sent
	Unconfirmed int      // updates that the bot has not confirmed
	NextID      int64    // that the next update will have
	Webhook     string   // the address that the bot set, empty where none
	Breaches    []string // how the platform's limits of sending were broken
}

// State returns what has become of it so far.
func (s *Server) State() State {
	defer s.locked()()
	return State{s.asked, s.sent, len(s.updates), s.nextID, s.webhook, slices.Clone(s.rates.breaches)}
}

// Quit takes a person out of a group. The bot is told by an update of a kind
// ("chat_member", which only an administrator gets who asks for it), by a
// message of the platform in the group ("message"), or not at all.
func (s *Server) Quit(p Person, chatID int64, told string) {
	defer s.locked()()
	c := s.chats[chatID]
	c.out[p.ID] = true
	switch told {
	case "chat_member":
		if !strings.Contains(s.kinds, `"chat_member"`) {
			return
		}
		s.push(map[string]any{told: s.change(c, p, describe(p), "left")})
	case "message":
		s.write(c, p, 0, "", map[string]any{"left_chat_member": describe(p)})
	}
}

// Expel has a person remove the bot from a group, or take it in again, and
// tells it so.
func (s *Server) Expel(p Person, chatID int64, out bool) {
	defer s.locked()()
	c := s.chats[chatID]
	c.kicked = out
	status := "member"
	if out {
		status = "kicked"
	}
	s.push(map[string]any{"my_chat_member": s.change(c, p, itself, status)})
}

// change describes what became of a member.
func (s *Server) change(c *chat, by Person, whom map[string]any, status string) map[string]any {
	return map[string]any{"chat": c.describe(), "from": describe(by), "date": s.o.Now().Unix(),
		"old_chat_member": map[string]any{"user": whom, "status": "member"},
		"new_chat_member": map[string]any{"user": whom, "status": status, "until_date": 0}}
}

func (s *Server) getMember(c *Call) any {
	in, no := s.place(c)
	if no != nil {
		return no
	}
	who := number(c.Fields["user_id"])
	user := map[string]any{"id": who, "is_bot": false, "first_name": "Somebody"}
	return map[string]any{"status": map[bool]string{true: "left", false: "member"}[in.out[who]], "user": user}
}

// expelled is the refusal in a group that the bot was removed from.
var expelled = refusal{Code: http.StatusForbidden, Description: "Forbidden: bot was kicked from the group chat"}

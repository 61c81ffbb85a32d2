package telegram

import (
	"cmp"
	"encoding/json"
	"strconv"
	"strings"
	"time"
	"unicode/utf16"

	"bowlwright/bot"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
)

// Prefix is what the names of this adapter's chats, people and events begin
// with.
const Prefix = "telegram/"

// update is the part of an update that matters here. The library's own type is
// not used for receiving: it fails the whole update where the platform adds a
// new kind of something that nobody here reads.
type update struct {
	ID       int64      `json:"update_id"`
	Message  *message   `json:"message"`
	Edited   *message   `json:"edited_message"`
	Callback *callback  `json:"callback_query"`
	Mine     *memberNow `json:"my_chat_member"` // of the bot itself
	Member   *memberNow `json:"chat_member"`    // of another, where the bot is an administrator
}

type user struct {
	ID        int64  `json:"id"`
	IsBot     bool   `json:"is_bot"`
	FirstName string `json:"first_name"`
	LastName  string `json:"last_name"`
	Username  string `json:"username"`
}

type chat struct {
	ID   int64  `json:"id"`
	Type string `json:"type"` // "private", "group", "supergroup", "channel"
}

type message struct {
	ID       int64     `json:"message_id"`
	From     *user     `json:"from"`
	As       *chat     `json:"sender_chat"` // in whose name it is written, where not in the person's own
	Chat     chat      `json:"chat"`
	Date     int64     `json:"date"` // seconds since 1970
	Text     string    `json:"text"`
	Entities []entity  `json:"entities"`
	Document *document `json:"document"`
	Caption  string    `json:"caption"`
	CaptionE []entity  `json:"caption_entities"`
	ReplyTo  *struct {
		From   *user `json:"from"`
		Markup struct {
			Buttons [][]struct {
				Data string `json:"callback_data"`
			} `json:"inline_keyboard"`
		} `json:"reply_markup"`
		// A message in a topic that replies to none of them comes as a reply to
		// the making of the topic.
		TopicMade *struct{} `json:"forum_topic_created"`
	} `json:"reply_to_message"`
	Thread      int64 `json:"message_thread_id"` // of replies, and of topics
	InTopic     bool  `json:"is_topic_message"`
	MigrateTo   int64 `json:"migrate_to_chat_id"`
	MigrateFrom int64 `json:"migrate_from_chat_id"`

	// What comes without words of the person's own: nobody said anything.
	NewMembers []user `json:"new_chat_members"`
	LeftMember *user  `json:"left_chat_member"`
	NewTitle   string `json:"new_chat_title"`
	Pinned     *struct {
		ID int64 `json:"message_id"`
	} `json:"pinned_message"`
	GroupMade bool `json:"group_chat_created"`
	SuperMade bool `json:"supergroup_chat_created"`
}

type entity struct {
	Type   string `json:"type"`
	Offset int    `json:"offset"` // UTF-16 code units
	Length int    `json:"length"`
	User   *user  `json:"user"`
}

type callback struct {
	ID      string   `json:"id"`
	From    user     `json:"from"`
	Message *message `json:"message"` // without a date where the platform no longer has it
	Data    string   `json:"data"`
}

type memberNow struct {
	Chat chat `json:"chat"`
	New  struct {
		Status string `json:"status"`
		Is     bool   `json:"is_member"` // of status "restricted"
		User   user   `json:"user"`
	} `json:"new_chat_member"`
}

// out reports that the member is in the chat no longer (Bot API
// documentation: ChatMember).
func (m *memberNow) out() bool {
	return isOut(m.New.Status, m.New.Is)
}

func isOut(status string, is bool) bool {
	return status == "left" || status == "kicked" || status == "restricted" && !is
}

// membership is what an update tells of who is in a chat, nil where it tells
// nothing. Somebody's leaving can also come as a message.
func (u *update) membership() *memberNow {
	switch {
	case u.Mine != nil:
		return u.Mine
	case u.Member != nil:
		return u.Member
	case u.Message != nil && u.Message.LeftMember != nil:
		m := &memberNow{Chat: u.Message.Chat}
		m.New.Status, m.New.User = "left", *u.Message.LeftMember
		return m
	}
	return nil
}

// decode reads one update. Its error is without the update's content.
func decode(body []byte) (update, error) {
	var u update
	if err := json.Unmarshal(body, &u); err != nil {
		return u, errUnreadable
	}
	return u, nil
}

// in is the message that an update is, or is about; nil where there is none.
func (u *update) in() *message {
	if u.Callback != nil {
		return u.Callback.Message
	}
	return cmp.Or(u.Message, u.Edited)
}

// about returns the chat and the person of an update; ok is false where it
// has none.
func (u *update) about() (c chat, p user, ok bool) {
	in := u.in()
	switch m := u.membership(); {
	case m != nil:
		return m.Chat, m.New.User, true
	case in != nil && u.Callback != nil:
		return in.Chat, u.Callback.From, true
	case in != nil && in.From != nil:
		return in.Chat, *in.From, true
	}
	return chat{}, user{}, false
}

// topic is the topic of the chat in which it happened, empty where in none. A
// thread of replies is no topic: the platform takes no message for one.
func (u *update) topic() string {
	if m := u.in(); m != nil && m.InTopic {
		return strconv.FormatInt(m.Thread, 10)
	}
	return ""
}

func (c chat) group() bool { return c.Type == "group" || c.Type == "supergroup" }

// name is what the assistant knows a chat by.
func (c chat) name() string { return Prefix + strconv.FormatInt(c.ID, 10) }

// chatID is the reverse of chat.name.
func chatID(name string) (int64, bool) {
	digits, ok := strings.CutPrefix(name, Prefix)
	id, err := strconv.ParseInt(digits, 10, 64)
	return id, ok && err == nil
}

// IsGroup reports whether a chat is a group: the platform gives people
// positive ids and groups negative ones.
func IsGroup(chat string) bool {
	id, ok := chatID(chat)
	return ok && id < 0
}

func (u user) name() string {
	for _, s := range []string{u.FirstName, u.Username, u.LastName} {
		if s = strings.TrimSpace(say.Printable(strings.ReplaceAll(s, "\n", " "))); s != "" {
			return s
		}
	}
	return strconv.FormatInt(u.ID, 10)
}

// event makes an event of an update; ok is false where there is nothing in it
// for the assistant. me is the bot itself, now stands in for a press, which
// carries no time.
func (u *update) event(me user, now time.Time) (e talk.Event, ok bool) {
	c, p, ok := u.about()
	if !ok || p.IsBot || c.Type == "channel" || u.Message != nil && u.Message.As != nil {
		return e, false
	}
	e = talk.Event{
		ID: Prefix + strconv.FormatInt(u.ID, 10), Chat: c.name(), Person: chat{ID: p.ID}.name(), Name: p.name(), Handle: p.Username,
		At: now, Group: c.group(), Topic: u.topic(), Opens: me.opens(),
	}
	switch {
	case u.Callback != nil:
		e.Press = u.Callback.Data
		e.Message = strconv.FormatInt(u.Callback.Message.ID, 10)
		return e, e.Press != ""
	case u.Message != nil:
		if u.Message.service() {
			return e, false
		}
		if u.Message.Date > 0 {
			e.At = time.Unix(u.Message.Date, 0)
		}
		e.Text, e.Addressed = u.Message.words(me)
		e.Under = u.Message.under(me)
		return e, e.Text != "" || !e.Group || e.Addressed && u.Message.file() != nil
	}
	return e, false
}

// anonymous reports that somebody spoke to the bot in the name of the group, as
// its administrators may. The platform then names a user of its own as the
// writer, as it does for the posts of a linked channel, so nobody knows who it
// is.
func (u *update) anonymous(me user) bool {
	m := u.Message
	if m == nil || m.As == nil || m.As.ID != m.Chat.ID || m.service() {
		return false
	}
	e := talk.Event{Group: true}
	e.Text, e.Addressed = m.words(me)
	return bot.Meant(e)
}

// service reports that the platform speaks, not the person.
func (m *message) service() bool {
	return m.MigrateTo != 0 || m.MigrateFrom != 0 || len(m.NewMembers) > 0 || m.LeftMember != nil ||
		m.NewTitle != "" || m.Pinned != nil || m.GroupMade || m.SuperMade
}

// under returns what stands on the buttons of the bot's message that this one
// replies to.
func (m *message) under(me user) (data []string) {
	if m.ReplyTo == nil || m.ReplyTo.From == nil || m.ReplyTo.From.ID != me.ID {
		return nil
	}
	for _, row := range m.ReplyTo.Markup.Buttons {
		for _, b := range row {
			data = append(data, b.Data)
		}
	}
	return data
}

// words returns what was typed, without mentions of the bot, and whether it
// was addressed to it.
func (m *message) words(me user) (text string, addressed bool) {
	text, entities := m.Text, m.Entities
	if text == "" {
		text, entities = m.Caption, m.CaptionE
	}
	addressed = m.ReplyTo != nil && m.ReplyTo.TopicMade == nil && m.ReplyTo.From != nil && m.ReplyTo.From.ID == me.ID
	if len(entities) == 0 {
		return text, addressed
	}
	wide := utf16.Encode([]rune(text))
	at := "@" + me.Username
	for i := len(entities) - 1; i >= 0; i-- {
		n := entities[i]
		if n.Offset < 0 || n.Length <= 0 || n.Offset > len(wide) || n.Length > len(wide)-n.Offset {
			continue
		}
		said := string(utf16.Decode(wide[n.Offset : n.Offset+n.Length]))
		switch {
		case n.Type == "mention" && strings.EqualFold(said, at), n.Type == "text_mention" && n.User != nil && n.User.ID == me.ID:
			addressed = true
			wide = append(wide[:n.Offset:n.Offset], wide[n.Offset+n.Length:]...)
		case n.Type == "bot_command":
			if _, whose, named := strings.Cut(said, "@"); named && strings.EqualFold("@"+whose, at) {
				addressed = true
			} else if named {
				return "", false // another bot's
			}
		}
	}
	return strings.TrimSpace(string(utf16.Decode(wide))), addressed
}

// People is a list of people, each by id or by username.
type People map[string]bool

// NewPeople makes a list of ids and usernames; what has digits alone is an id.
func NewPeople(all []string) People {
	p := People{}
	for _, who := range all {
		if strings.Trim(who, "0123456789") != "" {
			who = "@" + strings.ToLower(strings.TrimPrefix(who, "@"))
		}
		p[who] = true
	}
	return p
}

// Has reports whether somebody is in the list.
func (p People) Has(id, username string) bool {
	return p[id] || username != "" && p["@"+strings.ToLower(username)]
}

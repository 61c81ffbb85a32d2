package telegram

import (
	"context"
	"errors"
	"strconv"
	"sync"
	"time"

	tg "github.com/go-telegram/bot"
	"github.com/go-telegram/bot/models"

	"bowlwright/bot/delivery"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/store"
)

// sendTimeout bounds one call; our own choice.
const sendTimeout = 30 * time.Second

// sender implements delivery.Sender.
type sender struct {
	c     *client
	store store.Store

	mu       sync.Mutex
	sent     map[uint64]int   // parts of a message that went before one failed
	lastSeen map[target]int64 // the newest message of a chat, or of a topic
}

// Send puts a reply on the wire, in several messages where it is longer than
// one may be. Parts that went through before a failure are not repeated by
// the same process.
func (s *sender) Send(ctx context.Context, m store.Outgoing) error {
	to := target{m.Chat, m.Topic}
	_, ok := chatID(m.Chat)
	r, err := say.DecodeReply(m.Body)
	if err != nil || !ok {
		return &delivery.Failure{Kind: delivery.Never, Err: errors.New("the message cannot be read")}
	}
	parts := s.parts(r)
	if len(parts) == 0 && r.Quiet {
		return nil
	}
	if len(parts) == 0 {
		return &delivery.Failure{Kind: delivery.Never, Err: errors.New("there is nothing in the message")}
	}
	s.mu.Lock()
	first := s.sent[m.Number]
	s.mu.Unlock()
	for i := min(first, len(parts)); i < len(parts); i++ {
		if i > first {
			// Each part counts as a message at the platform.
			if err := delivery.Another(ctx); err != nil {
				return &delivery.Failure{Kind: delivery.Retry, Err: errors.New("stopped between two parts")}
			}
		}
		if err := s.part(ctx, &to, parts[i]); err != nil {
			s.keepProgress(m.Number, i, err.Kind)
			return err
		}
		s.keepProgress(m.Number, i+1, delivery.Retry)
	}
	s.keepProgress(m.Number, 0, delivery.Never)
	return nil
}

// keepProgress remembers how many parts of a message went, and forgets it
// where the message will not be tried again. One that is not in the outbox has
// no number, and nothing to remember it by.
func (s *sender) keepProgress(number uint64, parts int, k delivery.Kind) {
	if number == 0 {
		return
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if parts == 0 || k == delivery.Never || k == delivery.Blocked {
		delete(s.sent, number)
		return
	}
	s.sent[number] = parts
}

// edit puts a part in the place of a message. It is not done where the
// platform says that this message cannot be edited; then it is sent anew.
func (s *sender) edit(ctx context.Context, to target, p part) (done bool, f *delivery.Failure) {
	said, mode := p.text()
	_, err := s.c.bot.EditMessageText(ctx, &tg.EditMessageTextParams{
		ChatID: to.chat(), MessageID: int(p.inPlace), Text: said, ParseMode: mode,
		LinkPreviewOptions: noPreview(p.html), ReplyMarkup: keyboard(p.buttons),
	})
	if err == nil {
		return true, nil
	}
	if !p.plain && markupRefused(err) {
		p.plain = true
		return s.edit(ctx, to, p)
	}
	f = classify("editMessageText", err)
	if f.Kind != delivery.Never {
		return false, f
	}
	// It is as it should be already where an earlier attempt got through.
	return says(err, "message is not modified"), nil
}

// mostChats is of how many chats and topics the newest message is remembered.
// Where it is not, an edit may happen out of sight, which is no more than a
// nuisance.
const mostChats = 20000

// seen notes a message of a chat or topic, whoever wrote it.
func (s *sender) seen(in target, id int64) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if _, known := s.lastSeen[in]; !known && len(s.lastSeen) >= mostChats {
		for c := range s.lastSeen { // any
			delete(s.lastSeen, c)
			break
		}
	}
	s.lastSeen[in] = max(s.lastSeen[in], id)
}

// isLast reports that no newer message of a chat or topic is known, so that
// whoever looks at it sees this one.
func (s *sender) isLast(in target, id int64) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.lastSeen[in] <= id
}

// keyboard sets buttons under a message; nil where there are none. (A nil of
// a pointer's type would be sent as "null".)
func keyboard(rows [][]say.Button) models.ReplyMarkup {
	var out [][]models.InlineKeyboardButton
	for _, row := range rows {
		if len(row) > 0 {
			out = append(out, say.Each(row, func(b say.Button) models.InlineKeyboardButton {
				return models.InlineKeyboardButton{Text: say.Printable(b.Label), CallbackData: b.Data}
			}))
		}
	}
	if len(out) == 0 {
		return nil
	}
	return &models.InlineKeyboardMarkup{InlineKeyboard: out}
}

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

// change puts a part in the place of the message that it names or, of a quiet one,
// of that which the chat has under its name. Nothing is left to do where a quiet
// one has no place.
func (s *sender) change(ctx context.Context, to target, p *part) (done bool, f *delivery.Failure) {
	if p.quiet {
		p.inPlace = s.liveIn(ctx, to.name, p.live)
	}
	if p.inPlace == 0 {
		return p.quiet, nil
	}
	if done, f = s.edit(ctx, to, *p); done && !p.quiet {
		s.keepLive(ctx, to.name, p.live, strconv.FormatInt(p.inPlace, 10))
	}
	return done || p.quiet && f == nil, f
}

// liveIn is the message that a chat has under a name, 0 where it has none.
func (s *sender) liveIn(ctx context.Context, chat, name string) int64 {
	notes, _ := store.Look(ctx, s.store, func(snap store.Snapshot) (talk.ChatNotes, error) { return talk.NotesOf(snap, chat) })
	id, _ := strconv.ParseInt(notes.Live[name], 10, 64)
	return id
}

// keepLive notes which message a chat has under a name. Where the store fails, that
// one is not changed from elsewhere, and is by its own buttons.
func (s *sender) keepLive(ctx context.Context, chat, name, id string) {
	store.Answer(context.WithoutCancel(ctx), s.store, func(snap store.Snapshot) (c store.Commit, err error) {
		notes, err := talk.NotesOf(snap, chat)
		if err != nil || notes.Live[name] == id {
			return c, err
		}
		if notes.Live == nil {
			notes.Live = map[string]string{}
		}
		notes.Live[name] = id
		c.Writes = []store.Write{notes.Put(chat)}
		return c, nil
	})
}

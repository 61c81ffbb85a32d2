package telegram

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"strconv"
	"strings"
	"sync"
	"time"

	tg "github.com/go-telegram/bot"
	"github.com/go-telegram/bot/models"

	"bowlwright/bot"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/store"
)

// Our own choices.
const (
	handleTimeout = 20 * time.Second // of one event
	tries         = 3                // of an event at which the store fails for no known reason
	tellAgain     = time.Hour        // until somebody is told the same refusal again
	floodAgain    = time.Minute      // until somebody is told again that not all is read
)

// handle does what one update asks, once. It always comes to an end: the
// update is either done, or answered with an apology, or left in the inbox
// because the program is stopping.
func (a *Adapter) handle(j job) {
	u := &j.update
	c, p, _ := u.about()
	moves, m := u.Message != nil && (u.Message.MigrateTo != 0 || u.Message.MigrateFrom != 0), u.membership()
	if moves || m != nil {
		if moves && a.move(u) == nil || !moves && a.membership(m) == nil { // else it stays for the next run
			a.finish(u.ID, "handled", j.at)
		}
		return
	}
	if !a.allowed(p) {
		if !c.group() && a.told.first(j.chat, a.o.Now(), tellAgain) {
			a.say(j, bot.PrivateText())
		}
		a.finish(u.ID, "refused", j.at)
		return
	}
	if u.Edited != nil {
		if !c.group() && u.Edited.Text != "" {
			a.say(j, bot.EditedText())
		}
		a.finish(u.ID, "ignored", j.at)
		return
	}
	e, ok := u.event(a.client.me, a.o.Now())
	if !ok {
		if u.anonymous(a.client.me) && a.told.first("anonymous "+j.chat, a.o.Now(), tellAgain) {
			a.say(j, bot.AnonymousText())
		}
		a.finish(u.ID, "ignored", j.at)
		return
	}
	a.stillIn(e, p)
	if d := u.Message.file(); d != nil && (!e.Group || e.Addressed) {
		var err error
		if e.File, err = a.client.fetch(a.ended, d); err != nil && a.ended.Err() == nil {
			a.o.Log.Warn("a file could not be fetched", "update", e.ID, "error", kindOf(err))
			e.File = []byte("none")
		}
	}
	switch err := a.insist(e, u); {
	case err == nil:
		if strings.HasPrefix(e.Text, "/start") {
			a.stillIn(e, p) // a link may have brought the person to a household
		}
		a.o.Wake(e.Chat)
		a.finish(u.ID, "handled", j.at)
	case a.ended.Err() != nil:
		// The update stays where it is, for the next run.
	default:
		a.say(j, talk.TroubleText(err))
		a.finish(u.ID, "failed", j.at)
	}
}

// insist hands an event to the assistant until it is done or hopeless. A store
// without room will have some again; nothing was lost.
func (a *Adapter) insist(e talk.Event, u *update) error {
	for n, pause := 1, firstPause; ; n, pause = n+1, min(2*pause, longestPause) {
		err := a.try(e)
		switch code := store.CodeOf(err); {
		case err == nil:
			return nil
		case code == store.Damaged:
			return a.check(err)
		case code == store.Full, code == store.Busy, code == store.ReadOnly, code == store.Lost:
			a.check(err)
			a.unkept(u, err)
		case code == "", n >= tries:
			a.o.Log.Error("an update failed", "update", e.ID, "error", kindOf(err))
			return err
		}
		if !store.Pause(a.ended, pause) {
			return err
		}
	}
}

// errPanic is what a panic of the handler becomes.
var errPanic = errors.New("telegram: panic")

// try hands an event to the assistant once. A panic is an error; the stack
// goes into the log, what was typed does not.
func (a *Adapter) try(e talk.Event) (err error) {
	ctx, cancel := context.WithTimeout(a.ended, handleTimeout)
	defer cancel()
	defer func() {
		if p := recover(); p != nil {
			// A panic's own value may quote the message.
			a.o.Log.Error("a handler panicked", "update", e.ID, "kind", fmt.Sprintf("%T", p), "stack", string(debug.Stack()))
			err = errPanic
		}
	}()
	return a.handler.Handle(ctx, e)
}

// kindOf names an error without its text, which may quote a message where it
// is not the store's.
func kindOf(err error) string {
	var e *store.Error
	if errors.As(err, &e) {
		return e.Error()
	}
	if errors.Is(err, errPanic) || errors.Is(err, context.DeadlineExceeded) {
		return err.Error()
	}
	return fmt.Sprintf("%T", err)
}

// say answers an update that the assistant is not to see, or failed at, and
// marks it as done, so that it is not tried again.
func (a *Adapter) say(j job, text string) {
	body := say.EncodeReply(say.Reply{Body: []say.Block{{Text: text}}})
	id := Prefix + strconv.FormatInt(j.update.ID, 10)
	now := a.o.Now()
	out := store.Enqueue{Chat: j.chat, Topic: j.update.topic(), Event: id, At: now, Expires: now.Add(24 * time.Hour), Body: body}
	if a.check(a.store.Commit(a.ended, store.Commit{Event: id, At: now, Writes: []store.Write{out}})) == nil {
		a.o.Wake(j.chat)
	}
}

// flood tells somebody who writes far more at once than is read. It goes past
// the outbox, in which the answers to what was read wait.
func (a *Adapter) flood(dropped []job) {
	j, now := dropped[0], a.o.Now()
	if _, p, _ := j.update.about(); a.allowed(p) && a.told.first("flood "+j.chat, now, floodAgain) {
		a.beside(store.Outgoing{Chat: j.chat, Topic: j.update.topic(), Event: Prefix + strconv.FormatInt(j.update.ID, 10)}, bot.FloodText(newest))
	}
	for _, j := range dropped {
		a.finish(j.update.ID, "flood", j.at)
	}
}

// beside sends a text past the outbox.
func (a *Adapter) beside(m store.Outgoing, text string) {
	m.At = a.o.Now()
	m.Expires = m.At.Add(newsFor)
	m.Body = say.EncodeReply(say.Reply{Body: []say.Block{{Text: text}}})
	a.o.Aside(m)
}

// move takes over what a group had before it became another chat. Both chats
// are told of it; the second time there is nothing left to move.
func (a *Adapter) move(u *update) error {
	from, to := u.Message.Chat, chat{ID: u.Message.MigrateTo}
	if u.Message.MigrateFrom != 0 {
		from, to = chat{ID: u.Message.MigrateFrom}, u.Message.Chat
	}
	if err := a.check(a.o.Move(a.ended, from.name(), to.name())); err != nil {
		return err
	}
	a.o.Log.Info("a group became another chat", "from", from.ID, "to", to.ID)
	a.o.Wake(to.name())
	return nil
}

// toldChats remembers who was told something of late.
type toldChats struct {
	mu sync.Mutex
	at map[string]time.Time
}

// first reports that a chat was not told within a time, and notes it.
func (t *toldChats) first(chat string, now time.Time, within time.Duration) bool {
	t.mu.Lock()
	defer t.mu.Unlock()
	if at, ok := t.at[chat]; ok && now.Sub(at) < within {
		return false
	}
	if t.at == nil || len(t.at) >= mostWaiting {
		t.at = map[string]time.Time{}
	}
	t.at[chat] = now
	return true
}

// On a full disk nothing goes through the outbox, so the news of it goes past
// it: to each chat once an hour.

// newsFor is for how long what goes past the outbox is worth saying; our own
// choice.
const newsFor = 10 * time.Minute

// unkept tells the chat of an update that there is no room to store it, if it
// was meant for the bot.
func (a *Adapter) unkept(u *update, err error) {
	if u == nil || store.CodeOf(err) != store.Full {
		return
	}
	now := a.o.Now()
	e, ok := u.event(a.client.me, now)
	if !ok || !bot.Meant(e) {
		return
	}
	if _, p, _ := u.about(); !a.allowed(p) || !a.told.first("full "+e.Chat, now, tellAgain) {
		return
	}
	a.beside(store.Outgoing{Chat: e.Chat, Topic: e.Topic, Event: e.ID}, bot.FullText())
}

// askAgain is for how long an answer that somebody is in a group holds; our own
// choice.
const askAgain = 5 * time.Minute

// membership takes note of who has come to a chat or left it. A chat without
// the bot takes no messages.
func (a *Adapter) membership(m *memberNow) error {
	now := a.o.Now()
	switch {
	case m.New.User.ID != a.client.me.ID:
		if a.o.Groups == nil || !m.Chat.group() || !m.out() {
			return nil
		}
		if err := a.check(a.o.Groups.LeftGroup(a.ended, m.Chat.name(), chat{ID: m.New.User.ID}.name(), now)); err != nil {
			return err
		}
		a.o.Wake(m.Chat.name())
		return nil
	case m.out():
		return a.block(a.ended, m.Chat.name(), now)
	default:
		defer a.o.Wake(m.Chat.name())
		return a.block(a.ended, m.Chat.name(), time.Time{})
	}
}

// stillIn asks the platform whether a person who writes in private is in the
// group of the household, since it does not tell of everybody who leaves.
// What the platform does not know changes nothing.
func (a *Adapter) stillIn(e talk.Event, p user) {
	if a.o.Groups == nil || e.Group {
		return
	}
	ctx, now := a.ended, a.o.Now()
	group, err := a.o.Groups.GroupOf(ctx, e.Chat, e.Person)
	a.check(err)
	id, ok := chatID(group)
	if !ok || !a.asked.first(e.Person, now, askAgain) {
		return
	}
	out, err := a.client.outOf(ctx, id, p.ID)
	switch {
	case err != nil:
		a.o.Log.Debug("who is in a group is not known", "error", err.Error())
		return
	case out:
		err = a.o.Groups.LeftGroup(ctx, group, e.Person, now)
	default:
		err = a.o.Groups.StillIn(ctx, group, e.Person, now)
	}
	a.check(err)
}

// outOf asks whether a person is not in a group.
func (c *client) outOf(ctx context.Context, group, person int64) (bool, error) {
	m, err := call(ctx, "getChatMember", c.bot.GetChatMember, tg.GetChatMemberParams{ChatID: group, UserID: person})
	return err == nil && isOut(string(m.Type), m.Type == models.ChatMemberTypeRestricted && m.Restricted.IsMember), err
}

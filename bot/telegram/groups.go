package telegram

import (
	"context"
	"time"

	tg "github.com/go-telegram/bot"
	"github.com/go-telegram/bot/models"

	"bowlwright/bot/talk"
)

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
		if err := a.o.Groups.LeftGroup(a.ended, m.Chat.name(), chat{ID: m.New.User.ID}.name(), now); err != nil {
			a.check(err)
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
	if err != nil {
		a.check(err)
	}
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
	if err != nil {
		a.check(err)
	}
}

// outOf asks whether a person is not in a group.
func (c *client) outOf(ctx context.Context, group, person int64) (bool, error) {
	m, err := call(ctx, "getChatMember", c.bot.GetChatMember, tg.GetChatMemberParams{ChatID: group, UserID: person})
	return err == nil && isOut(string(m.Type), m.Type == models.ChatMemberTypeRestricted && m.Restricted.IsMember), err
}

package telegram

import (
	"context"
	"time"

	tg "github.com/go-telegram/bot"

	"bowlwright/bot"
	"bowlwright/store"
)

// Where the disk is full nothing goes through the outbox, so the news of it is
// sent from memory: to each person once in an hour, one after another, and
// without trying again.

const (
	mostSorry  = 256                   // people who wait to be told; our own choice
	sorryPause = 50 * time.Millisecond // between two: the platform's limit is 30 a second, which the outbox shares
)

// unkept tells the person of an update that it cannot be stored for want of
// room. A group is not told: what is said in it is often not meant for the bot.
func (a *Adapter) unkept(u *update, err error) {
	if u == nil || codeOf(err) != store.Full {
		return
	}
	c, p, ok := u.about()
	if !ok || c.group() || p.IsBot || !a.allowed(p) || !a.told.first("full "+c.name(), a.o.Now()) {
		return
	}
	select {
	case a.sorry <- c.ID:
	default: // too many at once: the answer will come when there is room
	}
}

// apologise tells those who wait for it until ctx ends.
func (a *Adapter) apologise(ctx context.Context) {
	for {
		select {
		case <-ctx.Done():
			return
		case id := <-a.sorry:
			if err := a.client.say(ctx, id, bot.FullText()); err != nil {
				a.o.Log.Debug("an apology was not sent", "error", reason(err))
			}
			wait(ctx, sorryPause)
		}
	}
}

// say sends a plain text at once.
func (c *client) say(ctx context.Context, chat int64, text string) error {
	ctx, cancel := context.WithTimeout(ctx, sendTimeout)
	defer cancel()
	_, err := c.bot.SendMessage(ctx, &tg.SendMessageParams{ChatID: chat, Text: text})
	return err
}

package telegram

import (
	"time"

	"bowlwright/bot"
	"bowlwright/store"
)

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

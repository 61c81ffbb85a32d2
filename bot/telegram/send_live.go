package telegram

import (
	"context"
	"strconv"

	"bowlwright/bot/delivery"
	"bowlwright/bot/talk"
	"bowlwright/store"
)

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

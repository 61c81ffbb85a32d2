package terminal

import (
	"cmp"
	"context"
	"slices"
	"time"

	"bowlwright/bot/scheduler"
	"bowlwright/bot/talk"
	"bowlwright/store"
)

// background says what falls due while the session waits for a message.
type background struct{ s *Session }

// Tick implements scheduler.Ticker. What cannot be printed stays in the
// outbox and comes with the next message.
func (b background) Tick(ctx context.Context, _ time.Time) (talk.TickResult, error) {
	b.s.mu.Lock()
	defer b.s.mu.Unlock()
	r, err := b.s.tick(ctx)
	if err != nil || r.Said == 0 {
		return r, err
	}
	return r, clean(b.s.deliver(ctx))
}

// Sooner implements scheduler.Ticker.
func (b background) Sooner() <-chan struct{} { return b.s.assistant.Sooner() }

// inBackground says what falls due until the function that it returns is
// called.
func (s *Session) inBackground(ctx context.Context) (stop func()) {
	ctx, cancel := context.WithCancel(ctx)
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		scheduler.Run(ctx, background{s}, scheduler.Options{Now: s.o.Now})
	}()
	return func() {
		cancel()
		<-ended
	}
}

// tick says what is due for the households of this terminal. Households that
// use the same data from elsewhere are for whoever can reach them.
func (s *Session) tick(ctx context.Context) (talk.TickResult, error) {
	homes, err := s.homes(ctx)
	if err != nil {
		return talk.TickResult{}, err
	}
	return s.assistant.TickOf(ctx, homes, s.now())
}

// homes are the households that talk here.
func (s *Session) homes(ctx context.Context) ([]string, error) {
	return store.Look(ctx, s.store, func(snap store.Snapshot) (homes []string, err error) {
		for _, chat := range s.notes.Chats {
			home, err := snap.Member(chat, chat)
			if store.OrNone(err) != nil {
				return nil, err
			}
			if err == nil && !slices.Contains(homes, home) {
				homes = append(homes, home)
			}
		}
		return homes, nil
	})
}

// nextDue is when something falls due next, the zero time for never.
func (s *Session) nextDue(ctx context.Context) (time.Time, error) {
	homes, err := s.homes(ctx)
	if err != nil {
		return time.Time{}, err
	}
	return store.Look(ctx, s.store, func(snap store.Snapshot) (next time.Time, err error) {
		ids, err := talk.DueIDs(snap, homes)
		for _, id := range ids {
			d, failed := snap.Due(id)
			if err = cmp.Or(err, failed); !d.At.IsZero() && (next.IsZero() || d.At.Before(next)) {
				next = d.At
			}
		}
		return next, err
	})
}

// goTo sets the session's clock. On the way forward it stops at each instant at
// which something falls due, and says it.
func (s *Session) goTo(ctx context.Context, at time.Time) error {
	for now := s.now(); !at.Before(now); now = s.at {
		next, err := s.nextDue(ctx)
		if err != nil {
			return s.print(talk.TroubleText(err))
		}
		if next.IsZero() || next.After(at) {
			break
		}
		s.at = now
		if next.After(now) {
			s.at = next
		}
		if _, err := s.tick(ctx); err != nil {
			return s.print(talk.TroubleText(err))
		}
		if err := s.deliver(ctx); err != nil {
			return err
		}
	}
	s.at = at
	return nil
}

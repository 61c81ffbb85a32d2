package delivery_test

import (
	"context"
	"errors"
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"bowlwright/bot/delivery"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// wrote is what the assistant does when a person writes: the chat is no
// longer blocked, and there is an answer.
func wrote(t *testing.T, s store.Store, chat string) uint64 {
	t.Helper()
	update(t, s, func(tx store.Snapshot, put storetest.Put) error {
		return put(store.PutBlocked{Chat: chat, Since: time.Time{}})
	})
	return put(t, s, chat)[0]
}

func TestBlocked(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		var gone atomic.Bool
		gone.Store(true)
		p := &platform{answer: func(_ context.Context, m store.Outgoing, _ int) error {
			if m.Chat == ines && gone.Load() {
				return &delivery.Failure{Kind: delivery.Blocked, Err: errors.New("bot was blocked by the user")}
			}
			return nil
		}}
		put(t, s, ines, tomas)
		d, stop := running(t, s, p, delivery.Options{})
		time.Sleep(time.Second)
		// Reminders go on being written; none of them is tried.
		for range 100 {
			put(t, s, ines, tomas)
			d.Wake(ines)
			time.Sleep(time.Minute)
		}
		if n := len(p.numbers(ines)); n != 1 {
			t.Errorf("%d attempts for a chat that refuses", n)
		}
		if n := len(p.numbers(tomas)); n != 101 {
			t.Errorf("%d messages for the other", n)
		}
		update(t, s, func(tx store.Snapshot, put storetest.Put) error {
			since, err := tx.Blocked(ines)
			if since.IsZero() {
				t.Error("the chat is not noted as blocked")
			}
			return err
		})
		gone.Store(false)
		last := wrote(t, s, ines)
		d.Wake(ines)
		time.Sleep(10 * time.Minute)
		stop()
		if got := p.numbers(ines); got[len(got)-1] != last || len(got) != 103 {
			t.Errorf("%d arrived, the last is %d, want %d", len(got), got[len(got)-1], last)
		}
		wantLeft(t, s)
	})
}

// TestBlockedTooLate lets a refusal arrive after the person has written.
func TestBlockedTooLate(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		p := &platform{answer: func(_ context.Context, m store.Outgoing, attempt int) error {
			if m.Number == 1 && attempt == 1 {
				time.Sleep(10 * time.Second)
				return &delivery.Failure{Kind: delivery.Blocked}
			}
			return nil
		}}
		put(t, s, ines)
		d, stop := running(t, s, p, delivery.Options{})
		time.Sleep(5 * time.Second)
		wrote(t, s, ines)
		d.Wake(ines)
		time.Sleep(time.Minute)
		stop()
		if got := p.numbers(ines); !slices.Equal(got, []uint64{1, 1, 2}) {
			t.Errorf("arrived %v", got)
		}
		wantLeft(t, s)
	})
}

// TestMoved has a group become another chat.
func TestMoved(t *testing.T) {
	const after = prefix + "-100"
	bubble(t, func(t *testing.T) {
		s := open(t)
		p := &platform{answer: func(_ context.Context, m store.Outgoing, _ int) error {
			if m.Chat == club {
				return &delivery.Failure{Kind: delivery.Moved, NewChat: after}
			}
			return nil
		}}
		fails := 2
		ns := put(t, s, club, club, ines, club)
		_, stop := running(t, s, p, delivery.Options{Moved: func(ctx context.Context, from, to string) error {
			if fails--; fails >= 0 {
				return errors.New("disk")
			}
			return storetest.Change(ctx, s, func(tx store.Snapshot, put storetest.Put) error { return put(store.MoveChat{From: from, To: to}) })
		}})
		time.Sleep(time.Minute)
		stop()
		if got := p.numbers(after); !slices.Equal(got, []uint64{ns[0], ns[1], ns[3]}) {
			t.Errorf("arrived at the new chat: %v", got)
		}
		if n := len(p.numbers(club)); n != 3 {
			t.Errorf("%d attempts at the old chat", n)
		}
		wantLeft(t, s)
	})
}

// TestMovedWithoutHeir keeps what nobody takes over as dead letters.
func TestMovedWithoutHeir(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		p := &platform{answer: func(context.Context, store.Outgoing, int) error {
			return &delivery.Failure{Kind: delivery.Moved, NewChat: prefix + "-100"}
		}}
		put(t, s, club)
		runFor(t, time.Minute, s, p, delivery.Options{})
		wantDead(t, s, 1, "moved")
		wantLeft(t, s)
	})
}

// TestParts sends long messages as several, which count for the limits.
func TestParts(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		p := &platform{}
		p.answer = func(ctx context.Context, m store.Outgoing, _ int) error {
			for range 6 {
				if err := delivery.Another(ctx); err != nil {
					return err
				}
				p.mu.Lock()
				p.arrived = append(p.arrived, arrival{time.Now(), m.Chat, m.Number})
				p.mu.Unlock()
			}
			return nil
		}
		// More chats than messages may be on their way at once.
		var chats []string
		for c := 'a'; c <= 'z'; c++ {
			chats = append(chats, prefix+string(c), prefix+"-"+string(c), prefix+string(c))
		}
		put(t, s, chats...)
		runFor(t, 10*time.Minute, s, p, delivery.Options{Parallel: 5})
		wantAllLimits(t, p.seen())
		if n := len(p.seen()); n != 7*len(chats) {
			t.Errorf("%d parts, want %d", n, 7*len(chats))
		}
		wantLeft(t, s)
	})
}

// TestPartsGivenUp lets a Sender give up while it waits for its turn.
func TestPartsGivenUp(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		p := &platform{}
		p.answer = func(ctx context.Context, _ store.Outgoing, attempt int) error {
			if attempt > 3 {
				return nil
			}
			ctx, cancel := context.WithTimeout(ctx, 3500*time.Millisecond)
			defer cancel()
			for {
				if err := delivery.Another(ctx); err != nil {
					return err
				}
			}
		}
		put(t, s, ines, ines)
		runFor(t, 10*time.Minute, s, p, delivery.Options{})
		wantLeft(t, s)
	})
}

// TestBlockedForLong drops what waits for somebody who stays away, and
// nothing that waits for others.
func TestBlockedForLong(t *testing.T) {
	t.Parallel()
	bubble(t, func(t *testing.T) {
		s := open(t)
		r := &results{}
		p := &platform{answer: func(_ context.Context, m store.Outgoing, _ int) error {
			return &delivery.Failure{Kind: delivery.Blocked}
		}}
		ns := put(t, s, ines, ines, tomas)
		update(t, s, func(tx store.Snapshot, put storetest.Put) error {
			return put(store.PutBlocked{Chat: tomas, Since: time.Now().Add(10 * 24 * time.Hour)})
		})
		_, stop := running(t, s, p, delivery.Options{Metrics: r, Rescan: time.Minute})
		time.Sleep(30*24*time.Hour - time.Minute)
		wantLeft(t, s, ns...)
		time.Sleep(2 * time.Hour)
		stop()
		wantLeft(t, s, ns[2])
		r.want(t, map[string]int{"blocked": 1, "expired": 2})
	})
}

package delivery_test

import (
	"context"
	"testing"
	"testing/synctest"
	"time"

	"bowlwright/bot/delivery"
	"bowlwright/store"
)

// busyStore puts one more message into the outbox, and wakes its chat, just
// after it was noted what became of another.
type busyStore struct {
	store.Store
	after func()
}

func (b *busyStore) Commit(ctx context.Context, c store.Commit) error {
	err := b.Store.Commit(ctx, c)
	if after := b.after; after != nil && err == nil {
		b.after = nil
		after()
	}
	return err
}

// TestWokenMeanwhile does not lose what is put into the outbox between two
// looks at it.
func TestWokenMeanwhile(t *testing.T) {
	bubble(t, func(t *testing.T) {
		inner := open(t)
		put(t, inner, ines)
		s := &busyStore{Store: inner}
		var d *delivery.Delivery
		s.after = func() {
			put(t, inner, ines)
			d.Wake(ines)
			synctest.Wait() // the loop has heard of it
		}
		p := &platform{}
		d = delivery.New(s, p, delivery.Options{Prefix: prefix, Rescan: time.Hour})
		ctx, cancel := context.WithCancel(t.Context())
		ended := make(chan error)
		go func() { ended <- d.Run(ctx) }()
		time.Sleep(time.Minute)
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
		wantLeft(t, inner)
	})
}

// TestPausesBeginAnew forgets the failures of a message once it went.
func TestPausesBeginAnew(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		p := &platform{answer: func(_ context.Context, m store.Outgoing, attempt int) error {
			if m.Number == 1 && attempt < 6 || m.Number == 2 && attempt < 2 {
				return &delivery.Failure{Kind: delivery.Retry, Err: errLine}
			}
			return nil
		}}
		put(t, s, ines, ines)
		runFor(t, time.Minute, s, p, delivery.Options{})
		g := gaps(p.seen())
		if len(g) != 7 || g[0] > time.Second || g[4] < 10*time.Second {
			t.Fatalf("gaps %v", g)
		}
		// The limit of the chat is longer than the first pause.
		if g[6] > 3100*time.Millisecond {
			t.Errorf("gaps %v: the pause did not begin anew", g)
		}
		wantLeft(t, s)
	})
}

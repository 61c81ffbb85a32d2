package delivery_test

import (
	"context"
	"errors"
	"slices"
	"testing"
	"time"

	"bowlwright/bot/delivery"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// TestStoreFull sends a message once however long the store takes to learn
// of it, and sends it again only in another run.
func TestStoreFull(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := &storetest.FullDisk{Store: open(t)}
		p := &platform{}
		put(t, s, ines, ines)
		s.Full.Store(true)
		_, stop := running(t, s, p, delivery.Options{})
		time.Sleep(time.Hour)
		if got := p.numbers(ines); !slices.Equal(got, []uint64{1}) {
			t.Errorf("arrived while the store was full: %v", got)
		}
		stop() // as after a crash: sent, and not recorded
		s.Full.Store(false)
		wantLeft(t, s, 1, 2)
		_, stop = running(t, s, p, delivery.Options{})
		time.Sleep(time.Minute)
		stop()
		if got := p.numbers(ines); !slices.Equal(got, []uint64{1, 1, 2}) {
			t.Errorf("arrived in all: %v", got)
		}
		wantLeft(t, s)
	})
}

// TestStoreRecovers goes on as soon as the store does.
func TestStoreRecovers(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := &storetest.FullDisk{Store: open(t)}
		p := &platform{}
		put(t, s, ines, ines)
		s.Full.Store(true)
		_, stop := running(t, s, p, delivery.Options{})
		time.Sleep(10 * time.Minute)
		s.Full.Store(false)
		time.Sleep(15 * time.Second)
		stop()
		if got := p.numbers(ines); !slices.Equal(got, []uint64{1, 2}) {
			t.Errorf("arrived: %v", got)
		}
		wantLeft(t, s)
	})
}

// TestEndOfRun lets what is on its way arrive, and starts nothing more.
func TestEndOfRun(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		p := &platform{delay: func() time.Duration { return 4 * time.Second }}
		put(t, s, ines, ines, tomas)
		_, stop := running(t, s, p, delivery.Options{})
		time.Sleep(time.Second)
		began := time.Now()
		stop()
		if took := time.Since(began); took != 3*time.Second {
			t.Errorf("it took %v to end", took)
		}
		wantLeft(t, s, 2)
	})
}

// TestEndOfRunGrace ends within the grace period though a message hangs.
func TestEndOfRunGrace(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		p := &platform{answer: func(ctx context.Context, _ store.Outgoing, _ int) error {
			<-ctx.Done()
			return ctx.Err()
		}}
		put(t, s, ines)
		_, stop := running(t, s, p, delivery.Options{})
		time.Sleep(time.Second)
		began := time.Now()
		stop()
		if took := time.Since(began); took != 5*time.Second {
			t.Errorf("it took %v to end", took)
		}
		wantLeft(t, s, 1)
	})
}

// TestFlush sends what it can in ten seconds: it keeps the limits, and what
// is over stays.
func TestFlush(t *testing.T) {
	flush := func(t *testing.T, p *platform, chats ...string) (took time.Duration, remain int) {
		s := open(t)
		put(t, s, chats...)
		d := delivery.New(s, p, delivery.Options{Prefix: prefix, IsGroup: isGroup})
		ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
		defer cancel()
		began := time.Now()
		if err := d.Flush(ctx); err != nil {
			t.Error(err)
		}
		took = time.Since(began)
		return took, len(left(t, s))
	}
	bubble(t, func(t *testing.T) {
		if took, left := flush(t, &platform{}); took != 0 || left != 0 {
			t.Errorf("nothing: %v, %d left", took, left)
		}
		if took, left := flush(t, &platform{}, ines, tomas, ines, ines, ines); took > 3100*time.Millisecond || left != 0 {
			t.Errorf("a few: %v, %d left", took, left)
		}
		took, left := flush(t, &platform{}, many(1000)...)
		if took > 10*time.Second || left > 1000-290 || left < 1000-330 {
			t.Errorf("many: %v, %d left", took, left)
		}
		// Without network there is no use in waiting for the end.
		p := &platform{answer: func(context.Context, store.Outgoing, int) error {
			return &delivery.Failure{Kind: delivery.Retry, Err: errors.New("no route to host")}
		}}
		if took, left := flush(t, p, ines, tomas); took > time.Second || left != 2 {
			t.Errorf("no network: %v, %d left", took, left)
		}
	})
}

// TestFlushAfterRun goes on from where Run was ended, with the same limits.
func TestFlushAfterRun(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		p := &platform{}
		put(t, s, ines, ines, ines, ines)
		d, stop := running(t, s, p, delivery.Options{})
		time.Sleep(time.Second)
		stop()
		ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
		defer cancel()
		if err := d.Flush(ctx); err != nil {
			t.Error(err)
		}
		wantAllLimits(t, p.seen())
		wantLeft(t, s)
	})
}

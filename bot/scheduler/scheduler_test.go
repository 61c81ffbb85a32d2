package scheduler_test

import (
	"context"
	"errors"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"bowlwright/bot/scheduler"
	"bowlwright/bot/talk"
)

// book is a Ticker that knows some times at which something is due.
type book struct {
	mu    sync.Mutex
	due   []time.Time
	said  map[time.Time]time.Time // when each was said
	ticks []time.Time
	bell  chan struct{}
	fails func() error
}

func newBook(due ...time.Time) *book {
	return &book{due: slices.Clone(due), said: map[time.Time]time.Time{}, bell: make(chan struct{}, 1)}
}

func (b *book) Sooner() <-chan struct{} { return b.bell }

func (b *book) add(at time.Time) {
	b.mu.Lock()
	b.due = append(b.due, at)
	b.mu.Unlock()
	select {
	case b.bell <- struct{}{}:
	default:
	}
}

func (b *book) Tick(_ context.Context, now time.Time) (r talk.TickResult, err error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.ticks = append(b.ticks, now)
	if b.fails != nil {
		if err := b.fails(); err != nil {
			return r, err
		}
	}
	b.due = slices.DeleteFunc(b.due, func(at time.Time) bool {
		if at.After(now) {
			if r.Next.IsZero() || at.Before(r.Next) {
				r.Next = at
			}
			return false
		}
		b.said[at] = now
		r.Households++
		return true
	})
	return r, nil
}

func (b *book) wantSaid(t *testing.T, at time.Time, latest time.Duration) {
	t.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	if late := b.said[at].Sub(at); late < 0 || late > latest || b.said[at].IsZero() {
		t.Errorf("what was due at %v was said at %v", at, b.said[at])
	}
}

// loop runs the loop in a bubble of virtual time.
func loop(t *testing.T, b *book, now func() time.Time, during func()) {
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		scheduler.Run(ctx, b, scheduler.Options{Now: now})
	}()
	during()
	cancel()
	<-ended
}

func TestSaidWhenDue(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		now := time.Now()
		times := []time.Time{now.Add(-time.Hour), now.Add(90 * time.Second), now.Add(90*time.Second + time.Millisecond), now.Add(26 * time.Hour)}
		b := newBook(times...)
		loop(t, b, nil, func() { time.Sleep(30 * time.Hour) })
		b.wantSaid(t, times[0], time.Hour)
		for _, at := range times[1:] {
			b.wantSaid(t, at, 200*time.Millisecond)
		}
		if most := 30*60 + 10; len(b.ticks) > most {
			t.Errorf("%d ticks in 30 hours, want one a minute", len(b.ticks))
		}
	})
}

func TestWokenBySomethingSooner(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBook(time.Now().Add(time.Hour))
		loop(t, b, nil, func() {
			time.Sleep(10 * time.Second)
			soon := time.Now().Add(5 * time.Second)
			b.add(soon)
			time.Sleep(10 * time.Second)
			b.wantSaid(t, soon, 200*time.Millisecond)
		})
	})
}

// TestClockSet sets the clock on the wall while the timer runs, which does
// not know of it.
func TestClockSet(t *testing.T) {
	for name, step := range map[string]time.Duration{"forward a day": 24 * time.Hour, "back an hour": -time.Hour} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				var mu sync.Mutex
				var moved time.Duration
				now := func() time.Time { mu.Lock(); defer mu.Unlock(); return time.Now().Add(moved) }
				at := time.Now().Add(23 * time.Hour)
				b := newBook(at)
				loop(t, b, now, func() {
					time.Sleep(10 * time.Minute)
					mu.Lock()
					moved = step
					mu.Unlock()
					time.Sleep(max(0, at.Sub(now())) + 2*time.Minute)
					synctest.Wait()
				})
				b.mu.Lock()
				defer b.mu.Unlock()
				if b.said[at].Before(at) || b.said[at].After(at.Add(max(step, 0)+2*time.Minute)) {
					t.Errorf("due at %v, said at %v", at, b.said[at])
				}
			})
		})
	}
}

// TestStoreFails keeps trying, not in circles, and goes on afterwards.
func TestStoreFails(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		began := time.Now()
		b := newBook(began)
		b.fails = func() error {
			if time.Since(began) < time.Hour {
				return errors.New("disk")
			}
			return nil
		}
		loop(t, b, nil, func() {
			for range 3600 {
				time.Sleep(time.Second)
				b.add(time.Now()) // what is written meanwhile does not hurry it
			}
			time.Sleep(3 * time.Minute)
		})
		b.wantSaid(t, began, time.Hour+2*time.Minute)
		if n := len(b.ticks); n > 75 {
			t.Errorf("%d ticks in an hour without a store", n)
		}
	})
}

// TestStaysDue has something that is due however often it is said.
func TestStaysDue(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		n := 0
		loop(t, newBook(), nil, func() {})
		ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
		defer cancel()
		scheduler.Run(ctx, stuck{&n}, scheduler.Options{})
		if n > 601 {
			t.Errorf("%d ticks in a minute", n)
		}
	})
}

type stuck struct{ n *int }

func (s stuck) Sooner() <-chan struct{} { return nil }
func (s stuck) Tick(_ context.Context, now time.Time) (talk.TickResult, error) {
	*s.n++
	return talk.TickResult{Next: now.Add(-time.Hour)}, nil
}

func TestEndsAtOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		began := time.Now()
		loop(t, newBook(began.Add(time.Hour)), nil, func() { time.Sleep(time.Second) })
		if took := time.Since(began); took != time.Second {
			t.Errorf("ended after %v", took)
		}
	})
}

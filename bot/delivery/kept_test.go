package delivery_test

import (
	"context"
	"errors"
	"fmt"
	"sync/atomic"
	"testing"
	"time"

	"bowlwright/bot/delivery"
	"bowlwright/store"
)

// killed is a store that a program no longer has, from some instant on.
type killed struct {
	store.Store
	dead atomic.Bool
}

var errKilled = &store.Error{Code: store.Busy, Op: "update", Err: errors.New("killed")}

func (k *killed) Read(ctx context.Context) (store.Snapshot, error) {
	if k.dead.Load() {
		return nil, errKilled
	}
	return k.Store.Read(ctx)
}

func (k *killed) Commit(ctx context.Context, c store.Commit) error {
	if k.dead.Load() {
		return errKilled
	}
	return k.Store.Commit(ctx, c)
}

// TestPaceOutlastsRestart ends a delivery in the midst of a backlog, in good
// order or not, and starts another at once: the limits hold over both.
func TestPaceOutlastsRestart(t *testing.T) {
	for _, kill := range []bool{true, false} {
		t.Run(fmt.Sprint("killed ", kill), func(t *testing.T) {
			bubble(t, func(t *testing.T) {
				s := open(t)
				group := prefix + "-7"
				var chats []string
				for i := range 100 {
					chats = append(chats, ines, group, fmt.Sprint(prefix, 100+i))
				}
				put(t, s, chats...)
				p := &platform{}
				for round := range 4 {
					mine := &killed{Store: s}
					_, stop := running(t, mine, p, delivery.Options{})
					time.Sleep(time.Duration(1500+700*round) * time.Millisecond)
					mine.dead.Store(kill)
					stop()
				}
				runFor(t, 10*time.Minute, s, p, delivery.Options{})
				wantLeft(t, s)
				wantAllLimits(t, p.seen())
			})
		})
	}
}

// TestSendsInTurn has two deliveries send one after the other, as processes do of
// which one leads: each counts what the other sent meanwhile.
func TestSendsInTurn(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s, p := open(t), &platform{}
		group := prefix + "-7"
		var chats []string
		for i := range 100 {
			chats = append(chats, ines, group, fmt.Sprint(prefix, 100+i))
		}
		put(t, s, chats...)
		var both []*delivery.Delivery
		for range 2 {
			d, stop := running(t, s, p, delivery.Options{})
			stop()
			both = append(both, d)
		}
		for round := range 200 {
			ctx, stop := context.WithTimeout(t.Context(), time.Duration(300+round%7*100)*time.Millisecond)
			must(t, both[round%2].Run(ctx))
			stop()
		}
		runFor(t, 10*time.Minute, s, p, delivery.Options{})
		wantLeft(t, s)
		wantAllLimits(t, p.seen())
	})
}

func wakeAll(d *delivery.Delivery) {
	for _, chat := range many(300) {
		d.Wake(chat)
	}
}

// TestEndsLate has a delivery that no longer leads come to its end after another
// began, which is then killed: the next counts what that one sent.
func TestEndsLate(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		put(t, s, many(300)...)
		p := &platform{answer: func(_ context.Context, m store.Outgoing, _ int) error {
			if m.Number == 1 {
				time.Sleep(2 * time.Second)
			}
			return nil
		}}
		_, end := running(t, s, p, delivery.Options{})
		time.Sleep(100 * time.Millisecond)
		ended := make(chan struct{})
		go func() { end(); close(ended) }()
		time.Sleep(100 * time.Millisecond)
		mine := &killed{Store: s}
		second, stop := running(t, mine, p, delivery.Options{})
		<-ended
		time.Sleep(100 * time.Millisecond)
		wakeAll(second) // at once, not spread
		time.Sleep(2200 * time.Millisecond)
		mine.dead.Store(true)
		stop()
		third, stop := running(t, s, p, delivery.Options{})
		wakeAll(third)
		time.Sleep(10 * time.Minute)
		stop()
		wantLeft(t, s)
		wantAllLimits(t, p.seen())
	})
}

// TestRestIsNotWaited starts anew long after the last message: the first goes
// at once.
func TestRestIsNotWaited(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s, p := open(t), &platform{}
		for round := range 3 {
			put(t, s, prefix+"-7")
			began := time.Now()
			runFor(t, 5*time.Second, s, p, delivery.Options{})
			if all := p.seen(); len(all) != round+1 || all[round].at.Sub(began) > time.Second {
				t.Errorf("%d messages after %d starts, the last at %v", len(all), round+1, began)
			}
			time.Sleep(time.Hour)
		}
	})
}

// TestWaitOutlastsRestart has the platform ask for patience with one chat, and
// with all, before the program ends.
func TestWaitOutlastsRestart(t *testing.T) {
	for _, kill := range []bool{true, false} {
		for name, chats := range map[string][]string{"one chat": {ines}, "all": {ines, prefix + "2", prefix + "3", prefix + "4"}} {
			t.Run(fmt.Sprint(name, ", killed ", kill), func(t *testing.T) {
				bubble(t, func(t *testing.T) {
					s := open(t)
					put(t, s, chats...)
					began := time.Now()
					p := &platform{answer: func(context.Context, store.Outgoing, int) error {
						if time.Since(began) < time.Second {
							return &delivery.Failure{Kind: delivery.Wait, After: 5 * time.Minute}
						}
						return nil
					}}
					mine := &killed{Store: s}
					_, stop := running(t, mine, p, delivery.Options{})
					time.Sleep(2 * time.Second)
					refused := len(p.seen())
					mine.dead.Store(kill)
					stop()
					if name == "all" {
						put(t, s, prefix+"5")
					}
					_, stop = running(t, s, p, delivery.Options{})
					time.Sleep(10 * time.Minute)
					stop()
					for _, a := range p.seen()[refused:] {
						if early := a.at.Sub(began); early < 5*time.Minute {
							t.Errorf("a message to %s after %v", a.chat, early)
						}
					}
					wantLeft(t, s)
				})
			})
		}
	}
}

package delivery_test

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

	"bowlwright/bot/delivery"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// beside is a message that is not in the outbox.
func beside(chat string) store.Outgoing { return store.Outgoing{Chat: chat, Body: []byte("full")} }

// besides are the arrivals of what is not in the outbox, which has no number.
func besides(as []arrival) []arrival {
	return slices.DeleteFunc(as, func(a arrival) bool { return a.number != 0 })
}

// TestAsideOnAFullDisk has messages go out that can no longer be taken out of
// the outbox, until none may be on its way any more, and says so to the people
// who wait for them: within the limits of all, and soon. When there is room
// again, the outbox goes on, and nothing is sent twice.
func TestAsideOnAFullDisk(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := &storetest.FullDisk{Store: open(t)}
		var chats []string
		for i := range 100 {
			chats = append(chats, fmt.Sprint(prefix, 100+i), fmt.Sprint(prefix, -100-i%5))
		}
		numbers := put(t, s, chats...)
		s.Full.Store(true)
		delay := 0
		p := &platform{delay: func() time.Duration { delay = (delay + 7) % 50; return time.Duration(delay) * time.Millisecond }}
		d, stop := running(t, s, p, delivery.Options{})
		time.Sleep(time.Minute)
		stuck := len(p.seen())
		if stuck == 0 || stuck > 64 {
			t.Fatalf("%d of the outbox arrived", stuck)
		}
		began := time.Now()
		for _, c := range chats { // twenty times to each of the groups
			d.Aside(beside(c))
		}
		time.Sleep(9 * time.Second)
		private := map[string]time.Time{}
		for _, a := range besides(p.seen()) {
			if !isGroup(a.chat) {
				private[a.chat] = a.at
			}
		}
		if len(private) != 100 {
			t.Errorf("%d of 100 people were told in 9 s", len(private))
		}
		for c, at := range private {
			if at.Sub(began) > 9*time.Second {
				t.Errorf("%s was told after %v", c, at.Sub(began))
			}
		}
		time.Sleep(2 * time.Minute)
		if n := len(besides(p.seen())); n != len(chats) {
			t.Errorf("%d were sent beside the outbox, want %d", n, len(chats))
		}
		if n := len(p.seen()) - len(chats); n != stuck {
			t.Errorf("%d of the outbox arrived, %d before", n, stuck)
		}
		s.Full.Store(false)
		time.Sleep(5 * time.Minute)
		stop()
		wantAllLimits(t, p.seen())
		wantLeft(t, s)
		if n := len(p.seen()); n != len(chats)+len(numbers) {
			t.Errorf("%d messages in all, want %d", n, len(chats)+len(numbers))
		}
	})
}

// TestAsideWithOutbox goes before what is in the outbox, and takes its share
// of the limits with it.
func TestAsideWithOutbox(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		var chats []string
		for i := range 900 {
			chats = append(chats, fmt.Sprint(prefix, 100+i%300))
		}
		for range 60 {
			chats = append(chats, club)
		}
		put(t, s, chats...)
		p := &platform{delay: func() time.Duration { return 20 * time.Millisecond }}
		d, stop := running(t, s, p, delivery.Options{})
		time.Sleep(5 * time.Second)
		began := time.Now()
		for i := range 30 {
			d.Aside(beside(fmt.Sprint(prefix, 100+i)))
		}
		d.Aside(beside(club))
		time.Sleep(10 * time.Minute)
		stop()
		wantAllLimits(t, p.seen())
		wantLeft(t, s)
		got := besides(p.seen())
		if len(got) != 31 {
			t.Fatalf("%d beside the outbox, want 31", len(got))
		}
		for _, a := range got {
			// A chat may have used up its limit just before: 3 s, of a group a minute.
			if took := a.at.Sub(began); took > 5*time.Second && a.chat != club || took > 70*time.Second {
				t.Errorf("%s after %v", a.chat, took)
			}
		}
	})
}

// TestAsideSlow counts a message when it arrives, however long it takes, be it
// of the outbox or not.
func TestAsideSlow(t *testing.T) {
	for _, first := range []string{"aside", "outbox"} {
		bubble(t, func(t *testing.T) {
			s := open(t)
			slow := true
			p := &platform{delay: func() time.Duration {
				if slow {
					slow = false
					return 5800 * time.Millisecond // it arrives after 2.9 s
				}
				return 0
			}}
			d, stop := running(t, s, p, delivery.Options{})
			for _, which := range []string{first, "outbox", "aside"} {
				if which == "aside" {
					for range 5 {
						d.Aside(beside(ines))
					}
				} else {
					put(t, s, ines, ines, ines, ines, ines)
					d.Wake(ines)
				}
				time.Sleep(100 * time.Millisecond)
			}
			time.Sleep(time.Minute)
			stop()
			wantLeft(t, s)
			wantAllLimits(t, p.seen())
		})
	}
}

// TestAsideFails tries a message once, and again only where the platform says
// when; what is of no use any more, and what is another adapter's, is not sent.
func TestAsideFails(t *testing.T) {
	for kind, want := range map[delivery.Kind]int{
		delivery.Retry: 1, delivery.Never: 1, delivery.Blocked: 1, delivery.Moved: 1, delivery.Wait: 3, "panic": 1,
	} {
		bubble(t, func(t *testing.T) {
			s, r := open(t), &results{}
			n := 0
			p := &platform{answer: func(_ context.Context, m store.Outgoing, _ int) error {
				if m.Number != 0 {
					return nil
				}
				if kind == "panic" {
					panic("over it")
				}
				if n++; n > 2 {
					return nil
				}
				return &delivery.Failure{Kind: kind, After: 7 * time.Second, NewChat: club, Err: errLine}
			}}
			d, stop := running(t, s, p, delivery.Options{Metrics: r})
			d.Aside(beside(ines))
			late := beside(ines)
			late.Expires = time.Now()
			d.Aside(late)
			d.Aside(beside("terminal/Ines"))
			time.Sleep(time.Minute)
			if got := len(p.seen()); got != want {
				t.Errorf("%s: %d attempts, want %d", kind, got, want)
			}
			if n := r.of("expired"); n != 1 {
				t.Errorf("%s: %d expired", kind, n)
			}
			// The chat goes on as before.
			put(t, s, ines, tomas)
			d.Wake(ines)
			time.Sleep(10 * time.Minute)
			stop()
			if kind != "panic" {
				wantLeft(t, s)
			}
		})
	}
}

// TestAsideTooMany drops what is more than are remembered.
func TestAsideTooMany(t *testing.T) {
	bubble(t, func(t *testing.T) {
		p := &platform{}
		d, stop := running(t, open(t), p, delivery.Options{})
		for range 4 {
			for i := range 1000 {
				d.Aside(beside(fmt.Sprint(prefix, 100+i)))
			}
			time.Sleep(time.Millisecond)
		}
		time.Sleep(time.Minute)
		stop()
		if n := len(p.seen()); n < 256 || n > 300 {
			t.Errorf("%d arrived", n)
		}
		wantAllLimits(t, p.seen())
	})
}

// TestAsideAtTheEnd lets what is on its way arrive, and what waits be flushed.
func TestAsideAtTheEnd(t *testing.T) {
	bubble(t, func(t *testing.T) {
		p := &platform{delay: func() time.Duration { return time.Second }}
		d, stop := running(t, open(t), p, delivery.Options{Grace: 3 * time.Second})
		d.Aside(beside(ines))
		time.Sleep(100 * time.Millisecond)
		began := time.Now()
		stop()
		if n, took := len(p.seen()), time.Since(began); n != 1 || took > 1100*time.Millisecond {
			t.Errorf("%d arrived, after %v", n, took)
		}
		for range 4 {
			d.Aside(beside(tomas))
		}
		ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
		defer cancel()
		if err := d.Flush(ctx); err != nil || ctx.Err() != nil {
			t.Error(err, ctx.Err())
		}
		if n := len(p.seen()); n != 5 {
			t.Errorf("%d arrived, want 5", n)
		}
		wantAllLimits(t, p.seen())
	})
}

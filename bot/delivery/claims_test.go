package delivery_test

import (
	"context"
	"fmt"
	"testing"
	"testing/synctest"
	"time"

	"bowlwright/bot/delivery"
	"bowlwright/store"
)

// TestTwoDeliveries has two deliveries send one outbox: each message once, and
// those of a chat in order.
func TestTwoDeliveries(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		var chats []string
		for range 20 {
			chats = append(chats, ines, tomas, club)
		}
		put(t, s, chats...)
		p := &platform{}
		_, stop1 := running(t, s, p, delivery.Options{})
		_, stop2 := running(t, s, p, delivery.Options{})
		time.Sleep(5 * time.Minute)
		synctest.Wait()
		stop1()
		stop2()
		wantLeft(t, s)
		for _, chat := range []string{ines, tomas, club} {
			ns := p.numbers(chat)
			for i := 1; i < len(ns); i++ {
				if ns[i] <= ns[i-1] {
					t.Errorf("%s got %v", chat, ns)
					break
				}
			}
			if len(ns) != 20 {
				t.Errorf("%s got %d messages, want 20", chat, len(ns))
			}
		}
	})
}

// TestChatHeldElsewhere leaves a chat alone that another holds, until its lease
// is over.
func TestChatHeldElsewhere(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		put(t, s, ines)
		if _, err := s.ClaimOutbox(t.Context(), store.Claim{By: "another", N: 1, Lease: time.Hour}, ines); err != nil {
			t.Fatal(err)
		}
		p := &platform{}
		_, stop := running(t, s, p, delivery.Options{})
		defer stop()
		time.Sleep(time.Hour - time.Second)
		if ns := p.numbers(ines); len(ns) != 0 {
			t.Errorf("sent while another held the chat: %v", ns)
		}
		time.Sleep(time.Minute)
		if ns := p.numbers(ines); len(ns) != 1 {
			t.Errorf("after the lease was over: %v", ns)
		}
	})
}

// slowly is a store in which the first claims take their time.
type slowly struct {
	store.Store
	claims int
}

func (s *slowly) ClaimOutbox(ctx context.Context, c store.Claim, chat string) ([]store.Outgoing, error) {
	if s.claims++; s.claims <= delivery.PlatformLimits.All.Count {
		time.Sleep(20 * time.Millisecond) // virtual
	}
	return s.Store.ClaimOutbox(ctx, c, chat)
}

// TestSlowClaims counts messages from when they go, not from when they were
// claimed: no second has more of them than the platform takes.
func TestSlowClaims(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		var chats []string
		for n := range 120 {
			chats = append(chats, fmt.Sprint(prefix, 1000+n))
		}
		put(t, s, chats...)
		p := &platform{}
		_, stop := running(t, &slowly{Store: s}, p, delivery.Options{})
		time.Sleep(time.Minute)
		stop()
		all := p.seen()
		if len(all) != len(chats) {
			t.Fatalf("%d of %d messages came", len(all), len(chats))
		}
		for i := delivery.PlatformLimits.All.Count; i < len(all); i++ {
			if d := all[i].at.Sub(all[i-delivery.PlatformLimits.All.Count].at); d < time.Second {
				t.Fatalf("%d messages within %v", delivery.PlatformLimits.All.Count+1, d)
			}
		}
	})
}

package delivery_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"testing"
	"time"

	"bowlwright/bot/delivery"
)

// TestFlood queues 4,500 messages at once for 1,800 chats and 20 groups, or 10,000
// for 4,000, and counts for itself what arrives when. The limits are those of the
// Bot API's FAQ: about 30 a second, one a second in a chat apart from short
// bursts, 20 a minute in a group.
func TestFlood(t *testing.T) {
	t.Parallel()
	const groups = 20
	messages, chats := 4_500, 1_800
	if os.Getenv("BOWLWRIGHT_LONG") != "" {
		messages, chats = 10_000, 4_000
	}
	for name, to := range map[string]func(r *rand.Rand, n int) int{
		"in turn":   func(_ *rand.Rand, n int) int { return n % (chats + groups) },
		"at random": func(r *rand.Rand, _ int) int { return r.IntN(chats + groups) },
		"the groups come last": func(_ *rand.Rand, n int) int {
			if n < messages*4/5 {
				return n % chats
			}
			return chats + n%groups
		},
	} {
		t.Run(name, func(t *testing.T) {
			bubble(t, func(t *testing.T) {
				s := open(t)
				random := rand.New(rand.NewPCG(1, 2))
				names := make([]string, messages)
				for n := range names {
					k := to(random, n)
					names[n] = fmt.Sprint(prefix, 1000+k)
					if k >= chats {
						names[n] = fmt.Sprint(prefix, -1000-k)
					}
				}
				numbers := put(t, s, names...)
				p := &platform{delay: func() time.Duration { return time.Duration(random.IntN(50)) * time.Millisecond }}
				began := time.Now()
				_, stop := running(t, s, p, delivery.Options{})
				for p.count() < messages {
					if time.Since(began) > time.Hour {
						t.Fatalf("%d messages in an hour", p.count())
					}
					time.Sleep(100 * time.Millisecond)
				}
				stop()
				wantLeft(t, s)
				wantFlood(t, p.seen(), names, numbers, began)
			})
		})
	}
}

// wantFlood checks the order, the limits and the time of a flood.
func wantFlood(t *testing.T, arrived []arrival, names []string, numbers []uint64, began time.Time) {
	want := map[string][]uint64{}
	for i, n := range names {
		want[n] = append(want[n], numbers[i])
	}
	last := began
	for _, a := range arrived {
		if len(want[a.chat]) == 0 || want[a.chat][0] != a.number {
			t.Fatalf("message %d to %s is out of order or comes twice", a.number, a.chat)
		}
		want[a.chat] = want[a.chat][1:]
		if a.at.After(last) {
			last = a.at
		}
	}
	wantAllLimits(t, arrived)
	took, allowed := last.Sub(began), time.Duration(len(names))*time.Second/30
	t.Logf("%d messages in %v, %.3f times what the limit allows", len(names), took, float64(took)/float64(allowed))
	if took > allowed*105/100 {
		t.Errorf("they took %v, more than 1.05 times %v", took, allowed)
	}
}

// TestSlowFirst has the first message of a chat take long on its way: the
// platform counts it when it arrives.
func TestSlowFirst(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		first := true
		p := &platform{delay: func() time.Duration {
			if first {
				first = false
				return 4 * time.Second
			}
			return 0
		}}
		put(t, s, ines, ines, ines, ines, ines)
		runFor(t, time.Minute, s, p, delivery.Options{})
		wantAllLimits(t, p.seen())
		wantLeft(t, s)
	})
}

// TestFarAway has messages take up to two seconds on their way, some much less:
// however they are overtaken, no second has more of them than the platform takes.
func TestFarAway(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		random := rand.New(rand.NewPCG(3, 1))
		put(t, s, many(300)...)
		p := &platform{delay: func() time.Duration { return time.Duration(random.Int64N(int64(2 * time.Second))) }}
		runFor(t, time.Minute, s, p, delivery.Options{})
		wantAllLimits(t, p.seen())
		wantLeft(t, s)
	})
}

// TestMoreThanRemembered sends a backlog of many more chats than are
// remembered at once, without a pause where they are exchanged.
func TestMoreThanRemembered(t *testing.T) {
	t.Parallel()
	bubble(t, func(t *testing.T) {
		s := open(t)
		put(t, s, many(3000)...)
		p := &platform{}
		runFor(t, 130*time.Second, s, p, delivery.Options{Chats: 150, Rescan: time.Hour})
		wantLeft(t, s)
	})
}

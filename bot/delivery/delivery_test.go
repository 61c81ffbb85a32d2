package delivery_test

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"bowlwright/bot/delivery"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

const (
	ines  = prefix + "1"
	tomas = prefix + "2"
	club  = prefix + "-3" // a group
)

var errLine = errors.New("connection reset")

// results counts what the metrics are told.
type results struct {
	mu sync.Mutex
	n  map[string]int
}

func (r *results) Sent(result string, _ time.Duration) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.n == nil {
		r.n = map[string]int{}
	}
	r.n[result]++
}

func (r *results) of(result string) int { r.mu.Lock(); defer r.mu.Unlock(); return r.n[result] }

func (r *results) want(t *testing.T, want map[string]int) {
	t.Helper()
	r.mu.Lock()
	defer r.mu.Unlock()
	if fmt.Sprint(r.n) != fmt.Sprint(want) {
		t.Errorf("results %v, want %v", r.n, want)
	}
}

// gaps are the times between arrivals.
func gaps(as []arrival) (out []time.Duration) {
	for i := 1; i < len(as); i++ {
		out = append(out, as[i].at.Sub(as[i-1].at))
	}
	return out
}

func TestOrder(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		// Every third attempt fails, and later messages would be quicker.
		n := 0
		p := &platform{delay: func() time.Duration { n++; return time.Second / time.Duration(n) }}
		p.answer = func(_ context.Context, m store.Outgoing, attempt int) error {
			if m.Number%3 == 0 && attempt == 1 {
				return &delivery.Failure{Kind: delivery.Retry, Err: errLine}
			}
			return nil
		}
		a := put(t, s, ines, ines, ines, ines, ines, ines)
		d, stop := running(t, s, p, delivery.Options{})
		time.Sleep(time.Minute)
		b := put(t, s, ines, ines)
		d.Wake(ines)
		time.Sleep(time.Minute)
		stop()
		if got := slices.Compact(p.numbers(ines)); !slices.Equal(got, append(a, b...)) {
			t.Errorf("arrived %v, want %v", got, append(a, b...))
		}
		wantLeft(t, s)
	})
}

// TestOtherAdapters leaves alone what is not its own.
func TestOtherAdapters(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		p := &platform{}
		ns := put(t, s, "terminal/Ines", "phon", ines)
		d, stop := running(t, s, p, delivery.Options{})
		d.Wake("terminal/Ines")
		time.Sleep(time.Minute)
		stop()
		wantLeft(t, s, ns[:2]...)
	})
}

// TestFound sends what nobody woke, within the time that Options says.
func TestFound(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		p := &platform{}
		_, stop := running(t, s, p, delivery.Options{Rescan: 7 * time.Second})
		time.Sleep(time.Hour)
		put(t, s, ines)
		time.Sleep(7 * time.Second)
		synctest.Wait()
		stop()
		wantLeft(t, s)
	})
}

// TestAnswerBeforeBacklog lets somebody write while a large backlog goes out.
func TestAnswerBeforeBacklog(t *testing.T) {
	t.Parallel()
	bubble(t, func(t *testing.T) {
		s := open(t)
		put(t, s, many(3000)...)
		p := &platform{}
		// Few chats are remembered at once, so most of the backlog is unknown.
		d, stop := running(t, s, p, delivery.Options{Chats: 400})
		time.Sleep(10 * time.Second)
		put(t, s, ines, ines)
		d.Wake(ines)
		time.Sleep(150 * time.Millisecond)
		if n := len(p.numbers(ines)); n != 2 {
			t.Errorf("%d of 2 answers after 150 ms", n)
		}
		time.Sleep(2 * time.Minute)
		stop()
		wantLeft(t, s)
	})
}

// TestBehind sends what may wait after reminders that came later, of the same
// chats and of others, and after answers.
func TestBehind(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		readers := many(300)
		var c store.Commit
		for _, chat := range readers {
			c.Writes = append(c.Writes, store.Enqueue{Chat: chat, At: time.Now(), Behind: true, Body: []byte("n")})
		}
		must(t, s.Commit(context.Background(), c))
		p := &platform{}
		d, stop := running(t, s, p, delivery.Options{Rescan: time.Second})
		time.Sleep(2 * time.Second)
		put(t, s, append(readers[200:], tomas)...) // reminders: nobody wakes them
		put(t, s, readers[250], ines)
		d.Wake(readers[250])
		d.Wake(ines)
		time.Sleep(time.Second + 10*time.Millisecond) // until the outbox is searched again
		from := p.count()
		time.Sleep(time.Minute)
		stop()
		wantLeft(t, s)
		behind := 0
		for _, a := range p.seen()[from:] {
			if a.number >= store.FirstBehind {
				behind++
			} else if behind > 0 {
				t.Fatalf("message %d to %s after %d that go behind it", a.number, a.chat, behind)
			}
		}
	})
}

func TestWait(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		p := &platform{answer: func(_ context.Context, m store.Outgoing, attempt int) error {
			if m.Chat == ines && attempt == 1 {
				return &delivery.Failure{Kind: delivery.Wait, After: 37 * time.Second}
			}
			return nil
		}}
		put(t, s, ines, tomas, tomas)
		r := &results{}
		d, stop := running(t, s, p, delivery.Options{Metrics: r})
		time.Sleep(5 * time.Second)
		d.Wake(ines) // writing does not shorten what the platform says
		if len(p.numbers(tomas)) != 2 {
			t.Error("one chat's flood holds up another")
		}
		time.Sleep(time.Minute)
		stop()
		var mine []arrival
		for _, a := range p.seen() {
			if a.chat == ines {
				mine = append(mine, a)
			}
		}
		if g := gaps(mine); len(g) != 1 || g[0] < 37*time.Second || g[0] > 38*time.Second {
			t.Errorf("gaps %v, want one of 37 s", g)
		}
		r.want(t, map[string]int{"sent": 3, "wait": 1})
		wantLeft(t, s)
	})
}

// TestFloodOfAll has the platform refuse everything for a time: it must not
// be asked by every chat in turn.
func TestFloodOfAll(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		began := time.Now()
		p := &platform{answer: func(context.Context, store.Outgoing, int) error {
			if left := 2*time.Minute - time.Since(began); left > 0 {
				return &delivery.Failure{Kind: delivery.Wait, After: left}
			}
			return nil
		}}
		put(t, s, many(500)...)
		_, stop := running(t, s, p, delivery.Options{})
		time.Sleep(119 * time.Second)
		if n := len(p.seen()); n > 40 {
			t.Errorf("%d attempts while the platform takes none", n)
		}
		time.Sleep(30 * time.Second)
		stop()
		wantLeft(t, s)
	})
}

// TestNetworkDown has the network fail for an hour.
func TestNetworkDown(t *testing.T) {
	t.Parallel()
	bubble(t, func(t *testing.T) {
		s := open(t)
		began := time.Now()
		p := &platform{answer: func(context.Context, store.Outgoing, int) error {
			if time.Since(began) < time.Hour {
				return errLine // not even classified
			}
			return nil
		}}
		put(t, s, many(300)...)
		_, stop := running(t, s, p, delivery.Options{})
		time.Sleep(time.Hour)
		// At most one attempt in about 22 s, and those of the first moment.
		if n := len(p.seen()); n < 100 || n > 260 {
			t.Errorf("%d attempts in an hour without network", n)
		}
		time.Sleep(6 * time.Minute) // the longest pause of one chat, and the sending
		stop()
		wantLeft(t, s)
	})
}

// TestOneChatFails lets one message fail for ever while others get through.
func TestOneChatFails(t *testing.T) {
	t.Parallel()
	bubble(t, func(t *testing.T) {
		s := open(t)
		p := &platform{answer: fails(1, &delivery.Failure{Kind: delivery.Retry, Err: errors.New("internal server error")})}
		put(t, s, ines, ines)
		d, stop := running(t, s, p, delivery.Options{})
		for range 24 * 60 {
			put(t, s, tomas)
			d.Wake(tomas)
			time.Sleep(time.Minute)
		}
		stop()
		wantLeft(t, s)
		wantDead(t, s, 1, "retry: internal server error")
		var tries []arrival
		for _, a := range p.seen() {
			if a.number == 1 {
				tries = append(tries, a)
			}
		}
		g := gaps(tries)
		if len(g) < 20 || g[0] > 2*time.Second || slices.Max(g) > 6*time.Minute {
			t.Errorf("gaps between tries: %v", g)
		}
	})
}

func wantDead(t *testing.T, s store.Store, number uint64, reason string) {
	t.Helper()
	update(t, s, func(tx store.Snapshot, put storetest.Put) error {
		dead, err := tx.Dead(10)
		if len(dead) != 1 || dead[0].Message.Number != number || dead[0].Reason != reason || dead[0].At.IsZero() {
			t.Errorf("dead letters %+v, want number %d for %q", dead, number, reason)
		}
		return err
	})
}

func TestNever(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		r := &results{}
		p := &platform{answer: fails(1, &delivery.Failure{Kind: delivery.Never, Err: errors.New("message text is empty")})}
		put(t, s, ines, ines)
		runFor(t, time.Minute, s, p, delivery.Options{Metrics: r})
		if got := p.numbers(ines); !slices.Equal(got, []uint64{1, 2}) {
			t.Errorf("arrived %v", got)
		}
		wantDead(t, s, 1, "never: message text is empty")
		wantLeft(t, s)
		r.want(t, map[string]int{"dead": 1, "never": 1, "sent": 1})
	})
}

// TestPanic has the sender panic over one message.
func TestPanic(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		p := &platform{answer: func(_ context.Context, m store.Outgoing, _ int) error {
			if m.Number == 1 {
				panic("private text")
			}
			return nil
		}}
		put(t, s, ines, ines)
		runFor(t, time.Minute, s, p, delivery.Options{})
		wantDead(t, s, 1, "never: panic of type string")
		wantLeft(t, s)
	})
}

// TestExpired drops what is too late, also while it waits for another try.
func TestExpired(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s := open(t)
		r := &results{}
		p := &platform{answer: fails(2, &delivery.Failure{Kind: delivery.Retry, Err: errLine})}
		update(t, s, func(tx store.Snapshot, put storetest.Put) error {
			for _, at := range []time.Duration{0, time.Minute, time.Hour} {
				put(store.Enqueue{Chat: ines, Expires: time.Now().Add(at)})
			}
			return nil
		})
		runFor(t, 5*time.Minute, s, p, delivery.Options{Metrics: r})
		wantLeft(t, s)
		if got := slices.Compact(p.numbers(ines)); !slices.Equal(got, []uint64{2, 3}) {
			t.Errorf("arrived %v", got)
		}
		if r.n["expired"] != 2 || r.n["sent"] != 1 {
			t.Errorf("results %v", r.n)
		}
	})
}

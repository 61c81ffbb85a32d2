package delivery_test

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"bowlwright/bot/delivery"
	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

const prefix = "phone/"

func isGroup(chat string) bool { return strings.HasPrefix(chat, prefix+"-") }

// arrival is a message that reached the platform.
type arrival struct {
	at     time.Time
	chat   string
	number uint64
}

// platform is a Sender that records what arrives. A message takes as long as
// delay says, and arrives in the middle of that time.
type platform struct {
	mu       sync.Mutex
	arrived  []arrival
	delay    func() time.Duration
	answer   func(ctx context.Context, m store.Outgoing, attempt int) error // nil: everything is taken
	attempts map[uint64]int
}

func (p *platform) Send(ctx context.Context, m store.Outgoing) error {
	d := time.Duration(0)
	if p.delay != nil {
		p.mu.Lock()
		d = p.delay()
		p.mu.Unlock()
	}
	time.Sleep(d / 2) // virtual
	p.mu.Lock()
	if p.attempts == nil {
		p.attempts = map[uint64]int{}
	}
	p.attempts[m.Number]++
	attempt := p.attempts[m.Number]
	p.arrived = append(p.arrived, arrival{time.Now(), m.Chat, m.Number})
	p.mu.Unlock()
	time.Sleep(d / 2)
	if p.answer != nil {
		return p.answer(ctx, m, attempt)
	}
	return nil
}

func (p *platform) seen() []arrival {
	p.mu.Lock()
	defer p.mu.Unlock()
	return slices.Clone(p.arrived)
}

func (p *platform) count() int {
	p.mu.Lock()
	defer p.mu.Unlock()
	return len(p.arrived)
}

// numbers is the order in which messages arrived at a chat.
func (p *platform) numbers(chat string) (out []uint64) {
	for _, a := range p.seen() {
		if a.chat == chat {
			out = append(out, a.number)
		}
	}
	return out
}

// open returns an empty store that waits for no disk.
func open(t *testing.T) *bolt.Store {
	t.Helper()
	s, err := bolt.Open(filepath.Join(t.TempDir(), "s.db"), bolt.Options{NoSync: true})
	must(t, err)
	t.Cleanup(func() {
		if err := s.Check(); err != nil {
			t.Error(err)
		}
		s.Close()
	})
	return s
}

func update(t *testing.T, s store.Store, f func(store.Snapshot, storetest.Put) error) {
	t.Helper()
	must(t, storetest.Change(context.Background(), s, f))
}

// put puts a message into the outbox for each chat, in one commit, and returns
// their numbers.
func put(t *testing.T, s store.Store, chats ...string) (numbers []uint64) {
	t.Helper()
	var c store.Commit
	for i, chat := range chats {
		c.Writes = append(c.Writes, store.Enqueue{Chat: chat, At: time.Now(), Body: fmt.Appendf(nil, "%d", i)})
	}
	must(t, s.Commit(context.Background(), c))
	numbers = left(t, s)
	return numbers[max(0, len(numbers)-len(chats)):] // some may be gone at once
}

// left are the numbers of what is in the outbox.
func left(t *testing.T, s store.Store) (numbers []uint64) {
	t.Helper()
	must(t, storetest.Look(context.Background(), s, func(tx store.Snapshot) error {
		ms, err := tx.Pending("", 1<<20)
		for _, m := range ms {
			numbers = append(numbers, m.Number)
		}
		return err
	}))
	return numbers
}

// wantLeft fails unless exactly these numbers are in the outbox.
func wantLeft(t *testing.T, s store.Store, want ...uint64) {
	t.Helper()
	got := left(t, s)
	if !slices.Equal(got, want) {
		t.Errorf("%d in the outbox: %v, want %v", len(got), got[:min(20, len(got))], want)
	}
}

// running starts a delivery and returns it with a function that ends it.
func running(t *testing.T, s store.Store, p delivery.Sender, o delivery.Options) (*delivery.Delivery, func()) {
	o.Prefix, o.IsGroup = prefix, isGroup
	d := delivery.New(s, p, o)
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan error)
	go func() { done <- d.Run(ctx) }()
	return d, func() {
		cancel()
		if err := <-done; err != nil {
			t.Error(err)
		}
	}
}

// runFor runs a delivery for a time.
func runFor(t *testing.T, d time.Duration, s store.Store, p delivery.Sender, o delivery.Options) {
	t.Helper()
	_, stop := running(t, s, p, o)
	time.Sleep(d)
	stop()
}

// fails answers one message with a failure.
func fails(number uint64, f *delivery.Failure) func(context.Context, store.Outgoing, int) error {
	return func(_ context.Context, m store.Outgoing, _ int) error {
		if m.Number == number {
			return f
		}
		return nil
	}
}

// many are the chats of so many people.
func many(n int) (chats []string) {
	for i := range n {
		chats = append(chats, fmt.Sprint(prefix, 100+i))
	}
	return chats
}

// bubble runs f under virtual time.
func bubble(t *testing.T, f func(t *testing.T)) {
	t.Helper()
	synctest.Test(t, f)
}

// wantAllLimits holds arrivals to the platform's limits.
func wantAllLimits(t *testing.T, as []arrival) {
	t.Helper()
	times, all := map[string][]time.Time{}, []time.Time(nil)
	for _, a := range as {
		times[a.chat], all = append(times[a.chat], a.at), append(all, a.at)
	}
	wantLimits(t, "all chats", all, 30, time.Second)
	for chat, ts := range times {
		wantLimits(t, chat, ts, 3, 3*time.Second)
		if isGroup(chat) {
			wantLimits(t, chat, ts, 20, time.Minute)
		}
	}
}

// wantLimits fails where more than count of the arrivals come within any
// time of length per.
func wantLimits(t *testing.T, what string, times []time.Time, count int, per time.Duration) {
	t.Helper()
	times = slices.Clone(times)
	slices.SortFunc(times, time.Time.Compare)
	for i := count; i < len(times); i++ {
		if gap := times[i].Sub(times[i-count]); gap < per {
			t.Errorf("%s: %d messages within %v", what, count+1, gap)
			return
		}
	}
}

// must ends a test where what it needs cannot be had.
func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

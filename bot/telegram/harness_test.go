package telegram_test

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"bowlwright/bot"
	"bowlwright/bot/delivery"
	"bowlwright/bot/say"
	"bowlwright/bot/telegram"
	"bowlwright/bot/telegram/standin"
	"bowlwright/nutrition"
	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/postgres/pgtest"
	"bowlwright/store/storetest"
)

// TestMain lets more tests run at a time than there are processors: many of them
// wait for a pause that the platform asks for.
func TestMain(m *testing.M) {
	if err := flag.Set("test.parallel", "6"); err != nil {
		panic(err)
	}
	pgtest.M{M: m}.Run()
}

// The demo world; ids and times are inventions.
var (
	ines  = standin.Person{ID: 4711, Name: "Ines", Username: "ines"}
	tomas = standin.Person{ID: 4712, Name: "Tomas"}
	start = time.Date(2026, 3, 2, 7, 30, 0, 0, time.UTC)
)

// clock stands still until it is set.
type clock struct {
	mu sync.Mutex
	at time.Time
}

func (c *clock) now() time.Time { c.mu.Lock(); defer c.mu.Unlock(); return c.at }

func (c *clock) set(at time.Time) { c.mu.Lock(); defer c.mu.Unlock(); c.at = at }

// tally counts updates by outcome and tells of each.
type tally struct {
	mu      sync.Mutex
	counts  map[string]int
	changed chan struct{}
}

func newTally() *tally { return &tally{counts: map[string]int{}, changed: make(chan struct{})} }

func (c *tally) Update(outcome string, _ time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.counts[outcome]++
	c.counts[""]++
	close(c.changed)
	c.changed = make(chan struct{})
}

func (c *tally) of(outcome string) int { c.mu.Lock(); defer c.mu.Unlock(); return c.counts[outcome] }

// wait waits until so many updates came to an end.
func (c *tally) wait(t testing.TB, n int) {
	t.Helper()
	for {
		c.mu.Lock()
		have, next := c.counts[""], c.changed
		c.mu.Unlock()
		if have >= n {
			return
		}
		select {
		case <-next:
		case <-time.After(20 * time.Second): // in which nothing came
			t.Fatalf("%d of %d updates came to an end", have, n)
		}
	}
}

// phone is the assistant behind the adapter, on the stand-in.
type phone struct {
	t       testing.TB
	api     *standin.Server
	store   store.Store
	adapter *telegram.Adapter
	tally   *tally
	clock   *clock
	log     *bytes.Buffer
	stop    func() error // ends the run and returns its error
}

// wiring changes how a phone is put together.
type wiring struct {
	store   store.Store                             // nil: a new one
	api     *standin.Server                         // nil: a new one
	handler func(telegram.Handler) telegram.Handler // round the assistant
	options func(*telegram.Options)
	failed  func(chat string, f *delivery.Failure) // told of failed sends; they are dropped
}

// openScratch opens a new store: that of BOWLWRIGHT_TEST_STORE=postgres, or a file.
func openScratch(t testing.TB) store.Store {
	t.Helper()
	if os.Getenv("BOWLWRIGHT_TEST_STORE") == "postgres" {
		return pgtest.Open(t, pgtest.Database(t))
	}
	s, err := bolt.Open(filepath.Join(t.TempDir(), "test.db"), bolt.Options{NoSync: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

func startStandin(t testing.TB, o standin.Options) *standin.Server {
	t.Helper()
	api, err := standin.Start(o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(api.Close)
	return api
}

// syncBuffer is a log that several goroutines write.
type syncBuffer struct {
	mu  *sync.Mutex
	buf *bytes.Buffer
}

func (b syncBuffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.buf.Write(p)
}

// pick up connects a phone and runs it by long polling until the test ends.
func pickUp(t testing.TB, w wiring) *phone {
	t.Helper()
	p := connect(t, w)
	p.run(func(ctx context.Context) error { return p.adapter.Run(ctx) })
	return p
}

// connect puts a phone together without running it.
func connect(t testing.TB, w wiring) *phone {
	t.Helper()
	p := &phone{t: t, api: w.api, store: w.store, tally: newTally(), clock: &clock{at: start}, log: &bytes.Buffer{}}
	if p.store == nil {
		p.store = openScratch(t)
	}
	if p.api == nil {
		p.api = startStandin(t, standin.Options{Now: p.clock.now})
	}
	assistant := bot.NewAssistant(p.store, nutrition.Default())
	var h telegram.Handler = assistant
	if w.handler != nil {
		h = w.handler(h)
	}
	var sending sync.Mutex
	o := telegram.Options{
		Token: standin.Token, API: p.api.URL(), Now: p.clock.now, Metrics: p.tally, Groups: assistant,
		Log: slog.New(slog.NewTextHandler(syncBuffer{&sync.Mutex{}, p.log}, &slog.HandlerOptions{Level: slog.LevelDebug})),
		Wake: func(chat string) {
			sending.Lock()
			defer sending.Unlock()
			p.pump(chat, w.failed)
		},
	}
	o.Aside = func(m store.Outgoing) {
		if err := p.adapter.Sender().Send(context.Background(), m); err != nil {
			t.Errorf("send: %v", err)
		}
	}
	if w.options != nil {
		w.options(&o)
	}
	var err error
	if p.adapter, err = telegram.New(h, p.store, o); err != nil {
		t.Fatal(err)
	}
	return p
}

func (p *phone) run(f func(context.Context) error) {
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- f(ctx) }()
	var once sync.Once
	var err error
	p.stop = func() error {
		once.Do(func() { cancel(); err = <-ended })
		return err
	}
	p.t.Cleanup(func() { p.stop() })
}

// pump sends what the outbox holds for a chat, without limits or retries:
// those are the delivery's own tests' matter.
func (p *phone) pump(chat string, failed func(string, *delivery.Failure)) {
	ctx := context.Background()
	var out []store.Outgoing
	p.look(func(tx store.Snapshot) (err error) {
		out, err = tx.Pending(chat, 1000)
		return err
	})
	for _, m := range out {
		var f *delivery.Failure
		if err := p.adapter.Sender().Send(ctx, m); errors.As(err, &f) && failed != nil {
			failed(chat, f)
		} else if err != nil {
			p.t.Errorf("send: %v", err)
		}
		p.change(func(_ store.Snapshot, put storetest.Put) error { return put(store.Delivered(m.Number)) })
	}
}

// look reads the store, and change writes to it.
func (p *phone) look(f func(store.Snapshot) error) {
	p.t.Helper()
	if err := storetest.Look(context.Background(), p.store, f); err != nil {
		p.t.Error(err)
	}
}

func (p *phone) change(f func(store.Snapshot, storetest.Put) error) {
	p.t.Helper()
	if err := storetest.Change(context.Background(), p.store, f); err != nil {
		p.t.Error(err)
	}
}

// send puts a reply on the wire at once, under the number and to the chat of a
// message.
func (p *phone) send(m store.Outgoing, r say.Reply) error {
	m.Body = say.EncodeReply(r)
	return p.adapter.Sender().Send(p.t.Context(), m)
}

// waitFor waits for something at the stand-in.
func (p *phone) waitFor(what string, cond func() bool) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.t.Context(), 20*time.Second)
	defer cancel()
	if err := p.api.Wait(ctx, cond); err != nil {
		p.t.Fatalf("%s: never", what)
	}
}

// waitReady waits until updates are received and stored.
func (p *phone) waitReady() {
	p.t.Helper()
	for begun := time.Now(); !p.adapter.Ready(); runtime.Gosched() {
		if time.Since(begun) > 20*time.Second {
			p.t.Fatal("not ready")
		}
	}
}

// typed is an update of something that Ines typed.
func typed(id int, text string) string {
	return fmt.Sprintf(`{"update_id":%d,"message":{"message_id":5,"date":1772000000,"chat":{"id":4711,"type":"private"},"from":{"id":4711,"first_name":"Ines"},"text":%q}}`, id, text)
}

// invitation is the payload of the link in a message.
func invitation(t testing.TB, said string) string {
	t.Helper()
	_, payload, ok := strings.Cut(said, "?start=")
	if !ok {
		t.Fatalf("no link in %q", said)
	}
	payload, _, _ = strings.Cut(payload, "\n")
	return strings.TrimSpace(payload)
}

// replies returns the texts that the bot wrote in a chat, as they stand now.
func (p *phone) replies(chat int64) (out []string) {
	for _, m := range p.api.FromBot(chat) {
		out = append(out, m.Text)
	}
	return out
}

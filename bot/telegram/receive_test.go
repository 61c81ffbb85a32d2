package telegram_test

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"bowlwright/bot"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/bot/telegram"
	"bowlwright/bot/telegram/standin"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// handlerFunc is a Handler of a function.
type handlerFunc func(ctx context.Context, e talk.Event) error

func (f handlerFunc) Handle(ctx context.Context, e talk.Event) error { return f(ctx, e) }

// before returns a wiring that calls f before each event reaches the
// assistant, which is left out where f returns an error.
func before(f func(ctx context.Context, e talk.Event) error) wiring {
	return wiring{handler: func(h telegram.Handler) telegram.Handler {
		return handlerFunc(func(ctx context.Context, e talk.Event) error {
			if err := f(ctx, e); err != nil {
				return err
			}
			return h.Handle(ctx, e)
		})
	}}
}

// TestOrder sends many messages of one household at once; they are handled in
// order, one at a time.
func TestOrder(t *testing.T) {
	t.Parallel()
	const n = 200
	var mu sync.Mutex
	var got []string
	busy := false
	w := wiring{handler: func(telegram.Handler) telegram.Handler {
		return handlerFunc(func(_ context.Context, e talk.Event) error {
			mu.Lock()
			if busy {
				t.Error("two at a time")
			}
			busy = true
			got = append(got, e.Text)
			mu.Unlock()
			for range 20 {
				runtime.Gosched() // a second one would get in between
			}
			mu.Lock()
			busy = false
			mu.Unlock()
			return nil
		})
	}}
	p := pickUp(t, w)
	var want []string
	for i := range n {
		want = append(want, fmt.Sprint("message ", i))
		p.api.Say(ines, 0, want[i])
	}
	p.tally.wait(t, n)
	if !slices.Equal(got, want) {
		t.Errorf("handled in another order: %v", got)
	}
}

// TestOrderOfHousehold has two carers of one household write in turns from
// their own chats.
func TestOrderOfHousehold(t *testing.T) {
	t.Parallel()
	var mu sync.Mutex
	var got []string
	p := connect(t, before(func(_ context.Context, e talk.Event) error {
		mu.Lock()
		defer mu.Unlock()
		got = append(got, e.Text)
		return nil
	}))
	p.change(func(_ store.Snapshot, put storetest.Put) error {
		for _, who := range []standin.Person{ines, tomas} {
			name := fmt.Sprint("telegram/", who.ID)
			if err := put(store.PutMember{Chat: name, Person: name, Household: "quayside"}); err != nil {
				return err
			}
		}
		return nil
	})
	var want []string
	for i := range 40 {
		who := []standin.Person{ines, tomas}[i%2]
		want = append(want, fmt.Sprint("/dog ", i))
		p.api.Say(who, 0, want[i])
	}
	p.run(p.adapter.Run)
	p.tally.wait(t, len(want))
	if !slices.Equal(got, want) {
		t.Errorf("handled in another order: %v", got)
	}
}

// TestSlowHousehold holds one household up until others have been answered.
func TestSlowHousehold(t *testing.T) {
	t.Parallel()
	others := make(chan struct{})
	p := pickUp(t, before(func(ctx context.Context, e talk.Event) error {
		if e.Name == ines.Name {
			select {
			case <-others:
			case <-ctx.Done():
				t.Error("the others waited for the slow one")
			}
		}
		return nil
	}))
	p.api.Say(ines, 0, "/start")
	p.api.Say(ines, 0, "/help")
	for range 20 {
		p.api.Say(tomas, 0, "/help")
	}
	p.tally.wait(t, 20)
	if n := len(p.replies(ines.ID)); n != 0 {
		t.Errorf("the slow one has %d answers already", n)
	}
	close(others)
	p.tally.wait(t, 22)
	if n := len(p.replies(ines.ID)); n != 2 {
		t.Errorf("the slow one has %d answers, want 2", n)
	}
}

// TestPanic lets the assistant panic: the person is told, the others are
// answered, it does not come again after a restart, and the log has the stack
// and not the text.
func TestPanic(t *testing.T) {
	t.Parallel()
	w := before(func(_ context.Context, e talk.Event) error {
		if e.Text == "wombat" {
			panic("what they said: " + e.Text)
		}
		return nil
	})
	p := pickUp(t, w)
	p.api.Say(ines, 0, "/help")
	p.api.Say(ines, 0, "wombat")
	p.api.Say(ines, 0, "/help")
	p.tally.wait(t, 3)
	got := p.replies(ines.ID)
	if len(got) != 3 || got[1] != talk.TroubleText(errors.New("any")) || got[2] != got[0] {
		t.Errorf("answered %q", got)
	}
	if p.tally.of("failed") != 1 || p.tally.of("handled") != 2 {
		t.Errorf("%d failed, %d handled", p.tally.of("failed"), p.tally.of("handled"))
	}
	if err := p.stop(); err != nil {
		t.Fatal(err)
	}
	if log := p.log.String(); !strings.Contains(log, "receive_test.go") || strings.Contains(log, "wombat") {
		t.Errorf("the log lacks the stack or holds the text:\n%s", log)
	}
	w.store, w.api = p.store, p.api
	again := pickUp(t, w)
	again.api.Say(ines, 0, "/help")
	// What was not confirmed before comes again and is not answered again.
	again.waitFor("an answer after a restart", func() bool { return len(again.replies(ines.ID)) >= 4 })
	again.api.Say(ines, 0, "/help")
	again.waitFor("a second one", func() bool { return len(again.replies(ines.ID)) >= 5 })
	if again.stop(); len(again.replies(ines.ID)) != 5 {
		t.Errorf("%d answers after a restart, want 5", len(again.replies(ines.ID)))
	}
}

// TestBadUpdates puts what cannot be read among what can.
func TestBadUpdates(t *testing.T) {
	t.Parallel()
	p := connect(t, wiring{})
	p.api.Say(ines, 0, "/help")
	for _, bad := range []string{
		`{"update_id":%d,"message":"not a message"}`,
		`{"update_id":%d,"message":{"message_id":1,"date":1,"chat":{"id":"x","type":"private"},"from":{"id":1}}}`,
		`{"update_id":%d,"message":{"text":"never closed"`,
		`{"update_id":%d,,}`,
		`{"update_id":%d,"something_new":{"a":[1,2,{"b":null}]}}`,
		`{"update_id":%d}`,
		`{"update_id":%d,"callback_query":{"id":"press-1","from":{"id":4711},"data":"x"}}`,
		`{"update_id":%d,"message":{"message_id":1,"chat":{"id":4711,"type":"private"}}}`,
	} {
		id := p.api.State().NextID
		p.api.Push(id, fmt.Sprintf(bad, id))
	}
	p.api.Say(ines, 0, "/help")
	p.run(p.adapter.Run)
	p.tally.wait(t, 10)
	if n := len(p.replies(ines.ID)); n != 2 {
		t.Errorf("%d answers, want 2", n)
	}
	if got := p.tally.of("unreadable"); got != 4 {
		t.Errorf("%d unreadable, want 4", got)
	}
	p.api.Say(ines, 0, "/help")
	p.waitFor("all confirmed", func() bool { return p.api.State().Unconfirmed <= 1 && len(p.replies(ines.ID)) == 3 })
}

// TestStoredBeforeConfirmed stops the program with an update in hand and
// finds it again.
func TestStoredBeforeConfirmed(t *testing.T) {
	t.Parallel()
	started := make(chan struct{})
	w := before(func(ctx context.Context, e talk.Event) error {
		if e.Text == "/dog" {
			close(started)
			<-ctx.Done()
			return ctx.Err()
		}
		return nil
	})
	w.options = func(o *telegram.Options) { o.Finish = 200 * time.Millisecond }
	p := pickUp(t, w)
	p.api.Say(ines, 0, "/dog")
	p.api.Say(ines, 0, "/help")
	<-started
	begun := time.Now()
	if err := p.stop(); err != nil {
		t.Fatal(err)
	}
	if took := time.Since(begun); took > 5*time.Second {
		t.Errorf("stopping took %v", took)
	}
	again := pickUp(t, wiring{store: p.store, api: p.api})
	again.tally.wait(t, 2)
	if got := again.replies(ines.ID); len(got) != 2 {
		t.Errorf("answered %q", got)
	}
	again.stop()
	p.look(func(tx store.Snapshot) error {
		us, err := tx.Updates(0, 10)
		if len(us) > 0 {
			t.Errorf("%d updates are left in the inbox", len(us))
		}
		return err
	})
}

// TestPollingFailures has the platform fail in its several ways before it
// gives updates.
func TestPollingFailures(t *testing.T) {
	t.Parallel()
	p := connect(t, wiring{})
	p.api.Fail(standin.Fault{Method: "getMe", Page: true})
	p.api.Fail(standin.Fault{Method: "deleteWebhook", Cut: true})
	p.api.Fail(standin.Fault{Method: "setMyCommands", Code: 400, Description: "Bad Request: BOT_COMMAND_INVALID"})
	p.api.Fail(standin.Fault{Method: "getUpdates", Page: true})
	p.api.Fail(standin.Fault{Method: "getUpdates", Cut: true})
	p.api.Fail(standin.Fault{Method: "getUpdates", Code: 409, Description: "Conflict"})
	p.api.Fail(standin.Fault{Method: "getUpdates", Code: 500})
	p.api.Say(ines, 0, "/help")
	p.run(p.adapter.Run)
	p.tally.wait(t, 1)
	if n := len(p.replies(ines.ID)); n != 1 {
		t.Errorf("%d answers, want 1", n)
	}
	p.stop()
	if log := p.log.String(); strings.Contains(log, standin.Token) || strings.Contains(log, "<html>") {
		t.Errorf("the log holds the token or a page:\n%s", log)
	}
}

// TestReadyAtOnce does not wait for a first message to be ready.
func TestReadyAtOnce(t *testing.T) {
	t.Parallel()
	p := connect(t, wiring{})
	if p.adapter.Ready() {
		t.Error("ready before it runs")
	}
	p.run(p.adapter.Run)
	p.waitReady()
	p.stop()
	if p.adapter.Ready() {
		t.Error("ready after it stopped")
	}
}

func TestUnknownTokenEnds(t *testing.T) {
	t.Parallel()
	p := connect(t, wiring{options: func(o *telegram.Options) { o.Token = "1:another" }})
	if err := p.adapter.Run(t.Context()); !errors.Is(err, telegram.ErrToken) {
		t.Errorf("run = %v, want ErrToken", err)
	}
}

// TestFlood sends far more at once than is taken of one person, while the
// first is being handled: the person is told at once, not after the queue, and
// the newest are read; another carer of the household loses nothing.
func TestFlood(t *testing.T) {
	t.Parallel()
	go_on := make(chan struct{})
	var mu sync.Mutex
	var got []string
	p := connect(t, wiring{handler: func(telegram.Handler) telegram.Handler {
		return handlerFunc(func(_ context.Context, e talk.Event) error {
			<-go_on
			mu.Lock()
			defer mu.Unlock()
			got = append(got, e.Text)
			return nil
		})
	}})
	p.change(func(_ store.Snapshot, put storetest.Put) error {
		return put(store.Enqueue{Chat: "telegram/4711", Body: say.EncodeReply(text("an answer that waits"))},
			store.PutMember{Chat: "telegram/4711", Person: "telegram/4711", Household: "quayside"}, store.PutMember{Chat: "telegram/4712", Person: "telegram/4712", Household: "quayside"})
	})
	const all, others = 700, 30
	for i := range all {
		p.api.Say(ines, 0, fmt.Sprint("message ", i))
		if i < others {
			p.api.Say(tomas, 0, "/help")
		}
	}
	p.run(p.adapter.Run)
	p.waitFor("the news before the queue is done", func() bool { return len(p.replies(ines.ID)) > 0 })
	p.tally.wait(t, 3*180) // each time that 200 wait, and one is being done
	close(go_on)
	p.tally.wait(t, all+others)
	if told := p.replies(ines.ID); !slices.Equal(told, []string{bot.FloodText(20), "an answer that waits"}) {
		t.Errorf("answered %q", told)
	}
	mu.Lock()
	defer mu.Unlock()
	mine := slices.DeleteFunc(slices.Clone(got), func(s string) bool { return s == "/help" })
	if n := len(mine); len(got)-n != others || n != all-3*180 || p.tally.of("flood") != all-n {
		t.Errorf("%d of Ines's and %d of Tomas's handled, %d refused", n, len(got)-n, p.tally.of("flood"))
	}
	for i, s := range mine[max(0, len(mine)-20):] {
		if want := fmt.Sprint("message ", all-20+i); s != want {
			t.Errorf("%d of the newest: %q, want %q", i, s, want)
		}
	}
}

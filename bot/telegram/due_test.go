package telegram_test

import (
	"context"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"bowlwright/bot/delivery"
	"bowlwright/bot/talk"
	"bowlwright/bot/telegram"
	"bowlwright/bot/telegram/standin"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// kitchen is a phone whose messages go out by the delivery, on the phone's own
// clock and without limits, and to which what falls due is said.
type kitchen struct {
	*phone
	assistant *talk.Assistant
	delivery  *delivery.Delivery
	mu        sync.Mutex
	results   map[string]int // of the delivery
	sent      int            // updates
}

// Sent counts what becomes of messages.
func (k *kitchen) Sent(result string, _ time.Duration) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.results[result]++
}

func newKitchen(t *testing.T) *kitchen {
	k := &kitchen{results: map[string]int{}}
	k.phone = connect(t, wiring{
		handler: func(h telegram.Handler) telegram.Handler { k.assistant = h.(*talk.Assistant); return h },
		options: func(o *telegram.Options) {
			o.Wake = func(chat string) { k.delivery.Wake(chat) }
			o.Move = func(ctx context.Context, from, to string) error { return k.assistant.MoveChat(ctx, from, to) }
		},
	})
	k.delivery = delivery.New(k.store, k.adapter.Sender(), delivery.Options{
		Prefix: telegram.Prefix, IsGroup: telegram.IsGroup, Moved: k.assistant.MoveChat, Metrics: k,
		Now: k.clock.now, Limits: &delivery.Limits{},
	})
	k.run(k.adapter.Run)
	return k
}

// does has somebody do something and waits until it was answered.
func (k *kitchen) does(f func()) {
	k.t.Helper()
	f()
	k.sent++
	k.tally.wait(k.t, k.sent)
	k.flush()
}

func (k *kitchen) says(p standin.Person, chat int64, text string) {
	k.t.Helper()
	k.does(func() { k.api.Say(p, chat, text) })
}

// presses has a person press a button by its label under a message.
func (k *kitchen) presses(p standin.Person, under standin.Message, label string) {
	k.t.Helper()
	for _, b := range slices.Concat(under.Buttons...) {
		if b.Text == label {
			k.does(func() { k.api.Press(p, under.Chat, under.ID, b.Data) })
			return
		}
	}
	k.t.Fatalf("no button %q under %q: %v", label, under.Text, under.Buttons)
}

// at sets the clock and has said what is due by then.
func (k *kitchen) at(hour, minute int) talk.TickResult {
	k.t.Helper()
	k.clock.set(time.Date(2026, 3, 2, hour, minute, 0, 0, time.UTC))
	r, err := k.assistant.Tick(k.t.Context(), k.clock.now())
	if err != nil || len(r.Failed) > 0 {
		k.t.Fatal(err, r.Failed)
	}
	k.flush()
	return r
}

func (k *kitchen) flush() {
	k.t.Helper()
	ctx, cancel := context.WithTimeout(k.t.Context(), 10*time.Second)
	defer cancel()
	if err := k.delivery.Flush(ctx); err != nil || ctx.Err() != nil {
		k.t.Fatal("not delivered: ", err, ctx.Err())
	}
}

// messages are those that the bot wrote in a chat since the first skip.
func (k *kitchen) messages(chat int64, skip int) []standin.Message { return k.api.FromBot(chat)[skip:] }

// pending is how many messages wait for a chat.
func (k *kitchen) pending(chat string) (n int) {
	k.t.Helper()
	k.look(func(tx store.Snapshot) error {
		all, err := tx.Pending(chat, 1000)
		n = len(all)
		return err
	})
	return n
}

// filled makes a household of two dogs that are fed at 8:00 and 18:00.
func (k *kitchen) filled(chat int64) {
	k.t.Helper()
	for _, s := range []string{
		"/dog Juniper 19.6 kg 4 years spayed moderate 5/9 healthy", "/dog Bracken 34.8 kg 8 years neutered male low activity 7/9 healthy",
		"/recipe Turkey and heart\n500 g turkey thigh, no skin\n150 g turkey heart\n60 g kale, cooked",
		"/remind feed all dogs at 8:00 and 18:00",
	} {
		k.says(ines, chat, s)
	}
}

func wantTexts(t *testing.T, what string, got []standin.Message, want ...string) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%s: %d messages, want %d: %+v", what, len(got), len(want), got)
	}
	for i, m := range got {
		if !strings.Contains(m.Text, want[i]) {
			t.Errorf("%s: message %d is %q, want %q in it", what, i, m.Text, want[i])
		}
	}
}

// TestReminderAnswered presses the buttons of reminders, which no update has
// caused: the one that is answered changes where it stands though another is
// below it, and both carers know.
func TestReminderAnswered(t *testing.T) {
	t.Parallel()
	k := newKitchen(t)
	k.filled(0)
	k.invited(ines, 0, tomas)
	hers, his := len(k.messages(ines.ID, 0)), len(k.messages(tomas.ID, 0))

	k.at(8, 0)
	got := k.messages(ines.ID, hers)
	wantTexts(t, "to Ines", got, "Juniper", "Bracken")
	wantTexts(t, "to Tomas", k.messages(tomas.ID, his), "Juniper", "Bracken")
	if !strings.Contains(got[0].HTML, "<pre>") {
		t.Errorf("the amounts are in no table: %s", got[0].HTML)
	}

	k.presses(ines, got[0], "Fed")
	after := k.messages(ines.ID, hers)
	wantTexts(t, "after Fed", after, "Juniper", "Bracken")
	if after[0].Edited != 1 || !strings.Contains(after[0].Text, "Ines") {
		t.Errorf("the reminder now reads %q, edited %d times", after[0].Text, after[0].Edited)
	}
	news := k.messages(tomas.ID, his)
	wantTexts(t, "to Tomas after Fed", news, "Juniper", "Bracken", "Ines")

	k.presses(tomas, news[0], "Fed")
	wantTexts(t, "Tomas is warned", k.messages(tomas.ID, his), "Ines", "Bracken", "Ines")
	wantTexts(t, "Ines hears nothing of it", k.messages(ines.ID, hers), "Juniper", "Bracken")

	k.presses(tomas, news[1], "Later")
	k.at(8, 30)
	wantTexts(t, "after a while", k.messages(ines.ID, hers), "Juniper", "Bracken", "Bracken")
	if k.results["expired"]+k.results["dead"] > 0 {
		t.Errorf("results %v", k.results)
	}
}

// TestReminderInGroup says what is due once in the group, and in nobody's
// private chat.
func TestReminderInGroup(t *testing.T) {
	t.Parallel()
	k := newKitchen(t)
	k.api.AddGroup(quay, "Quayside")
	k.filled(quay)
	k.says(tomas, quay, "/today")
	k.api.Greet(ines)
	k.api.Greet(tomas)
	before := len(k.messages(quay, 0))
	k.at(8, 0)
	got := k.messages(quay, before)
	wantTexts(t, "in the group", got, "Juniper", "Bracken")
	k.presses(tomas, got[0], "Fed")
	got = k.messages(quay, before)
	wantTexts(t, "in the group after Fed", got, "Tomas", "Bracken")
	for _, p := range []standin.Person{ines, tomas} {
		if n := len(k.messages(p.ID, 0)); n > 0 {
			t.Errorf("%s has %d messages", p.Name, n)
		}
	}
}

// TestReminderRefused has a person refuse the bot: the reminder that waits is
// not sent again, the next are left out, what is of no use any more is dropped
// when the person writes, and then the reminders come again.
func TestReminderRefused(t *testing.T) {
	t.Parallel()
	k := newKitchen(t)
	k.filled(0)
	before := len(k.messages(ines.ID, 0))
	k.api.Block(ines.ID, true)
	if r := k.at(8, 0); r.Said != 2 {
		t.Errorf("said %+v", r)
	}
	if n := k.pending("telegram/4711"); n != 2 || k.results["blocked"] != 1 {
		t.Errorf("%d wait, want 2, after one attempt: %v", n, k.results)
	}
	if r := k.at(18, 0); r.Said != 0 || r.Passed != 2 {
		t.Errorf("to one who refuses: %+v", r)
	}
	k.api.Block(ines.ID, false)
	k.clock.set(time.Date(2026, 3, 2, 20, 0, 0, 0, time.UTC))
	k.says(ines, 0, "/help")
	if n := k.pending("telegram/4711"); n != 0 || k.results["expired"] != 2 {
		t.Errorf("%d wait, want none, and two were dropped: %v", n, k.results)
	}
	wantTexts(t, "after the return", k.messages(ines.ID, before), "You can type")
	k.at(24+8, 0)
	wantTexts(t, "the next day", k.messages(ines.ID, before), "You can type", "Juniper", "Bracken")
}

// TestReminderOfGroupThatMoved makes a group another chat while its reminders
// wait: they are said there, once, and so are all later ones.
func TestReminderOfGroupThatMoved(t *testing.T) {
	t.Parallel()
	const moved = -1009901
	k := newKitchen(t)
	k.api.AddGroup(quay, "Quayside")
	k.filled(quay)
	k.does(func() { k.api.Migrate(quay, moved) })
	// As if the update of it had been lost: the chat is known by its old name.
	k.change(func(_ store.Snapshot, put storetest.Put) error {
		return put(store.MoveChat{From: "telegram/-1009901", To: "telegram/-100200"})
	})
	k.at(8, 0)
	got := k.messages(moved, 0)
	wantTexts(t, "after the move", got, "Juniper", "Bracken")
	k.presses(ines, got[1], "Fed")
	k.at(18, 0)
	wantTexts(t, "in the evening", k.messages(moved, 0), "Juniper", "Ines", "Juniper", "Bracken")
	if k.results["dead"] > 0 || k.pending("") > 0 {
		t.Errorf("%d wait, %v", k.pending(""), k.results)
	}
}

// TestReminderShownAsTyped says names and notes that look like markup, in
// reminders, in answers to them and under files.
func TestReminderShownAsTyped(t *testing.T) {
	t.Parallel()
	const odd = `Pip<b>x</b>&"o`
	k := newKitchen(t)
	carer := standin.Person{ID: ines.ID, Name: odd}
	for _, s := range []string{
		"dog Juniper 19.6 kg 4 years spayed moderate 5/9 healthy", "rename Juniper to " + odd,
		"recipe " + odd + "\n500 g turkey thigh, no skin\n150 g turkey heart",
		"/remind feed " + odd + " at 8:00 and 18:00", "remind me " + odd + " today at 9:00",
	} {
		k.says(carer, 0, s)
	}
	before := len(k.messages(ines.ID, 0))
	k.at(8, 0)
	k.at(9, 0)
	got := k.messages(ines.ID, before)
	wantTexts(t, "reminders", got, odd+": ", odd)
	k.presses(carer, got[0], "Fed")
	k.presses(carer, got[1], "Done")
	for _, s := range []string{"export " + odd + "'s weigh-ins", "export recipe " + odd, "export calendar", "/today"} {
		k.says(carer, 0, s)
	}
	files := 0
	for _, m := range k.messages(ines.ID, before) {
		if m.File != nil {
			files++
		}
		if strings.Contains(m.Text, "&lt;") || strings.Contains(m.HTML, "<b>") {
			t.Errorf("not as typed: %q", m.Text)
		}
	}
	if files == 0 {
		t.Error("no file came")
	}
	if k.results["dead"] > 0 || k.pending("") > 0 {
		t.Errorf("%d wait, %v", k.pending(""), k.results)
	}
}

package telegram_test

import (
	"context"
	"net/http"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/delivery"
	"bowlwright/bot/talk"
	"bowlwright/bot/telegram"
	"bowlwright/store"
)

// TestClaimedElsewhere leaves an update alone that another holds, until the
// other lets go.
func TestClaimedElsewhere(t *testing.T) {
	t.Parallel()
	p := connect(t, wiring{failed: func(string, *delivery.Failure) {}}) // the chat is not known there
	ctx := t.Context()
	put := func(id int, text string) store.Write {
		return store.PutUpdate{ID: int64(id), Chat: telegram.Prefix + "4711", Body: []byte(typed(id, text))}
	}
	if err := p.store.Commit(ctx, store.Commit{Writes: []store.Write{put(7, "/help")}}); err != nil {
		t.Fatal(err)
	}
	if us, err := p.store.ClaimInbox(ctx, store.Claim{By: "another", N: 1, Lease: time.Hour}); len(us) != 1 || err != nil {
		t.Fatalf("%v, %v", us, err)
	}
	p.run(p.adapter.Run)
	p.api.Say(tomas, 0, "/help")
	p.tally.wait(t, 1)
	p.look(func(tx store.Snapshot) error {
		seen, err := tx.Seen(telegram.Prefix + "7")
		if seen {
			t.Error("what another holds was answered")
		}
		return err
	})
	if err := p.store.Release(ctx, "another"); err != nil {
		t.Fatal(err)
	}
	p.tally.wait(t, 2) // it looks again by itself
}

// forgetful is a store that renews no claim, and forgets each at once.
type forgetful struct{ store.Store }

func (f forgetful) ClaimInbox(ctx context.Context, c store.Claim) ([]store.Update, error) {
	c.Lease = 1
	return f.Store.ClaimInbox(ctx, c)
}

// TestClaimedTwice is given again what it has in hand, as where its claim was not
// renewed in time, and answers once.
func TestClaimedTwice(t *testing.T) {
	t.Parallel()
	hold, held := make(chan struct{}), make(chan struct{}, 2)
	p := connect(t, wiring{store: forgetful{openScratch(t)}, handler: func(h telegram.Handler) telegram.Handler {
		return handlerFunc(func(ctx context.Context, e talk.Event) error {
			held <- struct{}{}
			<-hold
			return h.Handle(ctx, e)
		})
	}})
	p.run(p.adapter.Run)
	p.api.Say(tomas, 0, "/help")
	<-held
	p.api.Say(ines, 0, "/help") // it draws both
	<-held
	close(hold)
	p.tally.wait(t, 2)
	if err := p.stop(); err != nil {
		t.Error(err)
	}
	if n := p.tally.of(""); n != 2 {
		t.Errorf("%d updates came to an end, want 2", n)
	}
}

// TestRedelivery gives the same update twice: one effect, one answer, whether
// the first is still in hand or not. What comes after it in the chat tells when
// both are through.
func TestRedelivery(t *testing.T) {
	t.Parallel()
	p := connect(t, secret("s"))
	runWebhook(t, p)
	p.api.Say(ines, 0, "hello") // makes the chat known
	for _, update := range []string{typed(77, "/help"), typed(77, "/help"), typed(78, "/undo")} {
		if code := hook(p, "s", strings.NewReader(update)); code != http.StatusOK {
			t.Fatalf("answered %d", code)
		}
	}
	answered := func() bool {
		all := p.replies(ines.ID)
		return len(all) > 1 && all[len(all)-1] != all[0]
	}
	p.waitFor("both answers", answered)
	if n := len(p.replies(ines.ID)); n != 2 {
		t.Errorf("%d answers to two updates", n)
	}
}

package telegram_test

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/delivery"
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
	p.api.Say(tomas, 0, "/help")
	p.tally.wait(t, 3)
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

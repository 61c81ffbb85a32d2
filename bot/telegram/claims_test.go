package telegram_test

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/delivery"
	"bowlwright/bot/telegram"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// TestClaimedElsewhere leaves an update alone that another holds, until the
// other lets go.
func TestClaimedElsewhere(t *testing.T) {
	t.Parallel()
	p := connect(t, wiring{failed: func(string, *delivery.Failure) {}}) // the chat is not known there
	ctx := t.Context()
	put := func(id int, text string) store.Write {
		body := fmt.Appendf(nil, `{"update_id":%d,"message":{"message_id":5,"date":1772000000,"chat":{"id":4711,"type":"private"},"from":{"id":4711,"first_name":"Ines"},"text":%q}}`, id, text)
		return store.PutUpdate{ID: int64(id), Chat: telegram.Prefix + "4711", Body: body}
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
	err := storetest.Look(ctx, p.store, func(tx store.Snapshot) error {
		seen, err := tx.Seen(telegram.Prefix + "7")
		if seen {
			t.Error("what another holds was answered")
		}
		return err
	})
	if err := errors.Join(err, p.store.Release(ctx, "another")); err != nil {
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
	p := connect(t, wiring{options: func(o *telegram.Options) { o.Secret = "s" }})
	p.run(func(ctx context.Context) error { return p.adapter.RunWebhook(ctx, "https://bowl.example/") })
	ready(t, p)
	body := `{"update_id":77,"message":{"message_id":5,"date":1772000000,"chat":{"id":4711,"type":"private"},"from":{"id":4711,"first_name":"Ines"},"text":"/help"}}`
	p.api.Say(ines, 0, "hello") // makes the chat known
	after := strings.Replace(strings.Replace(body, ":77", ":78", 1), "/help", "/undo", 1)
	for _, update := range []string{body, body, after} {
		if code := hook(p, "s", strings.NewReader(update)); code != http.StatusOK {
			t.Fatalf("answered %d", code)
		}
	}
	answered := func() bool {
		all := p.replies(ines.ID)
		return len(all) > 1 && all[len(all)-1] != all[0]
	}
	if err := p.api.Wait(t.Context(), answered); err != nil {
		t.Error(err)
	}
	if n := len(p.replies(ines.ID)); n != 2 {
		t.Errorf("%d answers to two updates", n)
	}
}

package telegram_test

import (
	"errors"
	"fmt"
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

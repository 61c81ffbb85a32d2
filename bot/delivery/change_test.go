package delivery_test

import (
	"context"
	"testing"
	"time"

	"bowlwright/bot/delivery"
	"bowlwright/store"
)

// TestChangesAreSpaced sends a change of a message at once, the next no sooner
// than 3 s after it, and what else comes meanwhile before that.
func TestChangesAreSpaced(t *testing.T) {
	bubble(t, func(t *testing.T) {
		s, p := open(t), &platform{}
		d, stop := running(t, s, p, delivery.Options{})
		defer stop()
		chat, other := prefix+"1", prefix+"2"
		say := func(chat, live string) {
			must(t, s.Commit(context.Background(), store.Commit{Writes: []store.Write{store.Enqueue{Chat: chat, At: time.Now(), Live: live}}}))
			d.Wake(chat)
			time.Sleep(100 * time.Millisecond)
		}
		began := time.Now()
		say(chat, "list")  // 1
		say(chat, "list")  // 2 waits
		say(chat, "")      // 3 does not
		say(other, "list") // 4 is another chat's
		time.Sleep(5 * time.Second)
		say(chat, "list") // 5 waits again
		time.Sleep(5 * time.Second)
		at := map[uint64]time.Duration{}
		for _, a := range p.seen() {
			at[a.number] = a.at.Sub(began)
		}
		if at[1] > time.Second || at[3] > time.Second || at[4] > time.Second {
			t.Errorf("what need not wait came at %v", at)
		}
		if at[2]-at[1] < 3*time.Second || at[2]-at[1] > 4*time.Second || at[5]-at[2] < 2*time.Second || len(at) != 5 {
			t.Errorf("changes came at %v", at)
		}
		wantLeft(t, s)
	})
}

package talk

import (
	"context"
	"errors"
	"testing"
	"time"

	"bowlwright/bot/say"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// TestErrand does an errand in steps: one that fails is tried again later, from
// where it was, and one that is to wait waits.
func TestErrand(t *testing.T) {
	ctx, now := context.Background(), time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)
	s := storetest.NewMemory()
	home := &planner.Household{ID: "h1", Zone: "UTC"}
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	must(s.Commit(ctx, store.Commit{Writes: []store.Write{
		store.PutHousehold{Household: home}, store.PutMember{Chat: "c", Person: "p", Household: "h1"},
		store.PutDue{Household: store.Errand("count", "h1"), At: now}, store.PutDue{Household: "unknown:x", At: now.Add(time.Hour)},
	}}))
	steps, broken := 0, true
	a := NewAssistant(s, nutrition.Default(), Compose(Hearing{}, Room{Errands: map[string]Errand{"count": func(w *Work) {
		steps++
		switch {
		case broken && steps == 2:
			w.Fail(errors.New("no"))
		case steps < 4:
			w.Next = w.Now
		case steps == 4:
			w.Next = w.Now.Add(time.Minute)
		}
		turn := w.For(home)
		turn.Say(say.Para("step"))
		w.Tell(turn, true)
	}}}))
	said := func() int {
		snap, err := s.Read(ctx)
		must(err)
		defer snap.Close()
		all, err := snap.Pending("c", 100)
		must(err)
		for _, m := range all {
			if !m.Behind {
				t.Error("a message is not behind the others")
			}
		}
		return len(all)
	}
	for _, c := range []struct {
		after    time.Duration
		messages int
		next     time.Duration
	}{{0, 1, tickLater}, {time.Minute, 1, tickLater}, {tickLater, 3, tickLater + time.Minute}, {tickLater + time.Minute, 4, time.Hour}} {
		r, err := a.Tick(ctx, now.Add(c.after))
		must(err)
		if n := said(); n != c.messages || !r.Next.Equal(now.Add(c.next)) {
			t.Errorf("after %v: %d messages, next after %v; want %d, %v", c.after, n, r.Next.Sub(now), c.messages, c.next)
		}
		broken = false
	}
}

package main

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/telegram/standin"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// errand is what the k-th note of a household says.
func errand(household, k int) string { return fmt.Sprintf("errand %d-%d.", household, k) }

// remindedHomes writes households that each have so many notes which fell due
// a few minutes ago and are looked at in the seconds to come.
func remindedHomes(t *testing.T, api *standin.Server, s store.Store, households, notes int, random *rand.Rand, within time.Duration) {
	t.Helper()
	now := time.Now().UTC()
	must(t, storetest.Change(t.Context(), s, func(tx store.Snapshot, put storetest.Put) error {
		for h := range households {
			who := standin.Person{ID: int64(6000 + h), Name: "Ines"}
			api.Greet(who)
			chat := fmt.Sprint("telegram/", who.ID)
			home := &planner.Household{ID: fmt.Sprintf("household%07d", h), Zone: "UTC", Created: now,
				Carers: []planner.Carer{{Person: chat, Name: who.Name}}}
			for k := range notes {
				at := now.Add(-time.Duration(k+2) * time.Minute)
				home.Reminders = append(home.Reminders, planner.Reminder{
					ID: fmt.Sprint("n", k), Kind: planner.NoteReminder, Text: errand(h, k), Since: now.Add(-time.Hour),
					Schedule: planner.Schedule{Once: true, Anchor: planner.DateOf(at), Times: []planner.Clock{planner.ClockOf(at)}},
				})
			}
			look := now.Add(time.Duration(random.Int64N(int64(within))))
			err := put(store.PutHousehold{Household: home}, store.PutMember{Chat: chat, Person: chat, Household: home.ID},
				store.PutDue{Household: home.ID, At: look, Through: now.Add(-30 * time.Minute)})
			if err != nil {
				return err
			}
		}
		return nil
	}))
}

// TestServeCrashWhileDue kills the program at random instants while it says
// what is due. In the end each note arrived at least once, and was put into
// the outbox once.
func TestServeCrashWhileDue(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("it runs the program for some seconds: left out with -short")
	}
	households, notes, kills := 40, 2, 6
	if os.Getenv(long) != "" {
		households, notes, kills = 300, 3, 40
	}
	api := platform(t, standin.Options{})
	data := t.TempDir()
	random := rand.New(rand.NewPCG(5, 1))
	s := openIn(t, data)
	remindedHomes(t, api, s, households, notes, random, time.Duration(kills)*400*time.Millisecond)
	must(t, s.Close())
	for range kills {
		c := child(t, api, data)
		killAfter(t, c, time.Duration(random.IntN(600))*time.Millisecond)
	}
	c := child(t, api, data)
	unsaid := func() (n int) {
		for h := range households {
			var all strings.Builder
			for _, m := range api.FromBot(int64(6000 + h)) {
				all.WriteString(m.Text)
			}
			for k := range notes {
				if !strings.Contains(all.String(), errand(h, k)) {
					n++
				}
			}
		}
		return n
	}
	ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
	defer cancel()
	if api.Wait(ctx, func() bool { return unsaid() == 0 }) != nil {
		t.Errorf("%d of %d notes did not arrive", unsaid(), households*notes)
	}
	stop(t, c)
	t.Logf("%d notes, %d messages sent", households*notes, api.State().Sent)
	wantEnqueued(t, data, households*notes)
}

// wantEnqueued wants the outbox empty after so many messages in all, which
// their numbers tell.
func wantEnqueued(t *testing.T, data string, n int) {
	t.Helper()
	s := openIn(t, data)
	defer s.Close()
	if err := s.Check(); err != nil {
		t.Error(err)
	}
	must(t, storetest.Look(t.Context(), s, func(tx store.Snapshot) error {
		left, err := tx.Pending("", 1)
		if len(left) > 0 {
			t.Error("the outbox is not empty")
		}
		return err
	}))
	if err := s.Commit(t.Context(), store.Commit{Writes: []store.Write{store.Enqueue{Chat: "telegram/6000", Body: []byte("{}")}}}); err != nil {
		t.Error(err)
	}
	must(t, storetest.Look(t.Context(), s, func(tx store.Snapshot) error {
		next, err := store.Oldest(tx, "telegram/6000")
		if int(next) != n+1 {
			t.Errorf("%d messages were put into the outbox, want %d", next-1, n)
		}
		return err
	}))
}

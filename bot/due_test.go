package bot

import (
	"context"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

func openBolt(t testing.TB, path string) *bolt.Store {
	t.Helper()
	s, err := bolt.Open(path, bolt.Options{NoSync: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

// TestTwoCarersAtOnce has two carers answer the same meal at the same time, on
// a file: it is entered once, as fed where one of them fed it, and both learn
// what became of it.
func TestTwoCarersAtOnce(t *testing.T) {
	t.Parallel()
	for _, other := range []string{"Fed", "Skip"} {
		t.Run("Fed and "+other, func(t *testing.T) {
			w := newKitchen(t, openBolt(t, filepath.Join(t.TempDir(), "s.db")))
			for day := 3; day < 23; day++ {
				ines := w.pass(day, 7, 31)
				tomas := w.read("x/Tomas")
				before := len(w.entries(planner.Fed, planner.NotFed))
				var both sync.WaitGroup
				for _, e := range []talk.Event{
					w.eventOf("Ines", "", button(t, ines[len(ines)-2:], "Fed")), // Juniper's of today
					w.eventOf("Tomas", "", button(t, tomas[len(tomas)-2:], other)),
				} {
					both.Go(func() {
						if err := w.a.Handle(context.Background(), e); err != nil {
							t.Error(err)
						}
					})
				}
				both.Wait()
				fresh := w.entries(planner.Fed, planner.NotFed)[before:]
				if len(fresh) != 1 || fresh[0].Kind != planner.Fed {
					t.Fatalf("day %d: entered %+v", day, fresh)
				}
				toInes, toTomas := text(w.read("x/Ines")), text(w.read("x/Tomas"))
				if toInes == "" || toTomas == "" {
					t.Errorf("day %d: Ines learns %q, Tomas %q", day, toInes, toTomas)
				}
				if other == "Fed" && !strings.Contains(toInes+toTomas, "already fed by") {
					t.Errorf("day %d: nobody is warned:\n%s\n%s", day, toInes, toTomas)
				}
			}
		})
	}
}

// TestSaidButNotDelivered ends the program between what a tick writes and its
// delivery: what was said waits in the file, and is said no second time.
func TestSaidButNotDelivered(t *testing.T) {
	path := filepath.Join(t.TempDir(), "s.db")
	s := openBolt(t, path)
	w := newKitchen(t, s)
	w.at = time.Date(2026, 3, 2, 7, 30, 0, 0, time.UTC)
	if r := w.tick(); r.Said != 2 {
		t.Fatalf("%+v", r)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	w = worldOn(t, openBolt(t, path))
	w.at = w.at.Add(time.Minute)
	if r := w.tick(); r.Said != 0 {
		t.Errorf("after the restart: %+v", r)
	}
	var chats []string
	w.update(func(tx store.Snapshot, _ storetest.Put) error {
		all, err := tx.Pending("", 100)
		for _, m := range all {
			chats = append(chats, m.Chat)
		}
		return err
	})
	if slices.Sort(chats); !slices.Equal(chats, []string{"x/Ines", "x/Ines", "x/Tomas", "x/Tomas"}) {
		t.Errorf("wait for %q", chats)
	}
}

// TestDueAfterDowntime says the doses of a gap of some days in one message,
// each once, and only of the one whose stock ends within a week that it does.
func TestDueAfterDowntime(t *testing.T) {
	w := newKitchen(t, storetest.NewMemory())
	w.change(func(h *planner.Household, _ store.Snapshot, _ storetest.Put) error {
		i := slices.IndexFunc(h.Reminders, func(r planner.Reminder) bool { return r.Kind == planner.SupplementReminder })
		one, other := h.Reminders[i], h.Reminders[i]
		one.Stock = &planner.Stock{Left: 1}
		other.ID, other.Dog, other.Stock = "m10", "d2", &planner.Stock{Left: 90}
		other.Schedule.EveryDays = 1
		h.Reminders = []planner.Reminder{one, other}
		return nil
	})
	w.at = time.Date(2026, 3, 5, 12, 0, 0, 0, time.UTC)
	w.tick()
	late := w.read("x/Ines")
	if len(late) != 1 || text(w.read("x/Tomas")) != text(late) {
		t.Errorf("%d messages:\n%s", len(late), text(late))
	}
	wantText(t, late, "2 supplements came due while I couldn't send:",
		"Bracken: vitamin E 1 capsule 200 IU.\nLate: this was due 08:00. 3 before were missed too; no need to make up for them.",
		"Juniper: vitamin E 1 capsule 200 IU.\nLate: this was due 08:00. 1 before was missed too; no need to make up for them.",
		"1 left, none for Sun 8 Mar: time to get more.")
	if n := strings.Count(text(late), " left"); n != 1 {
		t.Errorf("%d warnings of stock:\n%s", n, text(late))
	}
	wantText(t, w.presses("Ines", button(t, late, "Given: Bracken vitamin E")), "Bracken vitamin E: given by Ines 12:00.\nNext: Fri 6 Mar 08:00.\n")
	wantText(t, w.presses("Tomas", button(t, late, "Given: Juniper vitamin E")), "Juniper vitamin E: given by Tomas 12:00.\nNext: Sun 8 Mar 08:00.\n0 left.\n")
}

// TestQuietHoursEnded says what quiet hours held back when they are taken
// away, once.
func TestQuietHoursEnded(t *testing.T) {
	w := newKitchen(t, storetest.NewMemory())
	w.says("Ines", "quiet hours 19:00 to 07:00")
	said := text(w.pass(2, 21, 0)) // the freezer's message of 20:00 is held back
	if strings.Contains(said, "Out of the freezer") {
		t.Fatal(said)
	}
	w.says("Ines", "no quiet hours")
	said += text(w.pass(2, 21, 2))
	w.says("Ines", "quiet hours 23:00 to 06:00")
	said += text(w.pass(2, 21, 4))
	for part, want := range map[string]int{"Out of the freezer for Tue 3 Mar": 1, "Meal 2 of 2": 2} {
		if n := strings.Count(said, part); n != want {
			t.Errorf("%q is said %d times, want %d:\n%s", part, n, want, said)
		}
	}
}

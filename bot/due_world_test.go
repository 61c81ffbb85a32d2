package bot

import (
	"context"
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// kitchen is the household Quayside with reminders, on a clock of its own:
// what its carers do and what each of them reads is written down.
type kitchen struct {
	t     *testing.T
	s     store.Store
	a     *talk.Assistant
	zone  *time.Location
	now   time.Time
	n     int
	log   strings.Builder
	shown map[string][]say.Button // by chat: the buttons last seen there
}

const quaysideZone = "Europe/Lisbon"

// kitchenHome is Juniper and Bracken, fed twice a day, with a capsule every
// third day that is counted.
func kitchenHome(t *testing.T, now time.Time) *planner.Household {
	recipe := func(id, name, text string) planner.Recipe {
		r := read.RecipeText(text, nutrition.Default())
		if len(r.Problems) > 0 {
			t.Fatal(r.Problems)
		}
		out := r.Planner()
		out.ID, out.Name = id, name
		return out
	}
	e := nutrition.VitaminE
	home := &planner.Household{
		ID: "quayside", Amounts: true, Zone: quaysideZone, LastID: 20,
		Carers: []planner.Carer{{Person: "Ines", Name: "Ines"}, {Person: "Tomas", Name: "Tomas"}},
		Dogs: []planner.Dog{
			{ID: "d1", Name: "Juniper", Weight: 19.6, Condition: 5, Activity: planner.ModerateCalm, Recipe: "r3", Healthy: true, FeedAt: []planner.Clock{planner.At(7, 30), planner.At(18, 0)}},
			{ID: "d2", Name: "Bracken", Weight: 34.8, Condition: 7, Activity: planner.LowActivity, Recipe: "r4", Healthy: true, FeedAt: []planner.Clock{planner.At(7, 30), planner.At(18, 0)}, TreatsOff: true},
		},
		Recipes: []planner.Recipe{
			recipe("r3", "Turkey and heart", "600 g turkey thigh, boneless, no skin\n180 g turkey heart\n70 g lamb liver\n80 g kale, cooked\n6 g eggshell powder"),
			recipe("r4", "Lamb and mackerel", "500 g lamb, leg and shoulder, lean\n90 g Atlantic mackerel\n50 g broccoli, cooked\n8 g eggshell powder"),
		},
		Reminders: []planner.Reminder{
			{ID: "m5", Kind: planner.BowlReminder, Dog: "d1", Since: now, Schedule: planner.Schedule{EveryDays: 1, Anchor: planner.DateOf(now)}},
			{ID: "m6", Kind: planner.BowlReminder, Dog: "d2", Since: now, Schedule: planner.Schedule{EveryDays: 1, Anchor: planner.DateOf(now)}},
			{ID: "m7", Kind: planner.SupplementReminder, Dog: "d1", Since: now, Stock: &planner.Stock{Left: 3},
				Dose:     &planner.Dose{Food: "vitamin-e", Count: 1, Form: "capsule", Amounts: []planner.Amount{{Nutrient: e, Amount: 200}}},
				Schedule: planner.Schedule{EveryDays: 3, Anchor: planner.DateOf(now), Times: []planner.Clock{planner.At(8, 0)}}},
			{ID: "m8", Kind: planner.FreezerReminder, Since: now, Schedule: planner.Schedule{EveryDays: 1, Anchor: planner.DateOf(now), Times: []planner.Clock{planner.At(20, 0)}}},
			{ID: "m9", Kind: planner.NoteReminder, Dog: "d2", Since: now, Text: "vet", Schedule: planner.Schedule{Once: true, Anchor: planner.DateOf(now).AddDays(1), Times: []planner.Clock{planner.At(10, 0)}}},
		},
	}
	for i := range home.Dogs { // fed for some time already
		d := &home.Dogs[i]
		d.FirstGoal(now)
		d.PutInForce(planner.NeedOf(*d, now).Kcal, planner.OnEquation, "Ines", now.AddDate(0, 0, -30))
	}
	return home
}

func newKitchen(t *testing.T) *kitchen { return newKitchenOn(t, storetest.NewMemory()) }

func newKitchenOn(t *testing.T, s store.Store) *kitchen {
	zone, _ := planner.LoadZone(quaysideZone)
	k := &kitchen{t: t, s: s, zone: zone, shown: map[string][]say.Button{}}
	k.a = NewAssistant(k.s, nutrition.Default())
	k.now = time.Date(2026, 3, 2, 6, 0, 0, 0, zone)
	home := kitchenHome(t, k.now)
	k.update(func(tx store.Snapshot, put storetest.Put) error {
		for _, c := range home.Carers {
			if err := put(store.PutMember{Chat: c.Person, Person: c.Person, Household: home.ID}); err != nil {
				return err
			}
		}
		at, _ := planner.NextDue(home, k.now)
		if err := put(store.PutDue{Household: home.ID, At: at, Through: k.now}); err != nil {
			return err
		}
		return put(store.PutHousehold{Household: home})
	})
	return k
}

func (k *kitchen) update(f func(store.Snapshot, storetest.Put) error) {
	k.t.Helper()
	if err := storetest.Change(context.Background(), k.s, f); err != nil {
		k.t.Fatal(err)
	}
}

// at lets the time pass up to a day of March and a clock, saying on the way
// what falls due.
func (k *kitchen) at(day, hour, minute int) {
	k.t.Helper()
	to := time.Date(2026, 3, day, hour, minute, 0, 0, k.zone)
	for {
		var next time.Time
		err := storetest.Look(context.Background(), k.s, func(tx store.Snapshot) (err error) { next, err = tx.NextDue(); return err })
		if err != nil {
			k.t.Fatal(err)
		}
		if next.IsZero() || next.After(to) {
			break
		}
		k.now = next.In(k.zone)
		if _, err := k.a.Tick(context.Background(), k.now); err != nil {
			k.t.Fatal(err)
		}
		k.read(fmt.Sprintf("--- %s\n", k.now.Format("Mon 2 Jan 15:04")))
	}
	k.now = to
}

// type_ and press are what a carer does; a press is of a button by its label.
func (k *kitchen) types(who, text string) {
	k.t.Helper()
	k.handle(talk.Event{Chat: who, Person: who, Name: who, Text: text}, text)
}

func (k *kitchen) press(who, label string) {
	k.t.Helper()
	for _, b := range k.shown[who] {
		if b.Label == label {
			k.handle(talk.Event{Chat: who, Person: who, Name: who, Press: b.Data, Message: "m"}, "["+label+"]")
			return
		}
	}
	k.t.Fatalf("%s\n%s sees no button %q: %v", k.log.String(), who, label, k.shown[who])
}

func (k *kitchen) handle(e talk.Event, what string) {
	k.t.Helper()
	k.n++
	e.ID, e.At = fmt.Sprintf("e%d", k.n), k.now
	if err := k.a.Handle(context.Background(), e); err != nil {
		k.t.Fatal(err)
	}
	k.read(fmt.Sprintf("%s, %s> %s\n", k.now.Format("15:04"), e.Person, what))
}

// read writes down what came.
func (k *kitchen) read(head string) {
	k.t.Helper()
	k.log.WriteString(head)
	same := ""
	k.update(func(tx store.Snapshot, put storetest.Put) error {
		all, err := tx.Pending("", 1000)
		for _, m := range all {
			r, err := say.DecodeReply(m.Body)
			if err != nil {
				return err
			}
			var text strings.Builder
			for _, b := range r.Body {
				text.WriteString("  " + strings.ReplaceAll(b.Text, "\n", "\n  ") + "\n")
			}
			first := true
			for _, row := range r.Buttons {
				text.WriteString("  ")
				for _, b := range row {
					fmt.Fprintf(&text, "[%s] ", b.Label)
					if first {
						k.shown[m.Chat] = nil
						first = false
					}
					k.shown[m.Chat] = append(k.shown[m.Chat], b)
				}
				text.WriteString("\n")
			}
			if text.String() != same {
				place := ""
				if r.InPlace != "" {
					place = " (in place of the button's message)"
				}
				fmt.Fprintf(&k.log, "to %s:%s\n%s", m.Chat, place, text.String())
			} else {
				fmt.Fprintf(&k.log, "to %s: the same\n", m.Chat)
			}
			same = text.String()
			if err := put(store.Delivered(m.Number)); err != nil {
				return err
			}
		}
		return err
	})
	k.log.WriteString("\n")
}

// golden compares what was written down with a file.
func (k *kitchen) golden(name string) {
	k.t.Helper()
	path := "testdata/" + name
	if f := flag.Lookup("update"); f != nil && f.Value.String() == "true" {
		if err := os.WriteFile(path, []byte(k.log.String()), 0o644); err != nil {
			k.t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		k.t.Fatal(err)
	}
	if got := k.log.String(); got != string(want) {
		k.t.Errorf("%s reads otherwise (go test ./bot -update writes it anew):\n%s", path, firstDifference(got, string(want)))
	}
}

func firstDifference(got, want string) string {
	g, w := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := range g {
		if i >= len(w) || g[i] != w[i] {
			return fmt.Sprintf("line %d\n got %q\nwant %q", i+1, g[i], append(w, "")[min(i, len(w))])
		}
	}
	return fmt.Sprintf("got ends at line %d", len(g))
}

// TestDueConversation is two days of a kitchen.
func TestDueConversation(t *testing.T) {
	k := newKitchen(t)
	k.at(2, 7, 31)
	k.press("Ines", "Fed") // Bracken's, the last message
	k.at(2, 7, 40)
	k.types("Tomas", "fed Juniper")
	k.types("Ines", "Juniper has eaten")
	k.press("Ines", "Feed again")
	k.types("Ines", "undo")
	k.at(2, 8, 5)
	k.press("Tomas", "Later")
	k.press("Tomas", "1 h")
	k.types("Ines", "two biscuits of 15 kcal")
	k.press("Ines", "Bracken")
	k.types("Ines", "Juniper had a 130 kcal chew")
	k.types("Ines", "treat 20 g apple for Juniper")
	k.types("Ines", "/today")
	k.at(2, 9, 10)
	k.press("Tomas", "Given")
	k.at(2, 18, 1)
	k.press("Ines", "Skip")
	k.press("Tomas", "Fed")
	k.at(2, 20, 1)
	k.at(3, 10, 1)
	k.press("Ines", "Done")
	k.press("Tomas", "Done")
	k.types("Ines", "week")
	k.golden("due.golden")
}

// TestDueMissed is a dose that is answered the day after.
func TestDueMissed(t *testing.T) {
	k := newKitchen(t)
	k.update(func(tx store.Snapshot, put storetest.Put) error {
		h, err := tx.Household("quayside")
		if err != nil {
			return err
		}
		h.Reminders = h.Reminders[2:3]
		return put(store.PutHousehold{Household: h})
	})
	k.at(2, 8, 1)
	k.at(3, 9, 0)
	k.press("Ines", "Given")
	k.press("Ines", "Keep the days: Thu 5 Mar")
	k.types("Ines", "undo")
	k.at(6, 8, 1)
	k.press("Tomas", "Skip")
	k.press("Ines", "Given")
	k.types("Tomas", "undo")
	k.press("Tomas", "Undo that")
	k.golden("due-missed.golden")
}

// TestDueInWords answers doses and sets a reminder in words.
func TestDueInWords(t *testing.T) {
	k := newKitchen(t)
	k.at(2, 8, 1)
	k.types("Ines", "gave Juniper vitamin E")
	k.types("Tomas", "vitamin E given")
	k.at(4, 9, 0)
	k.types("Tomas", "vitamin E given")
	k.types("Ines", "how is vitamin E given?")
	k.types("Ines", "vet on Friday 10:00")
	k.types("Ines", "hello on Friday")
	k.golden("due-words.golden")
}

// TestDueAfterDowntime says the doses of a gap of some days in one message,
// each once.
func TestDueAfterDowntime(t *testing.T) {
	k := newKitchen(t)
	k.update(func(tx store.Snapshot, put storetest.Put) error {
		h, err := tx.Household("quayside")
		if err != nil {
			return err
		}
		other := h.Reminders[2]
		other.ID, other.Dog, other.Stock = "m10", "d2", nil
		other.Schedule.EveryDays = 1
		h.Reminders = []planner.Reminder{h.Reminders[2], other}
		return put(store.PutHousehold{Household: h})
	})
	k.now = time.Date(2026, 3, 5, 12, 0, 0, 0, k.zone)
	if _, err := k.a.Tick(context.Background(), k.now); err != nil {
		t.Fatal(err)
	}
	k.read("--- after four days\n")
	k.press("Ines", "Given: Bracken vitamin E")
	k.press("Tomas", "Given: Juniper vitamin E")
	k.golden("due-downtime.golden")
}

// TestDueAfterMealsChanged: with another number of meals the feeding times and
// their reminders move too, and the bowl counts as many meals as are said.
func TestDueAfterMealsChanged(t *testing.T) {
	k := newKitchen(t)
	k.types("Ines", "Juniper gets 3 meals a day")
	k.types("Ines", "how much for Juniper?")
	if log := k.log.String(); !strings.Contains(log, "meals are at 07:30, 13:30 and 20:00") || !strings.Contains(log, "in 3 meals") {
		t.Error(log)
	}
	k.at(2, 13, 31)
	if log := k.log.String(); !strings.Contains(log, "Mon 2 Mar 13:30\nto Ines:\n  Juniper") || !strings.Contains(log, "Meal 2 of 3") {
		t.Error(log)
	}
	k.types("Ines", "Juniper 19.5")
	k.at(2, 20, 1)
	if log := k.log.String(); !strings.Contains(log, "Meal 3 of 3") {
		t.Error(log)
	}
}

// TestWeekRests says of each day of a pause that it is paused.
func TestWeekRests(t *testing.T) {
	k := newKitchen(t)
	k.types("Ines", "pause Juniper from 4 to 6 March")
	k.types("Ines", "week")
	if n := strings.Count(k.log.String(), "paused\n"); n != 2 {
		t.Errorf("%d days rest, want 2:\n%s", n, k.log.String())
	}
}

// TestQuietHoursEnded says what quiet hours held back when they are taken
// away, once.
func TestQuietHoursEnded(t *testing.T) {
	k := newKitchen(t)
	k.types("Ines", "quiet hours 19:00 to 07:00")
	k.at(2, 21, 0) // the freezer's message of 20:00 is held back
	k.types("Ines", "today")
	if log := k.log.String(); strings.Contains(log, "Out of the freezer") {
		t.Fatal(log)
	}
	k.types("Ines", "no quiet hours")
	k.at(2, 21, 2)
	k.types("Ines", "quiet hours 23:00 to 06:00")
	k.at(2, 21, 4)
	log := k.log.String()
	if n := strings.Count(log, "Out of the freezer for Tue 3 Mar"); n != 1 {
		t.Errorf("said %d times:\n%s", n, log)
	}
	if n := strings.Count(log, "Meal 2 of 2"); n != 2 {
		t.Errorf("%d evening meals, want one for each dog:\n%s", n, log)
	}
}

package bot

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	reader "github.com/emersion/go-ical"

	"bowlwright/bot/say"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// TestExportCalendar has an independent reader read the calendar, and holds
// it against days counted here: 28 days from 20 March in Berlin, where clocks
// go from 2:00 to 3:00 on the 29th.
func TestExportCalendar(t *testing.T) {
	w := kept(t)
	day := func(m time.Month, d int) planner.Date { return planner.Date{Year: 2026, Month: m, Day: d} }
	w.change(func(h *planner.Household, _ store.Snapshot, _ storetest.Put) error {
		juniper := h.Dogs[0].ID
		bowl, night, gone := dailyNote("bowl", planner.At(7, 30)), dailyNote("night", planner.At(2, 30)), dailyNote("gone", planner.At(12, 0))
		bowl.Kind, bowl.Dog, bowl.Text, gone.Off = planner.BowlReminder, juniper, "", true
		dose := planner.Reminder{ID: "dose", Kind: planner.SupplementReminder, Dog: juniper, Dose: &h.Recipes[0].Doses[0],
			Schedule: planner.Schedule{EveryDays: 3, Anchor: day(3, 21), Times: []planner.Clock{planner.At(18, 0)}}}
		last := planner.Reminder{ID: "last", Kind: planner.NoteReminder, Text: "filters; sieve, \\ scale\nEND:VEVENT",
			Schedule: planner.Schedule{MonthDay: 31, Anchor: day(3, 1), Times: []planner.Clock{planner.At(9, 0)}}}
		h.Reminders = []planner.Reminder{bowl, night, gone, dose, last}
		h.Quiet = planner.Quiet{From: planner.At(22, 0), To: planner.At(6, 30)}
		h.Pauses = []planner.Pause{{From: day(4, 4), Until: day(4, 7)}}
		h.Others = []planner.Other{{Dog: h.Dogs[0].ID, From: day(4, 10), Until: day(4, 10), Name: "Chicken", Lines: []planner.Ingredient{{Food: "chicken-breast", Grams: 100}}}}
		h.Snoozes = []planner.Snooze{{Of: h.ID + "/dose/2026-03-21T18:00", Until: time.Date(2026, 3, 21, 17, 45, 0, 0, time.UTC), Times: 1}}
		return nil
	})
	id := w.home("Ines")
	want := map[string]string{}
	for i := range 29 {
		d := day(3, 20).AddDays(i)
		if d == day(4, 4) || d == day(4, 5) || d == day(4, 6) {
			continue
		}
		hour := 7 - 1 // UTC of 7:30 in winter
		if !d.Before(day(3, 29)) {
			hour--
		}
		if i > 0 { // it is 8:30 on the first day, and on the last where it ends
			eats := "Turkey and heart"
			if d == day(4, 10) {
				eats = "Chicken"
			}
			want[fmt.Sprintf("%s/bowl/%sT07:30", id, d)] = fmt.Sprintf("%sT%02d:30:00Z Juniper: %s", d, hour, eats)
		}
		switch {
		case i == 0:
		case d == day(3, 29): // there is no 2:30; 3:00 is the next minute
			want[fmt.Sprintf("%s/night/%sT02:30", id, d)] = "2026-03-29T01:00:00Z note night"
		default:
			want[fmt.Sprintf("%s/night/%sT02:30", id, d)] = fmt.Sprintf("%sT%02d:30:00Z note night", d, hour-5)
		}
		if i%3 == 1 && i < 28 {
			want[fmt.Sprintf("%s/dose/%sT18:00", id, d)] = fmt.Sprintf("%sT%02d:00:00Z Vitamin E 200 IU for Juniper", d, hour+11)
		}
	}
	want[id+"/dose/2026-03-21T18:00"] = "2026-03-21T17:45:00Z Vitamin E 200 IU for Juniper"
	want[id+"/last/2026-03-31T09:00"] = "2026-03-31T07:00:00Z filters; sieve, \\ scale\nEND:VEVENT"
	w.compareCalendar(want)
}

// compareCalendar holds the exported calendar against events by UID.
func (w *world) compareCalendar(want map[string]string) {
	w.t.Helper()
	replies := w.says("Ines", "calendar file")
	if len(replies) != 1 || replies[0].Document == nil {
		w.t.Fatalf("%+v", replies)
	}
	cal, err := reader.NewDecoder(bytes.NewReader(replies[0].Document.Data)).Decode()
	if err != nil {
		w.t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, e := range cal.Events() {
		uid, _ := e.Props.Text("UID")
		summary, _ := e.Props.Text("SUMMARY")
		at, err := e.DateTimeStart(time.UTC)
		if got := at.UTC().Format(time.RFC3339) + " " + summary; err != nil || seen[uid] || got != want[uid] {
			w.t.Errorf("%s: %q (%v), want %q", uid, got, err, want[uid])
		}
		seen[uid] = true
	}
	for uid := range want {
		if !seen[uid] {
			w.t.Errorf("it lacks %s: %s", uid, want[uid])
		}
	}
}

// TestExportMenu goes by the buttons: what is asked is asked in the message
// itself, a file is a new one.
func TestExportMenu(t *testing.T) {
	w := kept(t)
	w.change(func(h *planner.Household, _ store.Snapshot, _ storetest.Put) error {
		h.Recipes = append(h.Recipes, planner.Recipe{ID: "c9", Name: "Rabbit and kale", Ingredients: h.Recipes[0].Ingredients[:1]})
		return nil
	})
	press := func(data string) []say.Reply {
		e := w.event("Ines")
		e.Press, e.Message = data, "77"
		return w.handle(e)
	}
	menu := w.says("Ines", "/export")
	buttons := slices.Concat(menu[0].Buttons...)
	if len(buttons) != 4 {
		t.Fatalf("%+v", buttons)
	}
	if d := file(t, press(buttons[0].Data)); !strings.HasSuffix(d.Name, ".zip") {
		t.Error(d.Name)
	}
	if got := press(buttons[1].Data); len(got) != 1 || got[0].Document != nil || got[0].InPlace != "77" {
		t.Errorf("a calendar of nothing: %+v", got)
	}
	for i, name := range []string{"weigh-ins-juniper.csv", "recipe-turkey-and-heart.txt"} {
		asked := press(buttons[2+i].Data)
		if len(asked) != 1 || asked[0].InPlace != "77" || len(asked[0].Buttons) != 2 {
			t.Fatalf("%+v", asked)
		}
		got := press(asked[0].Buttons[0][0].Data)
		if d := file(t, got); d.Name != name || got[0].InPlace != "" {
			t.Errorf("%s in place of %q", d.Name, got[0].InPlace)
		}
	}
	mark, _, _ := strings.Cut(buttons[0].Data, ":")
	for _, stale := range []string{":export", ":export:wombat", ":export:weights:d99", ":export:recipe:c99"} {
		if got := press(mark + stale); len(got) != 1 || got[0].Document != nil {
			t.Errorf("%s: %+v", stale, got)
		}
	}
	if got := w.presses("Tomas", buttons[0].Data); got[0].Document != nil {
		t.Errorf("another household's file: %+v", got)
	}
}

package bot

import (
	"context"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/remind"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// house is the talker's household as it is kept.
func (k *talker) house() (h *planner.Household) {
	k.t.Helper()
	err := storetest.Look(context.Background(), k.s, func(tx store.Snapshot) error {
		id, err := tx.Member("test/"+k.name, "test/"+k.name)
		if err == nil {
			h, err = tx.Household(id)
		}
		return err
	})
	if err != nil {
		k.t.Fatal(err)
	}
	return h
}

// plain is a household without what no /undo takes back.
func plain(t *testing.T, h *planner.Household) string {
	h.Rev, h.LastID, h.Told = 0, 0, nil
	data, err := json.Marshal(h)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// reminding is a talker with two dogs and a recipe.
func reminding(t *testing.T) *talker {
	k := newTalker(t)
	k.say("dog Juniper 19.6 kg 4 years spayed moderate 5/9")
	k.say("dog Pip 6.4 kg 2 years high activity")
	k.say("recipe Turkey and heart\n500 g turkey thigh, no skin\n200 g beef heart\nvitamin E 200 IU every 3 days")
	return k
}

// kindOf counts the reminders of a kind.
func kindOf(h *planner.Household, kind planner.ReminderKind) (n int) {
	for _, r := range h.Reminders {
		if r.Kind == kind {
			n++
		}
	}
	return n
}

// TestEveryChangeIsTakenBack says each sentence that changes reminders and
// takes it back: the household is what it was before.
func TestEveryChangeIsTakenBack(t *testing.T) {
	k := reminding(t)
	k.say("remind me vet on Friday 10:00")
	k.say("remind me to give Juniper zinc 15 mg every 3 days at 8:00")
	k.say("pause Pip from 3 to 10 April")
	for _, text := range []string{
		"remind me to call Tomas tomorrow at 9",
		"remind me to give Pip vitamin E 100 IU every other day",
		"weigh Juniper on Wednesdays at 8",
		"check Pip's condition monthly on the 3rd",
		"feed Juniper at 6:30 and 17:00",
		"remind me to feed Pip at 7 and 19",
		"pause until Monday",
		"resume",
		"quiet hours 22:00 to 07:00",
		"stock 60 tablets of zinc",
		"stop reminding me of zinc",
		"stop reminding me of the vet",
		"time zone Lisbon",
		"remove Juniper",
	} {
		before := plain(t, k.house())
		said := k.say(text)
		if text == "remove Juniper" {
			k.press(said, "Yes, remove")
			for _, r := range k.house().Reminders {
				if r.Dog == "d1" {
					t.Errorf("a reminder of a dog that is gone: %+v", r)
				}
			}
		}
		if plain(t, k.house()) == before {
			t.Errorf("%q changed nothing: %s", text, textOf(said))
			continue
		}
		back := k.say("/undo")
		if after := plain(t, k.house()); after != before {
			t.Errorf("%q is not taken back (%s):\n%s\nwas\n%s", text, textOf(back), after, before)
		}
	}
}

// TestWrongWordsKeepNothing says what cannot be: nothing is kept, and the
// answer says what to type.
func TestWrongWordsKeepNothing(t *testing.T) {
	k := reminding(t)
	before := plain(t, k.house())
	for text, want := range map[string]string{
		"remind me vet at 25:70":                                      "00:00 to 23:59",
		"remind me vet on 31 April":                                   "isn't in the calendar",
		"remind me vet on 1 March 2026":                               "has passed",
		"remind me vet today at 6:00":                                 "has passed today",
		"remind me claws every 0 days":                                "every 1 to 366 days",
		"remind me claws every 10000 days at 8":                       "every 1 to 366 days",
		"remind me to give Juniper vitamin E 200 IU 9 times a week":   "1 to 7 times a week",
		"remind me to give Juniper grapes every day":                  "kidneys",
		"remind me to give Juniper vitamin D 900000 IU every day":     "more than any dog",
		"remind me to give Juniper zinc 15 mg daily until 2020-01-01": "has passed",
		"feed Juniper at 7:75":                                        "00:00 to 23:59",
		"feed Juniper at 1, 2, 3, 4, 5, 6, 7":                         "1 to 6",
		"weigh Juniper on Sundays at 33:00":                           "00:00 to 23:59",
		"pause from 10 April 2026 to 3 April 2026":                    "backwards",
		"pause for 900 days":                                          "at most 366",
		"quiet hours 22:00":                                           "two times",
		"quiet hours 22:00 to 22:00":                                  "two times",
		"set my time zone to Europe/Olso":                             "Oslo",
		"stop reminding me of unicorns":                               "No reminder is about",
		"remind me to give Juniper vitamin E 200 IU 3 times a day":    "at which times",
	} {
		got := textOf(k.say(text))
		if !strings.Contains(got, want) {
			t.Errorf("%q: lacks %q:\n%s", text, want, got)
		}
		if plain(t, k.house()) != before {
			t.Fatalf("%q changed the household: %s", text, got)
		}
		k.say("stop")
	}
}

// TestFirstDay checks the first day that is said against the calendar: Monday
// 2 March 2026, about 07:35.
func TestFirstDay(t *testing.T) {
	for text, want := range map[string]string{
		"remind me claws every 3 days at 07:00":                        "First on Tue 3 Mar 07:00",
		"remind me claws every 3 days at 19:00":                        "First on Mon 2 Mar 19:00",
		"remind me claws every 3 days at 07:00 and 19:00":              "First on Mon 2 Mar 19:00",
		"remind me claws on Mondays at 07:00":                          "First on Mon 9 Mar 07:00",
		"remind me claws on Mondays at 8":                              "First on Mon 2 Mar 08:00",
		"remind me claws monthly on the 31st at 8":                     "First on Tue 31 Mar 08:00",
		"remind me claws monthly on the 1st at 8":                      "First on Wed 1 Apr 08:00",
		"remind me claws every 4 weeks on Friday at 8":                 "every 4 weeks on Friday at 08:00",
		"remind me claws every 10 days starting 29 March at 8":         "First on Sun 29 Mar 08:00",
		"remind me claws twice a week at 8":                            "every Monday and Thursday at 08:00",
		"remind me claws 3 times a week at 7":                          "every Tuesday, Thursday and Saturday at 07:00",
		"remind me vet on Friday":                                      "Vet on Fri 6 Mar at 09:00",
		"remind me vet on Monday at 7":                                 "Vet on Mon 9 Mar at 07:00",
		"remind me vet on Monday at 9":                                 "Vet on Mon 2 Mar at 09:00",
		"remind me vet at 7":                                           "Vet on Tue 3 Mar at 07:00",
		"remind me vet in a fortnight at 9":                            "Vet on Mon 16 Mar at 09:00",
		"remind me vet on 1 March":                                     "Vet on Mon 1 Mar 2027 at 09:00",
		"remind me to give Pip zinc 10 mg daily for 10 days at 7":      "until Thu 12 Mar",
		"remind me to give Pip zinc 10 mg daily with dinner":           "every day at 18:00",
		"remind me to give Pip zinc 10 mg on Mon, Wed with breakfast":  "First on Wed 4 Mar 07:30",
		"remind me to give zinc 10 mg to Pip daily with her last meal": "for Pip every day at 18:00",
	} {
		k := reminding(t)
		if got := textOf(k.say(text)); !strings.Contains(got, want) {
			t.Errorf("%q: lacks %q:\n%s", text, want, got)
		}
	}
}

// TestSupplementIsNotDoubled asks for a second reminder of the same: it is
// asked first, and changing takes the place of the one.
func TestSupplementIsNotDoubled(t *testing.T) {
	k := reminding(t)
	k.say("remind me to give Juniper vitamin E 200 IU every 3 days at 8")
	asked := k.say("remind me to give Juniper vitamin E 400 IU weekly at 9")
	if n := kindOf(k.house(), planner.SupplementReminder); n != 1 || !strings.Contains(textOf(asked), "double") {
		t.Fatalf("%d reminders: %s", n, textOf(asked))
	}
	k.press(asked, "Change that one")
	h := k.house()
	if kindOf(h, planner.SupplementReminder) != 1 || h.Reminders[0].Dose.Amounts[0].Amount != 400 || h.Reminders[0].Schedule.EveryDays != 7 {
		t.Errorf("changed: %+v", h.Reminders[0])
	}
	if got := textOf(k.say("remind me to give Pip vitamin E 100 IU every 3 days at 8")); strings.Contains(got, "double") {
		t.Errorf("another dog's counts as a second: %s", got)
	}
}

// TestMealsFollowFeedingTimes checks that a dose with the first meal and the
// bowls follow a dog's feeding times.
func TestMealsFollowFeedingTimes(t *testing.T) {
	k := reminding(t)
	k.say("remind me to give Juniper zinc 15 mg daily with breakfast")
	k.say("remind me to feed Juniper at 7:30 and 18:00")
	k.say("feed Juniper at 6:15, 12:00 and 19:00")
	h := k.house()
	if h.Dogs[0].Meals != 3 {
		t.Errorf("%d meals", h.Dogs[0].Meals)
	}
	for i := range h.Reminders {
		r := &h.Reminders[i]
		s, _ := h.ScheduleOf(r)
		want := map[planner.ReminderKind]string{planner.SupplementReminder: "[06:15]", planner.BowlReminder: "[06:15 12:00 19:00]"}[r.Kind]
		if got := clocksOf(s.Times); want != "" && got != want {
			t.Errorf("%s at %s, want %s", r.Kind, got, want)
		}
	}
	if n := kindOf(h, planner.BowlReminder); n != 1 {
		t.Errorf("%d reminders of bowls", n)
	}
	if kindOf(h, planner.WeighReminder) != 1 || kindOf(h, planner.ConditionReminder) != 1 {
		t.Error("no check-ins came with the first reminder")
	}
}

func clocksOf(times []planner.Clock) string {
	var all []string
	for _, c := range times {
		all = append(all, c.String())
	}
	return "[" + strings.Join(all, " ") + "]"
}

// TestCheckInsStayStopped stops the weigh-in that came by itself: another
// reminder does not bring it back.
func TestCheckInsStayStopped(t *testing.T) {
	k := reminding(t)
	k.say("remind me vet on Friday 10:00")
	k.say("stop reminding me of the weigh-in")
	k.say("remind me claws every 3 weeks at 20:00")
	if n := kindOf(k.house(), planner.WeighReminder); n != 0 {
		t.Errorf("%d weigh-ins", n)
	}
	k.say("weigh Pip on Fridays at 8")
	k.say("weigh Pip on Saturdays at 8")
	if n := kindOf(k.house(), planner.WeighReminder); n != 1 {
		t.Errorf("%d weigh-ins, want Pip's alone", n)
	}
}

// TestZoneOfReminders moves to another zone: by default the instants follow
// its clock, and they can be kept.
func TestZoneOfReminders(t *testing.T) {
	k := reminding(t)
	k.say("time zone Europe/Oslo")
	k.say("remind me vet on Friday 10:00")
	oslo, _ := planner.LoadZone("Europe/Oslo")
	lisbon, _ := planner.LoadZone("Europe/Lisbon")
	at := func() time.Time {
		h := k.house()
		m, ok := planner.NextOf(h, &h.Reminders[0], talkTime)
		if !ok {
			t.Fatal("never")
		}
		return m.At
	}
	moved := k.say("time zone Lisbon")
	if want := time.Date(2026, 3, 6, 10, 0, 0, 0, lisbon); !at().Equal(want) {
		t.Errorf("follows: %v, want %v", at(), want)
	}
	kept := k.press(moved, "Stay by Oslo")
	if want := time.Date(2026, 3, 6, 10, 0, 0, 0, oslo); !at().Equal(want) {
		t.Errorf("kept: %v, want %v", at(), want)
	}
	k.press(kept, "Follow Lisbon")
	if want := time.Date(2026, 3, 6, 10, 0, 0, 0, lisbon); !at().Equal(want) {
		t.Errorf("follows again: %v, want %v", at(), want)
	}
}

// TestStaleReminderButtons presses what is no longer there: nothing changes
// and the answer is clear.
func TestStaleReminderButtons(t *testing.T) {
	k := reminding(t)
	k.say("pause Pip from 3 to 10 April")
	shown := k.press(k.say("remind me to give Juniper zinc 15 mg every 3 days at 8:00"), "Change")
	k.say("stop reminding me of zinc")
	k.say("resume Pip")
	before := plain(t, k.house())
	mark := k.house().ID[:8]
	for _, b := range textButtons(shown) {
		if b.Label == "Reminders" {
			continue
		}
		if got := textOf(k.send(k.event("", b.Data))); !strings.Contains(got, "no longer there") {
			t.Errorf("%s: %s", b.Label, got)
		}
	}
	for _, data := range []string{"pause:longer:2026-04-03:d2", "pause:end:x:y", "supplement:from:d1:r9:0", "supplement:from:d1:r3:77", "supplement:from:d1:r3:-1",
		"supplement:stock:n1:9", "meals:times:d9", "remind:zone:keep:Mars/Base", "remind:zone", "remind", "supplement", "meals", "pause", "quiet", "meals:dance"} {
		k.send(k.event("", mark+":"+data))
	}
	if after := plain(t, k.house()); after != before {
		t.Errorf("changed:\n%s\nwas\n%s", after, before)
	}
}

// TestRemindersAreFew checks that a household cannot pile up reminders
// without end.
func TestRemindersAreFew(t *testing.T) {
	k := reminding(t)
	for range remind.MostReminders + 3 {
		k.say("remind me vet on Friday 10:00")
	}
	if n := len(k.house().Reminders); n != remind.MostReminders {
		t.Errorf("%d reminders", n)
	}
	for _, r := range k.say("/remind") {
		for _, row := range r.Buttons {
			for _, b := range row {
				if len(b.Data) > 64 {
					t.Errorf("%d bytes: %s", len(b.Data), b.Data)
				}
			}
		}
	}
}

package planner_test

import (
	"math/rand/v2"
	"testing"
	"time"

	"bowlwright/planner"
)

func TestCatchUp(t *testing.T) {
	monday := day(t, "2026-03-02")
	at := planner.At
	one := func(kind planner.ReminderKind, s planner.Schedule) func(h *planner.Household) {
		return func(h *planner.Household) { h.Reminders = []planner.Reminder{reminder("r1", kind, "d1", s)} }
	}
	bowl := one(planner.BowlReminder, daily(monday)) // at 07:00 and 18:00
	for _, c := range []struct {
		name      string
		change    func(h *planner.Household)
		from, now string // by the clock of Oslo
		say       []string
		passed    []string
	}{
		{"nothing", bowl, "2026-03-02T08:00", "2026-03-02T09:00", nil, nil},
		{"a bowl in time", bowl, "2026-03-02T06:00", "2026-03-02T07:15", []string{"r1/2026-03-02T07:00"}, nil},
		{"a bowl that is late", bowl, "2026-03-02T06:00", "2026-03-02T07:16", []string{"r1/2026-03-02T07:00 late"}, nil},
		{"a bowl four hours late", bowl, "2026-03-02T06:00", "2026-03-02T11:00", []string{"r1/2026-03-02T07:00 late"}, nil},
		{"a bowl that is too old", bowl, "2026-03-02T06:00", "2026-03-02T11:01", nil, []string{"r1/2026-03-02T07:00"}},
		{"a bowl whose next meal has come", func(h *planner.Household) {
			bowl(h)
			h.Dogs[0].FeedAt = []planner.Clock{at(7, 0), at(9, 0)}
		}, "2026-03-02T06:00", "2026-03-02T09:00", []string{"r1/2026-03-02T09:00 missed 1"}, []string{"r1/2026-03-02T07:00"}},
		{"a bowl put off until the next has come", func(h *planner.Household) {
			bowl(h)
			h.Snoozes = []planner.Snooze{{Of: "quayside/r1/2026-03-02T07:00", Until: instant(t, "2026-03-02T18:05:00+01:00"), Times: 1}}
		}, "2026-03-02T08:00", "2026-03-02T18:05", []string{"r1/2026-03-02T18:00 missed 1"},
			[]string{"r1/2026-03-02T07:00 said 03-02T18:05"}},
		{"the same, when the next has been said", func(h *planner.Household) {
			bowl(h)
			h.Snoozes = []planner.Snooze{{Of: "quayside/r1/2026-03-02T07:00", Until: instant(t, "2026-03-02T18:05:00+01:00"), Times: 1}}
		}, "2026-03-02T18:00", "2026-03-02T18:05", nil, []string{"r1/2026-03-02T07:00 said 03-02T18:05"}},
		{"the morning, at night", one(planner.MorningReminder, daily(monday, at(7, 0))), "2026-03-02T06:00", "2026-03-02T23:50",
			[]string{"r1/2026-03-02T07:00 late"}, nil},
		{"the morning of yesterday", one(planner.MorningReminder, daily(monday, at(7, 0))), "2026-03-02T06:00", "2026-03-03T00:10",
			nil, []string{"r1/2026-03-02T07:00"}},
		{"the freezer, after midnight", one(planner.FreezerReminder, daily(monday, at(20, 0))), "2026-03-02T06:00", "2026-03-03T00:10",
			nil, []string{"r1/2026-03-02T20:00"}},
		{"the freezer, held by quiet hours", func(h *planner.Household) {
			one(planner.FreezerReminder, daily(monday, at(22, 30)))(h)
			h.Quiet = planner.Quiet{From: at(22, 0), To: at(6, 30)}
		}, "2026-03-02T06:00", "2026-03-03T06:30", []string{"r1/2026-03-02T22:30 said 03-03T06:30"}, nil},
		{"every third day, a month on", one(planner.SupplementReminder, planner.Schedule{EveryDays: 3, Anchor: monday, Times: []planner.Clock{450}}),
			"2026-03-02T06:00", "2026-03-12T06:00", []string{"r1/2026-03-11T07:30 late missed 3"},
			[]string{"r1/2026-03-02T07:30", "r1/2026-03-05T07:30", "r1/2026-03-08T07:30"}},
		{"a daily dose, before today's", one(planner.SupplementReminder, daily(monday, at(7, 30))), "2026-03-02T06:00", "2026-03-04T07:00",
			nil, []string{"r1/2026-03-02T07:30", "r1/2026-03-03T07:30"}},
		{"a daily dose, after today's", one(planner.SupplementReminder, daily(monday, at(7, 30))), "2026-03-02T06:00", "2026-03-04T09:00",
			[]string{"r1/2026-03-04T07:30 late missed 2"}, []string{"r1/2026-03-02T07:30", "r1/2026-03-03T07:30"}},
		{"twice a day, between the two", one(planner.SupplementReminder, daily(monday, at(7, 30), at(19, 30))), "2026-03-02T06:00", "2026-03-02T12:00",
			[]string{"r1/2026-03-02T07:30 late"}, nil},
		{"a dose of yesterday, put off until today", func(h *planner.Household) {
			one(planner.SupplementReminder, daily(monday, at(20, 0)))(h)
			h.Snoozes = []planner.Snooze{{Of: "quayside/r1/2026-03-02T20:00", Until: instant(t, "2026-03-03T09:00:00+01:00"), Times: 1}}
		}, "2026-03-02T21:00", "2026-03-03T09:00", []string{"r1/2026-03-02T20:00 said 03-03T09:00"}, nil},
		{"weigh-ins of a month", one(planner.WeighReminder, planner.Schedule{Weekdays: []time.Weekday{0}, Anchor: monday, Times: []planner.Clock{540}}),
			"2026-03-02T06:00", "2026-03-31T06:00", []string{"r1/2026-03-29T09:00 late missed 3"},
			[]string{"r1/2026-03-08T09:00", "r1/2026-03-15T09:00", "r1/2026-03-22T09:00"}},
		{"a note, however late", one(planner.NoteReminder, planner.Schedule{Once: true, Anchor: day(t, "2026-03-06"), Times: []planner.Clock{600}}),
			"2026-03-02T06:00", "2027-08-01T06:00", []string{"r1/2026-03-06T10:00 late"}, nil},
	} {
		h := quayside()
		c.change(h)
		clock := func(s string) time.Time {
			at, err := time.ParseInLocation("2006-01-02T15:04", s, h.Location())
			if err != nil {
				t.Fatal(err)
			}
			return at
		}
		say, passed := planner.CatchUp(h, planner.Agenda(h, clock(c.from), clock(c.now)), clock(c.now))
		same(t, c.name+", said", lines(h, say), c.say...)
		same(t, c.name+", passed", lines(h, passed), c.passed...)
	}
}

// What is due after the reminder or its dog was taken away is not said.
func TestCatchUpOfWhatIsGone(t *testing.T) {
	h := tenReminders()
	now := instant(t, "2026-03-02T12:00:00Z")
	due := planner.Agenda(h, now.Add(-24*time.Hour), now)
	gone := *h
	gone.Reminders = nil
	if say, passed := planner.CatchUp(&gone, due, now); len(say) != 0 || len(passed) != len(due) || len(due) == 0 {
		t.Errorf("without reminders: %d said, %d passed of %d", len(say), len(passed), len(due))
	}
	gone = *h
	gone.Dogs = nil
	if say, passed := planner.CatchUp(&gone, due, now); len(say) != 0 || len(passed) != len(due) {
		t.Errorf("without dogs: %d said, %d passed of %d", len(say), len(passed), len(due))
	}
}

// Whatever the gaps, and with a clock that jumps ahead and back, each
// occurrence is said or passed once, a reminder is said once at a time, and
// what has passed is counted.
func TestCatchUpLosesNothing(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 50 {
		from := instant(t, "2026-03-20T12:00:00Z")
		h := randomHousehold(r, from)
		through, now := from, from
		seen := map[string]bool{}
		for through.Before(from.AddDate(0, 1, 0)) {
			now = now.Add(time.Duration(r.IntN(48*60)-120) * time.Minute) // back by up to two hours too
			due := planner.Agenda(h, through, now)
			say, passed := planner.CatchUp(h, due, now)
			if len(say)+len(passed) != len(due) {
				t.Fatalf("%d due, %d said, %d passed", len(due), len(say), len(passed))
			}
			counts, missed := map[string]int{}, 0
			for _, o := range say {
				counts[o.Reminder]++
				missed += o.Missed
			}
			for _, o := range append(say, passed...) {
				if seen[o.ID] {
					t.Fatalf("%s came twice", o.ID)
				}
				seen[o.ID] = true
				if counts[o.Reminder] > 1 {
					t.Fatalf("%s is said %d times at once", o.Reminder, counts[o.Reminder])
				}
			}
			if missed > len(passed) {
				t.Fatalf("%d missed, %d passed", missed, len(passed))
			}
			if now.After(through) {
				through = now
			}
		}
		for _, o := range planner.Agenda(h, from, through) {
			if !seen[o.ID] {
				t.Fatalf("%s was lost", o.ID)
			}
		}
	}
}

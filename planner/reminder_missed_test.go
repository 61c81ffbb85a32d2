package planner_test

import (
	"math/rand/v2"
	"testing"
	"time"

	"bowlwright/planner"
)

func TestRule(t *testing.T) {
	for name, c := range map[string]struct {
		schedule planner.Schedule
		chosen   planner.MissedRule
		want     planner.MissedRule
	}{
		"every n days shifts":            {planner.Schedule{EveryDays: 3}, "", planner.ShiftMissed},
		"every n days, kept by choice":   {planner.Schedule{EveryDays: 3}, planner.KeepMissed, planner.KeepMissed},
		"weekdays keep":                  {planner.Schedule{Weekdays: []time.Weekday{0}}, "", planner.KeepMissed},
		"weekdays cannot be moved":       {planner.Schedule{Weekdays: []time.Weekday{0}}, planner.ShiftMissed, planner.KeepMissed},
		"the day of a month, likewise":   {planner.Schedule{MonthDay: 3}, planner.ShiftMissed, planner.KeepMissed},
		"a rule that nobody knows of":    {planner.Schedule{EveryDays: 3}, "other", planner.ShiftMissed},
		"once: there is nothing to move": {planner.Schedule{Once: true}, "", planner.KeepMissed},
	} {
		if got := (&planner.Reminder{Schedule: c.schedule, Missed: c.chosen}).Rule(); got != c.want {
			t.Errorf("%s: %s", name, got)
		}
	}
}

func TestMissed(t *testing.T) {
	every := func(n int, times ...planner.Clock) planner.Schedule {
		return planner.Schedule{EveryDays: n, Anchor: day(t, "2026-03-02"), Times: times}
	}
	morning := planner.At(7, 30)
	for _, c := range []struct {
		name        string
		schedule    planner.Schedule
		missed      planner.MissedRule
		given       string
		next        string // after the day on which it was given
		shift, keep string // both, told before
	}{
		{"on its day", every(3, morning), "", "2026-03-02", "2026-03-05", "2026-03-05", "2026-03-05"},
		{"a day late", every(3, morning), "", "2026-03-03", "2026-03-06", "2026-03-06", "2026-03-05"},
		{"a day late, days kept", every(3, morning), planner.KeepMissed, "2026-03-03", "2026-03-05", "2026-03-06", "2026-03-05"},
		{"a day early", every(3, morning), "", "2026-03-04", "2026-03-07", "2026-03-07", "2026-03-05"},
		{"every day", every(1, morning), "", "2026-03-10", "2026-03-11", "2026-03-11", "2026-03-11"},
		{"with the first meal", every(3), "", "2026-03-03", "2026-03-06", "2026-03-06", "2026-03-05"},
		{"twice a day, on its day", every(2, morning, planner.At(18, 0)), "", "2026-03-04", "2026-03-06", "2026-03-06", "2026-03-06"},
		{"twice a day, on another day", every(2, morning, planner.At(18, 0)), "", "2026-03-05", "2026-03-07", "2026-03-07", "2026-03-06"},
		{"before the series begins", every(3, morning), "", "2026-02-20", "2026-03-02", "2026-03-02", "2026-03-02"},
		{"just before it begins", every(3, morning), "", "2026-03-01", "2026-03-04", "2026-03-04", "2026-03-02"},
		{"Mondays and Thursdays", planner.Schedule{Weekdays: []time.Weekday{1, 4}, Anchor: day(t, "2026-03-02"), Times: []planner.Clock{morning}},
			"", "2026-03-03", "2026-03-05", "2026-03-05", "2026-03-05"},
		{"the last of a series", planner.Schedule{EveryDays: 3, Anchor: day(t, "2026-03-02"), Until: day(t, "2026-03-05"), Times: []planner.Clock{morning}},
			"", "2026-03-03", "", "", "2026-03-05"},
	} {
		r := planner.Reminder{ID: "r1", Missed: c.missed, Schedule: c.schedule}
		shift, keep := planner.NextAfterMiss(&r, day(t, c.given))
		if shift.String() != c.shift || keep.String() != c.keep {
			t.Errorf("%s: shift %v, keep %v, want %s and %s", c.name, shift, keep, c.shift, c.keep)
		}
		r.GivenOn(day(t, c.given))
		if len(r.Schedule.Times) == 0 {
			r.Schedule.Times = []planner.Clock{morning}
		}
		after := instant(t, c.given+"T23:59:59Z")
		if m, _ := r.Schedule.In(time.UTC).NextMoment(after); m.Date.String() != c.next {
			t.Errorf("%s: next %v, want %s", c.name, m.Date, c.next)
		}
	}
}

// A morning dose given on its day leaves the evening's; given on another day
// it moves both.
func TestGivenTwiceADay(t *testing.T) {
	for given, want := range map[string]string{"2026-03-04": "2026-03-04T18:00:00Z", "2026-03-03": "2026-03-05T07:30:00Z"} {
		r := planner.Reminder{Schedule: planner.Schedule{EveryDays: 2, Anchor: day(t, "2026-03-02"),
			Times: []planner.Clock{planner.At(7, 30), planner.At(18, 0)}}}
		r.GivenOn(day(t, given))
		if got := r.Schedule.In(time.UTC).Next(instant(t, given+"T07:40:00Z")); !got.Equal(instant(t, want)) {
			t.Errorf("given on %s: next %v, want %s", given, got, want)
		}
	}
}

// A carer who gives each dose on its day, late, early or not at all never
// gives two nearer than the cadence under the shift rule, where a dose is
// given only when it is due or was missed; and under the keep rule the days
// stay and no day has two.
func TestNeverDoubled(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for range 300 {
		n := 1 + r.IntN(6)
		h := quayside()
		h.Reminders = []planner.Reminder{reminder("r1", planner.SupplementReminder, "d1",
			planner.Schedule{EveryDays: n, Anchor: day(t, "2026-03-02"), Times: []planner.Clock{planner.At(7, 30)}})}
		dose := &h.Reminders[0]
		if r.IntN(3) == 0 {
			dose.Missed = planner.KeepMissed
		}
		var last planner.Date
		open := false // a dose was said and not answered
		for today := day(t, "2026-03-01"); today.Before(day(t, "2026-07-01")); today = today.AddDays(1) {
			start := planner.Instant(today, 0, h.Location())
			due := len(planner.Agenda(h, start.Add(-1), planner.Instant(today.AddDays(1), 0, h.Location()).Add(-1))) > 0
			if due != dose.Schedule.On(today) {
				t.Fatalf("every %d days: on %v due %v", n, today, due)
			}
			if due && dose.Rule() == planner.ShiftMissed && !last.IsZero() && last.DaysTo(today) < n {
				t.Fatalf("every %d days: given on %v, due on %v", n, last, today)
			}
			if due && dose.Rule() == planner.KeepMissed && day(t, "2026-03-02").DaysTo(today)%n != 0 {
				t.Fatalf("every %d days: the days were not kept on %v", n, today)
			}
			if open = open || due; !open {
				continue
			}
			switch r.IntN(3) {
			case 0:
				dose.GivenOn(today)
				last, open = today, false
			case 1:
				dose.GivenOn(today) // left out for good
				open = false
			}
		}
	}
}

func TestStock(t *testing.T) {
	s := planner.Stock{Left: 2.5}
	s.Take(1)
	s.Take(-4)
	if s.Left != 1.5 {
		t.Errorf("left %v", s.Left)
	}
	if s.Take(3); s.Left != 0 {
		t.Errorf("less than none: %v", s.Left)
	}
	s.Warned = true
	if s.Add(-1); s.Left != 0 || !s.Warned {
		t.Errorf("after adding less than nothing: %+v", s)
	}
	if s.Add(60); s.Left != 60 || s.Warned {
		t.Errorf("after buying: %+v", s)
	}
}

func TestRunsOut(t *testing.T) {
	monday := day(t, "2026-03-02")
	every := func(n int) planner.Schedule {
		return planner.Schedule{EveryDays: n, Anchor: monday, Times: []planner.Clock{planner.At(7, 30)}}
	}
	twice := every(1)
	twice.Times = append(twice.Times, planner.At(19, 30))
	meal := every(3)
	meal.Times = nil
	third := planner.Stock{Left: 0.3}
	third.Take(0.1) // leaves 0.19999999999999998
	ended := every(3)
	ended.Until = day(t, "2026-03-09")
	for _, c := range []struct {
		name     string
		left     float64
		dose     *planner.Dose
		schedule planner.Schedule
		from     string
		want     string
	}{
		{"four capsules, every 3 days", 4, &planner.Dose{Count: 1}, every(3), "2026-03-02", "2026-03-14"}, // 2, 5, 8, 11
		{"from after today's", 4, &planner.Dose{Count: 1}, every(3), "2026-03-03", "2026-03-17"},
		{"none left", 0, &planner.Dose{Count: 1}, every(3), "2026-03-03", "2026-03-05"},
		{"one and a half, two a dose", 1.5, &planner.Dose{Count: 2}, every(3), "2026-03-02", "2026-03-02"},
		{"twice a day", 5, &planner.Dose{Count: 1}, twice, "2026-03-02", "2026-03-04"},
		{"two doses, but for the last digit", third.Left, &planner.Dose{Grams: 0.1}, every(1), "2026-03-02", "2026-03-04"},
		{"with the first meal", 1, &planner.Dose{Count: 1}, meal, "2026-03-02", "2026-03-05"},
		{"the series ends before", 60, &planner.Dose{Count: 1}, ended, "2026-03-02", ""},
		{"for years", 1e300, &planner.Dose{Count: 1}, every(1), "2026-03-02", ""},
		{"nobody knows how much", 4, &planner.Dose{}, every(3), "2026-03-02", ""},
		{"no dose", 4, nil, every(3), "2026-03-02", ""},
		{"for each 1000 kcal", 4, &planner.Dose{Count: 1, Per1000: true}, every(3), "2026-03-02", ""},
	} {
		s := planner.Stock{Left: c.left}
		got, ok := s.RunsOut(planner.Reminder{Dose: c.dose, Schedule: c.schedule}, day(t, c.from), zone(t, "Europe/Oslo"))
		if got.String() != c.want || ok != (c.want != "") {
			t.Errorf("%s: %v %v, want %s", c.name, got, ok, c.want)
		}
	}
}

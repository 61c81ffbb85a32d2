package planner_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"bowlwright/planner"
)

// quayside is a household in Oslo with two dogs and no reminders.
func quayside() *planner.Household {
	return &planner.Household{
		ID: "quayside", Zone: "Europe/Oslo",
		Dogs: []planner.Dog{
			{ID: "d1", Name: "Juniper", FeedAt: []planner.Clock{planner.At(7, 0), planner.At(18, 0)}},
			{ID: "d2", Name: "Bracken"},
		},
	}
}

func reminder(id string, kind planner.ReminderKind, dog string, s planner.Schedule) planner.Reminder {
	return planner.Reminder{ID: id, Kind: kind, Dog: dog, Schedule: s}
}

func daily(anchor planner.Date, times ...planner.Clock) planner.Schedule {
	return planner.Schedule{EveryDays: 1, Anchor: anchor, Times: times}
}

// lines prints occurrences in the household's zone: "r1 2026-03-02T07:30",
// with when it is said where that is another time.
func lines(h *planner.Household, due []planner.Occurrence) (out []string) {
	for _, o := range due {
		s := strings.TrimPrefix(o.ID, h.ID+"/")
		if !o.Send.Equal(o.At) {
			s += o.Send.In(h.Location()).Format(" said 01-02T15:04")
		}
		if o.Late {
			s += " late"
		}
		if o.Missed > 0 {
			s += fmt.Sprintf(" missed %d", o.Missed)
		}
		out = append(out, s)
	}
	return out
}

func same(t *testing.T, name string, got []string, want ...string) {
	t.Helper()
	if !slices.Equal(got, want) {
		t.Errorf("%s:\ngot  %q\nwant %q", name, got, want)
	}
}

func TestAgenda(t *testing.T) {
	monday := day(t, "2026-03-02")
	from, to := instant(t, "2026-03-02T00:00:00+01:00"), instant(t, "2026-03-03T12:00:00+01:00")
	at := planner.At
	for _, c := range []struct {
		name   string
		change func(h *planner.Household)
		want   []string
	}{
		{"a bowl follows the dog's times", func(h *planner.Household) {
			h.Reminders = []planner.Reminder{reminder("r1", planner.BowlReminder, "d1", daily(monday, at(12, 0)))}
		}, []string{"r1/2026-03-02T07:00", "r1/2026-03-02T18:00", "r1/2026-03-03T07:00"}},
		{"of a dog without times it has its own", func(h *planner.Household) {
			h.Reminders = []planner.Reminder{reminder("r1", planner.BowlReminder, "d2", daily(monday, at(12, 0)))}
		}, []string{"r1/2026-03-02T12:00", "r1/2026-03-03T12:00"}},
		{"with the first meal", func(h *planner.Household) {
			h.Reminders = []planner.Reminder{
				{ID: "r1", Kind: planner.SupplementReminder, Dog: "d1", WithMeal: true, Schedule: daily(monday)},
				{ID: "r2", Kind: planner.SupplementReminder, Dog: "d2", WithMeal: true, Schedule: daily(monday)},
			}
		}, []string{"r1/2026-03-02T07:00", "r2/2026-03-02T07:30", "r1/2026-03-03T07:00", "r2/2026-03-03T07:30"}},
		{"an unknown dog, and one that is off", func(h *planner.Household) {
			h.Reminders = []planner.Reminder{reminder("r1", planner.WeighReminder, "d9", daily(monday, at(8, 0))),
				reminder("r2", planner.WeighReminder, "d1", daily(monday, at(8, 0)))}
			h.Reminders[1].Off = true
		}, nil},
		{"only after it is in force", func(h *planner.Household) {
			h.Reminders = []planner.Reminder{reminder("r1", planner.NoteReminder, "", daily(monday, at(8, 0)))}
			h.Reminders[0].Since = instant(t, "2026-03-02T08:00:00+01:00")
		}, []string{"r1/2026-03-03T08:00"}},
		{"a zone of its own", func(h *planner.Household) {
			h.Reminders = []planner.Reminder{reminder("r1", planner.NoteReminder, "", daily(monday, at(8, 0)))}
			h.Reminders[0].Schedule.Zone = "America/New_York" // six hours behind Oslo
		}, []string{"r1/2026-03-02T08:00"}},
		{"a zone that is not known is UTC", func(h *planner.Household) {
			h.Zone = "Europe/Atlantis"
			h.Reminders = []planner.Reminder{reminder("r1", planner.NoteReminder, "", daily(monday, at(23, 30)))}
		}, []string{"r1/2026-03-02T23:30"}},
		{"quiet over midnight", func(h *planner.Household) {
			h.Quiet = planner.Quiet{From: at(22, 0), To: at(7, 0)}
			h.Reminders = []planner.Reminder{
				reminder("r1", planner.NoteReminder, "", daily(day(t, "2026-03-01"), at(6, 0), at(7, 0), at(21, 59), at(22, 0))),
			}
		}, []string{"r1/2026-03-01T22:00 said 03-02T07:00", "r1/2026-03-02T06:00 said 03-02T07:00", "r1/2026-03-02T07:00",
			"r1/2026-03-02T21:59", "r1/2026-03-02T22:00 said 03-03T07:00", "r1/2026-03-03T06:00 said 03-03T07:00", "r1/2026-03-03T07:00"}},
		{"quiet at noon", func(h *planner.Household) {
			h.Quiet = planner.Quiet{From: at(12, 0), To: at(14, 0)}
			h.Reminders = []planner.Reminder{reminder("r1", planner.NoteReminder, "", daily(monday, at(12, 0), at(14, 0)))}
		}, []string{"r1/2026-03-02T12:00 said 03-02T14:00", "r1/2026-03-02T14:00"}},
		{"paused, one dog and all", func(h *planner.Household) {
			h.Reminders = []planner.Reminder{
				reminder("r1", planner.NoteReminder, "", daily(monday, at(8, 0))),
				reminder("r2", planner.NoteReminder, "d1", daily(monday, at(9, 0))),
				reminder("r3", planner.NoteReminder, "d2", daily(monday, at(10, 0))),
			}
			h.Pauses = []planner.Pause{{From: day(t, "2026-03-03"), Until: day(t, "2026-03-20")},
				{Dog: "d1", From: day(t, "2026-02-20"), Until: day(t, "2026-03-03")}}
		}, []string{"r1/2026-03-02T08:00", "r3/2026-03-02T10:00"}},
		{"the freezer on the eve of a return", func(h *planner.Household) {
			h.Reminders = []planner.Reminder{reminder("r1", planner.FreezerReminder, "", daily(day(t, "2026-02-01"), at(20, 0)))}
			h.Pauses = []planner.Pause{{From: day(t, "2026-02-20"), Until: day(t, "2026-03-03")}}
		}, []string{"r1/2026-03-02T20:00"}},
		{"put off, twice, into quiet hours and from long ago", func(h *planner.Household) {
			h.Quiet = planner.Quiet{From: at(22, 0), To: at(7, 0)}
			h.Reminders = []planner.Reminder{reminder("r1", planner.NoteReminder, "", daily(monday, at(8, 0), at(21, 0))),
				reminder("r2", planner.NoteReminder, "", planner.Schedule{Once: true, Anchor: day(t, "2024-02-29"), Times: []planner.Clock{600}})}
			h.Snoozes = []planner.Snooze{
				{Of: "quayside/r1/2026-03-02T08:00", Until: instant(t, "2026-03-02T08:30:00+01:00"), Times: 1},
				{Of: "quayside/r1/2026-03-02T08:00", Until: instant(t, "2026-03-02T08:45:00+01:00"), Times: 2},
				{Of: "quayside/r1/2026-03-02T21:00", Until: instant(t, "2026-03-02T22:30:00+01:00"), Times: 1},
				{Of: "quayside/r2/2024-02-29T10:00", Until: instant(t, "2026-03-02T12:00:00+01:00"), Times: 1},
				{Of: "quayside/r9/2026-03-02T08:00", Until: instant(t, "2026-03-02T12:00:00+01:00"), Times: 1},
				{Of: "elsewhere/r1/2026-03-02T08:00", Until: instant(t, "2026-03-02T12:00:00+01:00"), Times: 1},
				{Of: "not an id", Until: instant(t, "2026-03-02T12:00:00+01:00"), Times: 1},
			}
		}, []string{"r1/2026-03-02T08:00 said 03-02T08:45", "r2/2024-02-29T10:00 said 03-02T12:00",
			"r1/2026-03-02T21:00 said 03-03T07:00", "r1/2026-03-03T08:00"}},
		{"put off and paused", func(h *planner.Household) {
			h.Reminders = []planner.Reminder{reminder("r1", planner.NoteReminder, "", daily(day(t, "2026-03-01"), at(20, 0)))}
			h.Snoozes = []planner.Snooze{{Of: "quayside/r1/2026-03-01T20:00", Until: instant(t, "2026-03-02T09:00:00+01:00"), Times: 1}}
			h.Pauses = []planner.Pause{{From: monday, Until: day(t, "2026-03-05")}}
		}, nil},
		{"put off to after a pause that was set since", func(h *planner.Household) {
			h.Reminders = []planner.Reminder{reminder("r1", planner.NoteReminder, "", daily(day(t, "2026-03-01"), at(20, 0)))}
			h.Snoozes = []planner.Snooze{{Of: "quayside/r1/2026-03-01T20:00", Until: instant(t, "2026-03-03T09:00:00+01:00"), Times: 1}}
			h.Pauses = []planner.Pause{{From: day(t, "2026-03-01"), Until: day(t, "2026-03-03")}}
		}, []string{"r1/2026-03-01T20:00 said 03-03T09:00"}},
	} {
		h := quayside()
		c.change(h)
		same(t, c.name, lines(h, planner.Agenda(h, from, to)), c.want...)
		next, ok := planner.NextDue(h, from)
		if all := planner.Agenda(h, from, to.AddDate(1, 0, 0)); ok != (len(all) > 0) || ok && !next.Equal(all[0].Send) {
			t.Errorf("%s: next %v %v, agenda %q", c.name, next, ok, lines(h, all))
		}
	}
}

func TestAgendaSpan(t *testing.T) {
	h := quayside()
	h.Reminders = []planner.Reminder{reminder("r1", planner.NoteReminder, "", daily(day(t, "2026-03-02"), planner.At(8, 0)))}
	h.Quiet = planner.Quiet{From: planner.At(7, 0), To: planner.At(9, 0)}
	send := instant(t, "2026-03-02T09:00:00+01:00")
	for _, c := range []struct {
		from, to time.Duration
		n        int
	}{
		{-time.Hour, 0, 1}, {0, time.Hour, 0}, {-time.Nanosecond, 0, 1}, {-time.Hour, -time.Nanosecond, 0},
		{time.Hour, -time.Hour, 0}, {0, 0, 0}, {0, 24 * time.Hour, 1},
	} {
		if due := planner.Agenda(h, send.Add(c.from), send.Add(c.to)); len(due) != c.n {
			t.Errorf("%v to %v: %d", c.from, c.to, len(due))
		}
	}
	h.Reminders = append(h.Reminders, reminder("r2", planner.NoteReminder, "",
		planner.Schedule{Once: true, Anchor: day(t, "2026-03-03"), Times: []planner.Clock{600}}))
	due := planner.Agenda(h, time.Time{}, instant(t, "9999-12-31T00:00:00Z"))
	if len(due) != 401 || due[0].Reminder != "r2" {
		t.Errorf("eight thousand years: %d occurrences, the first %v", len(due), due[0])
	}
	if at, ok := planner.NextDue(h, instant(t, "9999-12-31T22:59:59Z")); ok {
		t.Errorf("after the last day: %v", at)
	}
	if _, ok := planner.NextDue(&planner.Household{}, send); ok {
		t.Error("a household with nothing has something due")
	}
}

// Quiet hours that begin or end where clocks change. 2026-03-29: 02:00 +01:00
// becomes 03:00 +02:00; 2026-10-25: 03:00 +02:00 becomes 02:00 +01:00 in Oslo.
func TestQuietWhereClocksChange(t *testing.T) {
	oslo := zone(t, "Europe/Oslo")
	at := planner.At
	for _, c := range []struct {
		quiet    planner.Quiet
		at, want string
	}{
		{planner.Quiet{From: at(22, 0), To: at(7, 0)}, "2026-03-28T23:00:00+01:00", "2026-03-29T07:00:00+02:00"},
		{planner.Quiet{From: at(22, 0), To: at(7, 0)}, "2026-10-24T23:00:00+02:00", "2026-10-25T07:00:00+01:00"},
		{planner.Quiet{From: at(22, 0), To: at(2, 30)}, "2026-03-28T23:00:00+01:00", "2026-03-29T03:00:00+02:00"}, // 02:30 is skipped
		{planner.Quiet{From: at(2, 15), To: at(2, 45)}, "2026-03-29T03:00:00+02:00", "2026-03-29T03:00:00+02:00"}, // all of it is
		{planner.Quiet{From: at(22, 0), To: at(2, 30)}, "2026-10-25T02:15:00+02:00", "2026-10-25T02:30:00+02:00"}, // the first
		{planner.Quiet{From: at(22, 0), To: at(2, 30)}, "2026-10-25T02:15:00+01:00", "2026-10-25T02:15:00+01:00"}, // it is over
		{planner.Quiet{From: at(2, 30), To: at(7, 0)}, "2026-10-25T02:15:00+01:00", "2026-10-25T07:00:00+01:00"},  // it has begun
		{planner.Quiet{From: at(7, 0), To: at(7, 0)}, "2026-03-02T07:00:00+01:00", "2026-03-02T07:00:00+01:00"},
		{planner.Quiet{From: -5, To: at(7, 0)}, "2026-03-02T06:00:00+01:00", "2026-03-02T06:00:00+01:00"},
		{planner.Quiet{From: at(7, 1), To: at(7, 0)}, "2026-03-02T07:01:00+01:00", "2026-03-03T07:00:00+01:00"},
		{planner.Quiet{From: 0, To: at(23, 59)}, "2026-03-02T00:00:00+01:00", "2026-03-02T23:59:00+01:00"},
	} {
		if got := c.quiet.Send(instant(t, c.at), oslo); !got.Equal(instant(t, c.want)) {
			t.Errorf("%v to %v at %s: got %v, want %s", c.quiet.From, c.quiet.To, c.at, got.In(oslo), c.want)
		}
	}
}

func TestOccurrenceID(t *testing.T) {
	h := quayside()
	h.ID = "a/b" // whatever a household is called
	h.Reminders = []planner.Reminder{reminder("r1", planner.NoteReminder, "", daily(day(t, "2026-03-02"), planner.At(7, 30)))}
	id := "a/b/r1/2026-03-02T07:30"
	household, of, m, err := planner.ParseOccurrence(id)
	if err != nil || household != "a/b" || of != "r1" || m.Date != day(t, "2026-03-02") || m.Clock != planner.At(7, 30) {
		t.Errorf("got %q %q %v %v", household, of, m, err)
	}
	if back := planner.OccurrenceID(household, of, m); back != id {
		t.Errorf("back: %q", back)
	}
	o, r, ok := h.Occurrence(id)
	if !ok || r != &h.Reminders[0] || !o.At.Equal(instant(t, "2026-03-02T06:30:00Z")) || o.ID != id {
		t.Errorf("got %+v %v %v", o, r, ok)
	}
	for _, bad := range []string{"", "r1/2026-03-02T07:30", "a/b/r1/2026-03-02", "a/b/r1/2026-02-30T07:30", "a/b/r1/2026-03-02T24:00",
		"a/b//2026-03-02T07:30", "/r1/2026-03-02T07:30", "a/b/r1/2026-03-02T07:30T"} {
		if _, _, _, err := planner.ParseOccurrence(bad); err == nil {
			t.Errorf("%q was read", bad)
		}
		if _, _, ok := h.Occurrence(bad); ok {
			t.Errorf("%q was found", bad)
		}
	}
	for _, other := range []string{"a/c/r1/2026-03-02T07:30", "a/b/r2/2026-03-02T07:30"} {
		if _, _, ok := h.Occurrence(other); ok {
			t.Errorf("%q was found", other)
		}
	}
}

// tenReminders is a household with as many as a busy one has.
func tenReminders() *planner.Household {
	h := quayside()
	h.Quiet = planner.Quiet{From: planner.At(22, 0), To: planner.At(7, 0)}
	anchor := planner.Date{Year: 2026, Month: 1, Day: 1}
	for i := range 10 {
		kind := []planner.ReminderKind{planner.BowlReminder, planner.SupplementReminder, planner.NoteReminder}[i%3]
		s := planner.Schedule{EveryDays: 1 + i%4, Anchor: anchor, Times: []planner.Clock{planner.At(6+i, 30), planner.At(7+i, 45)}}
		if i == 9 {
			s.EveryDays, s.Weekdays = 0, []time.Weekday{time.Sunday}
		}
		h.Reminders = append(h.Reminders, reminder(fmt.Sprintf("r%d", i), kind, "d1", s))
	}
	h.Pauses = []planner.Pause{{Dog: "d2", From: anchor, Until: anchor.AddDays(9)}}
	h.Snoozes = []planner.Snooze{{Of: "quayside/r0/2026-03-02T07:00", Until: time.Date(2026, 3, 2, 7, 0, 0, 0, time.UTC), Times: 1}}
	return h
}

func BenchmarkNextDue(b *testing.B) {
	h := tenReminders()
	for name, at := range map[string]string{"day": "2026-03-02T11:00:00Z", "quiet": "2026-03-02T23:00:00Z"} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			after := instant(b, at)
			for b.Loop() {
				planner.NextDue(h, after)
			}
		})
	}
}

func BenchmarkAgendaMonth(b *testing.B) {
	h := tenReminders()
	from := instant(b, "2026-03-02T11:00:00Z")
	b.ReportAllocs()
	for b.Loop() {
		planner.Agenda(h, from, from.AddDate(0, 1, 0))
	}
}

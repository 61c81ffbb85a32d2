package planner_test

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"bowlwright/planner"
)

// lookingAtTheClock makes the agenda of a household the slow way: minute by
// minute, by what the clock on the wall shows. It is right where nothing is
// due in the hours that are skipped or come twice.
func lookingAtTheClock(h *planner.Household, from, to time.Time) []planner.Occurrence {
	var out, held []planner.Occurrence
	loc, _ := time.LoadLocation(h.Zone)
	for at := from.Add(-48 * time.Hour).Truncate(time.Minute); !at.After(to); at = at.Add(time.Minute) {
		local := at.In(loc)
		today, clock := planner.DateOf(local), planner.ClockOf(local)
		for i := range h.Reminders {
			if r := &h.Reminders[i]; r.Schedule.EveryDays > 0 && at.After(r.Since) && fallsDue(h, r, today, clock) {
				id := fmt.Sprintf("%s/%s/%vT%v", h.ID, r.ID, today, clock)
				off := slices.ContainsFunc(h.Snoozes, func(s planner.Snooze) bool { return s.Of == id })
				if !off && !pausedOn(h, r, today) {
					held = append(held, planner.Occurrence{ID: id})
				}
			}
		}
		for _, s := range h.Snoozes {
			r := &h.Reminders[slices.IndexFunc(h.Reminders, func(r planner.Reminder) bool { return strings.Contains(s.Of, "/"+r.ID+"/") })]
			if s.Until.Equal(at) && !pausedOn(h, r, saidOn(h, at)) {
				held = append(held, planner.Occurrence{ID: s.Of})
			}
		}
		if quietAt(h.Quiet, clock) {
			continue
		}
		for _, o := range held {
			if o.Send = at; at.After(from) {
				out = append(out, o)
			}
		}
		held = nil
	}
	slices.SortFunc(out, func(a, b planner.Occurrence) int {
		return cmp.Or(a.Send.Compare(b.Send), cmp.Compare(a.ID, b.ID))
	})
	return out
}

func fallsDue(h *planner.Household, r *planner.Reminder, today planner.Date, clock planner.Clock) bool {
	s := r.Schedule
	days := int(time.Date(today.Year, today.Month, today.Day, 0, 0, 0, 0, time.UTC).
		Sub(time.Date(s.Anchor.Year, s.Anchor.Month, s.Anchor.Day, 0, 0, 0, 0, time.UTC)).Hours()) / 24
	times := s.Times
	if r.Kind == planner.BowlReminder {
		times = h.Dogs[0].FeedAt
	}
	return days >= 0 && days%s.EveryDays == 0 && slices.Contains(times, clock)
}

func pausedOn(h *planner.Household, r *planner.Reminder, on planner.Date) bool {
	if r.Kind == planner.FreezerReminder {
		on = planner.DateOf(time.Date(on.Year, on.Month, on.Day+1, 0, 0, 0, 0, time.UTC))
	}
	return slices.ContainsFunc(h.Pauses, func(p planner.Pause) bool {
		return (p.Dog == "" || p.Dog == r.Dog) && p.From.String() <= on.String() && on.String() < p.Until.String()
	})
}

// saidOn is the day on which something is said that falls due at an instant.
func saidOn(h *planner.Household, at time.Time) planner.Date {
	loc, _ := time.LoadLocation(h.Zone)
	for quietAt(h.Quiet, planner.ClockOf(at.In(loc))) {
		at = at.Add(time.Minute)
	}
	return planner.DateOf(at.In(loc))
}

func quietAt(q planner.Quiet, c planner.Clock) bool {
	if q.From <= q.To {
		return q.From <= c && c < q.To
	}
	return q.From <= c || c < q.To
}

// randomHousehold has reminders, pauses, quiet hours and snoozes around a
// change of the clock.
func randomHousehold(r *rand.Rand, from time.Time) *planner.Household {
	h := quayside()
	start := planner.DateOf(from)
	clock := func() planner.Clock { return planner.At(4+r.IntN(20), r.IntN(4)*15) } // the clock changes before 04:00
	kinds := []planner.ReminderKind{planner.BowlReminder, planner.FreezerReminder, planner.NoteReminder, planner.SupplementReminder}
	for i := range 1 + r.IntN(5) {
		s := planner.Schedule{EveryDays: 1 + r.IntN(4), Anchor: start.AddDays(r.IntN(20) - 10), Times: []planner.Clock{clock()}}
		rem := reminder(fmt.Sprintf("r%d", i+1), kinds[r.IntN(len(kinds))], []string{"d1", "d2", ""}[r.IntN(3)], s)
		if rem.Kind == planner.BowlReminder {
			rem.Dog = "d1"
		}
		if r.IntN(3) == 0 {
			rem.Since = from.Add(time.Duration(r.IntN(72)) * time.Hour)
		}
		h.Reminders = append(h.Reminders, rem)
	}
	if r.IntN(3) > 0 {
		h.Quiet = planner.Quiet{From: clock(), To: clock()}
	}
	for range r.IntN(3) {
		first := start.AddDays(r.IntN(8) - 2)
		h.Pauses = append(h.Pauses, planner.Pause{Dog: []string{"", "d1", "d2"}[r.IntN(3)], From: first, Until: first.AddDays(1 + r.IntN(4))})
	}
	for _, o := range planner.Agenda(h, from.AddDate(0, 0, -2), from.AddDate(0, 0, 5)) {
		if r.IntN(6) == 0 {
			h.Snoozes = append(h.Snoozes, planner.Snooze{Of: o.ID, Until: o.Send.Add(time.Duration(15+r.IntN(600)) * time.Minute), Times: 1})
		}
	}
	return h
}

// The agenda of random households is what a person sees who looks at the
// clock every minute; however a span is cut, the parts are the whole; and
// going from one next time to the next misses nothing.
func TestAgendaOfRandomHouseholds(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	starts := []time.Time{instant(t, "2026-03-26T13:10:00Z"), instant(t, "2026-10-22T13:10:00Z")}
	for round := range planner.Sampled(150, 40) {
		from := starts[round%2]
		to := from.AddDate(0, 0, 7)
		h := randomHousehold(r, from)
		got := planner.Agenda(h, from, to)
		want := lookingAtTheClock(h, from, to)
		if !slices.EqualFunc(got, want, func(a, b planner.Occurrence) bool { return a.ID == b.ID && a.Send.Equal(b.Send) }) {
			t.Fatalf("round %d: %+v\ngot  %q\nwant %q", round, h, lines(h, got), lines(h, want))
		}
		var parts []planner.Occurrence
		at := from
		for at.Before(to) {
			next := at.Add(time.Duration(1+r.IntN(1500)) * time.Minute)
			if next.After(to) {
				next = to
			}
			parts = append(parts, planner.Agenda(h, at, next)...)
			at = next
		}
		if !slices.Equal(lines(h, parts), lines(h, got)) {
			t.Fatalf("round %d: the parts are not the whole:\n%q\n%q", round, lines(h, parts), lines(h, got))
		}
		at = from
		for i := 0; i < len(got); {
			next, ok := planner.NextDue(h, at)
			if !ok || !next.Equal(got[i].Send) {
				t.Fatalf("round %d: after %v next is %v %v, want %v", round, at, next, ok, got[i].Send)
			}
			for at = next; i < len(got) && got[i].Send.Equal(at); i++ {
			}
		}
	}
}

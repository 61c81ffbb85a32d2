package planner_test

import (
	"testing"
	"time"

	"bowlwright/planner"
)

// fuzzZones have every kind of change of the clock that there is.
var fuzzZones = []string{
	"UTC", "Europe/Berlin", "Africa/Cairo", "America/Nuuk", "Australia/Lord_Howe", "Pacific/Apia", "Asia/Manila",
	"America/Juneau", "Pacific/Kwajalein", "Africa/Casablanca", "Antarctica/Troll", "America/Havana",
}

// Of any schedule that is right, from any instant of the years 1 to 9999: the
// next moment is after it, on one of the schedule's days at one of its times,
// the clock has reached that time then and had not before, the instants rise,
// and no instant between has another next.
func FuzzScheduleNext(f *testing.F) {
	f.Add(3, uint8(0), 0, false, 739000, 0, 450, 1080, uint8(1), int64(1_770_000_000))
	f.Add(0, uint8(0b0101010), 0, false, 739000, 739400, 0, 1439, uint8(3), int64(1_774_700_000))
	f.Add(0, uint8(0), 31, false, 734500, 0, 150, 0, uint8(5), int64(1_325_100_000))
	f.Add(1, uint8(0), 0, false, 700000, 0, 15, 20, uint8(6), int64(-3_944_700_000))
	f.Add(0, uint8(0), 0, true, 3652058, 0, 15, 20, uint8(2), int64(253_402_300_799))
	f.Add(366, uint8(0), 0, false, 0, 0, 15, 20, uint8(4), int64(-62_135_596_800))
	f.Fuzz(func(t *testing.T, every int, weekdays uint8, monthDay int, once bool, anchor, until, first, second int, where uint8, seconds int64) {
		epoch := planner.Date{Year: 1, Month: 1, Day: 1}
		s := planner.Schedule{EveryDays: every, MonthDay: monthDay, Once: once, Anchor: epoch.AddDays(anchor % 4_000_000),
			Times: []planner.Clock{planner.Clock(first)}}
		for d := range 7 {
			if weekdays>>d&1 == 1 {
				s.Weekdays = append(s.Weekdays, time.Weekday(d))
			}
		}
		if until != 0 {
			s.Until = epoch.AddDays(until % 4_000_000)
		}
		if second != 0 {
			s.Times = append(s.Times, planner.Clock(second))
		}
		after := time.Unix(seconds%300_000_000_000, 0)
		loc := zone(t, fuzzZones[int(where)%len(fuzzZones)])
		table := s.In(loc)
		m, ok := table.NextMoment(after) // ends, whatever the schedule is
		if s.Validate(s.Anchor) != nil || !ok {
			return
		}
		if !m.At.After(after) || !s.On(m.Date) || m.Clock != s.Times[0] && m.Clock != s.Times[len(s.Times)-1] {
			t.Fatalf("after %v: %+v of %+v", after, m, s)
		}
		if !reached(m, m.At.In(loc)) || reached(m, m.At.Add(-1).In(loc)) {
			t.Fatalf("%+v: the clock shows %v", m, m.At.In(loc))
		}
		if between := after.Add(m.At.Sub(after) / 2); !table.Next(between).Equal(m.At) {
			t.Fatalf("after %v comes %v, but after %v %v", after, m.At, between, table.Next(between))
		}
		if next := table.Next(m.At); !next.IsZero() && !next.After(m.At) {
			t.Fatalf("after %v comes %v", m.At, next)
		}
	})
}

// reached reports that a clock shows a moment's time of its day or a later one.
func reached(m planner.Moment, local time.Time) bool {
	shown := planner.DateOf(local)
	return m.Date.Before(shown) || m.Date == shown && planner.ClockOf(local) >= m.Clock
}

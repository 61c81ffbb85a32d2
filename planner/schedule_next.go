package planner

import (
	"slices"
	"time"
)

// Timetable is a schedule in a zone. It satisfies cron.Schedule of
// github.com/robfig/cron/v3.
//
// A time that a zone skips runs at the first instant after the gap, one that
// occurs twice runs the first time. Days are those of the calendar: a day
// that a zone leaves out counts, and what falls on it runs at the first
// instant of the next day, unless that day is the schedule's too, so that
// nothing is doubled. Of several times that come to the same instant only the
// last remains.
type Timetable struct {
	Schedule
	loc *time.Location
}

// In returns the schedule's timetable in a zone, which is the household's
// where the schedule has none of its own. A zone that is not known counts as
// none.
func (s Schedule) In(loc *time.Location) Timetable {
	if own, ok := LoadZone(s.Zone); ok {
		loc = own
	}
	if loc == nil {
		loc = time.UTC
	}
	if !slices.IsSorted(s.Times) {
		s.Times = slices.Sorted(slices.Values(s.Times))
	}
	return Timetable{s, loc}
}

// Location returns the zone in which the timetable's days and times are.
func (t Timetable) Location() *time.Location { return t.loc }

// Next returns the first instant after another at which it falls due, in
// UTC, and the zero time where there is none.
func (t Timetable) Next(after time.Time) time.Time {
	m, _ := t.NextMoment(after)
	return m.At
}

// NextMoment returns the first moment after an instant, and whether there is
// one before the year 10000.
func (t Timetable) NextMoment(after time.Time) (Moment, bool) {
	today, clock := wallAt(after, t.loc)
	day, ok := t.dayFrom(today)
	for ok {
		reached := Clock(-1) // of the day's times, this and what is before it are over
		if day == today {
			reached = clock
		}
		if m, found := t.first(day, reached, after); found {
			return m, true
		}
		day, ok = t.dayFrom(day.AddDays(1))
	}
	return Moment{}, false
}

// first returns the first moment of one of the schedule's days that is after
// an instant, at which the wall had reached a time of that day.
func (t Timetable) first(day Date, reached Clock, after time.Time) (m Moment, found bool) {
	for _, c := range t.TimesOn(day) {
		if c <= reached || !c.Valid() {
			continue
		}
		at, shown := instant(day, c, t.loc)
		if !at.After(after) || found && !at.Equal(m.At) {
			continue
		}
		m, found = Moment{day, c, at}, true
		if shown {
			return m, true
		}
	}
	return m, found && !t.givesWay(m)
}

// givesWay reports that a moment that runs on the day after its own, which
// the zone cut short or left out, is one too many there.
func (t Timetable) givesWay(m Moment) bool {
	day := DateOf(m.At.In(t.loc))
	if day == m.Date || !t.On(day) {
		return false
	}
	leftOut := DateOf(Instant(m.Date, 0, t.loc).In(t.loc)) != m.Date
	return leftOut || slices.ContainsFunc(t.Times, func(c Clock) bool {
		return c.Valid() && Instant(day, c, t.loc).Equal(m.At)
	})
}

// wallAt returns what the calendar and the clock on the wall of a zone show.
func wallAt(at time.Time, loc *time.Location) (Date, Clock) {
	_, offset := at.In(loc).Zone()
	shown := at.UTC().Add(time.Duration(offset) * time.Second) // asked once, not for each figure
	return DateOf(shown), ClockOf(shown)
}

// On reports that a day is one of the schedule's.
func (s Schedule) On(day Date) bool {
	next, ok := s.dayFrom(day)
	return ok && next == day
}

// dayFrom returns the first of the schedule's days that is not before
// another, and whether there is one.
func (s Schedule) dayFrom(day Date) (Date, bool) {
	if !s.Anchor.Valid() {
		return Date{}, false
	}
	if day.Before(s.Anchor) {
		day = s.Anchor
	}
	switch {
	case s.EveryDays > 0:
		day = day.AddDays((s.EveryDays - s.Anchor.DaysTo(day)%s.EveryDays) % s.EveryDays)
	case len(s.Weekdays) > 0:
		day = nextWeekday(day, s.Weekdays)
	case s.MonthDay > 0:
		day = s.nextMonthly(day)
	case !s.Once || day != s.Anchor:
		return Date{}, false
	}
	if !day.Valid() || !s.Until.IsZero() && s.Until.Before(day) {
		return Date{}, false
	}
	return day, true
}

// nextWeekday returns the first day from another on that is one of some days
// of the week, no day where there is none.
func nextWeekday(day Date, of []time.Weekday) Date {
	for i := range 7 {
		if slices.Contains(of, (day.Weekday()+time.Weekday(i))%7) {
			return day.AddDays(i)
		}
	}
	return Date{}
}

// nextMonthly returns the first day from another on that is the schedule's day of
// a month, of each Months-th one from the first.
func (s Schedule) nextMonthly(day Date) Date {
	first := nextMonthDay(s.Anchor, s.MonthDay)
	day = nextMonthDay(day, s.MonthDay)
	if s.Months > 1 {
		past := (day.Year-first.Year)*12 + int(day.Month-first.Month)
		ahead := (s.Months - past%s.Months) % s.Months
		month := DateOf(time.Date(day.Year, day.Month+time.Month(ahead), 1, 12, 0, 0, 0, time.UTC))
		day = nextMonthDay(month, s.MonthDay)
	}
	return day
}

// nextMonthDay returns the first day from another on that is the n-th of its
// month, or its last where the month is shorter.
func nextMonthDay(day Date, n int) Date {
	this := Date{day.Year, day.Month, min(n, lastOf(day.Year, day.Month))}
	if !this.Before(day) {
		return this
	}
	next := DateOf(time.Date(day.Year, day.Month+1, 1, 12, 0, 0, 0, time.UTC))
	next.Day = min(n, lastOf(next.Year, next.Month))
	return next
}

// lastOf returns the last day of a month, 28-31.
func lastOf(year int, month time.Month) int {
	return time.Date(year, month+1, 0, 12, 0, 0, 0, time.UTC).Day()
}

package planner

import "time"

// Schedule says on which days, and when on them, something falls due.
// Exactly one of EveryDays, Weekdays, MonthDay and Once is set. It is a pure
// value; In gives it a zone.
type Schedule struct {
	EveryDays int            `json:"every_days,omitempty"` // every n-th day counted from Anchor, 1-366
	Weekdays  []time.Weekday `json:"weekdays,omitempty"`   // on these
	MonthDay  int            `json:"month_day,omitempty"`  // on this day of each month, 1-31; its last day where it is shorter
	Once      bool           `json:"once,omitempty"`       // on Anchor alone

	Anchor Date    `json:"anchor"`         // the first day it may fall on
	Until  Date    `json:"until,omitzero"` // the last one; none where zero
	Times  []Clock `json:"times"`          // on each of its days, rising; at least one
	Zone   string  `json:"zone,omitempty"` // IANA name where it is not the household's
}

// Moment is one time at which a schedule falls due.
type Moment struct {
	Date  Date      `json:"date"` // by the clock of the schedule's zone
	Clock Clock     `json:"clock"`
	At    time.Time `json:"at"` // the instant, UTC
}

// Timetable is a schedule in a zone. It satisfies cron.Schedule of
// github.com/robfig/cron/v3.
type Timetable struct {
	Schedule
	loc *time.Location
}

// In returns the schedule's timetable in a zone, which is the household's
// where the schedule has none of its own.
func (s Schedule) In(loc *time.Location) Timetable { return Timetable{s, loc} }

package planner

import (
	"cmp"
	"slices"
	"sync"
	"time"
	_ "time/tzdata"
)

// Schedule says on which days, and when on them, something falls due.
// Exactly one of EveryDays, Weekdays, MonthDay and Once is set. It is a pure
// value; In gives it a zone.
type Schedule struct {
	EveryDays int            `json:"every_days,omitempty"` // every n-th day counted from Anchor, 1-366
	Weekdays  []time.Weekday `json:"weekdays,omitempty"`   // on these
	MonthDay  int            `json:"month_day,omitempty"`  // on this day of each month, 1-31; its last day where it is shorter
	Months    int            `json:"months,omitempty"`     // with MonthDay: of each n-th month, 2-12; 0 is each
	Once      bool           `json:"once,omitempty"`       // on Anchor alone

	Anchor Date    `json:"anchor"`          // the first day it may fall on
	Until  Date    `json:"until,omitzero"`  // the last one; none where zero
	Fewer  int     `json:"fewer,omitempty"` // how many of its times Until has less, of a course that began in the evening
	Times  []Clock `json:"times"`           // on each of its days, rising; at least one
	Zone   string  `json:"zone,omitempty"`  // IANA name where it is not the household's
}

// Moment is one time at which a schedule falls due.
type Moment struct {
	Date  Date      `json:"date"` // by the clock of the schedule's zone
	Clock Clock     `json:"clock"`
	At    time.Time `json:"at"` // the instant, UTC
}

// What a schedule can be (common practice, no source).
const (
	MostEveryDays = 366
	MostMonths    = 12
	MostTimes     = 24  // a day
	farthestYears = 100 // from today to an anchor or a last day
)

// FieldPast says of a day that it is over.
const FieldPast FieldCode = "past"

// Validate reports the first field that cannot be right as a *FieldError. now
// is the day in the schedule's zone, by which one-off days are judged. A
// schedule whose last day is over is right: it has ended.
func (s Schedule) Validate(now Date) error {
	var zone error
	if _, ok := LoadZone(s.Zone); s.Zone != "" && !ok {
		zone = &FieldError{"zone", FieldUnknown}
	}
	return cmp.Or(s.validDays(), s.validSpan(now), s.validTimes(), zone)
}

// validDays checks that the days are said in one way, and rightly.
func (s Schedule) validDays() error {
	ways := 0
	for _, set := range []bool{s.EveryDays != 0, len(s.Weekdays) > 0, s.MonthDay != 0, s.Once} {
		if set {
			ways++
		}
	}
	switch {
	case ways == 0:
		return &FieldError{"every-days", FieldZero}
	case ways > 1:
		return &FieldError{"every-days", FieldAtOdds}
	}
	if err := cmp.Or(validCount("every-days", s.EveryDays, MostEveryDays), validCount("month-day", s.MonthDay, 31), validCount("months", s.Months, MostMonths)); err != nil {
		return err
	}
	for i, day := range s.Weekdays {
		switch {
		case day < time.Sunday || day > time.Saturday:
			return &FieldError{"weekdays", FieldUnknown}
		case slices.Contains(s.Weekdays[:i], day):
			return &FieldError{"weekdays", FieldAtOdds}
		}
	}
	return nil
}

// validSpan checks the first and the last day.
func (s Schedule) validSpan(now Date) error {
	switch {
	case s.Anchor.IsZero():
		return &FieldError{"anchor", FieldMissing}
	case !s.Anchor.Valid():
		return &FieldError{"anchor", FieldUnknown}
	case s.Anchor.Year < now.Year-farthestYears:
		return &FieldError{"anchor", FieldTooSmall}
	case s.Anchor.Year > now.Year+farthestYears:
		return &FieldError{"anchor", FieldTooLarge}
	case s.Once && s.Anchor.Before(now):
		return &FieldError{"anchor", FieldPast}
	case s.Until.IsZero():
		return nil
	case !s.Until.Valid():
		return &FieldError{"until", FieldUnknown}
	case s.Until.Before(s.Anchor):
		return &FieldError{"until", FieldAtOdds}
	}
	return nil
}

// TimesOn are its times on one of its days.
func (s Schedule) TimesOn(day Date) []Clock {
	if day == s.Until {
		return s.Times[:max(len(s.Times)-max(s.Fewer, 0), 0)]
	}
	return s.Times
}

// validTimes checks the times of day.
func (s Schedule) validTimes() error {
	switch {
	case len(s.Times) == 0:
		return &FieldError{"times", FieldMissing}
	case len(s.Times) > MostTimes:
		return &FieldError{"times", FieldTooLarge}
	}
	for i, c := range s.Times {
		switch {
		case c < 0:
			return &FieldError{"times", FieldNegative}
		case !c.Valid():
			return &FieldError{"times", FieldTooLarge}
		case i > 0 && c <= s.Times[i-1]:
			return &FieldError{"times", FieldAtOdds} // twice, or not in order
		}
	}
	return nil
}

// FromCadence returns the schedule of a supplement's cadence. Of so many
// times a week, the anchor's weekday is the first; every day of the week is
// every day.
func FromCadence(c Cadence, anchor Date, times []Clock) Schedule {
	s := Schedule{Anchor: anchor, Times: slices.Clone(times)}
	switch {
	case c.EveryDays > 0:
		s.EveryDays = c.EveryDays
	case len(c.Weekdays) > 0:
		s.Weekdays = slices.Clone(c.Weekdays)
	case c.PerWeek > 0 && c.PerWeek < 7:
		s.Weekdays = Spread(c.PerWeek, anchor.Weekday())
	default:
		s.EveryDays = 1
	}
	return s
}

// Spread returns n days of the week, as evenly as they go and with first
// among them, in order from Sunday: three from Monday are Monday, Wednesday
// and Friday. n outside 1-7 counts as the nearer of the two.
func Spread(n int, first time.Weekday) []time.Weekday {
	n = min(max(n, 1), 7)
	days := make([]time.Weekday, n)
	for i := range days {
		days[i] = (first + time.Weekday(i*7/n)) % 7
	}
	slices.Sort(days)
	return days
}

// zones keeps the zones that were asked for: reading one takes longer than
// everything else that is done with it.
var zones sync.Map // of *time.Location by name

// LoadZone returns a zone by its IANA name, and whether there is one. The
// zone of the machine ("Local", "") is none.
func LoadZone(name string) (*time.Location, bool) {
	if name == "" || name == "Local" {
		return nil, false
	}
	if loc, ok := zones.Load(name); ok {
		return loc.(*time.Location), true
	}
	loc, err := time.LoadLocation(name)
	if err != nil {
		return nil, false
	}
	zones.Store(name, loc)
	return loc, true
}

// Location returns the household's zone, UTC where it has none that is known.
func (h *Household) Location() *time.Location {
	if loc, ok := LoadZone(h.Zone); ok {
		return loc
	}
	return time.UTC
}

// Instant returns when a clock on the wall of a zone first shows a time of
// day, or what comes after it: a time that is skipped in spring is the first
// instant after the gap, one that occurs twice in autumn is the first of the
// two, a day that a zone leaves out is the first instant of the next. Of two
// times on the wall, the later is never the earlier instant.
//
// It is the smallest t for which t plus the zone's offset at t is not below
// the time on the wall, found period of offset by period from before every
// offset there is; time.Date does not say which side of a gap or of a
// repetition it returns.
func Instant(d Date, c Clock, loc *time.Location) time.Time {
	at, _ := instant(d, c, loc)
	return at
}

// instant is Instant, and whether the wall shows that very time then.
func instant(d Date, c Clock, loc *time.Location) (at time.Time, shown bool) {
	wall := time.Date(d.Year, d.Month, d.Day, 0, int(c), 0, 0, time.UTC)
	t := wall.Add(-widestOffset)
	for {
		in := t.In(loc)
		_, offset := in.Zone()
		at := wall.Add(-time.Duration(offset) * time.Second)
		shown := !at.Before(t)
		if !shown {
			at = t
		}
		_, end := in.ZoneBounds()
		if !end.IsZero() && !end.After(t) {
			// Beyond the last transition listed, Go gives bounds by the year
			// and has the year end after 365 days.
			end = time.Date(t.UTC().Year()+1, time.January, 1, 0, 0, 0, 0, time.UTC)
		}
		if end.IsZero() || at.Before(end) {
			return at.UTC(), shown
		}
		t = end
	}
}

// widestOffset is more than any zone was ever from UTC: the zone database
// knows offsets up to 16 hours, its rules allow 25.
const widestOffset = 26 * time.Hour

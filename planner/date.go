package planner

import (
	"cmp"
	"errors"
	"fmt"
	"time"
)

// Date is a day of the proleptic Gregorian calendar, wherever it is that day.
// The zero value is no day.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// DateOf returns the date that an instant has in its own location.
func DateOf(t time.Time) Date {
	y, m, d := t.Date()
	return Date{y, m, d}
}

// IsZero reports that it is no day.
func (d Date) IsZero() bool { return d == Date{} }

// Valid reports that it is a day of the years 1 to 9999, those that can be
// written.
func (d Date) Valid() bool {
	return 1 <= d.Year && d.Year <= 9999 && DateOf(d.Noon()) == d
}

// Noon is an instant of the day that no rule about clocks touches.
func (d Date) Noon() time.Time { return time.Date(d.Year, d.Month, d.Day, 12, 0, 0, 0, time.UTC) }

// AddDays returns the day n days later.
func (d Date) AddDays(n int) Date { return DateOf(d.Noon().AddDate(0, 0, n)) }

// Number counts the days of the calendar. A time.Duration would end after 292
// years.
func (d Date) Number() int { return int((d.Noon().Unix() - noonOfEpoch) / secondsPerDay) }

const (
	secondsPerDay = 24 * 60 * 60
	noonOfEpoch   = secondsPerDay / 2
)

// DaysTo returns how many days later another day is, negative where it is
// earlier.
func (d Date) DaysTo(other Date) int { return other.Number() - d.Number() }

// Before reports that a day is earlier than another.
func (d Date) Before(other Date) bool {
	return cmp.Or(cmp.Compare(d.Year, other.Year), cmp.Compare(d.Month, other.Month), cmp.Compare(d.Day, other.Day)) < 0
}

// Weekday returns the day of the week.
func (d Date) Weekday() time.Weekday { return d.Noon().Weekday() }

// String prints the day as ISO 8601 has it: "2026-03-02"; nothing for no day.
func (d Date) String() string {
	if d.IsZero() {
		return ""
	}
	return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day)
}

// ParseDate reads what String prints.
func ParseDate(s string) (Date, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return Date{}, fmt.Errorf("planner: no date: %w", err)
	}
	return DateOf(t), nil
}

// MarshalText is String. A date that could not be read again is an error.
func (d Date) MarshalText() ([]byte, error) {
	if !d.IsZero() && !d.Valid() {
		return nil, errors.New("planner: no day of the calendar")
	}
	return []byte(d.String()), nil
}

// UnmarshalText reads what MarshalText wrote.
func (d *Date) UnmarshalText(b []byte) (err error) {
	if len(b) == 0 {
		*d = Date{}
		return nil
	}
	*d, err = ParseDate(string(b))
	return err
}

// Clock is a time of day as a clock on the wall shows it, in minutes after
// midnight, 0-1439.
type Clock int

// At returns the clock of an hour and a minute.
func At(hour, minute int) Clock { return Clock(hour*60 + minute) }

// ClockOf returns what a clock shows at an instant, in its own location.
func ClockOf(t time.Time) Clock {
	hour, minute, _ := t.Clock()
	return At(hour, minute)
}

// Hour and Minute are the two figures of the clock.
func (c Clock) Hour() int { return int(c) / 60 }

func (c Clock) Minute() int { return int(c) % 60 }

// Valid reports that a clock can show it.
func (c Clock) Valid() bool { return 0 <= c && c < minutesPerDay }

const minutesPerDay = 24 * 60

// String prints "07:30".
func (c Clock) String() string { return fmt.Sprintf("%02d:%02d", c.Hour(), c.Minute()) }

// MarshalText is String. A clock that could not be read again is an error.
func (c Clock) MarshalText() ([]byte, error) {
	if !c.Valid() {
		return nil, errors.New("planner: no time of day")
	}
	return []byte(c.String()), nil
}

// ParseClock reads what String prints.
func ParseClock(s string) (c Clock, err error) {
	err = c.UnmarshalText([]byte(s))
	return c, err
}

// UnmarshalText reads what MarshalText wrote.
func (c *Clock) UnmarshalText(b []byte) error {
	t, err := time.Parse("15:04", string(b))
	if err != nil {
		return fmt.Errorf("planner: no time of day: %w", err)
	}
	*c = ClockOf(t)
	return nil
}

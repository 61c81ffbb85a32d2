package planner_test

import (
	"encoding/json"
	"testing"
	"time"

	"bowlwright/planner"
)

// The days between dates were reckoned with Python's datetime.
func TestDate(t *testing.T) {
	for _, c := range []struct {
		a, b string
		days int
	}{
		{"2026-03-02", "2026-03-02", 0},
		{"2026-03-02", "2026-03-01", -1},
		{"2028-02-28", "2028-03-01", 2},
		{"2026-12-31", "2027-01-01", 1},
		{"1582-10-04", "1582-10-15", 11}, // the calendar goes back as it is now
		{"0001-01-01", "9999-12-31", 3652058},
		{"9999-12-31", "0001-01-01", -3652058},
	} {
		a, b := day(t, c.a), day(t, c.b)
		if got := a.DaysTo(b); got != c.days {
			t.Errorf("%s to %s: %d days, want %d", c.a, c.b, got, c.days)
		}
		if got := a.AddDays(c.days); got != b {
			t.Errorf("%s and %d days: %v, want %s", c.a, c.days, got, c.b)
		}
		if got := a.Before(b); got != (c.days > 0) {
			t.Errorf("%s before %s: %v", c.a, c.b, got)
		}
		if got := a.String(); got != c.a {
			t.Errorf("%s prints as %s", c.a, got)
		}
	}
	if got := day(t, "2026-03-02").Weekday(); got != time.Monday {
		t.Errorf("2026-03-02 is a %v", got)
	}
	for _, bad := range []string{"2026-02-29", "2026-13-01", "2026-3-2", "02.03.2026", "10000-01-01", " 2026-03-02"} {
		if d, err := planner.ParseDate(bad); err == nil {
			t.Errorf("%q was read as %v", bad, d)
		}
	}
}

func TestDateAndClockInJSON(t *testing.T) {
	type kept struct {
		Date  planner.Date            `json:"date"`
		Until planner.Date            `json:"until,omitzero"`
		Clock planner.Clock           `json:"clock"`
		On    map[planner.Date]string `json:"on"`
	}
	const text = `{"date":"2026-03-02","clock":"07:05","on":{"2026-03-03":"r1"}}`
	var k kept
	if err := json.Unmarshal([]byte(text), &k); err != nil {
		t.Fatal(err)
	}
	if back, err := json.Marshal(k); err != nil || string(back) != text {
		t.Errorf("back: %s %v", back, err)
	}
	// What could not be read again is not written.
	for name, v := range map[string]any{
		"30 February":  planner.Date{Year: 2026, Month: 2, Day: 30},
		"year 10000":   planner.Date{Year: 10000, Month: 1, Day: 1},
		"year 0":       planner.Date{Year: 0, Month: 1, Day: 1},
		"24:00":        planner.Clock(1440),
		"a minute ago": planner.Clock(-1),
	} {
		if b, err := json.Marshal(v); err == nil {
			t.Errorf("%s was written as %s", name, b)
		}
	}
	for _, bad := range []string{"", "24:00", "7", "07:60", "-1:00", "07:30:00"} {
		if c, err := planner.ParseClock(bad); err == nil {
			t.Errorf("%q was read as %v", bad, c)
		}
	}
	for c := planner.Clock(0); c.Valid(); c++ {
		if back, err := planner.ParseClock(c.String()); err != nil || back != c {
			t.Fatalf("%v: back %v %v", c, back, err)
		}
	}
}

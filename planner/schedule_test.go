package planner_test

import (
	"errors"
	"slices"
	"testing"
	"time"

	"github.com/robfig/cron/v3"

	"bowlwright/planner"
)

var _ cron.Schedule = planner.Timetable{}

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	loc, ok := planner.LoadZone(name)
	if !ok {
		t.Fatalf("no zone %s", name)
	}
	return loc
}

func day(t testing.TB, s string) planner.Date {
	t.Helper()
	d, err := planner.ParseDate(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func instant(t testing.TB, s string) time.Time {
	t.Helper()
	at, err := time.Parse(time.RFC3339, s)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// The instants are worked out by hand from the changes that the IANA time
// zone database has for these zones.
func TestNextWhereClocksChange(t *testing.T) {
	daily := func(times ...planner.Clock) planner.Schedule {
		return planner.Schedule{EveryDays: 1, Anchor: planner.Date{Year: 2001, Month: 1, Day: 1}, Times: times}
	}
	every := func(n int, anchor string, times ...planner.Clock) planner.Schedule {
		return planner.Schedule{EveryDays: n, Anchor: day(t, anchor), Times: times}
	}
	for _, c := range []struct {
		name, zone string
		schedule   planner.Schedule
		after      string
		want       []string
	}{
		// 2026-03-29: 02:00 +01:00 becomes 03:00 +02:00.
		{"Berlin, a time that is skipped", "Europe/Berlin", daily(planner.At(2, 30)), "2026-03-28T12:00:00Z",
			[]string{"2026-03-29T01:00:00Z", "2026-03-30T00:30:00Z"}},
		{"Berlin, two times that are skipped", "Europe/Berlin", daily(planner.At(2, 15), planner.At(2, 45)), "2026-03-28T12:00:00Z",
			[]string{"2026-03-29T01:00:00Z", "2026-03-30T00:15:00Z", "2026-03-30T00:45:00Z"}},
		// 2026-10-25: 03:00 +02:00 becomes 02:00 +01:00.
		{"Berlin, a time that comes twice", "Europe/Berlin", daily(planner.At(2, 30)), "2026-10-24T12:00:00Z",
			[]string{"2026-10-25T00:30:00Z", "2026-10-26T01:30:00Z"}},
		{"Berlin, between the two", "Europe/Berlin", daily(planner.At(2, 30)), "2026-10-25T01:00:00Z",
			[]string{"2026-10-26T01:30:00Z"}},
		// 2026-04-24: 00:00 +02:00 becomes 01:00 +03:00; 2026-10-30: 00:00 +03:00 becomes 23:00 +02:00 of the 29th.
		{"Cairo, midnight is skipped", "Africa/Cairo", daily(0), "2026-04-23T12:00:00Z",
			[]string{"2026-04-23T22:00:00Z", "2026-04-24T21:00:00Z"}},
		{"Cairo, the hour before midnight comes twice", "Africa/Cairo", daily(0, planner.At(23, 30)), "2026-10-29T12:00:00Z",
			[]string{"2026-10-29T20:30:00Z", "2026-10-29T22:00:00Z", "2026-10-30T21:30:00Z"}},
		// 2026-10-04: 02:00 +10:30 becomes 02:30 +11:00; 2026-04-05: 02:00 +11:00 becomes 01:30 +10:30.
		{"Lord Howe, half an hour is skipped", "Australia/Lord_Howe", daily(planner.At(1, 30), planner.At(2, 15), planner.At(2, 30)), "2026-10-03T12:00:00Z",
			[]string{"2026-10-03T15:00:00Z", "2026-10-03T15:30:00Z", "2026-10-04T14:30:00Z"}},
		{"Lord Howe, half an hour comes twice", "Australia/Lord_Howe", daily(planner.At(1, 30), planner.At(1, 45), planner.At(2, 0)), "2026-04-04T12:00:00Z",
			[]string{"2026-04-04T14:30:00Z", "2026-04-04T14:45:00Z", "2026-04-04T15:30:00Z", "2026-04-05T15:00:00Z"}},
		// Apia went from 2011-12-29 24:00 -10:00 to 2011-12-31 00:00 +14:00.
		{"Apia, the missing day of a daily series is not made up for", "Pacific/Apia", daily(planner.At(7, 30)), "2011-12-29T00:00:00Z",
			[]string{"2011-12-29T17:30:00Z", "2011-12-30T17:30:00Z", "2011-12-31T17:30:00Z"}},
		{"Apia, every 3 days on the missing day", "Pacific/Apia", every(3, "2011-12-27", planner.At(7, 30), planner.At(18, 0)), "2011-12-29T00:00:00Z",
			[]string{"2011-12-30T10:00:00Z", "2012-01-01T17:30:00Z", "2012-01-02T04:00:00Z"}},
		{"Apia, every 3 days around it", "Pacific/Apia", every(3, "2011-12-28", planner.At(7, 30)), "2011-12-29T00:00:00Z",
			[]string{"2011-12-30T17:30:00Z"}},
		{"Apia, once on the missing day", "Pacific/Apia", planner.Schedule{Once: true, Anchor: day(t, "2011-12-30"), Times: []planner.Clock{600}}, "2011-12-29T00:00:00Z",
			[]string{"2011-12-30T10:00:00Z", ""}},
		{"Kathmandu, +05:45", "Asia/Kathmandu", daily(planner.At(7, 30)), "2026-03-02T00:00:00Z",
			[]string{"2026-03-02T01:45:00Z", "2026-03-03T01:45:00Z"}},
		// 2028-03-25 is a Saturday on which 23:00 -02:00 becomes the 26th, 00:00 -01:00.
		{"Nuuk, the last hour is skipped", "America/Nuuk", daily(planner.At(23, 30)), "2028-03-25T12:00:00Z",
			[]string{"2028-03-26T01:00:00Z", "2028-03-27T00:30:00Z"}},
		{"Nuuk, the last hour is skipped and midnight due", "America/Nuuk", daily(0, planner.At(23, 30)), "2028-03-25T12:00:00Z",
			[]string{"2028-03-26T01:00:00Z", "2028-03-27T00:30:00Z", "2028-03-27T01:00:00Z"}},
		// Manila left 1844-12-31 out; the offset before was -15:56:08 (IANA: LMT).
		{"Manila, a last day of December left out", "Asia/Manila", planner.Schedule{MonthDay: 31, Anchor: day(t, "1844-10-01"), Times: []planner.Clock{720}}, "1844-12-02T00:00:00Z",
			[]string{"1844-12-31T15:56:08Z"}},
		// Go's bounds of an offset end on 30 December of leap years beyond its table.
		{"the last day of a leap year", "America/New_York", daily(planner.At(12, 0)), "2044-12-30T18:00:00Z",
			[]string{"2044-12-31T17:00:00Z", "2045-01-01T17:00:00Z", "2045-01-02T17:00:00Z"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			at := instant(t, c.after)
			for _, want := range c.want {
				got := c.schedule.In(zone(t, c.zone)).Next(at)
				if want == "" && !got.IsZero() || want != "" && !got.Equal(instant(t, want)) {
					t.Fatalf("after %v: got %v, want %s", at, got, want)
				}
				at = got
			}
		})
	}
}

// Of times that come to the same instant the last remains.
func TestSameInstant(t *testing.T) {
	times := []planner.Clock{planner.At(2, 15), planner.At(2, 45), planner.At(3, 0)}
	for n, want := range map[int]planner.Clock{2: planner.At(2, 45), 3: planner.At(3, 0)} {
		s := planner.Schedule{EveryDays: 1, Anchor: day(t, "2026-03-02"), Times: times[:n]}
		m, ok := s.In(zone(t, "Europe/Berlin")).NextMoment(instant(t, "2026-03-28T12:00:00Z"))
		if !ok || m.Clock != want || !m.At.Equal(instant(t, "2026-03-29T01:00:00Z")) {
			t.Errorf("%d times: got %v", n, m)
		}
	}
}

func TestNextDays(t *testing.T) {
	noon := []planner.Clock{planner.At(12, 0)}
	for _, c := range []struct {
		name     string
		schedule planner.Schedule
		after    string
		want     []string
	}{
		{"every 3 days, before the anchor", planner.Schedule{EveryDays: 3, Anchor: day(t, "2026-03-02")}, "1900-01-01",
			[]string{"2026-03-02", "2026-03-05", "2026-03-08"}},
		{"every 366 days, centuries on", planner.Schedule{EveryDays: 366, Anchor: day(t, "2026-03-02")}, "2999-01-01",
			[]string{"2999-03-07", "3000-03-08"}}, // reckoned with Python's datetime
		{"until", planner.Schedule{EveryDays: 2, Anchor: day(t, "2026-03-02"), Until: day(t, "2026-03-05")}, "2026-03-03",
			[]string{"2026-03-04", ""}},
		{"weekdays in any order", planner.Schedule{Weekdays: []time.Weekday{5, 1}, Anchor: day(t, "2026-03-03")}, "2026-01-01",
			[]string{"2026-03-06", "2026-03-09", "2026-03-13"}},
		{"monthly on the 31st", planner.Schedule{MonthDay: 31, Anchor: day(t, "2027-12-31")}, "2026-01-01",
			[]string{"2027-12-31", "2028-01-31", "2028-02-29", "2028-03-31", "2028-04-30"}},
		{"monthly on the 1st", planner.Schedule{MonthDay: 1, Anchor: day(t, "2026-03-02")}, "2026-01-01",
			[]string{"2026-04-01", "2026-05-01"}},
		{"every 3 months on the 31st", planner.Schedule{MonthDay: 31, Months: 3, Anchor: day(t, "2027-11-30")}, "2026-01-01",
			[]string{"2027-11-30", "2028-02-29", "2028-05-31", "2028-08-31"}},
		{"every 5 months, centuries on", planner.Schedule{MonthDay: 1, Months: 5, Anchor: day(t, "2026-03-02")}, "2999-01-01",
			[]string{"2999-03-01", "2999-08-01", "3000-01-01"}}, // 11,675 months after April 2026
		{"once", planner.Schedule{Once: true, Anchor: day(t, "2026-03-06")}, "2026-03-01", []string{"2026-03-06", ""}},
		{"nothing said", planner.Schedule{Anchor: day(t, "2026-03-06")}, "2026-03-01", []string{""}},
		{"no first day", planner.Schedule{EveryDays: 1}, "2026-03-01", []string{""}},
		{"no day of the week", planner.Schedule{Weekdays: []time.Weekday{9}, Anchor: day(t, "2026-03-06")}, "2026-03-01", []string{""}},
		{"the end of years", planner.Schedule{EveryDays: 2, Anchor: day(t, "2026-03-02")}, "9999-12-30", []string{"9999-12-31", ""}},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.schedule.Times = noon
			at := instant(t, c.after+"T00:00:00Z")
			for _, want := range c.want {
				m, ok := c.schedule.In(time.UTC).NextMoment(at)
				if m.Date.String() != want || ok != (want != "") || ok && planner.ClockOf(m.At) != noon[0] {
					t.Fatalf("after %v: got %v %v, want %s", at, m, ok, want)
				}
				at = m.At
			}
		})
	}
}

// A schedule's own zone is stronger than the household's, and one that is not
// known counts as none.
func TestScheduleZone(t *testing.T) {
	s := planner.Schedule{EveryDays: 1, Anchor: day(t, "2026-01-01"), Times: []planner.Clock{planner.At(7, 30)}}
	from := instant(t, "2026-03-02T00:00:00Z")
	for own, want := range map[string]string{
		"":             "2026-03-02T06:30:00Z",
		"Asia/Tokyo":   "2026-03-02T22:30:00Z",
		"Nowhere/Else": "2026-03-02T06:30:00Z",
		"Local":        "2026-03-02T06:30:00Z",
	} {
		s.Zone = own
		if got := s.In(zone(t, "Europe/Oslo")).Next(from); !got.Equal(instant(t, want)) {
			t.Errorf("zone %q: got %v, want %s", own, got, want)
		}
	}
	s.Zone = ""
	if got := s.In(nil).Next(from); !got.Equal(instant(t, "2026-03-02T07:30:00Z")) {
		t.Errorf("no zone: got %v", got)
	}
	s.Times = []planner.Clock{planner.At(18, 0), planner.At(7, 30), -1, 5000}
	if got := s.In(time.UTC).Next(from); !got.Equal(instant(t, "2026-03-02T07:30:00Z")) {
		t.Errorf("times out of order: got %v", got)
	}
	if !slices.Equal(s.Times, []planner.Clock{planner.At(18, 0), planner.At(7, 30), -1, 5000}) {
		t.Errorf("the caller's times were put in order: %v", s.Times)
	}
}

func TestScheduleValidate(t *testing.T) {
	today := day(t, "2026-03-02")
	good := planner.Schedule{EveryDays: 3, Anchor: today, Times: []planner.Clock{planner.At(7, 30), planner.At(18, 0)}}
	with := func(change func(s *planner.Schedule)) planner.Schedule {
		s := good
		change(&s)
		return s
	}
	for name, c := range map[string]struct {
		schedule planner.Schedule
		field    string
		code     planner.FieldCode
	}{
		"right":               {good, "", ""},
		"every 366 days":      {with(func(s *planner.Schedule) { s.EveryDays = 366 }), "", ""},
		"every 0 days":        {with(func(s *planner.Schedule) { s.EveryDays = 0 }), "every-days", planner.FieldZero},
		"every -1 days":       {with(func(s *planner.Schedule) { s.EveryDays = -1 }), "every-days", planner.FieldNegative},
		"every 10,000 days":   {with(func(s *planner.Schedule) { s.EveryDays = 10000 }), "every-days", planner.FieldTooLarge},
		"said twice":          {with(func(s *planner.Schedule) { s.Once = true }), "every-days", planner.FieldAtOdds},
		"weekday 7":           {with(func(s *planner.Schedule) { s.EveryDays, s.Weekdays = 0, []time.Weekday{7} }), "weekdays", planner.FieldUnknown},
		"Monday twice":        {with(func(s *planner.Schedule) { s.EveryDays, s.Weekdays = 0, []time.Weekday{1, 1} }), "weekdays", planner.FieldAtOdds},
		"the 32nd":            {with(func(s *planner.Schedule) { s.EveryDays, s.MonthDay = 0, 32 }), "month-day", planner.FieldTooLarge},
		"the -1st":            {with(func(s *planner.Schedule) { s.EveryDays, s.MonthDay = 0, -1 }), "month-day", planner.FieldNegative},
		"no first day":        {with(func(s *planner.Schedule) { s.Anchor = planner.Date{} }), "anchor", planner.FieldMissing},
		"30 February":         {with(func(s *planner.Schedule) { s.Anchor = planner.Date{Year: 2026, Month: 2, Day: 30} }), "anchor", planner.FieldUnknown},
		"a century and more":  {with(func(s *planner.Schedule) { s.Anchor.Year = 2127 }), "anchor", planner.FieldTooLarge},
		"long ago":            {with(func(s *planner.Schedule) { s.Anchor.Year = 1925 }), "anchor", planner.FieldTooSmall},
		"ends before":         {with(func(s *planner.Schedule) { s.Until = day(t, "2026-03-01") }), "until", planner.FieldAtOdds},
		"ends on no day":      {with(func(s *planner.Schedule) { s.Until = planner.Date{Year: 2026, Month: 13, Day: 1} }), "until", planner.FieldUnknown},
		"has ended":           {with(func(s *planner.Schedule) { s.Anchor, s.Until = day(t, "2026-01-01"), day(t, "2026-01-09") }), "", ""},
		"once, yesterday":     {with(func(s *planner.Schedule) { s.EveryDays, s.Once, s.Anchor = 0, true, day(t, "2026-03-01") }), "anchor", planner.FieldPast},
		"once, today":         {with(func(s *planner.Schedule) { s.EveryDays, s.Once = 0, true }), "", ""},
		"no times":            {with(func(s *planner.Schedule) { s.Times = nil }), "times", planner.FieldMissing},
		"a time twice":        {with(func(s *planner.Schedule) { s.Times = []planner.Clock{450, 450} }), "times", planner.FieldAtOdds},
		"times falling":       {with(func(s *planner.Schedule) { s.Times = []planner.Clock{450, 400} }), "times", planner.FieldAtOdds},
		"24:00":               {with(func(s *planner.Schedule) { s.Times = []planner.Clock{1440} }), "times", planner.FieldTooLarge},
		"before midnight":     {with(func(s *planner.Schedule) { s.Times = []planner.Clock{-1} }), "times", planner.FieldNegative},
		"25 times":            {with(func(s *planner.Schedule) { s.Times = make([]planner.Clock, 25) }), "times", planner.FieldTooLarge},
		"a zone there is":     {with(func(s *planner.Schedule) { s.Zone = "Europe/Oslo" }), "", ""},
		"no such zone":        {with(func(s *planner.Schedule) { s.Zone = "Europe/Atlantis" }), "zone", planner.FieldUnknown},
		"the machine's zone":  {with(func(s *planner.Schedule) { s.Zone = "Local" }), "zone", planner.FieldUnknown},
		"a path, not a zone":  {with(func(s *planner.Schedule) { s.Zone = "../zoneinfo/Europe/Oslo" }), "zone", planner.FieldUnknown},
		"every 13 months":     {with(func(s *planner.Schedule) { s.EveryDays, s.MonthDay, s.Months = 0, 1, 13 }), "months", planner.FieldTooLarge},
		"last day of a month": {with(func(s *planner.Schedule) { s.EveryDays, s.MonthDay = 0, 31 }), "", ""},
	} {
		err := c.schedule.Validate(today)
		var field *planner.FieldError
		switch {
		case c.field == "" && err != nil:
			t.Errorf("%s: %v", name, err)
		case c.field != "" && (!errors.As(err, &field) || *field != planner.FieldError{Field: c.field, Code: c.code}):
			t.Errorf("%s: got %v, want %s %s", name, err, c.field, c.code)
		}
	}
}

func TestSpread(t *testing.T) {
	for _, c := range []struct {
		n     int
		first time.Weekday
		want  []time.Weekday
	}{
		{1, time.Thursday, []time.Weekday{4}},
		{2, time.Monday, []time.Weekday{1, 4}},
		{3, time.Monday, []time.Weekday{1, 3, 5}},
		{4, time.Saturday, []time.Weekday{0, 2, 4, 6}},
		{7, time.Friday, []time.Weekday{0, 1, 2, 3, 4, 5, 6}},
		{0, time.Friday, []time.Weekday{5}},
		{99, time.Friday, []time.Weekday{0, 1, 2, 3, 4, 5, 6}},
	} {
		if got := planner.Spread(c.n, c.first); !slices.Equal(got, c.want) {
			t.Errorf("%d from %v: got %v, want %v", c.n, c.first, got, c.want)
		}
	}
	// Even: the days between two times differ by at most one.
	for n := 1; n <= 7; n++ {
		for first := time.Sunday; first <= time.Saturday; first++ {
			days := planner.Spread(n, first)
			if len(days) != n || !slices.Contains(days, first) || !slices.IsSorted(days) {
				t.Fatalf("%d from %v: %v", n, first, days)
			}
			for i, d := range days {
				if gap := (int(days[(i+1)%n]-d)+6)%7 + 1; gap < 7/n || gap > (7+n-1)/n {
					t.Errorf("%d from %v: %v, %d days apart", n, first, days, gap)
				}
			}
		}
	}
}

func TestFromCadence(t *testing.T) {
	monday, times := day(t, "2026-03-02"), []planner.Clock{planner.At(7, 30)}
	for name, c := range map[string]struct {
		cadence planner.Cadence
		want    []string // the first four days
	}{
		"every day":          {planner.Cadence{}, []string{"2026-03-02", "2026-03-03", "2026-03-04", "2026-03-05"}},
		"every 3 days":       {planner.Cadence{EveryDays: 3}, []string{"2026-03-02", "2026-03-05", "2026-03-08", "2026-03-11"}},
		"Tuesdays":           {planner.Cadence{Weekdays: []time.Weekday{2}}, []string{"2026-03-03", "2026-03-10", "2026-03-17", "2026-03-24"}},
		"twice a week":       {planner.Cadence{PerWeek: 2}, []string{"2026-03-02", "2026-03-05", "2026-03-09", "2026-03-12"}},
		"seven times a week": {planner.Cadence{PerWeek: 7}, []string{"2026-03-02", "2026-03-03", "2026-03-04", "2026-03-05"}},
	} {
		s := planner.FromCadence(c.cadence, monday, times)
		if err := s.Validate(monday); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		at := instant(t, "2026-03-01T00:00:00Z")
		for _, want := range c.want {
			m, _ := s.In(time.UTC).NextMoment(at)
			if m.Date.String() != want {
				t.Errorf("%s: got %v, want %s", name, m.Date, want)
			}
			at = m.At
		}
	}
}

func BenchmarkNext(b *testing.B) {
	s := planner.Schedule{EveryDays: 3, Anchor: planner.Date{Year: 1926, Month: 3, Day: 2}, Times: []planner.Clock{planner.At(7, 30), planner.At(18, 0)}}
	for _, name := range []string{"UTC", "Europe/Berlin", "Asia/Kathmandu"} {
		table := s.In(zone(b, name))
		b.Run(name, func(b *testing.B) {
			at := instant(b, "2026-03-02T00:00:00Z")
			b.ReportAllocs()
			for b.Loop() {
				table.Next(at)
			}
		})
	}
}

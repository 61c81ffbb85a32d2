package read

import (
	"testing"
	"time"

	"bowlwright/planner"
)

// TestPastSpan reads spans; 4 March 2026 is a Wednesday. "-" is none.
func TestPastSpan(t *testing.T) {
	now := time.Date(2026, 3, 4, 9, 0, 0, 0, time.UTC)
	for text, want := range map[string]string{
		"1 to 14 February":             "2026-02-01 2026-02-14",
		"1 - 14 February":              "2026-02-01 2026-02-14",
		"1-14 Feb":                     "2026-02-01 2026-02-14",
		"from 28 to 3 January":         "2025-12-28 2026-01-03",
		"28 December to 3 January":     "2025-12-28 2026-01-03",
		"from 20 February until today": "2026-02-20 2026-03-04",
		"last 10 days":                 "2026-02-23 2026-03-04",
		"the past two weeks":           "2026-02-19 2026-03-04",
		"for a week":                   "2026-02-26 2026-03-04",
		"last week":                    "2026-02-26 2026-03-04",
		"last month":                   "2026-02-03 2026-03-04",
		"since Monday":                 "2026-03-02 2026-03-04",
		"Friday to Sunday":             "2026-02-27 2026-03-01",
		"Friday to Monday":             "2026-02-27 2026-03-02",
		"last weekend":                 "2026-02-28 2026-03-01",
		"yesterday":                    "2026-03-03 2026-03-03",
		"today":                        "2026-03-04 2026-03-04",
		"this week":                    "2026-03-02 2026-03-04",
		"on Sunday":                    "2026-03-01 2026-03-01",
		"2026-01-01 to 2026-01-05":     "2026-01-01 2026-01-05",
		"14 to 1 March 2027":           "-",
		"tomorrow":                     "-",
		"31 to 31 February":            "-",
		"days":                         "-",
		"last 900 days":                "-",
		"grapes":                       "-",
		"":                             "-",
	} {
		from, until, ok := PastSpan(text, now)
		got := "-"
		if ok {
			got = from.String() + " " + until.String()
		}
		if got != want {
			t.Errorf("%q = %s, want %s", text, got, want)
		}
	}
}

func FuzzPastSpan(f *testing.F) {
	for _, s := range []string{"1 to 14 March", "last 10 days", "since Monday", "28 to 3 April"} {
		f.Add(s)
	}
	now := time.Date(2026, 3, 4, 9, 0, 0, 0, time.UTC)
	f.Fuzz(func(t *testing.T, s string) {
		from, until, ok := PastSpan(s, now)
		if ok && (until.Before(from) || planner.DateOf(now).Before(until)) {
			t.Errorf("%q = %s to %s", s, from, until)
		}
	})
}

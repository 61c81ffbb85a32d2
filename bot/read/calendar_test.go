package read

import (
	"testing"
	"time"

	"bowlwright/planner"
)

func TestPastDayOfTheCalendar(t *testing.T) {
	now := time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)
	day := func(y int, m time.Month, d int) planner.Date { return planner.Date{Year: y, Month: m, Day: d} }
	for said, want := range map[string]planner.Date{
		"19 april": day(2025, 4, 19), "sunday, 1 march": day(2026, 3, 1), "sunday, 19 april": day(2025, 4, 19), "the 20": day(2026, 2, 20), "20.": day(2026, 2, 20), "1st": day(2026, 3, 1),
		"31st": day(2026, 1, 31), "31.12.": day(2025, 12, 31), "25/12": day(2025, 12, 25), "14-09-2019": day(2019, 9, 14), "29 february": day(2024, 2, 29),
		"20": {}, "sunday 3": {}, "monday 4th": {}, "80/20": {}, "17.30.": {}, "3/4": {}, "30 february": {}, "1.2.3": {},
	} {
		if got, ok := pastDay(said, now); got.Date != want || ok != (want != planner.Date{}) {
			t.Errorf("%q: %v %v, want %v", said, got.Date, ok, want)
		}
	}
}

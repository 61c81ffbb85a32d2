package planner_test

import (
	"slices"
	"testing"
	"time"

	"bowlwright/planner"
)

// TestMealTimes checks that every number of meals has as many times, rising,
// within the waking day.
func TestMealTimes(t *testing.T) {
	for n := -1; n <= 9; n++ {
		times := planner.DefaultMealTimes(n)
		if len(times) != min(max(n, 1), 6) || !slices.IsSorted(times) || len(slices.Compact(slices.Clone(times))) != len(times) {
			t.Errorf("%d meals: %v", n, times)
		}
		if times[0] != planner.At(7, 30) || times[len(times)-1] > planner.At(20, 0) {
			t.Errorf("%d meals: %v", n, times)
		}
	}
	set := planner.Dog{Meals: 3, FeedAt: []planner.Clock{planner.At(6, 15)}}
	if got := set.MealTimes(); len(got) != 1 || got[0] != planner.At(6, 15) {
		t.Errorf("times that were set: %v", got)
	}
	if got := (planner.Dog{}).MealTimes(); !slices.Equal(got, []planner.Clock{planner.At(7, 30), planner.At(18, 0)}) {
		t.Errorf("nothing known: %v", got)
	}
}

// TestMadeReminders checks that what is made can be kept and falls due on the
// days that the calendar says: 2 March 2026 is a Monday.
func TestMadeReminders(t *testing.T) {
	now := time.Date(2026, 3, 2, 7, 45, 0, 0, time.UTC)
	today := planner.DateOf(now)
	dose := planner.Dose{Food: "vitamin-e", Cadence: planner.Cadence{EveryDays: 3}}
	for _, row := range []struct {
		name  string
		r     planner.Reminder
		first string
	}{
		{"dose", planner.FromDose(dose, "d1", today.AddDays(1), now), "2026-03-03T07:30"},
		{"weigh-in", planner.CheckIn(today, now), "2026-03-08T09:00"},
		{"condition", planner.ConditionCheck(today, now), "2026-04-01T09:00"},
	} {
		if err := row.r.Schedule.Validate(today); err != nil {
			t.Errorf("%s: %v", row.name, err)
		}
		m, ok := row.r.Schedule.In(time.UTC).NextMoment(now)
		if got := m.Date.String() + "T" + m.Clock.String(); !ok || got != row.first {
			t.Errorf("%s: first %s, want %s", row.name, got, row.first)
		}
	}
}

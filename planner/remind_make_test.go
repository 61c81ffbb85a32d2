package planner_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

func TestMealsByAge(t *testing.T) {
	d := planner.Dog{Born: time.Date(2026, 1, 10, 0, 0, 0, 0, time.UTC)}
	for _, c := range []struct {
		month time.Month
		day   int
		want  int
	}{{3, 1, 4}, {5, 9, 4}, {5, 10, 3}, {7, 9, 3}, {7, 10, 2}, {12, 1, 2}} {
		if got := planner.MealsByAge(d, time.Date(2026, c.month, c.day, 23, 0, 0, 0, time.UTC)); got != c.want {
			t.Errorf("%v %d: %d meals, want %d", c.month, c.day, got, c.want)
		}
	}
	if got := planner.MealsByAge(planner.Dog{}, time.Now()); got != 2 {
		t.Errorf("age not known: %d meals", got)
	}
}

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

// TestDoseInPieces checks that a dose for each 1000 kcal comes out in pieces
// that can be given, with the amounts of just those.
func TestDoseInPieces(t *testing.T) {
	for _, row := range []struct {
		form         string
		count, kcal  float64
		want, active float64 // of 100 a piece
	}{
		{"capsule", 2, 1025, 2, 200}, {"capsule", 2, 435, 1, 100}, {"capsule", 1, 200, 1, 100}, {"capsule", 1, 1600, 2, 200},
		{"tablet", 1, 700, 0.5, 50}, {"tablet", 1, 760, 1, 100}, {"tablet", 1, 100, 0.5, 50}, {"tsp", 1, 700, 0.7, 70},
	} {
		d := planner.Dose{Food: "zinc", Form: row.form, Count: row.count, Per1000: true,
			Amounts: []planner.Amount{{Nutrient: nutrition.Zinc, Amount: 100 * row.count}}}
		got := d.For(nutrition.Kcal(row.kcal))
		if math.Abs(got.Count-row.want) > 1e-9 || math.Abs(got.Amounts[0].Amount-row.active) > 1e-9 || got.Per1000 {
			t.Errorf("%g × %s for %g kcal: %g of %g", row.count, row.form, row.kcal, got.Count, got.Amounts[0].Amount)
		}
	}
	once := planner.Dose{Form: "capsule", Count: 1.5}
	if got := once.For(2000); got.Count != 1.5 {
		t.Errorf("a dose for the dog itself became %g", got.Count)
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

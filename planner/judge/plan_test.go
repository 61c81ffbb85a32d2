package judge

import (
	"math"
	"testing"

	"bowlwright/planner"
)

// TestTargetKcal works the goals by hand. 16 kg^0.75 is 8; a change of 1 % of
// 16 kg a week is 0.16 x 7350 / 7 = 168 kcal a day.
func TestTargetKcal(t *testing.T) {
	at := func(kg, k float64) Posterior {
		return Posterior{Mean: k, Weight: kilos(kg), WeighIns: 5, low: k - 1, step: 1, mass: []float64{0, 1, 0}}
	}
	dog := func(goal planner.Goal, kg float64) planner.Dog {
		return planner.Dog{Weight: kilos(kg), Goal: goal, Condition: 5, Born: bornYears(4), Activity: planner.ModerateCalm}
	}
	for _, c := range []struct {
		name    string
		dog     planner.Dog
		ideal   float64
		k, want float64
		goal    planner.Goal
		resting bool
		reached bool
	}{
		{"hold", dog(planner.HoldGoal, 16), 16, 110, 880, planner.HoldGoal, false, false},
		{"lose 1.5 % a week", dog(planner.LoseGoal, 16), 12, 120, 960 - 252, planner.LoseGoal, false, false},
		{"lose, but resting energy of 13 kg is the least", dog(planner.LoseGoal, 16), 13, 80, 70 * math.Pow(13, 0.75), planner.LoseGoal, true, false},
		{"lose, reached", dog(planner.LoseGoal, 16), 16, 110, 880, planner.LoseGoal, false, true},
		{"gain 0.75 % a week", dog(planner.GainGoal, 16), 20, 110, 880 + 126, planner.GainGoal, false, false},
		{"hold, 6 % over: half a percent a week down", dog("", 17), 16, 110, 110*math.Pow(17, 0.75) - 89.25, planner.HoldGoal, false, false},
		{"hold, 6 % under: half a percent a week up", dog("", 15), 16, 110, 110*math.Pow(15, 0.75) + 78.75, planner.HoldGoal, false, false},
		{"hold, 3 % over: in eight weeks", dog("", 16.48), 16, 110, 110*math.Pow(16.48, 0.75) - 0.00375*16.48*7350/7, planner.HoldGoal, false, false},
		{"hold, 1.9 % over: as at the goal", dog("", 16.3), 16, 110, 880, planner.HoldGoal, false, false},
	} {
		h := History{Ideal: kilos(c.ideal), Now: testNow}
		got := TargetKcal(c.dog, h, at(float64(c.dog.Weight), c.k))
		if !near(float64(got.Kcal), c.want, 1e-3) || got.Goal != c.goal || got.AtResting != c.resting || got.Reached != c.reached {
			t.Errorf("%s: %+v, want %.0f kcal", c.name, got, c.want)
		}
	}
	puppy := dog(planner.HoldGoal, 16)
	puppy.Born = testNow.AddDate(0, -5, 0)
	if g := GoalOf(puppy, testNow); g != planner.GrowGoal {
		t.Errorf("a puppy is to %s", g)
	}
	if g := GoalOf(bracken(), testNow); g != planner.LoseGoal {
		t.Errorf("Bracken is to %s", g)
	}
}

// TestPlanStart works starts by hand. 16 kg^0.75 is 8: the resting energy is
// 560 kcal, the equation for a dog prone to obesity gives 90 x 8 = 720, four
// fifths of which are 576.
func TestPlanStart(t *testing.T) {
	over := func(kg float64, condition int) planner.Dog {
		return planner.Dog{Weight: kilos(kg), Ideal: 16, Condition: condition, Goal: planner.LoseGoal, Born: bornYears(5), Activity: planner.LowActivity}
	}
	ill, hold := over(20, 8), over(20, 8)
	ill.Health, hold.Goal = "kidney disease", planner.HoldGoal
	known := func(kg, k float64, days int) Posterior {
		return Posterior{Mean: k, Weight: kilos(kg), WeighIns: 5, Days: days, low: k - 1, step: 1, mass: []float64{0, 1, 0}}
	}
	for _, c := range []struct {
		name string
		dog  planner.Dog
		p    Posterior
		want float64
		from StartFrom
	}{
		{"25 % over", over(20, 7), Posterior{}, 560, FromResting},
		{"12 % over", over(18, 6), Posterior{}, 576, FromFed},
		{"a little over", over(17, 5), Posterior{}, 0, ""},
		{"ill", ill, Posterior{}, 0, ""},
		{"to hold", hold, Posterior{}, 0, ""},
		// 1.5 % of 20 kg a week are 0.3 x 7350 / 7 = 315 kcal a day.
		{"needs much", over(20, 7), known(20, 105, 28), 105*math.Pow(20, 0.75) - 315, FromScale},
		{"needs much, known for two weeks", over(20, 7), known(20, 105, 14), 560, FromResting},
		{"needs little", over(20, 7), known(20, 80, 28), 560, FromResting},
		{"needs very much: never more than the equation", over(20, 7), known(20, 130, 28), 720, FromScale},
	} {
		got, from := PlanStart(c.dog, History{Ideal: 16, Now: testNow}, c.p)
		if !near(float64(got), c.want, 1e-6) || from != c.from {
			t.Errorf("%s: %.1f kcal by %q, want %.1f by %q", c.name, got, from, c.want, c.from)
		}
	}
}

// TestReachNever: a dog that holds its weight on the floor, as it is or not far
// below, has no later day, and in the first case none at all.
func TestReachNever(t *testing.T) {
	d := planner.Dog{Weight: 20, Ideal: 16, Goal: planner.LoseGoal, Born: bornYears(4), Activity: planner.LowActivity, Kcal: 560}
	h := History{Ideal: 16, Now: testNow, Planned: d.Kcal}
	at := func(k ...float64) Posterior {
		return Posterior{Mean: k[0], At: testNow, Weight: 20, WeighIns: 8, low: k[0], step: k[1] - k[0], mass: []float64{0.5, 0.5}}
	}
	if r := ReachOf(d, h, at(50, 55)); !r.Known || !r.Early.IsZero() || !r.Late.IsZero() {
		t.Errorf("holds at once: %+v", r)
	}
	if r := ReachOf(d, h, at(60, 90)); !r.Known || r.Early.IsZero() || !r.Late.IsZero() {
		t.Errorf("may hold on the way: %+v", r)
	}
}

// TestReachOf compares the days with a plan that loses what it should: at
// 1.1 to 1.75 % a week, 20 % over takes ln 1.2 / 0.0175 = 10.4 to
// ln 1.2 / 0.011 = 16.6 weeks.
func TestReachOf(t *testing.T) {
	d := planner.Dog{Weight: 19.2, Ideal: 16, Goal: planner.LoseGoal, Born: bornYears(4), Activity: planner.ModerateCalm}
	p := Posterior{Mean: 115, At: testNow, Weight: 19.2, WeighIns: 8, low: 111, step: 4, mass: []float64{0.25, 0.5, 0.25}}
	d.Kcal = kcals(115*math.Pow(19.2, 0.75) - 0.015*19.2*1050)
	h := History{Ideal: 16, Now: testNow, Planned: d.Kcal}
	reach := ReachOf(d, h, p)
	if days := planner.DateOf(testNow).DaysTo(reach.Early); !reach.Known || days < 63 || days > 116 {
		t.Errorf("early after %d days", days)
	}
	if days := planner.DateOf(testNow).DaysTo(reach.Late); reach.Late.Before(reach.Early) || days > 130 {
		t.Errorf("late after %d days", days)
	}
	ill := d
	ill.Health = "kidney disease"
	hold := d
	hold.Goal = planner.HoldGoal
	for _, d := range []planner.Dog{ill, hold} {
		if r := ReachOf(d, h, p); r.Known || !r.Early.IsZero() || !r.Late.IsZero() {
			t.Errorf("%s, %s: has a day, %+v", d.Health, d.Goal, r)
		}
	}
	if r := ReachOf(d, h, Posterior{}); r.Known || !r.Late.IsZero() {
		t.Errorf("a day out of nothing: %+v", r)
	}
}

// A dog that is scored thin loses no more, whatever goal it was given.
func TestThinLosesNone(t *testing.T) {
	d := planner.Dog{Weight: 33, Ideal: 28, Goal: planner.LoseGoal, Condition: 4, Born: bornYears(8)}
	if got := GoalOf(d, testNow); got != planner.LoseGoal || d.PlanRests() {
		t.Errorf("condition 4: goal %q, plan rests %v", got, d.PlanRests())
	}
	d.Condition = planner.ThinCondition
	if got := GoalOf(d, testNow); got != planner.HoldGoal || !d.PlanRests() {
		t.Errorf("condition 3: goal %q, plan rests %v", got, d.PlanRests())
	}
}

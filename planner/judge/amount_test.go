package judge

import (
	"math"
	"testing"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

func fedJuniper() planner.Dog {
	d := juniper()
	d.FirstGoal(testNow)
	d.PutInForce(planner.NeedOf(d, testNow).Kcal, planner.OnEquation, "Ines", testNow.AddDate(0, 0, -60))
	return d
}

// TestAmountStands: nothing that becomes known of a dog moves what it is fed.
func TestAmountStands(t *testing.T) {
	d := fedJuniper()
	fed := d.Kcal
	for name, change := range map[string]func(*planner.Dog){
		"a gain": func(d *planner.Dog) { d.Weight = 23 }, "a loss": func(d *planner.Dog) { d.Weight = 17 },
		"activity": func(d *planner.Dog) { d.Activity = planner.HighActivity }, "condition": func(d *planner.Dog) { d.Condition = 8 },
		"a birthday": func(d *planner.Dog) { d.Born = bornYears(9) }, "a goal": func(d *planner.Dog) { d.SetGoal(15, planner.GoalSet) },
	} {
		changed := d
		change(&changed)
		if n := planner.AmountOf(changed, testNow); n.Kcal != fed {
			t.Errorf("%s: %v kcal, %v before", name, n.Kcal, fed)
		}
	}
	heavier := d
	heavier.Weight = 23
	if n := planner.NeedOf(heavier, testNow); n.Basis != 19.6 || n.Ideal != 19.6 {
		t.Errorf("a proposal goes by the goal weight: %+v", n)
	}
}

func TestProposeFor(t *testing.T) {
	d := fedJuniper()
	very := d
	very.Activity = planner.HighActivity
	p, ok := planner.ProposeFor(d, very, testNow)
	if want := 162.5 * math.Sqrt(19.6) * math.Sqrt(math.Sqrt(19.6)); !ok || !near(float64(p.Kcal), want, 1e-9) || p.From != d.Kcal {
		t.Errorf("very active: %+v %v, want %v", p, ok, want)
	}
	// What the scale has taught stays: it moves in proportion.
	own, ownVery := d, very
	own.PutInForce(900, planner.OnSuggestion, "", testNow)
	ownVery.PutInForce(900, planner.OnSuggestion, "", testNow)
	if p, ok := planner.ProposeFor(own, ownVery, testNow); !ok || !near(float64(p.Kcal), 900*162.5/110, 0.001) {
		t.Errorf("by its own scale: %+v %v", p, ok)
	}
	weighed, declined, ill, vets := d, very, very, very
	weighed.Weight = 22
	declined.InForce.Declined = p.Kcal
	ill.Health = "kidney disease"
	vets.PutInForce(d.Kcal, planner.OnVet, "", testNow)
	for name, after := range map[string]planner.Dog{"a weigh-in": weighed, "declined": declined, "ill": ill, "a vet's": vets, "nothing": d} {
		if p, ok := planner.ProposeFor(d, after, testNow); ok {
			t.Errorf("%s: proposes %+v", name, p)
		}
	}
	none := juniper()
	if _, ok := planner.ProposeFor(none, very, testNow); ok {
		t.Error("nothing is in force: the facts set it")
	}
}

func TestGoalByScore(t *testing.T) {
	for score, want := range map[int]nutrition.Kilograms{1: 20, 3: 20, 4: 20, 5: 20, 6: 18.2, 7: 16.7, 9: 14.3} {
		if got := planner.GoalByScore(planner.Dog{Weight: 20, Condition: score}); !near(float64(got), float64(want), 1e-9) {
			t.Errorf("condition %d: %v, want %v", score, got, want)
		}
	}
	d := planner.Dog{Weight: 24, Condition: 7}
	d.FirstGoal(testNow)
	d.Weight = 22
	if n := planner.NeedOf(d, testNow); n.Ideal != 20 || n.IdealFrom != "condition" || !near(float64(n.IdealLow), 24/1.3, 1e-9) {
		t.Errorf("the goal stays where it was scored: %+v", n)
	}
}

// TestScheduleOf: a puppy whose weigh-ins are missed is fed on as its band
// grows, never past its grown weight's need, and stands still out of the band.
func TestScheduleOf(t *testing.T) {
	born := testNow.AddDate(0, 0, -7*12)
	d := planner.Dog{Weight: 9, AdultWeight: 30, Born: born, Weighed: testNow, Condition: 5}
	d.PutInForce(planner.NeedOf(d, testNow).Kcal, planner.OnSchedule, "", testNow)
	last := d.Kcal
	for week := 1; week <= 60; week++ {
		now := testNow.AddDate(0, 0, 7*week)
		k, ok := planner.ScheduleOf(d, false, now)
		if !ok {
			break
		}
		if k > nutrition.GrowthStartEnergy(30, 30) || k < last {
			t.Errorf("week %d: %.0f kcal after %.0f", week, k, last)
		}
		d.PutInForce(k, planner.OnSchedule, "", now)
		last = k
	}
	if start := planner.NeedOf(planner.Dog{Weight: 9, AdultWeight: 30, Born: born, Condition: 5}, testNow).Kcal; last < 1.2*start {
		t.Errorf("nobody weighed it: %.0f kcal in the end, %.0f at the start", last, start)
	}
	high := d
	high.Kcal = 3000
	if k, _ := planner.ScheduleOf(high, false, testNow); k != nutrition.GrowthEnergy(9, 30) {
		t.Errorf("far too much: %.0f kcal, want the ceiling", k)
	}
	if _, ok := planner.ScheduleOf(d, true, testNow); ok {
		t.Error("out of its band it stands still")
	}
	if _, ok := planner.ScheduleOf(planner.Dog{Weight: 16, Stage: planner.Nursing, Sex: planner.Female, Kcal: 1500, ByVet: true}, false, testNow); ok {
		t.Error("a nursing bitch gets what her vet says")
	}
	nursing := planner.Dog{Weight: 16, Ideal: 16, Sex: planner.Female, Stage: planner.Nursing}
	nursing.PutInForce(1500, planner.OnVet, "", testNow)
	weaned := nursing
	weaned.Stage = ""
	if p, ok := planner.ProposeFor(nursing, weaned, testNow); !ok || !near(float64(p.Kcal), 110*8, 1e-9) {
		t.Errorf("weaned: %+v %v", p, ok)
	}
}

// TestPuppySchedule weighs puppies on the middle of their band, or a quarter of it
// to either side, until they are eighteen months old, and takes each step of the
// schedule that is one of 2 %: they are fed within a twentieth of the curve at
// their true weight, and never more than the curve gives at their grown weight.
func TestPuppySchedule(t *testing.T) {
	for _, adult := range []nutrition.Kilograms{3, 8, 20, 40, 65} {
		for _, along := range []nutrition.Kilograms{0.25, 0.5, 0.75} {
			for _, every := range []int{7, 14, 28} {
				d := planner.Dog{AdultWeight: adult, Born: testNow, Condition: 5}
				grown := nutrition.GrowthStartEnergy(adult, adult)
				weight := nutrition.Kilograms(0)
				for age := 7 * planner.BandFrom; age < 365*3/2 && planner.Growing(d, testNow.AddDate(0, 0, age)); age += 7 {
					now := testNow.AddDate(0, 0, age)
					if low, high, _, _, gap := planner.BandOf(d, now); gap == "" {
						weight = min(low+along*(high-low), adult)
					}
					if d.Weighed.IsZero() || age%every == 0 {
						d.Weight, d.Weighed = weight, now
					}
					if k, ok := planner.ScheduleOf(d, false, now); !ok {
						t.Fatalf("%v kg, day %d: no schedule", adult, age)
					} else if k/max(d.Kcal, 1) > 1.02 {
						d.PutInForce(k, planner.OnSchedule, "", now)
					}
					want := min(nutrition.GrowthStartEnergy(weight, adult), grown)
					if !near(float64(d.Kcal), float64(want), 0.05) || d.Kcal > grown {
						t.Errorf("%v kg at %v of its band, weighed every %d days, day %d, %.1f kg: fed %.0f kcal, want %.0f, at most %.0f", adult, along, every, age, weight, d.Kcal, want, grown)
					}
				}
				if along >= 0.5 && d.Kcal < 0.97*grown {
					t.Errorf("%v kg: in the end %.0f kcal, want about %.0f", adult, d.Kcal, grown)
				}
			}
		}
	}
}

func TestNextStage(t *testing.T) {
	d := planner.Dog{Weight: 20, Born: time.Date(2024, 2, 29, 0, 0, 0, 0, time.UTC)}
	for _, c := range []struct{ after, want planner.Date }{
		{planner.Date{Year: 2024, Month: 6, Day: 1}, planner.Date{Year: 2025, Month: 3, Day: 1}}, {planner.Date{Year: 2025, Month: 3, Day: 1}, planner.Date{Year: 2031, Month: 3, Day: 2}},
	} {
		at := time.Date(c.after.Year, c.after.Month, c.after.Day, 9, 0, 0, 0, time.UTC)
		if got, ok := planner.NextStage(d, at); !ok || got != c.want {
			t.Errorf("after %v: %v %v, want %v", c.after, got, ok, c.want)
		}
	}
	if _, ok := planner.NextStage(planner.Dog{Weight: 20}, testNow); ok {
		t.Error("no birth date, no birthday")
	}
}

// TestAdopt: what a dog was fed before amounts were kept is frozen as it was
// reckoned then, and today's figure and goal weight go on.
func TestAdopt(t *testing.T) {
	d := planner.Dog{ID: "d1", Name: "Bracken", Weight: 33, Condition: 7, Activity: planner.LowActivity, Born: bornYears(8)}
	entries := weekly(34.8, 34.2, 33.6, 33)
	for i := range entries {
		entries[i].Dog = d.ID
	}
	scored := onDay(20, planner.Scored, 0)
	scored.Dog, scored.Score = d.ID, 7
	entries = append(entries, scored)
	at := func(kg float64) float64 { return 90 * math.Pow(kg/1.2, 0.75) } // FEDIAF: prone to obesity, at the ideal weight of that day
	frozen := Adopt(&d, entries, time.UTC, testNow)
	if !near(float64(d.Kcal), at(33), 1e-9) || d.InForce.Ground != planner.OnEquation || !near(float64(d.Ideal), 34.8/1.2, 1e-9) || d.IdealFrom != planner.GoalScored {
		t.Errorf("%v kcal on %s, goal %v by %q", d.Kcal, d.InForce.Ground, d.Ideal, d.IdealFrom)
	}
	h := HistoryOf(d, append(entries, frozen...), time.UTC, testNow)
	for i, kg := range []float64{34.8, 34.2, 33.6} {
		day := planner.DateOf(h.Weighings[i].At).AddDays(2)
		for _, in := range h.Intakes {
			if !day.Before(in.From) && day.Before(in.To) && (!near(in.Kcal, at(kg), 1e-9) || in.SD < 0.1*in.Kcal) {
				t.Errorf("after %v kg: %.0f ± %.0f kcal, want %.0f ± a tenth", kg, in.Kcal, in.SD, at(kg))
			}
		}
	}
	if !h.Changed.IsZero() {
		t.Errorf("a change of food on %v that nobody made", h.Changed)
	}
	vet := planner.Dog{ID: "d1", Weight: 20, Kcal: 620, ByVet: true}
	if Adopt(&vet, nil, time.UTC, testNow); vet.Kcal != 620 || vet.InForce.Ground != planner.OnVet {
		t.Errorf("a vet's figure: %+v", vet)
	}
}

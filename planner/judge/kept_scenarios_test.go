package judge

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/dogtest"
)

// scenarioDogs is how many dogs live through each scenario.
func scenarioDogs() uint64 {
	if tuning() {
		return 150
	}
	return uint64(sampled(300, 3))
}

// eachDog keeps the dogs of a scenario, whose carers take every suggestion.
// first is what is done before the first week, nil for nothing.
func eachDog(kind dogtest.Kind, weeks int, first func(*keeping)) []*keeping {
	var all []*keeping
	for i := range scenarioDogs() {
		k := keepDog(firstDog()+i, kind, dogtest.TakesAll)
		if first != nil {
			first(k)
		}
		all = append(all, k.keep(weeks))
	}
	return all
}

// from is an event that begins on a day: the need is a factor higher.
func from(day int, factor float64) func(int) float64 {
	return func(d int) float64 {
		if d < day {
			return 1
		}
		return factor
	}
}

// twenty is 20 kg on every Monday for so many weeks, with the amount in force set
// before.
func twenty(weeks int, born time.Time) (planner.Dog, []planner.Entry) {
	d := eater(1040)
	d.Born = born
	start := testNow.AddDate(0, 0, -7*weeks)
	d.PutInForce(1040, planner.OnEquation, "", start.Add(-time.Hour))
	entries := []planner.Entry{{Kind: planner.KcalSet, At: start.Add(-time.Hour), Kcal: 1040, Text: string(planner.OnEquation), Amount: d.InForce.K},
		{Kind: planner.Scored, At: start.Add(-time.Hour), Score: 5}}
	for week := range weeks + 1 {
		entries = append(entries, planner.Entry{Kind: planner.Weighed, At: start.AddDate(0, 0, 7*week), Weight: 20})
	}
	return d, entries
}

// TestScenarioBirthday: a dog that weighs 20 kg week by week is fed the same on
// either side of a birthday that puts it into another row of the equation, and
// nothing is suggested.
func TestScenarioBirthday(t *testing.T) {
	for _, years := range []int{2, 7, 8} {
		d, entries := twenty(40, testNow.AddDate(-years, 0, -20*7))
		for week := range 41 {
			now := testNow.AddDate(0, 0, -7*(40-week))
			if got := planner.AmountOf(d, now).Kcal; math.Abs(float64(got)-1040) >= 0.5 {
				t.Fatalf("fed %v in week %d, about its birthday of %d", got, week, years)
			}
			if got := decided(d, entries, now); got.Outcome == Suggest || math.Abs(float64(got.Now)-1040) >= 0.5 {
				t.Errorf("birthday of %d, week %d: %+v", years, week, got)
			}
		}
	}
}

// TestScenarioVeryActive: a word said midway, taken or not, moves what was
// learned by less than 3 %.
func TestScenarioVeryActive(t *testing.T) {
	learned := func(d planner.Dog, entries []planner.Entry) float64 {
		h := HistoryOf(d, entries, time.UTC, testNow)
		return Estimate(h, PriorOf(d, h, testNow)).Mean
	}
	for _, weeks := range []int{4, 14, 26} {
		d, entries := twenty(weeks, bornYears(4))
		was := learned(d, entries)
		d.Activity = planner.HighActivity
		if k := learned(d, entries); math.Abs(percent(k, was)) >= 3 {
			t.Errorf("after %d weeks k moves from %.1f to %.1f by the word", weeks, was, k)
		}
		d.PutInForce(1410, planner.OnFact, "", testNow.Add(-time.Minute))
		entries = append(entries, planner.Entry{Kind: planner.KcalSet, At: testNow.Add(-time.Minute), Kcal: 1410, Text: string(planner.OnFact), Amount: d.InForce.K})
		if k := learned(d, entries); math.Abs(percent(k, was)) >= 3 {
			t.Errorf("after %d weeks k moves from %.1f to %.1f where the amount is changed", weeks, was, k)
		}
	}
}

// TestScenarioSlowLoss: who loses 0.35 % a week for a year is never told after
// week 8 that the weight holds.
func TestScenarioSlowLoss(t *testing.T) {
	var kg []float64
	for week := range 53 {
		kg = append(kg, math.Round(200*math.Pow(0.9965, float64(week)))/10)
	}
	for week := 9; week <= 52; week++ {
		h := testNow.AddDate(0, 0, -7*(52-week))
		if got := decided(eater(1040), weekly(kg...), h); got.Holds {
			t.Errorf("week %d, %.1f kg: holds", week, kg[week])
		}
	}
}

// spreadOf sorts what became of the dogs, and prints it.
func spreadOf(t *testing.T, what string, v []float64) []float64 {
	slices.Sort(v)
	t.Logf("%s, %%: %.1f at least, half %.1f, %.1f at most, of %d dogs", what, v[0], middle(v), v[len(v)-1], len(v))
	return v
}

// slack is what a sample of the dogs may be off by chance; all of them are held
// to the bounds themselves.
func slack(of float64) float64 {
	if scenarioDogs() < 300 {
		return of
	}
	return 0
}

// TestScenarioWork: 45 % more is needed from week 10 to 26; the carer knows why.
// Asked: no lower than -13 %, to which the median is held.
func TestScenarioWork(t *testing.T) {
	t.Parallel()
	season := func(day int) float64 {
		if day >= 70 && day < 182 {
			return 1.45
		}
		return 1
	}
	var low []float64
	for _, k := range eachDog(dogtest.Kind{K: 110, Calm: true, Event: season}, 30, func(k *keeping) { k.reason = true }) {
		low = append(low, k.lowest())
	}
	if got := middle(spreadOf(t, "lowest weight", low)); got < -13-slack(1.5) {
		t.Errorf("half of the dogs come down to %.1f %%", got)
	}
}

// TestScenarioNeutered: a fifth less is needed from week 8 on. Asked: no higher
// than +7 %, to which the median is held.
func TestScenarioNeutered(t *testing.T) {
	t.Parallel()
	var high []float64
	for _, k := range eachDog(dogtest.Kind{K: 110, Calm: true, Event: from(56, 0.8)}, 40, nil) {
		high = append(high, k.highest())
	}
	if got := middle(spreadOf(t, "highest weight", high)); got > 7.05+slack(1) {
		t.Errorf("half of the dogs come up to %.1f %%", got)
	}
}

// TestScenarioWasting: an illness of which its carer sees nothing takes more each
// week, up to 45 %, from week 10 on. The loss is that of the same dog on the food
// that it had before.
func TestScenarioWasting(t *testing.T) {
	t.Parallel()
	for _, aWeek := range []float64{0.01, 0.02} {
		illness := func(day int) float64 { return 1 + math.Min(math.Max(float64(day-70)/7*aWeek, 0), 0.45) }
		kind := dogtest.Kind{K: 110, Calm: true, Event: illness}
		early := 0
		var lost []float64
		for i, k := range eachDog(kind, 40, nil) {
			unfed := fixedDog(firstDog()+uint64(i), kind, 40)
			loss := -percent(unfed.weight[k.sentToVet(10)], unfed.weight[10])
			lost = append(lost, loss)
			early += one(loss < 7)
		}
		spreadOf(t, fmt.Sprintf("loss at the vet line where the need rises by %.0f %% a week", 100*aWeek), lost)
		if got := share(early, len(lost)); got < 90-slack(10) {
			t.Errorf("%.0f of 100 get the vet line before a loss of 7 %%", got)
		}
	}
}

// sentToVet is the first week from one on in which a vet is spoken of, the last
// where none is.
func (k *keeping) sentToVet(from int) int {
	for _, c := range k.checks {
		if c.week >= from && (c.said.Warns() || c.said.First == VetFirst) {
			return c.week
		}
	}
	return len(k.weight) - 1
}

// TestScenarioThin: who is 8 % under its goal and loses is never fed less, and is
// sent to a vet.
func TestScenarioThin(t *testing.T) {
	vets := 0
	var off []float64
	for _, k := range eachDog(dogtest.Kind{K: 125, Calm: true}, 26, func(k *keeping) { k.goal = k.body.Kg0 / 0.92 }) {
		for _, c := range k.checks {
			if c.said.Outcome == Suggest && c.said.Then < c.said.Now && c.kg < 0.98*k.goal {
				t.Errorf("%.1f %% under its goal in week %d: %v after %v", -k.off(c.week), c.week, c.said.Then, c.said.Now)
			}
		}
		vets += one(k.sentToVet(0) <= 12)
		off = append(off, k.off(26))
	}
	if got := share(vets, len(off)); got < 95-slack(8) {
		t.Errorf("%.0f of 100 are sent to a vet by week 12", got)
	}
	if got := middle(spreadOf(t, "off the goal in week 26", off)); got < -8 {
		t.Errorf("half of them are %.1f %% off their goal in week 26", got)
	}
}

// TestScenarioSlimmingFast: who is to lose and loses 4 % a week is for a vet
// before week 6, is never fed less, and is slowed down.
func TestScenarioSlimmingFast(t *testing.T) {
	warned := 0
	var rates []float64
	for _, k := range eachDog(dogtest.Kind{K: 140, Calm: true}, 16, func(k *keeping) {
		k.goal = k.body.Kg0 / 1.3
		k.dog.Goal, k.dog.Ideal, k.dog.Condition, k.dog.IdealFrom = planner.LoseGoal, kilos(k.goal), 8, planner.GoalSet
		k.dog.Kcal = kcals(math.Round(float64(nutrition.RestingEnergy(kilos(k.goal)))))
	}) {
		told := false
		for _, c := range k.checks {
			told = told || c.week <= 6 && c.said.warns(FallFast)
			if c.week >= 3 && k.weight[c.week] < k.weight[c.week-3]*0.94 && c.said.Outcome == Suggest && c.said.Then < c.said.Now {
				t.Errorf("loses over 2 %% a week in week %d: %v after %v", c.week, c.said.Then, c.said.Now)
			}
		}
		warned += one(told)
		rates = append(rates, -percent(k.weight[12], k.weight[8])/4)
	}
	if got := share(warned, len(rates)); got < 98-slack(5) {
		t.Errorf("%.0f of 100 are warned by week 6", got)
	}
	if got := middle(spreadOf(t, "loss a week in weeks 8 to 12", rates)); got > 2+slack(0.4) {
		t.Errorf("half of them still lose %.1f %% a week in weeks 8 to 12", got)
	}
}

// TestScenarioCoarseScale: 3 kg on a scale that shows 0.1 kg, fed what it needs,
// for twelve weeks: at most 5 in 100 are told to change or to see a vet.
func TestScenarioCoarseScale(t *testing.T) {
	told, dogs := 0, 0
	for _, k := range eachDog(dogtest.Kind{Kg: 3, K: 110, Step: 0.1, Calm: true}, 13, nil) {
		any := false
		for _, c := range k.checks {
			any = any || c.said.Outcome == Suggest || c.said.Warns()
		}
		told += one(any)
		dogs++
	}
	t.Logf("%d of %d told", told, dogs)
	if got := share(told, dogs); got > 5+slack(8) {
		t.Errorf("%.1f of 100 are told though nothing is wrong", got)
	}
}

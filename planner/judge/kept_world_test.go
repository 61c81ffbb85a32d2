package judge

import (
	"math"
	"time"

	"bowlwright/planner"
	"bowlwright/planner/dogtest"
)

// keeping is a dog of package dogtest that is kept by the program: weighed, fed
// what is in force, and judged at each check-in.
type keeping struct {
	body     *dogtest.Dog
	carer    *dogtest.Carer
	dog      planner.Dog
	journal  []planner.Entry
	start    time.Time
	goal     float64 // kg
	fed      []float64
	weight   []float64 // true, at the start of each week
	checks   []check
	vetOn    int  // the day on which a vet sees the dog, -1: none
	reason   bool // the carer knows why the need has changed, and says so
	atVet    int  // visits
	asked    int  // times that the four questions were answered
	allows   bool // the vet allows less than the resting energy, where that is asked about
	asksLess bool // the visit is about that
}

// check is a check-in and what was true at it.
type check struct {
	week         int
	said         Decision
	post         Posterior
	need, k, kg  float64
	sixWeeks     float64 // true change of weight over the six weeks before, %
	wrong, taken bool
}

// keepDog is a dog that begins on the food of the equation, at its goal.
func keepDog(seed uint64, kind dogtest.Kind, habit dogtest.Habit) *keeping {
	b := dogtest.New(seed, kind)
	d := planner.Dog{Name: "Juniper", Weight: kilos(b.Kg0), Activity: planner.ModerateCalm, Condition: 5, Born: bornYears(4)}
	d.Kcal = kcals(math.Round(110 * math.Pow(b.Kg0, 0.75)))
	return &keeping{body: b, carer: dogtest.NewCarer(seed, habit), dog: d, goal: b.Kg0, start: testNow, vetOn: -1}
}

// keep lets so many weeks pass.
func (k *keeping) keep(weeks int) *keeping {
	if len(k.weight) == 0 {
		k.note(planner.Entry{Kind: planner.KcalSet, Kcal: k.dog.Kcal, Amount: 110}, k.start.Add(-time.Hour))
		k.note(planner.Entry{Kind: planner.Scored, Score: k.dog.Condition}, k.start.Add(-time.Hour))
	}
	for range weeks {
		k.week()
	}
	k.weight = append(k.weight, k.body.Kg())
	return k
}

func (k *keeping) note(e planner.Entry, at time.Time) {
	e.At, e.Date = at, planner.DateOf(at)
	k.journal = append(k.journal, e)
}

func (k *keeping) week() {
	k.weight = append(k.weight, k.body.Kg())
	now := k.start.AddDate(0, 0, k.body.Day())
	back := k.body.Day() == k.vetOn
	if back {
		k.seenByVet(now.Add(-time.Hour))
	}
	switch {
	case !k.body.Missed():
		k.checkIn(now)
	case back: // it is said what comes next
		k.hear(now)
	}
	for range 7 {
		k.fed = append(k.fed, float64(k.dog.Kcal))
		k.body.Eat(float64(k.dog.Kcal))
	}
}

// seenByVet is a visit. The vet finds nothing. One that allows less than the
// resting energy sets a tenth less for a dog that is over its goal and has not
// come down in four weeks, but no less than what dogs in plans needed.
func (k *keeping) seenByVet(at time.Time) {
	k.note(planner.Entry{Kind: planner.VetSaw, Text: "nothing found"}, at)
	k.atVet++
	less := k.allows && k.asksLess
	k.vetOn, k.asksLess = -1, false
	if kg := k.body.Kg(); !less || kg < k.goal*(1+planner.CloseEnough) || kg < 0.99*k.weight[max(len(k.weight)-5, 0)] {
		return
	}
	least := leastNeeded * math.Pow(k.goal, 0.75)
	if then := math.Round(math.Max(0.9*float64(k.dog.Kcal), least)); then < float64(k.dog.Kcal) {
		k.dog.Kcal = kcals(then)
		k.note(planner.Entry{Kind: planner.KcalSet, Kcal: k.dog.Kcal, Text: planner.SetByVet}, at.Add(time.Minute))
	}
}

// checkIn weighs the dog, once more where that is asked for, and does what its
// carer does of what is said.
func (k *keeping) checkIn(now time.Time) {
	k.onScale(k.body.OnScale(), now)
	c := k.hear(now)
	if c.said.Reason == WeighAgain {
		now = now.Add(time.Hour)
		k.onScale(k.body.OnScaleAgain(), now)
		c = k.hear(now)
	}
	k.checks = append(k.checks, c)
}

func (k *keeping) onScale(kg float64, at time.Time) {
	k.dog.Weight = kilos(kg)
	k.note(planner.Entry{Kind: planner.Weighed, Weight: k.dog.Weight}, at)
}

// hear does what a carer does of what is said.
func (k *keeping) hear(now time.Time) check {
	h, posts, d := k.judge(now)
	for range 3 { // what comes first is answered at once, but for the vet
		switch at := now.Add(time.Minute); {
		case d.Outcome == Suggest && d.First == ScoreFirst:
			k.note(planner.Entry{Kind: planner.Scored, Score: k.score()}, at)
		case d.First == QuestionsFirst:
			k.note(k.answers(), at)
			k.asked++
		default:
			continue
		}
		h, posts, d = k.judge(now.Add(2 * time.Minute))
	}
	c := check{week: len(k.weight) - 1, said: d, post: posts[len(posts)-1], need: k.body.Need(), k: k.body.K(), kg: k.body.Kg()}
	if c.week >= 6 {
		c.sixWeeks = percent(c.kg, k.weight[c.week-6])
	}
	if d.Outcome == Suggest {
		// The truth of the same rule: what the goal asks at the dog's own need.
		c.wrong = (d.Then > d.Now) != (k.asks(h, c.k) > float64(d.Now))
		if d.First == "" {
			if c.taken = k.carer.Takes(); c.taken {
				k.dog.Kcal = d.Then
				k.note(planner.Entry{Kind: planner.KcalSet, Kcal: d.Then}, now.Add(3*time.Minute))
			}
		}
	}
	if (d.Warns() || d.First == VetFirst) && k.vetOn < 0 {
		k.vetOn = k.body.Day() + 7
	}
	k.asksLess = k.asksLess || d.Reason == BelowResting
	return c
}

func (k *keeping) judge(now time.Time) (History, []Posterior, Decision) {
	h := HistoryOf(k.dog, k.journal, time.UTC, now)
	h.Again *= kilos(k.goal) / h.Ideal
	h.Ideal, h.IdealLow, h.IdealHigh = kilos(k.goal), kilos(k.goal), kilos(k.goal)
	posts := CheckIns(h, PriorOf(k.dog, h, now), 2)
	return h, posts, Decide(k.dog, h, posts, now)
}

// score is the condition that a carer sees: a point for each 10 % of the goal.
func (k *keeping) score() int {
	return int(math.Max(1, math.Min(math.Round(5+(k.body.Kg()/k.goal-1)/0.1), 9)))
}

// answers are those to the four questions: a dog of these is well, as far as
// its carer sees.
func (k *keeping) answers() planner.Entry {
	var a Answers
	if k.reason {
		a.Reason = planner.MoreWork
	}
	return planner.Entry{Kind: planner.Answered, Text: a.Code()}
}

// asks is what the goal asks of a dog of which all is known.
func (k *keeping) asks(h History, own float64) float64 {
	p := Posterior{low: own, step: 1, mass: []float64{1}, Mean: own, Weight: kilos(k.body.Kg())}
	return float64(TargetKcal(k.dog, h, p).Kcal)
}

// off is how far the true weight of a week is from the goal, %.
func (k *keeping) off(week int) float64 { return percent(k.weight[week], k.goal) }

// lowest and highest are the extremes of the true weight, % from the goal.
func (k *keeping) lowest() float64 {
	least := 0.0
	for i := range k.weight {
		least = math.Min(least, k.off(i))
	}
	return least
}

func (k *keeping) highest() float64 {
	most := 0.0
	for i := range k.weight {
		most = math.Max(most, k.off(i))
	}
	return most
}

// Warns reports that there is something for a vet in a decision.
func (r Decision) Warns() bool { return len(r.Warnings) > 0 || r.Outcome == VetLine }

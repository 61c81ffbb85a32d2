package judge

import (
	"math"
	"math/rand/v2"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// overweights says how simulated dogs are that are to lose weight.
type overweights struct {
	name string
	// coefficient draws the true k, in kcal per kg^0.75 of present weight, of a
	// dog so much over its ideal weight.
	coefficient func(r *rand.Rand, ideal, over float64) float64
	light, fat  float64 // over the ideal weight, as shares, at least and at most
	allowed     float64 // the least that a vet allowed, kcal per kg^0.75 of ideal weight; 0: none
	before      int     // weeks of weigh-ins before the plan begins
}

// needs draws k normal round a figure by activity or inclination. The spread
// of single dogs is that of the estimate's prior, 18 %; the cuts are those of
// the other simulation.
func needs(k float64, onIdeal bool) func(*rand.Rand, float64, float64) float64 {
	return func(r *rand.Rand, _, over float64) float64 {
		own := 0.0
		for own < 50 || own > 170 {
			own = k * (1 + priorSpread*r.NormFloat64())
		}
		if onIdeal {
			own /= math.Pow(1+over, 0.75)
		}
		return own
	}
}

// losesOn draws what a dog needed in a plan, 63 ± 10.2 kcal per kg^0.75 of
// ideal weight (AAHA 2021), and takes it for what makes the dog lose so many %
// of its first weight a week.
func losesOn(percentAWeek float64) func(*rand.Rand, float64, float64) float64 {
	return func(r *rand.Rand, ideal, over float64) float64 {
		need := (63 + 10.2*r.NormFloat64()) * math.Pow(ideal, 0.75)
		kg := (1 + over) * ideal
		return (need + percentAWeek/100*kg*tissueEnergy/7) / math.Pow(kg, 0.75)
	}
}

// overweight is a dog of which everything is known, in a plan to lose weight.
type overweight struct {
	dog           planner.Dog
	k, rho, ideal float64
	over          float64
	journal       []planner.Entry
	weights, kcal []float64 // true and planned, at each week's start
	warned        bool      // of a fall of more than 2 % a week
	told          int       // the week in which less was said to be for a vet, -1: never
	reach         Reach     // as foretold then
}

// slim lets the plan of an overweight dog run for so many weeks. Every
// suggestion is applied on the day; where a fall is warned of, a vet has seen
// the dog a day later and changed nothing. Scales, missed weeks and wrong
// figures are those of newSimulated; before the plan the dog is fed by the
// equation.
func slim(r *rand.Rand, w overweights, weeks int) *overweight {
	between := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	o := &overweight{ideal: between(4, 40), over: between(w.light, w.fat), rho: between(7000, 7700), told: -1}
	metabolic := math.Pow(o.ideal, 0.75)
	o.k = w.coefficient(r, o.ideal, o.over)
	kg := (1 + o.over) * o.ideal
	o.dog = planner.Dog{Weight: kilos(kg), Ideal: kilos(o.ideal), Condition: 5 + int(10*o.over), Activity: planner.LowActivity, Born: bornYears(6), Goal: planner.LoseGoal}
	start := testNow.AddDate(0, 0, -7*weeks)
	noise := between(0.005, 0.015)
	equation := float64(planner.NeedOf(o.dog, start).Kcal)
	o.dog.PutInForce(kcals(equation), planner.OnEquation, "", start)
	o.journal = append(o.journal, planner.Entry{Kind: planner.KcalSet, At: start.AddDate(0, 0, -7*w.before-1), Kcal: o.dog.Kcal, Text: string(planner.OnEquation), Amount: o.dog.InForce.K})
	for week := -w.before; week < 0; week++ {
		at := start.AddDate(0, 0, 7*week)
		weighed := kg * (1 + noise*r.NormFloat64())
		o.journal = append(o.journal, planner.Entry{Kind: planner.Weighed, At: at, Date: planner.DateOf(at), Weight: kilos(weighed)})
		for range 7 {
			kg += (equation - o.k*math.Pow(kg, 0.75)) / o.rho
		}
	}
	h := HistoryOf(o.dog, o.journal, time.UTC, start)
	begin, _ := PlanStart(o.dog, h, Estimate(h, PriorOf(o.dog, h, start)))
	kcal := math.Round(float64(begin))
	o.feed(start.Add(-time.Hour), kcal)
	for week := 0; week <= weeks; week++ {
		now := start.AddDate(0, 0, 7*week)
		o.weights = append(o.weights, kg)
		if week == 0 || r.Float64() > 0.15 {
			kcal = o.checkIn(now, kg*(1+noise*r.NormFloat64())*outlier(r), kcal, w.allowed*metabolic)
		}
		o.kcal = append(o.kcal, kcal)
		for range 7 {
			kg += (kcal - o.k*math.Pow(kg, 0.75)) / o.rho
		}
	}
	return o
}

func (o *overweight) feed(at time.Time, kcal float64) {
	o.dog.Kcal = kcals(kcal)
	o.journal = append(o.journal, planner.Entry{Kind: planner.KcalSet, At: at, Kcal: kcals(kcal)})
}

// checkIn weighs the dog in the week that is about to be entered, and does what
// is said.
func (o *overweight) checkIn(now time.Time, weighed, kcal, allowed float64) float64 {
	o.dog.Weight = kilos(weighed)
	o.journal = append(o.journal, planner.Entry{Kind: planner.Weighed, At: now, Date: planner.DateOf(now), Weight: kilos(weighed)})
	h := HistoryOf(o.dog, o.journal, time.UTC, now)
	h.VetLeast = kcals(allowed)
	posts := CheckIns(h, PriorOf(o.dog, h, now), 2)
	d := Decide(o.dog, h, posts, now)
	if d.Outcome == Suggest {
		kcal = float64(d.Then)
		o.feed(now.Add(time.Minute), kcal)
	}
	if d.warns(FallFast) {
		o.warned = true
		o.journal = append(o.journal, planner.Entry{Kind: planner.VetSaw, At: now.AddDate(0, 0, 1)})
	}
	if d.Reason == BelowResting && o.told < 0 {
		o.told, o.reach = len(o.kcal), ReachOf(o.dog, h, posts[len(posts)-1])
	}
	return kcal
}

// daysLeft is how many days the dog takes from a week on to its ideal weight if
// it goes on being fed as then, and whether that is within two years.
func (o *overweight) daysLeft(week int) (int, bool) {
	kg := o.weights[week]
	for day := range reachDays {
		if kg <= o.ideal {
			return day, true
		}
		kg += (o.kcal[week] - o.k*math.Pow(kg, 0.75)) / o.rho
	}
	return 0, false
}

// rate is the true loss in % a week from one week to another.
func (o *overweight) rate(from, to int) float64 {
	return -100 * math.Log(o.weights[to]/o.weights[from]) / float64(to-from)
}

// fastest is the fastest loss of three weeks, in % a week.
func (o *overweight) fastest() float64 {
	most := 0.0
	for week := 3; week < len(o.weights); week++ {
		most = math.Max(most, o.rate(week-3, week))
	}
	return most
}

// floorRate is the loss in % a week on the resting energy at the ideal weight,
// with the weight of a week.
func (o *overweight) floorRate(week int) float64 {
	w := o.weights[week]
	floor := float64(nutrition.RestingEnergy(kilos(o.ideal)))
	return 100 * 7 * (o.k*math.Pow(w, 0.75) - floor) / o.rho / w
}

// there reports that the dog was at its ideal weight by a week.
func (o *overweight) there(week int) bool { return o.weights[week] <= 1.02*o.ideal }

// per is what the dog is planned to get in a week, per kg^0.75 of ideal weight.
func (o *overweight) per(week int) float64 { return o.kcal[week] / math.Pow(o.ideal, 0.75) }

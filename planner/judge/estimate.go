package judge

import (
	"math"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Prior is what is thought of a dog's energy coefficient k, in kcal a day per
// kg^0.75 of its present weight, before any weigh-in: normal, and cut to Low
// and High.
type Prior struct {
	K, SD     float64
	Low, High float64
}

// The spread of single dogs round an equation. NRC 2006 (from memory) gives 25
// % either way as common and 50 % as the most. Here 25 % is taken to hold five
// dogs in six, a standard deviation of 18 %; beyond 55 % below and 60 % above
// it is cut off.
const (
	priorSpread = 0.18
	priorLeast  = 0.45
	priorMost   = 1.60
)

// middlingK is the prior where nothing at all is known: an adult of moderate
// activity (FEDIAF 2021, from memory).
const middlingK = 110

// PriorOf returns the prior of a dog. It rests on what the equation gave for
// the amount in force at the start of what Estimate looks at: facts told since
// do not change what was thought then. Where that is not on record it is by
// NeedOf's equation, which counts the goal weight; k counts the weight at that
// start.
func PriorOf(d planner.Dog, h History, now time.Time) Prior {
	if g := window(groups(h.grown())); len(g) > 0 {
		d.Weight = nutrition.Kilograms(g[0].weight)
		if k := h.equationAt(g[0].day + 1); k > 0 {
			return priorOn(k)
		}
	}
	if d.Ideal == 0 && h.Ideal > 0 && h.Ideal < d.Weight {
		d.Ideal = h.Ideal
	}
	n := planner.NeedOf(d, now)
	return priorOn(float64(n.Kcal) / nutrition.MetabolicWeight(d.Weight))
}

// equationAt returns what the equation gave on the day of the last change
// before a moment or, if that was not recorded, of the first change for which
// it was. What a dog got while it grew does not count.
func (h *History) equationAt(moment float64) (k float64) {
	for _, c := range h.Changes {
		if c.K > 0 && c.Ground != planner.OnSchedule && (k == 0 || momentOf(c.At) < moment) {
			k = c.K
		}
	}
	return k
}

// priorOn returns the prior round a coefficient, the middling one where it is
// not one that a dog can have.
func priorOn(k float64) Prior {
	const least, most = 30, 600
	if !(k >= least && k <= most) {
		k = middlingK
	}
	return Prior{k, priorSpread * k, priorLeast * k, priorMost * k}
}

// density is the prior's, up to a factor, as a logarithm.
func (p Prior) logDensity(k float64) float64 {
	z := (k - p.K) / p.SD
	return -z * z / 2
}

// Energy of tissue gained or lost, kcal per kg: 7.0 to 7.7 kcal/g, mostly fat
// (from memory). Its error is that of a flat distribution between the two.
const (
	tissueEnergy = 7350.0
	tissueError  = 0.0275 // of it
)

// Posterior is what is thought of a dog's energy coefficient k after its
// weigh-ins, in kcal as logged per kg^0.75 of present weight and day: how
// likely each of a row of evenly spaced values is.
type Posterior struct {
	Mean float64
	// At is the last weigh-in, zero where there is none; Weight is what the dog
	// weighed then, as the estimate has it.
	At       time.Time
	Weight   nutrition.Kilograms
	Noise    float64 // of the scale, % of the weight
	WeighIns int     // that it rests on, of different days
	Days     int     // from the first of them to the last

	low, step float64   // the first value and the distance between two
	mass      []float64 // sums to 1
}

// Below returns the probability that the coefficient is below k.
func (p Posterior) Below(k float64) float64 {
	sum := 0.0
	for i, m := range p.mass {
		part := (k-p.low)/p.step - float64(i) + 0.5 // of the bin round the value
		if part <= 0 {
			break
		}
		sum += m * min(part, 1)
	}
	return min(sum, 1)
}

// Above returns the probability that the coefficient is above k.
func (p Posterior) Above(k float64) float64 { return 1 - p.Below(k) }

// Quantile returns the value that k is below with this probability, 0 to 1.
func (p Posterior) Quantile(q float64) float64 {
	if !(q > 0) {
		q = 0
	}
	sum := 0.0
	for i, m := range p.mass {
		if m > 0 && sum+m >= q {
			return p.low + (float64(i)-0.5+max(q-sum, 0)/m)*p.step
		}
		sum += m
	}
	return p.low + (float64(len(p.mass))-0.5)*p.step
}

// Known reports that the posterior rests on anything at all. That of a history
// without weigh-ins is the prior, but without a weight.
func (p Posterior) Known() bool { return p.WeighIns > 0 }

// Enough reports that the posterior rests on as much as a suggestion needs:
// four weigh-ins over three weeks.
func (p Posterior) Enough() bool { return p.WeighIns >= fewestWeighs && p.Days >= fewestDays }

// Estimate learns a dog's energy coefficient from its weigh-ins and what it was
// fed. It looks at the last half year, or further back where that has few
// weigh-ins; see window. It never fails: for a history without weigh-ins it
// returns the prior.
//
// The weight follows dW/dt = (intake - k W^0.75) / 7350 kcal/kg. For each of a
// row of values of k and each of three levels of scale noise a filter carries
// the weight along (see estimate_bank.go); the better one foretold the
// weigh-ins, the likelier it is. k itself drifts and jumps (estimate_grid.go).
func Estimate(h History, prior Prior) Posterior { return estimate(h, prior, ownMotion) }

func estimate(h History, prior Prior, how motion) Posterior {
	weighed := h.grown()
	g := window(groups(weighed))
	b := newBank(h.Intakes, g)
	b.hear(h.Answers, g)
	p := b.posterior(b.track(prior, how))
	if n := len(g); n > 0 {
		p.At = weighed[g[n-1].last].At
		p.WeighIns, p.Days = n, int(math.Round(g[n-1].day-g[0].day))
	}
	return p
}

// What Estimate looks at. A dog's need drifts with age, season and what it
// does; and the error of the estimate after half a year, about 1 %, is below
// what logs are worth. Anything older would only make it stale.
const (
	windowDays = 182
	// A dog that is seldom weighed is looked at for longer.
	windowFewest = 6
	windowMost   = 370
)

// window returns the weigh-ins that count.
func window(g []group) []group {
	n := len(g)
	if n == 0 {
		return g
	}
	i := n - 1
	for i > 0 {
		back := g[n-1].day - g[i-1].day
		if back > windowMost || back > windowDays && n-i >= windowFewest {
			break
		}
		i--
	}
	return g[i:]
}

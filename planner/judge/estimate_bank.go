package judge

import (
	"math"
	"sort"
)

// leg is the days between two weigh-ins and the second of them.
type leg struct {
	days   float64
	kcal   float64 // eaten in all
	spread float64 // variance of the weight from the error of kcal, kg^2
	centre float64 // kg, round which W^0.75 is taken as a line
	c75    float64 // centre^0.75
	slope  float64 // of W^0.75 there
	weight float64 // as weighed, kg
	lost   bool    // too long ago for the weight to be carried along
	told   float64 // share of a week's coefficients that jump, as a carer told
}

// bank is the legs of a history, and what is first thought of the weight.
type bank struct {
	legs  []leg
	start float64 // kg
	// per is the mean intake per kg^0.75: where k would hold the weight.
	per float64
}

const (
	// startError is the standard error of the first weight, as a share: it is
	// the median of the first three weigh-ins, and dogs change by less.
	startError = 0.03
	// longGap, in days, is the time without a weigh-in after which the weight
	// starts anew: nobody knows what happened.
	longGap   = 70.0
	lostError = 0.10
)

// newBank gathers the legs between weigh-ins, which must rise in time, with
// what was eaten in each.
func newBank(in []Intake, g []group) *bank {
	b := &bank{legs: make([]leg, len(g))}
	if len(g) == 0 {
		return b
	}
	b.start = middleOf(g[:min(3, len(g))])
	meals := newRation(in, g[0].day)
	kcal, metabolic := 0.0, 0.0
	for i := range g {
		l := leg{weight: g[i].weight}
		if i > 0 {
			l.span(g[i-1], g[i], meals)
			kcal += l.kcal
			metabolic += l.c75 * l.days
		}
		b.legs[i] = l
	}
	if metabolic > 0 {
		b.per = kcal / metabolic
	}
	return b
}

func (l *leg) span(from, to group, meals *ration) {
	l.days = to.day - from.day
	l.lost = l.days > longGap
	l.centre = (from.weight + to.weight) / 2
	root := math.Sqrt(l.centre)
	fourth := math.Sqrt(root)
	l.c75 = root * fourth
	l.slope = 0.75 / fourth
	kcal, variance := meals.between(from.day, to.day)
	l.kcal = kcal
	l.spread = variance / (tissueEnergy * tissueEnergy)
}

// ration walks through intakes in step with weigh-ins.
type ration struct {
	in []Intake
	i  int
}

// newRation starts at a day. The intakes have no gaps, so the place is found by
// halving.
func newRation(in []Intake, day float64) *ration {
	return &ration{in, sort.Search(len(in), func(i int) bool { return float64(in[i].To.Number()) > day })}
}

// between returns the kcal eaten from one moment to another and their
// variance. The error of a stretch is the same for up to a week.
func (e *ration) between(from, to float64) (kcal, variance float64) {
	for ; e.i < len(e.in); e.i++ {
		s := &e.in[e.i]
		start, end := float64(s.From.Number()), float64(s.To.Number())
		days := min(end, to) - max(start, from)
		if days > 0 {
			kcal += s.Kcal * days
			variance += s.SD * s.SD * days * min(to-from, 7)
		}
		if end >= to {
			break
		}
	}
	return kcal, variance
}

// The noise of weigh-ins, as standard errors in shares of the weight: 0.6, 1.0
// and 1.4 % of the scale, with gutShare of gut and water, which come and go (our own
// choice, by the simulated dogs of TestKept). The share of weigh-ins that are off
// by more: a wide error of wideNoise times as much stands for paws beside the
// scale and a dog that ate before.
var scaleNoises = [...]float64{0.0085, 0.0117, 0.0152}

const (
	gutShare  = 0.006
	wideShare = 0.05
	wideNoise = 5.0
)

// weigh corrects the weight by what was weighed. What the ordinary and the
// wide error make of it are weighed by how well each foretold it, and merged
// into one normal distribution again.
func (l *leg) weigh(mean, variance, noise float64) (m, v, likelihood float64) {
	n := noise * mean
	n *= n
	r := l.weight - mean
	r2 := r * r
	i1, i2 := 1/(variance+n), 1/(variance+wideNoise*wideNoise*n)
	n1 := (1 - wideShare) * math.Exp(-r2/2*i1) * math.Sqrt(i1)
	n2 := wideShare * math.Exp(-min(r2/2*i2, farthest)) * math.Sqrt(i2)
	likelihood = n1 + n2
	p1 := n1 / likelihood
	p2 := 1 - p1
	g1, g2 := variance*i1, variance*i2
	gain := p1*g1 + p2*g2
	m = max(mean+r*gain, leastCarried)
	v = variance*(1-gain) + p1*p2*r2*(g1-g2)*(g1-g2)
	return m, v, likelihood
}

const (
	// farthest keeps a weigh-in that nothing explains from ruling out every
	// coefficient alike: beyond eight standard errors it is as wrong as can be.
	farthest = 32.0
	// leastCarried, in kg, keeps a starving model alive.
	leastCarried = 0.05
)

// mover carries a weight to the end of a leg. keep is the share of a difference
// in weight that is left there.
type mover struct{ centre, drift, keep, spread float64 }

// mover is that of one coefficient. The weight moves with the food; round the
// centre of a leg W^0.75 is a line, which makes the movement an exponential.
func (l *leg) mover(k float64) mover {
	x := k * l.slope / tissueEnergy * l.days // of the way to equilibrium
	keep := 1 / (1 + x + x*x/2 + x*x*x/6)
	drift := (l.kcal - k*l.c75*l.days) / tissueEnergy
	v := l.spread
	if l.lost {
		v += lostError * lostError * l.centre * l.centre
	}
	// (1 - keep) / x tends to 1 for short legs; x is never 0 here.
	return mover{l.centre, drift * (1 - keep) / x, keep, v}
}

func (m mover) move(mean, variance float64) (float64, float64) {
	return max(m.centre+(mean-m.centre)*m.keep+m.drift, leastCarried), variance*m.keep*m.keep + m.spread
}

package judge

import (
	"math"
	"time"

	"bowlwright/nutrition"
)

// TrendPoint is the fitted weight at a weigh-in. Low and High hold the weight
// in four cases of five.
type TrendPoint struct {
	At             time.Time
	Low, Mid, High nutrition.Kilograms
}

// TrendLine returns the fitted weights of the whole history, one at each day on
// which the dog was weighed. It runs the estimate's filter forward and backward
// again at five coefficients that stand for the posterior, and joins what they
// give. Before the time that the estimate rests on, the coefficient may have
// been different; there the line follows the scale.
func TrendLine(h History, p Posterior) []TrendPoint {
	g := groups(h.Weighings)
	if len(g) == 0 || len(p.mass) == 0 {
		return nil
	}
	b := newBank(h.Intakes, g)
	noise := p.Noise / 100
	if noise <= 0 {
		noise = scaleNoises[1]
	}
	mean, square := make([]float64, len(g)), make([]float64, len(g))
	const runs = 5
	for i := range runs {
		k := p.Quantile((float64(i) + 0.5) / runs)
		for j, s := range b.smooth(k, noise) {
			mean[j] += s.mean / runs
			square[j] += (s.variance + s.mean*s.mean) / runs
		}
	}
	line := make([]TrendPoint, len(g))
	for j := range g {
		const z = 1.2816 // the normal quantile of 0.9
		half := z * math.Sqrt(math.Max(square[j]-mean[j]*mean[j], 0))
		mean[j] = math.Max(mean[j], leastCarried) // smoothing may lose it where the food is what no dog eats
		line[j] = TrendPoint{
			At:   h.Weighings[g[j].last].At,
			Low:  nutrition.Kilograms(math.Max(mean[j]-half, leastCarried)),
			Mid:  nutrition.Kilograms(mean[j]),
			High: nutrition.Kilograms(mean[j] + half),
		}
	}
	return line
}

// state is a weight as a normal distribution.
type state struct{ mean, variance float64 }

// smooth runs the filter of one coefficient along the legs and back again
// (Rauch, Tung and Striebel 1965, AIAA Journal 3: 1445), so that each weight
// rests on the weigh-ins after it too.
func (b *bank) smooth(k, noise float64) []state {
	n := len(b.legs)
	after, before, keeps := make([]state, n), make([]state, n), make([]float64, n)
	s := state{b.start, b.start * b.start * startError * startError}
	for i := range b.legs {
		l := &b.legs[i]
		if i > 0 {
			to := l.mover(k)
			s.mean, s.variance = to.move(s.mean, s.variance)
			keeps[i] = to.keep
		}
		before[i] = s
		s.mean, s.variance, _ = l.weigh(s.mean, s.variance, noise)
		after[i] = s
	}
	for i := n - 2; i >= 0; i-- {
		gain := after[i].variance * keeps[i+1] / before[i+1].variance
		after[i].mean += gain * (after[i+1].mean - before[i+1].mean)
		after[i].variance += gain * gain * (after[i+1].variance - before[i+1].variance)
	}
	return after
}

package planner

import (
	"math"

	"bowlwright/nutrition"
)

// survey is how likely each of a row of coefficients is.
type survey struct {
	low, step      float64
	logs           []float64 // logarithm of prior and likelihood, up to a constant
	mean, variance []float64 // of the weight, by coefficient
	noise          []float64
	best           float64
}

// survey runs the bank for n coefficients from low to high, and each of the
// levels of noise.
func (b *bank) survey(prior Prior, low, high float64, n int, noises []float64) survey {
	rows := make([]float64, 4*n)
	s := survey{low, (high - low) / float64(n-1), rows[:n], rows[n : 2*n], rows[2*n : 3*n], rows[3*n:], math.Inf(-1)}
	for i := range n {
		k := low + float64(i)*s.step
		var runs [len(scaleNoises)]carried
		top := math.Inf(-1)
		for j, noise := range noises {
			runs[j] = b.carry(k, noise)
			top = math.Max(top, runs[j].logLikelihood)
		}
		sum := 0.0
		for j, r := range runs[:len(noises)] {
			w := math.Exp(r.logLikelihood - top)
			sum += w
			s.mean[i] += w * r.mean
			s.variance[i] += w * (r.variance + r.mean*r.mean)
			s.noise[i] += w * noises[j]
		}
		s.mean[i] /= sum
		s.variance[i] /= sum // about nought, for now
		s.noise[i] /= sum
		s.logs[i] = top + math.Log(sum) + prior.logDensity(k)
		s.best = math.Max(s.best, s.logs[i])
	}
	return s
}

// reach returns the range outside of which nothing is likely.
func (s survey) reach() (low, high float64) {
	const nothing = 12.0 // e^-12 of the likeliest
	first, last := 0, len(s.logs)-1
	for first < last && s.logs[first] < s.best-nothing {
		first++
	}
	for last > first && s.logs[last] < s.best-nothing {
		last--
	}
	first, last = max(first-1, 0), min(last+1, len(s.logs)-1)
	return s.low + float64(first)*s.step, s.low + float64(last)*s.step
}

// posterior turns logarithms into a distribution, spread for what is not known
// of the energy of tissue.
func (s survey) posterior(b *bank) Posterior {
	n := len(s.logs)
	p := Posterior{low: s.low, step: s.step, mass: make([]float64, n)}
	weights := make([]float64, n)
	sum, kg, kg2, noise := 0.0, 0.0, 0.0, 0.0
	for i, l := range s.logs {
		w := math.Exp(l - s.best)
		weights[i] = w
		sum += w
		kg += w * s.mean[i]
		kg2 += w * s.variance[i]
		noise += w * s.noise[i]
	}
	for i, w := range weights {
		p.scatter(i, w/sum, b.per)
	}
	kg /= sum
	if len(b.legs) > 0 {
		p.Weight = nutrition.Kilograms(kg)
		p.WeightSD = nutrition.Kilograms(math.Sqrt(math.Max(kg2/sum-kg*kg, 0)))
		p.Noise = 100 * noise / sum
	}
	for i, m := range p.mass {
		p.Mean += m * (p.low + float64(i)*p.step)
	}
	for i, m := range p.mass {
		off := p.low + float64(i)*p.step - p.Mean
		p.SD += m * (off*off + p.step*p.step/12)
	}
	p.SD = math.Sqrt(p.SD)
	return p
}

// scatter puts the mass of the i-th value where it may belong. What k differs
// from the intake was made of tissue; it is off by as much as the energy of
// tissue is. Three places with a sixth, two thirds and a sixth of the mass
// have the mean and the variance of a normal error.
func (p *Posterior) scatter(i int, mass, per float64) {
	if per <= 0 {
		p.mass[i] += mass
		return
	}
	k := p.low + float64(i)*p.step
	off := math.Sqrt(3) * tissueError * (k - per)
	p.drop(float64(i), mass*2/3)
	p.drop(float64(i)+off/p.step, mass/6)
	p.drop(float64(i)-off/p.step, mass/6)
}

// drop shares mass between the two values beside a place.
func (p *Posterior) drop(at, mass float64) {
	at = math.Max(math.Min(at, float64(len(p.mass)-1)), 0)
	i := min(int(at), len(p.mass)-2)
	part := at - float64(i)
	p.mass[i] += mass * (1 - part)
	p.mass[i+1] += mass * part
}

package judge

import (
	"math"

	"bowlwright/nutrition"
)

// motion is how a dog's coefficient may change: it walks by a share of itself
// in each root of a week, and jumps in a share of all weeks to anywhere that
// the prior allows (a working season, neutering, an illness).
type motion struct{ walk, jump float64 }

// What a carer told of more work or a season: the coefficient has jumped within
// toldDays before it, with toldJump in each week (our own choice, by the
// simulated dogs of TestScenarioWork).
const toldJump, toldDays = 0.25, 28.0

// hear marks the legs in which a coefficient has jumped, as a carer told.
func (b *bank) hear(all []Answers, g []group) {
	for _, a := range all {
		for i := range g {
			if back := momentOf(a.At) - g[i].day; a.knows() && back > -together && back < toldDays {
				b.legs[i].told = toldJump
			}
		}
	}
}

// ownMotion was chosen on simulated dogs: see TestKept.
var ownMotion = motion{walk: 0.012, jump: 0.007}

// grid is the coefficients that are looked at, and what is thought of them with
// one level of noise: how likely each is and, with each, the weight.
type grid struct {
	low, step      float64
	prior          []float64 // sums to 1
	mass           []float64 // sums to 1
	mean, variance []float64 // of the weight, kg
	noise          float64
	logs           float64 // logarithm of the likelihood of all that was weighed

	m, v, w []float64 // room to mix in
}

// gridStep is the distance between two coefficients as a share of the prior's
// mean: no posterior is as narrow, since coefficients walk.
const gridStep = 0.02

// newGrid lays a grid over a prior.
func newGrid(prior Prior, start, noise float64) *grid {
	n := int(max(min(math.Round((prior.High-prior.Low)/(gridStep*prior.K)), 160), 8)) + 1
	rows := make([]float64, 7*n)
	row := func(i int) []float64 { return rows[i*n : (i+1)*n] }
	g := &grid{low: prior.Low, step: (prior.High - prior.Low) / float64(n-1), noise: noise,
		prior: row(0), mass: row(1), mean: row(2), variance: row(3), m: row(4), v: row(5), w: row(6)}
	sum := 0.0
	for i := range n {
		g.prior[i] = math.Exp(prior.logDensity(g.at(i)))
		sum += g.prior[i]
	}
	for i := range n {
		g.prior[i] /= sum
		g.mass[i], g.mean[i], g.variance[i] = g.prior[i], start, start*start*startError*startError
	}
	return g
}

func (g *grid) at(i int) float64 { return g.low + float64(i)*g.step }

// mix lets the coefficients change over some days, before the weight moves:
// each takes over what its neighbours leave to it, and all together what jumps
// (interacting multiple models, Blom and Bar-Shalom 1988, IEEE Transactions on
// Automatic Control 33: 780). The weights that come together are matched by one
// normal distribution.
func (g *grid) mix(days float64, how motion) {
	weeks := days / 7
	top := g.at(len(g.mass) - 1)
	// The share that goes to either neighbour must stay a share.
	spread := how.walk * how.walk * weeks / (2 * g.step * g.step)
	times := max(math.Ceil(spread*top*top/0.3), 1)
	if spread > 0 {
		for range int(times) {
			g.walk(spread / times)
		}
	}
	if how.jump > 0 {
		g.leap(1 - math.Pow(1-how.jump, weeks))
	}
}

// walk gives a share, spread times its square, of each coefficient to either
// neighbour.
func (g *grid) walk(spread float64) {
	n := len(g.mass)
	clear(g.w)
	clear(g.m)
	clear(g.v)
	for i := range n {
		k, mean := g.at(i), g.mean[i]
		square := g.variance[i] + mean*mean
		give := func(to int, w float64) {
			g.w[to] += w
			g.m[to] += w * mean
			g.v[to] += w * square
		}
		q := spread * k * k * g.mass[i]
		give(max(i-1, 0), q)
		give(min(i+1, n-1), q)
		give(i, g.mass[i]-2*q)
	}
	g.settle()
}

// leap gives a share of all coefficients to the prior.
func (g *grid) leap(part float64) {
	mean, square := 0.0, 0.0
	for i, w := range g.mass {
		mean += w * g.mean[i]
		square += w * (g.variance[i] + g.mean[i]*g.mean[i])
	}
	for i, w := range g.mass {
		stays, comes := (1-part)*w, part*g.prior[i]
		g.w[i] = stays + comes
		g.m[i] = stays*g.mean[i] + comes*mean
		g.v[i] = stays*(g.variance[i]+g.mean[i]*g.mean[i]) + comes*square
	}
	g.settle()
}

// settle takes over what was mixed.
func (g *grid) settle() {
	for i, w := range g.w {
		if g.mass[i] = w; w > 0 {
			g.mean[i] = g.m[i] / w
			g.variance[i] = max(g.v[i]/w-g.mean[i]*g.mean[i], 0)
		}
	}
}

// weigh judges the coefficients by a weigh-in.
func (g *grid) weigh(l *leg) {
	sum := 0.0
	for i := range g.mass {
		var likelihood float64
		g.mean[i], g.variance[i], likelihood = l.weigh(g.mean[i], g.variance[i], g.noise)
		g.mass[i] *= likelihood
		sum += g.mass[i]
	}
	if !(sum > 0) { // nothing explains it: it says nothing
		copy(g.mass, g.prior)
		return
	}
	for i := range g.mass {
		g.mass[i] /= sum
	}
	g.logs += math.Log(sum)
}

// track runs the legs with each level of noise.
func (b *bank) track(prior Prior, how motion) []*grid {
	var grids []*grid
	for _, noise := range scaleNoises {
		grids = append(grids, newGrid(prior, b.start, noise))
	}
	for i := range b.legs {
		l := &b.legs[i]
		for j := range grids[0].mass {
			if i == 0 {
				break
			}
			if j == 0 {
				for _, g := range grids {
					g.mix(l.days, motion{how.walk, max(how.jump, l.told)})
				}
			}
			to := l.mover(grids[0].at(j))
			for _, g := range grids {
				g.mean[j], g.variance[j] = to.move(g.mean[j], g.variance[j])
			}
		}
		for _, g := range grids {
			g.weigh(l)
		}
	}
	return grids
}

// posterior joins the levels of noise, and spreads what they say of the
// coefficient for what is not known of the energy of tissue.
func (b *bank) posterior(grids []*grid) Posterior {
	best := math.Inf(-1)
	for _, g := range grids {
		best = max(best, g.logs)
	}
	n := len(grids[0].mass)
	p := Posterior{low: grids[0].low, step: grids[0].step, mass: make([]float64, n)}
	sum, kg, noise := 0.0, 0.0, 0.0
	for _, g := range grids {
		share := math.Exp(g.logs - best)
		for i, w := range g.mass {
			w *= share
			sum += w
			kg += w * g.mean[i]
			noise += w * g.noise
			p.scatter(i, w, b.per)
		}
	}
	for i := range p.mass {
		p.mass[i] /= sum
		p.Mean += p.mass[i] * grids[0].at(i)
	}
	if len(b.legs) > 0 {
		p.Weight = nutrition.Kilograms(kg / sum)
		p.Noise = 100 * noise / sum
	}
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
	at = max(min(at, float64(len(p.mass)-1)), 0)
	i := min(int(at), len(p.mass)-2)
	part := at - float64(i)
	p.mass[i] += mass * (1 - part)
	p.mass[i+1] += mass * part
}

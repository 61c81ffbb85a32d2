package judge

import (
	"math"
	"time"

	"gonum.org/v1/gonum/mat"

	"bowlwright/nutrition"
)

// TrendPoint is the fitted weight at a weigh-in. Low and High hold the weight
// in four cases of five.
type TrendPoint struct {
	At             time.Time
	Low, Mid, High nutrition.Kilograms
}

// What gut and water add to a weight: they come and go, and of what they add in
// one week this share is left in the next (our own choice, by the simulated dogs
// of TestKept, which hardly minds 0.4 to 0.7).
const gutError, gutLeft = 0.008, 0.6

// scaleError is what a scale is off by all the time (our own choice).
const scaleError = 0.007

// TrendLine returns the fitted weights of the whole history, one at each day on
// which the dog was weighed.
func TrendLine(h History, p Posterior) []TrendPoint {
	g := groups(h.Weighings)
	if len(g) == 0 || len(p.mass) == 0 {
		return nil
	}
	line := make([]TrendPoint, len(g))
	for j, s := range newBank(h.Intakes, g).smooth(p) {
		const z = 1.2816                          // the normal quantile of 0.9
		mid := max(s.mean.AtVec(0), leastCarried) // smoothing may lose it where the food is what no dog eats
		half := z * math.Hypot(math.Sqrt(max(s.cov.At(0, 0), 0)), scaleError*mid)
		line[j] = TrendPoint{
			At:   h.Weighings[g[j].last].At,
			Low:  nutrition.Kilograms(max(mid-half, leastCarried)),
			Mid:  nutrition.Kilograms(mid),
			High: nutrition.Kilograms(mid + half),
		}
	}
	return line
}

// state is a weight, a coefficient and what gut and water add to the weight on the
// scale, as a normal distribution.
type state struct {
	mean *mat.VecDense
	cov  *mat.Dense
	last *mat.Dense // covariance of the last state with this one, as smooth has it
}

// apart is the covariance of a state of which nothing has to do with the rest.
func apart(weight, coefficient, gut float64) *mat.DiagDense {
	return mat.NewDiagDense(3, []float64{weight * weight, coefficient * coefficient, gut * gut})
}

// after is the state at the end of a leg, and what becomes there of a difference at
// its start.
func (s state) after(l *leg, k float64) (state, *mat.Dense) {
	to := l.mover(k)
	pull := (l.mover(2*k).drift - to.drift) / k // of the coefficient on the weight
	left := math.Pow(gutLeft, l.days/7)
	weight, spread := to.move(s.mean.AtVec(0), 0)
	weight = max(weight+pull*(s.mean.AtVec(1)-k), leastCarried)
	move, cov := mat.NewDense(3, 3, []float64{to.keep, pull, 0, 0, 1, 0, 0, 0, left}), &mat.Dense{}
	cov.Product(move, s.cov, move.T())
	cov.Add(cov, apart(math.Sqrt(spread), ownMotion.walk*k*math.Sqrt(l.days/7), gutError*l.centre*math.Sqrt(1-left*left)))
	return state{mean: mat.NewVecDense(3, []float64{weight, s.mean.AtVec(1), left * s.mean.AtVec(2)}), cov: cov}, move
}

// scaled is what the scale makes of a state. It shows weight and gut together.
func (s state) scaled(l *leg, noise float64) state {
	shows, with := mat.NewVecDense(3, []float64{1, 0, 1}), &mat.VecDense{}
	with.MulVec(s.cov, shows)
	shown, spread := mat.Dot(shows, s.mean), mat.Dot(shows, with)
	mean, left, _ := l.weigh(shown, spread, noise)
	n := state{mean: &mat.VecDense{}, cov: &mat.Dense{}}
	n.last = n.cov // until more is known it is the last itself
	n.mean.AddScaledVec(s.mean, (mean-shown)/spread, with)
	n.cov.RankOne(s.cov, (left-spread)/(spread*spread), with, with)
	return n
}

// given is a state by what is known of the next one, of which less was foretold.
func (s state) given(next, foretold state, move *mat.Dense) state {
	back, off, less := &mat.Dense{}, &mat.VecDense{}, &mat.Dense{}
	if back.Inverse(foretold.cov) != nil {
		return state{s.mean, s.cov, mat.NewDense(3, 3, nil)}
	}
	back.Product(s.cov, move.T(), back)
	off.SubVec(next.mean, foretold.mean)
	off.MulVec(back, off)
	off.AddVec(s.mean, off)
	less.Sub(next.cov, foretold.cov)
	less.Product(back, less, back.T())
	less.Add(s.cov, less)
	back.Mul(next.last, back.T())
	return state{off, less, back}
}

// smooth runs a filter along the legs and back again (Rauch, Tung and Striebel
// 1965, AIAA Journal 3: 1445), so that each state rests on the weigh-ins after it
// too. The coefficient walks: were it the same all the time, a line through a
// steady loss would bend away from the scale.
func (b *bank) smooth(p Posterior) []state {
	n, k := len(b.legs), p.Mean
	noise := math.Sqrt(max(p.Noise*p.Noise/1e4, scaleNoises[0]*scaleNoises[0]) - gutShare*gutShare)
	states, before, moves := make([]state, n), make([]state, n), make([]*mat.Dense, n)
	s := state{mean: mat.NewVecDense(3, []float64{b.start, k, 0}), cov: mat.DenseCopyOf(apart(startError*b.start, priorSpread*k, gutError*b.start))}
	for i := range b.legs {
		if i > 0 {
			s, moves[i] = s.after(&b.legs[i], k)
		}
		before[i] = s
		s = s.scaled(&b.legs[i], noise)
		states[i] = s
	}
	for i := n - 2; i >= 0; i-- {
		states[i] = states[i].given(states[i+1], before[i+1], moves[i+1])
	}
	return states
}

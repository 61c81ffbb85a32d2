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

// gutError is the standard error that gut and water leave in a fitted weight, as
// a share: they carry over from week to week, so neighbours do not even it out.
const gutError = 0.006

// TrendLine returns the fitted weights of the whole history, one at each day on
// which the dog was weighed: a filter of weight and coefficient, run forward and
// back again (Rauch, Tung and Striebel 1965, AIAA Journal 3: 1445), so that each
// rests on the weigh-ins after it too. The coefficient walks, by as much as the
// estimate lets it walk and jump: were it the same all the time, a line through
// a steady loss would bend away from the scale.
func TrendLine(h History, p Posterior) []TrendPoint {
	g := groups(h.Weighings)
	if len(g) == 0 || len(p.mass) == 0 {
		return nil
	}
	noise := p.Noise / 100
	if noise <= 0 {
		noise = scaleNoises[1]
	}
	line := make([]TrendPoint, len(g))
	for j, s := range newBank(h.Intakes, g).smooth(p.Mean, noise) {
		const z = 1.2816 // the normal quantile of 0.9
		half := z * math.Sqrt(math.Max(s.ww, 0)+gutError*gutError*s.w*s.w)
		mid := math.Max(s.w, leastCarried) // smoothing may lose it where the food is what no dog eats
		line[j] = TrendPoint{
			At:   h.Weighings[g[j].last].At,
			Low:  nutrition.Kilograms(math.Max(mid-half, leastCarried)),
			Mid:  nutrition.Kilograms(mid),
			High: nutrition.Kilograms(mid + half),
		}
	}
	return line
}

// lineWalk is how far a coefficient goes in a root of a week, as a share: the
// spread of what ownMotion walks and jumps.
var lineWalk = math.Sqrt(ownMotion.walk*ownMotion.walk + ownMotion.jump*priorSpread*priorSpread)

// state is a weight and a coefficient as a normal distribution.
type state struct{ w, k, ww, wk, kk float64 }

// onto is the state where its weight is known to be otherwise distributed.
func (s state) onto(w, ww float64) state {
	share := s.wk / s.ww
	s.k += share * (w - s.w)
	s.kk += share * share * (ww - s.ww)
	s.w, s.ww, s.wk = w, ww, share*ww
	return s
}

// smooth runs the filter along the legs and back again.
func (b *bank) smooth(k, noise float64) []state {
	n := len(b.legs)
	after, before := make([]state, n), make([]state, n)
	keeps, pulls := make([]float64, n), make([]float64, n)
	s := state{w: b.start, k: k, ww: b.start * b.start * startError * startError, kk: priorSpread * priorSpread * k * k}
	for i := range b.legs {
		l := &b.legs[i]
		if i > 0 {
			to := l.mover(k)
			keep, pull := to.keep, (l.mover(2*k).drift-to.drift)/k // of what the weight becomes, by weight and by coefficient
			w := math.Max(l.centre+(s.w-l.centre)*keep+to.drift+pull*(s.k-k), leastCarried)
			s = state{w, s.k,
				keep*keep*s.ww + 2*keep*pull*s.wk + pull*pull*s.kk + to.spread,
				keep*s.wk + pull*s.kk,
				s.kk + lineWalk*lineWalk*k*k*l.days/7}
			keeps[i], pulls[i] = keep, pull
		}
		before[i] = s
		w, ww, _ := l.weigh(s.w, s.ww, noise)
		s = s.onto(w, ww)
		after[i] = s
	}
	for i := n - 2; i >= 0; i-- {
		after[i] = after[i].given(after[i+1], before[i+1], keeps[i+1], pulls[i+1])
	}
	return after
}

// given is a filtered state by what is known of the next one, of which less was
// foretold.
func (s state) given(next, foretold state, keep, pull float64) state {
	det := foretold.ww*foretold.kk - foretold.wk*foretold.wk
	if !(det > 0) {
		return s
	}
	ow, ok := keep*s.ww+pull*s.wk, keep*s.wk+pull*s.kk // covariances of this weight and coefficient with the next weight
	a, b := (ow*foretold.kk-s.wk*foretold.wk)/det, (s.wk*foretold.ww-ow*foretold.wk)/det
	c, d := (ok*foretold.kk-s.kk*foretold.wk)/det, (s.kk*foretold.ww-ok*foretold.wk)/det
	dw, dk := next.w-foretold.w, next.k-foretold.k
	vw, vc, vk := next.ww-foretold.ww, next.wk-foretold.wk, next.kk-foretold.kk
	return state{
		s.w + a*dw + b*dk,
		s.k + c*dw + d*dk,
		s.ww + a*a*vw + 2*a*b*vc + b*b*vk,
		s.wk + a*c*vw + (a*d+b*c)*vc + b*d*vk,
		s.kk + c*c*vw + 2*c*d*vc + d*d*vk,
	}
}

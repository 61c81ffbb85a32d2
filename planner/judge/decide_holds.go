package judge

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// The weight is said to hold where it is sure enough that it has changed by next
// to nothing in six weeks, by the weigh-ins and by what was eaten; surer where the
// food was changed in that time, since few weigh-ins tell of it yet (our own
// choices, by the simulated dogs of TestKept).
const (
	holdDays = 42
	holdMost = 1.5 // %
	holdSure = 0.77
	holdFed  = 0.84
)

// holdsOf reports that the weight holds.
func holdsOf(h History, p Posterior) bool {
	if daysSince(h.Changed, h.Now) < holdDays {
		return stillness(h, p) >= holdFed
	}
	return stillness(h, p) >= holdSure
}

// stillness is how likely it is that the weight has changed by less than holdMost.
func stillness(h History, p Posterior) float64 {
	g := window(groups(h.grown()))
	states := newBank(h.Intakes, g).smooth(p)
	n := len(g) - 1
	for i := n - 1; i >= 0; i-- {
		days := g[n].day - g[i].day
		if days < holdDays-checkInDays/2 {
			continue
		}
		then, now, share := states[i], states[n], 100/states[i].mean.AtVec(0)*holdDays/days
		off := share * math.Sqrt(max(now.cov.At(0, 0)+then.cov.At(0, 0)-2*then.last.At(0, 0), 0))
		change := distuv.Normal{Mu: share * (now.mean.AtVec(0) - then.mean.AtVec(0)), Sigma: off}
		return change.CDF(holdMost) - change.CDF(-holdMost)
	}
	return 0
}

package judge

import (
	"math"
)

// The weight is said to hold where it has hardly changed in six weeks, both by
// the trend through the weigh-ins and by what was eaten against the dog's own
// need. The mean of the two is nearer to the truth than either (our own
// choices, by the simulated dogs of TestKept).
const (
	holdDays = 42
	holdMost = 0.82 // %, of the mean
	holdFed  = 0.6  // the same where the food was changed in that time
	holdEach = 1.5  // %, of either
)

// holdsOf reports that the weight holds.
func holdsOf(h History, posts []Posterior) bool {
	p := posts[len(posts)-1]
	byLine, ok := lineChange(h, p)
	byFood, most := foodChange(h, p), holdMost
	if daysSince(h.Changed, h.Now) < holdDays {
		most = holdFed
	}
	return ok && math.Abs(byLine) <= holdEach && math.Abs(byFood) <= holdEach && math.Abs(byLine+byFood)/2 <= most
}

// lineChange is the change of the trend in six weeks, %.
func lineChange(h History, p Posterior) (float64, bool) {
	line := TrendLine(h, p)
	n := len(line) - 1
	for i := n - 1; i >= 0; i-- {
		days := momentOf(line[n].At) - momentOf(line[i].At)
		if days >= holdDays-checkInDays/2 {
			return percent(float64(line[n].Mid), float64(line[i].Mid)) * holdDays / days, true
		}
	}
	return 0, false
}

// foodChange is the change in six weeks, %, that follows from what was eaten in
// them and the dog's own need.
func foodChange(h History, p Posterior) float64 {
	g := groups(h.grown())
	kg, last := float64(p.Weight), g[len(g)-1].day
	if len(h.Intakes) == 0 || kg <= 0 {
		return 0
	}
	from := math.Max(last-holdDays, float64(h.Intakes[0].From.Number()))
	kcal, _ := newRation(h.Intakes, from).between(from, last)
	over := kcal/math.Max(last-from, 1) - p.Mean*math.Pow(kg, 0.75)
	return 100 * over * holdDays / tissueEnergy / kg
}

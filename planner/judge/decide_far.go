package judge

import (
	"math"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// How far, in %, a weight may be from the goal or from the extremes of a year,
// and how often that is said again (common veterinary practice: 10 % in all).
const (
	offMost = 10.0
	offDays = 30.0
	yearOf  = 365.0
	// knownWeighs is how many weigh-ins make a weight that was held.
	knownWeighs = 8
)

// smoothed is the medians of three weigh-ins running, the first at the third.
func smoothed(g []group) []group {
	var out []group
	for i := 2; i < len(g); i++ {
		out = append(out, group{g[i].day, middleOf(g[i-2 : i+1]), g[i].last})
	}
	return out
}

// farWarnings warns of a weight 10 % from the goal, or from the highest and the
// lowest of a year, when it is crossed and then once a month. While a dog that
// is to lose or gain is on its way to the goal, the goal is no reason to warn.
func farWarnings(h History, goal planner.Goal) []Warning {
	s := smoothed(groups(h.grown()))
	if len(s) == 0 {
		return nil
	}
	var all []Warning
	ideal := float64(h.Ideal)
	if ideal > 0 && goal != planner.LoseGoal {
		all = said(all, OverTenth, s, func(i int) float64 { return percent(s[i].weight, ideal) }, 1)
	}
	if ideal > 0 && goal != planner.GainGoal {
		all = said(all, UnderTenth, s, func(i int) float64 { return percent(s[i].weight, ideal) }, -1)
	}
	if off := percent(s[len(s)-1].weight, ideal); len(all) > 0 || ideal > 0 && math.Abs(off) > offMost {
		return all // said of the goal, it need not be said of the extremes too
	}
	// A plan that brings a dog to its goal takes it away from an extreme.
	if goal == planner.HoldGoal {
		all = said(all, FromHigh, s, func(i int) float64 { return fromHigh(s, i, h) }, -1)
		all = said(all, FromLow, s, func(i int) float64 { return fromExtreme(s, i, math.Min) }, 1)
	}
	return all
}

// fromExtreme is how far the i-th weight is from the highest or lowest of the
// year before it, %.
func fromExtreme(s []group, i int, of func(a, b float64) float64) float64 {
	most := s[i].weight
	for j := i; j >= 0 && s[i].day-s[j].day <= yearOf; j-- {
		most = of(most, s[j].weight)
	}
	return percent(s[i].weight, most)
}

// fromHigh is how far the i-th weight is under the highest of the year before
// it, %. A loss that was meant does not count: that of a dog over its goal that
// has been fed less since.
func fromHigh(s []group, i int, h History) float64 {
	off := fromExtreme(s, i, math.Max)
	top := s[i].weight / (1 + off/100)
	if ideal := float64(h.Ideal); ideal > 0 && top > ideal && fedLess(h, s[i].day-yearOf) {
		off = min(percent(s[i].weight, ideal), 0)
	}
	return off
}

// fedLess reports that the daily kcal was lowered after a moment.
func fedLess(h History, since float64) bool {
	for i, c := range h.Changes {
		if i > 0 && momentOf(c.At) >= since && c.Kcal < h.Changes[i-1].Kcal*(1-smallestStep) {
			return true
		}
	}
	return false
}

// said adds a warning where the newest weight is the first that is too far in
// the direction of sign, or the first of another month since then.
func said(all []Warning, of Reason, s []group, off func(int) float64, sign float64) []Warning {
	n := len(s) - 1
	first := n
	for first >= 0 && sign*off(first) > offMost {
		first--
	}
	if first++; first > n {
		return all
	}
	months := func(i int) int { return int((s[i].day - s[first].day) / offDays) }
	if first == n || months(n) > months(n-1) {
		all = append(all, Warning{of, off(n)})
	}
	return all
}

// onOldFood returns the weigh-ins as they would have been had the dog not been
// fed more since a vet last saw it, or in a year; fed is false if it was not
// fed more. Part of the weight so added is lost again, as a heavier dog burns
// more.
func onOldFood(h History, posts []Posterior) (w []Weighing, fed bool) {
	if len(posts) == 0 || len(h.Changes) < 2 {
		return nil, false
	}
	k := posts[len(posts)-1].Mean
	now := momentOf(h.Now)
	base, since, added := nutrition.Kcal(0), 0.0, 0.0
	i := 0
	for _, x := range h.grown() {
		at := momentOf(x.At)
		kg := float64(x.Weight)
		for day := max(since, now-yearOf); since > 0 && day < at; day++ {
			for i < len(h.Changes) && momentOf(h.Changes[i].At) <= day {
				if c := h.Changes[i]; base == 0 || c.Kcal < base || !c.At.After(h.VetSeen) || now-momentOf(c.At) > yearOf {
					base = c.Kcal
				}
				i++
			}
			if i > 0 && base > 0 {
				added += float64(h.Changes[i-1].Kcal-base)/tissueEnergy - added*0.75*k/math.Pow(kg, 0.25)/tissueEnergy
			}
		}
		since = at
		fed = fed || added > 0
		x.Weight = nutrition.Kilograms(max(kg-added, leastCarried))
		w = append(w, x)
	}
	return w, fed
}

// fallOf is how far the last of some weights is under the highest of a year, or
// since a vet saw the dog, %.
func fallOf(w []Weighing, h History) float64 {
	for len(w) > 0 && !w[0].At.After(h.VetSeen) {
		w = w[1:]
	}
	s := smoothed(groups(w))
	if len(s) == 0 {
		return 0
	}
	return fromHigh(s, len(s)-1, h)
}

// fallen is how far the last weigh-in is under the highest weight that was held
// over five weigh-ins of a year, or since a vet saw the dog, %; 0 where the carer
// knows why or fewer than two months are known. Food that was added since counts
// as though it had not been given.
func fallen(h History, posts []Posterior) (fall float64, fed bool) {
	w, fed := onOldFood(h, posts)
	if !fed {
		w = h.grown()
	}
	for len(w) > 0 && !w[0].At.After(h.VetSeen) {
		w = w[1:]
	}
	g := groups(w)
	n := len(g)
	if n < knownWeighs || reasoned(h, h.Now) {
		return 0, fed
	}
	last := g[n-1].day
	high := 0.0
	for i := 4; i < n; i++ {
		if last-g[i].day <= yearOf {
			high = max(high, middleOf(g[i-4:i+1]))
		}
	}
	if ideal := float64(h.Ideal); ideal > 0 && high > ideal && fedLess(h, last-yearOf) {
		high = ideal // what it lost above its goal was meant
	}
	// The median of three is of a week ago, as the slope has it.
	behind := last - (last+g[n-2].day+g[n-3].day)/3
	return percent(middleOf(g[n-3:]), high) + min(slopeOver(g, holdDays).Mid, 0)*behind/7, fed
}

// middleOf is the median weight of some groups.
func middleOf(g []group) float64 {
	kg := make([]float64, len(g))
	for i := range g {
		kg[i] = g[i].weight
	}
	return median(kg)
}

package planner

import "math"

// Limits of a change of weight beyond which a vet comes first (common
// veterinary practice).
const (
	fastFall    = 2.0 // % a week
	monthChange = 5.0 // % in a month, without a plan
	monthDays   = 30.0
)

// How much evidence a warning needs: weigh-ins of so many days, over so long.
const (
	warnWeighs = 3
	warnDays   = 13.0
	// unlike is how far, in %, the last weigh-in must be off the month before
	// to be weighed again: more than a scale is off by.
	unlike = 5.0
)

// warning returns the reason for a vet line, or WeighAgain, and the change of
// weight in %; no reason where there is none. It looks at the weigh-ins of the
// last month, and at none from before a vet saw the dog.
//
// The slope is the robust one: a single wrong weigh-in gives no warning of its
// own, but is asked again, and two running that agree count as they are.
func warning(h History, goal Goal) (Reason, float64) {
	w := h.Weighings
	for len(w) > 0 && !w[0].At.After(h.VetSeen) {
		w = w[1:]
	}
	for len(w) > 0 && momentOf(h.Now)-momentOf(w[0].At) > monthDays+0.5 {
		w = w[1:]
	}
	if goal == GrowGoal || len(w) < 2 {
		return "", 0
	}
	g := groups(w)
	s := slopeOver(g, monthDays)
	reason, change := Reason(""), 0.0
	if s.WeighIns >= warnWeighs && s.Days >= warnDays {
		reason, change = tooFast(s.Mid, s.Mid*s.Days/7, goal)
	}
	if reason != "" {
		return reason, change
	}
	return sudden(w, goal)
}

// tooFast judges a slope in % a week, and the change in % that it made.
func tooFast(aWeek, inAll float64, goal Goal) (Reason, float64) {
	switch {
	case aWeek < -fastFall:
		return FallFast, aWeek
	case inAll < -monthChange && goal != LoseGoal:
		return FallMonth, inAll
	case inAll > monthChange && goal != GainGoal:
		return RiseMonth, inAll
	}
	return "", 0
}

// sudden compares the last weigh-in with those of the month before it. Where
// the one before it, at least an hour earlier, says the same, it is so.
func sudden(w []Weighing, goal Goal) (Reason, float64) {
	last := w[len(w)-1]
	i := len(w) - 1
	for i > 0 && last.At.Sub(w[i-1].At).Hours() < 1 {
		i--
	}
	if i == 0 {
		return "", 0
	}
	change := percent(float64(last.Weight), medianWeight(w[:i]))
	if math.Abs(change) < unlike {
		return "", 0
	}
	if i > 1 {
		before := percent(float64(w[i-1].Weight), medianWeight(w[:i-1]))
		switch {
		case change < 0 && before < -unlike && goal != LoseGoal:
			return FallMonth, change
		case change > 0 && before > unlike && goal != GainGoal:
			return RiseMonth, change
		}
	}
	return WeighAgain, change
}

// percent is how much a is above b.
func percent(a, b float64) float64 { return 100 * (a/b - 1) }

package judge

import (
	"math"
	"slices"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Limits of a change of weight beyond which a vet comes first (common
// veterinary practice).
const (
	fastFall    = 2.0 // % a week
	fastRise    = 3.0 // % a week: fluid or a growing belly, not food
	monthChange = 5.0 // % in a month, without a plan
	monthDays   = 30.0
	fallenMost  = 5.0  // % in any time, from a weight that was held, and nobody knows why
	longMonth   = 45.0 // with weeks missed
)

// How much evidence a warning needs: weigh-ins of so many days over so long,
// and how sure it must be. A needless vet line costs a call, a missed one may
// cost more; hence less than sureEnough.
const (
	warnWeighs = 3
	warnDays   = 13.0
	warnSure   = 0.70
	// unlike is how far, in %, the last weigh-in must be off the month before
	// it to be asked again: more than a scale's error.
	unlike = 5.0
)

// Warning is something for a vet.
type Warning struct {
	Of     Reason
	Change float64 // % a week for FallFast, RiseFast and FallFedFast, % for the others
}

// What warnings are of. FallFed, FallFedFast and FallenFed leave out the weight
// that more food has added.
const (
	FallFast    Reason = "fall-fast"     // more than 2 % a week
	RiseFast    Reason = "rise-fast"     // more than 3 % a week
	FallMonth   Reason = "fall-month"    // more than 5 % in a month without a plan
	RiseMonth   Reason = "rise-month"    // the same the other way
	FallFedFast Reason = "fall-fed-fast" // 2 % a week, had it not been fed up
	FallFed     Reason = "fall-fed"      // 5 % in a month or 10 % in all, had it not been fed up
	FallOn      Reason = "fall-on"       // it has lost on since a vet saw it, % since then
	FallThin    Reason = "fall-thin"     // a thin dog still loses, % over the last six weeks
	Fallen      Reason = "fallen"        // more than 5 % under a weight that it held
	FallenFed   Reason = "fallen-fed"    // the same, had it not been fed up
	OverTenth   Reason = "over-tenth"    // 10 % over its goal weight
	UnderTenth  Reason = "under-tenth"
	FromHigh    Reason = "from-high" // 10 % under its highest weight of a year
	FromLow     Reason = "from-low"  // 10 % over its lowest
)

// warningsOf returns the warnings of a history or, where the last weigh-in must
// be done again before it means anything, its change of weight in %.
//
// Whatever the reason for a change, the scale shows it. A single odd weigh-in
// gives no warning but is asked again; two running that agree count as they
// are.
func warningsOf(h History, goal planner.Goal, posts []Posterior) (all []Warning, again float64) {
	if goal == planner.GrowGoal {
		return nil, 0
	}
	if reason, change := rateWarning(h.grown(), h, goal); reason == WeighAgain {
		return nil, change
	} else if reason != "" {
		all = append(all, Warning{reason, change})
	} else if change := fallOn(h, goal); change < 0 {
		all = append(all, Warning{FallOn, change})
	} else if w, fed := onOldFood(h, posts); fed && goal != planner.LoseGoal {
		if reason, change := rateWarning(w, h, goal); reason == FallMonth {
			all = append(all, Warning{FallFed, change})
		} else if reason == FallFast {
			all = append(all, Warning{FallFedFast, change})
		} else if fall := fallOf(w, h); fall < -offMost {
			all = append(all, Warning{FallFed, fall})
		}
	}
	far := farWarnings(h, goal)
	if len(all)+len(far) > 0 || goal != planner.HoldGoal {
		return append(all, far...), 0
	}
	if fall, fed := fallen(h, posts); fall < -fallenMost {
		of := Fallen
		if fed {
			of = FallenFed
		}
		all = append(all, Warning{of, fall})
	}
	return all, 0
}

// rateWarning looks at the weigh-ins of the last month, and at none from before
// a vet saw the dog. A rate rests on none that the others contradict.
func rateWarning(w []Weighing, h History, goal planner.Goal) (Reason, float64) {
	for len(w) > 0 && (!w[0].At.After(h.VetSeen) || momentOf(h.Now)-momentOf(w[0].At) > oddDays+longMonth) {
		w = w[1:]
	}
	g := groups(ofMonth(agreed(w), h))
	for _, days := range [...]float64{longMonth, monthDays, monthDays / 2} {
		for len(g) > 0 && g[len(g)-1].day-g[0].day > days+0.5 {
			g = g[1:]
		}
		if len(g) < warnWeighs || g[len(g)-1].day-g[0].day < warnDays {
			continue
		}
		if reason, change := tooFast(ratesOf(g, h.Step), (g[len(g)-1].day-g[0].day)/7, goal); reason != "" {
			// Of a month what the scale shows, where that is not more than it makes
			// likely.
			if shown := percent(g[len(g)-1].weight, g[0].weight); (reason == FallMonth || reason == RiseMonth) && shown*change > 0 && math.Abs(shown) < math.Abs(change) {
				change = shown
			}
			return reason, change
		}
	}
	return sudden(ofMonth(w, h), h.Step, goal)
}

// lostOn is what a dog that fell before a vet saw it must have lost since, in %, at two
// weigh-ins running, for the vet to hear of it (our own choice: more than a scale's noise).
const lostOn = 2.0

// fallOn is by how much a dog is under its last weight before a vet saw it, in %, where
// it would be warned of had no vet; 0 where it does not lose on.
func fallOn(h History, goal planner.Goal) float64 {
	all := h.grown()
	n := slices.IndexFunc(all, func(w Weighing) bool { return w.At.After(h.VetSeen) })
	h.VetSeen = time.Time{}
	if n < 1 || len(all)-n < 2 || goal == planner.LoseGoal {
		return 0
	}
	if _, change := rateWarning(all, h, goal); change >= 0 {
		return 0
	}
	was := float64(all[n-1].Weight)
	last := percent(float64(all[len(all)-1].Weight), was)
	if max(last, percent(float64(all[len(all)-2].Weight), was)) > -lostOn {
		return 0
	}
	return last
}

// ofMonth returns the weigh-ins of the last month. Where weeks were missed the last
// before it counts too, or a fall over those weeks would not be seen.
func ofMonth(w []Weighing, h History) []Weighing {
	i, now := len(w), momentOf(h.Now)
	for i > 0 && now-momentOf(w[i-1].At) <= monthDays+0.5 {
		i--
	}
	if i > 0 && len(w)-i <= warnWeighs && now-momentOf(w[i-1].At) < longMonth {
		i--
	}
	return w[i:]
}

// agreed leaves out each weigh-in that is odd by those before it, where neither the
// one before nor the next is odd the same way.
func agreed(w []Weighing) (kept []Weighing) {
	was := 0.0
	for i, x := range w {
		if off := odd(kept, x); off == 0 || off*was > 0 || i+1 < len(w) && off*odd(kept, w[i+1]) > 0 {
			kept, was = append(kept, x), off
		}
	}
	return kept
}

// oddDays is how far back odd looks (our own choice).
const oddDays = 60

// odd is how far, in %, a weigh-in that nobody confirmed is from what those before
// it foretell; 0 where that is no more than unlike.
func odd(before []Weighing, x Weighing) float64 {
	day, at := momentOf(x.At), 0.0
	for len(before) > 0 && day-momentOf(before[0].At) > oddDays {
		before = before[1:]
	}
	if len(before) == 0 || x.Sure {
		return 0
	}
	for _, b := range before {
		at += momentOf(b.At) / float64(len(before))
	}
	foretold := slopeOver(groups(before), oddDays).Mid * (day - at) / 7
	if off := percent(float64(x.Weight), medianWeight(before)) - foretold; math.Abs(off) > unlike {
		return off
	}
	return 0
}

// tooFast judges the rates in % a week that are likely over so many weeks.
func tooFast(rates Posterior, weeks float64, goal planner.Goal) (Reason, float64) {
	aMonth := monthChange / weeks
	switch {
	case rates.Below(-fastFall) >= warnSure:
		return FallFast, rates.Mean
	case rates.Above(fastRise) >= warnSure:
		return RiseFast, rates.Mean
	case rates.Below(-aMonth) >= warnSure, rates.Above(aMonth) >= warnSure:
		return inMonth(rates.Mean, goal), rates.Mean * weeks
	}
	return "", 0
}

// Rates of change, in % a week, that ratesOf looks at, and how far they are
// spread before any weigh-in (common practice, no source).
const (
	mostRate   = 10.0
	rateStep   = 0.25
	rateSpread = 2.0
	// firstError is startError where dogs may change fast.
	firstError = 0.06
	// gutWander is how far gut and water may carry a weight in a day, as a
	// variance: 0.4 % of it in a week.
	gutWander = 0.004 * 0.004 / 7
)

// rateNoises are the scale's alone, less than those of the estimate: a warning is
// early on purpose.
var rateNoises = [...]float64{0.006, 0.010, 0.014}

// ratesOf returns how likely each rate of change is, by a straight line
// through a few weigh-ins with the noise of a bank and, where the steps of the
// scale are coarser than that, of their rounding.
func ratesOf(g []group, step nutrition.Kilograms) Posterior {
	b := newBank(nil, g)
	rounding := float64(step) / math.Sqrt(12) / b.start // the standard error of what is even within a step
	if rounding < rateNoises[0]/2 {
		rounding = 0
	}
	n := int(2*mostRate/rateStep) + 1
	p := Posterior{low: -mostRate, step: rateStep, mass: make([]float64, n)}
	logs, best := make([]float64, n), math.Inf(-1)
	for i := range logs {
		rate := p.low + float64(i)*p.step
		sum := 0.0
		for _, noise := range rateNoises {
			sum += b.drift(rate/100/7, math.Hypot(noise, rounding))
		}
		logs[i] = math.Log(sum) - rate*rate/(2*rateSpread*rateSpread)
		best = max(best, logs[i])
	}
	total := 0.0
	for i, l := range logs {
		p.mass[i] = math.Exp(l - best)
		total += p.mass[i]
	}
	for i := range p.mass {
		p.mass[i] /= total
		p.Mean += p.mass[i] * (p.low + float64(i)*p.step)
	}
	return p
}

// drift returns the likelihood of weigh-ins, few enough for no logarithm, of a
// weight that changes by a share of it each day.
func (b *bank) drift(rate, noise float64) float64 {
	mean, variance := b.start, b.start*b.start*firstError*firstError
	product, likelihood := 1.0, 0.0
	for i := range b.legs {
		l := &b.legs[i]
		mean = max(mean*(1+rate*l.days), leastCarried)
		variance += l.spread + gutWander*l.centre*l.centre*l.days
		mean, variance, likelihood = l.weigh(mean, variance, noise)
		product *= likelihood
	}
	return product
}

// sudden compares the last weigh-in with those of the month before it. It
// stands where the one before it, at least an hour earlier, says the same, or a
// carer said that it is right.
func sudden(w []Weighing, step nutrition.Kilograms, goal planner.Goal) (Reason, float64) {
	if len(w) < 2 {
		return "", 0
	}
	last := w[len(w)-1]
	i := len(w) - 1
	for i > 0 && last.At.Sub(w[i-1].At).Hours() < 1 {
		i--
	}
	if i == 0 {
		return "", 0
	}
	change := percent(float64(last.Weight), medianWeight(w[:i]))
	if change > -unlike && change < max(unlike, 199*float64(step/last.Weight)) { // a rise of as good as two steps of the scale
		return "", 0
	}
	stands := last.Sure
	if i > 2 { // one weigh-in alone is no month to compare with
		before := percent(float64(w[i-1].Weight), medianWeight(w[:i-1]))
		stands = stands || before*change > 0 && math.Abs(before) > unlike
	}
	of := inMonth(change, goal)
	if !stands || of == "" && !last.Sure {
		return WeighAgain, change
	}
	return of, change
}

// inMonth is what too much of a change in a month is, nothing where it is meant.
func inMonth(change float64, goal planner.Goal) Reason {
	switch {
	case change < 0 && goal != planner.LoseGoal:
		return FallMonth
	case change > 0 && goal != planner.GainGoal:
		return RiseMonth
	}
	return ""
}

// percent is how much a is above b.
func percent(a, b float64) float64 { return 100 * (a/b - 1) }

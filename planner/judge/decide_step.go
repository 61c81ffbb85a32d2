package judge

import (
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// step works out the change within its limits, and what comes before it.
func (r Decision) step(d planner.Dog, h History, posts []Posterior, why Reason, now time.Time) Decision {
	d.Kcal = 0
	most := float64(planner.NeedOf(d, now).High)
	if vetSaw(h, now) {
		most *= priorMost / (1 + nutrition.EnergySpread)
	}
	planned := float64(r.Now)
	want := float64(r.Target.Kcal) - float64(h.Treats)
	floor := r.Target.floor - float64(h.Treats)
	if why == TooLittle {
		want = min(want, math.Floor(most))
	} else {
		want = max(want, math.Ceil(floor))
	}
	then := math.Round(max(min(want, planned*(1+largestStep)), planned*(1-largestStep)))
	switch change := then/planned - 1; {
	case why == TooLittle && (change < smallestStep || want < planned): // which rounding may hide
		return r.say(VetLine, AboveRange)
	case why == TooMuch && change > -smallestStep:
		return r.say(VetLine, BelowResting)
	}
	r.Then, r.Factor = nutrition.Kcal(then), then/planned
	r.InTheEnd, r.Steps = r.Then, 1
	end := r.Target.inTheEnd(posts[len(posts)-1].Mean) - float64(h.Treats)
	if end = max(min(end, math.Floor(most)), math.Ceil(floor)); (end/then-1)*(then/planned-1) > 0 && math.Abs(end/then-1) > tolerance {
		r.InTheEnd, r.Steps = nutrition.Kcal(math.Round(end)), stepsTo(planned, end)
	}
	n := len(h.Scores)
	if (d.Ideal == 0 || d.IdealFrom != planner.GoalSet) && (n == 0 || daysSince(h.Scores[n-1].At, now) > scoreDays) {
		r.First = ScoreFirst
	}
	if why == TooLittle {
		return r.gateUp(d, h, now)
	}
	if jumped(h) {
		r.First, r.FirstWhy = VetFirst, RiseFast
	}
	return r.say(Suggest, why)
}

// jumped reports that within a week of the last six the weight rose by more than
// food makes of it, and stayed there: that is for a vet before less is fed.
func jumped(h History) bool {
	g := groups(h.grown())
	last := len(g) - 1
	for i := max(last-holdDays/7, 1); i < last; i++ {
		if g[i].day-g[i-1].day > jumpDays || momentOf(h.Now)-g[i].day > holdDays || !h.Weighings[g[i].last].At.After(h.VetSeen) {
			continue
		}
		was := max(g[i-1].weight, middleOf(g[max(i-3, 0):i]))
		stayed := !slices.ContainsFunc(g[i:], func(x group) bool { return percent(x.weight, was) <= fastRise })
		if stayed && !reasoned(h, h.Now) {
			return true
		}
	}
	return false
}

// stepsTo counts the steps of a tenth from one figure to another.
func stepsTo(from, to float64) int {
	steps := 1
	for math.Abs(to/from-1) > largestStep+0.03 && steps < 9 {
		from *= 1 + math.Copysign(largestStep, to-from)
		steps++
	}
	return steps
}

const (
	scoreDays  = 56   // for how long a condition score counts
	answerDays = 14   // the four questions, from one step up to the next
	jumpDays   = 10.5 // between two weigh-ins a week apart
	seenDays   = 60   // a vet's visit
	secondDays = 120  // a second step up sooner than this is for a vet first
	scaleDays  = 28   // a new scale, before it can tell of the food
	// risen is by how much a dog's need may rise over what was known of it
	// before somebody must know why.
	risen = 0.10
)

func daysSince(t, now time.Time) float64 {
	if t.IsZero() {
		return math.Inf(1)
	}
	return momentOf(now) - momentOf(t)
}

// vetSaw reports that a vet has seen the dog of late.
func vetSaw(h History, now time.Time) bool { return daysSince(h.VetSeen, now) <= seenDays }

// gateUp holds a step up against what hides behind a rising need: feeding up
// hides an illness. Answers that speak for a vet come before all, then a vet
// for what looks like an illness, then the questions.
func (r Decision) gateUp(d planner.Dog, h History, now time.Time) Decision {
	last, fresh := h.answered(now)
	switch {
	case fresh && last.forVet(h):
		r.Then, r.Factor, r.InTheEnd, r.Steps, r.First = 0, 0, 0, 0, ""
		return r.say(VetLine, SignsTold)
	case last.Reason == planner.NewScale && daysSince(last.At, now) <= scaleDays:
		r.Then, r.Factor, r.InTheEnd, r.Steps, r.First = 0, 0, 0, 0, ""
		r.DaysMissing = max(scaleDays-int(daysSince(last.At, now)), 1)
		return r.say(Watch, ScaleWait)
	case r.First != "":
	case restores(h, r.Then, now):
		if !fresh { // no more than it had: that hides nothing
			r.First = QuestionsFirst
		}
	case !vetSaw(h, now) && stepsUp(h, now) > 0:
		r.First, r.FirstWhy = VetFirst, SecondStep
	case !fresh: // one of them is why it may need more
		r.First = QuestionsFirst
	case !vetSaw(h, now) && !reasoned(h, now) && needRose(d, h, now):
		r.First, r.FirstWhy = VetFirst, NeedRose
	}
	return r.say(Suggest, TooLittle)
}

// answered returns the newest answers, and whether they still count.
func (h *History) answered(now time.Time) (last Answers, fresh bool) {
	if n := len(h.Answers); n > 0 {
		last = h.Answers[n-1]
	}
	return last, daysSince(last.At, now) <= answerDays
}

// forVet reports that answers speak for a vet, who has not seen the dog since.
func (a Answers) forVet(h History) bool { return !a.Well() && !h.VetSeen.After(a.At) }

// restores reports that a step up gives a dog no more than it got within the
// last year, before its food was cut: by a plan to lose weight, or by steps down.
func restores(h History, then nutrition.Kcal, now time.Time) bool {
	for i, c := range h.Changes {
		if i+1 < len(h.Changes) && daysSince(h.Changes[i+1].At, now) <= yearOf && c.Kcal >= then {
			return true
		}
	}
	return false
}

// stepsUp counts the times that a dog was fed up in the last 120 days.
func stepsUp(h History, now time.Time) int {
	n := 0
	for i, c := range h.Changes {
		if i > 0 && daysSince(c.At, now) <= secondDays && c.Kcal > h.Changes[i-1].Kcal*(1+smallestStep) {
			n++
		}
	}
	return n
}

// reasoned reports that a carer knows why the dog needs more.
func reasoned(h History, now time.Time) bool {
	return slices.ContainsFunc(h.Answers, func(a Answers) bool {
		return a.knows() && daysSince(a.At, now) <= secondDays
	})
}

// needRose reports that the dog's own need is a tenth above what was learned of
// it in the last half year, since a vet last saw it.
func needRose(d planner.Dog, h History, now time.Time) bool {
	prior := PriorOf(d, h, now)
	mean := Estimate(h, prior).Mean
	for _, days := range []int{42, 84, 168} {
		then := h.Until(now.AddDate(0, 0, -days))
		n := len(then.Weighings)
		if n == 0 || !then.Weighings[n-1].At.After(h.VetSeen) {
			break
		}
		if p := Estimate(then, prior); p.Enough() && mean > p.Mean*(1+risen) {
			return true
		}
	}
	return false
}

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

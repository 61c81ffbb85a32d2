package planner

import (
	"math"
	"time"

	"bowlwright/nutrition"
)

// Outcome is what there is to say about the amount that a dog is fed.
type Outcome string

// The outcomes.
const (
	NoneYet Outcome = "none-yet" // the evidence is not enough
	Steady  Outcome = "steady"   // it is enough, and nothing need change
	Watch   Outcome = "watch"    // something may have to change
	Suggest Outcome = "suggest"  // Decision.Then
	VetLine Outcome = "vet-line" // a vet first
)

// Reason says why an outcome is what it is.
type Reason string

// The reasons.
const (
	TooFew       Reason = "too-few"       // weigh-ins; Decision.WeighInsMissing and DaysMissing
	StepWait     Reason = "step-wait"     // the last change is too fresh; DaysMissing
	WeighAgain   Reason = "weigh-again"   // the last weight is far from what was expected
	TooMuch      Reason = "too-much"      // it is fed more than its goal asks for
	TooLittle    Reason = "too-little"    // it is fed less
	Fits         Reason = "fits"          // it is fed as its goal asks
	OpenYet      Reason = "open"          // not sure enough either way
	GatedDog     Reason = "gate"          // Decision.Gate
	FallFast     Reason = "fall-fast"     // more than 2 % a week; Change
	FallMonth    Reason = "fall-month"    // more than 5 % in a month without a plan; Change
	RiseMonth    Reason = "rise-month"    // more than 5 % in a month without a plan; Change
	AboveRange   Reason = "above-range"   // it asks for more than the upper end of the equation's range
	BelowResting Reason = "below-resting" // it asks for less than the resting energy at the ideal weight
)

// Decision is what to do about the amount that a dog is fed.
type Decision struct {
	Outcome Outcome
	Reason  Reason
	Gate    Gate
	Goal    Goal

	// Now is the daily kcal planned, Then the one suggested, Factor Then over
	// Now; Then and Factor are set for Suggest alone.
	Now, Then nutrition.Kcal
	Factor    float64
	Target    Target // what the goal asks for, treats counted
	// P is the probability that the daily kcal should change, in the direction
	// of Reason (the likelier one), and Before that at the check-in before.
	P, Before float64

	WeighInsMissing, DaysMissing int
	Change                       float64 // of the weight: % a week for FallFast, % for the others
}

// The limits of a suggestion. Why they are what they are, and how often they
// are right, is in the simulation in the tests.
const (
	sureEnough   = 0.90 // the probability at two check-ins running
	earlyWord    = 0.95 // for Watch, once
	fewestWeighs = 4
	fewestDays   = 21
	watchWeighs  = 3
	largestStep  = 0.10 // of the daily kcal
	smallestStep = 0.02 // less is not worth a suggestion
	stepDays     = 14   // from one change to the next, at least
	checkInDays  = 6    // between two check-ins that count as two
)

// CheckIns returns what was thought of a dog's coefficient at each of its last
// n check-ins, the newest last. Weigh-ins less than six days after another
// that counts, looking back from the newest, are no check-in of their own.
func CheckIns(h History, prior Prior, n int) []Posterior {
	g := groups(h.Weighings)
	var posts []Posterior
	next := math.Inf(1)
	for i := len(g) - 1; i >= 0 && len(posts) < n; i-- {
		if g[i].day > next-checkInDays {
			continue
		}
		next = g[i].day
		posts = append([]Posterior{Estimate(h.Until(h.Weighings[g[i].last].At), prior)}, posts...)
	}
	return posts
}

// Decide says what to do about the daily kcal. posts is what CheckIns returned
// for two check-ins.
//
// It suggests a change only where the daily kcal should change by more than
// 5 % (or the rate of a plan is out of its range), in the same direction, with
// a probability of 0.90 at two check-ins running; from four weigh-ins over
// three weeks on; not within 14 days of the last change; by a tenth at most;
// never below the resting energy at the ideal weight and never above the
// equation's upper range. A dog with a gate, a fast fall, and a fall or rise
// of 5 % in a month without a plan get the vet line and no figure.
func Decide(d Dog, h History, posts []Posterior, now time.Time) Decision {
	h.Now = now
	dog := pinned(d, h)
	r := Decision{Goal: GoalOf(dog, now), Now: h.Planned, Gate: NeedOf(dog, now).Gate}
	if len(posts) > 0 {
		r.Target = TargetKcal(d, h, posts[len(posts)-1])
	}
	switch reason, change := warning(h, r.Goal); {
	case r.Gate != "":
		return r.say(VetLine, GatedDog)
	case reason == WeighAgain:
		r.Change = change
		return r.say(Watch, reason)
	case reason != "":
		r.Change = change
		return r.say(VetLine, reason)
	}
	if r.missing(posts) {
		return r.say(NoneYet, TooFew)
	}
	return r.weigh(dog, h, posts, now)
}

func (r Decision) say(o Outcome, why Reason) Decision {
	r.Outcome, r.Reason = o, why
	return r
}

// missing counts what there must be before there is anything to say.
func (r *Decision) missing(posts []Posterior) bool {
	var last Posterior
	if len(posts) > 0 {
		last = posts[len(posts)-1]
	}
	r.WeighInsMissing = max(fewestWeighs-last.WeighIns, 0)
	r.DaysMissing = max(fewestDays-last.Days, 0)
	return last.WeighIns < watchWeighs || !(r.Now > 0)
}

// weigh compares what is fed with what the goal asks for.
func (r Decision) weigh(d Dog, h History, posts []Posterior, now time.Time) Decision {
	eaten := float64(h.Planned + h.Treats)
	low, high := r.Target.fits(eaten)
	last := posts[len(posts)-1]
	why, chance := TooMuch, func(p Posterior) float64 { return p.Below(low) }
	if last.Above(high) > last.Below(low) {
		why, chance = TooLittle, func(p Posterior) float64 { return p.Above(high) }
	}
	r.P = chance(last)
	if len(posts) > 1 {
		r.Before = chance(posts[len(posts)-2])
	}
	early := r.WeighInsMissing > 0 || r.DaysMissing > 0
	switch {
	case early && r.P >= earlyWord:
		return r.say(Watch, why)
	case early:
		return r.say(NoneYet, TooFew)
	case r.P < sureEnough && r.P >= 0.5:
		return r.say(Steady, OpenYet)
	case r.P < sureEnough:
		return r.say(Steady, Fits)
	case r.Before < sureEnough:
		return r.say(Watch, why)
	}
	if !h.Changed.IsZero() {
		if since := DateOf(h.Changed).DaysTo(DateOf(now)); since < stepDays {
			r.DaysMissing = stepDays - since
			return r.say(Watch, StepWait)
		}
	}
	return r.step(d, h, why, now)
}

// step works out the change within its limits.
func (r Decision) step(d Dog, h History, why Reason, now time.Time) Decision {
	d.Kcal = 0
	most := float64(NeedOf(d, now).High)
	planned := float64(r.Now)
	want := float64(r.Target.Kcal) - float64(h.Treats)
	floor := r.Target.floor - float64(h.Treats)
	then := math.Max(math.Min(want, planned*(1+largestStep)), planned*(1-largestStep))
	then = math.Round(then)
	if why == TooLittle {
		then = math.Min(then, math.Floor(most))
	} else {
		then = math.Max(then, math.Ceil(floor))
	}
	switch change := then/planned - 1; {
	case why == TooLittle && change < smallestStep:
		return r.say(VetLine, AboveRange)
	case why == TooMuch && change > -smallestStep:
		return r.say(VetLine, BelowResting)
	}
	r.Then, r.Factor = nutrition.Kcal(then), then/planned
	return r.say(Suggest, why)
}

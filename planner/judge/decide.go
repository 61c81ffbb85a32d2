package judge

import (
	"math"
	"slices"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Outcome is what there is to say about the amount that a dog is fed.
type Outcome string

// The outcomes.
const (
	NoneYet Outcome = "none-yet" // the evidence is not enough
	Steady  Outcome = "steady"   // it is enough, and nothing need change
	Watch   Outcome = "watch"    // something may have to change
	Suggest Outcome = "suggest"  // Decision.Then, and what comes before it: Decision.First
	VetLine Outcome = "vet-line" // a vet first
)

// Reason says why an outcome is what it is, or what a warning is of.
type Reason string

// The reasons.
const (
	TooFew       Reason = "too-few"       // weigh-ins; Decision.WeighInsMissing and DaysMissing
	StepWait     Reason = "step-wait"     // the last change is too fresh; DaysMissing
	ScaleWait    Reason = "scale-wait"    // a new scale: DaysMissing until it is known by itself
	WeighAgain   Reason = "weigh-again"   // the last weight is far from what was expected
	TooMuch      Reason = "too-much"      // it is fed more than its goal asks for
	TooLittle    Reason = "too-little"    // it is fed less
	Fits         Reason = "fits"          // it is fed as its goal asks
	OpenYet      Reason = "open"          // not sure enough either way
	OverGoal     Reason = "over-goal"     // it would need more, but is over its goal and gets none
	UnderGoal    Reason = "under-goal"    // it would need less, but is under its goal and loses none
	GatedDog     Reason = "gate"          // Decision.Gate
	SignsTold    Reason = "signs"         // the answers to the four questions speak for a vet
	AboveRange   Reason = "above-range"   // it asks for more than the upper end of the equation's range
	BelowResting Reason = "below-resting" // it asks for less than the resting energy at the ideal weight
)

// First is what comes before a suggestion may be taken.
type First string

// What comes first; the zero value is nothing.
const (
	ScoreFirst     First = "score"     // the goal rests on a condition of long ago
	QuestionsFirst First = "questions" // the four questions before a step up
	VetFirst       First = "vet"       // a vet, for FirstWhy
)

// Why a vet comes first.
const (
	SecondStep Reason = "second-step" // it was fed up within 120 days
	NeedRose   Reason = "need-rose"   // its own need has risen by 10 %, and nobody knows why
)

// Decision is what to do about the amount that a dog is fed.
type Decision struct {
	Outcome Outcome
	Reason  Reason
	Gate    planner.Gate
	Goal    planner.Goal

	// Warnings stand beside whatever the outcome is, the gravest first.
	Warnings []Warning
	// Holds says that the weight holds: sure enough that it has changed by next
	// to nothing in six weeks.
	Holds bool

	// Now is the daily kcal planned, Then the one suggested, Factor Then over
	// Now; these and what follows are set for Suggest alone. InTheEnd is what the
	// goal asks for, of which Then is the first of Steps.
	Now, Then nutrition.Kcal
	Factor    float64
	InTheEnd  nutrition.Kcal
	Steps     int
	First     First
	FirstWhy  Reason // of VetFirst

	Target Target // what the goal asks for, treats counted
	// P is the probability that the daily kcal should change, in the direction
	// of Reason (the likelier one), and Before that at the check-in before.
	P, Before float64

	WeighInsMissing, DaysMissing int
	// Change is that of the last weight, in %, where it must be weighed again
	// before it means anything.
	Change float64
}

// The limits of a suggestion. The simulations in the tests show why they are
// what they are, and how often they are right.
const (
	sureEnough   = 0.90 // the probability at two check-ins running
	sureOffGoal  = 0.75 // the same where the weight is closeSpeak off its goal, and the change brings it back
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
// It suggests a change only where the daily kcal should change by more than 5 %
// (or the rate of a plan is out of its range), in the same direction, with a
// probability of 0.90 at two check-ins running; from four weigh-ins over three
// weeks on; not within 14 days of the last change; by a tenth at most; never
// below the resting energy at the ideal weight, and above the equation's upper
// range only where a vet has seen the dog. A dog over its goal is fed more, and
// one under it less, only as mayNot lets it be; before a step up come the
// questions and the vet of gateUp. Warnings stand beside all of that.
func Decide(d planner.Dog, h History, posts []Posterior, now time.Time) Decision {
	h.Now = now
	dog := pinned(d, h)
	r := Decision{Goal: GoalOf(dog, now), Now: h.Planned, Gate: planner.NeedOf(dog, now).Gate}
	if len(posts) > 0 {
		r.Target = TargetKcal(d, h, posts[len(posts)-1])
	}
	if r.Gate == planner.UnderweightGate && vetSaw(h, now) {
		r.Gate = "" // the vet has looked for the cause
	}
	if r.Gate != "" {
		r.Warnings, r.Change = gatedWarnings(h, r.Gate, posts)
		return r.say(VetLine, GatedDog)
	}
	r.Warnings, r.Change = warningsOf(h, r.Goal, posts)
	if r.Change != 0 {
		return r.say(Watch, WeighAgain)
	}
	if r.missing(posts) {
		return r.say(NoneYet, TooFew)
	}
	r.Holds = r.Goal == planner.HoldGoal && r.WeighInsMissing+r.DaysMissing == 0 && len(r.Warnings) == 0 && holdsOf(h, posts[len(posts)-1])
	return r.weigh(dog, h, posts, now)
}

// thinLoss is what a thin dog may lose, in % a week, before it is said (our own
// choice: 2 % in six weeks is more than a scale's noise).
const thinLoss = 0.3

// gatedWarnings are those of a dog for which no amount is suggested: that it
// wastes away is said all the same. A dog that carries or nurses pups may gain,
// and a growing one is judged by its band. So it is with a weight that must be
// weighed again.
func gatedWarnings(h History, gate planner.Gate, posts []Posterior) (all []Warning, again float64) {
	if gate == planner.GrowthGate {
		return nil, 0
	}
	warnings, again := warningsOf(h, planner.HoldGoal, posts)
	mayGain := gate == planner.PregnantGate || gate == planner.NursingGate
	if mayGain && again > 0 {
		again = 0
	}
	if s := slopeOver(groups(h.grown()), holdDays); len(warnings) == 0 && gate == planner.UnderweightGate && s.WeighIns >= fewestWeighs && s.High < 0 && s.Mid < -thinLoss {
		all = append(all, Warning{FallThin, s.Mid * s.Days / 7})
	}
	for _, w := range warnings {
		if gate == planner.UnderweightGate && w.Of == OverTenth {
			continue // it is the goal that is wrong
		}
		if w.Change < 0 || !mayGain {
			all = append(all, w)
		}
	}
	return all, again
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
func (r Decision) weigh(d planner.Dog, h History, posts []Posterior, now time.Time) Decision {
	eaten := float64(h.Planned + h.Treats)
	low, high := r.Target.fits(eaten)
	last := posts[len(posts)-1]
	why := TooMuch
	if last.Above(high) > last.Below(low) {
		why = TooLittle
	}
	var sure, was bool
	r.P, sure = chance(d, h, last, eaten, why)
	if len(posts) > 1 {
		r.Before, was = chance(d, h, posts[len(posts)-2], eaten, why)
	}
	early := r.WeighInsMissing > 0 || r.DaysMissing > 0
	was = was || why == TooLittle && reasoned(h, now) // the reason is the second look
	switch {
	case early && r.P >= earlyWord:
		return r.say(Watch, why)
	case early:
		return r.say(NoneYet, TooFew)
	case why == TooLittle && !(sure && was) && r.fallsUnmeant(h, last):
		if answers, fresh := h.answered(now); !fresh {
			r.First = QuestionsFirst
			return r.say(Watch, why)
		} else if answers.forVet(h) {
			return r.say(VetLine, SignsTold)
		}
	}
	switch {
	case !sure && (r.P >= 0.5 || !r.Holds && r.Goal == planner.HoldGoal):
		return r.say(Steady, OpenYet)
	case !sure:
		return r.say(Steady, Fits)
	case !was:
		return r.say(Watch, why)
	}
	if r.Goal == planner.HoldGoal && turned(h, why) {
		return r.say(Steady, OpenYet)
	}
	if held, because := r.mayNot(why, h, last); held {
		return r.say(Steady, because)
	}
	if !h.Changed.IsZero() {
		if since := planner.DateOf(h.Changed).DaysTo(planner.DateOf(now)); since < stepDays {
			r.DaysMissing = stepDays - since
			return r.say(Watch, StepWait)
		}
	}
	return r.step(d, h, posts, why, now)
}

// chance is how likely it is that the daily kcal should change in a direction,
// and whether that is sure enough. A weight off its goal is evidence of its
// own, which says nothing of k, so less certainty is enough for a step toward
// the goal.
func chance(d planner.Dog, h History, p Posterior, eaten float64, why Reason) (likely float64, sure bool) {
	t := TargetKcal(d, h, p)
	low, high := t.fits(eaten)
	off := t.off()
	enough := sureEnough
	switch back := why == TooMuch && off > 0 || why == TooLittle && off < 0; {
	case !back:
	case t.Goal == planner.HoldGoal, t.Reached, eaten <= t.floor*(1+smallestStep): // of which only a vet is told
		enough = sureOffGoal
	}
	if likely = p.Below(low); why == TooLittle {
		likely = p.Above(high)
	}
	return likely, likely >= enough
}

// turning is the change of weight, in % a week over the last four weeks, from
// which a dog already goes the way of a step (our own choice: more than a
// scale's noise usually shows over four weigh-ins).
const turning, turningDays = 0.2, 28.0

// turned reports that the weight of the last four weeks goes the way that a step
// would take it: a dog that gains is not fed more, one that loses not less.
func turned(h History, why Reason) bool {
	s := slopeOver(groups(h.grown()), turningDays)
	if s.WeighIns < 3 {
		return false
	}
	return why == TooLittle && s.Mid > turning || why == TooMuch && s.Mid < -turning
}

// mayNot says what keeps a step back whatever the coefficient is. A dog over
// its goal is fed more only where it loses over 2 % a week or eats less than
// its resting energy. A dog under its goal, however little, since the weight is
// off by as much, is never fed less, and one that gains fast is for the vet.
func (r Decision) mayNot(why Reason, h History, p Posterior) (bool, Reason) {
	ideal := float64(h.Ideal)
	if ideal <= 0 {
		return false, ""
	}
	gap := float64(p.Weight)/ideal - 1
	switch {
	case why == TooMuch && gap < 0, why == TooMuch && r.warns(RiseFast):
		return true, UnderGoal
	case why == TooLittle && gap > planner.CloseEnough && !r.warns(FallFast) &&
		float64(h.Planned+h.Treats) >= float64(nutrition.RestingEnergy(h.Ideal)):
		return true, OverGoal
	}
	return false, ""
}

// fallsUnmeant reports a loss of more than water and gut, of a dog that may be
// fed more. The four questions come with it, before the estimate is sure: they
// tell an illness from work, and with a reason no second look is waited for.
func (r Decision) fallsUnmeant(h History, p Posterior) bool {
	if held, _ := r.mayNot(TooLittle, h, p); held || r.Goal != planner.HoldGoal || !r.warns(FallFast) && !r.warns(FallMonth) {
		return false
	}
	g := groups(h.grown())
	was, is := g[len(g)-2], g[len(g)-1]
	return percent(is.weight, was.weight) > -unlike*max((is.day-was.day)/7, 1) // no work takes more: a vet alone
}

func (r Decision) warns(of Reason) bool {
	return slices.ContainsFunc(r.Warnings, func(w Warning) bool { return w.Of == of })
}

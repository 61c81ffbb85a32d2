package judge

import (
	"math"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// GoalOf returns what a dog's weight is to do: as set, or as growth and
// condition say. A dog 20 % and more over its ideal weight should lose some; one
// that is thin loses none, whatever was set.
func GoalOf(d planner.Dog, now time.Time) planner.Goal {
	switch {
	case planner.Growing(d, now):
		return planner.GrowGoal
	case d.Goal == planner.LoseGoal && d.Thin():
		return planner.HoldGoal
	case d.Goal != "":
		return d.Goal
	case planner.NeedOf(d, now).LossStart > 0:
		return planner.LoseGoal
	}
	return planner.HoldGoal
}

// The rates of change aimed at, and the range that counts as right, in % of the
// weight a week. A loss of 1 to 2 % is safe (AAHA 2014); the limits lie a
// little within, since the rule speaks only when it is sure. Of gain there is
// no published figure: common practice.
const (
	loseAim, loseLeast, loseMost = 1.5, 1.1, 1.75
	gainAim, gainLeast, gainMost = 0.75, 0.25, 1.5
	// tolerance is how far, as a share, the daily kcal may be from the need
	// before it is worth a change.
	tolerance = 0.05
	// A dog that is to hold its weight and is off its goal comes back to it in
	// closeWeeks, at no more than closeMost % of its weight a week; a gap of
	// CloseEnough is none, and one of closeSpeak is worth a change by itself, one of
	// awaySpeak where it widens (our own choice, by the simulated dogs of TestKept).
	closeMost, closeWeeks, closeSpeak, awaySpeak = 0.5, 8.0, 0.045, 0.03
)

// Target is what a goal asks of the daily kcal, all that is eaten counted.
type Target struct {
	Goal planner.Goal
	Kcal nutrition.Kcal // the aim, at the mean coefficient
	// Low and High are the aim at the coefficients that hold the dog's own in
	// four cases of five.
	Low, High nutrition.Kcal
	// AtResting says that Kcal would be below the resting energy at the ideal
	// weight, or what a vet allowed, and was set to it: less is for a vet to
	// say.
	AtResting bool
	// Reached says that a dog that was to lose or gain is within 2 % of its
	// ideal weight: from here on it holds.
	Reached bool

	weight, ideal float64 // kg
	closes        float64 // % a week, where it holds and is off its goal
	floor         float64 // kcal
	again         float64 // kg: History.Again
	slope         float64 // of the last four weeks, % a week
}

// TargetKcal returns what the dog's goal asks of the daily kcal by what is
// known of its coefficient. h gives the ideal weight; without weigh-ins the
// weight is that of the profile. A growing dog holds: growth is no business of
// a calorie plan.
//
// Before anything is known a plan to lose weight starts at the resting energy
// at the ideal weight, 70 kcal per kg^0.75: within what dogs needed in
// practice over twelve weeks, 63 ± 10.2 (AAHA 2021). PlanStart says where a
// plan begins.
func TargetKcal(d planner.Dog, h History, p Posterior) Target {
	t := Target{Goal: GoalOf(pinned(d, h), h.Now), weight: float64(p.Weight), ideal: float64(h.Ideal), again: float64(h.Again),
		slope: slopeOver(groups(h.grown()), turningDays).Mid}
	if t.weight <= 0 {
		t.weight = float64(d.Weight)
	}
	if t.ideal <= 0 {
		t.ideal = t.weight
	}
	if t.again <= 0 {
		t.again = t.ideal
	}
	t.settle()
	t.floor = float64(nutrition.RestingEnergy(nutrition.Kilograms(t.ideal)))
	if h.VetLeast > 0 {
		t.floor = min(t.floor, float64(h.VetLeast))
	}
	aim := t.aim(p.Mean)
	t.Kcal, t.AtResting = nutrition.Kcal(max(aim, t.floor)), aim < t.floor
	t.Low = nutrition.Kcal(max(t.aim(p.Quantile(0.1)), t.floor))
	t.High = nutrition.Kcal(max(t.aim(p.Quantile(0.9)), t.floor))
	return t
}

// pinned is the dog with the ideal weight of its history, which a score of
// long ago does not pull down with the weight.
func pinned(d planner.Dog, h History) planner.Dog {
	if d.Ideal == 0 && h.Ideal > 0 {
		d.Ideal = h.Ideal
	}
	return d
}

// settle finds the weight that a goal counts on, and how fast it is to change.
// A dog that holds, or has reached what it was to lose or gain, eats for its
// goal weight wherever it is: what it weighs of late never becomes the goal.
func (t *Target) settle() {
	switch gap := t.weight/t.ideal - 1; {
	case t.Goal == planner.LoseGoal && gap > planner.CloseEnough, t.Goal == planner.GainGoal && gap < -planner.CloseEnough, t.Goal == planner.GrowGoal:
	default:
		t.Reached = t.Goal != planner.HoldGoal
		if math.Abs(gap) <= planner.CloseEnough {
			t.weight = t.ideal
			return
		}
		t.closes = -math.Copysign(min(100*math.Abs(gap)/closeWeeks, closeMost), gap)
	}
}

// aim returns the kcal a day that a coefficient asks for.
func (t *Target) aim(k float64) float64 {
	switch {
	case t.Reached:
	case t.Goal == planner.LoseGoal:
		return t.at(k, -loseAim)
	case t.Goal == planner.GainGoal:
		return t.at(k, gainAim)
	}
	return t.at(k, t.closes)
}

// inTheEnd returns the kcal a day that a coefficient asks for once the weight is
// at its goal; of a plan to lose or gain, what it asks for now.
func (t *Target) inTheEnd(k float64) float64 {
	if t.Reached || t.Goal == planner.HoldGoal {
		return k * math.Pow(t.ideal, 0.75)
	}
	return t.aim(k)
}

// off is how far, as a share, the weight is from the goal, 0 where that is no
// reason for a change. A goal that rests on one weigh-in is off by as much as that
// is; so it must be off the weigh-ins beside it too.
func (t *Target) off() float64 {
	off, again := t.weight/t.ideal-1, t.weight/t.again-1
	if math.Abs(again) < math.Abs(off) {
		off, again = again, off
	}
	speak := closeSpeak
	if off*t.slope > 0 && math.Abs(t.slope) > turning {
		speak = awaySpeak
	}
	if off*again < 0 || math.Abs(off) <= speak {
		return 0
	}
	return off
}

// at returns the kcal a day at which the weight changes by so much a week.
func (t *Target) at(k, percentAWeek float64) float64 {
	return k*math.Pow(t.weight, 0.75) + percentAWeek/100*t.weight*tissueEnergy/7
}

// fits returns the range of coefficients for which a daily kcal is right: a
// higher one asks for more food, a lower one for less.
func (t *Target) fits(kcal float64) (low, high float64) {
	metabolic := math.Pow(t.weight, 0.75)
	rated := func(kcal, percentAWeek float64) float64 {
		return (kcal - percentAWeek/100*t.weight*tissueEnergy/7) / metabolic
	}
	switch {
	case t.Reached:
	case t.Goal == planner.LoseGoal:
		return rated(kcal, -loseLeast), rated(kcal, -loseMost)
	case t.Goal == planner.GainGoal:
		return rated(kcal, gainMost), rated(kcal, gainLeast)
	}
	// Off its goal a dog is fed toward it, where the smallest step is worth it.
	less, more, off := tolerance, tolerance, t.off()
	switch {
	case off > 0:
		less = smallestStep
	case off < 0:
		more = smallestStep
	}
	low, high = rated(kcal*(1-less), t.closes), rated(kcal*(1+more), t.closes)
	// A small gap is closed when the food is changed anyway; while the weight
	// holds, it is no reason to change the food.
	switch {
	case off != 0:
	case t.closes < 0:
		low = min(low, rated(kcal*(1-tolerance), 0))
	case t.closes > 0:
		high = max(high, rated(kcal*(1+tolerance), 0))
	}
	return low, high
}

// gentleStart is the share of what a dog gets at which a plan for one that is
// less than 20 % over its ideal weight begins (AAHA 2014 and 2021, from memory:
// about 80 % of what is fed).
const gentleStart = 0.8

// StartFrom says what the start of a plan to lose weight rests on.
type StartFrom string

// What a start rests on.
const (
	FromResting StartFrom = "resting" // the resting energy at the ideal weight
	FromFed     StartFrom = "fed"     // four fifths of what the equation gives
	FromScale   StartFrom = "scale"   // the dog's own need, by its weigh-ins
)

// PlanStart returns the daily kcal at which a plan to lose weight begins. It is
// 0 where there is no such start: the dog is not to lose weight, is less than
// 10 % over its ideal weight, or has a gate.
//
// A dog 20 % and more over its ideal weight begins at the resting energy at
// that weight, Need.LossStart. One that is less over begins at four fifths of
// what NeedOf gives, but not below that floor. With as much evidence as a
// suggestion needs, the start is no lower than the dog's own need asks for:
// since a step is a tenth, a dog that needs more than most would otherwise lose
// more than 2 % a week for two months.
func PlanStart(d planner.Dog, h History, p Posterior) (nutrition.Kcal, StartFrom) {
	d = pinned(d, h)
	d.Kcal = 0
	n := planner.NeedOf(d, h.Now)
	if GoalOf(d, h.Now) != planner.LoseGoal || n.Gate != "" || planner.ConditionOf(d) < planner.Inclined {
		return 0, ""
	}
	start, from := nutrition.RestingEnergy(n.Ideal), FromResting
	if fed := gentleStart * n.Kcal; n.LossStart == 0 && fed > start {
		start, from = fed, FromFed
	}
	if !p.Enough() {
		return start, from
	}
	if own := min(TargetKcal(d, h, p).Kcal, n.Kcal); own > start {
		start, from = own, FromScale
	}
	return start, from
}

// reachDays is how far ahead ReachOf looks.
const reachDays = 730

// Reach is when a dog that is to lose or gain is likely to be at its ideal
// weight: between Early and Late in four cases of five. A day more than two
// years ahead, which may be never, is zero.
type Reach struct {
	Known       bool // it has a goal and an ideal weight to go to, and no gate
	Early, Late planner.Date
}

// ReachOf works out a Reach at the coefficients that hold the dog's own in four
// cases of five, the daily kcal being corrected as the plan goes and never
// below its floor. It is not known where there is no goal to reach, nothing is
// known of the dog, or it has a gate.
func ReachOf(d planner.Dog, h History, p Posterior) Reach {
	t := TargetKcal(d, h, p)
	losing := t.Goal == planner.LoseGoal
	if t.Reached || !losing && t.Goal != planner.GainGoal || !p.Known() || planner.NeedOf(pinned(d, h), h.Now).Gate != "" {
		return Reach{}
	}
	kcal := float64(h.Planned + h.Treats)
	a, okA := t.daysTo(p.Quantile(0.1), kcal)
	b, okB := t.daysTo(p.Quantile(0.9), kcal)
	from, r := planner.DateOf(p.At), Reach{Known: true}
	switch {
	case okA && okB:
		r.Early, r.Late = from.AddDays(min(a, b)), from.AddDays(max(a, b))
	case okA:
		r.Early = from.AddDays(a)
	case okB:
		r.Early = from.AddDays(b)
	}
	return r
}

// daysTo counts the days to the ideal weight at a coefficient. Every fourteen
// days the kcal moves to what keeps the rate right, by a tenth at most.
func (t Target) daysTo(k, kcal float64) (int, bool) {
	losing := t.Goal == planner.LoseGoal
	for day := range reachDays {
		if losing && t.weight <= t.ideal || !losing && t.weight >= t.ideal {
			return day, true
		}
		if low, high := t.fits(kcal); day%stepDays == 0 && (k < low || k > high) {
			aim := max(t.aim(k), t.floor)
			kcal = max(min(aim, kcal*(1+largestStep)), kcal*(1-largestStep))
		}
		t.weight += (kcal - k*math.Pow(t.weight, 0.75)) / tissueEnergy
	}
	return 0, false
}

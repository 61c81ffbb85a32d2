package planner

import (
	"math"
	"time"

	"bowlwright/nutrition"
)

// GoalOf returns what a dog's weight is to do: as set, or as growth and
// condition say. A dog 20 % and more over its ideal weight should lose some.
func GoalOf(d Dog, now time.Time) Goal {
	switch {
	case growing(d, now):
		return GrowGoal
	case d.Goal != "":
		return d.Goal
	case NeedOf(d, now).LossStart > 0:
		return LoseGoal
	}
	return HoldGoal
}

// Rates of change that are aimed at and taken for right, in % of the weight a
// week. A loss of 1 to 2 % is safe (AAHA 2014); the limits lie a little within,
// since the rule speaks only when it is sure. Of gain there is no published
// figure: common practice.
const (
	loseAim, loseLeast, loseMost = 1.5, 1.1, 1.75
	gainAim, gainLeast, gainMost = 0.75, 0.25, 1.5
	// tolerance is how far, as a share, the daily kcal may be from the need
	// before it is worth a change.
	tolerance = 0.05
)

// Target is what a goal asks of the daily kcal, all that is eaten counted.
type Target struct {
	Goal Goal
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
	floor         float64 // kcal
}

// TargetKcal returns what the dog's goal asks of the daily kcal by what is
// known of its coefficient. h gives the ideal weight; without weigh-ins the
// weight is that of the profile. A growing dog holds: growth is no business of
// a calorie plan.
//
// Before anything is known a plan to lose weight starts at the resting energy
// at the ideal weight, 70 kcal per kg^0.75: within what dogs needed in
// practice over twelve weeks, 63 ± 10.2 (AAHA 2021). Need.LossStart is the
// same figure.
func TargetKcal(d Dog, h History, p Posterior) Target {
	t := Target{Goal: GoalOf(pinned(d, h), h.Now), weight: float64(p.Weight), ideal: float64(h.Ideal)}
	if t.weight <= 0 {
		t.weight = float64(d.Weight)
	}
	if t.ideal <= 0 {
		t.ideal = t.weight
	}
	t.settle(d)
	t.floor = float64(nutrition.RestingEnergy(nutrition.Kilograms(t.ideal)))
	if h.VetLeast > 0 {
		t.floor = math.Min(t.floor, float64(h.VetLeast))
	}
	aim := t.aim(p.Mean)
	t.Kcal, t.AtResting = nutrition.Kcal(math.Max(aim, t.floor)), aim < t.floor
	t.Low = nutrition.Kcal(math.Max(t.aim(p.Quantile(0.1)), t.floor))
	t.High = nutrition.Kcal(math.Max(t.aim(p.Quantile(0.9)), t.floor))
	return t
}

// pinned is the dog with the ideal weight of its history, which a score of
// long ago does not pull down with the weight.
func pinned(d Dog, h History) Dog {
	if d.Ideal == 0 && h.Ideal > 0 {
		d.Ideal = h.Ideal
	}
	return d
}

// settle finds the weight that a goal is reckoned on.
func (t *Target) settle(d Dog) {
	const close = 0.02
	switch {
	case t.Goal == LoseGoal && t.weight <= t.ideal*(1+close),
		t.Goal == GainGoal && t.weight >= t.ideal*(1-close):
		t.Reached = true
		t.weight = t.ideal
	case t.Goal != HoldGoal:
	case d.Goal == "" && t.ideal < t.weight:
		// As NeedOf has it: a dog that is a little over its ideal weight eats
		// for that.
		t.weight = math.Max(t.ideal, t.weight/1.2)
	}
}

// aim returns the kcal a day that a coefficient asks for.
func (t *Target) aim(k float64) float64 {
	switch {
	case t.Reached:
	case t.Goal == LoseGoal:
		return t.at(k, -loseAim)
	case t.Goal == GainGoal:
		return t.at(k, gainAim)
	}
	return t.at(k, 0)
}

// at returns the kcal a day at which the weight changes by so much a week.
func (t *Target) at(k, percentAWeek float64) float64 {
	return k*math.Pow(t.weight, 0.75) + percentAWeek/100*t.weight*tissueEnergy/7
}

// fits returns the range of coefficients for which a daily kcal is right: a
// higher one asks for more food, a lower one for less.
func (t *Target) fits(kcal float64) (low, high float64) {
	metabolic := math.Pow(t.weight, 0.75)
	rated := func(percentAWeek float64) float64 {
		return (kcal - percentAWeek/100*t.weight*tissueEnergy/7) / metabolic
	}
	switch {
	case t.Reached:
	case t.Goal == LoseGoal:
		return rated(-loseLeast), rated(-loseMost)
	case t.Goal == GainGoal:
		return rated(gainMost), rated(gainLeast)
	}
	return kcal / metabolic * (1 - tolerance), kcal / metabolic * (1 + tolerance)
}

// reachDays is how far ahead ReachIdeal looks.
const reachDays = 730

// ReachIdeal returns between which days a dog that is to lose or gain reaches
// its ideal weight, at the coefficients that hold its own in four cases of
// five, the daily kcal being corrected as the plan goes. ok is false where it
// has neither goal nor ideal weight, where the later day is more than two
// years ahead, and for a dog with a gate.
func ReachIdeal(d Dog, h History, p Posterior) (early, late Date, ok bool) {
	t := TargetKcal(d, h, p)
	losing := t.Goal == LoseGoal
	if t.Reached || !losing && t.Goal != GainGoal || !p.Known() || NeedOf(pinned(d, h), h.Now).Gate != "" {
		return Date{}, Date{}, false
	}
	kcal := float64(h.Planned + h.Treats)
	a, okA := t.daysTo(p.Quantile(0.1), kcal)
	b, okB := t.daysTo(p.Quantile(0.9), kcal)
	if !okA || !okB {
		return Date{}, Date{}, false
	}
	from := DateOf(p.At)
	return from.AddDays(min(a, b)), from.AddDays(max(a, b)), true
}

// daysTo counts the days to the ideal weight at a coefficient. Every fourteen
// days the kcal moves to what keeps the rate right, by a tenth at most.
func (t Target) daysTo(k, kcal float64) (int, bool) {
	losing := t.Goal == LoseGoal
	for day := range reachDays {
		if losing && t.weight <= t.ideal || !losing && t.weight >= t.ideal {
			return day, true
		}
		if low, high := t.fits(kcal); day%stepDays == 0 && (k < low || k > high) {
			aim := math.Max(t.aim(k), t.floor)
			kcal = math.Max(math.Min(aim, kcal*(1+largestStep)), kcal*(1-largestStep))
		}
		t.weight += (kcal - k*math.Pow(t.weight, 0.75)) / tissueEnergy
	}
	return 0, false
}

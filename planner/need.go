package planner

import (
	"time"

	"bowlwright/nutrition"
)

// Gate says why no plan and no change of calories is made for a dog by
// itself; empty where there is no reason.
type Gate string

// The gates, the gravest first.
const (
	IllnessGate     Gate = "illness"
	PregnantGate    Gate = "pregnant"
	NursingGate     Gate = "nursing"
	GrowthGate      Gate = "growth"
	UnderweightGate Gate = "underweight"
)

// Need is what a dog is thought to need in a day.
type Need struct {
	Kcal           nutrition.Kcal      // the figure to feed
	Low, High      nutrition.Kcal      // where single dogs are likely to lie; both Kcal where set by hand
	Equation       nutrition.Equation  // which gave the figure
	PerMetabolicKg float64             // kcal per kg^0.75 of Basis
	Basis          nutrition.Kilograms // the weight that it was computed on
	Resting        nutrition.Kcal      // at the present weight
	LossStart      nutrition.Kcal      // where a dog that should lose weight begins: resting energy at the ideal weight (AAHA 2014 and 2021, from memory); 0 for others

	Ideal               nutrition.Kilograms
	IdealLow, IdealHigh nutrition.Kilograms
	IdealFrom           string // "set", "condition" or "weight"

	ByHand  bool     // the figure was set by a carer
	Assumed []string // what was not known and assumed: "activity", "age", "condition", "adult-weight"
	Gate    Gate
}

// spread is how far single dogs commonly lie from any equation, as a
// fraction; up to a half is seen (NRC 2006, from memory).
const spread = 0.25

// overweight is the condition score from which a dog counts as inclined to
// obesity, and is fed no more than the figure for such dogs.
const overweight = 6

// NeedOf estimates what a dog needs on a day.
//
// The weight that counts is the ideal weight of a dog that is over it, and
// the present weight of any other. The factor is that of its activity
// (moderate where it is not known); a dog over seven years of low or moderate
// activity gets at most the figure for its age, and one of condition 6 or
// above at most that for dogs inclined to obesity. Need.Kcal holds weight: a
// plan to lose it starts lower, at LossStart. Growing, pregnant and nursing
// dogs have equations and a gate of their own.
func NeedOf(d Dog, now time.Time) Need {
	n := Need{Resting: nutrition.RestingEnergy(d.Weight)}
	n.setIdeal(d)
	n.Basis = d.Weight
	if n.Ideal < d.Weight {
		n.Basis = n.Ideal
	}
	n.Gate = gateOf(d, now)
	stage := d.StageAt(now)
	switch {
	case d.Stage == Pregnant:
		n.use(d.Weight, nutrition.PregnancyEnergy(d.Weight), nutrition.LatePregnancy)
	case d.Stage == Nursing:
		// Litter and week are not known: four pups in the third week stand in.
		k, _ := nutrition.LactationEnergy(d.Weight, 4, 3)
		n.use(d.Weight, k, nutrition.Lactation)
	case stage == Puppy:
		n.grow(d)
	default:
		n.adult(d, stage)
	}
	n.Low, n.High = n.Kcal*(1-spread), n.Kcal*(1+spread)
	if n.growing(d) {
		n.Low = perMetabolicKg(nutrition.GrowthTo100, d.Weight)
		n.High = perMetabolicKg(nutrition.GrowthTo50, d.Weight)
	}
	if d.Condition > 5 && stage != Puppy && d.Stage == "" {
		n.LossStart = nutrition.WeightLossStart(n.Ideal)
	}
	n.note(d)
	if d.Kcal > 0 {
		n.ByHand, n.Equation = true, ByHand
		n.Kcal, n.Low, n.High = d.Kcal, d.Kcal, d.Kcal
		n.PerMetabolicKg = float64(d.Kcal) / nutrition.MetabolicWeight(n.Basis)
	}
	return n
}

func (n *Need) setIdeal(d Dog) {
	switch {
	case d.Ideal > 0:
		n.Ideal, n.IdealLow, n.IdealHigh, n.IdealFrom = d.Ideal, d.Ideal, d.Ideal, "set"
	case d.Condition > 0:
		n.Ideal, n.IdealLow, n.IdealHigh = nutrition.IdealWeight(d.Weight, d.Condition)
		n.IdealFrom = "condition"
	default:
		n.Ideal, n.IdealLow, n.IdealHigh, n.IdealFrom = d.Weight, d.Weight, d.Weight, "weight"
	}
}

// use takes an energy that an equation gave at a weight.
func (n *Need) use(w nutrition.Kilograms, k nutrition.Kcal, e nutrition.Equation) {
	n.Basis, n.Kcal, n.Equation = w, k, e
	n.PerMetabolicKg = float64(k) / nutrition.MetabolicWeight(w)
}

// ByHand is the Equation of a need that a carer set.
const ByHand nutrition.Equation = "by-hand"

// perMetabolicKg returns what an equation with a fixed coefficient gives at a
// weight.
func perMetabolicKg(e nutrition.Equation, w nutrition.Kilograms) nutrition.Kcal {
	c, _ := e.Coefficient()
	return nutrition.Kcal(c.PerMetabolicKg * nutrition.MetabolicWeight(w))
}

// grow estimates the need of a growing dog: by FEDIAF's band where its adult
// weight is known, else in the middle of the bands.
func (n *Need) grow(d Dog) {
	e := nutrition.GrowthTo80
	if d.AdultWeight > 0 {
		e = nutrition.GrowthEquation(float64(d.Weight / d.AdultWeight))
	}
	n.use(d.Weight, perMetabolicKg(e, d.Weight), e)
}

// growing reports that the dog grows toward an adult weight nobody told.
func (n *Need) growing(d Dog) bool {
	return n.Equation == nutrition.GrowthTo80 && d.AdultWeight == 0
}

// adult estimates the need of an adult by activity, age and condition.
func (n *Need) adult(d Dog, stage LifeStage) {
	e := activityEquation(d.Activity)
	if stage == Senior && d.Activity != ModerateBrisk && d.Activity != HighActivity {
		e = least(e, nutrition.AgeOverSeven)
	}
	if d.Condition >= overweight {
		e = least(e, nutrition.ProneToObesity)
	}
	n.use(n.Basis, perMetabolicKg(e, n.Basis), e)
}

// least returns the equation with the smaller coefficient, a where they are
// alike.
func least(a, b nutrition.Equation) nutrition.Equation {
	x, _ := a.Coefficient()
	y, _ := b.Coefficient()
	if y.PerMetabolicKg < x.PerMetabolicKg {
		return b
	}
	return a
}

func activityEquation(a Activity) nutrition.Equation {
	switch a {
	case LowActivity:
		return nutrition.ActivityLow
	case ModerateBrisk:
		return nutrition.ActivityBrisk
	case HighActivity:
		return nutrition.ActivityHigh
	}
	return nutrition.ActivityModerate
}

// note lists what was assumed.
func (n *Need) note(d Dog) {
	growing := n.growing(d)
	for _, a := range []struct {
		code    string
		assumed bool
	}{
		{"activity", d.Activity == "" && byActivity(n.Equation)},
		{"age", d.Born.IsZero()},
		{"condition", d.Condition == 0 && d.Ideal == 0},
		{"adult-weight", growing},
	} {
		if a.assumed {
			n.Assumed = append(n.Assumed, a.code)
		}
	}
}

// thin is the condition score from which a dog is too thin to be planned for
// without a vet.
const thin = 3

func gateOf(d Dog, now time.Time) Gate {
	switch {
	case len(Illness(d.Health)) > 0:
		return IllnessGate
	case d.Stage == Pregnant:
		return PregnantGate
	case d.Stage == Nursing:
		return NursingGate
	case d.StageAt(now) == Puppy:
		return GrowthGate
	case d.Condition > 0 && d.Condition <= thin:
		return UnderweightGate
	}
	return ""
}

// byActivity reports that an equation rests on how much the dog moves.
func byActivity(e nutrition.Equation) bool {
	switch e {
	case nutrition.ActivityLow, nutrition.ActivityModerate, nutrition.ActivityBrisk, nutrition.ActivityHigh:
		return true
	}
	return false
}

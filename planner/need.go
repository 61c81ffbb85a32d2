package planner

import (
	"cmp"
	"math"
	"time"

	"bowlwright/nutrition"
)

// Gate says why the program makes no plan and no change of calories for a dog
// by itself; empty where there is no reason.
type Gate string

// The gates, the gravest first.
const (
	IllnessGate     Gate = "illness"
	PregnantGate    Gate = "pregnant"
	NursingGate     Gate = "nursing"
	GrowthGate      Gate = "growth"
	UnderweightGate Gate = "underweight"
)

// ByHand is the Equation of a need that a carer set.
const ByHand nutrition.Equation = "by-hand"

// Need is what a dog is thought to need in a day. It is all zero but for Gate
// and Assumed where the weight is not above zero.
type Need struct {
	Kcal nutrition.Kcal // the figure to feed: it holds the weight of Basis
	// Low and High are where single dogs are likely to lie: 25 % either way
	// (NRC 2006, from memory), more where litter or week are not known, and of a
	// growing dog from one growth curve to the other; both are Kcal where that
	// was set by hand.
	Low, High      nutrition.Kcal
	Equation       nutrition.Equation  // which gave Kcal; ByHand where none did
	PerMetabolicKg float64             // Kcal per kg^0.75 of Basis
	Basis          nutrition.Kilograms // the weight that it was computed on
	Resting        nutrition.Kcal      // resting energy at Basis
	Computed       nutrition.Kcal      // what the equation gives, where Kcal was set by hand too
	// LossStart is where a plan to lose weight would start: the resting energy
	// at the ideal weight (AAHA 2014 and 2021, from memory). It is 0 for a dog
	// less than 20 % over its ideal weight and for one with a gate.
	LossStart nutrition.Kcal

	Ideal               nutrition.Kilograms
	IdealLow, IdealHigh nutrition.Kilograms
	IdealFrom           string // "set", "condition" or "weight"

	Ground  Ground    // of AmountOf: on what ground Kcal is in force, empty where it is not
	Since   time.Time // and since when
	ByHand  bool      // Dog.Kcal was used, and is not what the equation gives
	ByScale bool      // and it was worked out from the dog's weigh-ins
	ByVet   bool      // or a vet set it
	Agreed  bool      // a vet set it, or agreed to it, for a bitch and her litter
	// Assumed lists what was not known and assumed: "activity" (moderate),
	// "age" (adult), "condition" (ideal), "adult-weight" (growth by age). That
	// a dog is neutered changes no equation here, and so is never assumed.
	Assumed []string
	Gate    Gate // why no plan is made, empty if none
}

// Inclined and heavy are the body condition scores from which a dog counts as
// prone to obesity, and from which it should lose weight: 10 and 20 % over its
// ideal weight. thin is the score up to which it is too thin to be planned
// for without a vet (Laflamme 1997).
const (
	// ThinCondition is the highest of a dog too thin to be planned for.
	ThinCondition = 3
	Inclined      = 6
	heavy         = 7
)

// NeedOf estimates what a dog needs in a day by its equation. Ask it only to
// propose; what a dog is fed is AmountOf.
//
// The weight that counts is the goal weight, whatever the dog weighs now. Where
// none is on record it is the ideal weight of a dog that is over it, and the
// present weight of any other. The factor is that of its activity
// (moderate where it is not known); a dog over seven years of low or moderate
// activity gets at most the figure for its age, and one of condition 6 or
// above at most that for dogs prone to obesity. FEDIAF's figures by age for
// younger adults are not used: the activity tells more.
//
// Kcal is the maintenance need at that weight also for a dog that should lose
// some: fed to it, a dog falls slowly toward its ideal weight. A plan to lose
// weight is a decision of its own, and starts lower, at LossStart.
//
// Growing, pregnant and nursing dogs have equations and a gate of their own.
// Illness closes the gate and leaves the figure, for information.
func NeedOf(d Dog, now time.Time) Need {
	n := Need{Gate: GateOf(d, now)}
	n.setIdeal(d)
	if d.Weight > 0 {
		n.Basis = min(d.Weight, n.Ideal)
		if d.Ideal > 0 {
			n.Basis = d.Ideal
		}
		switch {
		case d.Stage == Pregnant:
			n.pregnant(d, now)
		case d.Stage == Nursing:
			n.nursing(d, now)
		case Growing(d, now):
			n.Basis = min(d.Weight, n.Ideal)
			n.grow(d, now)
		default:
			n.adult(d, now)
		}
		n.Computed, n.Resting = n.Kcal, nutrition.RestingEnergy(n.Basis)
		if n.Gate == "" && ConditionOf(d) >= heavy {
			n.LossStart = nutrition.RestingEnergy(n.Ideal)
		}
	}
	n.assume(d)
	if n.Basis > 0 {
		n.PerMetabolicKg = float64(n.Kcal) / nutrition.MetabolicWeight(n.Basis)
	}
	return n
}

// AmountOf returns what a dog is fed: NeedOf with the amount in force in place
// of the equation's figure. Where none is in force yet it is NeedOf.
func AmountOf(d Dog, now time.Time) Need {
	n := NeedOf(d, now)
	if !(d.Kcal > 0) {
		return n
	}
	n.Ground, n.Since = d.InForce.Ground, d.InForce.Since
	n.Agreed = d.vetForLitter()
	if n.Ground.byEquation() && math.Abs(float64(n.Kcal-d.Kcal)) < 0.5 {
		return n // and nothing has changed since
	}
	n.ByHand, n.ByScale, n.ByVet, n.Equation = true, d.ByScale, d.ByVet, ByHand
	n.Kcal, n.Low, n.High = d.Kcal, d.Kcal, d.Kcal
	if n.Basis > 0 {
		n.PerMetabolicKg = float64(n.Kcal) / nutrition.MetabolicWeight(n.Basis)
	}
	return n
}

func (n *Need) setIdeal(d Dog) {
	n.Ideal, n.IdealLow, n.IdealHigh = nutrition.IdealWeight(d.Weight, d.Condition)
	n.IdealFrom = "weight"
	switch {
	case d.Ideal > 0:
		n.Ideal, n.IdealFrom = d.Ideal, cmp.Or(string(d.IdealFrom), "set")
		n.IdealLow, n.IdealHigh = GoalRange(d)
	case d.Condition > 0:
		n.IdealFrom = "condition"
	}
}

// ConditionOf returns the body condition score or, where only the ideal
// weight is known, the score that the weight over it stands for, at 10 % a
// point; 0 where neither is known or the dog is not over it.
func ConditionOf(d Dog) int {
	if d.Condition > 0 || d.IdealFrom != GoalSet || !(d.Ideal > 0 && d.Weight > d.Ideal) {
		return d.Condition
	}
	const rounding = 1e-9 // 22 kg over 20 kg is a point, whatever the division says
	return min(5+int(10*float64(d.Weight/d.Ideal-1)+rounding), 9)
}

// use takes the figure of an equation, with the spread of single dogs.
func (n *Need) use(k nutrition.Kcal, e nutrition.Equation) {
	n.Kcal, n.Equation = k, e
	n.Low, n.High = k*(1-nutrition.EnergySpread), k*(1+nutrition.EnergySpread)
}

// adult estimates the need of an adult by activity, age and condition.
func (n *Need) adult(d Dog, now time.Time) {
	e := activityEquation(d.Activity)
	if e != nutrition.ActivityBrisk && e != nutrition.ActivityHigh && d.StageAt(now) == Senior {
		e = least(e, nutrition.AgeOverSeven)
	}
	if d.Condition >= Inclined { // a goal weight alone says nothing of what the dog gains on
		e = least(e, nutrition.ProneToObesity)
	}
	n.use(EnergyBy(e, n.Basis), e)
}

// pregnant takes the need of the last four weeks; before them a bitch needs
// what she always did. Where the week is not known the range reaches down to
// that.
func (n *Need) pregnant(d Dog, now time.Time) {
	if due := d.Litter.Due; !due.IsZero() && DateOf(now).Before(due.AddDays(-latePregnancy)) {
		n.adult(d, now)
		return
	}
	n.Basis = d.Weight
	n.adult(d, now)
	low := n.Low
	n.use(nutrition.PregnancyEnergy(d.Weight), nutrition.LatePregnancy)
	n.Low = min(low, n.Low)
}

// nursing takes the need for the litter and the week that were told, from the
// fourth week on the fourth's. Where either is not known it is that for four pups,
// the mean of four weeks, and the range is from one pup in the first week to
// eight in the fourth.
func (n *Need) nursing(d Dog, now time.Time) {
	n.Basis = d.Weight
	if l := d.Litter; !l.Whelped.IsZero() {
		week := min(max(l.Whelped.DaysTo(DateOf(now)), 0)/7+1, nutrition.LactationWeeks)
		if k, ok := nutrition.LactationEnergy(d.Weight, l.Pups, week); ok {
			n.use(k, nutrition.LactationWeek)
			return
		}
	}
	k, _ := nutrition.LactationEnergy(d.Weight, 4, 0)
	n.use(k, nutrition.Lactation)
	n.Low, _ = nutrition.LactationEnergy(d.Weight, 1, 1)
	n.High, _ = nutrition.LactationEnergy(d.Weight, 8, nutrition.LactationWeeks)
}

// Ages, in years, up to which a puppy has about half and about four fifths of
// its adult weight (common practice, no source).
const (
	HalfGrown   = 4.0 / 12
	NearlyGrown = 10.0 / 12
)

// grow takes the lower growth curve, and the NRC's, which is the ceiling, as
// the upper end of the range. It takes the dog's weight, but never one beyond
// its growth band for its age or its adult weight; and at most the curve's
// figure for the adult weight, since from four fifths of that on the curve lies
// a little higher. Where the adult weight is not known, FEDIAF's figure for the
// share of it that a puppy of this age is likely to have is taken; what the
// share may be otherwise lies within the spread of single dogs: 140 to 210 is
// 175 - 20 % to + 20 %.
func (n *Need) grow(d Dog, now time.Time) {
	if d.AdultWeight > 0 {
		n.Basis = min(n.Basis, d.AdultWeight)
		if _, high, _, _, gap := BandOf(d, now); gap == "" {
			n.Basis = min(n.Basis, high)
		}
		k := nutrition.GrowthStartEnergy(n.Basis, d.AdultWeight)
		k = min(k, nutrition.GrowthStartEnergy(d.AdultWeight, d.AdultWeight))
		n.Kcal, n.Equation = k, nutrition.GrowthStart
		n.Low, n.High = k, nutrition.GrowthEnergy(n.Basis, d.AdultWeight)
		return
	}
	e := nutrition.GrowthTo100
	switch years, _ := d.AgeAt(now); {
	case years < HalfGrown:
		e = nutrition.GrowthTo50
	case years < NearlyGrown:
		e = nutrition.GrowthTo80
	}
	n.use(EnergyBy(e, n.Basis), e)
}

// EnergyBy returns what a factor on metabolic weight gives.
func EnergyBy(e nutrition.Equation, w nutrition.Kilograms) nutrition.Kcal {
	return nutrition.Kcal(e.Factor() * nutrition.MetabolicWeight(w))
}

// least returns the equation with the smaller factor, a where they are alike.
func least(a, b nutrition.Equation) nutrition.Equation {
	if b.Factor() < a.Factor() {
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

// assume lists what was not known and would have changed the figure.
func (n *Need) assume(d Dog) {
	byActivity, byAdultWeight, byAge := false, false, d.Stage == ""
	switch n.Equation {
	case nutrition.ActivityModerate, nutrition.AgeOverSeven:
		byActivity = d.Activity == ""
	case nutrition.GrowthStart, nutrition.GrowthTo50, nutrition.GrowthTo80, nutrition.GrowthTo100:
		byAdultWeight, byAge = d.AdultWeight == 0, false
	}
	for _, a := range []struct {
		code    string
		assumed bool
	}{
		{"activity", byActivity},
		{"age", byAge && d.Born.IsZero()},
		{"condition", d.Condition == 0 && d.Ideal == 0},
		{"adult-weight", byAdultWeight},
	} {
		if a.assumed {
			n.Assumed = append(n.Assumed, a.code)
		}
	}
}

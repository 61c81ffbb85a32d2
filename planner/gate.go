package planner

import (
	"slices"
	"time"

	"bowlwright/planner/illness"
)

// VeryThinGate is the gate of a dog of condition 1 or 2: a vet sees it before
// it is fed up, since too much food too soon harms a starved dog (refeeding).
const VeryThinGate Gate = "very-thin"

// FastingGate is the gate of a dog that has eaten nothing for three days, for the
// same reason, whatever a vet set before. It ends with a vet's word.
const FastingGate Gate = "fasting"

// DiedGate is the gate of a dog that has died.
const DiedGate Gate = "died"

// starved is the body condition score up to which that holds.
const starved = 2

// FewestSmallMeals and MostSmallMeals are the meals a day of a very thin dog
// until a vet has seen it (common veterinary practice, from memory).
const (
	FewestSmallMeals = 4
	MostSmallMeals   = 6
)

// Waits reports that a dog gets no bowl, batch, swap, balance, rotation or
// switch until a vet has said how many kcal a day it gets, or has agreed to the
// steps for a litter. It is the one place that decides this.
func (n Need) Waits() bool {
	switch n.Gate {
	case DiedGate, FastingGate:
		return true
	case IllnessGate, VeryThinGate:
		return !n.ByVet
	case PregnantGate, NursingGate:
		return !n.Agreed
	}
	return false
}

// Classed reports that it is known whether a dog is healthy: that, a stage or an
// illness was told, or a carer answered the question. An age says no more than whether
// it is a puppy. A dog that was fed by the program before is not asked about.
func (d Dog) Classed() bool {
	fed := d.InForce.Ground != "" && d.InForce.Ground != OnCarer
	return d.Healthy || d.Puppy || d.Ill || d.Stage != "" || d.Health != "" || fed
}

// AgeWanted reports that a dog is a puppy whose amount cannot be worked out
// before its age is known.
func (d Dog) AgeWanted() bool { return d.Puppy && d.Born.IsZero() && d.AdultWeight == 0 }

// ill reports that a dog is ill or on long-term medicine, by its notes or by a
// carer's word.
func (d Dog) ill() bool { return d.Ill || len(illness.In(d.Health)) > 0 }

// Diabetic reports that a dog's meals go with its insulin: none is skipped,
// moved or replaced.
func (d Dog) Diabetic() bool {
	return slices.Contains(illness.In(d.Health), illness.Diabetes)
}

// GateOf returns the gravest reason to make no plan.
func GateOf(d Dog, now time.Time) Gate {
	switch {
	case !d.Died.IsZero():
		return DiedGate
	case !d.Fasting.IsZero():
		return FastingGate
	case d.ill():
		return IllnessGate
	case d.Stage == Pregnant:
		return PregnantGate
	case d.Stage == Nursing:
		return NursingGate
	case d.VeryThin():
		return VeryThinGate
	case Growing(d, now):
		return GrowthGate
	case d.Thin():
		return UnderweightGate
	}
	return ""
}

package judge

import (
	"math"
	"slices"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Adopt makes records, once, for dogs from before daily amounts and goal
// weights were records, when both were worked out anew each time.
//
// Today's figure becomes the amount in force, and the goal weight is the one
// that the weigh-ins and scores gave. The plan of each day since the first
// weigh-in, by the equation at that day's weight, is frozen as entries of
// OnReckoning: no later fact rewrites it. The entries returned are to be added
// to the journal; they have neither ID nor Person.
func Adopt(d *planner.Dog, entries []planner.Entry, loc *time.Location, now time.Time) (frozen []planner.Entry) {
	before := *d
	h := HistoryOf(before, entries, loc, now)
	if h.Ideal > 0 && d.Ideal == 0 && !planner.Growing(*d, now) {
		d.SetGoal(h.Ideal, planner.GoalScored)
		if d.IdealScore = d.Condition; d.Condition == 0 {
			d.SetGoal(h.Ideal, planner.GoalFirstSeen)
		} else if d.Condition <= planner.ThinCondition {
			d.Ideal = planner.GoalByScore(*d)
		}
	}
	frozen = frozenPlan(before, h, entries)
	k := fedBefore(before, before.Kcal, now)
	if k > 0 && !(planner.GateOf(before, now) == planner.IllnessGate && before.Kcal == 0) {
		d.PutInForce(k, groundBefore(before, now), "", now)
		frozen = append(frozen, planner.Entry{Kind: planner.KcalSet, Dog: d.ID, Kcal: k, Text: string(d.InForce.Ground), Amount: d.InForce.K, At: now})
	}
	return frozen
}

func groundBefore(d planner.Dog, now time.Time) planner.Ground {
	switch {
	case d.Kcal > 0 && d.ByVet:
		return planner.OnVet
	case d.Kcal > 0 && d.ByScale:
		return planner.OnSuggestion
	case d.Kcal > 0:
		return planner.OnCarer
	case planner.GateOf(d, now) == planner.GrowthGate, d.Stage != "":
		return planner.OnSchedule
	}
	return planner.OnEquation
}

// frozenPlan returns an entry for each day on which the plan of a dog changed
// with its weight.
func frozenPlan(d planner.Dog, h History, entries []planner.Entry) (frozen []planner.Entry) {
	var told []planner.Entry // amounts set by hand; 0: by equation from then on
	for _, e := range entries {
		if e.Kind == planner.KcalSet && e.Dog == d.ID && amount(e.Kcal) == float64(e.Kcal) && !e.At.After(h.Now) {
			told = append(told, e)
		}
	}
	slices.SortStableFunc(told, func(a, b planner.Entry) int { return a.At.Compare(b.At) })
	hand, now := nutrition.Kcal(0), d
	if len(told) == 0 {
		hand = d.Kcal // set before there was a journal
	}
	last := nutrition.Kcal(0)
	for _, w := range h.Weighings {
		for len(told) > 0 && !told[0].At.After(w.At) {
			hand, told = told[0].Kcal, told[1:]
			last = hand
		}
		now.Weight = w.Weight
		if k := fedBefore(now, hand, h.Now); hand == 0 && math.Abs(float64(k-last)) >= 0.5 {
			last = k
			frozen = append(frozen, planner.Entry{Kind: planner.KcalSet, Dog: d.ID, Kcal: k, Text: string(planner.OnReckoning), At: w.At})
		}
	}
	return frozen
}

// fedBefore is the daily kcal as they used to be worked out: by hand, or by the
// equation at the lower of present and goal weight; for a growing dog by
// FEDIAF's steps.
func fedBefore(d planner.Dog, byHand nutrition.Kcal, now time.Time) nutrition.Kcal {
	if byHand > 0 {
		return nutrition.Kcal(amount(byHand))
	}
	if d.Ideal > d.Weight {
		d.Ideal = d.Weight
	}
	if planner.GateOf(d, now) != planner.GrowthGate && !(d.Stage == "" && planner.Growing(d, now)) {
		return nutrition.Kcal(amount(planner.NeedOf(d, now).Kcal))
	}
	return nutrition.Kcal(amount(growthBefore(d, now)))
}

// growthBefore is FEDIAF's figure for growth with its steps down held back, up
// to the NRC's curve.
func growthBefore(d planner.Dog, now time.Time) nutrition.Kcal {
	years, _ := d.AgeAt(now)
	switch {
	case d.AdultWeight > 0:
	case years < planner.HalfGrown:
		return planner.EnergyBy(nutrition.GrowthTo50, d.Weight)
	case years < planner.NearlyGrown:
		return planner.EnergyBy(nutrition.GrowthTo80, d.Weight)
	default:
		return planner.EnergyBy(nutrition.GrowthTo100, d.Weight)
	}
	share := float64(d.Weight / d.AdultWeight)
	k := planner.EnergyBy(nutrition.GrowthEquation(share), d.Weight)
	for _, end := range [...]float64{0.5, 0.8} {
		if share > end {
			kept := planner.EnergyBy(nutrition.GrowthEquation(end), nutrition.Kilograms(end)*d.AdultWeight)
			k = max(k, min(kept, nutrition.GrowthEnergy(d.Weight, d.AdultWeight)))
		}
	}
	return k
}

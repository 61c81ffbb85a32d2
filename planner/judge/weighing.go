package judge

import (
	"math"
	"slices"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// sameDayApart is how far apart, as a share, two weigh-ins of one day must be
// for the second to replace the first; nearer ones count as their mean.
const sameDayApart = 0.02

// SameDay reports that both of two weigh-ins of one day count. On a scale of
// coarse steps they may be a step apart.
func SameDay(first, second, step nutrition.Kilograms) bool {
	apart := math.Abs(float64(second - first))
	const rounding = 1e-6 // a step apart stays so, whatever the subtraction says
	return apart <= max(sameDayApart*float64(first), float64(step))+rounding
}

// oneADay makes one weigh-in of those of a day, in the place and with the id of
// the last: their mean or, where they lie apart, the later one. The list rises
// in time.
func oneADay(all []Weighing, step nutrition.Kilograms) []Weighing {
	days := all[:0]
	count := 0 // that the last of days stands for
	for _, w := range all {
		n := len(days)
		if n == 0 || planner.DateOf(days[n-1].At) != planner.DateOf(w.At) {
			days, count = append(days, w), 1
			continue
		}
		if SameDay(days[n-1].Weight, w.Weight, step) {
			w.Weight = (days[n-1].Weight*nutrition.Kilograms(count) + w.Weight) / nutrition.Kilograms(count+1)
			w.Sure = true // the one bears the other out
			count++
		} else {
			count = 1
		}
		days[n-1] = w
	}
	return days
}

// Steps that scales show, in kg and in pounds, the coarsest first. Coarser ones
// are scales for people, on which nobody can weigh a small dog. A scale is
// believed to have one only after a few weigh-ins, since two may lie on it by
// chance.
var (
	kiloSteps  = [...]float64{0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005}
	poundSteps = [...]float64{1, 0.5, 0.2, 0.1, 1.0 / 16, 0.05, 1.0 / 32, 0.02, 0.01}
)

const (
	stepWeighIns = 8 // the last that are looked at: the scale may have changed
	stepFew      = 4 // with fewer no step above stepCommon is believed
	stepCommon   = 0.1
)

// scaleStep returns the step in which the scale shows weights, by the coarsest
// grid on which the last weigh-ins lie, 0 where it is not known: they lie on
// none, or there are none.
func scaleStep(all []Weighing) nutrition.Kilograms {
	last := all[max(len(all)-stepWeighIns, 0):]
	if len(last) == 0 {
		return 0
	}
	for _, grid := range []struct {
		steps []float64
		unit  float64 // kg
	}{{kiloSteps[:], 1}, {poundSteps[:], float64(nutrition.KilosPerPound)}} {
		for _, step := range grid.steps {
			kg := step * grid.unit
			if len(last) < stepFew && kg > stepCommon {
				continue
			}
			if onGrid(last, kg) {
				return nutrition.Kilograms(kg)
			}
		}
	}
	return 0
}

func onGrid(all []Weighing, step float64) bool {
	const close = 2e-6 // kg
	return !slices.ContainsFunc(all, func(w Weighing) bool { return math.Abs(math.Remainder(float64(w.Weight), step)) > close })
}

package weighing

import (
	"math"
	"slices"
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// weighOrYears records a weight, unless the number, without a unit, is no likely weight of the
// dog but its age; where it may be both it asks.
func weighOrYears(t *talk.Turn, d *planner.Dog, w weighed, s string) bool {
	n := inUnits(t, w.weight)
	years, known := d.AgeAt(t.Event.At)
	mayBe := !read.Says("weight", s) && !strings.ContainsAny(s, ".,") && n <= planner.OldestDog && (!known || math.Abs(n-years) < nearAge)
	likely := fits(t, d, w.weight, w.at)
	switch {
	case mayBe && !likely:
		return dogs.DogFacts(t, d.Name+" is "+say.Trim(n, 0)+" years")
	case mayBe && read.Says("is-number", s):
		sayOrYears(t, d, w.weight)
	default:
		weigh(t, d, w)
	}
	return true
}

// nearAge is how many years an age that is told may be off the one that is kept (our own
// choice).
const nearAge = 2

// inUnits is a weight in the household's units.
func inUnits(t *talk.Turn, w nutrition.Kilograms) float64 {
	return say.Choose(t.Home.Units.Pounds, float64(w/nutrition.KilosPerPound), float64(w))
}

func sayOrYears(t *talk.Turn, d *planner.Dog, w nutrition.Kilograms) {
	t.SayMsg("weigh.or-years", "dog", d.Name, "n", say.Trim(inUnits(t, w), 1), "weight", say.BodyWeight(w, t.Home.Units))
}

// mayBeYears reports that what reads as the weights of several dogs may be their
// ages: whole numbers without a unit, of which one is no likely weight ("fern is 6 and
// dot is 9").
func mayBeYears(t *talk.Turn, s string, all []read.WeighingSaid) bool {
	if read.Says("weight", s) || slices.ContainsFunc(all, func(w read.WeighingSaid) bool {
		return w.Weight > planner.OldestDog || w.Weight != nutrition.Kilograms(int(w.Weight))
	}) {
		return false
	}
	return slices.ContainsFunc(all, func(w read.WeighingSaid) bool {
		d := t.Dog(w.Dog)
		return unlikely(t, d, weighingOf(t, w)).Unlikely
	})
}

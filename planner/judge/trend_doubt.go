package judge

import (
	"math"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Doubt is why a weight may not be the dog's.
type Doubt struct {
	Unlikely bool // it is far off what is expected; the rest is set then alone
	// Expected is the weight of late, Low and High what would not have been
	// doubted. They are 0 where nothing is known of the dog.
	Expected, Low, High nutrition.Kilograms
	Off                 float64 // from Expected, %
	// AsPounds says that the figure would fit in pounds, AsKilograms that one
	// given in pounds would fit in kilograms, AsTenth and AsTenfold that the
	// point may have slipped.
	AsPounds, AsKilograms, AsTenth, AsTenfold bool
	Impossible                                bool // no dog weighs that
}

// How far, in shares of the weight, a weigh-in may be off the last ones: more
// than scales are off by, and wider with the weeks since (common practice, no
// source). A growing dog may have doubled in a few weeks: at eight weeks the
// curves of the growth band rise by 15 % a week.
const (
	doubtAtOnce  = 0.06
	doubtPerWeek = 0.015
	doubtMost    = 0.30
	growthAWeek  = 0.18
	growthMost   = 2.0
)

// Agrees reports that two weigh-ins bear each other out: they differ by what two
// scales do (our own choice), or by a step of the scale.
func Agrees(a, b, step nutrition.Kilograms) bool {
	const agree = 0.03
	return math.Abs(float64(a-b)) <= max(agree*float64(b), float64(step))+1e-6
}

// Stands reports that a doubted weight may be borne out by a second weighing
// alone. One that a slip explains, or that halves or doubles the dog (our own
// choice), is asked about however often it is typed: a slip is repeated, too.
func (b Doubt) Stands() bool {
	slip := b.AsPounds || b.AsKilograms || b.AsTenth || b.AsTenfold
	return !slip && !b.Impossible && b.Off > -50 && b.Off < 100
}

// Unlikely judges a weight that is about to be recorded for a dog at h.Now. One
// that agrees with the last is not doubted, however far the last was from those
// before it.
func Unlikely(d planner.Dog, h History, w nutrition.Kilograms) Doubt {
	if !planner.LikelyDog(w) {
		return Doubt{Unlikely: true, Impossible: true}
	}
	if n := len(h.Weighings); n > 0 && Agrees(w, h.Weighings[n-1].Weight, h.Step) {
		return Doubt{}
	}
	b := Doubt{}
	if !b.expect(d, h) || b.holds(w) {
		return Doubt{}
	}
	b.Unlikely, b.Off = true, percent(float64(w), float64(b.Expected))
	b.AsPounds, b.AsKilograms = b.holds(w*nutrition.KilosPerPound), b.holds(w/nutrition.KilosPerPound)
	b.AsTenth, b.AsTenfold = b.holds(w/10), b.holds(w*10)
	return b
}

// FitsDog reports that a weight is what is expected of a dog; false where
// nothing is known of its weight.
func FitsDog(d planner.Dog, h History, w nutrition.Kilograms) bool {
	b := Doubt{}
	return b.expect(d, h) && b.holds(w)
}

func (b *Doubt) holds(w nutrition.Kilograms) bool { return w >= b.Low && w <= b.High }

// expect works out the range from the median of the weigh-ins of the month
// before the last one, or from the profile.
func (b *Doubt) expect(d planner.Dog, h History) bool {
	weeks := 0.0
	b.Expected = d.Weight
	switch n := len(h.Weighings); {
	case n > 0:
		last := h.Weighings[n-1]
		from := n - 1
		for from > max(n-3, 0) && last.At.Sub(h.Weighings[from-1].At).Hours() < 24*monthDays {
			from--
		}
		b.Expected = nutrition.Kilograms(medianWeight(h.Weighings[from:]))
		if planner.Growing(d, h.Now) {
			b.Expected = last.Weight
		}
		weeks = (momentOf(h.Now) - momentOf(last.At)) / 7
	case !d.Weighed.IsZero():
		weeks = h.Now.Sub(d.Weighed).Hours() / 24 / 7
	}
	if !planner.LikelyDog(b.Expected) {
		return false
	}
	weeks = max(weeks, 0)
	// Two readings of one weight may be a step of the scale apart.
	step := float64(h.Step / b.Expected)
	off := min(doubtAtOnce+doubtPerWeek*weeks+step, doubtMost)
	up := off
	if planner.Growing(d, h.Now) {
		up = min(doubtAtOnce+growthAWeek*weeks+step, growthMost)
	}
	b.Low, b.High = b.Expected*nutrition.Kilograms(1-off), b.Expected*nutrition.Kilograms(1+up)
	return true
}

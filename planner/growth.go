package planner

import (
	"math"
	"time"

	"bowlwright/nutrition"
)

// The growth band is a guide for the eye: no published table of growth is held
// here, and none of its figures is a measurement of anybody's. It does not
// foretell the weight of one puppy, which follows a curve of its own, and no
// food is changed by it.
//
// Growth is taken to be a Gompertz curve, the share of adult weight at an age t
// being exp(-b e^(-ct)), as studies of puppies fit it (Hawthorne et al. 2004,
// Journal of Nutrition 134: 2027S, from memory). Each edge of the band is one
// such curve, through the ages at which a dog that grows early or late has half
// and 99 % of its adult weight.

// growthAges are ages in weeks by adult weight: early for the upper edge of the
// band, late for the lower one.
type growthAges struct {
	adult       nutrition.Kilograms
	Half, Grown [2]float64 // early, late: half of the adult weight, 99 % of it
}

// bandAges are from memory of such studies and of textbooks, which say that
// small breeds have half of their adult weight at 3 to 4 months and large ones
// at 5, and that small ones are grown at 9 to 12 months and giants at 18 to 24.
// The ages of 99 % are those of the curve: with earlier ones a Gompertz curve
// would put a puppy of eight weeks far below what such puppies weigh.
var bandAges = [...]growthAges{
	{5, [2]float64{11.5, 15.5}, [2]float64{44, 55}},
	{15, [2]float64{13.5, 18}, [2]float64{52, 64}},
	{32, [2]float64{16, 21}, [2]float64{60, 74}},
	{60, [2]float64{19, 26}, [2]float64{70, 96}},
}

const (
	// leastAdult and mostAdult are the adult weights that bandAges are carried
	// on to; a dog beyond grows as one of that weight.
	leastAdult, mostAdult = nutrition.Kilograms(2), nutrition.Kilograms(90)
	// adultDoubt widens the band, because the adult weight is a guess (our own
	// choice: a tenth).
	adultDoubt = 0.10
	// BandFrom is the age in weeks from which there is a band: before it a
	// puppy drinks with its dam, and litters differ most.
	BandFrom = 8
	// ageDoubt is the doubt about a birth date that was worked out from an age,
	// as a share of the age, and leastAgeDoubt in weeks (our own choice: "five
	// months" may be two weeks off).
	ageDoubt, leastAgeDoubt = 0.10, 1.0
)

// gompertz is a growth curve: the share of adult weight at t weeks is
// exp(-b e^(-ct)).
type gompertz struct{ b, c float64 }

// gompertzThrough returns the curve that is 0.5 at half and 0.99 at grown
// weeks. At half, b e^(-ct) is ln 2; at grown it is -ln 0.99.
func gompertzThrough(half, grown float64) gompertz {
	c := math.Log(math.Ln2/-math.Log(0.99)) / (grown - half)
	return gompertz{math.Ln2 * math.Exp(c*half), c}
}

func (g gompertz) share(weeks float64) float64 { return math.Exp(-g.b * math.Exp(-g.c*weeks)) }

// AgesOf returns the ages for an adult weight, which run evenly with its
// logarithm between two of bandAges and beyond them.
func AgesOf(adult nutrition.Kilograms) growthAges {
	adult = min(max(adult, leastAdult), mostAdult)
	i := 0
	for i < len(bandAges)-2 && adult > bandAges[i+1].adult {
		i++
	}
	a, b := &bandAges[i], &bandAges[i+1]
	part := math.Log(float64(adult/a.adult)) / math.Log(float64(b.adult/a.adult))
	at := growthAges{adult: adult}
	for e := range 2 {
		at.Half[e] = a.Half[e] + part*(b.Half[e]-a.Half[e])
		at.Grown[e] = a.Grown[e] + part*(b.Grown[e]-a.Grown[e])
	}
	return at
}

// GrowthBand returns between which weights a puppy usually is at an age in
// weeks, give or take doubt weeks, if it is to weigh adult when grown; that is
// taken to be off by a tenth. ok is false before eight weeks, once even a dog
// that grows late has 99 % of its adult weight, and for what is no weight or
// age. See above for what it is worth.
func GrowthBand(adult nutrition.Kilograms, weeks, doubt float64) (low, high nutrition.Kilograms, ok bool) {
	if !LikelyDog(adult) || !(doubt >= 0) {
		return 0, 0, false
	}
	a := AgesOf(adult)
	if !(weeks >= BandFrom && weeks <= a.Grown[1]) {
		return 0, 0, false
	}
	upper, lower := gompertzThrough(a.Half[0], a.Grown[0]), gompertzThrough(a.Half[1], a.Grown[1])
	low = nutrition.Kilograms(lower.share(math.Max(weeks-doubt, 0))) * adult * (1 - adultDoubt)
	high = nutrition.Kilograms(upper.share(weeks+doubt)) * adult * (1 + adultDoubt)
	return low, high, true
}

// farOver is how much more than the upper edge of the band is still a puppy of
// its age (our own choice).
const farOver = 1.5

// HeaviestAt returns the weight above which a puppy of its age is not likely,
// whatever its breed where its grown weight is not known. growing is false for a
// dog of unknown age, and for one that can be grown.
func HeaviestAt(d Dog, at time.Time) (most nutrition.Kilograms, growing bool) {
	if d.Born.IsZero() {
		return 0, false
	}
	weeks, doubt := d.weeksAt(at)
	grown := []nutrition.Kilograms{d.AdultWeight}
	if !LikelyDog(d.AdultWeight) {
		grown = grown[:0]
		for _, a := range bandAges {
			grown = append(grown, a.adult)
		}
		grown = append(grown, mostAdult)
	}
	for _, adult := range grown {
		if _, high, ok := GrowthBand(adult, math.Max(weeks, BandFrom), doubt); ok {
			most, growing = max(most, min(high*farOver, adult)), true
		}
	}
	return most, growing
}

// weeksAt is the age of a dog whose birth date is known, and the doubt about it.
func (d Dog) weeksAt(at time.Time) (weeks, doubt float64) {
	weeks = Day(at).Sub(Day(d.Born.UTC())).Hours() / 24 / 7
	if d.BornAbout {
		doubt = math.Max(ageDoubt*weeks, leastAgeDoubt)
	}
	return weeks, doubt
}

// BandGap says why there is no growth band.
type BandGap string

// The reasons.
const (
	NoBirth   BandGap = "no-birth"   // the birth date is not known
	NoAdult   BandGap = "no-adult"   // nor is the adult weight
	TooYoung  BandGap = "too-young"  // under eight weeks
	NearGrown BandGap = "near-grown" // past the age of the band
)

// BandOf returns the growth band of a dog at an instant in the household's zone,
// with the age in weeks and the doubt about it. Where there is none, gap says
// why and the weights are 0.
func BandOf(d Dog, at time.Time) (low, high nutrition.Kilograms, weeks, doubt float64, gap BandGap) {
	if d.Born.IsZero() {
		return 0, 0, 0, 0, NoBirth
	}
	weeks, doubt = d.weeksAt(at)
	low, high, ok := GrowthBand(d.AdultWeight, weeks, doubt)
	switch {
	case ok:
	case weeks < BandFrom:
		gap = TooYoung
	case !LikelyDog(d.AdultWeight):
		gap = NoAdult
	default:
		gap = NearGrown
	}
	return low, high, weeks, doubt, gap
}

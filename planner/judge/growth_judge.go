package judge

import (
	"math"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// GrowthPlace is where a weight lies with regard to the growth band.
type GrowthPlace string

// The places; empty where there is no band.
const (
	BelowBand  GrowthPlace = "below"
	WithinBand GrowthPlace = "within"
	AboveBand  GrowthPlace = "above"
)

// GrowthWarning is why a vet should see a growing dog; empty for no reason.
type GrowthWarning string

// The warnings, the gravest first.
const (
	PuppyFalls   GrowthWarning = "falls"   // it weighs less than at the weigh-in before; Change
	PuppyStands  GrowthWarning = "stands"  // it has gained nothing in a week
	PuppyOutside GrowthWarning = "outside" // it is out of the band
	PuppyClimbs  GrowthWarning = "climbs"  // it rises fast through the band
)

// Growth is what the weigh-ins of a growing dog tell. It never asks for other
// food: what is to change is for a vet to say.
type Growth struct {
	Weight nutrition.Kilograms // at the last weigh-in, or of the profile
	Weeks  float64             // its age then; 0 where the birth date is not known
	Doubt  float64             // about Weeks, in weeks

	Low, High nutrition.Kilograms // of the band; 0 where Gap says why there is none
	Gap       planner.BandGap
	Place     GrowthPlace

	// PerWeek is the gain in kg a week over the last month, from so many days;
	// Days is 0 where there are no two weigh-ins of different days.
	PerWeek nutrition.Kilograms
	Days    float64

	Warning GrowthWarning
	Change  float64   // % since the weigh-in before, for PuppyFalls
	Since   time.Time // of the weigh-in that it is compared with, for PuppyFalls and PuppyStands
}

// When a puppy's weight is for a vet (all our own choice, no source).
const (
	// bandSlack is what a weight may be out of the band and count as within: what
	// is shown of both is rounded to as much.
	bandSlack = nutrition.Kilograms(0.1)
	// puppyLoss is more, as a share, than two scales differ by: a puppy that
	// thrives gains from one week to the next.
	puppyLoss = 0.03
	// gainsLeast is what a puppy must be expected to gain in a week, as a share,
	// before a week without gain says anything, and gainsUntil the age in weeks to
	// which any puppy does, whatever its breed.
	gainsLeast, gainsUntil = 0.02, 20
	// A large dog climbs fast that rises through so much of the height of the
	// band, on a logarithmic scale, within eight weeks, and is then in its upper
	// half. Fast growth is bad for the joints of large breeds (common veterinary
	// knowledge, no source).
	climbHeight, climbDays, climbTo = 0.40, 56, 0.5
	// knownDays is for how many days no warning is given of a weight that was as
	// far out of the band when a vet saw the dog.
	knownDays = 28
)

// GrowthOf judges the weigh-ins of a growing dog.
func GrowthOf(d planner.Dog, h History) Growth {
	r := Growth{Weight: d.Weight}
	at := h.Now
	g := groups(h.Weighings)
	if n := len(h.Weighings); n > 0 {
		r.Weight, at = h.Weighings[n-1].Weight, h.Weighings[n-1].At
	}
	r.Low, r.High, r.Weeks, r.Doubt, r.Gap = planner.BandOf(d, at)
	r.Place = r.placeOf(r.Weight)
	r.gain(g)
	r.warn(d, h, g)
	return r
}

// placeOf says where a weight lies with regard to the band of r.
func (r *Growth) placeOf(w nutrition.Kilograms) GrowthPlace {
	switch {
	case r.Gap != "":
		return ""
	case w < r.Low-bandSlack:
		return BelowBand
	case w > r.High+bandSlack:
		return AboveBand
	}
	return WithinBand
}

// gain works out the gain a week over the last month, or since the weigh-in
// before where that is longer ago.
func (r *Growth) gain(g []group) {
	last := len(g) - 1
	if last < 1 {
		return
	}
	first := last - 1
	for first > 0 && g[last].day-g[first-1].day <= monthDays {
		first--
	}
	r.Days = g[last].day - g[first].day
	r.PerWeek = nutrition.Kilograms((g[last].weight - g[first].weight) / r.Days * 7)
}

// warn finds the gravest reason for a vet. What was weighed before a vet saw
// the dog warns no more.
func (r *Growth) warn(d planner.Dog, h History, g []group) {
	outside := r.Place == BelowBand || r.Place == AboveBand
	if outside && !r.vetKnows(d, h) {
		r.Warning = PuppyOutside
	}
	for len(g) > 0 && !h.Weighings[g[0].last].At.After(h.VetSeen) {
		g = g[1:]
	}
	if len(g) < 2 {
		return
	}
	last, before := g[len(g)-1], g[len(g)-2]
	weekAgo := len(g) - 2
	for weekAgo > 0 && last.day-g[weekAgo].day < checkInDays {
		weekAgo--
	}
	switch change := last.weight/before.weight - 1; {
	case change < -puppyLoss:
		r.Warning, r.Change, r.Since = PuppyFalls, 100*change, h.Weighings[before.last].At
	case last.day-g[weekAgo].day >= checkInDays && last.weight <= g[weekAgo].weight && r.shouldGain(d, h.Weighings[last.last].At):
		r.Warning, r.Since = PuppyStands, h.Weighings[g[weekAgo].last].At
	case r.Warning == "" && climbs(d, h, g):
		r.Warning = PuppyClimbs
	}
}

// shouldGain reports that a dog is of an age at which it gains every week.
func (r *Growth) shouldGain(d planner.Dog, at time.Time) bool {
	low, _, _, _, gap := planner.BandOf(d, at)
	was, _, _, _, before := planner.BandOf(d, at.AddDate(0, 0, -7))
	if gap == "" && before == "" {
		return float64(low/was)-1 >= gainsLeast
	}
	return gap != planner.NoBirth && r.Weeks < gainsUntil
}

// vetKnows reports that a vet has seen the dog of late, and that it was out of
// the band on the same side then.
func (r *Growth) vetKnows(d planner.Dog, h History) bool {
	if h.VetSeen.IsZero() || momentOf(h.Now)-momentOf(h.VetSeen.In(h.Now.Location())) > knownDays {
		return false
	}
	w := h.Until(h.VetSeen).Weighings
	if len(w) == 0 {
		return true
	}
	var then Growth
	last := w[len(w)-1]
	then.Low, then.High, _, _, then.Gap = planner.BandOf(d, last.At)
	return then.placeOf(last.Weight) == r.Place
}

// climbs reports that a large dog rises fast through its band.
func climbs(d planner.Dog, h History, g []group) bool {
	if d.AdultWeight <= planner.LargeAdult {
		return false
	}
	height := func(x group) float64 {
		low, high, _, _, gap := planner.BandOf(d, h.Weighings[x.last].At)
		if gap != "" {
			return math.NaN()
		}
		return math.Log(x.weight/float64(low)) / math.Log(float64(high/low))
	}
	last := g[len(g)-1]
	now, least := height(last), math.Inf(1)
	for _, x := range g[:len(g)-1] {
		if last.day-x.day <= climbDays {
			least = min(least, height(x)) // what is no number makes it none
		}
	}
	return now > climbTo && now-least >= climbHeight
}

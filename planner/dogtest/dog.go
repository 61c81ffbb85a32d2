// Package dogtest has invented dogs, scales and carers for tests, of which
// everything is known. It knows nothing of what the planner assumes.
package dogtest

import (
	"math"
	"math/rand/v2"
)

// Kind says what is set about a dog; what is zero is drawn.
type Kind struct {
	Kg, K float64 // at the start: its weight, and its need in kcal per kg^0.75
	Step  float64 // of the scale, kg
	Calm  bool    // neither seasons nor drift, unlogged treats nor another scale
	// Event is the factor by which the need changes on a day, none where nil:
	// a working season, neutering, an illness.
	Event func(day int) float64
}

// Dog is a dog of fat and lean mass. Its make and all chances of its life are
// drawn at birth, so that carers who feed it differently meet the same noise.
type Dog struct {
	Kg0, K0 float64

	fat, lean        float64 // kg
	active0          float64 // of the start: what burns energy, kg
	share, fatShare0 float64 // of fat in what is gained or lost; of fat in the dog at first
	adapts, adapted  float64 // how far the need follows the food; by what factor it has
	amplitude, phase float64 // of the seasons
	treats           float64 // that nobody logs, kcal a day
	step             float64 // of the scale
	event            func(int) float64
	day              int
	weeks            []week
}

// week is the chance of a week.
type week struct {
	missed               bool
	noise, gut, bias     float64 // of the scale, as shares
	again                float64 // noise of a second look at the scale
	walk, wobble, treats float64 // factors on need, food and treats
}

// Energy of tissue, kcal per g: of fat, and of lean tissue with its water
// (common textbook values, from memory). What a dog gains or loses is worth
// 5.5 to 8 kcal/g by the share of fat in it.
const (
	fatEnergy, leanEnergy = 9.4, 1.1
	leastEnergy           = 5.5
	mostEnergy            = 8.0
)

// MostWeeks is how long a dog can be kept.
const MostWeeks = 80

// New draws a dog by its number; the same number is the same dog. Weights are
// spread evenly in their logarithm from 3 to 60 kg, needs normally, 110 ± 20
// kcal per kg^0.75 cut at 70 and 160. One scale in two is swapped for another
// in weeks 10 to 16, and 12 % of weeks are missed.
func New(seed uint64, kind Kind) *Dog {
	r := rand.New(rand.NewPCG(seed, 31))
	between := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	kg := 3 * math.Pow(20, r.Float64())
	k := 0.0
	for k < 70 || k > 160 {
		k = 110 + 20*r.NormFloat64()
	}
	d := &Dog{Kg0: kg, K0: k, adapted: 1, event: kind.Event}
	d.fatShare0 = between(0.15, 0.28)
	d.share = shareOf(between(leastEnergy, mostEnergy))
	d.adapts = between(0, 0.2)
	d.amplitude, d.phase = between(0, 0.06), between(0, 2*math.Pi)
	treats := between(0, 0.08)
	noise, swapped, bias := between(0.004, 0.012), 10+r.IntN(7), 0.015*r.NormFloat64()
	if r.Float64() < 0.5 {
		bias = 0
	}
	d.weeks = make([]week, MostWeeks+1)
	walk, gut := 0.0, 0.008*r.NormFloat64()
	again := rand.New(rand.NewPCG(seed, 32))
	for i := range d.weeks {
		gut = 0.6*gut + 0.8*0.008*r.NormFloat64()
		walk += 0.006 * r.NormFloat64()
		w := week{missed: r.Float64() < 0.12 && i > 0, noise: noise * r.NormFloat64(), again: noise * again.NormFloat64(), gut: gut,
			walk: math.Exp(walk), wobble: math.Exp(0.03 * r.NormFloat64()), treats: math.Exp(0.5 * r.NormFloat64())}
		if i >= swapped {
			w.bias = bias
		}
		if kind.Calm {
			w.walk, w.bias = 1, 0
		}
		d.weeks[i] = w
	}
	if kind.Kg > 0 {
		d.Kg0 = kind.Kg
	}
	if kind.K > 0 {
		d.K0 = kind.K
	}
	if kind.Calm {
		d.amplitude, treats = 0, 0
	}
	d.step = kind.Step
	if d.step == 0 {
		d.step = 0.1
		if d.Kg0 < 10 {
			d.step = 0.05
		}
	}
	d.fat, d.lean = d.fatShare0*d.Kg0, (1-d.fatShare0)*d.Kg0
	d.active0 = d.active()
	d.treats = treats * d.K0 * math.Pow(d.Kg0, 0.75)
	return d
}

func shareOf(energy float64) float64 { return (energy - leanEnergy) / (fatEnergy - leanEnergy) }

// active is the mass that burns energy: fat counts half.
func (d *Dog) active() float64 { return d.lean + d.fat/2 }

// Kg is what the dog weighs.
func (d *Dog) Kg() float64 { return d.fat + d.lean }

// Day is the day that it is, from 0.
func (d *Dog) Day() int { return d.day }

// spends is the energy that the dog burns in the day, kcal.
func (d *Dog) spends() float64 {
	season := d.amplitude * (math.Sin(2*math.Pi*float64(d.day)/365+d.phase) - math.Sin(d.phase))
	e := d.K0 * math.Pow(d.Kg0, 0.75) * math.Pow(d.active()/d.active0, 0.75) * (1 + season) * d.adapted * d.now().walk
	if d.event != nil {
		e *= d.event(d.day)
	}
	return e
}

func (d *Dog) now() week { return d.weeks[min(d.day/7, MostWeeks)] }

// Need is the food, in kcal a day as it is logged, that would hold the dog's
// weight as it is: what it burns, less the treats that nobody logs.
func (d *Dog) Need() float64 { return d.spends() - d.treats }

// K is the need per kg^0.75 of the weight.
func (d *Dog) K() float64 { return d.Need() / math.Pow(d.Kg(), 0.75) }

// Eat lets a day pass on which so much was logged, kcal.
func (d *Dog) Eat(kcal float64) {
	w := d.now()
	spent := d.spends()
	eaten := kcal*w.wobble + d.treats*w.treats/math.Exp(0.125)
	share := math.Max(shareOf(leastEnergy), math.Min(d.share+0.5*(d.fat/d.Kg()-d.fatShare0), shareOf(mostEnergy)))
	kg := (eaten - spent) / 1000 / (share*fatEnergy + (1-share)*leanEnergy)
	d.fat = math.Max(d.fat+share*kg, 0.02*d.Kg0)
	d.lean = math.Max(d.lean+(1-share)*kg, 0.2*d.Kg0)
	// The need follows the food by a few percent, over about four weeks.
	goes := math.Max(-0.1, math.Min(d.adapts*(eaten/spent-1), 0.1))
	d.adapted += (1 + goes - d.adapted) / 28
	d.day++
}

// Missed reports that nobody weighs the dog in the week that begins today.
func (d *Dog) Missed() bool { return d.now().missed }

// OnScale is what the scale shows.
func (d *Dog) OnScale() float64 { return d.shown(d.now().noise) }

// OnScaleAgain is what it shows when the dog is weighed once more that day.
func (d *Dog) OnScaleAgain() float64 { return d.shown(d.now().again) }

func (d *Dog) shown(noise float64) float64 {
	w := d.now()
	kg := d.Kg() * (1 + noise) * (1 + w.gut) * (1 + w.bias)
	return math.Max(d.step, math.Round(kg/d.step)*d.step)
}

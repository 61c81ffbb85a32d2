package judge

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// TestGrowthBandByHand works a band out with a pocket calculator. A dog of
// 32 kg that grows early has half at 16 and 99 % at 60 weeks:
//
//	c = ln(0.693147 / 0.0100503) / 44 = 4.23364 / 44 = 0.0962190
//	b = 0.693147 x e^(16 x 0.0962190) = 0.693147 x 4.66227 = 3.23164
//
// At 26 weeks e^(-26 c) = 0.0819408, the share e^(-0.264803) = 0.767358; a
// tenth more than 32 kg makes 27.011 kg. One that grows late has half at 21
// and 99 % at 74 weeks: c = 0.0798800, b = 0.693147 x 5.35283 = 3.71030,
// e^(-26 c) = 0.125308, the share e^(-0.464930) = 0.628179; a tenth less than
// 32 kg makes 18.092 kg.
func TestGrowthBandByHand(t *testing.T) {
	low, high, ok := planner.GrowthBand(32, 26, 0)
	if !ok || !near(float64(low), 18.092, 1e-3) || !near(float64(high), 27.011, 1e-3) {
		t.Errorf("%.3f to %.3f kg, %v", low, high, ok)
	}
	// Between 5 and 15 kg the ages run with the logarithm: half of it is at
	// the root of 75.
	mid := planner.AgesOf(nutrition.Kilograms(math.Sqrt(75)))
	if !near(mid.Half[0], 12.5, 1e-9) || !near(mid.Grown[1], 59.5, 1e-9) {
		t.Errorf("%+v", mid)
	}
}

// TestGrowthBandSane compares the band with what puppies of some sizes weigh
// (from memory, all of them): it must hold the usual weight and leave out what
// no carer would take for usual.
func TestGrowthBandSane(t *testing.T) {
	for _, c := range []struct {
		adult           nutrition.Kilograms
		weeks           float64
		least, in, most nutrition.Kilograms
	}{
		{5, 12, 1.3, 2.2, 3.3},
		{5, 26, 3, 4.2, 5.5},
		{15, 12, 3.5, 5.4, 8},
		{32, 8, 3, 5.5, 8.5},
		{32, 12, 6, 9.7, 13.5},
		{32, 26, 16, 22.5, 28},
		{32, 52, 25, 31, 35.3},
		{60, 8, 5.5, 9, 13},
		{60, 26, 24, 37, 47},
	} {
		low, high, ok := planner.GrowthBand(c.adult, c.weeks, 0)
		if !ok || low < c.least || low > c.in || high < c.in || high > c.most {
			t.Errorf("%v kg at %v weeks: %.1f to %.1f kg", c.adult, c.weeks, low, high)
		}
	}
}

// TestGrowthBandProperties: at every age and adult weight the upper edge is
// above the lower one, both rise with age and with adult weight and stay below
// what the dog may weigh when grown; and doubt about the age only widens.
func TestGrowthBandProperties(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 99))
	for range 20000 {
		adult := nutrition.Kilograms(0.3 * math.Exp(r.Float64()*math.Log(400)))
		weeks, doubt := 8+90*r.Float64(), 3*r.Float64()
		low, high, ok := planner.GrowthBand(adult, weeks, 0)
		if !ok {
			if weeks <= planner.AgesOf(adult).Grown[1] {
				t.Fatalf("no band for %.1f kg at %.1f weeks", adult, weeks)
			}
			continue
		}
		later, laterHigh, still := planner.GrowthBand(adult, weeks+0.5, 0)
		wide, wideHigh, _ := planner.GrowthBand(adult, weeks, doubt)
		more, moreHigh, known := planner.GrowthBand(adult*1.01, weeks, 0)
		switch {
		case !(low > 0 && high > low && high <= adult*1.1):
			t.Fatalf("%.2f kg at %.1f weeks: %.3f to %.3f", adult, weeks, low, high)
		case still && (later <= low || laterHigh <= high):
			t.Fatalf("%.2f kg at %.1f weeks: falls with age", adult, weeks)
		case known && adult < 118 && (more <= low || moreHigh <= high):
			t.Fatalf("%.2f kg at %.1f weeks: falls with adult weight", adult, weeks)
		case wide > low || wideHigh < high:
			t.Fatalf("%.2f kg at %.1f weeks: doubt narrows", adult, weeks)
		}
	}
	for _, c := range [][3]float64{{0, 20, 0}, {-5, 20, 0}, {math.NaN(), 20, 0}, {20, math.NaN(), 0}, {20, 7.9, 0}, {20, 300, 0}, {20, 20, math.NaN()}, {20, 20, -1}} {
		if low, high, ok := planner.GrowthBand(nutrition.Kilograms(c[0]), c[1], c[2]); ok || low != 0 || high != 0 {
			t.Errorf("%v has a band", c)
		}
	}
}

// pup is a dog born so many weeks before testNow.
func pup(adult, weeks float64) planner.Dog {
	return planner.Dog{Name: "Pip", Weight: 5.5, AdultWeight: kilos(adult), Born: planner.Day(testNow).AddDate(0, 0, -int(7*weeks))}
}

func TestBandOf(t *testing.T) {
	unborn, about := pup(18, 17), pup(18, 17)
	unborn.Born = time.Time{}
	about.BornAbout = true
	for _, c := range []struct {
		name string
		dog  planner.Dog
		gap  planner.BandGap
	}{
		{"all known", pup(18, 17), ""},
		{"no birth date", unborn, planner.NoBirth},
		{"no adult weight", pup(0, 17), planner.NoAdult},
		{"six weeks", pup(18, 6), planner.TooYoung},
		{"two years", pup(18, 104), planner.NearGrown},
	} {
		low, high, _, _, gap := planner.BandOf(c.dog, testNow)
		if gap != c.gap || (gap == "") != (low > 0 && high > low) {
			t.Errorf("%s: %q, %.1f to %.1f", c.name, gap, low, high)
		}
	}
	low, high, weeks, doubt, _ := planner.BandOf(pup(18, 17), testNow)
	wide, wideHigh, _, off, _ := planner.BandOf(about, testNow)
	if weeks != 17 || doubt != 0 || !near(off, 1.7, 1e-9) || wide >= low || wideHigh <= high {
		t.Errorf("at %v weeks, %v off: %.2f to %.2f; an age that is about known, %v off: %.2f to %.2f", weeks, doubt, low, high, off, wide, wideHigh)
	}
}

func TestHeaviestAt(t *testing.T) {
	old, unknown := pup(18, 104), pup(18, 17)
	unknown.Born = time.Time{}
	for _, c := range []struct {
		name      string
		dog       planner.Dog
		low, high nutrition.Kilograms // between which the answer lies
	}{
		{"nine weeks, any breed", pup(0, 9), 20, 30},
		{"nine weeks, a giant", pup(65, 9), 14, 22},
		{"nine weeks, a small one", pup(6, 9), 2.4, 4.8},
		{"five weeks", pup(65, 5), 9, 20},
		{"nearly grown", pup(18, 50), 18, 18},
		{"grown", old, 0, 0},
		{"of unknown age", unknown, 0, 0},
	} {
		most, growing := planner.HeaviestAt(c.dog, testNow)
		if growing != (c.high > 0) || most < c.low || most > c.high {
			t.Errorf("%s: %.1f kg, growing %v", c.name, most, growing)
		}
	}
}

// grows is the history of a puppy that is now so many weeks old, weighed once
// a week.
func grows(d planner.Dog, kg ...float64) History {
	return HistoryOf(d, weekly(kg...), time.UTC, testNow)
}

func TestGrowthOf(t *testing.T) {
	seen := func(h History, daysAgo int) History {
		h.VetSeen = testNow.AddDate(0, 0, -daysAgo)
		return h
	}
	small, large, unknown := pup(6.5, 17), pup(32, 17), pup(0, 17)
	for _, c := range []struct {
		name    string
		dog     planner.Dog
		h       History
		place   GrowthPlace
		warning GrowthWarning
	}{
		// The band of 6.5 kg at 17 weeks is 3.1 to 4.9 kg, that of 32 kg 11.1 to
		// 18.8.
		{"thrives", small, grows(small, 3.2, 3.5, 3.8, 4.0), WithinBand, ""},
		{"no weigh-in", small, grows(small), AboveBand, PuppyOutside}, // 5.5 kg on its profile
		{"gains nothing in a week", small, grows(small, 3.6, 3.8, 4.1, 4.0), WithinBand, PuppyStands},
		{"gains nothing, nearly grown", pup(6.5, 40), grows(pup(6.5, 40), 6.0, 6.1, 6.1), WithinBand, ""},
		{"grown weight unknown, gains nothing", unknown, grows(unknown, 3.6, 3.8, 3.8), "", PuppyStands},
		{"falls", small, grows(small, 3.6, 3.8, 4.1, 3.9), WithinBand, PuppyFalls},
		{"falls below: the fall is graver", small, grows(small, 3.0, 3.2, 2.9), BelowBand, PuppyFalls},
		{"fell, and a vet has seen it", small, seen(grows(small, 3.6, 3.8, 4.1, 3.9), 0), WithinBand, ""},
		{"as good as at the edge", small, grows(small, 2.7, 2.9, 3.05), WithinBand, ""},
		{"below", small, grows(small, 2.6, 2.7, 2.8), BelowBand, PuppyOutside},
		{"above", small, grows(small, 4.6, 4.9, 5.2), AboveBand, PuppyOutside},
		{"above, and a vet has seen it", small, seen(grows(small, 4.6, 4.9, 5.2), 3), AboveBand, ""},
		{"above since, and a vet saw it within the band", small, seen(grows(small, 3.6, 4.1, 5.2), 3), AboveBand, PuppyOutside},
		{"above, five weeks after", small, seen(grows(small, 4.6, 4.9, 5.2), 35), AboveBand, PuppyOutside},
		{"large, climbs from the lower edge to the upper", large, grows(large, 8.2, 9.4, 11.2, 13.2, 15.6, 17.6), WithinBand, PuppyClimbs},
		{"large, along the middle", large, grows(large, 10, 11, 12, 13, 14, 15), WithinBand, ""},
		{"large, from the lower edge to the middle", large, grows(large, 8.2, 9.2, 10.2, 11.2, 12.2, 13.4), WithinBand, ""},
		{"small, climbs", small, grows(small, 2.2, 2.7, 3.2, 3.7, 4.2, 4.7), WithinBand, ""},
		{"grown weight unknown", unknown, grows(unknown, 3.2, 3.5, 3.8, 4.0), "", ""},
		{"grown weight unknown, falls", unknown, grows(unknown, 3.6, 3.8, 4.1, 3.9), "", PuppyFalls},
	} {
		got := GrowthOf(c.dog, c.h)
		if got.Place != c.place || got.Warning != c.warning {
			t.Errorf("%s: %q, %q (%.1f kg, %.1f to %.1f), want %q, %q", c.name, got.Place, got.Warning, got.Weight, got.Low, got.High, c.place, c.warning)
		}
	}
	r := GrowthOf(small, grows(small, 3.2, 3.5, 3.8, 4.1))
	if !near(float64(r.PerWeek), 0.3, 1e-9) || r.Days != 21 || r.Weeks != 17 {
		t.Errorf("%+v", r)
	}
	if r = GrowthOf(small, grows(small, 4)); r.Days != 0 || r.PerWeek != 0 {
		t.Errorf("one weigh-in: %+v", r)
	}
}

// TestGrowingDogKeepsItsFood: whatever a puppy weighs, and whatever goal was
// set for it, no other kcal are suggested, and no plan has a start.
func TestGrowingDogKeepsItsFood(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 2026))
	for range 400 {
		d := pup(choice(r, 0, 6.5, 18, 32), 9+30*r.Float64())
		d.Goal = choice(r, planner.Goal(""), planner.HoldGoal, planner.LoseGoal, planner.GainGoal)
		d.Condition = r.IntN(10)
		d.Ideal = choice(r, nutrition.Kilograms(0), 4, 12)
		if r.IntN(2) == 0 {
			d.Kcal = kcals(200 + 600*r.Float64())
		}
		var kg []float64
		w := 2 + 8*r.Float64()
		for range 4 + r.IntN(8) {
			kg = append(kg, w)
			w *= 0.94 + 0.2*r.Float64()
		}
		d.Weight = kilos(kg[len(kg)-1])
		if got := decided(d, weekly(kg...), testNow); got.Outcome == Suggest || got.Then != 0 || got.Goal != planner.GrowGoal {
			t.Fatalf("%+v weighing %.1f: %+v", d, kg, got)
		}
		if start, _ := PlanStart(d, grows(d, kg...), Posterior{}); start != 0 {
			t.Fatalf("%+v begins a plan at %v", d, start)
		}
	}
}

func choice[T any](r *rand.Rand, of ...T) T { return of[r.IntN(len(of))] }

// TestGrownUp: what was weighed, scored and fed while a dog grew tells nothing
// of its need when it is grown. A dog that was weighed as a puppy and has just
// grown up is not over the weight of its childhood, and no cut is suggested for
// the months in which it grew.
func TestGrownUp(t *testing.T) {
	// Twelve weekly weigh-ins, the last three since its first birthday.
	d := planner.Dog{Name: "Pip", Weight: 6.5, Born: planner.Day(testNow).AddDate(-1, 0, -15), Activity: planner.ModerateCalm}
	kg := []float64{3.2, 3.7, 4.2, 4.6, 5, 5.4, 5.8, 6.1, 6.3, 6.5, 6.5, 6.5}
	entries := append(weekly(kg...), planner.Entry{Kind: planner.Scored, At: testNow.AddDate(0, 0, -70), Score: 5})
	h := HistoryOf(d, entries, time.UTC, testNow)
	if h.Ideal != 6.5 || len(h.grown()) != 3 || !h.GrownFrom.Equal(h.Weighings[9].At) {
		t.Errorf("ideal %v, %d weigh-ins from %v", h.Ideal, len(h.grown()), h.GrownFrom)
	}
	if p := Estimate(h, PriorOf(d, h, testNow)); p.WeighIns != 3 {
		t.Errorf("the estimate rests on %d weigh-ins", p.WeighIns)
	}
	got := decided(d, entries, testNow)
	if got.Outcome != NoneYet || got.WeighInsMissing != 1 || got.Goal != planner.HoldGoal {
		t.Errorf("%+v", got)
	}
	// While it grows all of them count, and nothing of it when all are of a
	// puppy.
	if h = HistoryOf(d, entries, time.UTC, testNow.AddDate(0, 0, -30)); !h.GrownFrom.IsZero() || len(h.grown()) != len(h.Weighings) {
		t.Errorf("growing: from %v", h.GrownFrom)
	}
	d.Born = planner.Day(testNow).AddDate(-1, 0, -1)
	if h = HistoryOf(d, entries[:11], time.UTC, testNow); len(h.grown()) != 0 || h.Ideal != 6.5 {
		t.Errorf("not weighed since: %d weigh-ins, ideal %v", len(h.grown()), h.Ideal)
	}
	// Of unknown age: by the weight that it was expected to reach.
	d.Born, d.AdultWeight = time.Time{}, 6.5
	if h = HistoryOf(d, entries, time.UTC, testNow); len(h.grown()) != 5 {
		t.Errorf("of unknown age: %d weigh-ins", len(h.grown()))
	}
}

package judge

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"bowlwright/planner"
)

// plans are the rows of the table: dogs whose own need is known, per kg^0.75 of
// present weight as it is published (FEDIAF 2021, from memory: 90 for dogs
// prone to obesity, 95 for those of low activity) and, since fat needs little,
// of ideal weight; and dogs for which what they needed in practice (AAHA 2021)
// is what makes them lose 1, 1.5 or 2 % a week. The source states that need and
// not the rate that went with it.
var plans = []struct {
	overweights
	free    float64 // of 100 dogs that the floor does not hold, at least so many within 1-2 %
	tooLong float64 // of 100 dogs, at most so many above 2 % for more than four weeks
	half    float64 // half of all dogs lose at least so many % a week in weeks 4-12
}{
	{overweights{"need 90 kcal per kg^0.75", needs(90, false), 0.1, 0.4, 0, 0}, 88, 10, 0.85},
	{overweights{"— weighed for 4 weeks before", needs(90, false), 0.1, 0.4, 0, 5}, 95, 2, 0.8},
	{overweights{"— and a vet allows 45", needs(90, false), 0.1, 0.4, 45, 0}, 88, 10, 1},
	{overweights{"need 95 kcal per kg^0.75", needs(95, false), 0.1, 0.4, 0, 0}, 85, 14, 0.95},
	{overweights{"need 90, of ideal weight", needs(90, true), 0.1, 0.4, 0, 0}, 95, 2, 0.4},
	{overweights{"63 ± 10.2 loses 1.0 % a week", losesOn(1), 0.2, 0.4, 0, 0}, 95, 0, 0.6},
	{overweights{"— and a vet allows 45", losesOn(1), 0.2, 0.4, 45, 0}, 95, 0, 0.85},
	{overweights{"63 ± 10.2 loses 1.5 % a week", losesOn(1.5), 0.2, 0.4, 0, 0}, 95, 1, 1},
	{overweights{"63 ± 10.2 loses 2.0 % a week", losesOn(2), 0.2, 0.4, 0, 0}, 92, 14, 1.3},
}

// What dogs in plans to lose weight needed over twelve weeks, kcal per kg^0.75
// of ideal weight (AAHA 2021).
const leastNeeded, mostNeeded = 63 - 10.2, 63 + 10.2

const planWeeks = 16

// slimming gathers what became of the dogs of a row.
type slimming struct {
	dogs                    int
	start, settled          []float64    // kcal per kg^0.75 of ideal weight
	stretches               [4][]float64 // % a week, by four weeks
	rates, free             []float64    // over weeks 4-12: all, and those that the floor does not hold
	region, within          int          // of settled and rates
	freeWithin, tooLong     int
	weeks, weeksIn, weeksUp int // from week 4 on: all, at 1-2 %, above 2 %
	bound, told             int // dogs that the floor holds, and of them those that are told
	foretold, came          int // days of reaching the ideal weight, and those that were so
	warned, needless        int // dogs with a vet line for a fast fall, and those that never fell so fast
	leastPer                float64
	allowed                 bool // by a vet, less than the floor
}

func (c *slimming) add(o *overweight) {
	c.dogs++
	c.start = append(c.start, o.per(0))
	c.warned += one(o.warned)
	c.needless += one(o.warned && o.fastest() <= 2)
	c.leastPer = math.Min(c.leastPer, slices.Min(o.kcal)/math.Pow(o.ideal, 0.75))
	above := 0
	for i := range c.stretches {
		if from := 4 * i; !o.there(from + 4) {
			c.stretches[i] = append(c.stretches[i], o.rate(from, from+4))
			above += one(o.rate(from, from+4) > 2)
		}
	}
	c.tooLong += one(above > 1)
	for week := 4; week < planWeeks && !o.there(week+1); week++ {
		rate := o.rate(week, week+1)
		c.weeks++
		c.weeksIn += one(rate >= 1 && rate <= 2)
		c.weeksUp += one(rate > 2)
	}
	if !o.there(12) {
		c.afterTwelve(o)
	}
}

// afterTwelve takes a dog that is not at its ideal weight after twelve weeks.
func (c *slimming) afterTwelve(o *overweight) {
	c.settled = append(c.settled, o.per(12))
	c.region += one(o.per(12) >= leastNeeded && o.per(12) <= mostNeeded)
	rate := o.rate(4, 12)
	c.rates = append(c.rates, rate)
	c.within += one(rate >= 1 && rate <= 2)
	if o.floorRate(12) >= 1 {
		c.free = append(c.free, rate)
		c.freeWithin += one(rate >= 1 && rate <= 2)
		return
	}
	c.bound++
	c.told += one(o.told >= 0)
	if o.told < 0 {
		return
	}
	c.foretold++
	day, ever := o.daysLeft(o.told)
	at := planner.DateOf(testNow).AddDays(-7*(planWeeks-o.told) + day)
	early := !o.reach.Early.IsZero() && ever && at.Before(o.reach.Early) || o.reach.Early.IsZero() && ever
	late := !o.reach.Late.IsZero() && (!ever || o.reach.Late.Before(at))
	c.came += one(!early && !late)
}

// spread shows the middle of a list, and what leaves a tenth on either side.
func spread(v []float64) string {
	if len(v) == 0 {
		return "—"
	}
	slices.Sort(v)
	return fmt.Sprintf("%.1f (%.1f to %.1f)", middle(v), v[len(v)/10], v[len(v)*9/10])
}

func middle(v []float64) float64 {
	slices.Sort(v)
	return v[len(v)/2]
}

func (c *slimming) String() string {
	told := "—"
	if c.bound > 0 && !c.allowed {
		told = fmt.Sprintf("%.0f", share(c.told, c.bound))
	}
	return fmt.Sprintf("%.0f / %.0f | %.0f | %.1f / %.1f / %.1f / %.1f | %s | %.0f / %.1f | %.0f | %.0f | %.1f | %s | %.0f / %.0f",
		middle(c.start), middle(c.settled), share(c.region, len(c.settled)),
		middle(c.stretches[0]), middle(c.stretches[1]), middle(c.stretches[2]), middle(c.stretches[3]), spread(c.rates),
		share(c.weeksIn, c.weeks), share(c.weeksUp, c.weeks), share(c.bound, len(c.rates)), share(c.freeWithin, len(c.free)), share(c.tooLong, c.dogs), told, share(c.warned, c.dogs), share(c.needless, c.dogs))
}

// TestPlanSimulation lets the plans of overweight dogs run, and holds them
// against what such dogs needed in practice (AAHA 2021) and the rate that is
// safe, 1 to 2 % a week (AAHA 2014). The floor holds a dog that, fed the resting
// energy at its ideal weight, loses less than 1 % a week by week 12: it goes on
// slowly, and its carer is told. The table it prints is the one in the README.
func TestPlanSimulation(t *testing.T) {
	t.Parallel()
	dogs, chance := sampled(200, 12), 10.0 // what fewer dogs may be off by chance, of 100
	if whole() {
		chance = 0
	}
	var table strings.Builder
	for _, w := range plans {
		r := rand.New(rand.NewPCG(63, 102))
		c := slimming{leastPer: math.Inf(1), allowed: w.allowed > 0}
		for range dogs {
			c.add(slim(r, w.overweights, planWeeks))
		}
		fmt.Fprintf(&table, "| %s | %v |\n", w.name, &c)
		t.Run(w.name, func(t *testing.T) {
			t.Logf("%d days of reaching the ideal weight foretold, %d were so", c.foretold, c.came)
			least := 70.0
			if w.allowed > 0 {
				least = w.allowed
			}
			switch all := middle(c.rates); {
			case c.leastPer < least-0.3: // whole kcal of a small dog
				t.Errorf("a dog is fed %.1f kcal per kg^0.75 of ideal weight", c.leastPer)
			case w.before == 0 && (slices.Min(c.start) < leastNeeded || slices.Max(c.start) > mostNeeded):
				t.Errorf("starts at %.1f to %.1f", slices.Min(c.start), slices.Max(c.start))
			case share(c.region, len(c.settled)) < 70-chance:
				t.Errorf("%d of %d dogs settle within 63 ± 10.2", c.region, len(c.settled))
			case len(c.free) > 4 && share(c.freeWithin, len(c.free)) < w.free-chance:
				t.Errorf("%d of %d dogs that the floor does not hold lose 1 to 2 %%", c.freeWithin, len(c.free))
			case share(c.tooLong, c.dogs) > w.tooLong+chance:
				t.Errorf("%d of %d dogs lose more than 2 %% for long", c.tooLong, c.dogs)
			case w.allowed == 0 && c.bound > 40 && share(c.told, c.bound) < 93-chance:
				t.Errorf("%d of %d carers are told that less is for a vet", c.told, c.bound)
			case share(c.needless, c.dogs) > 35+chance:
				t.Errorf("%d of %d dogs get the vet line though they never fell fast", c.needless, c.dogs)
			case share(c.came, c.foretold) < 70-2*chance && c.foretold > 20:
				t.Errorf("%d of %d days of reaching the ideal weight were so", c.came, c.foretold)
			case all < w.half-chance/100 || all > 2:
				t.Errorf("half of the dogs lose less than %.2f %% a week", all)
			}
		})
	}
	t.Logf("%d dogs a row, %d weeks\n| dogs | kcal at the start / in week 12 | within 63 ± 10.2, %% | loss in weeks 0-4 / 4-8 / 8-12 / 12-16, %% a week | in weeks 4-12 | weeks at 1-2 %% / above, %% | the floor holds, %% | 1-2 %% where it does not, %% | above 2 %% for more than 4 weeks, %% | told where the floor holds, %% | vet line for a fast fall / needless, %% |\n|---|---|---|---|---|---|---|---|---|---|---|\n%s", dogs, planWeeks, &table)
}

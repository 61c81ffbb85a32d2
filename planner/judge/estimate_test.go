package judge

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"bowlwright/planner"
)

// weekly is the journal of weigh-ins a week apart, at eight in the morning,
// the last on the day of testNow.
func weekly(kg ...float64) []planner.Entry {
	entries := make([]planner.Entry, len(kg))
	for i, w := range kg {
		at := testNow.Add(-time.Hour).AddDate(0, 0, -7*(len(kg)-1-i))
		entries[i] = planner.Entry{ID: fmt.Sprintf("w%d", i), Kind: planner.Weighed, At: at, Date: planner.DateOf(at), Weight: kilos(w)}
	}
	return entries
}

// steadily is so many weights that change by the same each week.
func steadily(from, aWeek float64, n int) []float64 {
	kg := make([]float64, n)
	for i := range kg {
		kg[i] = from + aWeek*float64(i)
	}
	return kg
}

// still is a dog whose coefficient is the same for good.
var still = motion{}

// flat is a prior that says next to nothing.
var flat = Prior{K: 110, SD: 500, Low: 20, High: 300}

// TestEstimateByHand: a dog falls in a straight line from 20.0 to 18.4 kg in
// eight weeks on 900 kcal a day. That is 1600 g x 7.35 kcal/g / 56 days = 210
// kcal a day out of its own body, 1110 in all. Halfway it weighs 19.2 kg;
// 19.2^0.75 = 4.3818 x 2.0933 = 9.172, and k = 1110 / 9.172 = 121.0. The
// energy of tissue may be 2.75 % off, 5.8 kcal, 0.6 of k; so k cannot be known
// better than to that.
func TestEstimateByHand(t *testing.T) {
	d := planner.Dog{Weight: 18.4, Kcal: 900}
	h := HistoryOf(d, weekly(steadily(20, -0.2, 9)...), time.UTC, testNow)
	p := estimate(h, flat, still)
	if !near(p.Mean, 121.0, 0.005) {
		t.Errorf("k is %.1f", p.Mean)
	}
	if wide := p.Quantile(0.9) - p.Quantile(0.1); wide < 1.5 || wide > 13 {
		t.Errorf("its range is %.2f wide", wide)
	}
	if !near(float64(p.Weight), 18.4, 0.005) || p.WeighIns != 9 || p.Days != 56 {
		t.Errorf("%+v", p)
	}
}

// TestEstimatePrior: without weigh-ins, and with one, the posterior is the
// prior, a normal distribution that is cut.
func TestEstimatePrior(t *testing.T) {
	d := juniper()
	prior := PriorOf(d, History{}, testNow)
	if prior.K != 110 || !near(prior.SD, 19.8, 1e-9) {
		t.Fatalf("%+v", prior)
	}
	normal := distuv.Normal{Mu: prior.K, Sigma: prior.SD}
	low, high := normal.CDF(prior.Low), normal.CDF(prior.High)
	for _, entries := range [][]planner.Entry{nil, weekly(19.6)} {
		p := Estimate(HistoryOf(d, entries, nil, testNow), prior)
		for _, k := range []float64{70, 90, 100, 110, 125, 150} {
			want := (normal.CDF(k) - low) / (high - low)
			if got := p.Below(k); math.Abs(got-want) > 0.005 {
				t.Errorf("%d weigh-ins: below %.0f with %.3f, want %.3f", len(entries), k, got, want)
			}
			if got := p.Quantile(want); math.Abs(got-k) > 1.5 {
				t.Errorf("%d weigh-ins: quantile %.3f is %.1f, want %.0f", len(entries), want, got, k)
			}
		}
		if p.Known() != (len(entries) > 0) {
			t.Error("known out of nothing")
		}
	}
	// Bracken's figure, 90 kcal on 29 kg, counts for 34.8 kg: / 1.2^0.75.
	if got := PriorOf(bracken(), History{}, testNow).K; !near(got, 90/math.Pow(1.2, 0.75), 1e-6) {
		t.Errorf("Bracken's prior is %.1f", got)
	}
}

// TestEstimateRegression: with clean weigh-ins and a prior that says nothing
// the estimate is the least squares slope, in kcal.
func TestEstimateRegression(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for range 20 {
		n := 10 + r.IntN(10)
		days, kg := make([]float64, n), make([]float64, n)
		slope := 0.1 * r.NormFloat64()
		for i := range kg {
			days[i] = 7 * float64(i)
			kg[i] = 20 + slope*float64(i) + 0.1*r.NormFloat64()
		}
		h := HistoryOf(planner.Dog{Weight: 20, Kcal: 1000}, weekly(kg...), time.UTC, testNow)
		_, perDay := stat.LinearRegression(days, kg, nil, false)
		want := (1000 - 7350*perDay) / math.Pow(stat.Mean(kg, nil), 0.75)
		if p := estimate(h, flat, still); math.Abs(p.Mean-want) > 1.5 {
			t.Errorf("%d weigh-ins: k is %.1f, by least squares %.1f", n, p.Mean, want)
		}
	}
}

// bruteForce is the posterior mean and standard deviation on a grid of k,
// first weight and noise, the weight integrated day by day: every product of
// densities of ordinary and wide errors, none of them merged.
func (s *simulated) bruteForce(h History, prior Prior) (mean, sd float64) {
	first := float64(h.Weighings[0].Weight)
	var ks, logs []float64
	best := math.Inf(-1)
	for k := prior.Low; k <= prior.High; k += 3 {
		for w0 := 0.88; w0 <= 1.12; w0 += 0.004 {
			at := s.densities(h, k, w0*first)
			l := math.Log(at[0]+at[1]+at[2]) + distuv.Normal{Mu: prior.K, Sigma: prior.SD}.LogProb(k)
			ks, logs, best = append(ks, k), append(logs, l), math.Max(best, l)
		}
	}
	for i := range logs {
		logs[i] = math.Exp(logs[i] - best)
	}
	m, v := stat.MeanVariance(ks, logs)
	return m, math.Sqrt(v)
}

func (s *simulated) densities(h History, k, kg float64) [3]float64 {
	at := [3]float64{1, 1, 1}
	i := 0
	for day := 0; i < len(h.Weighings); day++ {
		if !h.Weighings[i].At.After(s.start.AddDate(0, 0, day)) {
			off := float64(h.Weighings[i].Weight)/kg - 1
			for j, noise := range []float64{0.006, 0.010, 0.014} {
				ordinary, wide := distuv.Normal{Sigma: noise}, distuv.Normal{Sigma: 5 * noise}
				at[j] *= 0.95*ordinary.Prob(off) + 0.05*wide.Prob(off)
			}
			i++
		}
		kg += (s.kcal[day] - k*math.Pow(kg, 0.75)) / 7350
	}
	return at
}

// TestEstimateBruteForce compares the bank of filters with the whole grid. The
// grid knows no error of the food, and so is a little surer.
func TestEstimateBruteForce(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(1, 2))
	dogs := sampled(30, 8)
	for _, weeks := range []int{4, 9} {
		apart, wider := 0.0, 0.0
		for range dogs {
			s := newSimulated(r, world{logged: true})
			h := HistoryOf(s.dog, s.journal, time.UTC, s.end)
			prior := PriorOf(s.dog, h, s.end)
			h = h.Until(s.start.AddDate(0, 0, 7*weeks))
			p := estimate(h, prior, still)
			mean, sd := s.bruteForce(h, prior)
			apart += (p.Mean - mean) * (p.Mean - mean) / float64(dogs)
			wider += spreadIn(p) / sd / float64(dogs)
		}
		t.Logf("%d weeks: %.2f kcal per kg^0.75 apart, %.2f times as wide", weeks, math.Sqrt(apart), wider)
		if math.Sqrt(apart) > 3 || wider < 0.9 || wider > 1.6 {
			t.Errorf("%d weeks: %.2f apart, %.2f times as wide", weeks, math.Sqrt(apart), wider)
		}
	}
}

// spreadIn is the standard deviation of a posterior.
func spreadIn(p Posterior) float64 {
	sum := 0.0
	for i, m := range p.mass {
		off := p.low + float64(i)*p.step - p.Mean
		sum += m * (off*off + p.step*p.step/12)
	}
	return math.Sqrt(sum)
}

// TestEstimateOutlier: a weigh-in that is 9 % wrong moves k by little,
// wherever it stands, and widens nothing much.
func TestEstimateOutlier(t *testing.T) {
	d := planner.Dog{Weight: 20, Kcal: 1000, Activity: planner.ModerateCalm}
	straight := []float64{20.02, 19.95, 20.1, 19.96, 20.05, 19.99, 20.03, 20}
	want := Estimate(HistoryOf(d, weekly(straight...), time.UTC, testNow), flat).Mean
	for i := range straight {
		kg := append([]float64(nil), straight...)
		kg[i] *= 1.09
		got := Estimate(HistoryOf(d, weekly(kg...), time.UTC, testNow), flat)
		if math.Abs(got.Mean-want) > 5 {
			t.Errorf("outlier %d: k is %.1f instead of %.1f", i, got.Mean, want)
		}
	}
}

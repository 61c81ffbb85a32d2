package judge

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"bowlwright/planner"
)

// sane reports what is wrong with a posterior, nothing if all is well.
func sane(p Posterior, prior Prior) string {
	bad := func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) }
	switch {
	case bad(p.Mean), bad(float64(p.Weight)), bad(p.Noise):
		return "no number"
	case p.Mean < prior.Low-1e-9 || p.Mean > prior.High+1e-9:
		return "mean beyond the prior"
	case p.Weight < 0 || p.WeighIns > 0 && p.Weight <= 0:
		return "absurd weight"
	}
	last, sum := math.Inf(-1), 0.0
	for _, m := range p.mass {
		if !(m >= 0) {
			return "negative mass"
		}
		sum += m
	}
	if math.Abs(sum-1) > 1e-6 {
		return "mass is not 1"
	}
	for q := 0.0; q <= 1; q += 0.05 {
		k := p.Quantile(q)
		if bad(k) || k <= 0 || k < last {
			return "quantiles do not rise"
		}
		if b := p.Below(k); b < -1e-9 || b > 1+1e-9 || math.Abs(b-q) > 1e-6 && q > 0 && q < 1 && p.mass[0] < q && b > q+0.01 {
			return "Below is not the inverse of Quantile"
		}
		last = k
	}
	return ""
}

// checkAll runs all that rests on a journal and reports what is wrong.
func checkAll(d planner.Dog, entries []planner.Entry, now time.Time) string {
	h := HistoryOf(d, entries, time.UTC, now)
	for i, in := range h.Intakes {
		if !(in.Kcal >= 0 && in.SD >= 0) || math.IsInf(in.Kcal, 0) || !in.From.Before(in.To) || i > 0 && in.From != h.Intakes[i-1].To {
			return "intakes with gaps, or no number"
		}
	}
	prior := PriorOf(d, h, now)
	posts := CheckIns(h, prior, 2)
	for _, p := range posts {
		if wrong := sane(p, prior); wrong != "" {
			return wrong
		}
	}
	p := Estimate(h, prior)
	if wrong := sane(p, prior); wrong != "" {
		return wrong
	}
	for _, x := range TrendLine(h, p) {
		if !(x.Low > 0 && x.Low <= x.Mid && x.Mid <= x.High) || math.IsInf(float64(x.High), 0) {
			return "a trend that is no trend"
		}
	}
	if s := SlopeOf(h); math.IsNaN(s.Mid) || s.Low > s.Mid || s.Mid > s.High {
		return "a slope that is no slope"
	}
	return checkDecision(d, h, Decide(d, h, posts, now))
}

// checkDecision holds a decision to its limits.
func checkDecision(d planner.Dog, h History, r Decision) string {
	if !(r.P >= 0 && r.P <= 1+1e-9) || math.IsNaN(r.Change) {
		return "no probability"
	}
	if r.Outcome != Suggest {
		if r.Then != 0 {
			return "a figure that is not suggested"
		}
		return ""
	}
	dog := pinned(d, h)
	dog.Kcal = 0
	need := planner.NeedOf(dog, h.Now)
	step := math.Abs(float64(r.Then/r.Now) - 1)
	switch {
	case need.Gate != "":
		return "a suggestion through a gate"
	case step > 0.10+0.5/float64(r.Now)+1e-9:
		return "too large a step"
	case r.Then < r.Now && float64(r.Then+h.Treats) < r.Target.floor-1:
		return "below resting energy"
	case r.Then > r.Now && r.Then > need.High+1 && !vetSaw(h, h.Now):
		return "above the equation's range"
	case r.P < sureOffGoal || r.Before < sureOffGoal:
		return "not sure enough"
	case r.Then > r.Now && r.First == "" && len(h.Answers) == 0:
		return "a step up without the four questions"
	}
	return ""
}

// anyJournal draws a journal that no carer would write, and a dog to it.
func anyJournal(r *rand.Rand) (planner.Dog, []planner.Entry) {
	wild := []float64{0, -3, math.NaN(), math.Inf(1), 0.3, 120, 1e300, 5e-324}
	number := func(usual float64) float64 {
		if r.IntN(12) == 0 {
			return wild[r.IntN(len(wild))]
		}
		return usual * math.Exp(0.4*r.NormFloat64())
	}
	d := planner.Dog{Weight: kilos(number(15)), Ideal: kilos(number(14) * float64(r.IntN(2))), Condition: r.IntN(11) - 1, Kcal: kcals(number(700) * float64(r.IntN(2)))}
	d.Goal = []planner.Goal{"", planner.HoldGoal, planner.LoseGoal, planner.GainGoal, planner.GrowGoal, "odd"}[r.IntN(6)]
	d.Meals, d.TreatsOff = r.IntN(5)-1, r.IntN(2) == 0
	if r.IntN(3) == 0 {
		d.Born = testNow.AddDate(0, -r.IntN(200), 0)
	}
	kinds := []planner.EntryKind{planner.Weighed, planner.Weighed, planner.Weighed, planner.Fed, planner.Fed, planner.NotFed, planner.Treat, planner.KcalSet, planner.Away, planner.Scored, "other"}
	at := testNow.AddDate(0, 0, -r.IntN(900))
	var entries []planner.Entry
	for range r.IntN(60) {
		at = at.Add(time.Duration(r.ExpFloat64() * float64(9*24*time.Hour)))
		if r.IntN(20) == 0 {
			at = at.AddDate(0, 0, 400-r.IntN(800))
		}
		e := planner.Entry{Kind: kinds[r.IntN(len(kinds))], At: at, Date: planner.DateOf(at), Weight: kilos(number(15)), Kcal: kcals(number(400)), Score: r.IntN(12)}
		if r.IntN(4) == 0 {
			e.Date = planner.Date{}
		}
		e.Until = planner.DateOf(at.AddDate(0, 0, r.IntN(40)-5))
		entries = append(entries, e)
	}
	return d, entries
}

func TestEstimateProperties(t *testing.T) {
	t.Parallel()
	for seed := range sampled(3000, 150) {
		d, entries := anyJournal(rand.New(rand.NewPCG(uint64(seed), 1)))
		if wrong := checkAll(d, entries, testNow); wrong != "" {
			t.Fatalf("seed %d: %s", seed, wrong)
		}
	}
}

func FuzzEstimate(f *testing.F) {
	f.Add(19.6, 1000.0, 19.4, 3, 19.9, 400, 2)
	f.Fuzz(func(t *testing.T, a, kcal, b float64, gap int, c float64, minutes, score int) {
		d := planner.Dog{Weight: kilos(a), Kcal: kcals(kcal), Condition: score}
		at := testNow.AddDate(-1, 0, 0)
		var entries []planner.Entry
		for i := range 12 {
			at = at.AddDate(0, 0, gap%500*(i%3)/2).Add(time.Duration(minutes%100000) * time.Minute)
			entries = append(entries, planner.Entry{Kind: planner.Weighed, At: at, Date: planner.DateOf(at), Weight: kilos([]float64{a, b, c}[i%3])})
			entries = append(entries, planner.Entry{Kind: planner.Treat, At: at, Kcal: kcals(kcal * b)}, planner.Entry{Kind: planner.KcalSet, At: at, Kcal: kcals(kcal * c)})
		}
		if wrong := checkAll(d, entries, testNow); wrong != "" {
			t.Fatal(wrong)
		}
	})
}

// fiveYears is a dog that is weighed every week, and what its carers pressed
// for it every day of the last half year.
func fiveYears() (planner.Dog, []planner.Entry) {
	kg := make([]float64, 261)
	for i := range kg {
		kg[i] = 19.6 * (1 + 0.01*math.Sin(float64(i*i)))
	}
	d := juniper()
	d.Kcal = 1020
	entries := weekly(kg...)
	for day := range 1826 {
		at := testNow.AddDate(0, 0, -day)
		entries = append(entries, planner.Entry{Kind: planner.Fed, At: at, Date: planner.DateOf(at), Kcal: kcals(1000 + float64(day%7))})
	}
	return d, entries
}

func BenchmarkEstimate(b *testing.B) {
	d, entries := fiveYears()
	h := HistoryOf(d, entries, time.UTC, testNow)
	prior := PriorOf(d, h, testNow)
	b.ReportAllocs()
	for b.Loop() {
		Estimate(h, prior)
	}
}

// BenchmarkDecide is all that a weigh-in costs: history, two estimates, the
// decision.
func BenchmarkDecide(b *testing.B) {
	d, entries := fiveYears()
	b.ReportAllocs()
	for b.Loop() {
		h := HistoryOf(d, entries, time.UTC, testNow)
		Decide(d, h, CheckIns(h, PriorOf(d, h, testNow), 2), testNow)
	}
}

func BenchmarkTrendLine(b *testing.B) {
	d, entries := fiveYears()
	h := HistoryOf(d, entries, time.UTC, testNow)
	p := Estimate(h, PriorOf(d, h, testNow))
	b.ReportAllocs()
	for b.Loop() {
		TrendLine(h, p)
	}
}

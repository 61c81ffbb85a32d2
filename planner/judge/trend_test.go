package judge

import (
	"math"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat"

	"bowlwright/planner"
)

// onDay is an entry of so many days before testNow.
func onDay(daysAgo int, kind planner.EntryKind, kcal float64) planner.Entry {
	at := testNow.AddDate(0, 0, -daysAgo)
	return planner.Entry{Kind: kind, At: at, Date: planner.DateOf(at), Kcal: kcals(kcal)}
}

// TestHistoryOfIntake works out days of 800 kcal in two meals.
func TestHistoryOfIntake(t *testing.T) {
	d := planner.Dog{Weight: 16, Kcal: 800, Meals: 2}
	answer := func(of string, e planner.Entry) planner.Entry { e.Of = of; return e }
	away := onDay(3, planner.Away, 0)
	away.Until = planner.DateOf(testNow.AddDate(0, 0, -1))
	for _, c := range []struct {
		name     string
		entries  []planner.Entry
		kcal, sd float64 // of three days ago
	}{
		{"nothing logged", nil, 800, 48},
		{"both bowls", []planner.Entry{onDay(3, planner.Fed, 400), onDay(3, planner.Fed, 390)}, 790, 0.03 * 790},
		{"the whole day in one", []planner.Entry{onDay(3, planner.Fed, 800)}, 800, 24},
		{"one of two", []planner.Entry{onDay(3, planner.Fed, 380)}, 780, 0.03*380 + 0.06*400},
		{"a bowl without a figure", []planner.Entry{onDay(3, planner.Fed, 0)}, 800, 0.03*400 + 0.06*400},
		{"one left out", []planner.Entry{onDay(3, planner.Fed, 400), onDay(3, planner.NotFed, 0)}, 400, 12},
		{"both carers pressed", []planner.Entry{answer("a", onDay(3, planner.Fed, 400)), answer("a", onDay(3, planner.Fed, 400)), answer("b", onDay(3, planner.Fed, 400))}, 800, 24},
		{"a treat", []planner.Entry{onDay(3, planner.Fed, 800), onDay(3, planner.Treat, 100)}, 900, math.Hypot(24, 30)},
		{"a treat without a figure", []planner.Entry{onDay(3, planner.Treat, 0)}, 800, math.Hypot(48, 24)},
		{"away", []planner.Entry{away}, 800, 200},
		{"another dog", []planner.Entry{{Dog: "d9", Kind: planner.Treat, At: testNow.AddDate(0, 0, -3), Kcal: 500}}, 800, 48},
	} {
		h := HistoryOf(d, append(weekly(16, 16), c.entries...), time.UTC, testNow)
		day := planner.DateOf(testNow.AddDate(0, 0, -3))
		for _, in := range h.Intakes {
			if in.From.Before(day.AddDays(1)) && day.Before(in.To) && (!near(in.Kcal, c.kcal, 1e-9) || !near(in.SD, c.sd, 1e-9)) {
				t.Errorf("%s: %.1f ± %.1f kcal, want %.1f ± %.1f", c.name, in.Kcal, in.SD, c.kcal, c.sd)
			}
		}
	}
	d.TreatsOff = true
	h := HistoryOf(d, append(weekly(16, 16), onDay(3, planner.Treat, 100)), time.UTC, testNow)
	if h.Treats != 0 || h.Intakes[len(h.Intakes)/2].Kcal != 800 {
		t.Errorf("treats taken off the bowl count twice: %+v", h.Intakes)
	}
}

// TestHistoryOfPlan: the plan of a day is the last change before its end, as it
// was put on record; what the dog is now changes nothing of it.
func TestHistoryOfPlan(t *testing.T) {
	d := planner.Dog{Weight: 16, Kcal: 900, Activity: planner.HighActivity, Condition: 8, Ideal: 12}
	reckoned := onDay(40, planner.KcalSet, 880)
	reckoned.Text = string(planner.OnReckoning)
	h := HistoryOf(d, append(weekly(16, 16, 16, 16), reckoned, onDay(9, planner.KcalSet, 900)), time.UTC, testNow)
	if len(h.Intakes) != 2 {
		t.Fatalf("%+v", h.Intakes)
	}
	before, after := h.Intakes[0], h.Intakes[1]
	if !near(before.Kcal, 110*8, 1e-9) || before.SD <= 0.06*before.Kcal {
		t.Errorf("before the change %+v, want what was reckoned, with a wide error", before)
	}
	if after.Kcal != 900 || after.From != planner.DateOf(testNow.AddDate(0, 0, -9)) || after.To != planner.DateOf(testNow).AddDays(1) {
		t.Errorf("after it %+v", after)
	}
	if h.Planned != 900 || !h.Changed.Equal(testNow.AddDate(0, 0, -9)) {
		t.Errorf("planned %v, changed %v", h.Planned, h.Changed)
	}
}

// TestHistoryOfWeighings: what cannot be is left out and counted.
func TestHistoryOfWeighings(t *testing.T) {
	zone := time.FixedZone("", 5*3600)
	bad := weekly(0, -4, 500, math.NaN())
	future := onDay(-2, planner.Weighed, 0)
	future.Weight = 16
	old := onDay(366*40, planner.Weighed, 0)
	old.Weight = 16
	h := HistoryOf(planner.Dog{Weight: 16}, append(append(bad, future, old), weekly(17, 16)...), zone, testNow)
	if len(h.Weighings) != 2 {
		t.Errorf("%d weigh-ins", len(h.Weighings))
	}
	if h.Weighings[0].Weight != 17 || h.Weighings[0].At.Location() != zone {
		t.Errorf("%+v", h.Weighings)
	}
}

// TestHistoryIdeal: a score counts for the weight that the dog had when it was
// scored: 7 of 9 at 24 kg is 20 kg, whatever it weighs now.
func TestHistoryIdeal(t *testing.T) {
	d := planner.Dog{Weight: 22, Condition: 7}
	for _, entries := range [][]planner.Entry{weekly(24, 23, 22), append(weekly(26, 24, 23, 22), planner.Entry{Kind: planner.Scored, Score: 7, At: testNow.AddDate(0, 0, -14)})} {
		if h := HistoryOf(d, entries, time.UTC, testNow); !near(float64(h.Ideal), 20, 1e-9) {
			t.Errorf("ideal %.2f", h.Ideal)
		}
	}
	d.Ideal = 19
	if h := HistoryOf(d, weekly(24), time.UTC, testNow); h.Ideal != 19 {
		t.Errorf("ideal %.2f, set to 19", h.Ideal)
	}
}

// TestGroups: two weigh-ins a minute apart count as one.
func TestGroups(t *testing.T) {
	at := func(days float64, kg float64) Weighing {
		return Weighing{At: testNow.Add(time.Duration(days * float64(24*time.Hour))), Weight: kilos(kg)}
	}
	g := groups([]Weighing{at(0, 20), at(1./1440, 20.4), at(1, 20.3), at(7, 21), at(372, 22)})
	if len(g) != 3 || g[0].weight != 20.3 || g[1].weight != 21 || g[0].last != 2 {
		t.Errorf("%+v", g)
	}
}

// TestSlope compares with least squares on a clean line, and holds its ground
// where a weigh-in is wrong.
func TestSlope(t *testing.T) {
	kg := steadily(20, -0.2, 9)
	h := HistoryOf(planner.Dog{Weight: 18}, weekly(kg...), time.UTC, testNow)
	weeks, logs := make([]float64, len(kg)), make([]float64, len(kg))
	for i, w := range kg {
		weeks[i], logs[i] = float64(i), 100*math.Log(w)
	}
	_, want := stat.LinearRegression(weeks, logs, nil, false)
	s := SlopeOf(h)
	if math.Abs(s.Mid-want) > 0.01 || s.Low > s.Mid || s.High < s.Mid || s.WeighIns != 9 || s.Days != 56 {
		t.Errorf("%+v, by least squares %.3f", s, want)
	}
	kg[6] *= 1.1
	if got := SlopeOf(HistoryOf(planner.Dog{Weight: 18}, weekly(kg...), time.UTC, testNow)); math.Abs(got.Mid-want) > 0.15 {
		t.Errorf("with an outlier %.2f, want %.2f", got.Mid, want)
	}
	if s := SlopeOf(History{}); s != (Slope{}) {
		t.Errorf("a slope of nothing: %+v", s)
	}
}

// TestTrendLine: the line runs through clean weigh-ins, past an outlier, and
// its band widens where the dog was not weighed.
func TestTrendLine(t *testing.T) {
	kg := steadily(20, 0, 14)
	kg[5] = 22
	d := planner.Dog{Weight: 20, Kcal: 1000, Activity: planner.ModerateCalm}
	h := HistoryOf(d, weekly(kg...), time.UTC, testNow)
	line := TrendLine(h, Estimate(h, PriorOf(d, h, testNow)))
	if len(line) != len(kg) {
		t.Fatalf("%d points", len(line))
	}
	for i, p := range line {
		if !near(float64(p.Mid), 20, 0.008) || p.Low > 20 || p.High < 20 || !p.At.Equal(h.Weighings[i].At) {
			t.Errorf("point %d: %+v", i, p)
		}
	}
	entries := weekly(kg...)
	gap := append(append([]planner.Entry(nil), entries[:2]...), entries[13])
	sparse := HistoryOf(d, gap, time.UTC, testNow)
	wide := TrendLine(sparse, Estimate(sparse, PriorOf(d, sparse, testNow)))
	if wide[2].High-wide[2].Low <= line[13].High-line[13].Low {
		t.Error("a gap narrows the band")
	}
	// A loss that goes on as fast as it began, which no one coefficient explains.
	steady := steadily(20, -0.07, 52)
	h = HistoryOf(d, weekly(steady...), time.UTC, testNow)
	for i, p := range TrendLine(h, Estimate(h, PriorOf(d, h, testNow))) {
		if float64(p.Low) > steady[i] || float64(p.High) < steady[i] {
			t.Errorf("week %d of a long loss, %.2f kg: %+v", i, steady[i], p)
		}
	}
	if TrendLine(History{}, Posterior{}) != nil {
		t.Error("a line out of nothing")
	}
}

func TestUnlikely(t *testing.T) {
	d := planner.Dog{Weight: 31.4}
	h := HistoryOf(d, weekly(31.6, 31.3, 31.4), time.UTC, testNow)
	for _, c := range []struct {
		name                                        string
		kg                                          float64
		unlikely, pounds, kilograms, tenth, tenfold bool
	}{
		{"as ever", 31.0, false, false, false, false, false},
		{"another dog", 19.4, true, false, false, false, false},
		{"31.4 lb for a dog of 31.4 kg", 31.4 * 0.45359237, true, false, true, false, false},
		{"69 kg for a dog of 69 lb", 69, true, true, false, false, false},
		{"the point left out", 119, true, false, false, false, false},
		{"a point too many", 3.14, true, false, false, false, true},
		{"zero", 0, true, false, false, false, false},
		{"negative", -31, true, false, false, false, false},
		{"no number", math.NaN(), true, false, false, false, false},
	} {
		got := Unlikely(d, h, kilos(c.kg))
		if got.Unlikely != c.unlikely || got.AsPounds != c.pounds || got.AsKilograms != c.kilograms || got.AsTenth != c.tenth || got.AsTenfold != c.tenfold {
			t.Errorf("%s: %+v", c.name, got)
		}
	}
	if got := Unlikely(planner.Dog{Weight: 6.4}, History{Now: testNow}, 64); !got.AsTenth {
		t.Errorf("64 kg for Pip: %+v", got)
	}
	if !FitsDog(d, h, 31) || FitsDog(d, h, 19) || FitsDog(planner.Dog{}, History{}, 19) {
		t.Error("31 kg is the dog's, 19 kg is not, and nobody's where nothing is known")
	}
}

// TestUnlikelyTime: the longer ago, the more may have changed; a puppy may
// double.
func TestUnlikelyTime(t *testing.T) {
	d := planner.Dog{Weight: 20}
	h := HistoryOf(d, weekly(20), time.UTC, testNow)
	if !Unlikely(d, h, 22.5).Unlikely {
		t.Error("an eighth more within an hour")
	}
	h.Now = testNow.AddDate(1, 0, 0)
	if Unlikely(d, h, 25).Unlikely || !Unlikely(d, h, 28).Unlikely {
		t.Error("after a year: a quarter more may be, 40 % is asked")
	}
	puppy := planner.Dog{Weight: 6, AdultWeight: 24, Born: testNow.AddDate(0, -3, 0)}
	h = HistoryOf(puppy, weekly(6), time.UTC, testNow)
	h.Now = testNow.AddDate(0, 0, 56)
	if Unlikely(puppy, h, 11.5).Unlikely || !Unlikely(puppy, h, 3.9).Unlikely {
		t.Error("a puppy nearly doubles in eight weeks, and does not shrink")
	}
}

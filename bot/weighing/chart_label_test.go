package weighing

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/font/liberation"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/recorder"

	"bowlwright/bot/say"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/judge"
)

// drawnTrend is what a picture consists of, as far as it can hide one another.
type drawnTrend struct {
	texts    []area
	words    []string
	smallest float64
	dots     []area
	marks    int // dotted uprights
}

// drawnOf reads a picture back from what was drawn, y growing downwards.
func drawnOf(c TrendChart) drawnTrend {
	var r recorder.Canvas
	DrawTrend(&r, c)
	got := drawnTrend{smallest: TrendHeight}
	fonts := font.NewCache(liberation.Collection())
	dots := 0
	for _, a := range r.Actions {
		switch a := a.(type) {
		case *recorder.FillString:
			face := fonts.Lookup(a.Font, a.Size)
			x, y, size := float64(a.Point.X), TrendHeight-float64(a.Point.Y), float64(a.Size)
			// Liberation Sans: capitals 0.69 of the size high, descenders 0.21.
			got.texts = append(got.texts, area{x, y - 0.69*size, x + float64(face.Width(a.String)), y + 0.21*size})
			got.words = append(got.words, a.String)
			got.smallest = min(got.smallest, size)
		case *recorder.Fill:
			for _, p := range a.Path {
				if p.Type == vg.ArcComp {
					x, y, r := float64(p.Pos.X), TrendHeight-float64(p.Pos.Y), float64(p.Radius)
					got.dots = append(got.dots, area{x - r, y - r, x + r, y + r})
				}
			}
		case *recorder.SetLineDash:
			dots = 0
			if len(a.Dashes) > 0 && a.Dashes[0] == trendDots[0] {
				dots = 1
			}
		case *recorder.Stroke:
			got.marks += dots
		}
	}
	return got
}

// anyTrend is a picture of a random dog: of 2 to 70 kg or pounds, a few days to
// five years, grown or growing, with up to 30 changes.
func anyTrend(rng *rand.Rand) TrendChart {
	from := time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC)
	days := 2 + rng.IntN([]int{20, 200, 1800}[rng.IntN(3)])
	n := 2 + rng.IntN(min(days, 150))
	w := 2 + 68*rng.Float64()*rng.Float64()
	drift := (rng.Float64() - 0.5) * 0.3 * w
	c := TrendChart{Title: "Juniper, kg", Head: "-0.1 % a week (-0.2 to +0.1) since Sun 12 Jul", Grows: rng.IntN(4) == 0}
	for i := range n {
		at := from.Add(time.Duration(float64(days)*24*float64(i)/float64(n-1)) * time.Hour)
		mid := w + drift*float64(i)/float64(n-1)
		c.Weighed = append(c.Weighed, TrendDot{at, mid * (1 + 0.01*rng.NormFloat64())})
		c.Line = append(c.Line, trendBand{at, mid * 0.99, mid, mid * 1.01})
		if c.Grows {
			c.Growth = append(c.Growth, trendBand{At: at, Low: w * (0.9 + 0.2*float64(i)/float64(n)), High: w * (1 + 0.3*float64(i)/float64(n))})
		}
	}
	if !c.Grows {
		c.Ideal = w * (0.85 + 0.3*rng.Float64())
		c.IdealLabel = msg("trend.goal", "goal", say.Trim(c.Ideal, 1)+" kg")
	}
	if rng.IntN(2) == 0 {
		c.Before = msg("trend.before", "kcal", "1040")
	}
	changes := rng.IntN(30)
	for i := range changes {
		hours := float64(days*24) * (float64(i) + rng.Float64()) / float64(changes)
		at := from.Add(time.Duration(hours) * time.Hour)
		c.Changes = append(c.Changes, TrendChange{at, fmt.Sprint(200+i*40, " by hand")})
	}
	return c
}

// TestTrendHidesNothing draws 400 random dogs: no text lies over a dot, over
// another text or the edge, every change has its mark, and the smallest letters
// are 12 points high on a phone of 375 points.
func TestTrendHidesNothing(t *testing.T) {
	labelled := 0
	for seed := range uint64(400) {
		c := anyTrend(rand.New(rand.NewPCG(seed, 11)))
		got := drawnOf(c)
		if len(got.dots) != len(c.Weighed) || got.marks != len(c.Changes) {
			t.Errorf("seed %d: %d dots of %d, %d marks of %d", seed, len(got.dots), len(c.Weighed), got.marks, len(c.Changes))
		}
		if got.smallest*375/say.ChartWidth < 12 {
			t.Errorf("seed %d: letters of %v", seed, got.smallest)
		}
		for i, a := range got.texts {
			if a.left < 0 || a.right > say.ChartWidth || a.bottom > TrendHeight {
				t.Errorf("seed %d: %q goes over the edge", seed, got.words[i])
			}
			for _, dot := range got.dots {
				if a.meets(dot) {
					t.Errorf("seed %d: %q covers a dot", seed, got.words[i])
				}
			}
			for j, b := range got.texts[:i] {
				if a.meets(b) {
					t.Errorf("seed %d: %q lies over %q", seed, got.words[i], got.words[j])
				}
			}
			if strings.HasSuffix(got.words[i], " by hand") {
				labelled++
			}
		}
		if n := len(c.Changes); n > 0 && !strings.Contains(strings.Join(got.words, "\n"), c.Changes[n-1].Label) {
			t.Errorf("seed %d: the newest change has no label", seed)
		}
	}
	if labelled < 5*300 {
		t.Errorf("%d changes labelled", labelled)
	}
}

// TestTrendAxis holds that the noise of a scale does not fill the picture.
func TestTrendAxis(t *testing.T) {
	from := time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC)
	for _, w := range []float64{1, 3, 20, 70} {
		c := TrendChart{Weighed: []TrendDot{{from, w}, {from.AddDate(0, 0, 20), w * 1.004}}}
		if s := c.scale(); s.high-s.low < 0.06*w || s.high-s.low > 0.07*w || s.low > w || s.high < w*1.004 {
			t.Errorf("%v kg: axis from %v to %v", w, s.low, s.high)
		}
	}
}

// TestTrendChanges holds which changes of the amount in force are drawn.
func TestTrendChanges(t *testing.T) {
	day := func(n int) time.Time { return time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC).AddDate(0, 0, n) }
	var c TrendChart
	c.takeChanges(judge.History{Weighings: []judge.Weighing{{At: day(0), Weight: 20}}, Now: day(90), Changes: []judge.KcalChange{
		{At: day(-9), Kcal: 1200, Ground: planner.OnEquation},
		{At: day(-8), Kcal: 1040, Ground: planner.OnCarer},
		{At: day(7), Kcal: 1100, Ground: planner.OnReckoning}, // as it was reckoned then
		{At: day(9), Kcal: 1000, Ground: planner.OnSuggestion},
		{At: day(20), Kcal: 990, Ground: planner.OnKept},
		{At: day(30), Kcal: 1000, Ground: planner.OnVet}, // the same
		{At: day(40), Kcal: 940, Ground: planner.OnVet},
		{At: day(50), Kcal: 900, Ground: planner.OnPlan},
		{At: day(60), Kcal: 960, Ground: planner.OnFact},
		{At: day(70), Kcal: 980},
	}})
	var got []string
	for _, ch := range c.Changes {
		got = append(got, ch.Label)
	}
	if want := "1000 scale, 940 vet, 900 plan, 960 facts, 980"; strings.Join(got, ", ") != want || c.Before != "1040 before" {
		t.Errorf("%s before; %v", c.Before, got)
	}
	for _, g := range []planner.Ground{planner.OnEquation, planner.OnFact, planner.OnSuggestion, planner.OnCarer, planner.OnVet, planner.OnPlan, planner.OnSchedule} {
		for _, grows := range []bool{false, true} {
			if got := groundLabel(judge.KcalChange{Kcal: nutrition.Kcal(900), Ground: g}, grows); len(got) > len("900 schedule") || len(got) < len("900 vet") {
				t.Errorf("%s: %s", g, got)
			}
		}
	}
}

package judge

import (
	"math"
	"testing"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// TestOneADay: of weigh-ins of a day the later takes the place of one that is
// more than 2 % off, or a step of the scale; nearer ones count as their mean.
func TestOneADay(t *testing.T) {
	day := func(n, hour int) time.Time { return time.Date(2026, 3, n, hour, 0, 0, 0, time.UTC) }
	for _, c := range []struct {
		name string
		in   []Weighing
		want []float64
	}{
		{"a mean", []Weighing{{At: day(1, 8), Weight: 20}, {At: day(1, 9), Weight: 20.3}}, []float64{20.15}},
		{"a mean of three", []Weighing{{At: day(1, 8), Weight: 20}, {At: day(1, 9), Weight: 20.3}, {At: day(1, 10), Weight: 20.2}}, []float64{(20 + 20.3 + 20.2) / 3}},
		{"the later", []Weighing{{At: day(1, 8), Weight: 20}, {At: day(1, 9), Weight: 20.5}}, []float64{20.5}},
		{"the later, with a third", []Weighing{{At: day(1, 8), Weight: 20}, {At: day(1, 9), Weight: 21}, {At: day(1, 10), Weight: 21.2}}, []float64{21.1}},
		{"a step of the scale", []Weighing{{At: day(1, 8), Weight: 3}, {At: day(1, 9), Weight: 3.1}}, []float64{3.05}},
		{"two days", []Weighing{{At: day(1, 23), Weight: 20}, {At: day(2, 0), Weight: 20.2}}, []float64{20, 20.2}},
	} {
		got := oneADay(c.in, scaleStep(c.in))
		if len(got) != len(c.want) {
			t.Fatalf("%s: %v", c.name, got)
		}
		for i := range got {
			if math.Abs(float64(got[i].Weight)-c.want[i]) > 1e-9 {
				t.Errorf("%s: %v, want %v", c.name, got[i].Weight, c.want[i])
			}
		}
	}
}

// TestDoubtedWaits: what is doubted is no weigh-in.
func TestDoubtedWaits(t *testing.T) {
	at := testNow.AddDate(0, 0, -7)
	h := HistoryOf(planner.Dog{ID: "d", Weight: 20, Condition: 5}, []planner.Entry{
		{ID: "a", Kind: planner.Weighed, Dog: "d", At: at, Weight: 20},
		{ID: "b", Kind: planner.Doubted, Dog: "d", At: at.AddDate(0, 0, 6), Weight: 16},
	}, time.UTC, testNow)
	if len(h.Weighings) != 1 || h.Weighings[0].Weight != 20 || h.Ideal != 20 {
		t.Errorf("%v, ideal %v", h.Weighings, h.Ideal)
	}
}

// TestScaleStep finds the grid on which weigh-ins lie.
func TestScaleStep(t *testing.T) {
	lb := float64(nutrition.KilosPerPound)
	for _, c := range []struct {
		kg   []float64
		want float64
	}{
		{nil, 0}, {[]float64{3}, 0.1}, {[]float64{3, 3.1}, 0.1}, {[]float64{3, 3.05}, 0.05}, {[]float64{3, 3.5, 3, 4}, 0.5}, {[]float64{3.2, 3.3, 3.25, 3.21}, 0.01},
		{[]float64{3.1234567}, 0}, {[]float64{42.4 * lb, 42.6 * lb, 43 * lb}, 0.2 * lb}, {[]float64{42.4375 * lb, 42.5 * lb}, lb / 16},
	} {
		var all []Weighing
		for _, kg := range c.kg {
			all = append(all, Weighing{Weight: nutrition.Kilograms(kg)})
		}
		if got := float64(scaleStep(all)); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%v: %v, want %v", c.kg, got, c.want)
		}
	}
}

// TestCoarseScale takes the step of the scale for no change of the dog: on one of
// 0.1 kg a dog of 1.6 kg may show 1.8, on one of 0.01 kg it is doubted.
func TestCoarseScale(t *testing.T) {
	d := planner.Dog{Weight: 1.6}
	h := History{Now: testNow, Step: 0.1, Weighings: []Weighing{{At: testNow.AddDate(0, 0, -7), Weight: 1.6}}}
	if Unlikely(d, h, 1.8).Unlikely {
		t.Error("doubted on a coarse scale")
	}
	if h.Step = 0.01; !Unlikely(d, h, 1.8).Unlikely {
		t.Error("not doubted on a fine one")
	}
}

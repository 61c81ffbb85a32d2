package say

import (
	"bytes"
	"flag"
	"image/png"
	"math"
	"os"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg/recorder"
)

var updateGolden = flag.Bool("update", false, "write the golden files anew")

var nan = math.NaN()

// chartRows are one row of every kind that a picture can hold.
func chartRows() []ChartRow {
	return []ChartRow{
		{"protein", "enough", 90, 90, 90, true, 45, nan},
		{"calcium", "not known", 1.1, 1.5, 1.9, true, 1.25, 6.25},
		{"calcium to phosphorus", "low", 0.5, 0.5, 0.5, true, 1, 2},
		{"iodine", "not known", 0.01, 0.01, 0.01, false, 0.25, 2.75},
		{"vitamin A", "high", 70000, 72000, 75000, true, 1250, 62500},
		{"zinc", "low", 12, 12, 12, true, 20, nan},
		{"arginine", "enough", 14, 14, 14, true, 1.28, nan},
		{"EPA and DHA", "high", 4, 4, 4, true, nan, 2.8},
	}
}

// TestChartGolden compares what the picture draws, not its bytes.
func TestChartGolden(t *testing.T) {
	var c recorder.Canvas
	drawChart(&c, "Turkey and heart", "per 1000 kcal", chartRows())
	var b strings.Builder
	for _, a := range c.Actions {
		b.WriteString(a.Call() + "\n")
	}
	const golden = "testdata/chart.golden"
	if *updateGolden {
		if err := os.WriteFile(golden, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if got := b.String(); got != string(want) {
		g, w := strings.Split(got, "\n"), strings.Split(string(want), "\n")
		for i := range min(len(g), len(w)) {
			if g[i] != w[i] {
				t.Fatalf("action %d is %s, want %s", i, g[i], w[i])
			}
		}
		t.Fatalf("%d actions, want %d", len(g), len(w))
	}
}

// TestChartSaysVerdictsWithoutColour holds that a verdict is written and has
// a shape of its own.
func TestChartSaysVerdictsWithoutColour(t *testing.T) {
	shapes := map[string]string{}
	for _, r := range []ChartRow{chartRows()[0], chartRows()[1], chartRows()[2], chartRows()[4]} {
		var c recorder.Canvas
		d := ChartPen{C: &c, H: 100}
		d.mark(50, 50, r.Verdict, ChartInk)
		var calls []string
		for _, a := range c.Actions {
			calls = append(calls, a.Call())
		}
		shape := strings.Join(calls, ";")
		for verdict, other := range shapes {
			if other == shape {
				t.Errorf("%s and %s have one shape", verdict, r.Verdict)
			}
		}
		shapes[r.Verdict] = shape
	}
}

func TestChartPlaces(t *testing.T) {
	limits := ChartRow{Min: 2, Max: 10}
	for _, c := range []struct {
		row    ChartRow
		amount float64
		want   float64
		cut    bool
	}{
		{limits, 0, chartLeft, false}, {limits, 1, (chartLeft + chartAtMin) / 2, false}, {limits, 2, chartAtMin, false},
		{limits, 6, (chartAtMin + chartAtMax) / 2, false}, {limits, 10, chartAtMax, false}, {limits, 100, chartRight, true},
		{ChartRow{Min: 2, Max: nan}, 8, chartAtMax, false}, {ChartRow{Min: nan, Max: 10}, 10, chartAtMax, false},
	} {
		if x, cut := chartX(c.row, c.amount); math.Abs(x-c.want) > 1e-9 || cut != c.cut {
			t.Errorf("chartX(%v-%v, %v) = %v, %v; want %v, %v", c.row.Min, c.row.Max, c.amount, x, cut, c.want, c.cut)
		}
	}
}

func TestChartPNG(t *testing.T) {
	b, err := ChartPNG("Turkey and heart", "per 1000 kcal", chartRows())
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	if got := img.Bounds(); got.Dx() != ChartWidth || got.Dy() != int(chartHeight(8)) {
		t.Errorf("picture of %v", got)
	}
}

func BenchmarkChart(b *testing.B) {
	var rows []ChartRow
	for range 5 {
		rows = append(rows, chartRows()...)
	}
	for b.Loop() {
		if _, err := ChartPNG("Turkey and heart", "per 1000 kcal", rows); err != nil {
			b.Fatal(err)
		}
	}
}

package bot

import (
	"bytes"
	"fmt"
	"image/color"
	"math"
	"slices"
	"time"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/font/liberation"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// trendChart is what the picture of a dog's weight shows. Weights are in the
// household's unit.
type trendChart struct {
	Title, Head string
	Unit        string
	Weighed     []trendDot
	Line        []trendBand
	Ideal       float64 // 0: none
	IdealLabel  string
	Grows       bool         // of a growing dog: no ideal weight, no energy balance
	Growth      []growthEdge // of a growing dog, in place of the ideal weight
	GrowthOf    string       // the grown weight that it is for
	Changes     []trendChange
}

type trendDot struct {
	At     time.Time
	Weight float64
}

type trendBand struct {
	At             time.Time
	Low, Mid, High float64
}

type trendChange struct {
	At    time.Time
	Label string
}

// The picture's layout in pixels.
const (
	trendHeight = 720
	trendLeft   = 96
	trendRight  = 960
	trendTop    = 150
	trendBottom = 590
)

var (
	trendBlue = color.NRGBA{0, 114, 178, 255}
	trendPale = color.NRGBA{176, 208, 230, 255}
	trendGold = color.NRGBA{150, 95, 0, 255}
)

// trendPNG draws the picture of a dog's weight.
func trendPNG(t trendChart) ([]byte, error) {
	c := vgimg.PngCanvas{Canvas: vgimg.NewWith(vgimg.UseWH(chartWidth, trendHeight), vgimg.UseDPI(72))}
	drawTrend(c, t)
	var b bytes.Buffer
	if _, err := c.WriteTo(&b); err != nil {
		return nil, fmt.Errorf("bot: draw trend: %w", err)
	}
	return b.Bytes(), nil
}

// trendScale places days and weights.
type trendScale struct {
	from, to  time.Time
	low, high float64
}

func (s trendScale) x(at time.Time) float64 {
	span := s.to.Sub(s.from).Hours()
	return trendLeft + (trendRight-trendLeft)*at.Sub(s.from).Hours()/span
}

func (s trendScale) y(w float64) float64 {
	return trendBottom - (trendBottom-trendTop)*(w-s.low)/(s.high-s.low)
}

// scale covers everything shown, with some room; a day at least, and 2 % of
// the weight.
func (t *trendChart) scale() trendScale {
	s := trendScale{low: math.Inf(1), high: math.Inf(-1)}
	take := func(at time.Time, ws ...float64) {
		if s.from.IsZero() || at.Before(s.from) {
			s.from = at
		}
		if at.After(s.to) {
			s.to = at
		}
		for _, w := range ws {
			s.low, s.high = math.Min(s.low, w), math.Max(s.high, w)
		}
	}
	for _, d := range t.Weighed {
		take(d.At, d.Weight)
	}
	for _, l := range t.Line {
		take(l.At, l.Low, l.High)
	}
	if t.Ideal > 0 {
		s.low, s.high = math.Min(s.low, t.Ideal), math.Max(s.high, t.Ideal)
	}
	for _, e := range t.Growth {
		take(e.At, e.Low, e.High)
	}
	room := math.Max((s.high-s.low)*0.08, s.high*0.01)
	s.low, s.high = s.low-room, s.high+room
	if s.to.Sub(s.from) < 24*time.Hour {
		s.from, s.to = s.from.Add(-12*time.Hour), s.to.Add(12*time.Hour)
	}
	return s
}

// drawTrend draws the picture on a canvas of chartWidth by trendHeight.
func drawTrend(c vg.Canvas, t trendChart) {
	d := chartPen{c, trendHeight, text.Plain{Fonts: font.NewCache(liberation.Collection())}}
	d.box(0, 0, chartWidth, trendHeight, chartGround)
	d.text(chartMargin, 44, 34, chartInk, t.Title)
	d.text(chartMargin, 80, chartFont, chartInk, t.Head)
	s := t.scale()
	d.weights(s, t.Unit)
	d.days(s)
	d.band(s, t.Line)
	if t.Ideal > 0 {
		y := s.y(t.Ideal)
		d.dashed(trendLeft, y, trendRight, y, 3, trendGold)
		d.text(t.idealLabelAt(d.width(t.IdealLabel)), y-8, 20, trendGold, t.IdealLabel)
	}
	d.growth(s, t.Growth)
	d.changes(s, t.Changes)
	for i := 1; i < len(t.Line); i++ {
		a, b := t.Line[i-1], t.Line[i]
		d.line(s.x(a.At), s.y(a.Mid), s.x(b.At), s.y(b.Mid), 4, trendBlue)
	}
	for _, w := range t.Weighed {
		d.dot(s.x(w.At), s.y(w.Weight), dotSize(len(t.Weighed)))
	}
	for i, line := range t.legend() {
		d.text(chartMargin, trendBottom+72+28*float64(i), 20, chartInk, line)
	}
}

// legend says what is drawn, in two lines.
func (t *trendChart) legend() [2]string {
	switch {
	case len(t.Growth) > 0:
		return [2]string{msg("growth.legend-dots"), msg("growth.legend", "adult", t.GrowthOf)}
	case t.Grows:
		return [2]string{msg("growth.legend-dots"), msg("growth.legend-none")}
	}
	return [2]string{msg("trend.legend"), msg("trend.legend-2")}
}

// idealLabelAt is where the label of the ideal weight begins: at the end of
// the picture at which the dog is further from it.
func (t *trendChart) idealLabelAt(width float64) float64 {
	if n := len(t.Line); n > 0 && math.Abs(t.Line[0].Mid-t.Ideal) < math.Abs(t.Line[n-1].Mid-t.Ideal) {
		return trendRight - 8 - width
	}
	return trendLeft + 8
}

// changes draws an upright where the kcal changed. Labels stand in two rows;
// one that has no room in either is left out.
func (d chartPen) changes(s trendScale, all []trendChange) {
	var taken [2]float64
	for _, ch := range all {
		x := s.x(ch.At)
		if x < trendLeft || x > trendRight {
			continue
		}
		d.line(x, trendTop, x, trendBottom, 2, chartInk)
		half := d.width(ch.Label)/2 + 6
		for row := range taken {
			if x-half >= taken[row] {
				d.label(x, trendTop-8-float64(row)*22, ch.Label)
				taken[row] = x + half
				break
			}
		}
	}
}

// dotSize makes room for many weigh-ins.
func dotSize(n int) float64 {
	switch {
	case n > 120:
		return 3
	case n > 40:
		return 5
	}
	return 7
}

// label writes a text near x that stays within the picture.
func (d chartPen) label(x, y float64, s string) {
	w := d.width(s)
	d.text(min(max(x-w/2, chartMargin), chartWidth-chartMargin-w), y, 20, chartInk, s)
}

// width of a text as label writes it.
func (d chartPen) width(s string) float64 {
	face := d.face(20)
	return float64(face.Width(s))
}

func (d chartPen) dot(x, y, r float64) {
	var p vg.Path
	p.Move(vg.Point{X: vg.Length(x + r), Y: vg.Length(d.h - y)})
	p.Arc(vg.Point{X: vg.Length(x), Y: vg.Length(d.h - y)}, vg.Length(r), 0, 2*math.Pi)
	p.Close()
	d.c.SetColor(chartInk)
	d.c.Fill(p)
}

// band fills between the low and the high of the line.
func (d chartPen) band(s trendScale, line []trendBand) {
	if len(line) < 2 {
		return
	}
	var xy []float64
	for _, l := range line {
		xy = append(xy, s.x(l.At), s.y(l.High))
	}
	for _, l := range slices.Backward(line) {
		xy = append(xy, s.x(l.At), s.y(l.Low))
	}
	d.c.SetColor(trendPale)
	d.c.Fill(d.path(xy...))
}

// weights draws lines at round weights.
func (d chartPen) weights(s trendScale, unit string) {
	step := roundStep((s.high - s.low) / 5)
	decimals := 0
	if step < 1 {
		decimals = 1
	}
	if step < 0.1 {
		decimals = 2
	}
	for w := math.Ceil(s.low/step) * step; w <= s.high; w += step {
		y := s.y(w)
		d.line(trendLeft, y, trendRight, y, 1, chartFaint)
		label := trim(w, decimals)
		d.text(trendLeft-12-d.width(label), y+7, 20, chartInk, label)
	}
	d.text(chartMargin, trendTop-16, 20, chartInk, unit)
}

// roundStep is 1, 2 or 5 times a power of ten, not below x.
func roundStep(x float64) float64 {
	if !(x > 0) {
		return 1
	}
	p := math.Pow(10, math.Floor(math.Log10(x)))
	for _, f := range []float64{1, 2, 5, 10} {
		if f*p >= x {
			return f * p
		}
	}
	return 10 * p
}

// days writes dates under the picture, at most six.
func (d chartPen) days(s trendScale) {
	const most = 5
	form := "2 Jan"
	if s.to.Sub(s.from) > 300*24*time.Hour {
		form = "Jan 2006"
	}
	d.line(trendLeft, trendBottom, trendRight, trendBottom, 2, chartInk)
	for i := range most + 1 {
		at := s.from.Add(time.Duration(float64(s.to.Sub(s.from)) * float64(i) / most))
		x := s.x(at)
		d.line(x, trendBottom, x, trendBottom+8, 2, chartInk)
		d.label(x, trendBottom+32, at.Format(form))
	}
}

// trendOf is the picture of a dog's history.
func (t *turn) trendOf(d *planner.Dog, h planner.History, post planner.Posterior) trendChart {
	u := t.home.Units
	in := func(w nutrition.Kilograms) float64 {
		if u.Pounds {
			return w.Pounds()
		}
		return float64(w)
	}
	slope, since := slopeNow(h)
	head := slopeText(slope)
	if !since.IsZero() {
		head = msg("trend.head-since", "slope", head, "day", dayText(planner.DateOf(since)))
	}
	c := trendChart{Title: msg("trend.title", "dog", d.Name), Head: head, Unit: choose(u.Pounds, "lb", "kg")}
	for _, w := range h.Weighings {
		c.Weighed = append(c.Weighed, trendDot{w.At, in(w.Weight)})
	}
	if t.growing(d) {
		t.growthChart(&c, d, h, in)
	} else {
		for _, p := range planner.TrendLine(h, post) {
			c.Line = append(c.Line, trendBand{p.At, in(p.Low), in(p.Mid), in(p.High)})
		}
		if h.Ideal > 0 {
			c.Ideal, c.IdealLabel = in(h.Ideal), msg("trend.ideal")+" "+bodyWeight(h.Ideal, u)
		}
	}
	last := nutrition.Kcal(0)
	for _, ch := range h.Changes {
		if ch.Kcal == last {
			continue
		}
		last = ch.Kcal
		k := ch.Kcal
		if k == 0 {
			k = h.Planned
		}
		c.Changes = append(c.Changes, trendChange{ch.At, msg("trend.kcal", "kcal", kcal(k))})
	}
	return c
}

// showTrend sends the picture, with the trend in words.
func (t *turn) showTrend(d *planner.Dog) {
	h, decision, posts := t.judge(d)
	slope, _ := slopeNow(h)
	if slope.WeighIns < 2 || len(posts) == 0 {
		t.say(para(msg("trend.few", "n", slope.WeighIns)), para(t.decisionText(d, h, decision, posts)))
		return
	}
	png, err := trendPNG(t.trendOf(d, h, posts[len(posts)-1]))
	if err != nil {
		t.fail(err)
		return
	}
	caption := msg("trend.caption", "dog", d.Name, "weight", bodyWeight(h.Weighings[len(h.Weighings)-1].Weight, t.home.Units), "n", len(h.Weighings))
	if decision.Outcome != planner.Suggest && !t.growing(d) {
		caption = joinParas(caption, t.trendText(h))
	}
	r := t.say(para(caption),
		para(t.decisionText(d, h, decision, posts)), para(t.goalText(d, h, posts)))
	r.Picture = &Picture{Name: "trend.png", Alt: msg("trend.alt", "dog", d.Name, "n", len(h.Weighings), "slope", slopeText(slope)), PNG: png}
	t.offerDecision(r, d, h, decision)
	t.offerGrowth(r, d, h)
	more := []Button{t.button(msg("button.weigh-ins"), "weigh", "list", d.ID)}
	if !t.growing(d) {
		more = append(more, t.button(msg("button.why"), "weigh", "why", d.ID))
	}
	r.offer(more...)
}

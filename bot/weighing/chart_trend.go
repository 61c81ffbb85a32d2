package weighing

import (
	"image/color"
	"math"
	"slices"
	"strings"
	"time"

	"gonum.org/v1/plot/vg"

	"bowlwright/bot/dogs"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/judge"
)

// TrendChart is what the picture of a dog's weight shows. Weights are in the
// household's unit.
type TrendChart struct {
	Title, Head string
	Weighed     []TrendDot
	Line        []trendBand
	Ideal       float64 // 0: none
	IdealLabel  string
	Grows       bool        // of a growing dog: no ideal weight, no energy balance
	Growth      []trendBand // where a growing dog's weight usually lies, in place of the ideal weight
	GrowthOf    string      // the grown weight that it is for
	Changes     []TrendChange
	Before      string // the amount in force when the picture begins; empty: none
}

type TrendDot struct {
	At     time.Time
	Weight float64
}

type trendBand struct {
	At             time.Time
	Low, Mid, High float64
}

type TrendChange struct {
	At    time.Time
	Label string
}

// The picture's layout in pixels.
const (
	TrendHeight = 900
	trendLeft   = 120
	trendRight  = 960
	trendTop    = 220
	trendBottom = 700
	// trendFont is the smallest letter: 12 points high where the picture is
	// shown 375 points wide.
	trendFont = 32
)

// leastSpan is the share of the weight that the axis spans at least, so that
// the noise of a scale does not look like a trend (our own choice).
const leastSpan = 0.06

// The lines are told apart without their colours: the trend is solid, a weight
// to compare with is dashed, a change of kcal dotted.
var (
	trendDashes = []vg.Length{18, 10}
	trendDots   = []vg.Length{3, 8}
)

var (
	trendBlue = color.NRGBA{0, 114, 178, 255}
	trendPale = color.NRGBA{176, 208, 230, 255}
	trendGold = color.NRGBA{150, 95, 0, 255}
)

// TrendPNG draws the picture of a dog's weight.
func TrendPNG(t TrendChart) ([]byte, error) {
	return say.PNG(TrendHeight, func(c vg.Canvas) { DrawTrend(c, t) })
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

// scale covers everything shown, with some room; a day at least, and leastSpan
// of the weight.
func (t *TrendChart) scale() trendScale {
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
	for _, ch := range t.Changes {
		take(ch.At)
	}
	span := s.high - s.low
	room := math.Max(span*0.08, (s.high*leastSpan-span)/2)
	s.low, s.high = math.Max(s.low-room, 0), s.high+room
	if s.to.Sub(s.from) < 24*time.Hour {
		s.from, s.to = s.from.Add(-12*time.Hour), s.to.Add(12*time.Hour)
	}
	return s
}

// DrawTrend draws the picture on a canvas of ChartWidth by TrendHeight.
func DrawTrend(c vg.Canvas, t TrendChart) {
	d := say.NewPen(c, TrendHeight)
	d.Text(say.ChartMargin, 56, 44, say.ChartInk, t.Title)
	d.Text(say.ChartMargin, 106, trendFont, say.ChartInk, t.Head)
	s := t.scale()
	room := t.room(s)
	weights(d, s)
	days(d, s)
	band(d, s, t.Line)
	changes(d, s, t.Changes, t.Before, room)
	if t.Ideal > 0 {
		y := s.y(t.Ideal)
		d.Stroke(trendLeft, y, trendRight, y, 4, trendGold, trendDashes)
		along(d, []float64{trendLeft, y, trendRight, y}, t.IdealLabel, room, true, true)
	}
	growth(d, s, t.Growth, room)
	for i := 1; i < len(t.Line); i++ {
		a, b := t.Line[i-1], t.Line[i]
		d.Line(s.x(a.At), s.y(a.Mid), s.x(b.At), s.y(b.Mid), 5, trendBlue)
	}
	for _, w := range t.Weighed {
		d.C.SetColor(say.ChartInk)
		d.C.Fill(d.Disc(s.x(w.At), s.y(w.Weight), dotSize(len(t.Weighed))))
	}
	for i, line := range t.legend() {
		d.Text(say.ChartMargin, trendBottom+98+42*float64(i), trendFont, say.ChartInk, line)
	}
}

// legend says what is drawn, in three lines at most.
func (t *TrendChart) legend() []string {
	lines := []string{msg("trend.legend"), msg("trend.legend-band")}
	if t.Grows {
		lines = []string{msg("growth.legend-dots")}
	}
	dashes := say.Where(t.Ideal > 0 && len(t.Growth) == 0, msg("trend.legend-goal", "goal", t.IdealLabel))
	if len(t.Changes) > 0 {
		dashes = strings.TrimSpace(dashes + "   " + msg("trend.legend-kcal"))
	}
	lines = append(lines, say.Where(len(t.Growth) > 0, msg("growth.legend", "adult", t.GrowthOf)), dashes)
	return slices.DeleteFunc(lines, func(line string) bool { return line == "" })
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

// band fills between the low and the high of the line.
func band(d say.ChartPen, s trendScale, line []trendBand) {
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
	d.C.SetColor(trendPale)
	d.C.Fill(d.Path(xy...))
}

// weights draws lines at round weights.
func weights(d say.ChartPen, s trendScale) {
	step := roundStep((s.high - s.low) / 5)
	for w := math.Ceil(s.low/step) * step; w <= s.high; w += step {
		y := s.y(w)
		d.Line(trendLeft, y, trendRight, y, 1, say.ChartFaint)
		label := say.Trim(w, 2)
		d.Text(trendLeft-14-width(d, label), y+11, trendFont, say.ChartInk, label)
	}
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
func days(d say.ChartPen, s trendScale) {
	most, form := 5, "2 Jan"
	if s.to.Sub(s.from) > 300*24*time.Hour {
		most, form = 4, "Jan 2006" // which is longer
	}
	d.Line(trendLeft, trendBottom, trendRight, trendBottom, 2, say.ChartInk)
	last := ""
	for i := range most + 1 {
		at := s.from.Add(time.Duration(float64(s.to.Sub(s.from)) * float64(i) / float64(most)))
		x := s.x(at)
		d.Line(x, trendBottom, x, trendBottom+8, 2, say.ChartInk)
		if day := at.Format(form); day != last {
			w := width(d, day)
			d.Text(min(x-w/2, say.ChartWidth-8-w), trendBottom+44, trendFont, say.ChartInk, day)
			last = day
		}
	}
}

// TrendOf is the picture of a dog's history.
func TrendOf(t *talk.Turn, d *planner.Dog, h judge.History, post judge.Posterior) TrendChart {
	u := t.Home.Units
	in := func(w nutrition.Kilograms) float64 {
		if u.Pounds {
			return w.Pounds()
		}
		return float64(w)
	}
	slope, since := slopeNow(h)
	head := say.Choose(since.IsZero(), slopeText(slope), msg("trend.head-since", "slope", slopeText(slope), "day", say.DayText(planner.DateOf(since))))
	c := TrendChart{Title: msg("trend.title", "dog", d.Name, "unit", say.Choose(u.Pounds, "lb", "kg")), Head: head}
	for _, w := range h.Weighings {
		c.Weighed = append(c.Weighed, TrendDot{w.At, in(w.Weight)})
	}
	if dogs.Growing(t, d) {
		growthChart(t, &c, d, h, in)
	} else {
		for _, p := range judge.TrendLine(h, post) {
			c.Line = append(c.Line, trendBand{p.At, in(p.Low), in(p.Mid), in(p.High)})
		}
		if h.Ideal > 0 {
			c.Ideal, c.IdealLabel = in(h.Ideal), msg("trend.goal", "goal", say.BodyWeight(h.Ideal, u))
		}
	}
	c.takeChanges(h)
	return c
}

// showTrend sends the picture, with the trend in words.
func showTrend(t *talk.Turn, d *planner.Dog) {
	h, decision, posts := Judge(t, d)
	slope, _ := slopeNow(h)
	if slope.WeighIns < 2 || len(posts) == 0 {
		t.Say(say.Para(weightText(t, d)), say.Para(msg("trend.few", "n", slope.WeighIns)), say.Whole(warningFirst(t, d, h, decision, posts)), say.Para(otherThanWarning(t, d, h, decision, posts)))
		return
	}
	png, err := TrendPNG(TrendOf(t, d, h, posts[len(posts)-1]))
	if err != nil {
		t.Fail(err)
		return
	}
	caption := msg("trend.caption", "dog", d.Name, "weight", say.BodyWeight(h.Weighings[len(h.Weighings)-1].Weight, t.Home.Units), "n", len(h.Weighings))
	byScale := decision.Outcome != judge.Suggest && !dogs.Growing(t, d)
	r := t.Say(say.Para(say.JoinParas(caption, say.Where(byScale, trendText(t, h)))),
		say.Whole(warningFirst(t, d, h, decision, posts)), say.Para(otherThanWarning(t, d, h, decision, posts)), say.Waits(goalText(t, d, h, posts)))
	r.Picture = &say.Picture{Name: "trend.png", Alt: msg("trend.alt", "dog", d.Name, "n", len(h.Weighings), "slope", slopeText(slope)), PNG: png}
	offerDecision(t, r, d, h, decision)
	more := []say.Button{t.Button(msg("button.weigh-ins"), "weigh", "list", d.ID)}
	if byScale { // a suggestion has it
		more = append(more, t.Button(msg("button.why"), "weigh", "why", d.ID))
	}
	r.Offer(more...)
}

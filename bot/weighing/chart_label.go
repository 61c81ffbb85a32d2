package weighing

import (
	"slices"

	"bowlwright/bot/say"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/judge"
)

// area is a rectangle of the picture; y grows downwards.
type area struct{ left, top, right, bottom float64 }

func (a area) meets(b area) bool {
	return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom
}

// labelRoom is what the labels of a picture keep off.
type labelRoom struct {
	taken []area // dots and labels: never
	lines []area // where there is room elsewhere
}

func (r *labelRoom) free(a area) bool {
	return !slices.ContainsFunc(r.taken, a.meets)
}

// room holds the dots and the lines of the picture.
func (t *TrendChart) room(s trendScale) *labelRoom {
	r := &labelRoom{}
	half := dotSize(len(t.Weighed)) + 3
	for _, w := range t.Weighed {
		x, y := s.x(w.At), s.y(w.Weight)
		r.taken = append(r.taken, area{x - half, y - half, x + half, y + half})
	}
	var line []float64
	for _, l := range t.Line {
		line = append(line, s.x(l.At), s.y(l.Mid))
	}
	r.keepOff(line)
	for _, ch := range t.Changes {
		x := s.x(ch.At)
		r.lines = append(r.lines, area{x - 3, trendTop, x + 3, trendBottom})
	}
	return r
}

// keepOff takes a line through points x, y, x, y and so on for an obstacle, in
// short pieces.
func (r *labelRoom) keepOff(xy []float64) {
	if len(xy) < 4 {
		return
	}
	const piece, half = 8, 4
	for x := xy[0]; x <= xy[len(xy)-2]; x += piece {
		a, b := heightAt(xy, x), heightAt(xy, min(x+piece, xy[len(xy)-2]))
		r.lines = append(r.lines, area{x, min(a, b) - half, x + piece, max(a, b) + half})
	}
}

// heightAt is the y at x of a line through points x, y, x, y and so on.
func heightAt(xy []float64, x float64) float64 {
	for i := 2; i+1 < len(xy); i += 2 {
		if x0, x1 := xy[i-2], xy[i]; x <= x1 && x1 > x0 {
			return xy[i-1] + (xy[i+1]-xy[i-1])*max(0, x-x0)/(x1-x0)
		}
	}
	return xy[len(xy)-1]
}

// along writes a label above or below a line through points x, y, x, y and so
// on, where it covers no dot and no other label, and the least of other lines.
// Where there is no such place it is left out: the legend says what the line is.
func along(d say.ChartPen, xy []float64, label string, room *labelRoom, above, below bool) {
	const gap, step = 8, 24
	w := width(d, label)
	var best area
	least := -1
	try := func(a area) {
		if a.top < trendTop || a.bottom > trendBottom || !room.free(a) {
			return
		}
		crossed := 0
		for _, l := range room.lines {
			if a.meets(l) {
				crossed++
			}
		}
		if least < 0 || crossed < least {
			best, least = a, crossed
		}
	}
	for x := trendLeft + gap + 0.0; x+w <= trendRight-gap; x += step {
		highest, lowest := heightAt(xy, x), heightAt(xy, x+w)
		highest, lowest = min(highest, lowest), max(highest, lowest)
		if above {
			try(area{x, highest - gap - trendFont, x + w, highest - gap})
		}
		if below {
			try(area{x, lowest + gap, x + w, lowest + gap + trendFont})
		}
	}
	if least < 0 {
		return
	}
	room.taken = append(room.taken, best)
	d.Text(best.left, best.bottom-descent, trendFont, trendGold, label)
}

// descent is how far letters of trendFont reach below their line.
const descent = 7

// width of a text in trendFont.
func width(d say.ChartPen, s string) float64 {
	face := d.Face(trendFont)
	return float64(face.Width(s))
}

// takeChanges takes every change of the amount in force. What it was reckoned
// at before amounts were kept, and a suggestion that was not wanted, are none.
func (t *TrendChart) takeChanges(h judge.History) {
	last := nutrition.Kcal(0)
	from := h.Now
	if len(h.Weighings) > 0 {
		from = h.Weighings[0].At
	}
	for _, ch := range h.Changes {
		changed := ch.Kcal != last && ch.Ground != planner.OnKept && ch.Ground != planner.OnReckoning
		if ch.Ground != planner.OnKept {
			last = ch.Kcal
		}
		switch {
		case ch.At.Before(from):
			t.Before = msg("trend.before", "kcal", say.Kcal(last))
		case changed:
			t.Changes = append(t.Changes, TrendChange{ch.At, groundLabel(ch, t.Grows)})
		}
	}
}

// groundLabel is the new figure and in a word why, where that was kept.
func groundLabel(ch judge.KcalChange, grows bool) string {
	key := "trend-ground." + say.Choose(grows && ch.Ground == planner.OnSchedule, "growth", string(ch.Ground))
	if !words.Has(key) {
		return say.Kcal(ch.Kcal)
	}
	return say.Kcal(ch.Kcal) + " " + msg(key)
}

// The labels of changes stand in two rows above the picture.
const (
	changeRow   = 38 // from row to row
	changeAbove = 16 // of the first above the picture
)

// changes marks every change of kcal. Each label stands above its own mark;
// where they are crowded the newest are written.
func changes(d say.ChartPen, s trendScale, all []TrendChange, before string, room *labelRoom) {
	for _, ch := range all {
		x := s.x(ch.At)
		d.Stroke(x, trendTop, x, trendBottom, 3, say.ChartInk, trendDots)
		d.C.SetColor(say.ChartInk)
		d.C.Fill(d.Path(x-8, trendTop-10, x+8, trendTop-10, x, trendTop+4))
	}
	for _, ch := range slices.Backward(all) {
		change(d, s.x(ch.At), ch.Label, room)
	}
	if at := changeArea(d, trendLeft, 0, before); before != "" && room.free(at) {
		d.Text(at.left, at.bottom-descent, trendFont, say.ChartInk, before)
	}
	if len(all) > 0 || before != "" {
		d.Text(say.ChartMargin, trendTop-changeAbove-descent, trendFont, say.ChartInk, msg("trend.kcal"))
	}
}

// changeArea is that of a label from x on in a row.
func changeArea(d say.ChartPen, x float64, row int, label string) area {
	bottom := trendTop - changeAbove - changeRow*float64(row)
	return area{x, bottom - trendFont, x + width(d, label), bottom}
}

// change writes the label of a change at x where it has room. Its stem leads
// down to the mark, past no other label.
func change(d say.ChartPen, x float64, label string, room *labelRoom) {
	const gap = 8
	w := width(d, label)
	for _, left := range []float64{x - w/2, x - gap, x + gap - w} {
		for row := range 2 {
			at := changeArea(d, left, row, label)
			stem := area{x - 4, at.bottom, x + 4, trendTop - 10}
			wide := area{at.left - gap, at.top, at.right + gap, at.bottom}
			if at.left < trendLeft-gap || at.right > say.ChartWidth-say.ChartMargin || !room.free(wide) || !room.free(stem) {
				continue
			}
			room.taken = append(room.taken, at, stem)
			d.Line(x, at.bottom, x, trendTop-8, 3, say.ChartInk)
			d.Text(at.left, at.bottom-descent, trendFont, say.ChartInk, label)
			return
		}
	}
}

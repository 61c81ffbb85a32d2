package weighing

import (
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/judge"
)

// edgeSteps is how many pieces an edge of the band is drawn of, at most.
const edgeSteps = 48

// growthEdges is the growth band over the days of the weigh-ins, in the unit of
// the picture; none where it is not known. The band changes from day to day.
func growthEdges(d planner.Dog, h judge.History, in func(nutrition.Kilograms) float64) (edges []trendBand) {
	if len(h.Weighings) == 0 {
		return nil
	}
	from, to := h.Weighings[0].At, h.Weighings[len(h.Weighings)-1].At
	days := planner.DateOf(from).DaysTo(planner.DateOf(to))
	step := max(1, (days+edgeSteps-1)/edgeSteps)
	for day := 0; day < days+step; day += step {
		at := from.AddDate(0, 0, min(day, days))
		if low, high, _, _, gap := planner.BandOf(d, at); gap == "" {
			edges = append(edges, trendBand{At: at, Low: in(low), High: in(high)})
		}
	}
	return edges
}

// growthChart makes the picture of a growing dog: its gain, the growth band, and
// a line from weigh-in to weigh-in. The energy balance by which other lines are
// drawn is that of grown dogs.
func growthChart(t *talk.Turn, c *TrendChart, d *planner.Dog, h judge.History, in func(nutrition.Kilograms) float64) {
	c.Grows, c.Head = true, growthRate(t, d, judge.GrowthOf(*d, h))
	c.Growth, c.GrowthOf = growthEdges(*d, h, in), say.BodyWeight(d.AdultWeight, t.Home.Units)
	for _, w := range c.Weighed {
		c.Line = append(c.Line, trendBand{w.At, w.Weight, w.Weight, w.Weight})
	}
}

// growth draws the edges of the growth band, each with its label on its outer
// side.
func growth(d say.ChartPen, s trendScale, edges []trendBand, room *labelRoom) {
	if len(edges) < 2 {
		return
	}
	var low, high []float64
	for _, e := range edges {
		low = append(low, s.x(e.At), s.y(e.Low))
		high = append(high, s.x(e.At), s.y(e.High))
	}
	d.Through(high, 4, trendGold, trendDashes)
	d.Through(low, 4, trendGold, trendDashes)
	room.keepOff(high)
	room.keepOff(low)
	along(d, high, msg("growth.upper"), room, true, false)
	along(d, low, msg("growth.lower"), room, false, true)
}

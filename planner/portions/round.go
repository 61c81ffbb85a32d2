package portions

import (
	"cmp"
	"math"
	"slices"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// A kitchen scale shows 1 g below 50 g and 5 g from there, or 0.1 oz
// everywhere. Amounts are rounded in whole units of it, grams or tenths of an
// ounce, so that sums are exact.
const (
	coarseFrom = 50 // units from which the coarse step holds, in grams
	coarseStep = 5  // units
)

// unit is the weight of one unit.
func unit(u planner.Units) nutrition.Grams {
	if u.Ounces {
		return nutrition.GramsPerOunce / 10
	}
	return 1
}

// ScaleStep is how many units the scale jumps at an amount in units.
func ScaleStep(units float64, u planner.Units) int {
	if u.Ounces || units < coarseFrom {
		return 1
	}
	return coarseStep
}

// RoundParts returns parts rounded to what a kitchen scale shows, and the
// whole that they add up to, which is the sum of the parts rounded likewise.
//
// Where fine and coarse steps mix, some part may have to move further than to
// its nearest step. The choice is exact: no part moves by more than its own
// step or a twentieth of itself (our own choice) unless it must, and of the choices
// left it is the one with the least sum of squares relative to the parts: 49.1 g
// becomes 48 g before 1.96 g becomes 1 g. A part of half a unit or more never
// vanishes and nothing comes of no part.
//
// One or two small parts beside large ones (240 g and 3 g) can leave no way
// but to spoil a small one by more than its step and more than a tenth of
// itself. Then the whole gives way instead: it is what the parts add up to,
// to the gram. Parts that are negative or no numbers count as nothing.
func RoundParts(parts []nutrition.Grams, u planner.Units) (rounded []nutrition.Grams, whole nutrition.Grams) {
	units, sum := roundUnits(parts, u)
	return inGrams(units, u), nutrition.Grams(sum) * unit(u)
}

// roundUnits is RoundParts in units.
func roundUnits(parts []nutrition.Grams, u planner.Units) (units []int, whole int) {
	var fineArray, coarseArray [16]part
	fine, coarse := fineArray[:0], coarseArray[:0]
	var sum float64
	for i, g := range parts {
		x := float64(g / unit(u))
		if !(x > 0) || x > math.MaxInt32 {
			continue
		}
		sum += x
		if p := newPart(i, x, u); p.step == 1 {
			fine = append(fine, p)
		} else {
			coarse = append(coarse, p)
		}
	}
	s := ScaleStep(sum, u)
	whole = int(math.Round(sum/float64(s))) * s
	if !fit(fine, coarse, whole) {
		whole = loosen(fine, coarse, sum)
	}
	units = make([]int, len(parts))
	for _, p := range fine {
		units[p.index] = p.n
	}
	for _, p := range coarse {
		units[p.index] = p.n
	}
	return units, whole
}

// part is one amount on its way to be rounded.
type part struct {
	index int
	x     float64 // units
	n     int     // units, what it is rounded to
	step  int     // units
	least int     // units, 1 where it must not vanish
	most  int     // units, as far as its step goes
}

func newPart(i int, x float64, u planner.Units) part {
	p := part{index: i, x: x, step: ScaleStep(x, u), most: math.MaxInt}
	if x >= 0.5 {
		p.least = 1
	}
	if p.step == 1 && !u.Ounces {
		p.most = coarseFrom
	}
	return p
}

// What a part moves beyond its own step, or a twentieth of itself, weighs so heavily that the least sum
// has the fewest of such moves, and what spoils it more heavily still.
const (
	overStep = 1e6
	spoiling = 1e12
)

// cost of rounding the part to n: the square of the move relative to the
// part. It is convex in n, which is why giving out units one by one, each
// where it costs least, finds the least sum. It is told to the precision of a
// float32, so that parts that are alike cost the same whatever the last bit of
// a power is on a machine; of those the first in the recipe gives way.
func (p *part) cost(n int) float64 {
	move := math.Abs(float64(n) - p.x)
	c := move * move / p.x
	if over := move - max(float64(p.step), p.x/20); over > 0 {
		c += overStep * over
	}
	if over := move - p.slack(); over > 0 {
		c += spoiling * over
	}
	return float64(float32(c))
}

// slack is how far the part may move without being spoilt: by its step, or a
// tenth of itself where that is more.
func (p *part) slack() float64 { return max(float64(p.step), p.x/10) }

func (p *part) spoilt() bool {
	const tolerance = 1e-9
	return math.Abs(float64(p.n)-p.x) > p.slack()+tolerance
}

// fit rounds the parts so that they add up to the whole, and reports whether
// it could without spoiling one. Every number of coarse parts that are rounded
// up is tried; the fine parts fill what is left.
func fit(fine, coarse []part, whole int) bool {
	rest := whole
	for i := range coarse {
		p := &coarse[i]
		p.n = int(math.Floor(p.x/coarseStep)) * coarseStep
		rest -= p.n
	}
	sortUp(coarse)
	var cost float64
	for i := range coarse {
		cost += coarse[i].cost(coarse[i].n)
	}
	best, least := -1, math.Inf(1)
	for k := 0; ; k++ {
		if c := cost + fill(fine, rest-k*coarseStep, least-cost); c < least {
			best, least = k, c
		}
		if k == len(coarse) {
			break
		}
		cost += coarse[k].up()
	}
	if best < 0 {
		return false
	}
	fill(fine, rest-best*coarseStep, math.Inf(1))
	for i := range best {
		coarse[i].n += coarseStep
	}
	return !slices.ContainsFunc(fine, func(p part) bool { return p.spoilt() })
}

// sortUp puts coarse parts in the order in which they are rounded up.
func sortUp(coarse []part) {
	slices.SortFunc(coarse, func(a, b part) int { return cmp.Or(cmp.Compare(a.up(), b.up()), a.index-b.index) })
}

// up is what it costs to round a coarse part up from where it is.
func (p *part) up() float64 { return p.cost(p.n+p.step) - p.cost(p.n) }

// fill rounds fine parts so that they add up to a sum, and returns the cost:
// infinite where they cannot, or where it gets to the limit.
func fill(fine []part, sum int, limit float64) float64 {
	var cost float64
	for i := range fine {
		p := &fine[i]
		p.n = max(int(math.Round(p.x)), p.least)
		cost += p.cost(p.n)
		sum -= p.n
	}
	for sum != 0 && cost < limit {
		by := 1
		if sum < 0 {
			by = -1
		}
		best, least := -1, math.Inf(1)
		for i := range fine {
			p := &fine[i]
			if p.n+by < p.least || p.n+by > p.most {
				continue
			}
			if c := p.cost(p.n+by) - p.cost(p.n); c < least {
				best, least = i, c
			}
		}
		if best < 0 {
			return math.Inf(1)
		}
		fine[best].n += by
		cost += least
		sum -= by
	}
	if sum != 0 {
		return math.Inf(1)
	}
	return cost
}

// loosen rounds every part to a step of its own next to it, so many coarse
// ones up that the sum stays nearest, and returns what they add up to.
func loosen(fine, coarse []part, sum float64) (whole int) {
	for i := range fine {
		p := &fine[i]
		p.n = max(int(math.Round(p.x)), p.least)
		whole += p.n
	}
	for i := range coarse {
		p := &coarse[i]
		p.n = int(math.Floor(p.x/coarseStep)) * coarseStep
		whole += p.n
	}
	sortUp(coarse)
	for i := range coarse {
		if sum-float64(whole) < coarseStep/2.0 {
			break
		}
		coarse[i].n += coarseStep
		whole += coarseStep
	}
	return whole
}

// splitMeals divides a day's amounts, in units, into meals: one row of meals
// for each. A row's meals add up to its day and are as even as the scale shows
// them (48 + 47, 55 + 50). What is over goes to the meals that weigh least so
// far, coarse steps first, to keep the meals' totals even too.
func splitMeals(days []int, meals int, u planner.Units) [][]int {
	flat := make([]int, (len(days)+1)*meals)
	totals := flat[len(days)*meals:]
	rows := make([][]int, len(days))
	for _, coarse := range [...]bool{true, false} {
		for i, day := range days {
			s := ScaleStep(float64(day)/float64(meals), u)
			if day%s != 0 {
				s = 1 // no row that was rounded is
			}
			if (s == coarseStep) == coarse {
				rows[i] = flat[i*meals : (i+1)*meals : (i+1)*meals]
				splitRow(rows[i], totals, day/s, s)
			}
		}
	}
	return rows
}

// splitRow fills the meals of a row with so many steps, and adds them to the
// totals.
func splitRow(row, totals []int, steps, step int) {
	for m := range row {
		row[m] = steps / len(row) * step
	}
	for range steps % len(row) {
		row[lightest(row, totals)] += step
	}
	for m, n := range row {
		totals[m] += n
	}
}

// lightest returns the meal that has least of this row and, of those alike,
// least in all.
func lightest(row, totals []int) int {
	best := 0
	for m := range row {
		if row[m] < row[best] || row[m] == row[best] && totals[m] < totals[best] {
			best = m
		}
	}
	return best
}

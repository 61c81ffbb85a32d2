package planner

import (
	"math"
	"slices"

	"bowlwright/nutrition"
)

// A kitchen scale shows 1 g below 50 g and 5 g from there, or 0.1 oz
// everywhere. Amounts are rounded in whole units: grams, or tenths of an
// ounce.
const (
	coarseFrom = 50 // units from which the coarse step holds, in grams
	coarseStep = 5
)

// unit is the weight of one unit.
func unit(u Units) nutrition.Grams {
	if u.Ounces {
		return nutrition.GramsPerOunce / 10
	}
	return 1
}

// step is how many units a scale jumps at an amount.
func step(units float64, u Units) int {
	if u.Ounces || units < coarseFrom-0.5 {
		return 1
	}
	return coarseStep
}

// RoundParts returns parts rounded to what a kitchen scale shows, whose sum
// is the whole rounded likewise. No part moves by a whole step of its own
// unless the sum asks for it; of all ways to do so it takes the one that moves
// the parts least, relative to their steps. Parts are zero or more.
func RoundParts(parts []nutrition.Grams, u Units) (rounded []nutrition.Grams, whole nutrition.Grams) {
	var sum float64
	one := float64(unit(u))
	for _, p := range parts {
		sum += float64(p) / one
	}
	target := roundTo(sum, step(sum, u))
	buf := make([]int, len(parts))
	target = apportion(buf, parts, one, target, u)
	rounded = make([]nutrition.Grams, len(parts))
	for i, n := range buf {
		rounded[i] = nutrition.Grams(float64(n) * one)
	}
	return rounded, nutrition.Grams(float64(target) * one)
}

func roundTo(x float64, step int) int { return int(math.Round(x/float64(step))) * step }

// part is one amount on its way to be rounded.
type part struct {
	index int
	floor int     // units, a multiple of step
	step  int     // units
	over  float64 // what is above floor, as a fraction of the step: 0 to 1
}

// apportion writes into out the parts in whole units so that they add up to
// the target, and returns what they add up to: the target, or the nearest sum
// above it where all parts have the coarse step and the target has not.
//
// Every part starts at its floor. Of the missing units so many coarse steps
// are given to the coarse parts with the largest remainders, and the rest in
// single units to the fine parts with theirs; every number of coarse steps is
// tried, and the cheapest taken. Cost is the sum of squared moves in steps.
func apportion(out []int, parts []nutrition.Grams, one float64, target int, u Units) int {
	var array [24]part
	fine, coarse := array[:0:12], array[12:12]
	missing := target
	for i, p := range parts {
		x := float64(p) / one
		s := step(x, u)
		floor := int(math.Floor(x/float64(s)+1e-9)) * s
		q := part{i, floor, s, max(x-float64(floor), 0) / float64(s)}
		missing -= floor
		out[i] = floor
		if s == 1 {
			fine = append(fine, q)
		} else {
			coarse = append(coarse, q)
		}
	}
	byOver := func(a, b part) int {
		switch {
		case a.over > b.over:
			return -1
		case a.over < b.over:
			return 1
		}
		return a.index - b.index
	}
	slices.SortFunc(fine, byOver)
	slices.SortFunc(coarse, byOver)
	best, bestCost := 0, math.Inf(1)
	for k := -len(coarse); k <= 2*len(coarse); k++ {
		rest := missing - k*coarseStep
		if len(fine) == 0 && rest != 0 {
			continue
		}
		if cost := costOf(coarse, k) + costOf(fine, rest); cost < bestCost {
			best, bestCost = k, cost
		}
	}
	if math.IsInf(bestCost, 1) { // only coarse parts: the sum is coarse too
		best = int(math.Round(float64(missing) / coarseStep))
		target += best*coarseStep - missing
	}
	give(out, coarse, best)
	if len(fine) > 0 {
		give(out, fine, missing-best*coarseStep)
	}
	return target
}

// share is how many steps the i-th of n parts gets of k given out in order
// of the remainders, the largest first; the smallest first where k is below
// zero. Over all i it adds up to k.
func share(i, n, k int) int {
	each := k / n
	rest := k - each*n
	switch {
	case rest > 0 && i < rest:
		return each + 1
	case rest < 0 && i >= n+rest:
		return each - 1
	}
	return each
}

// costOf is the cost of giving k steps to parts in order of remainders.
func costOf(parts []part, k int) float64 {
	if len(parts) == 0 {
		return 0
	}
	var cost float64
	for i := range parts {
		n := share(i, len(parts), k)
		if parts[i].floor+n*parts[i].step < 0 {
			return math.Inf(1)
		}
		move := float64(n) - parts[i].over
		cost += move * move
	}
	return cost
}

func give(out []int, parts []part, k int) {
	for i := range parts {
		out[parts[i].index] += share(i, len(parts), k) * parts[i].step
	}
}

// splitMeals divides a day's amounts (units) into meals, so that each row's
// meals add up to its day; a meal is on the scale's step where the day allows
// it, and what is over goes to the meals that have least so far, so that the
// meals come out even. It returns rows of meals.
func splitMeals(days []int, meals int, u Units) [][]int {
	flat := make([]int, len(days)*meals)
	rows := make([][]int, len(days))
	totals := make([]int, meals)
	for i, day := range days {
		row := flat[i*meals : (i+1)*meals]
		rows[i] = row
		s := step(float64(day)/float64(meals), u)
		if day%s != 0 {
			s = 1
		}
		each := day / s / meals
		for m := range row {
			row[m] = each * s
		}
		for left := day - each*meals*s; left > 0; left -= s {
			row[lightest(row, totals)] += s
		}
		for m, n := range row {
			totals[m] += n
		}
	}
	return rows
}

// lightest is the meal that has least: of those with least of this row, the
// one with the smallest total.
func lightest(row, totals []int) int {
	best := 0
	for m := range row {
		if row[m] < row[best] || row[m] == row[best] && totals[m] < totals[best] {
			best = m
		}
	}
	return best
}

package portions

import "bowlwright/planner"

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

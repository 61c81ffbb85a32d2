package planner

import (
	"slices"
	"strings"
	"time"
)

// splitMeals divides a day's amounts, in units, into meals: one row of meals
// for each. A row's meals add up to its day and are as even as the scale shows
// them (48 + 47, 55 + 50). What is over goes to the meals that weigh least so
// far, coarse steps first, to keep the meals' totals even too.
func splitMeals(days []int, meals int, u Units) [][]int {
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

// morningMeals begins the id of a reminder of one dog's meals that the
// morning's message stands for; the dog's id follows.
const morningMeals = "meals-"

// MealReminder returns the reminder of a dog's meals, nil where there is none:
// its own or, where one message in the morning tells of every dog's day, one
// that is never said by itself but lets its meals be answered and put off.
func (h *Household) MealReminder(dog string) *Reminder {
	for i := range h.Reminders {
		if r := &h.Reminders[i]; r.Kind == BowlReminder && r.Dog == dog && !r.Off {
			return r
		}
	}
	return h.MorningMeals(morningMeals + dog)
}

// MorningMeals returns the reminder of that id, nil where it stands for no
// dog's meals.
func (h *Household) MorningMeals(id string) *Reminder {
	dog, ok := strings.CutPrefix(id, morningMeals)
	d := h.Dog(dog)
	morning := slices.IndexFunc(h.Reminders, func(r Reminder) bool { return r.Kind == MorningReminder && !r.Off })
	if !ok || d == nil || morning < 0 {
		return nil
	}
	since := h.Reminders[morning].Since
	return &Reminder{ID: id, Kind: BowlReminder, Dog: dog, Since: since,
		Schedule: FromCadence(Cadence{}, DateOf(since.In(h.Location())), d.MealTimes())}
}

// AgendaWithMeals is the agenda with the meals that the morning's message has
// told of.
func AgendaWithMeals(h *Household, from, to time.Time) []Occurrence {
	with := *h
	with.Reminders = slices.Clip(h.Reminders)
	for _, d := range h.Dogs {
		if r := h.MealReminder(d.ID); r != nil && strings.HasPrefix(r.ID, morningMeals) {
			with.Reminders = append(with.Reminders, *r)
		}
	}
	return Agenda(&with, from, to)
}

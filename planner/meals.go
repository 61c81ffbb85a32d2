package planner

import (
	"slices"
	"strings"
	"time"
)

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

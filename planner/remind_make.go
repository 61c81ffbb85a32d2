package planner

import (
	"math"
	"slices"
	"strings"
	"time"
)

// MealTimes returns when a dog is fed: the times that were set, else times
// for its number of meals (common practice, no source).
func (d Dog) MealTimes() []Clock {
	if len(d.FeedAt) > 0 {
		return slices.Clone(d.FeedAt)
	}
	n := d.Meals
	if n <= 0 {
		n = UsualMeals
	}
	return DefaultMealTimes(n)
}

// MealsByAge returns how many meals a day a dog gets by its age: four up to four
// months, three up to six, then two (common veterinary practice, from memory).
func MealsByAge(d Dog, now time.Time) int {
	if d.Born.IsZero() {
		return UsualMeals
	}
	today := DateOf(now)
	for _, young := range [...]struct{ months, meals int }{{4, 4}, {6, 3}} {
		if today.Before(DateOf(d.Born.UTC().AddDate(0, young.months, 0))) {
			return young.meals
		}
	}
	return UsualMeals
}

// DefaultMealTimes returns times for so many meals a day, rising, the first
// at 07:30 (common practice, no source): two at 07:30 and 18:00, more spread
// evenly to 20:00 on the half hour. n outside 1-6 counts as the nearer.
func DefaultMealTimes(n int) []Clock {
	n = min(max(n, 1), 6)
	first, last := defaultMeal, At(18, 0)
	if n > 2 {
		last = At(20, 0)
	}
	times := make([]Clock, n)
	for i := range times {
		times[i] = first
		if n > 1 {
			times[i] += (last - first) * Clock(i) / Clock(n-1) / 30 * 30
		}
	}
	return times
}

// whole returns the dose in pieces that can be given, at least one: whole
// capsules and the like, tablets to the half. What is measured in spoons or
// weighed stays as it is.
func (d Dose) whole() Dose {
	step := 0.0
	switch d.Form {
	case "capsule", "drop", "pump", "sachet", "piece", "scoop":
		step = 1
	case "tablet":
		step = 0.5
	}
	if step == 0 || d.Count <= 0 {
		return d
	}
	return d.Times(max(math.Round(d.Count/step), 1) * step / d.Count)
}

// FromDose returns the reminder of a recipe's supplement for a dog, with its
// first meal, from a day on. A dose for each 1000 kcal stays one: Dose.For
// tells the dog's at the time that it is given.
func FromDose(dose Dose, dog string, first Date, now time.Time) Reminder {
	return Reminder{
		Kind: SupplementReminder, Dog: dog, Dose: &dose, WithMeal: true, Since: now,
		Schedule: FromCadence(dose.Cadence, first, []Clock{defaultMeal}),
	}
}

// CheckIn returns the weekly weigh-in that a household has until it chooses
// another: Sundays at 09:00 (common practice, no source).
func CheckIn(first Date, now time.Time) Reminder {
	return Reminder{Kind: WeighReminder, Since: now,
		Schedule: Schedule{Weekdays: []time.Weekday{time.Sunday}, Anchor: first, Times: []Clock{At(9, 0)}}}
}

// ConditionCheck returns the monthly scoring of body condition that goes with
// it: on the first of the month at 09:00 (common practice, no source).
func ConditionCheck(first Date, now time.Time) Reminder {
	return Reminder{Kind: ConditionReminder, Since: now,
		Schedule: Schedule{MonthDay: 1, Anchor: first, Times: []Clock{At(9, 0)}}}
}

// morningMeals begins the id of a reminder of one dog's meals that the
// morning's message stands for; the dog's id follows.
const morningMeals = "meals-"

// MealReminder returns the reminder of a dog's meals, nil where there is none:
// its own or, where one message in the morning tells of every dog's day, one
// that is never said by itself but lets its meals be answered and put off.
func (h *Household) MealReminder(dog string) *Reminder {
	if r := FirstOf(h.Reminders, func(r *Reminder) bool { return r.Kind == BowlReminder && r.Dog == dog && !r.Off }); r != nil {
		return r
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

package planner

import (
	"time"

	"bowlwright/nutrition"
)

// NextOf returns the first moment after an instant at which a reminder falls
// due by its schedule; false where it never does again. Pauses, quiet hours
// and snoozes are left out of account.
func NextOf(h *Household, r *Reminder, after time.Time) (Moment, bool) {
	s, ok := h.ScheduleOf(r)
	if !ok {
		return Moment{}, false
	}
	return s.In(h.Location()).NextMoment(after)
}

// ShiftTo moves a series by every n days so that it falls on a day and goes
// on from there. Other schedules have days of their own and stay.
func (r *Reminder) ShiftTo(day Date) {
	if r.Schedule.EveryDays > 0 {
		r.Schedule.Anchor = day
	}
}

// For returns the dose for a dog that eats so much a day: multiplied out
// where it is given for each 1000 kcal, to whole pieces.
func (d Dose) For(k nutrition.Kcal) Dose {
	if !d.Per1000 {
		return d
	}
	return d.times(float64(k) / 1000).whole()
}

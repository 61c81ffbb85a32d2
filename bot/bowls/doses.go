package bowls

import (
	"slices"
	"time"

	"bowlwright/bot/balance"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// DueDoses lists the doses of a dog that are due on a day and not answered.
func DueDoses(t *talk.Turn, d *planner.Dog, day planner.Date) (lines []string) {
	for _, o := range dosesOn(t, d, day) {
		r := t.Reminder(o.Reminder)
		lines = append(lines, msg("due.today-dose", "dose", t.DoseAmount(talk.DoseOf(t, r)), "when", o.Clock.String()))
	}
	return lines
}

// dosesOn are the doses of a dog that are due on a day and not answered.
func dosesOn(t *talk.Turn, d *planner.Dog, day planner.Date) (due []planner.Occurrence) {
	if !slices.ContainsFunc(t.Home.Reminders, func(r planner.Reminder) bool { return r.Kind == planner.SupplementReminder && !r.Off }) {
		return nil
	}
	zone := t.Event.At.Location()
	from, to := planner.Instant(day, 0, zone).Add(-time.Nanosecond), planner.Instant(day.AddDays(1), 0, zone).Add(-time.Nanosecond)
	for _, o := range planner.Agenda(t.Home, from, to) {
		r := t.Reminder(o.Reminder)
		if r != nil && r.Kind == planner.SupplementReminder && r.Dose != nil && (r.Dog == d.ID || r.Dog == "") && len(talk.Answered(t, o)) == 0 {
			due = append(due, o)
		}
	}
	return due
}

// hasReminder reports that a supplement has a reminder.
func hasReminder(t *talk.Turn, dog, food string) bool {
	return balance.SupplementOf(t, dog, food, "") != nil
}

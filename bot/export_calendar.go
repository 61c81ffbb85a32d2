package bot

import (
	"bytes"
	"fmt"
	"slices"

	"bowlwright/bot/ical"
	"bowlwright/planner"
)

const (
	calendarName  = "bowlwright.ics"
	calendarWeeks = 4 // that a calendar file covers; our own choice
)

// calendarEvents is what falls due in the coming weeks, in order. An event is
// at the time of its schedule, quiet hours or not, since a calendar is looked
// at and wakes nobody; what was put off is at the time to which it was put.
func (t *turn) calendarEvents() []ical.Event {
	until := t.event.At.AddDate(0, 0, 7*calendarWeeks)
	due := planner.Agenda(t.home, t.event.At, until)
	events := make([]ical.Event, 0, len(due))
	for _, o := range due {
		at := o.At
		if o.Snoozed > 0 {
			at = o.Send
		}
		events = append(events, ical.Event{UID: o.ID, Start: at, Summary: t.calendarText(o)})
	}
	slices.SortStableFunc(events, func(a, b ical.Event) int { return a.Start.Compare(b.Start) })
	return events
}

// calendarFile sets events as a file.
func (t *turn) calendarFile(events []ical.Event) ([]byte, error) {
	var b bytes.Buffer
	c := ical.Calendar{Name: msg("export.calendar-name"), Stamp: t.event.At, Events: events}
	if err := ical.Write(&b, c); err != nil {
		return nil, fmt.Errorf("bot: calendar: %w", err)
	}
	return b.Bytes(), nil
}

// calendarText is what an occurrence is called in a calendar: a bowl by the
// recipe of its day, a note as it was typed, all else by what it is about.
// Amounts are not in it: they may be others by then.
func (t *turn) calendarText(o planner.Occurrence) string {
	r := t.reminder(o.Reminder)
	if r == nil {
		return t.plainly(o)
	}
	d := t.dog(r.Dog)
	switch {
	case r.Kind == planner.NoteReminder && d != nil:
		return msg("tick.for", "dog", d.Name, "what", r.Text)
	case r.Kind == planner.NoteReminder:
		return r.Text
	case r.Kind == planner.BowlReminder && d != nil:
		if name := t.mealTitle(d, o.Date); name != "" {
			return msg("tick.for", "dog", d.Name, "what", name)
		}
	}
	return capital(t.reminderTitle(r))
}

// mealTitle is the recipe that a dog eats on a day, empty where that is not
// known or where another food is still mixed in.
func (t *turn) mealTitle(d *planner.Dog, day planner.Date) string {
	if tr, _ := t.switching(d, day); tr != nil {
		return ""
	}
	id, _ := planner.RecipeOn(t.home, d.ID, day)
	if r := t.recipe(id); r != nil {
		return r.Name
	}
	return ""
}

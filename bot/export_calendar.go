package bot

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

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
// recipe of its day, a supplement by its dose.
func (t *turn) calendarText(o planner.Occurrence) string {
	i := slices.IndexFunc(t.home.Reminders, func(r planner.Reminder) bool { return r.ID == o.Reminder })
	if i < 0 {
		return t.plainly(o)
	}
	r := &t.home.Reminders[i]
	what := ""
	switch {
	case r.Kind == planner.BowlReminder:
		if id, ok := planner.RecipeOn(t.home, r.Dog, o.Date); ok && t.recipe(id) != nil {
			what = t.recipe(id).Name
		}
	case r.Kind == planner.SupplementReminder && r.Dose != nil:
		what = strings.TrimSuffix(t.doseText(*r.Dose), ", "+cadenceText(r.Dose.Cadence))
	}
	d := t.dog(r.Dog)
	switch {
	case what == "":
		return t.plainly(o)
	case d == nil:
		return what
	}
	return msg("tick.for", "dog", d.Name, "what", what)
}

package export

import (
	"bytes"
	"fmt"
	"slices"

	"bowlwright/bot/ical"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

const (
	calendarName  = "bowlwright.ics"
	calendarWeeks = 4 // that a calendar file covers; our own choice
)

// calendarEvents is what falls due in the coming weeks, in order. An event has
// the time of its schedule, quiet hours or not, since a calendar wakes nobody;
// what was put off has its new time.
func calendarEvents(t *talk.Turn) []ical.Event {
	until := t.Event.At.AddDate(0, 0, 7*calendarWeeks)
	due := planner.Agenda(t.Home, t.Event.At, until)
	events := make([]ical.Event, 0, len(due))
	for _, o := range due {
		at := o.At
		if o.Snoozed > 0 {
			at = o.Send
		}
		events = append(events, ical.Event{UID: o.ID, Start: at, Summary: calendarText(t, o)})
	}
	slices.SortStableFunc(events, func(a, b ical.Event) int { return a.Start.Compare(b.Start) })
	return events
}

// calendarFile sets events as a file.
func calendarFile(t *talk.Turn, events []ical.Event) ([]byte, error) {
	var b bytes.Buffer
	c := ical.Calendar{Name: msg("export.calendar-name"), Stamp: t.Event.At, Events: events}
	if err := ical.Write(&b, c); err != nil {
		return nil, fmt.Errorf("bot: calendar: %w", err)
	}
	return b.Bytes(), nil
}

// calendarText is what an occurrence is called in a calendar: a bowl by the
// recipe of its day, a note as it was typed, all else by what it is about. It
// has no amounts: they may have changed by then.
func calendarText(t *talk.Turn, o planner.Occurrence) string {
	r := t.Reminder(o.Reminder)
	if r == nil {
		return talk.Plainly(t, o)
	}
	d := t.Dog(r.Dog)
	switch {
	case r.Kind == planner.NoteReminder && d != nil:
		return msg("tick.for", "dog", d.Name, "what", r.Text)
	case r.Kind == planner.NoteReminder:
		return r.Text
	case r.Kind == planner.BowlReminder && d != nil:
		if name := mealTitle(t, d, o); name != "" {
			return msg("tick.for", "dog", d.Name, "what", name)
		}
	}
	return say.Capital(talk.ReminderTitle(t, r))
}

// mealTitle is what a dog eats at a meal, empty where that is not known or where
// another food is still mixed in.
func mealTitle(t *talk.Turn, d *planner.Dog, o planner.Occurrence) string {
	if tr, _ := talk.Switching(t, d, o.Date); tr != nil {
		return ""
	}
	meal := slices.Index(d.MealTimes(), o.Clock)
	return talk.FareNames(slices.DeleteFunc(planner.FareOn(t.Home, d.ID, o.Date), func(f planner.Fare) bool { return f.ShareAt(meal) == 0 }))
}

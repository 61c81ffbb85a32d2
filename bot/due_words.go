package bot

import (
	"errors"
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/planner"
	"bowlwright/store"
)

// aboutWhen takes "vet on Friday 10:00" for something to be reminded of: few
// words with a day and a time to come. It is asked last, when nothing else was
// understood.
func (t *turn) aboutWhen(s string) bool {
	if len(s) > 120 || strings.ContainsAny(s, "?\n") {
		return false
	}
	w, err := read.WhenText(s, t.event.At)
	if err != nil && (read.HasClock(s) || t.dayWithUnclear(s, err)) {
		t.sayWhenTrouble(err, s)
		return true
	}
	if err != nil || strings.TrimSpace(w.Rest) == "" || !hasLetters(w.Rest) {
		return false
	}
	if w.At.IsZero() && (w.On.IsZero() || len(w.Times) == 0) {
		return false
	}
	intents[read.Remind](t, read.Sentence{Intent: read.Remind, Words: s})
	return true
}

// dayWithUnclear reports that a text names a day and a time of which only the
// half of the day is not clear.
func (t *turn) dayWithUnclear(s string, err error) bool {
	var p read.Problem
	if !isUnclear(err) || !errors.As(err, &p) {
		return false
	}
	w, err := read.WhenText(read.WithClock(s, p.Part, noon), t.event.At)
	return err == nil && !w.On.IsZero() && hasLetters(w.Rest)
}

// givenWords takes "vitamin E given", "gave Juniper her fish oil", for the
// dose that is due, and reports whether a text was of that kind.
func (t *turn) givenWords(s string) bool {
	if !read.SaysGiven(s) {
		return false
	}
	_, _, named := read.DogsNamed(s, t.names())
	fits := t.dosesNamed(s, named)
	if len(fits) == 0 {
		fits = t.dosesNamed(read.GivenThing(s, t.names()), named)
	}
	if len(fits) == 0 {
		return false
	}
	if len(fits) > 1 {
		out := t.sayMsg("due.which-given")
		for _, r := range fits {
			out.offer(t.dueButton(t.aboutReminder(r), "given", t.doseNow(r)))
		}
		return true
	}
	t.pressGiven(fits[0], t.doseNow(fits[0]), nil)
	return true
}

// doseWindow is how far from its time a dose may be that a carer says was
// given.
const doseWindow = 36 * time.Hour

// doseNow is the dose that a carer means: the last that was due and is not
// answered, else the one to come today; where neither is near, the last that
// was given today, or one of this moment outside of the series.
func (t *turn) doseNow(r *planner.Reminder) planner.Occurrence {
	var open, next *planner.Occurrence
	for _, o := range planner.Agenda(t.home, t.event.At.Add(-doseWindow), t.event.At.Add(doseWindow)) {
		switch {
		case o.Reminder != r.ID || len(t.answered(o)) > 0:
		case !o.At.After(t.event.At):
			open = &o
		case next == nil && o.Date == t.todayOf(r):
			next = &o
		}
	}
	if open != nil {
		return *open
	}
	if next != nil {
		return *next
	}
	if o, _, ok := t.home.Occurrence(t.lastGiven(r)); ok && t.givenToday(r) {
		return o
	}
	now := t.event.At.In(t.locationOf(r))
	m := planner.Moment{Date: planner.DateOf(now), Clock: planner.ClockOf(now), At: t.event.At.UTC()}
	return planner.Occurrence{ID: planner.OccurrenceID(t.home.ID, r.ID, m), Reminder: r.ID, Moment: m}
}

// givenToday reports that a dose was given today.
func (t *turn) givenToday(r *planner.Reminder) bool {
	last := t.lastGiven(r)
	for _, e := range t.entries(store.EntryQuery{Dog: r.Dog, Kinds: []planner.EntryKind{planner.Given}, From: t.event.At.Add(-doseWindow)}) {
		if e.Of == last && e.Date == t.todayOf(r) {
			return true
		}
	}
	return false
}

// lastGiven is the occurrence that was last answered with a dose.
func (t *turn) lastGiven(r *planner.Reminder) string {
	all := t.entries(store.EntryQuery{Dog: r.Dog, Kinds: []planner.EntryKind{planner.Given}, From: t.event.At.Add(-doseWindow), Newest: true})
	for _, e := range all {
		if _, id, _, err := planner.ParseOccurrence(e.Of); err == nil && id == r.ID {
			return e.Of
		}
	}
	return ""
}

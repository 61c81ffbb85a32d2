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
// words with a day and a time to come, or a series of days. It is asked last,
// when nothing else was understood.
func (t *turn) aboutWhen(s string) bool {
	if len(s) > 120 || strings.ContainsAny(s, "?\n") || read.BeginsQuestion(s) {
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
	series := w.Monthly || w.Repeats && (len(w.Times) > 0 || len(w.Cadence.Weekdays) > 0 || w.Cadence.EveryDays >= 7)
	if w.At.IsZero() && (w.On.IsZero() || len(w.Times) == 0) && !series {
		return false
	}
	t.goTo(read.Sentence{Intent: read.Remind, Words: s})
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
	t.giveSaid(fits[0], s)
	return true
}

// giveSaid notes a dose that a carer says was given, now or when the text says.
// On a day before today it is that day's dose, or else the last before it that
// nobody has answered.
func (t *turn) giveSaid(r *planner.Reminder, s string) {
	now := t.event.At.In(t.locationOf(r))
	clock := noon
	if times := r.Schedule.Times; len(times) > 0 {
		clock = times[len(times)-1]
	}
	at, day, ok := read.GivenWhen(s, now, clock)
	if !ok {
		t.sayMsg("given.ahead", "when", t.clock(at))
		return
	}
	if day == planner.DateOf(now) {
		t.give(r, t.doseNow(r), at, day)
		return
	}
	o := doseAt(t.home, r, at)
	from := planner.Instant(day, 0, now.Location())
	for _, due := range planner.Agenda(t.home, from.Add(-doseWindow), from.AddDate(0, 0, 1)) {
		if due.Reminder == r.ID && !day.Before(due.Date) && (due.Date == day || len(t.answered(due)) == 0) {
			o = due
		}
	}
	t.give(r, o, at, day)
}

// doseAt is a dose outside of its series. The instant is in the zone in which
// the reminder's days are counted.
func doseAt(h *planner.Household, r *planner.Reminder, at time.Time) planner.Occurrence {
	m := planner.Moment{Date: planner.DateOf(at), Clock: planner.ClockOf(at), At: at.UTC()}
	return planner.Occurrence{ID: planner.OccurrenceID(h.ID, r.ID, m), Reminder: r.ID, Moment: m}
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
	return doseAt(t.home, r, t.event.At.In(t.locationOf(r)))
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

package planner

import (
	"cmp"
	"errors"
	"regexp"
	"slices"
	"strings"
	"time"
)

// defaultMeal is when a dog is fed if nobody said (common practice, no source).
var defaultMeal = At(7, 30)

// farthestBack is how much of a span the occurrences of a series are listed
// for: a clock that is set years ahead must not list them all. Nothing older
// is ever said, and one-off reminders have no such limit.
const farthestBack = 400 * 24 * time.Hour

// Agenda returns all that is to be said to a household after from and by to,
// in order of Send, then of ID. Quiet hours, pauses and snoozes are applied;
// reminders that are off, not yet in force or of a dog that is gone are left
// out. Of a span of more than 400 days it has all one-off reminders, and series
// for the last 400 days.
func Agenda(h *Household, from, to time.Time) []Occurrence {
	if !from.Before(to) {
		return nil
	}
	d := newDiary(h)
	var due []Occurrence
	for i := range h.Reminders {
		l, ok := d.line(&h.Reminders[i])
		if !ok {
			continue
		}
		start := from
		if limit := to.Add(-farthestBack); !l.Once && start.Before(limit) {
			start = limit
		}
		for m, ok := l.from(d.dueBefore(start)); ok; m, ok = l.from(m.At) {
			send := d.Quiet.Send(m.At, d.loc)
			if send.After(to) {
				break
			}
			due = append(due, Occurrence{ID: OccurrenceID(h.ID, l.of.ID, m), Reminder: l.of.ID, Moment: m, Send: send})
		}
	}
	for _, o := range d.snoozed() {
		if o.Send.After(from) && !o.Send.After(to) {
			due = append(due, o)
		}
	}
	slices.SortFunc(due, func(a, b Occurrence) int {
		return cmp.Or(a.Send.Compare(b.Send), strings.Compare(a.ID, b.ID))
	})
	return due
}

// NextDue returns the first instant after another at which something is to be
// said to a household, in UTC, and whether there is one. To get what the clock
// has passed and nobody has said, ask with the instant up to which all was
// said.
func NextDue(h *Household, after time.Time) (time.Time, bool) {
	if len(h.Reminders) == 0 {
		return time.Time{}, false
	}
	d := newDiary(h)
	var first time.Time
	take := func(at time.Time) {
		if first.IsZero() || at.Before(first) {
			first = at
		}
	}
	from := d.dueBefore(after)
	for i := range h.Reminders {
		if l, ok := d.line(&h.Reminders[i]); ok {
			if m, ok := l.from(from); ok {
				take(m.At)
			}
		}
	}
	if !first.IsZero() {
		first = d.Quiet.Send(first, d.loc) // the first to fall due is the first to be said
	}
	for _, o := range d.snoozed() {
		if o.Send.After(after) {
			take(o.Send)
		}
	}
	return first, !first.IsZero()
}

// diary is a household as its agenda is made.
type diary struct {
	*Household
	loc *time.Location
}

func newDiary(h *Household) diary { return diary{h, h.Location()} }

// dueBefore returns the instant after which something must fall due to be said
// after another: what falls due in a quiet time is said at its end.
func (d diary) dueBefore(said time.Time) time.Time {
	if start, _, quiet := d.Quiet.span(said, d.loc); quiet {
		return start.Add(-time.Nanosecond)
	}
	return said
}

// line is a reminder in its diary.
type line struct {
	Timetable
	diary diary
	of    *Reminder
}

// line returns a reminder's line, and whether it has one.
func (d diary) line(r *Reminder) (line, bool) {
	s, ok := d.ScheduleOf(r)
	return line{s.In(d.loc), d, r}, ok && !r.Off
}

// ScheduleOf returns the schedule of a reminder with the times that it takes
// from its dog: a bowl takes all feeding times, what comes with the meal the
// first of them, 07:30 where none is known. It reports false where the dog is
// gone.
func (h *Household) ScheduleOf(r *Reminder) (Schedule, bool) {
	s := r.Schedule
	if r.Dog == "" {
		return s.withMeal(r, nil), true
	}
	d := h.Dog(r.Dog)
	if d == nil {
		return s, false
	}
	return s.withMeal(r, d.FeedAt), true
}

// withMeal replaces a schedule's own times by the dog's meals if its reminder
// follows those.
func (s Schedule) withMeal(r *Reminder, meals []Clock) Schedule {
	switch {
	case r.WithMeal && len(meals) > 0:
		s.Times = meals[:1]
	case r.WithMeal:
		s.Times = []Clock{defaultMeal}
	case r.Kind == BowlReminder && len(meals) > 0:
		s.Times = meals
	}
	return s
}

// from returns the first moment of a line that falls due after an instant and
// is neither in a pause nor put off.
func (l line) from(after time.Time) (Moment, bool) {
	if after.Before(l.of.Since) {
		after = l.of.Since
	}
	for {
		m, ok := l.NextMoment(after)
		if !ok {
			return Moment{}, false
		}
		after = m.At
		if until, paused := l.diary.paused(l.of, m.Date); paused {
			if over := Instant(until, 0, l.loc).Add(-time.Nanosecond); after.Before(over) {
				after = over
			}
			continue
		}
		if len(l.diary.Snoozes) > 0 {
			if _, put := l.diary.snooze(OccurrenceID(l.diary.ID, l.of.ID, m)); put {
				continue
			}
		}
		return m, true
	}
}

// paused reports that nothing is said of a reminder on a day, and the day on
// which it may go on. What is said on the evening before counts for the day
// after.
func (d diary) paused(r *Reminder, day Date) (until Date, ok bool) {
	about := day
	if r.Kind == FreezerReminder {
		about = day.AddDays(1)
	}
	at := slices.IndexFunc(d.Pauses, func(p Pause) bool { return p.Covers(r, about) })
	if at < 0 {
		return Date{}, false
	}
	return day.AddDays(about.DaysTo(d.Pauses[at].Until)), true
}

// WithDoses is the household without the silence of its pauses over what a dog is
// given: a tablet is due whether or not anybody is told.
func (h *Household) WithDoses() *Household {
	due := *h
	due.Pauses = slices.Clone(h.Pauses)
	for i, p := range due.Pauses {
		due.Pauses[i].Keeps = p.Reminder == ""
	}
	return &due
}

// PausedOn returns the pause in which all of a dog's reminders, or with no dog
// all of the household's, rest on a day.
func (h *Household) PausedOn(dog string, day Date) (Pause, bool) {
	for _, p := range h.Pauses {
		if (p.Dog == "" || p.Dog == dog) && p.Reminder == "" && !day.Before(p.From) && day.Before(p.Until) {
			return p, true
		}
	}
	return Pause{}, false
}

// snooze returns the last snooze of an occurrence.
func (d diary) snooze(id string) (Snooze, bool) {
	for _, s := range slices.Backward(d.Snoozes) {
		if s.Of == id {
			return s, true
		}
	}
	return Snooze{}, false
}

// snoozed returns the occurrences that were put off, each at its new time,
// whether or not the schedule still has them. They count for the day on which
// they are now said.
func (d diary) snoozed() []Occurrence {
	var put []Occurrence
	for i, s := range d.Snoozes {
		if last, _ := d.snooze(s.Of); last != d.Snoozes[i] {
			continue
		}
		o, r, ok := d.Occurrence(s.Of)
		if !ok || r.Off {
			continue
		}
		schedule, ok := d.ScheduleOf(r)
		if !ok {
			continue
		}
		o.Send, o.Snoozed = d.Quiet.Send(s.Until.UTC(), d.loc), s.Times
		on := DateOf(o.Send.In(schedule.In(d.loc).Location()))
		if _, paused := d.paused(r, on); paused {
			continue
		}
		put = append(put, o)
	}
	return put
}

// OccurrenceID returns the id of a moment of a household's reminder.
func OccurrenceID(household, reminder string, m Moment) string {
	return household + "/" + reminder + "/" + m.Date.String() + "T" + m.Clock.String()
}

var occurrenceID = regexp.MustCompile(`^(.+)/([^/]+)/([^/T]*)T([^/]*)$`)

// ParseOccurrence reads an id: the household's id, the reminder's, and the
// day and the time of day; the instants are not in it.
func ParseOccurrence(id string) (household, reminder string, m Moment, err error) {
	parts := occurrenceID.FindStringSubmatch(id)
	if parts == nil {
		return "", "", Moment{}, errors.New("planner: no occurrence")
	}
	household, reminder, date, clock := parts[1], parts[2], parts[3], parts[4]
	if m.Date, err = ParseDate(date); err != nil {
		return "", "", Moment{}, err
	}
	if m.Clock, err = ParseClock(clock); err != nil {
		return "", "", Moment{}, err
	}
	return household, reminder, m, nil
}

// Occurrence returns the occurrence of an id and its reminder, and whether
// the household has them. It does not ask whether the reminder's schedule
// still has that time; Send is the instant at which it fell due.
func (h *Household) Occurrence(id string) (Occurrence, *Reminder, bool) {
	household, reminder, m, err := ParseOccurrence(id)
	if err != nil || household != h.ID {
		return Occurrence{}, nil, false
	}
	r := FirstOf(h.Reminders, func(r *Reminder) bool { return r.ID == reminder })
	if r == nil {
		r = h.MorningMeals(reminder)
	}
	if r == nil {
		return Occurrence{}, nil, false
	}
	m.At = Instant(m.Date, m.Clock, r.Schedule.In(h.Location()).Location())
	return Occurrence{ID: id, Reminder: r.ID, Moment: m, Send: m.At}, r, true
}

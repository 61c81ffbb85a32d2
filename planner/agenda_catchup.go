package planner

import "time"

// What is late (common practice, no source).
const (
	LateAfter  = 15 * time.Minute // something is marked late
	BowlTooOld = 4 * time.Hour    // a bowl is no longer worth saying
)

// CatchUp divides what is due, as Agenda lists it up to now, into what is still
// worth saying and what has passed, both in that order. After downtime there is
// at most one of each reminder to say:
//
//   - of a bowl the last, unless it is more than BowlTooOld late or the dog's
//     next meal has come
//   - of a morning's or an evening's message the last, on its own day only
//   - of a supplement the last, unless its next dose is to be given later on
//     this day, for two on one day would be a double dose
//   - of a check-in or a note the last, however late
//
// What is said more than LateAfter after its time is marked Late; Missed counts
// the earlier ones of its reminder that have passed.
func CatchUp(h *Household, due []Occurrence, now time.Time) (say, passed []Occurrence) {
	d := newDiary(h)
	last := map[string]int{} // by reminder
	missed := map[string]int{}
	for i, o := range due {
		if j, ok := last[o.Reminder]; ok {
			missed[o.Reminder]++
			if o.At.Before(due[j].At) { // what was put off may belong to an earlier time
				continue
			}
		}
		last[o.Reminder] = i
	}
	for i, o := range due {
		if last[o.Reminder] != i || d.over(o, now) {
			passed = append(passed, o)
			continue
		}
		o.Late = now.Sub(o.Send) > LateAfter
		o.Missed = missed[o.Reminder]
		say = append(say, o)
	}
	return say, passed
}

// over reports that an occurrence is not to be said any more.
func (d diary) over(o Occurrence, now time.Time) bool {
	_, r, ok := d.Occurrence(o.ID)
	if !ok {
		return true
	}
	l, ok := d.line(r)
	if !ok {
		return true
	}
	today := DateOf(now.In(l.loc))
	switch r.Kind {
	case BowlReminder:
		next, ok := l.NextMoment(o.At)
		return now.Sub(o.Send) > BowlTooOld || ok && !next.At.After(now)
	case MorningReminder, FreezerReminder, PacksReminder, CookReminder:
		return DateOf(o.Send.In(l.loc)) != today
	case SupplementReminder:
		next, ok := l.from(now)
		return ok && next.Date == today && DateOf(o.Send.In(l.loc)) != today
	}
	return false
}

// span is the quiet time that an instant lies in: from start, before end. It is
// none where ok is false. Its ends are instants, so a quiet time has one
// beginning and one end even on days on which clocks change.
func (q Quiet) span(at time.Time, loc *time.Location) (start, end time.Time, ok bool) {
	if q.From == q.To || !q.From.Valid() || !q.To.Valid() {
		return start, end, false
	}
	day := DateOf(at.In(loc))
	for _, began := range [...]Date{day.AddDays(-1), day} {
		ends := began
		if q.To < q.From {
			ends = began.AddDays(1)
		}
		start, end = Instant(began, q.From, loc), Instant(ends, q.To, loc)
		if !at.Before(start) && at.Before(end) {
			return start, end, true
		}
	}
	return start, end, false
}

// Send returns when something due at an instant is said: then, or at the end of
// the quiet time that it falls in. It keeps the order of any two.
func (q Quiet) Send(at time.Time, loc *time.Location) time.Time {
	if _, end, ok := q.span(at, loc); ok {
		return end
	}
	return at
}

package planner

import (
	"time"
)

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

package planner

// Rule returns what becomes of the series when a dose was missed: what the
// carers chose, else ShiftMissed. A series on days of the week or the month
// cannot be moved and keeps its days whatever was chosen.
func (r *Reminder) Rule() MissedRule {
	if r.Schedule.EveryDays == 0 || r.Missed == KeepMissed {
		return KeepMissed
	}
	return ShiftMissed
}

// GivenOn tells the series that a dose was given on a day, the last on which
// one was, or left out for good: that is not made up for. Under ShiftMissed the next one is then due EveryDays after that day
// and none before, so no two doses are nearer than the cadence; a series that
// begins later keeps its first day. Of a series with several times a day, a
// dose on one of its own days moves nothing, for the rest of that day's doses
// stand. Under KeepMissed nothing moves.
func (r *Reminder) GivenOn(day Date) {
	if next := r.shifted(day); r.Schedule.Anchor.Before(next) {
		r.Schedule.Anchor = next
	}
}

// shifted returns the day from which the series goes on, by its rule, when a
// dose was given on a day.
func (r *Reminder) shifted(day Date) Date {
	s := &r.Schedule
	if r.Rule() == KeepMissed || len(s.Times) > 1 && s.On(day) {
		return s.Anchor
	}
	return day.AddDays(s.EveryDays)
}

// NextAfterMiss returns, under both rules, the day on which the next dose is
// due after one was missed and a carer settled that on a day: no day where the
// series has ended by then. They are the same where the series has no other
// choice, or where the day is one of its own.
func NextAfterMiss(r *Reminder, day Date) (shift, keep Date) {
	keep, _ = r.Schedule.dayFrom(day.AddDays(1))
	moved := *r
	moved.Missed = ShiftMissed
	moved.GivenOn(day)
	shift, _ = moved.Schedule.dayFrom(day.AddDays(1))
	return shift, keep
}

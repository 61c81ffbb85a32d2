package bot

import (
	"time"

	"bowlwright/planner"
)

// saySupplements says the doses that are due, a message for each; what fell
// due while nothing could be said comes as one message.
func (t *turn) saySupplements(due []planner.Occurrence) {
	var late []planner.Occurrence
	for _, o := range due {
		r := t.reminder(o.Reminder)
		switch {
		case r == nil || r.Dose == nil || len(t.answered(o)) > 0:
		case o.Late:
			late = append(late, o)
		default:
			t.sayDose(r, o)
		}
	}
	if len(late) == 1 {
		t.sayDose(t.reminder(late[0].Reminder), late[0])
		return
	}
	t.sayLateDoses(late)
}

// sayDose says one dose.
func (t *turn) sayDose(r *planner.Reminder, o planner.Occurrence) {
	t.say(para(t.doseDue(r)), para(t.lateText(o)), para(t.stockWarning(r))).
		offer(t.dueButton(msg("button.given"), "given", o), t.dueButton(msg("button.later"), "later", o),
			t.dueButton(msg("button.skip"), "miss", o))
}

// stockWarning says once, with a dose that is due, that the stock runs out
// within a week: it may be that nobody presses Given.
func (t *turn) stockWarning(r *planner.Reminder) string {
	if r.Stock == nil || r.Stock.Warned {
		return ""
	}
	today := t.todayOf(r)
	out, ok := r.Stock.RunsOut(*r, today, t.locationOf(r))
	if !ok || today.DaysTo(out) > 7 {
		return ""
	}
	r.Stock.Warned, t.changed = true, true
	return msg("due.stock-low", "left", trim(r.Stock.Left, 1), "day", dayText(out))
}

// doseDue is whose dose is due and how much it is.
func (t *turn) doseDue(r *planner.Reminder) string {
	name := msg("due.every-dog")
	if d := t.dog(r.Dog); d != nil {
		name = d.Name
	}
	return msg("due.dose", "dog", name, "dose", t.doseAmount(t.doseOf(r)))
}

// sayLateDoses says several doses that are late, with a row of buttons each.
func (t *turn) sayLateDoses(late []planner.Occurrence) {
	if len(late) == 0 {
		return
	}
	blocks := []Block{para(msg("due.late-doses", "n", len(late)))}
	for _, o := range late {
		r := t.reminder(o.Reminder)
		blocks = append(blocks, para(joinParas(t.doseDue(r), t.lateText(o), t.stockWarning(r))))
	}
	out := t.say(blocks...)
	for _, o := range late {
		about := t.aboutReminder(t.reminder(o.Reminder))
		out.offer(t.dueButton(msg("button.given-what", "what", about), "given", o, beside), t.dueButton(msg("button.skip"), "miss", o, beside))
	}
}

// doseOf is the dose of a reminder for its dog: multiplied out where it is
// given for each 1000 kcal.
func (t *turn) doseOf(r *planner.Reminder) planner.Dose {
	if d := t.dog(r.Dog); d != nil {
		return r.Dose.For(planner.AmountOf(*d, t.event.At).Kcal)
	}
	return *r.Dose
}

// locationOf is the zone in which a reminder's days are counted.
func (t *turn) locationOf(r *planner.Reminder) *time.Location {
	return r.Schedule.In(t.event.At.Location()).Location()
}

// pressGiven notes that a dose was given, now.
func (t *turn) pressGiven(r *planner.Reminder, o planner.Occurrence, _ []string) {
	t.give(r, o, time.Time{}, t.todayOf(r))
}

// give notes that a dose was given at an instant of a day, the zero time for
// now. Where that is another day than it was due, a series that shifts goes on
// from that day.
func (t *turn) give(r *planner.Reminder, o planner.Occurrence, at time.Time, day planner.Date) {
	if r.Dose == nil {
		t.sayMsg("press.stale")
		return
	}
	for _, e := range t.answered(o) {
		if e.Kind == planner.Given {
			t.alreadyAnswered(r, o, e) // a dose is never doubled
			return
		}
	}
	about := t.aboutReminder(r)
	t.mutate("did.given", about)
	before := ""
	for _, e := range t.answered(o) {
		before = msg("due.before", "how", t.entryText(e))
		t.unnote(e)
	}
	dose := t.doseOf(r)
	e := t.note(planner.Entry{Kind: planner.Given, Dog: r.Dog, Of: o.ID, At: at, Date: day, Amount: stockUnits(dose)})
	t.dropSnooze(o.ID)
	if r.Stock != nil {
		r.Stock.Take(stockUnits(dose))
	}
	moved, keep := t.settleSeries(r, o, day)
	out := t.settled(joinParas(msg("due.done", "what", about, "how", t.entryText(e)), before, moved, t.stockText(r)))
	t.offerKeep(out, o, keep)
}

// settleSeries has the series go on after a dose was given or left out on a
// day, by its rule, and says when it is due next. keep is the day on which it
// would be due had the series kept its days, where that is another.
func (t *turn) settleSeries(r *planner.Reminder, o planner.Occurrence, today planner.Date) (said string, keep planner.Date) {
	if today == o.Date && r.Schedule.On(today) {
		return t.nextText(r, t.event.At), planner.Date{}
	}
	shift, keep := planner.NextAfterMiss(r, today)
	r.GivenOn(today)
	if r.Rule() != planner.ShiftMissed || shift == keep {
		return t.nextText(r, t.event.At), planner.Date{}
	}
	if today == o.Date {
		keep = planner.Date{} // given before its time: its own day would be too near
	}
	from := msg("fed.today")
	if today != t.todayOf(r) {
		from = dayText(today)
	}
	return msg("due.shifted", "day", dayText(shift), "n", r.Schedule.EveryDays, "from", from), keep
}

// offerKeep offers to keep the days of a series that was shifted.
func (t *turn) offerKeep(out *Reply, o planner.Occurrence, keep planner.Date) {
	if !keep.IsZero() {
		out.offer(t.dueButton(msg("button.keep-days", "day", dayText(keep)), "days", o))
	}
}

// todayOf is the day that it is where a reminder's days are counted.
func (t *turn) todayOf(r *planner.Reminder) planner.Date {
	return planner.DateOf(t.event.At.In(t.locationOf(r)))
}

// stockUnits is how much of the stock a dose takes: pieces, else grams.
func stockUnits(d planner.Dose) float64 {
	if d.Count > 0 {
		return d.Count
	}
	return float64(d.Grams)
}

// nextText says when a series falls due next, apart from what was answered
// before its time.
func (t *turn) nextText(r *planner.Reminder, after time.Time) string {
	m, ok := planner.NextOf(t.home, r, after)
	for ok && len(t.answered(planner.Occurrence{ID: planner.OccurrenceID(t.home.ID, r.ID, m), Moment: m})) > 0 {
		m, ok = planner.NextOf(t.home, r, m.At)
	}
	if !ok {
		return msg("due.last")
	}
	return msg("due.next", "when", t.dayClock(m))
}

// dayClock prints the day and the time of a moment.
func (t *turn) dayClock(m planner.Moment) string { return dayText(m.Date) + " " + m.Clock.String() }

// stockText says what is left, and once that it runs out within a week.
func (t *turn) stockText(r *planner.Reminder) string {
	if r.Stock == nil {
		return ""
	}
	s := msg("due.stock", "left", trim(r.Stock.Left, 1))
	today := t.date()
	out, ok := r.Stock.RunsOut(*r, today.AddDays(1), t.locationOf(r)) // today's is given
	if !ok || today.DaysTo(out) > 7 {
		r.Stock.Warned = false
		return s
	}
	if r.Stock.Warned {
		return s
	}
	r.Stock.Warned = true
	return msg("due.stock-low", "left", trim(r.Stock.Left, 1), "day", dayText(out))
}

// pressNotGiven leaves a dose out. It is never doubled later: the series
// shifts or keeps its days, by its rule, and the other way is offered.
func (t *turn) pressNotGiven(r *planner.Reminder, o planner.Occurrence, _ []string) {
	if done := t.answered(o); len(done) > 0 {
		t.alreadyAnswered(r, o, done[0])
		return
	}
	about := t.aboutReminder(r)
	t.mutate("did.not-given", about)
	e := t.note(planner.Entry{Kind: planner.NotGiven, Dog: r.Dog, Of: o.ID, Date: o.Date})
	t.dropSnooze(o.ID)
	moved, keep := t.settleSeries(r, o, t.todayOf(r))
	out := t.settled(joinParas(msg("due.done", "what", about, "how", t.entryText(e)), moved))
	t.offerKeep(out, o, keep)
}

// pressKeepDays takes the series back to its own days after a dose that was
// answered late had it shifted.
func (t *turn) pressKeepDays(r *planner.Reminder, o planner.Occurrence, _ []string) {
	if len(t.answered(o)) == 0 || r.Schedule.EveryDays == 0 {
		t.sayMsg("press.stale")
		return
	}
	kept := *r
	kept.Missed, kept.Schedule.Anchor = planner.KeepMissed, o.Date
	_, keep := planner.NextAfterMiss(&kept, t.todayOf(r))
	if keep.IsZero() {
		t.sayMsg("press.stale")
		return
	}
	t.mutate("did.kept-days", t.aboutReminder(r))
	r.ShiftTo(keep)
	out := t.sayMsg("due.kept", "what", t.aboutReminder(r), "day", dayText(keep))
	out.InPlace = t.event.Message
	out.offer(t.undoButton())
}

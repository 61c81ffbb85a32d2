package day

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/remind"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// saySupplements says the doses that are due, a message for each; what fell
// due while nothing could be said comes as one message.
func saySupplements(t *talk.Turn, due []planner.Occurrence) {
	var late []planner.Occurrence
	for _, o := range due {
		r := t.Reminder(o.Reminder)
		switch {
		case r == nil || r.Dose == nil || len(talk.Answered(t, o)) > 0:
		case o.Late:
			late = append(late, o)
		default:
			sayDose(t, r, o)
		}
	}
	if len(late) == 1 {
		sayDose(t, t.Reminder(late[0].Reminder), late[0])
		return
	}
	sayLateDoses(t, late)
}

// sayDose says one dose.
func sayDose(t *talk.Turn, r *planner.Reminder, o planner.Occurrence) {
	t.Say(say.Para(doseDue(t, r)), say.Para(talk.LateText(t, o)), say.Para(runsLow(t, r, todayOf(t, r)))).
		Offer(talk.DueButton(t, msg("button.given"), "given", o), talk.DueButton(t, msg("button.later"), "later", o),
			talk.DueButton(t, msg("button.skip"), "miss", o))
}

// runsLow says, once, that a stock runs out within a week, of which the doses are taken
// from a day on: with a dose that is due, for it may be that nobody presses Given, and
// with one that was given.
func runsLow(t *talk.Turn, r *planner.Reminder, from planner.Date) string {
	if r.Stock == nil {
		return ""
	}
	out, ok := r.Stock.RunsOut(*r, from, talk.LocationOf(t, r))
	low, warned := ok && todayOf(t, r).DaysTo(out) <= 7, r.Stock.Warned
	r.Stock.Warned, t.Changed = low, t.Changed || low != warned
	return say.Where(low && !warned, msg("due.stock-low", "left", say.Trim(r.Stock.Left, 1), "day", say.DayText(out)))
}

// doseDue is whose dose is due and how much it is.
func doseDue(t *talk.Turn, r *planner.Reminder) string {
	name := cmp.Or(talk.DogNames(t, []string{r.Dog}), msg("due.every-dog"))
	return msg("due.dose", "dog", name, "dose", talk.DoseAmount(t, talk.DoseOf(t, r)))
}

// sayLateDoses says several doses that are late, with a row of buttons each.
func sayLateDoses(t *talk.Turn, late []planner.Occurrence) {
	if len(late) == 0 {
		return
	}
	blocks := []say.Block{say.Para(msg("due.late-doses", "n", len(late)))}
	for _, o := range late {
		r := t.Reminder(o.Reminder)
		blocks = append(blocks, say.Para(say.JoinParas(doseDue(t, r), talk.LateText(t, o), runsLow(t, r, todayOf(t, r)))))
	}
	out := t.Say(blocks...)
	for _, o := range late {
		about := talk.AboutReminder(t, t.Reminder(o.Reminder))
		out.Offer(talk.DueButton(t, msg("button.given-what", "what", about), "given", o, talk.Beside), talk.DueButton(t, msg("button.skip"), "miss", o, talk.Beside))
	}
}

// give notes that a dose was given at an instant of a day, the zero time for
// now. Where that is another day than it was due, a series that shifts goes on
// from that day.
func give(t *talk.Turn, r *planner.Reminder, o planner.Occurrence, at time.Time, day planner.Date) {
	if talk.Stale(t, r.Dose == nil) {
		return
	}
	if alreadyGiven(t, r, o) {
		return
	}
	about := talk.AboutReminder(t, r)
	t.Mutate("did.given", about)
	before := ""
	for _, e := range talk.Answered(t, o) {
		before = msg("due.before", "how", talk.EntryText(t, e))
		t.Unnote(e)
	}
	dose := talk.DoseOf(t, r)
	e := t.Note(planner.Entry{Kind: planner.Given, Dog: r.Dog, Of: o.ID, At: at, Date: day, Amount: stockUnits(dose)})
	talk.DropSnooze(t, o.ID)
	if r.Stock != nil {
		r.Stock.Take(stockUnits(dose))
	}
	moved, keep := settleSeries(t, r, o, day)
	stock := ""
	if r.Stock != nil {
		stock = cmp.Or(runsLow(t, r, todayOf(t, r).AddDays(1)), msg("due.stock", "left", say.Trim(r.Stock.Left, 1))) // today's is given
	}
	out := talk.SayDone(t, say.JoinParas(msg("due.done", "what", about, "how", talk.EntryText(t, e)), before, moved, stock))
	offerKeep(t, out, o, keep)
}

// MissedAsked answers whether a dose that was missed is to be given now, by the rule of its
// series, and records nothing: "he missed his vit E, give it today then?".
func MissedAsked(t *talk.Turn, s string) bool {
	thing := read.Find("missed-asked", s)
	fits := remind.GivenNamed(t, read.WithoutWhen(thing), read.DogsOf(s, t.Names()))
	if thing == "" || len(fits) != 1 || fits[0].Dose == nil || t.Alarm(s).Signs {
		return false
	}
	r := fits[0]
	o, today, what := doseNow(t, r, t.Event.At), todayOf(t, r), talk.DoseAmount(t, talk.DoseOf(t, r))
	done := slices.ContainsFunc(talk.Answered(t, o), func(e planner.Entry) bool { return e.Kind == planner.Given })
	shift, _ := planner.NextAfterMiss(r, today)
	day, _, named := read.DayAsked(strings.NewReplacer(" today", "", " tonight", "").Replace(s), t.Event.At)
	on, missed := "", ""
	if named {
		on, missed = " "+msg("missed.on", "day", say.DayText(day)), " "+msg("missed.for", "day", say.DayText(day))
	}
	var out *say.Reply
	switch {
	case done:
		t.Say(say.Para(msg("missed.done", "what", what, "on", on)), say.Para(nextText(t, r, t.Event.At)))
		return true
	case r.Rule() == planner.ShiftMissed && r.Schedule.EveryDays > 1:
		out = t.SayMsg("missed.give", "what", what, "for", missed, "day", say.DayText(shift), "n", r.Schedule.EveryDays)
	case r.Schedule.On(today):
		out = t.SayMsg("missed.today", "what", what, "on", on)
	default:
		t.Say(say.Para(msg("missed.leave", "what", what, "on", on)), say.Para(nextText(t, r, t.Event.At)))
		return true
	}
	out.Offer(talk.DueButton(t, msg("button.given"), "given", o))
	return true
}

// alreadyGiven says so where what a reminder is of was given or done: a dose is never doubled.
func alreadyGiven(t *talk.Turn, r *planner.Reminder, o planner.Occurrence) bool {
	for _, e := range talk.Answered(t, o) {
		if e.Kind == planner.Given || e.Kind == planner.NoteDone {
			out := talk.AlreadyAnswered(t, r, e)
			check, typed := remind.TwiceText(t, r), t.Event.Press == "" || e.Person != t.Event.Person
			if typed && check != "" && !read.Says("twice", t.Event.Text) {
				out.Add(msg("given.if-twice", "check", check))
			}
			return true
		}
	}
	return false
}

// settleSeries moves the series on, by its rule, after a dose was given or left
// out on a day, and says when it is due next. keep is the day on which it would
// be due if the series had kept its days, if that differs.
func settleSeries(t *talk.Turn, r *planner.Reminder, o planner.Occurrence, today planner.Date) (said string, keep planner.Date) {
	if today == o.Date && r.Schedule.On(today) {
		return nextText(t, r, t.Event.At), planner.Date{}
	}
	shift, keep := planner.NextAfterMiss(r, today)
	r.GivenOn(today)
	if r.Rule() != planner.ShiftMissed || shift == keep {
		return nextText(t, r, t.Event.At), planner.Date{}
	}
	if today == o.Date {
		keep = planner.Date{} // given before its time: its own day would be too near
	}
	from := msg("fed.today")
	if today != todayOf(t, r) {
		from = say.DayText(today)
	}
	if months := r.Schedule.Months; r.Dose == nil {
		return msg(say.Choose(months > 1, "due.shifted-months", "due.shifted-days"), "day", say.DayText(shift), "n", max(months, r.Schedule.EveryDays), "from", from), planner.Date{}
	}
	return msg("due.shifted", "day", say.DayText(shift), "n", r.Schedule.EveryDays, "from", from), keep
}

// offerKeep offers to keep the days of a series that was shifted.
func offerKeep(t *talk.Turn, out *say.Reply, o planner.Occurrence, keep planner.Date) {
	if !keep.IsZero() {
		out.Offer(talk.DueButton(t, msg("button.keep-days", "day", say.DayText(keep)), "days", o))
	}
}

// todayOf is the day that it is where a reminder's days are counted.
func todayOf(t *talk.Turn, r *planner.Reminder) planner.Date {
	return planner.DateOf(t.Event.At.In(talk.LocationOf(t, r)))
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
func nextText(t *talk.Turn, r *planner.Reminder, after time.Time) string {
	m, ok := planner.NextOf(t.Home, r, after)
	for ok && len(talk.Answered(t, planner.Occurrence{ID: planner.OccurrenceID(t.Home.ID, r.ID, m), Moment: m})) > 0 {
		m, ok = planner.NextOf(t.Home, r, m.At)
	}
	return say.Choose(!ok, msg("due.last"), msg("due.next", "when", say.DayText(m.Date)+" "+m.Clock.String()))
}

// pressNotGiven leaves a dose out. It is never doubled later: the series
// shifts or keeps its days, by its rule, and the other way is offered.
func pressNotGiven(t *talk.Turn, r *planner.Reminder, o planner.Occurrence, _ []string) {
	if talk.Settled(t, r, o) {
		return
	}
	about := talk.AboutReminder(t, r)
	t.Mutate("did.not-given", about)
	at := say.Choose(o.Date.Before(todayOf(t, r)), o.At, time.Time{}) // the zero time for now
	e := t.Note(planner.Entry{Kind: planner.NotGiven, Dog: r.Dog, Of: o.ID, At: at, Date: o.Date})
	talk.DropSnooze(t, o.ID)
	moved, keep := settleSeries(t, r, o, todayOf(t, r))
	out := talk.SayDone(t, say.JoinParas(msg("due.done", "what", about, "how", talk.EntryText(t, e)), moved))
	offerKeep(t, out, o, keep)
}

// pressKeepDays takes the series back to its own days after a dose that was
// answered late had it shifted.
func pressKeepDays(t *talk.Turn, r *planner.Reminder, o planner.Occurrence, _ []string) {
	if talk.Stale(t, len(talk.Answered(t, o)) == 0 || r.Schedule.EveryDays == 0) {
		return
	}
	kept := *r
	kept.Missed, kept.Schedule.Anchor = planner.KeepMissed, o.Date
	_, keep := planner.NextAfterMiss(&kept, todayOf(t, r))
	if talk.Stale(t, keep.IsZero()) {
		return
	}
	t.Mutate("did.kept-days", talk.AboutReminder(t, r))
	r.ShiftTo(keep)
	t.InPlace(t.SayMsg("due.kept", "what", talk.AboutReminder(t, r), "day", say.DayText(keep)).Offer(t.UndoButton()))
}

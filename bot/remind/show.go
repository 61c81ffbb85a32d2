package remind

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/household"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// pressRemind does what a button about reminders asks.
func pressRemind(t *talk.Turn, args []string) {
	r := t.Reminder(talk.Arg(args, 1))
	switch what := talk.Arg(args, 0); {
	case what == "list":
		listReminders(t, "")
	case what == "zone":
		household.PressZoneOf(t, args[1:])
	case talk.Gone(t, r == nil):
	case what == "show":
		showReminder(t, r, "")
	case what == "edit":
		askRemind(t, remindDraft{R: *r}, talk.Arg(args, 2))
	case what == "stop":
		stopReminders(t, r)
	case what == "missed":
		setMissed(t, r, planner.MissedRule(talk.Arg(args, 2)))
	default:
		t.SayMsg("press.stale")
	}
}

// showReminder says all of one reminder, with what can be changed of it.
func showReminder(t *talk.Turn, r *planner.Reminder, head string, extra ...say.Button) {
	out := t.Say(say.Para(head), say.Para(msg("remind.show", "what", say.Capital(talk.ReminderTitle(t, r)), "when", ScheduleText(t, r))),
		say.Whole(giveCautions(t, r)), say.Para(firstText(t, false, r)), say.Para(missedText(r)), say.Para(stockLine(t, r)))
	edit := func(step string) say.Button {
		return t.Button(msg("button.remind-"+step), "remind", "edit", r.ID, step)
	}
	switch r.Kind {
	case planner.SupplementReminder:
		out.Offer(edit("what"), edit("often"), edit("time"))
		row := []say.Button{edit("until"), edit("stock")}
		if r.Schedule.EveryDays > 1 { // where the other rule for missed doses would differ
			other := string(say.Choose(r.Rule() == planner.KeepMissed, planner.ShiftMissed, planner.KeepMissed))
			row = append(row, t.Button(msg("button.missed-"+other), "remind", "missed", r.ID, other))
		}
		out.Offer(row...)
	case planner.NoteReminder:
		out.Offer(edit("text"), edit("when"))
	case planner.WeighReminder, planner.ConditionReminder, planner.CookReminder:
		out.Offer(edit("when"))
	case planner.BowlReminder:
		out.Offer(t.Button(msg("button.feed-times"), "meals", "times", r.Dog), t.Button(msg("button.meals"), "meals", "ask"))
	case planner.FreezerReminder, planner.MorningReminder, planner.PacksReminder:
		out.Offer(edit("time"))
	}
	out.Offer(t.Button(msg("button.remind-stop"), "remind", "stop", r.ID), t.Button(msg("button.reminders"), "remind", "list"))
	t.InPlace(out.Offer(extra...))
}

// missedText says what becomes of a series whose dose was missed.
func missedText(r *planner.Reminder) string {
	rule := r.Rule()
	if r.Schedule.EveryDays == 1 { // there is no day to shift to
		rule = planner.KeepMissed
	}
	return say.Where(r.Kind == planner.SupplementReminder && !r.Schedule.Once, msg("remind.missed-"+string(rule)))
}

func setMissed(t *talk.Turn, r *planner.Reminder, rule planner.MissedRule) {
	if talk.Stale(t, rule != planner.ShiftMissed && rule != planner.KeepMissed) {
		return
	}
	t.Mutate("did.reminder-changed", talk.AboutReminder(t, r))
	r.Missed = rule
	showReminder(t, r, msg("remind.changed"), t.UndoButton())
}

// stopReminders takes reminders out of the household.
func stopReminders(t *talk.Turn, all ...*planner.Reminder) {
	ids := say.Each(all, func(r *planner.Reminder) string { return r.ID })
	about := say.Each(all, func(r *planner.Reminder) string { return talk.AboutReminder(t, r) })
	for i, id := range ids {
		t.Mutate("did.reminder-stopped", about[i])
		dropSnoozesOf(t, id)
		talk.DropReminder(t, id)
	}
	t.InPlace(t.SayMsg("remind.stopped", "what", say.Capital(say.List(about))).Offer(t.UndoButton()))
}

// stopThose stops the reminder that is at a time, or those that were made last, and
// reports whether a text asks for that: "stop the 8 o'clock one", "delete all three of
// those". It asks which where it may be several.
func stopThose(t *talk.Turn, s string) bool {
	all := sortedReminders(t, planner.SupplementReminder, planner.NoteReminder)
	words := read.Find("stops-those", s)
	if at := clockOf(read.Find("stops-at", s)); at >= 0 {
		all = slices.DeleteFunc(all, func(r *planner.Reminder) bool {
			s, _ := t.Home.ScheduleOf(r)
			return !slices.ContainsFunc(s.Times, func(c planner.Clock) bool { return (c-at)%planner.At(12, 0) == 0 })
		})
		words = "reminder"
	} else if !read.Says("those-said", words) || lastChanged(t) == nil && !strings.Contains(words, "reminder") {
		return false
	}
	slices.SortFunc(all, func(a, b *planner.Reminder) int { // those first that were made last
		return cmp.Or(b.Since.Compare(a.Since), len(b.ID)-len(a.ID), strings.Compare(b.ID, a.ID))
	})
	n := 0
	for _, w := range strings.Fields(strings.ToLower(read.Without("both-two", words))) {
		n = max(n, int(span.Figures[w]), span.DigitsOf(w))
	}
	if n > 1 && n <= len(all) {
		stopReminders(t, all[:n]...)
		return true
	}
	if lastChanged(t) != nil && read.Says("that-said", words) {
		all = slices.DeleteFunc(all, func(r *planner.Reminder) bool { return !r.Since.Equal(lastChanged(t).Since) })
	}
	return stopOf(t, all)
}

// clockOf is the time of day that words are, in either half of it; below 0 for none.
func clockOf(words string) planner.Clock {
	clocks, err := span.Clocks(words)
	if talk.IsUnclear(err) {
		clocks, err = span.Clocks(words + " am")
	}
	if err != nil || len(clocks) != 1 {
		return -1
	}
	return clocks[0]
}

// answerStop stops the reminder that some words are about.
func answerStop(t *talk.Turn, s read.Sentence) {
	if !stopOf(t, About(t, s.Words)) {
		listReminders(t, msg("remind.none-about", "text", say.Short(s.Words)))
	}
}

// EndWords ends the reminder that a text asks to be rid of, and reports whether it names
// one: "get rid of that flea one", "no, delete clip nails".
func EndWords(t *talk.Turn, s string) bool {
	return stopOf(t, ended(t, s))
}

// ended are the reminders that a text asks to be rid of.
func ended(t *talk.Turn, s string) []*planner.Reminder {
	m := read.Pattern("asks-end").FindStringSubmatch(s)
	if m == nil || t.RecipeSaid(m[1]) != nil {
		return nil
	}
	if last := lastChanged(t); last != nil && strings.EqualFold(m[1], "one") { // "get rid of that one"
		return slices.DeleteFunc(sortedReminders(t, last.Kind), func(r *planner.Reminder) bool { return !r.Since.Equal(last.Since) })
	}
	return slices.DeleteFunc(About(t, m[1]), func(r *planner.Reminder) bool {
		return m[2] == "" && !strings.EqualFold(talk.ReminderTitle(t, r), m[1])
	})
}

// stopOf stops the one reminder that is meant, or asks which; it reports false for none.
func stopOf(t *talk.Turn, found []*planner.Reminder) bool {
	if len(found) == 1 {
		stopReminders(t, found[0])
	} else if len(found) > 1 {
		whichReminder(t, found, "stop", "")
	}
	return len(found) > 0
}

// whichReminder asks which of some reminders to stop, or what of one to change.
func whichReminder(t *talk.Turn, found []*planner.Reminder, do, step string) {
	out := t.SayMsg("remind.which")
	for _, f := range found {
		out.Offer(t.Button(say.Cut(shortTitle(t, f), 30)+", "+timesTextOf(t, f), "remind", do, f.ID, step))
	}
}

package remind

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"bowlwright/bot/household"
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// daysOfText prints on which days a schedule falls: "every 3 days", "on
// Monday and Thursday", "on the 1st of each month", "on Fri 6 Mar".
func daysOfText(t *talk.Turn, s planner.Schedule) string {
	switch {
	case s.Once:
		return msg("remind.on", "day", t.DateText(s.Anchor))
	case s.Months == planner.MostMonths:
		return msg("remind.yearly", "day", strconv.Itoa(s.MonthDay)+" "+s.Anchor.Month.String())
	case s.Months > 1:
		return msg("remind.months", "nth", nth(s.MonthDay), "n", s.Months)
	case s.MonthDay > 28:
		return msg("remind.monthly-last", "nth", nth(s.MonthDay))
	case s.MonthDay > 0:
		return msg("remind.monthly", "nth", nth(s.MonthDay))
	}
	if len(s.Weekdays) > 0 {
		return msg("remind.weekdays", "days", weekdayNames(s.Weekdays))
	}
	switch n := s.EveryDays; {
	case n == 7:
		return msg("remind.weekdays", "days", s.Anchor.Weekday().String())
	case n > 7 && n%7 == 0:
		return msg("remind.weeks", "n", n/7, "day", s.Anchor.Weekday().String())
	}
	return say.CadenceText(planner.Cadence{EveryDays: s.EveryDays})
}

// weekdayNames names days of the week: "Monday and Thursday".
func weekdayNames(days []time.Weekday) string {
	days = slices.SortedFunc(slices.Values(days), func(a, b time.Weekday) int { return int((a+6)%7) - int((b+6)%7) }) // as a week is spoken of
	return say.Choose(slices.Equal(days, []time.Weekday{1, 2, 3, 4, 5}), msg("remind.workdays"), say.ListOf(days, time.Weekday.String))
}

// nth prints "1st", "2nd", "23rd", "11th".
func nth(n int) string {
	end := "th"
	if last := n % 10; last > 0 && last < 4 && n/10%10 != 1 {
		end = []string{"st", "nd", "rd"}[last-1]
	}
	return strconv.Itoa(n) + end
}

// ScheduleText prints when a reminder falls due: "every 3 days at 07:30,
// until Sat 4 Apr".
func ScheduleText(t *talk.Turn, r *planner.Reminder) string {
	out := timesTextOf(t, r)
	if zone := otherZone(t, r); zone != "" {
		out += msg("remind.zone", "zone", household.PlaceOf(zone))
	}
	return out
}

// otherZone is the zone of a reminder that does not go by the household's
// clock.
func otherZone(t *talk.Turn, r *planner.Reminder) string {
	return say.Where(r.Schedule.Zone != t.Home.Zone, r.Schedule.Zone)
}

// timesTextOf is ScheduleText without the zone.
func timesTextOf(t *talk.Turn, r *planner.Reminder) string {
	s, _ := t.Home.ScheduleOf(r)
	out := daysOfText(t, s)
	if r.WithMeal {
		out += " " + msg("remind.with-meal", "time", say.ClocksText(s.Times))
	} else {
		out += " " + msg("remind.at", "times", say.ClocksText(s.Times))
	}
	if !s.Until.IsZero() {
		last := s.TimesOn(s.Until)
		out += msg("remind.until", "day", t.DateText(s.Until)+say.Where(s.Fewer > 0 && len(last) > 0, " "+say.ClocksText(last[max(len(last)-1, 0):])))
	}
	return out
}

// firstText says when a reminder falls due next, and where quiet hours or a
// pause hold it back.
func firstText(t *talk.Turn, first bool, r *planner.Reminder) string {
	m, ok := nextSaid(t, r)
	if !ok {
		return msg("remind.ended")
	}
	var lines []string
	if !r.Schedule.Once {
		lines = append(lines, msg(say.Choose(first, "remind.first", "remind.next"), "when", t.DateText(m.Date)+" "+m.Clock.String()))
	}
	if sent := t.Home.Quiet.Send(m.At, t.Event.At.Location()); !sent.Equal(m.At) {
		lines = append(lines, msg("remind.quiet", "time", planner.ClockOf(sent.In(t.Event.At.Location())).String()))
	}
	return say.JoinParas(lines...)
}

// kindsInOrder is how reminders are listed: what is for the dogs first.
var kindsInOrder = []planner.ReminderKind{planner.BowlReminder, planner.MorningReminder, planner.FreezerReminder, planner.CookReminder, planner.PacksReminder, planner.SupplementReminder,
	planner.NoteReminder, planner.WeighReminder, planner.ConditionReminder, planner.StoolReminder}

// sortedReminders are the reminders of some kinds in the order of a list.
func sortedReminders(t *talk.Turn, kinds ...planner.ReminderKind) (out []*planner.Reminder) {
	if len(kinds) == 0 {
		kinds = kindsInOrder
	}
	for _, k := range kinds {
		for i := range t.Home.Reminders {
			if t.Home.Reminders[i].Kind == k {
				out = append(out, &t.Home.Reminders[i])
			}
		}
	}
	return out
}

// reminderLine is a reminder in the list: what, when, and what is left.
func reminderLine(t *talk.Turn, r *planner.Reminder) string {
	s := msg("remind.line", "what", say.Capital(talk.ReminderTitle(t, r)), "when", timesTextOf(t, r))
	switch m, ok := nextSaid(t, r); {
	case r.Off:
		s += msg("remind.line-off")
	case !ok && onceIn(t, r, t.Home.Pauses...):
		s += msg("remind.line-paused")
	case !ok:
		s += msg("remind.line-ended")
	case !r.Schedule.Once:
		s += msg("remind.line-next", "when", t.DateText(m.Date))
	}
	if r.Stock != nil {
		s += msg("remind.line-stock", "left", say.Trim(r.Stock.Left, 1))
	}
	return s
}

// nextSaid is the next moment of a reminder that no pause leaves out.
func nextSaid(t *talk.Turn, r *planner.Reminder) (planner.Moment, bool) {
	m, ok := planner.NextOf(t.Home, r, t.Event.At)
	for range t.Home.Pauses {
		for _, p := range t.Home.Pauses {
			if ok && p.Covers(r, m.Date) {
				m, ok = planner.NextOf(t.Home, r, planner.Instant(p.Until, 0, talk.LocationOf(t, r)).Add(-1))
			}
		}
	}
	return m, ok
}

// onceIn reports that a reminder is of a single day, still to come, that lies
// in one of some pauses.
func onceIn(t *talk.Turn, r *planner.Reminder, pauses ...planner.Pause) bool {
	m, ok := planner.NextOf(t.Home, r, t.Event.At)
	return ok && r.Schedule.Once && slices.ContainsFunc(pauses, func(p planner.Pause) bool {
		return p.Covers(r, m.Date)
	})
}

// listReminders lists all that the household is reminded of.
func listReminders(t *talk.Turn, head string) {
	all := sortedReminders(t)
	lines := say.Each(all, func(r *planner.Reminder) string { return reminderLine(t, r) })
	first := say.Choose(len(all) == 0, msg("remind.none", talk.Examples(t)...), msg("remind.list", "n", len(all)))
	zone := ""
	for _, r := range all {
		if z := otherZone(t, r); z != "" {
			zone = msg("remind.zones", "zone", household.PlaceOf(z))
		}
	}
	out := t.Say(say.Para(head), say.Para(first), say.Whole(talk.JoinLines(lines)), say.Para(zone), say.Para(talk.RestText(t)))
	offerReminders(t, out, all)
	out.Offer(t.Button(msg("button.meals"), "meals", "ask"), t.Button(msg("button.add-supplement"), "supplement", "add"))
	out.Offer(t.Button(msg("button.quiet"), "quiet", "ask"), t.Button(msg("button.pause"), "pause", "ask"))
	t.InPlace(out)
}

// offerReminders offers a button for each reminder, two a row.
func offerReminders(t *talk.Turn, out *say.Reply, all []*planner.Reminder) {
	const most = 12 // buttons; the rest is reached by its words
	row := say.Each(all[:min(len(all), most)], func(r *planner.Reminder) say.Button {
		return t.Button(say.Cut(shortTitle(t, r), 24), "remind", "show", r.ID)
	})
	out.Rows(2, row...)
}

// shortTitle is what a reminder is about, to fit a button.
func shortTitle(t *talk.Turn, r *planner.Reminder) string {
	return say.Capital(say.Choose(r.Kind == planner.SupplementReminder, talk.AboutReminder, talk.ReminderTitle)(t, r))
}

// About are the reminders that some words are about: by a note's
// text, a supplement's name, a kind's name or a dog's.
func About(t *talk.Turn, words string) (out []*planner.Reminder) {
	want := slices.DeleteFunc(strings.Fields(strings.ToLower(words)), func(w string) bool { return read.In("remind-fillers", w) })
	food := ""
	if f := t.Foods.Find(words).Food; f != nil {
		food = f.Key
	}
	for _, r := range sortedReminders(t) {
		if r.Dose != nil && food != "" && r.Dose.Food == food {
			out = append(out, r)
			continue
		}
		title := strings.ToLower(talk.ReminderTitle(t, r) + " " + msg("remind.also-called."+string(r.Kind)) + say.Where(r.Kind == planner.NoteReminder && read.Says("medicine", r.Text), " "+msg("remind.also-called.medicine")))
		if len(want) > 0 && !slices.ContainsFunc(want, func(w string) bool {
			return !read.HasName(title, w) && (len(w) < 3 || !strings.Contains(title, w) && !read.HasName(title, read.Without("stem", w))) // no "i" in "pill", no supper in "supplement"
		}) {
			out = append(out, r)
		}
	}
	return out
}

// showSupplementsOf answers "which supplements does Juniper get".
func showSupplementsOf(t *talk.Turn, s read.Sentence) {
	if d := t.Dog(s.Dog); d != nil {
		t.Talk.Dog = d.ID
	}
	listSupplements(t, "")
}

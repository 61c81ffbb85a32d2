package bot

import (
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// dateText prints a day, with its year where that is not this one.
func (t *turn) dateText(d planner.Date) string {
	if d.Year == t.event.At.Year() {
		return dayText(d)
	}
	return dayText(d) + " " + strconv.Itoa(d.Year)
}

// clocksText prints times: "07:30 and 18:00".
func clocksText(times []planner.Clock) string {
	var all []string
	for _, c := range times {
		all = append(all, c.String())
	}
	return list(all)
}

// daysOfText prints on which days a schedule falls: "every 3 days", "on
// Monday and Thursday", "on the 1st of each month", "on Fri 6 Mar".
func (t *turn) daysOfText(s planner.Schedule) string {
	switch {
	case s.Once:
		return msg("remind.on", "day", t.dateText(s.Anchor))
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
	return cadenceText(planner.Cadence{EveryDays: s.EveryDays})
}

// weekdayNames names days of the week: "Monday and Thursday".
func weekdayNames(days []time.Weekday) string {
	var names []string
	if days = fromMonday(days); slices.Equal(days, []time.Weekday{1, 2, 3, 4, 5}) {
		return msg("remind.workdays")
	}
	for _, d := range days {
		names = append(names, d.String())
	}
	return list(names)
}

// fromMonday puts days of the week in the order in which a week is spoken of.
func fromMonday(days []time.Weekday) []time.Weekday {
	days = slices.Clone(days)
	slices.SortFunc(days, func(a, b time.Weekday) int { return int((a+6)%7) - int((b+6)%7) })
	return days
}

// nth prints "1st", "2nd", "23rd", "11th".
func nth(n int) string {
	end := "th"
	if n/10%10 != 1 {
		switch n % 10 {
		case 1:
			end = "st"
		case 2:
			end = "nd"
		case 3:
			end = "rd"
		}
	}
	return strconv.Itoa(n) + end
}

// scheduleText prints when a reminder falls due: "every 3 days at 07:30,
// until Sat 4 Apr".
func (t *turn) scheduleText(r *planner.Reminder) string {
	out := t.timesText(r)
	if zone := t.otherZone(r); zone != "" {
		out += msg("remind.zone", "zone", placeOf(zone))
	}
	return out
}

// otherZone is the zone of a reminder that does not go by the household's
// clock.
func (t *turn) otherZone(r *planner.Reminder) string {
	if r.Schedule.Zone == t.home.Zone {
		return ""
	}
	return r.Schedule.Zone
}

// timesText is scheduleText without the zone.
func (t *turn) timesText(r *planner.Reminder) string {
	s, _ := t.home.ScheduleOf(r)
	out := t.daysOfText(s)
	if r.WithMeal {
		out += " " + msg("remind.with-meal", "time", clocksText(s.Times))
	} else {
		out += " " + msg("remind.at", "times", clocksText(s.Times))
	}
	if !s.Until.IsZero() {
		out += msg("remind.until", "day", t.dateText(s.Until))
	}
	return out
}

// reminderTitle is what a reminder is about, in full: "vitamin E 200 IU for
// Juniper".
func (t *turn) reminderTitle(r *planner.Reminder) string {
	d := t.dog(r.Dog)
	switch {
	case r.Kind == planner.SupplementReminder && r.Dose != nil && d != nil:
		return msg("remind.dose-for", "dose", t.doseAmount(t.doseOf(r)), "dog", d.Name)
	case r.Kind == planner.SupplementReminder && r.Dose != nil:
		return t.doseAmount(*r.Dose)
	case r.Kind == planner.BowlReminder && d != nil:
		return msg("remind.meals-of", "dog", d.Name)
	case (r.Kind == planner.WeighReminder || r.Kind == planner.ConditionReminder) && d != nil:
		return msg("remind.about-dog", "what", t.aboutReminder(r), "dog", d.Name)
	}
	return t.aboutReminder(r)
}

// firstText says when a reminder falls due next, and where quiet hours or a
// pause hold it back.
func (t *turn) firstText(key string, r *planner.Reminder) string {
	m, ok := t.nextSaid(r)
	if !ok {
		return msg("remind.ended")
	}
	var lines []string
	if !r.Schedule.Once {
		lines = append(lines, firstOf(key, t.dateText(m.Date)+" "+m.Clock.String()))
	}
	if sent := t.home.Quiet.Send(m.At, t.event.At.Location()); !sent.Equal(m.At) {
		lines = append(lines, msg("remind.quiet", "time", planner.ClockOf(sent.In(t.event.At.Location())).String()))
	}
	return joinParas(lines...)
}

func firstOf(key, when string) string {
	if key == "first" {
		return msg("remind.first", "when", when)
	}
	return msg("remind.next", "when", when)
}

// kindsInOrder is how reminders are listed: what is for the dogs first.
var kindsInOrder = []planner.ReminderKind{planner.BowlReminder, planner.MorningReminder, planner.FreezerReminder, planner.SupplementReminder,
	planner.NoteReminder, planner.WeighReminder, planner.ConditionReminder, planner.StoolReminder}

// sortedReminders are the reminders of some kinds in the order of a list.
func (t *turn) sortedReminders(kinds ...planner.ReminderKind) (out []*planner.Reminder) {
	if len(kinds) == 0 {
		kinds = kindsInOrder
	}
	for _, k := range kinds {
		for i := range t.home.Reminders {
			if t.home.Reminders[i].Kind == k {
				out = append(out, &t.home.Reminders[i])
			}
		}
	}
	return out
}

// reminderLine is a reminder in the list: what, when, and what is left.
func (t *turn) reminderLine(r *planner.Reminder) string {
	s := msg("remind.line", "what", capital(t.reminderTitle(r)), "when", t.timesText(r))
	switch m, ok := t.nextSaid(r); {
	case r.Off:
		s += msg("remind.line-off")
	case !ok && t.onceIn(r, t.home.Pauses...):
		s += msg("remind.line-paused")
	case !ok:
		s += msg("remind.line-ended")
	case !r.Schedule.Once:
		s += msg("remind.line-next", "when", t.dateText(m.Date))
	}
	if r.Stock != nil {
		s += msg("remind.line-stock", "left", trim(r.Stock.Left, 1))
	}
	return s
}

// nextSaid is the next moment of a reminder that no pause leaves out.
func (t *turn) nextSaid(r *planner.Reminder) (planner.Moment, bool) {
	m, ok := planner.NextOf(t.home, r, t.event.At)
	for range t.home.Pauses {
		for _, p := range t.home.Pauses {
			if ok && p.Covers(r, m.Date) {
				m, ok = planner.NextOf(t.home, r, planner.Instant(p.Until, 0, t.locationOf(r)).Add(-1))
			}
		}
	}
	return m, ok
}

// onceIn reports that a reminder is of a single day, still to come, that lies
// in one of some pauses.
func (t *turn) onceIn(r *planner.Reminder, pauses ...planner.Pause) bool {
	m, ok := planner.NextOf(t.home, r, t.event.At)
	return ok && r.Schedule.Once && slices.ContainsFunc(pauses, func(p planner.Pause) bool {
		return p.Covers(r, m.Date)
	})
}

// listReminders lists all that the household is reminded of.
func (t *turn) listReminders(head string) {
	all := t.sortedReminders()
	var lines []string
	for _, r := range all {
		lines = append(lines, t.reminderLine(r))
	}
	first := msg("remind.list", "n", len(all))
	if len(all) == 0 {
		first = msg("remind.none")
	}
	zone := ""
	for _, r := range all {
		if z := t.otherZone(r); z != "" {
			zone = msg("remind.zones", "zone", placeOf(z))
		}
	}
	out := t.say(para(head), para(first), para(joinLines(lines)), para(zone), para(t.restText()))
	t.offerReminders(out, all)
	out.offer(t.button(msg("button.meals"), "meals", "ask"), t.button(msg("button.add-supplement"), "supplement", "add"))
	out.offer(t.button(msg("button.quiet"), "quiet", "ask"), t.button(msg("button.pause"), "pause", "ask"))
	t.inPlace(out)
}

// offerReminders offers a button for each reminder, two a row.
func (t *turn) offerReminders(out *Reply, all []*planner.Reminder) {
	const most = 12 // buttons; the rest is reached by its words
	var row []Button
	for _, r := range all[:min(len(all), most)] {
		row = append(row, t.button(cut(t.shortTitle(r), 24), "remind", "show", r.ID))
		if len(row) == 2 {
			out.offer(row...)
			row = nil
		}
	}
	out.offer(row...)
}

// shortTitle is what a reminder is about, to fit a button.
func (t *turn) shortTitle(r *planner.Reminder) string {
	if r.Kind == planner.SupplementReminder {
		return capital(t.aboutReminder(r))
	}
	return capital(t.reminderTitle(r))
}

// capital begins a text with a capital letter.
func capital(s string) string {
	if s == "" {
		return ""
	}
	first, size := utf8.DecodeRuneInString(s)
	if size == 0 {
		return ""
	}
	return string(unicode.ToUpper(first)) + s[size:]
}

// cut shortens a button's label.
func cut(s string, most int) string {
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return s
}

// remindersAbout are the reminders that some words are about: by a note's
// text, a supplement's name, a kind's name or a dog's.
func (t *turn) remindersAbout(words string) (out []*planner.Reminder) {
	want := strings.Fields(strings.ToLower(words))
	food := ""
	if f := t.foods.Find(words).Food; f != nil {
		food = f.Key
	}
	for _, r := range t.sortedReminders() {
		if r.Dose != nil && food != "" && r.Dose.Food == food {
			out = append(out, r)
			continue
		}
		title := strings.ToLower(t.reminderTitle(r) + " " + msg("remind.also-called."+string(r.Kind)))
		if len(want) > 0 && !slices.ContainsFunc(want, func(w string) bool { return !remindFillers[w] && !strings.Contains(title, w) }) {
			out = append(out, r)
		}
	}
	return out
}

// remindFillers are words that tell no reminder from another.
var remindFillers = map[string]bool{"the": true, "my": true, "to": true, "of": true, "for": true, "a": true, "give": true, "about": true}

// restText says what holds reminders back: quiet hours and pauses.
func (t *turn) restText() string {
	var lines []string
	if q := t.home.Quiet; q.From != q.To {
		lines = append(lines, msg("quiet.line", "from", q.From.String(), "to", q.To.String()))
	}
	for _, p := range t.comingPauses() {
		lines = append(lines, t.pauseLine(p))
	}
	return joinLines(lines)
}

func joinLines(lines []string) string { return strings.Join(lines, "\n") }

// showSupplementsOf answers "which supplements does Juniper get".
func (t *turn) showSupplementsOf(s read.Sentence) {
	if d := t.dog(s.Dog); d != nil {
		t.talk.Dog = d.ID
	}
	t.supplementCommand("")
}

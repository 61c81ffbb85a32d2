package bot

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
)

// How a press on what fell due is written: "due:ACTION:REMINDER:STAMP", the
// stamp being the date and the clock of the occurrence.
const stampForm = "200601021504"

func stampOf(m planner.Moment) string {
	return time.Date(m.Date.Year, m.Date.Month, m.Date.Day, m.Clock.Hour(), m.Clock.Minute(), 0, 0, time.UTC).Format(stampForm)
}

// dueButton is a button under what fell due.
func (t *turn) dueButton(label, action string, o planner.Occurrence, more ...string) Button {
	return t.button(label, "due", append([]string{action, o.Reminder, stampOf(o.Moment)}, more...)...)
}

// reminder returns a reminder of the household, nil where there is none.
func (t *turn) reminder(id string) *planner.Reminder {
	for i := range t.home.Reminders {
		if t.home.Reminders[i].ID == id {
			return &t.home.Reminders[i]
		}
	}
	return t.home.MorningMeals(id)
}

// occurrenceOf is the occurrence that a button stands for.
func (t *turn) occurrenceOf(r *planner.Reminder, stamp string) (planner.Occurrence, bool) {
	at, err := time.Parse(stampForm, stamp)
	if err != nil {
		return planner.Occurrence{}, false
	}
	m := planner.Moment{Date: planner.DateOf(at), Clock: planner.ClockOf(at)}
	m.At = planner.Instant(m.Date, m.Clock, t.locationOf(r)).UTC()
	id := planner.OccurrenceID(t.home.ID, r.ID, m)
	return planner.Occurrence{ID: id, Reminder: r.ID, Moment: m}, true
}

// answered returns what carers entered about an occurrence, the newest first.
func (t *turn) answered(o planner.Occurrence) (out []planner.Entry) {
	for _, e := range t.entries(store.EntryQuery{From: o.At.Add(-24 * time.Hour), Newest: true}) {
		if e.Of == o.ID {
			out = append(out, e)
		}
	}
	return out
}

// pressDue does what a button under something that fell due asks.
func (t *turn) pressDue(args []string) {
	r := t.reminder(arg(args, 1))
	if r == nil {
		t.sayMsg("due.gone").InPlace = t.event.Message
		return
	}
	o, ok := t.occurrenceOf(r, arg(args, 2))
	do := t.reg.actions[arg(args, 0)]
	if !ok || do == nil {
		t.sayMsg("press.stale")
		return
	}
	do(t, r, o, args[3:])
	if arg(args, 3) == beside && len(t.replies) > 0 {
		t.replies[0].InPlace = "" // the message has other buttons that are still open
	}
}

// act does what a button under something that fell due would.
func (t *turn) act(action string, r *planner.Reminder, o planner.Occurrence) {
	t.reg.actions[action](t, r, o, nil)
}

// beside marks a button of a message that holds several occurrences.
const beside = "beside"

// The times that a message may be put off by, in minutes; a tap on Later is
// the first (our own choice).
var laterMinutes = []int{30, 60, 180, dayMinutes}

const dayMinutes = 24 * 60

// mostLater is how often one message may be put off.
const mostLater = 20

// pressLater puts an occurrence off, by the minutes that follow.
func (t *turn) pressLater(r *planner.Reminder, o planner.Occurrence, more []string) {
	minutes := laterMinutes[0]
	if n, err := strconv.Atoi(arg(more, 0)); err == nil {
		minutes = n
	}
	t.putOff(r, o, minutes)
}

// putOff says an occurrence again some minutes from now, at least one and at
// most a day.
func (t *turn) putOff(r *planner.Reminder, o planner.Occurrence, minutes int) {
	if done := t.answered(o); len(done) > 0 {
		t.alreadyAnswered(r, o, done[0])
		return
	}
	minutes = min(max(minutes, 1), dayMinutes)
	until := t.event.At.Add(time.Duration(minutes) * time.Minute).Truncate(time.Minute)
	times := t.saidLater(o) + 1
	for _, s := range t.home.Snoozes {
		if s.Of == o.ID {
			times = max(times, s.Times+1)
		}
	}
	if times > mostLater {
		t.sayMsg("due.later-often", "what", t.aboutReminder(r))
		return
	}
	t.mutate("did.later", t.aboutReminder(r))
	t.dropSnooze(o.ID)
	t.home.Snoozes = append(t.home.Snoozes, planner.Snooze{Of: o.ID, Until: until.UTC(), Times: times})
	moved := ""
	if r.Kind == planner.BowlReminder {
		moved = t.movedDiabetic(t.dog(r.Dog))
	}
	out := t.say(para(moved), para(msg("due.later", "what", t.aboutReminder(r), "when", t.clock(until))))
	out.InPlace = t.event.Message
	var row []Button
	for _, m := range laterMinutes {
		if m != minutes && (m != dayMinutes || r.Kind != planner.BowlReminder) {
			row = append(row, t.dueButton(minutesText(m), "later", o, trim(float64(m), 0)))
		}
	}
	out.offer(row...)
	out.offer(t.doneButton(r, o), t.undoButton())
}

// saidLater is how often an occurrence was put off and said again; a snooze
// that was said is dropped, but the mark that it was said is kept by its
// number, so the next one needs a further number.
func (t *turn) saidLater(o planner.Occurrence) int {
	for n := mostLater; n > 0; n-- {
		o.Snoozed = n
		seen, err := t.tx.Seen(dueMark(o))
		if err != nil {
			t.fail(err)
			return 0
		}
		if seen {
			return n
		}
	}
	return 0
}

func minutesText(m int) string {
	if m == dayMinutes {
		return msg("due.tomorrow")
	}
	if m%60 == 0 {
		return msg("due.hours", "n", m/60)
	}
	return msg("due.minutes", "n", m)
}

// doneButton answers an occurrence for good.
func (t *turn) doneButton(r *planner.Reminder, o planner.Occurrence) Button {
	switch r.Kind {
	case planner.BowlReminder:
		return t.dueButton(msg("button.fed"), "fed", o)
	case planner.SupplementReminder:
		return t.dueButton(msg("button.given"), "given", o)
	}
	return t.dueButton(msg("button.done"), "done", o)
}

// dropSnooze forgets that an occurrence was put off.
func (t *turn) dropSnooze(of string) {
	kept := t.home.Snoozes[:0]
	for _, s := range t.home.Snoozes {
		if s.Of != of {
			kept = append(kept, s)
		}
	}
	t.home.Snoozes = kept
}

// aboutReminder is what a reminder is about, in a few words.
func (t *turn) aboutReminder(r *planner.Reminder) string {
	name := ""
	if d := t.dog(r.Dog); d != nil {
		name = d.Name
	}
	switch r.Kind {
	case planner.SupplementReminder:
		if r.Dose == nil {
			return name
		}
		return strings.TrimSpace(msg("due.about-dose", "dog", name, "food", t.foodName(r.Dose.Food)))
	case planner.NoteReminder:
		return short(r.Text)
	case planner.BowlReminder:
		return msg("due.about-bowl", "dog", name)
	}
	if r.Kind == planner.StoolReminder || r.Kind == planner.DoubtReminder {
		return strings.TrimSpace(msg("due.about-"+string(r.Kind), "dog", name))
	}
	return msg("due.about-" + string(r.Kind))
}

// alreadyAnswered says who answered an occurrence, and how.
func (t *turn) alreadyAnswered(r *planner.Reminder, o planner.Occurrence, e planner.Entry) *Reply {
	out := t.sayMsg("due.already", "what", t.aboutReminder(r), "how", t.entryText(e))
	out.InPlace = t.event.Message
	return out
}

// entryText says what was done, by whom and when: "fed by Tomas 07:12".
func (t *turn) entryText(e planner.Entry) string {
	return msg("entry."+string(e.Kind), "name", t.nameOf(e.Person), "when", t.clock(e.At))
}

// lateText says that something was due earlier.
func (t *turn) lateText(o planner.Occurrence) string {
	switch {
	case o.Late && o.Missed > 0:
		return msg("due.late-more", "when", t.clock(o.At), "n", o.Missed)
	case o.Late:
		return msg("due.late", "when", t.clock(o.At))
	}
	return ""
}

// sayNotes says one-off reminders as they were typed.
func (t *turn) sayNotes(due []planner.Occurrence) {
	for _, o := range due {
		r := t.reminder(o.Reminder)
		if r == nil {
			continue
		}
		text := msg("due.note", "text", r.Text)
		if d := t.dog(r.Dog); d != nil {
			text = msg("due.note-of", "dog", d.Name, "text", r.Text)
		}
		t.say(para(text), para(t.lateText(o))).
			offer(t.dueButton(msg("button.done"), "done", o), t.dueButton(msg("button.later"), "later", o))
	}
}

// pressNoteDone notes that what a reminder said is done; one for a single
// day is then dropped.
func (t *turn) pressNoteDone(r *planner.Reminder, o planner.Occurrence, _ []string) {
	if done := t.answered(o); len(done) > 0 {
		t.alreadyAnswered(r, o, done[0])
		return
	}
	about := t.aboutReminder(r)
	t.mutate("did.note-done", about)
	e := t.note(planner.Entry{Kind: planner.NoteDone, Dog: r.Dog, Of: o.ID, Date: o.Date, Text: r.Text})
	t.dropSnooze(o.ID)
	if r.Schedule.Once && r.Kind == planner.NoteReminder {
		t.dropReminder(r.ID)
	}
	t.settled(msg("due.done", "what", about, "how", t.entryText(e)))
}

func (t *turn) dropReminder(id string) {
	t.home.Pauses = slices.DeleteFunc(t.home.Pauses, func(p planner.Pause) bool { return p.Reminder != "" && p.Reminder == id })
	kept := t.home.Reminders[:0]
	for _, r := range t.home.Reminders {
		if r.ID != id {
			kept = append(kept, r)
		}
	}
	t.home.Reminders = kept
}

// settled says in place of the message what became of it, and to the others
// in a line.
func (t *turn) settled(text string, more ...Button) *Reply {
	out := t.say(para(text)).offer(append([]Button{t.undoButton()}, more...)...)
	out.InPlace = t.event.Message
	t.tell(t.others(), Reply{Body: []Block{para(text)}})
	return out
}

package talk

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"time"

	"bowlwright/bot/say"
	"bowlwright/planner"
	"bowlwright/store"
)

// DueButton is a button under what fell due.
func DueButton(t *Turn, label, action string, o planner.Occurrence, more ...string) say.Button {
	return t.Button(label, "due", append([]string{action, o.Reminder, say.StampOf(o.Moment)}, more...)...)
}

// Reminder returns a reminder of the household, nil where there is none.
func (t *Turn) Reminder(id string) *planner.Reminder {
	return cmp.Or(planner.FirstOf(t.Home.Reminders, func(r *planner.Reminder) bool { return r.ID == id }), t.Home.MorningMeals(id))
}

// OccurrenceOf is the occurrence that a button stands for.
func OccurrenceOf(t *Turn, r *planner.Reminder, stamp string) (planner.Occurrence, bool) {
	at, err := time.Parse(say.StampForm, stamp)
	if err != nil {
		return planner.Occurrence{}, false
	}
	m := planner.Moment{Date: planner.DateOf(at), Clock: planner.ClockOf(at)}
	m.At = planner.Instant(m.Date, m.Clock, LocationOf(t, r)).UTC()
	id := planner.OccurrenceID(t.Home.ID, r.ID, m)
	return planner.Occurrence{ID: id, Reminder: r.ID, Moment: m}, true
}

// Answered returns what carers entered about an occurrence, the newest first.
func Answered(t *Turn, o planner.Occurrence) (out []planner.Entry) {
	for _, e := range t.Entries(store.EntryQuery{From: o.At.Add(-24 * time.Hour), Newest: true}) {
		if e.Of == o.ID {
			out = append(out, e)
		}
	}
	return out
}

// pressDue does what a button under something that fell due asks.
func (t *Turn) pressDue(args []string) {
	r := t.Reminder(Arg(args, 1))
	if r == nil {
		t.SayMsg("due.gone").InPlace = t.Event.Message
		return
	}
	o, ok := OccurrenceOf(t, r, Arg(args, 2))
	do := t.reg.Actions[Arg(args, 0)]
	if Stale(t, !ok || do == nil) {
		return
	}
	do(t, r, o, args[3:])
	if Arg(args, 3) == Beside && len(t.Replies) > 0 {
		t.Replies[0].InPlace = "" // the message has other buttons that are still open
	}
}

// Act does what a button under something that fell due would.
func Act(t *Turn, action string, r *planner.Reminder, o planner.Occurrence) {
	t.reg.Actions[action](t, r, o, nil)
}

// Beside marks a button of a message that holds several occurrences.
const Beside = "beside"

// The times that a message may be put off by, in minutes; a tap on Later is
// the first (our own choice).
var laterMinutes = []int{30, 60, 180, dayMinutes}

const dayMinutes = 24 * 60

// mostLater is how often one message may be put off.
const mostLater = 20

// pressLater puts an occurrence off, by the minutes that follow.
func (t *Turn) pressLater(r *planner.Reminder, o planner.Occurrence, more []string) {
	minutes := laterMinutes[0]
	if n, err := strconv.Atoi(Arg(more, 0)); err == nil {
		minutes = n
	}
	PutOff(t, r, o, minutes)
}

// PutOff says an occurrence again some minutes from now, at least one and at
// most a day.
func PutOff(t *Turn, r *planner.Reminder, o planner.Occurrence, minutes int) {
	if Settled(t, r, o) {
		return
	}
	minutes = min(max(minutes, 1), dayMinutes)
	until := t.Event.At.Add(time.Duration(minutes) * time.Minute).Truncate(time.Minute)
	times := t.saidLater(o) + 1
	for _, s := range t.Home.Snoozes {
		if s.Of == o.ID {
			times = max(times, s.Times+1)
		}
	}
	if times > mostLater {
		t.SayMsg("due.later-often", "what", AboutReminder(t, r))
		return
	}
	t.Mutate("did.later", AboutReminder(t, r))
	DropSnooze(t, o.ID)
	t.Home.Snoozes = append(t.Home.Snoozes, planner.Snooze{Of: o.ID, Until: until.UTC(), Times: times})
	moved := say.Where(r.Kind == planner.BowlReminder, MovedDiabetic(t.Dog(r.Dog)))
	out := t.Say(say.Para(moved), say.Para(msg("due.later", "what", AboutReminder(t, r), "when", t.Clock(until))))
	out.InPlace = t.Event.Message
	var row []say.Button
	for _, m := range laterMinutes {
		if m != minutes && (m != dayMinutes || r.Kind != planner.BowlReminder) {
			row = append(row, DueButton(t, minutesText(m), "later", o, say.Trim(float64(m), 0)))
		}
	}
	out.Offer(row...)
	out.Offer(t.doneButton(r, o), t.UndoButton())
}

// saidLater is how often an occurrence was put off and said again; a snooze
// that was said is dropped, but the mark that it was said is kept by its
// number, so the next one needs a further number.
func (t *Turn) saidLater(o planner.Occurrence) int {
	for n := mostLater; n > 0; n-- {
		o.Snoozed = n
		seen, err := t.Snap.Seen(dueMark(o))
		if err != nil {
			t.Fail(err)
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
	return say.Choose(m%60 == 0, msg("due.hours", "n", m/60), msg("due.minutes", "n", m))
}

// doneButton answers an occurrence for good.
func (t *Turn) doneButton(r *planner.Reminder, o planner.Occurrence) say.Button {
	switch r.Kind {
	case planner.BowlReminder:
		return DueButton(t, msg("button.fed"), "fed", o)
	case planner.SupplementReminder:
		return DueButton(t, msg("button.given"), "given", o)
	}
	return DueButton(t, msg("button.done"), "done", o)
}

// DropSnooze forgets that an occurrence was put off.
func DropSnooze(t *Turn, of string) {
	t.Home.Snoozes = slices.DeleteFunc(t.Home.Snoozes, func(s planner.Snooze) bool { return s.Of == of })
}

// AboutReminder is what a reminder is about, in a few words.
func AboutReminder(t *Turn, r *planner.Reminder) string {
	name := ""
	if d := t.Dog(r.Dog); d != nil {
		name = d.Name
	}
	switch r.Kind {
	case planner.SupplementReminder:
		if r.Dose == nil {
			return name
		}
		return strings.TrimSpace(msg("due.about-dose", "dog", name, "food", t.FoodName(r.Dose.Food)))
	case planner.NoteReminder:
		return say.Short(r.Text)
	case planner.BowlReminder:
		return msg("due.about-bowl", "dog", name)
	}
	return strings.TrimSpace(msg("due.about-"+string(r.Kind), "dog", name))
}

// AlreadyAnswered says who answered an occurrence, and how.
func AlreadyAnswered(t *Turn, r *planner.Reminder, e planner.Entry) *say.Reply {
	out := t.SayMsg("due.already", "what", AboutReminder(t, r), "how", EntryText(t, e))
	out.InPlace = t.Event.Message
	return out
}

// Settled says so where an occurrence was answered, and reports whether it was.
func Settled(t *Turn, r *planner.Reminder, o planner.Occurrence) bool {
	done := Answered(t, o)
	if len(done) > 0 {
		AlreadyAnswered(t, r, done[0])
	}
	return len(done) > 0
}

// EntryText says what was done, by whom and when: "fed by Tomas 07:12".
func EntryText(t *Turn, e planner.Entry) string {
	return msg("entry."+string(e.Kind), "name", NameOf(t, e.Person), "when", t.Clock(e.At))
}

// LateText says that something was due earlier.
func LateText(t *Turn, o planner.Occurrence) string {
	switch {
	case o.Late && o.Missed > 0:
		return msg("due.late-more", "when", t.Clock(o.At), "n", o.Missed)
	case o.Late:
		return msg("due.late", "when", t.Clock(o.At))
	}
	return ""
}

func DropReminder(t *Turn, id string) {
	t.Home.Pauses = slices.DeleteFunc(t.Home.Pauses, func(p planner.Pause) bool { return p.Reminder != "" && p.Reminder == id })
	t.Home.Reminders = slices.DeleteFunc(t.Home.Reminders, func(r planner.Reminder) bool { return r.ID == id })
}

// SayDone replaces the message by what was done about it, and tells the other
// carers in a line.
func SayDone(t *Turn, text string, more ...say.Button) *say.Reply {
	out := t.Say(say.Para(text)).Offer(append([]say.Button{t.UndoButton()}, more...)...)
	out.InPlace = t.Event.Message
	t.Tell(Others(t), say.Reply{Body: []say.Block{say.Para(text)}})
	return out
}

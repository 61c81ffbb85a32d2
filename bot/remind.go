package bot

import (
	"cmp"
	"errors"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// mostReminders is how many reminders a household may have; it keeps the
// list one that a person can read.
const mostReminders = 60

// defaultNoteTime is when something is said where a day is named and no time
// (common practice, no source).
var defaultNoteTime = []planner.Clock{planner.At(9, 0)}

// remindCommand lists the reminders, or makes one of what follows.
func (t *turn) remindCommand(rest string) {
	if rest == "" {
		t.listReminders("")
		return
	}
	words := rest
	if s, ok := read.Understand("remind "+rest, t.names(), t.home.Units); ok && s.Intent == read.Remind {
		words = s.Words // "/remind me to ..."
	}
	t.answerRemind(read.Sentence{Intent: read.Remind, Words: words})
}

// answerRemind makes the reminder that a sentence asks for.
func (t *turn) answerRemind(s read.Sentence) {
	if day := read.PastDay(s.Words); day != "" {
		t.sayMsg("remind.past", "day", capital(day))
		return
	}
	r, err := read.ReminderText(s.Words, t.names(), t.event.At)
	if err != nil {
		t.sayWhenTrouble(err, s.Words)
		return
	}
	if r.Dog != "" {
		t.talk.Dog = r.Dog
	}
	switch r.About {
	case read.Feeding:
		if _, _, dogs := t.dogsIn(s.Words); len(dogs) > 1 && len(r.When.Times) > 0 {
			t.feedAt(dogs, r.When.Times, true)
			return
		}
		t.remindFeeding(t.dog(r.Dog), r.When)
	case read.WeighingIn:
		t.setCheckIn(planner.WeighReminder, t.dog(r.Dog), r.When)
	case read.Scoring:
		t.setCheckIn(planner.ConditionReminder, t.dog(r.Dog), r.When)
	default:
		if !t.remindDose(r) {
			t.remindNote(r)
		}
	}
}

// remindNote makes a reminder of anything that has no answer of its own.
func (t *turn) remindNote(r read.Reminder) {
	text := short(r.Text)
	if word := strings.ToLower(text); word == "" || word == "me" || word == "us" {
		t.sayMsg("remind.of-what")
		return
	}
	draft := remindDraft{New: true, R: planner.Reminder{Kind: planner.NoteReminder, Dog: r.Dog, Text: text}, When: r.When}
	if !r.When.Said() || onlySpan(r.When) {
		t.askRemind(draft, "when")
		return
	}
	t.finishRemind(draft)
}

// onlySpan reports that a text says from or until when, but neither on which
// days nor at which times.
func onlySpan(w read.When) bool {
	return !w.Repeats && !w.Monthly && len(w.Times) == 0 && w.Meal == "" && w.On.IsZero() && w.At.IsZero()
}

// whenTrouble says what is wrong with days and times, and what to type.
func whenTrouble(err error, typed string) string {
	var p read.Problem
	if errors.As(err, &p) && p.Code == read.BadCadence {
		return msg("remind.bad-cadence", "text", short(cmp.Or(p.Part, p.Text)))
	}
	return problemOf(err, typed)
}

// timesOf are the times that words say: the clock's, or those of a dog's
// meals. It reports whether the first meal's time is to be followed; fallback
// is taken where nothing is said, the first meal where that is empty.
func timesOf(w read.When, d *planner.Dog, fallback []planner.Clock) (times []planner.Clock, withMeal bool, wrong string) {
	meals := planner.DefaultMealTimes(1)
	if d != nil {
		meals = d.MealTimes()
	}
	switch {
	case len(w.Times) > 0:
		times = slices.Clone(w.Times)
		slices.Sort(times)
		times = slices.Compact(times)
	case w.Meal == read.LastMeal:
		times = meals[len(meals)-1:]
	case w.Meal == read.EachMeal || w.Meal == "" && w.PerDay > 1 && w.PerDay == len(meals):
		times = meals
	case w.Meal == read.FirstMeal || len(fallback) == 0:
		times, withMeal = meals[:1], true
	default:
		times = fallback
	}
	if w.PerDay > 1 && w.PerDay != len(times) {
		return nil, false, msg("remind.times-a-day", "n", w.PerDay)
	}
	return slices.Clone(times), withMeal && w.PerDay <= 1, ""
}

// scheduleOf works out a schedule from words. Its first day is today where a
// time of today is still to come, else tomorrow. Where that cannot be, it
// returns what is wrong.
func (t *turn) scheduleOf(w read.When, d *planner.Dog, fallback []planner.Clock) (s planner.Schedule, withMeal bool, wrong string) {
	times, withMeal, wrong := timesOf(w, d, fallback)
	if wrong != "" {
		return s, false, wrong
	}
	now := t.event.At
	today := planner.DateOf(now)
	next := today // the first day on which all of it is still to come
	passed := times[len(times)-1] <= planner.ClockOf(now)
	if passed {
		next = today.AddDays(1)
	}
	switch {
	case !w.At.IsZero():
		at := w.At.In(now.Location())
		s = planner.Schedule{Once: true, Anchor: planner.DateOf(at), Times: []planner.Clock{planner.ClockOf(at)}}
		withMeal = false
	case !w.Repeats && !w.Monthly:
		day := next
		if !w.On.IsZero() {
			day = w.On
		} else if !w.From.IsZero() {
			day = w.From
		}
		if day == today && passed {
			if !w.Weekday {
				return s, false, msg("remind.passed", "time", times[len(times)-1].String(), "now", t.localTime())
			}
			day = day.AddDays(7)
		}
		s = planner.Schedule{Once: true, Anchor: day, Times: times}
	default:
		s = repeating(w, today, next, times)
	}
	if !s.Once {
		s.Until = w.Until
		if w.Days > 0 {
			s.Until = s.Anchor.AddDays(w.Days - 1)
		}
	}
	if wrong := t.scheduleTrouble(s); wrong != "" {
		return s, false, wrong
	}
	return s, withMeal, ""
}

// repeating is the schedule of words that say how often.
func repeating(w read.When, today, next planner.Date, times []planner.Clock) planner.Schedule {
	anchor := next
	for _, named := range []planner.Date{w.On, w.From} {
		if !named.IsZero() && named != today {
			anchor = named
		}
	}
	if !w.Monthly {
		return planner.FromCadence(w.Cadence, anchor, times)
	}
	day := w.MonthDay
	if day == 0 {
		day = anchor.Day
	}
	return planner.Schedule{MonthDay: day, Anchor: anchor, Times: times}
}

// scheduleTrouble says why a schedule cannot be, empty where it can.
func (t *turn) scheduleTrouble(s planner.Schedule) string {
	today := t.date()
	if !s.Until.IsZero() && s.Until.Before(s.Anchor) {
		return msg("remind.until-before", "until", t.dateText(s.Until), "first", t.dateText(s.Anchor))
	}
	var f *planner.FieldError
	if err := s.Validate(today); errors.As(err, &f) {
		if f.Code == planner.FieldPast {
			return msg("remind.past", "day", t.dateText(s.Anchor))
		}
		return msg("remind.cannot")
	}
	if s.In(t.event.At.Location()).Next(t.event.At).IsZero() {
		return msg("remind.never")
	}
	return ""
}

// keepReminder adds a reminder to the household. It reports false where
// there are too many, and says so. The caller says what was added.
func (t *turn) keepReminder(r planner.Reminder, about string) (*planner.Reminder, bool) {
	if len(t.home.Reminders) >= mostReminders {
		t.sayMsg("remind.too-many", "n", mostReminders).offer(t.button(msg("button.reminders"), "remind", "list"))
		return nil, false
	}
	t.mutate("did.reminder-added", about)
	r.ID = t.newID("n")
	r.Since = t.event.At.UTC()
	t.home.Reminders = append(t.home.Reminders, r)
	return &t.home.Reminders[len(t.home.Reminders)-1], true
}

// changeReminder keeps a changed reminder in its place, from now on.
func (t *turn) changeReminder(changed planner.Reminder) *planner.Reminder {
	r := t.reminder(changed.ID)
	if r == nil {
		return nil
	}
	t.mutate("did.reminder-changed", t.aboutReminder(r))
	changed.Since = t.event.At.UTC()
	*r = changed
	t.dropSnoozesOf(r.ID)
	return r
}

// dropSnoozesOf forgets what of a reminder was put off: its times are others
// now.
func (t *turn) dropSnoozesOf(id string) {
	t.home.Snoozes = slices.DeleteFunc(t.home.Snoozes, func(s planner.Snooze) bool {
		_, of, _, err := planner.ParseOccurrence(s.Of)
		return err == nil && of == id
	})
}

// dropRemindersOf takes out the reminders and pauses of a dog that is no
// longer there.
func (t *turn) dropRemindersOf(dog string) {
	t.home.Reminders = slices.DeleteFunc(t.home.Reminders, func(r planner.Reminder) bool {
		if r.Dog == dog {
			t.dropSnoozesOf(r.ID)
		}
		return r.Dog == dog
	})
	t.home.Pauses = slices.DeleteFunc(t.home.Pauses, func(p planner.Pause) bool { return p.Dog == dog })
}

// stopReminder takes a reminder out of the household.
func (t *turn) stopReminder(r *planner.Reminder) {
	about := t.aboutReminder(r)
	t.mutate("did.reminder-stopped", about)
	t.dropSnoozesOf(r.ID)
	t.dropReminder(r.ID)
	t.inPlace(t.sayMsg("remind.stopped", "what", capital(about)).offer(t.undoButton()))
}

// inPlace lets a reply take the place of the message whose button was
// pressed.
func (t *turn) inPlace(r *Reply) *Reply {
	if t.event.Press != "" {
		r.InPlace = t.event.Message
	}
	return r
}

// answerStop stops the reminder that some words are about.
func (t *turn) answerStop(s read.Sentence) {
	found := t.remindersAbout(s.Words)
	switch len(found) {
	case 0:
		t.listReminders(msg("remind.none-about", "text", short(s.Words)))
	case 1:
		t.stopReminder(found[0])
	default:
		r := t.sayMsg("remind.which")
		for _, f := range found {
			r.offer(t.button(cut(t.reminderLine(f), 40), "remind", "stop", f.ID))
		}
	}
}

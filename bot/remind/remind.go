package remind

import (
	"cmp"
	"errors"
	"reflect"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// MostReminders is how many reminders a household may have; it keeps the
// list one that a person can read.
const MostReminders = 60

// defaultNoteTime is when something is said where a day is named and no time
// (common practice, no source).
var defaultNoteTime = []planner.Clock{planner.At(9, 0)}

// remindCommand lists the reminders, or makes one of what follows.
func remindCommand(t *talk.Turn, rest string) {
	if rest == "" {
		listReminders(t, "")
		return
	}
	words := rest
	if s, ok := t.Understand("remind " + rest); ok && s.Intent == read.Remind {
		words = s.Words // "/remind me to ..."
	}
	answerRemind(t, read.Sentence{Intent: read.Remind, Words: words})
}

// answerRemind makes the reminder that a sentence asks for.
func answerRemind(t *talk.Turn, s read.Sentence) {
	s.Words = cmp.Or(s.Words, t.AsTyped())
	if m := read.Pattern("dose-for-each").FindStringSubmatchIndex(s.Words); m != nil {
		lead, rest := strings.TrimRight(read.Without("to-both", s.Words[:m[0]]), " ,"), s.Words[m[1]:]
		for i := 2; i < len(m); i += 2 {
			answerRemind(t, read.Sentence{Intent: read.Remind, Words: lead + " " + s.Words[m[i]:m[i+1]] + rest})
		}
		return
	}
	words, also, amount := alsoFor(t, s.Words)
	s.Words = words
	if from, to, dogs := talk.DogsIn(t, s.Words); len(dogs) > 1 && read.Says("dose", s.Words) {
		s.Words, also = s.Words[:from]+dogs[0].Name+s.Words[to:], append(also, dogs[1:]...)
	}
	switch {
	case read.Says("meals-morning", s.Words):
		setMealsMode(t, mealsMorning)
		return
	case read.Says("meals-each", s.Words):
		setMealsMode(t, mealsEach)
		return
	}
	s.Words = beforeMeals(t, s.Words)
	each, err := read.EachReminder(s.Words, t.Names(), t.Event.At)
	if err != nil {
		talk.SayWhenTrouble(t, err, s.Words)
		return
	}
	if day := read.Pattern("past-day").FindString(s.Words); day != "" && each[0].Last.IsZero() {
		t.SayMsg("remind.past", "day", say.Capital(day))
		return
	}
	for _, r := range each {
		makeReminder(t, r, s.Words)
		if !r.Last.IsZero() && len(t.Replies) > 0 {
			due := say.Where(r.When.From.IsZero(), msg("remind.was-due", "day", t.DateText(r.Next)))
			t.LastReply().Begin(msg("remind.counted", "day", t.DateText(r.Last), "due", due))
		}
	}
	if t.Changed && len(also) > 0 {
		sameFor(t, also, amount)
	}
}

// makeReminder makes one of the reminders that a sentence asks for.
func makeReminder(t *talk.Turn, r read.Reminder, words string) {
	if r.Dog != "" {
		t.Talk.Dog = r.Dog
	}
	switch r.About {
	case read.Feeding:
		_, _, dogs := talk.DogsIn(t, words)
		if len(dogs) == 0 && (read.SaysThem(words) || read.Says("their-meals", words)) {
			dogs = t.Dogs()
		}
		if len(dogs) > 1 && len(r.When.Times) > 0 {
			feedAt(t, dogs, r.When.Times, true)
			return
		}
		remindFeeding(t, t.Dog(r.Dog), r.When)
	case read.WeighingIn:
		setCheckIn(t, planner.WeighReminder, t.Dog(r.Dog), r.When)
	case read.Scoring:
		setCheckIn(t, planner.ConditionReminder, t.Dog(r.Dog), r.When)
	default:
		if !remindThaw(t, r) && !remindDose(t, r) {
			remindNote(t, r)
		}
	}
}

// remindThaw sets the evening's message about what to take out, where it is asked
// for, and reports whether it is: "remind me what to thaw at 20:00".
func remindThaw(t *talk.Turn, r read.Reminder) bool {
	what, _ := strings.CutPrefix(strings.ToLower(r.Text), "me ")
	got, ok := t.Understand(what)
	if !ok || got.Intent != read.ThawAsked || !r.When.On.IsZero() && !r.When.Repeats {
		return false
	}
	at := freezerTime
	if len(r.When.Times) > 0 {
		at = r.When.Times[0]
	}
	addFreezer(t, at)
	return true
}

// remindNote makes a reminder of anything that has no answer of its own.
func remindNote(t *talk.Turn, r read.Reminder) {
	text := say.Short(r.Text)
	if d := talk.TheDog(t); d != nil && r.Dog == "" && r.Pronoun {
		r.Dog = d.ID
	}
	if d := t.Dog(r.Dog); d != nil && (r.About == read.Giving || givesMedicine(r)) {
		if isMedicine(r.Thing) {
			text = say.Short(say.Capital(r.Thing) + " for " + d.Name)
		}
		if r.When.Days == 0 && r.When.Until.IsZero() { // a course is no illness
			dogs.NoteMedicine(t, d, r.Thing)
		}
	}
	draft := remindDraft{New: true, R: planner.Reminder{Kind: planner.NoteReminder, Dog: r.Dog, Text: text}, When: r.When}
	if read.Says("names-no-reminder", text) {
		draft.R.Text = ""
		askRemind(t, draft, "text")
		return
	}
	if read.Says("by-vet", t.AsTyped()) {
		draft.done("sure")
	}
	if !r.When.Said() || onlySpan(r.When) {
		askRemind(t, draft, "when")
		return
	}
	if have := givenAlready(t, r); have != nil {
		draft.R.Kind, draft.R.Dog, draft.R.Dose, draft.R.Text = planner.SupplementReminder, have.Dog, have.Dose, ""
	}
	finishRemind(t, draft)
}

// givenAlready is the reminder of a supplement that a note names and nothing
// else: "only vitamin E once a week". A second one of it would double the dose.
func givenAlready(t *talk.Turn, r read.Reminder) *planner.Reminder {
	words := strings.Fields(r.Text)
	words = slices.DeleteFunc(words, func(w string) bool { return read.In("only-says", strings.ToLower(w)) })
	thing := strings.Join(words, " ")
	for _, have := range sortedReminders(t, planner.SupplementReminder) {
		if have.Dose != nil && (r.Dog == "" || have.Dog == r.Dog) && onlyNames(t, thing, have.Dose.Food) {
			return have
		}
	}
	return nil
}

// onlySpan reports that a text says from or until when, but neither on which
// days nor at which times.
func onlySpan(w span.When) bool {
	return !w.Repeats && !w.Monthly && len(w.Times) == 0 && w.Meal == "" && w.On.IsZero() && w.At.IsZero() && (w.From.IsZero() || w.Until.IsZero())
}

// timesOf are the times that words say: the clock's, or those of a dog's
// meals. It reports whether the first meal's time is to be followed; fallback
// is taken where nothing is said, the first meal where that is empty.
func timesOf(w span.When, d *planner.Dog, fallback []planner.Clock) (times []planner.Clock, withMeal bool, wrong string) {
	meals := planner.DefaultMealTimes(1)
	if d != nil {
		meals = d.MealTimes()
	}
	switch {
	case len(w.Times) > 0:
		times = slices.Clone(w.Times)
		slices.Sort(times)
		times = slices.Compact(times)
	case w.Meal == span.LastMeal:
		times = meals[len(meals)-1:]
	case w.Meal == span.EachMeal || w.Meal == "" && w.PerDay > 1 && w.PerDay == len(meals):
		times = meals
	case w.Meal == span.FirstMeal || len(fallback) == 0:
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
func scheduleOf(t *talk.Turn, w span.When, d *planner.Dog, fallback []planner.Clock) (s planner.Schedule, withMeal bool, wrong string) {
	if d == nil && len(t.Home.Dogs) > 0 {
		d = t.Dogs()[0] // by whose meals it goes where none is named
	}
	times, withMeal, wrong := timesOf(w, d, fallback)
	if wrong != "" {
		return s, false, wrong
	}
	if workdays := w.Weekday && w.On.Weekday() == time.Monday && w.On.DaysTo(w.Until) == 4; !w.Repeats && !w.Monthly && w.At.IsZero() && !w.Until.IsZero() {
		w.Repeats = true // "until Friday", "from Friday to Sunday"
		if workdays {
			w.Cadence.Weekdays, w.Until = []time.Weekday{1, 2, 3, 4, 5}, planner.Date{}
		}
	}
	now := t.Event.At
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
		day := cmp.Or(w.On, w.From, next)
		if day == today && passed {
			if !w.Weekday {
				return s, false, msg("remind.passed", "time", times[len(times)-1].String(), "now", talk.LocalTime(t))
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
			left := slices.IndexFunc(times, func(c planner.Clock) bool { return c > planner.ClockOf(now) })
			if s.EveryDays == 1 && s.Anchor == today && left > 0 { // the doses count, and one of today's is over
				s.Until, s.Fewer = s.Until.AddDays(1), len(times)-left
			}
		}
	}
	if wrong := scheduleTrouble(t, s); wrong != "" {
		return s, false, wrong
	}
	return s, withMeal, ""
}

// answerCookDay keeps on which days is cooked, in the place of the days before. A day
// that is said alone is that one day.
func answerCookDay(t *talk.Turn, _ read.Sentence) {
	w, err := span.WhenText(read.Without("habit", t.Event.Text), t.Event.At)
	if err != nil {
		talk.SayWhenTrouble(t, err, t.Event.Text)
		return
	}
	if !w.Said() {
		t.SayMsg("remind.cook-which")
		return
	}
	s, _, wrong := scheduleOf(t, w, nil, defaultNoteTime)
	if wrong != "" {
		t.Say(say.Para(wrong))
		return
	}
	keepOne(t, planner.Reminder{Kind: planner.CookReminder, Schedule: s})
}

// keepOne keeps a reminder of a kind of which there is one, in the place of that.
func keepOne(t *talk.Turn, r planner.Reminder) {
	for _, have := range sortedReminders(t, r.Kind) {
		r.ID = have.ID
		sayKept(t, changeReminder(t, r))
		return
	}
	if kept, ok := keepReminder(t, r, talk.AboutReminder(t, &r)); ok {
		sayKept(t, kept)
	}
}

// repeating is the schedule of words that say how often.
func repeating(w span.When, today, next planner.Date, times []planner.Clock) planner.Schedule {
	anchor := next
	for _, named := range []planner.Date{w.On, w.From} {
		if !named.IsZero() && named != today {
			anchor = named
		}
	}
	if w.On == today && next != today && w.Cadence.EveryDays > 1 { // "every second Sunday", said on one after its time
		anchor = today.AddDays(w.Cadence.EveryDays)
	}
	if !w.Monthly {
		return planner.FromCadence(w.Cadence, anchor, times)
	}
	day := cmp.Or(w.MonthDay, anchor.Day)
	return planner.Schedule{MonthDay: day, Months: w.Months, Anchor: anchor, Times: times}
}

// scheduleTrouble says why a schedule cannot be, empty where it can.
func scheduleTrouble(t *talk.Turn, s planner.Schedule) string {
	today := t.Date()
	if !s.Until.IsZero() && s.Until.Before(s.Anchor) {
		return msg("remind.until-before", "until", t.DateText(s.Until), "first", t.DateText(s.Anchor))
	}
	var f *planner.FieldError
	if err := s.Validate(today); errors.As(err, &f) {
		if f.Code == planner.FieldPast {
			return msg("remind.past", "day", t.DateText(s.Anchor))
		}
		return msg("remind.cannot")
	}
	return say.Where(s.In(t.Event.At.Location()).Next(t.Event.At).IsZero(), msg("remind.never"))
}

// keepReminder adds a reminder to the household. It reports false where there
// are too many, or the same note at the same times already, and says so. The
// caller says what was added.
func keepReminder(t *talk.Turn, r planner.Reminder, about string) (*planner.Reminder, bool) {
	for _, have := range sortedReminders(t, planner.NoteReminder) {
		if r.Kind == have.Kind && have.Dog == r.Dog && strings.EqualFold(have.Text, r.Text) && !have.Off && reflect.DeepEqual(have.Schedule, r.Schedule) {
			showReminder(t, have, msg("supplement.have"))
			return nil, false
		}
	}
	if len(t.Home.Reminders) >= MostReminders {
		t.SayMsg("remind.too-many", "n", MostReminders).Offer(t.Button(msg("button.reminders"), "remind", "list"))
		return nil, false
	}
	t.Mutate("did.reminder-added", about)
	return talk.AddReminder(t, r), true
}

// changeReminder keeps a changed reminder in its place, from now on.
func changeReminder(t *talk.Turn, changed planner.Reminder) *planner.Reminder {
	r := t.Reminder(changed.ID)
	if r == nil {
		return nil
	}
	t.Mutate("did.reminder-changed", talk.AboutReminder(t, r))
	changed.Since = t.Event.At.UTC()
	*r = changed
	dropSnoozesOf(t, r.ID)
	return r
}

// dropSnoozesOf forgets what was put off of a reminder whose times have
// changed.
func dropSnoozesOf(t *talk.Turn, id string) {
	t.Home.Snoozes = slices.DeleteFunc(t.Home.Snoozes, func(s planner.Snooze) bool {
		_, of, _, err := planner.ParseOccurrence(s.Of)
		return err == nil && of == id
	})
}

// dropRemindersOf takes out the reminders and pauses of a dog that is no
// longer there.
func dropRemindersOf(t *talk.Turn, dog string) {
	t.Home.Reminders = slices.DeleteFunc(t.Home.Reminders, func(r planner.Reminder) bool {
		if r.Dog == dog {
			dropSnoozesOf(t, r.ID)
		}
		return r.Dog == dog
	})
	t.Home.Pauses = slices.DeleteFunc(t.Home.Pauses, func(p planner.Pause) bool { return p.Dog == dog })
}

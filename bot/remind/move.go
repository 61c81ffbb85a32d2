package remind

import (
	"cmp"
	"errors"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/balance"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// Moved gives a reminder other days or times, and reports whether a text does: "move the
// worming to Sunday at 10", "make it 9", "no, Saturday". It is the one that is named, else
// the one that this household changed last.
func Moved(t *talk.Turn, s string) bool {
	text := read.Without("moved", s)
	if text == s || strings.ContainsAny(s, "?\n") {
		return false
	}
	text, later := strings.CutSuffix(text, " later")
	r, err := read.ReminderText(read.Without("once-only", text), t.Names(), t.Event.At)
	if p, last := (span.Problem{}), lastChanged(t); talk.IsUnclear(err) && errors.As(err, &p) && last != nil && len(last.Schedule.Times) > 0 {
		morning, evening, _ := span.Halves(p.Part)
		half := say.Choose(last.Schedule.Times[0]-morning > evening-last.Schedule.Times[0], evening, morning) // the nearer one
		r, err = read.ReminderText(span.WithClock(text, p.Part, half), t.Names(), t.Event.At)
	}
	if !r.When.Said() { // "to next week"
		r, err = read.ReminderText(text, t.Names(), t.Event.At)
	}
	if err != nil || !r.When.Said() || onlySpan(r.When) && !later {
		return false
	}
	found := toMove(t, r)
	_, _, named := talk.DogsIn(t, s)
	one := len(named) < 2 && slices.ContainsFunc(found, func(f *planner.Reminder) bool { return !sameThing(f, found[0]) })
	switch {
	case len(found) == 0:
		return false
	case isCheckIn(found[0]) && r.Dog != found[0].Dog:
		setCheckIn(t, found[0].Kind, t.Dog(r.Dog), r.When)
		return true
	case one:
		whichReminder(t, found, "edit", "when")
		return true
	}
	for _, f := range say.Each(found, func(f *planner.Reminder) planner.Reminder { return *f }) {
		if !read.Says("once-only", s) || f.Schedule.Once || f.Schedule.EveryDays > 0 || !putOff(t, &f, r.When) {
			move(t, f, r.When)
		}
	}
	return true
}

// answerMoveCook moves the cooking day for good or, where it is said to be otherwise once,
// the next one alone.
func answerMoveCook(t *talk.Turn, s read.Sentence) {
	all, said := sortedReminders(t, planner.CookReminder), read.Without("once-only", t.AsTyped())
	switch w, err := span.WhenText(said, t.Event.At); {
	case said == t.AsTyped():
		t.Event.Text = "every " + strings.TrimPrefix(strings.ToLower(s.Words), "every ")
		answerCookDay(t, s)
	case len(all) == 0:
		t.SayMsg("cook-day.none")
	case err != nil || !putOff(t, all[0], w):
		t.SayMsg("remind.once-which")
	}
}

// putOff has the next of a series fall on another day, and reports whether it can.
func putOff(t *talk.Turn, r *planner.Reminder, w span.When) bool {
	next, ok := planner.NextOf(t.Home, r, t.Event.At)
	day, clock := cmp.Or(w.On, w.Until), next.Clock
	if len(w.Times) > 0 {
		clock = w.Times[0]
	}
	at := planner.Instant(day, clock, t.Event.At.Location())
	if !ok || day.IsZero() || !at.After(t.Event.At) || t.Date().DaysTo(day) > mostPutOff {
		return false
	}
	t.Mutate("did.put-off", talk.AboutReminder(t, r))
	t.Home.Snoozes = append(slices.Clone(t.Home.Snoozes), planner.Snooze{Of: planner.OccurrenceID(t.Home.ID, r.ID, next), Until: at.UTC(), Times: 1})
	after, _ := planner.NextOf(t.Home, r, slices.MaxFunc([]time.Time{at, next.At}, time.Time.Compare))
	t.SayMsg("remind.once", "what", say.Capital(talk.ReminderTitle(t, r)), "day", t.DateText(day), "was", t.DateText(next.Date), "next", t.DateText(after.Date)).Offer(t.UndoButton())
	return true
}

// mostPutOff is by how many days ahead a single one is moved (our own choice).
const mostPutOff = 31

// sameThing reports that two reminders are of the same supplement, or the same.
func sameThing(a, b *planner.Reminder) bool {
	return a == b || a.Dose != nil && b.Dose != nil && a.Dose.Food == b.Dose.Food || a.Kind == b.Kind && isCheckIn(a)
}

// toMove are the reminders that other days are said for. A meal has its times by the dog.
func toMove(t *talk.Turn, r read.Reminder) []*planner.Reminder {
	words := slices.DeleteFunc(strings.Fields(cmp.Or(r.Thing, r.Text)), func(w string) bool { return read.In("moved-fillers", strings.ToLower(w)) })
	if thing := strings.Join(words, " "); read.In("remind-fillers", strings.ToLower(thing)) {
		return nil // "no reminders this weekend"
	} else if thing != "" {
		return slices.DeleteFunc(About(t, thing), func(f *planner.Reminder) bool {
			daily := f.Schedule.EveryDays == 1 && !r.When.On.IsZero() && !r.When.Repeats // which has no other day
			return daily || f.Kind == planner.BowlReminder || span.MealsByName[strings.ToLower(thing)].Name != "" || f.Dog != r.Dog && f.Dog != "" && r.Dog != ""
		})
	}
	if last := lastChanged(t); last != nil && (r.Dog == "" || r.Dog == last.Dog) && !(last.Dose != nil && read.Says("bare-figure", t.AsTyped())) {
		return []*planner.Reminder{last}
	}
	return nil
}

// lastChanged is the reminder that this turn made or changed, else the last change of the
// household; nil where that was none.
func lastChanged(t *talk.Turn) *planner.Reminder {
	at := t.Event.At
	if !t.Changed {
		at = t.LastChange().At
	}
	var last *planner.Reminder
	for i := range t.Home.Reminders {
		r := &t.Home.Reminders[i]
		if !at.IsZero() && r.Since.Equal(at) && slices.Contains(kindsInOrder[1:], r.Kind) && (last == nil || !isCheckIn(r) || isCheckIn(last)) { // no meal, and check-ins come along
			last = r
		}
	}
	if last != nil && isCheckIn(last) && !t.Changed && !slices.Contains([]string{"did.checkin", "did.reminder-changed", "did.moved"}, t.LastChange().Kind) {
		return nil // nobody asked for it
	}
	return last
}

func isCheckIn(r *planner.Reminder) bool {
	return r.Kind == planner.WeighReminder || r.Kind == planner.ConditionReminder
}

// move keeps other days or times of a reminder, and says what they were.
func move(t *talk.Turn, r planner.Reminder, w span.When) {
	was := ScheduleText(t, &r)
	if next, ok := nextSaid(t, &r); ok && w.Days > 0 && w.On.IsZero() && !w.Repeats { // "a week later"
		w.On = next.Date.AddDays(w.Days)
	}
	if n := len(r.Schedule.Times); n > 1 && len(w.Times) == 1 && !w.Repeats { // which of them
		w.PerDay = n
	}
	d := remindDraft{R: r}
	if wrong := d.moved(t, w); wrong != "" {
		t.Say(say.Para(wrong))
		return
	}
	if w.Repeats && askGiven(t, d) {
		return
	}
	sayOther(t, d.R, was)
}

// moved gives the reminder that is changed other days or times, in the zone that it had;
// what is not said of them stays. A single day is the next of a series, which goes on from
// there.
func (d *remindDraft) moved(t *talk.Turn, w span.When) (wrong string) {
	s, dog := d.R.Schedule, t.Dog(d.R.Dog)
	if len(w.Times) == 0 && w.Meal == "" && w.At.IsZero() && w.PerDay <= 1 {
		if w.Meal = span.FirstMeal; !d.R.WithMeal {
			w.Times, w.Meal = s.Times, ""
		}
	}
	withMeal := false
	switch ownDay := !w.On.IsZero() || !w.At.IsZero(); {
	case w.Repeats || w.Monthly || ownDay && s.Once:
		w.Until = cmp.Or(w.Until, s.Until)
		s, withMeal, wrong = scheduleOf(t, w, dog, s.Times)
		s.Zone = d.R.Schedule.Zone
	default:
		s.Times, withMeal, wrong = timesOf(w, dog, s.Times)
		if len(s.Weekdays) > 0 && ownDay {
			s.Weekdays = []time.Weekday{w.On.Weekday()}
		}
		if s.MonthDay > 0 && ownDay {
			s.MonthDay = w.On.Day
		}
		s.Anchor, s.Until = cmp.Or(w.On, s.Anchor), cmp.Or(w.Until, s.Until)
		wrong = cmp.Or(wrong, scheduleTrouble(t, s))
	}
	if wrong == "" {
		d.R.Schedule, d.R.WithMeal = s, withMeal
	}
	return wrong
}

// sayOther keeps a changed reminder, and says what it was.
func sayOther(t *talk.Turn, changed planner.Reminder, was string) bool {
	r := changeReminder(t, changed)
	t.Say(say.Para(msg("remind.other", "what", say.Capital(talk.ReminderTitle(t, r)), "when", ScheduleText(t, r), "was", was)), say.Whole(giveCautions(t, r))).
		Offer(t.Button(msg("button.change"), "remind", "show", r.ID), t.UndoButton())
	return true
}

// SameFor makes for other dogs too what this household was reminded of last, and reports
// whether a text asks for that: "same for Saffi", "and Saffi too", "and Saffi half of it".
func SameFor(t *talk.Turn, s string) bool {
	_, dogs, amount := alsoFor(t, s)
	return len(dogs) > 0 && sameFor(t, dogs, amount)
}

// alsoFor are the dogs that a text names behind all else for the same, and how much each
// has of it where that is another amount; rest is the text without them.
func alsoFor(t *talk.Turn, s string) (rest string, dogs []*planner.Dog, amount string) {
	if m := read.Pattern("same-dose").FindStringSubmatch(s); m != nil {
		if _, _, dogs = talk.DogsIn(t, m[1]); len(dogs) == 1 {
			return strings.TrimSuffix(s, m[0]), dogs, m[2]
		}
	}
	if _, _, dogs = talk.DogsIn(t, read.Find("same-for", " "+s)); len(dogs) > 0 {
		s = read.Without("same-for", s)
	}
	return s, dogs, ""
}

func sameFor(t *talk.Turn, dogs []*planner.Dog, amount string) bool {
	last := lastChanged(t)
	if last == nil || t.Dog(last.Dog) == nil {
		return false
	}
	r, was := *last, t.Dog(last.Dog)
	for _, d := range dogs {
		if d.ID == r.Dog {
			continue
		}
		c := r
		c.Dog, c.Stock, c.Text = d.ID, nil, strings.ReplaceAll(r.Text, was.Name, d.Name)
		if d := (remindDraft{R: c}); amount != "" {
			if !d.dosed(t, amount, amount) {
				return false
			}
			c = d.R
		}
		if c.Dose != nil {
			if have := balance.SupplementOf(t, d.ID, c.Dose.Food); have != nil {
				showReminder(t, have, msg("supplement.have"))
				continue
			}
		}
		if above, _ := tooMuchGiven(t, &c); above != "" || onlyByVet(t, &c) != "" {
			t.Say(say.Para(onlyByVet(t, &c)), say.Para(above), say.Para(msg("supplement.not-kept")))
			continue
		}
		if kept, ok := keepReminder(t, c, talk.AboutReminder(t, &c)); ok {
			sayKept(t, kept)
		}
	}
	return true
}

package bot

import (
	"slices"
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// saidWindow is how long after it was due an answer in words counts for it;
// as long as a bowl is worth sending.
const saidWindow = bowlWorth

// dueWords takes "fed", "later", "skip Bracken" for the answer to what fell
// due, and reports whether a text was one. While another question is open,
// only what is clearly about a reminder is.
func (t *turn) dueWords(s string) bool {
	said, ok := read.DueAnswer(s, t.names(), t.event.At)
	if !ok {
		return false
	}
	switch said.Act {
	case read.SaidFed:
		return said.Thing == "" && len(said.Dogs) == 0 && t.saidFed(said.All)
	case read.SaidGiven:
		return said.Thing == "" && t.pickDue(said, "given", planner.SupplementReminder)
	case read.SaidDone:
		return said.Thing == "" && t.talk.Kind == "" && t.pickDue(said, "done", planner.NoteReminder)
	case read.SaidLater:
		return t.pickDue(said, "later", planner.BowlReminder, planner.SupplementReminder, planner.NoteReminder, planner.WeighReminder, planner.ConditionReminder)
	case read.SaidSkip:
		return t.saidSkip(said)
	}
	return false
}

// severalDue takes "fed Juniper, skip Bracken" apart, and reports whether a
// text was several such answers, each of which names a dog.
func (t *turn) severalDue(s string) bool {
	if len(t.home.Dogs) < 2 {
		return false
	}
	if !read.MayAnswerDue(s) {
		return false
	}
	parts := read.Clauses(s)
	if len(parts) < 2 {
		return false
	}
	for _, p := range parts {
		said, ok := read.DueAnswer(p, t.names(), t.event.At)
		if !ok || said.Act == read.SaidLater || len(said.Dogs) == 0 || said.Thing != "" {
			return false
		}
	}
	for _, p := range parts {
		if !t.dueWords(p) && !t.sentence(p) {
			t.notUnderstood(p)
		}
	}
	return true
}

// doneByOther takes "Tomas fed Juniper" for what another carer did, and
// reports whether a text was that.
func (t *turn) doneByOther(s string) bool {
	if len(t.home.Carers) < 2 {
		return false
	}
	var carers []read.Named
	for _, c := range t.home.Carers {
		if t.dogNamed(c.Name) == nil {
			carers = append(carers, read.Named{ID: c.Person, Name: c.Name})
		}
	}
	by, rest, ok := read.DoneBy(s, carers)
	if !ok {
		return false
	}
	t.by = by
	if t.severalDue(rest) || t.dueWords(rest) || t.givenWords(rest) || t.sentence(rest) {
		return true
	}
	t.by = ""
	return false
}

// nothingDue answers "later" and the like where nothing waits for an answer.
func (t *turn) nothingDue(s string) bool {
	said, ok := read.DueAnswer(s, t.names(), t.event.At)
	if !ok || said.Thing != "" {
		return false
	}
	t.sayMsg("due.nothing-waits").offer(t.button(msg("button.today"), "today"))
	return true
}

// answersDue reports that a text answers something that fell due and is open.
func (t *turn) answersDue(s string) bool {
	said, ok := read.DueAnswer(s, t.names(), t.event.At)
	return ok && (len(t.openDue(said)) > 0 || said.Act == read.SaidFed && len(t.openMeals(nil)) > 0)
}

// saidFed takes "fed" without a name; all says that every dog was.
func (t *turn) saidFed(all bool) bool {
	if len(t.home.Dogs) == 1 {
		t.fedNow(&t.home.Dogs[0], false)
		return true
	}
	meals := t.openMeals(nil)
	switch {
	case len(t.home.Dogs) == 0:
		return false
	case all && len(meals) > 0:
		t.fedAll()
		return true
	case len(meals) == 1:
		t.fedNow(t.dog(t.reminder(meals[0].Reminder).Dog), false)
		return true
	}
	out := t.sayMsg("due.which-fed", "dog", t.home.Dogs[0].Name)
	for i := range t.home.Dogs {
		d := &t.home.Dogs[i]
		if len(meals) == 0 || slices.ContainsFunc(meals, func(o planner.Occurrence) bool { return t.reminder(o.Reminder).Dog == d.ID }) {
			out.offer(t.button(d.Name, "feed", d.ID))
		}
	}
	if len(meals) > 1 {
		out.offer(t.button(msg("button.fed-all"), "feed", "all"))
	}
	return true
}

// fedAll notes every meal that is due now and not answered.
func (t *turn) fedAll() {
	meals := t.openMeals(nil)
	if len(meals) == 0 {
		t.sayMsg("due.none-open")
		return
	}
	for _, o := range meals {
		if r := t.reminder(o.Reminder); r != nil {
			t.pressFed(r, o, nil)
		}
	}
}

// openMeals are the meals of dogs, of all where none are named, that nobody
// has answered; one for each dog: those whose time has come, and where there
// are none those whose time nearly has.
func (t *turn) openMeals(dogs []string) (open []planner.Occurrence) {
	for i := range t.home.Dogs {
		d := &t.home.Dogs[i]
		if len(dogs) > 0 && !slices.Contains(dogs, d.ID) {
			continue
		}
		if _, o, ok := t.mealNow(d); ok && len(t.answered(o)) == 0 {
			open = append(open, o)
		}
	}
	isDue := func(o planner.Occurrence) bool { return !o.At.After(t.event.At) }
	if slices.ContainsFunc(open, isDue) {
		open = slices.DeleteFunc(open, func(o planner.Occurrence) bool { return !isDue(o) })
	}
	return open
}

// saidSkip leaves out the meals of the dogs that are named, or a dose. Where
// neither is named it is what fell due last, but not while another question
// is open, which may be what is to be skipped.
func (t *turn) saidSkip(said read.DueSaid) bool {
	if said.Thing != "" {
		fits := t.dosesNamed(said.Thing, said.Dogs)
		if len(fits) == 1 {
			t.pressNotGiven(fits[0], t.doseNow(fits[0]), nil)
			return true
		}
		if len(fits) > 1 {
			out := t.sayMsg("due.which-skip", "dog", t.home.Dogs[0].Name)
			for _, r := range fits {
				out.offer(t.dueButton(t.aboutReminder(r), "miss", t.doseNow(r)))
			}
		}
		return len(fits) > 1
	}
	if len(said.Dogs) == 0 {
		return t.talk.Kind == "" && t.pickDue(said, "skip", planner.BowlReminder, planner.SupplementReminder)
	}
	for _, id := range said.Dogs {
		d := t.dog(id)
		if r, o, ok := t.mealNow(d); ok {
			t.talk.Dog = d.ID
			t.pressNotFed(r, o, nil)
			continue
		}
		t.sayMsg("due.no-meal-now", "dog", d.Name)
	}
	return true
}

// openDue is what fell due of late that an answer can be about and nobody has
// given one to: of the same time as the last of it, one of each reminder.
// What was put off can be answered before it is said again.
func (t *turn) openDue(said read.DueSaid, kinds ...planner.ReminderKind) (open []planner.Occurrence) {
	if len(t.home.Reminders) == 0 {
		return nil
	}
	now, window := t.event.At, saidWindow
	if len(kinds) == 1 && kinds[0] == planner.SupplementReminder {
		window = doseWindow // a dose may be told of the day after
	}
	all := planner.AgendaWithMeals(t.home, now.Add(-window), now)
	if said.Act != read.SaidLater {
		all = append(all, t.putOffNow()...)
		slices.SortStableFunc(all, func(a, b planner.Occurrence) int { return t.saidAt(a).Compare(t.saidAt(b)) })
	}
	for _, o := range slices.Backward(all) {
		r := t.reminder(o.Reminder)
		switch {
		case r == nil || len(kinds) > 0 && !slices.Contains(kinds, r.Kind):
		case len(said.Dogs) > 0 && !slices.Contains(said.Dogs, r.Dog):
		case said.Thing != "" && !t.doseIs(r, said.Thing):
		case slices.ContainsFunc(open, func(p planner.Occurrence) bool { return p.Reminder == o.Reminder }):
		case len(t.answered(o)) > 0:
		case len(open) > 0 && t.saidAt(open[0]).Sub(t.saidAt(o)) > sameTime:
			return open
		default:
			open = append(open, o)
		}
	}
	if len(open) == 0 && said.Thing == "" && (len(kinds) == 0 || slices.Contains(kinds, planner.BowlReminder)) {
		return t.toldMeals(said.Dogs)
	}
	return open
}

// toldMeals are the next meals of dogs where this morning's message has told
// of them and their time has nearly come.
func (t *turn) toldMeals(dogs []string) []planner.Occurrence {
	start := planner.Instant(t.date(), 0, t.event.At.Location())
	isMorning := func(o planner.Occurrence) bool { return t.reminder(o.Reminder).Kind == planner.MorningReminder }
	if !slices.ContainsFunc(planner.Agenda(t.home, start, t.event.At), isMorning) {
		return nil
	}
	return t.openMeals(dogs)
}

// putOffNow is what was put off and is to be said again.
func (t *turn) putOffNow() (out []planner.Occurrence) {
	for _, s := range t.home.Snoozes {
		if o, _, ok := t.home.Occurrence(s.Of); ok && s.Until.After(t.event.At) {
			o.Send = s.Until
			out = append(out, o)
		}
	}
	return out
}

// saidAt is when something was said: where it was put off and is to be said
// again, when it fell due.
func (t *turn) saidAt(o planner.Occurrence) time.Time {
	if o.Send.After(t.event.At) {
		return o.At
	}
	return o.Send
}

// sameTime is within what time messages count as come together (our own
// choice).
const sameTime = 10 * time.Minute

// pickDue does what was said to the one thing that it can be about, or asks
// which; it reports false where there is none.
func (t *turn) pickDue(said read.DueSaid, action string, kinds ...planner.ReminderKind) bool {
	open := t.openDue(said, kinds...)
	if len(open) == 0 {
		return false
	}
	actions := make([]string, len(open))
	for i, o := range open {
		actions[i] = action
		if action == "skip" && t.reminder(o.Reminder).Kind == planner.SupplementReminder {
			actions[i] = "miss"
		}
	}
	if r := t.reminder(open[0].Reminder); len(open) == 1 && action == "later" && said.Minutes > 0 {
		t.putOff(r, open[0], said.Minutes)
		return true
	} else if len(open) == 1 {
		t.act(actions[0], r, open[0])
		return true
	}
	name := ""
	for _, o := range open {
		if d := t.dog(t.reminder(o.Reminder).Dog); d != nil {
			name = d.Name
		}
	}
	out := t.sayMsg("due.which-"+action, "dog", name)
	for i, o := range slices.Backward(open) {
		out.offer(t.dueButton(capital(t.aboutReminder(t.reminder(o.Reminder))), actions[i], o, t.laterArgs(action, said)...))
	}
	return true
}

// laterArgs are the minutes by which a button puts off.
func (t *turn) laterArgs(action string, said read.DueSaid) []string {
	if action != "later" || said.Minutes == 0 {
		return nil
	}
	return []string{trim(float64(said.Minutes), 0)}
}

// doseIs reports that a reminder is of a dose of what some words name.
func (t *turn) doseIs(r *planner.Reminder, words string) bool {
	if r.Kind != planner.SupplementReminder || r.Dose == nil {
		return false
	}
	low := strings.ToLower(words)
	if strings.Contains(low, strings.ToLower(t.foodName(r.Dose.Food))) || strings.Contains(low, strings.ReplaceAll(r.Dose.Food, "-", " ")) {
		return true
	}
	found := t.foods.Find(words) // by another of its names: "fish oil"
	return found.Food != nil && found.Food.Key == r.Dose.Food
}

// dosesNamed are the reminders of doses that some words name, of the dogs
// that are named or of all.
func (t *turn) dosesNamed(words string, dogs []string) (fits []*planner.Reminder) {
	for i := range t.home.Reminders {
		r := &t.home.Reminders[i]
		if t.doseIs(r, words) && (len(dogs) == 0 || r.Dog == "" || slices.Contains(dogs, r.Dog)) {
			fits = append(fits, r)
		}
	}
	return fits
}

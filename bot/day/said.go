package day

import (
	"slices"
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/remind"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// saidWindow is for how long after something was due an answer in words counts
// for it: as long as a bowl is worth sending.
const saidWindow = talk.BowlWorth

// DueWords takes "fed", "later", "skip Bracken" as the answer to what fell due,
// and reports whether a text was one. While another question is open, only a
// text that is clearly about a reminder is.
func DueWords(t *talk.Turn, s string) bool {
	if rest, but := read.AllBut(s); but != "" && givenBut(t, rest, but) {
		return true
	}
	said, ok := read.DueAnswer(s, t.Names(), t.Event.At)
	dogs, bare := read.DogsOf(s, t.Names()), talk.WithoutDogs(t, s)
	tonight := len(dogs)+len(t.Living()) > 1 && read.Says("meal-denied", bare) && !read.Says("until-said", s) && !strings.Contains(s, ",")
	ok = ok && (!tonight || said.Thing == "" || len(remind.DosesNamed(t, said.Thing, dogs)) > 0) // "she wants her to skip supper"
	if !ok && !read.Says("instead", s) && (tonight || read.Says("no-meal", bare) && !dayAhead(t).IsZero()) {
		said, ok = read.DueSaid{Act: read.SaidSkip, Dogs: dogs}, true
	}
	if !ok || said.Act == read.SaidSkip && read.Says("asks-to-remind", s) { // "no. remind Ellie to feed her"
		return false
	}
	switch said.Act {
	case read.SaidFed:
		return said.Thing == "" && len(said.Dogs) == 0 && saidFed(t, said.All)
	case read.SaidGiven:
		return said.Thing == "" && (pickDue(t, said, "given", planner.SupplementReminder, planner.NoteReminder) || pickDue(t, said, "given", planner.SupplementReminder))
	case read.SaidDone:
		return said.Thing == "" && t.Talk.Kind == "" && pickDue(t, said, "done", planner.NoteReminder, planner.SupplementReminder, planner.BowlReminder)
	case read.SaidLater:
		if said.TimeAlone && t.Talk.Kind != "" {
			return false // it answers the question that is open
		}
		return pickDue(t, said, "later", planner.BowlReminder, planner.SupplementReminder, planner.NoteReminder, planner.WeighReminder, planner.ConditionReminder)
	case read.SaidSkip:
		return saidSkip(t, said)
	}
	return false
}

// SeveralDue notes what several dogs had, of each its own amount of a meal or a food, and
// reports whether a text tells that: "fed Saffi 190 g and Odin 330".
func SeveralDue(t *talk.Turn, s string) bool {
	var says, rests []string
	var of []*planner.Dog
	known := false
	for _, had := range read.HadOfEach(s, t.Names()) {
		for _, id := range had.Dogs {
			d, rest := t.Dog(id), had.What
			if read.Says("had-none", rest) {
				continue
			}
			if amount, left := strings.CutSuffix(rest, " left"); left {
				rest = "left " + amount
			}
			text := say.Choose(rest == "" || strings.HasPrefix(rest, "at "), strings.TrimSpace("fed "+d.Name+" "+rest), d.Name+say.Choose(strings.HasPrefix(rest, "left "), " ", " had ")+rest)
			text = strings.TrimSpace(text + " " + had.When)
			is, ok := t.Understand(text)
			if ok = ok && (is.Intent == read.Fed || is.Intent == read.AtePart); ok {
				rest = ""
			} else if read.FromAmount(rest) != rest || rest == "" {
				return false
			}
			_, _, weighs := recipes.ServingOf(t, rest)
			known = known || ok || weighs
			of, says, rests = append(of, d), append(says, text), append(rests, rest)
		}
	}
	if !known {
		return false
	}
	for i, d := range of {
		t.As(says[i], func() bool {
			if rests[i] == "" {
				return talk.Sentence(t, says[i])
			}
			takeTreat(t, read.TreatSaid{Dog: d.ID, Rest: rests[i]})
			return true
		})
	}
	return true
}

// AnswersDue reports that a text answers something that fell due and is open.
func AnswersDue(t *talk.Turn, s string) bool {
	said, ok := read.DueAnswer(s, t.Names(), t.Event.At)
	return ok && (len(openDue(t, said)) > 0 || said.Act == read.SaidFed && len(OpenMeals(t, nil)) > 0)
}

// Waits is the name of the question that what fell due asks, empty where nothing
// waits for an answer.
func Waits(t *talk.Turn) string {
	open := openDue(t, read.DueSaid{})
	if len(open) == 0 {
		return ""
	}
	switch t.Reminder(open[0].Reminder).Kind {
	case planner.BowlReminder, planner.MorningReminder:
		return "fed.done"
	case planner.SupplementReminder:
		return "supp.given"
	case planner.WeighReminder:
		return "weight.due"
	}
	return ""
}

// saidFed takes "fed" without a name; all says that every dog was.
func saidFed(t *talk.Turn, all bool) bool {
	if len(t.Home.Dogs) == 1 {
		fedNow(t, &t.Home.Dogs[0], false)
		return true
	}
	meals := OpenMeals(t, nil)
	switch {
	case len(t.Home.Dogs) == 0:
		return false
	case all:
		fedAll(t)
		return true
	case len(meals) == 1:
		fedNow(t, t.Dog(t.Reminder(meals[0].Reminder).Dog), false)
		return true
	}
	out := t.SayMsg("due.which-fed", "dog", t.Home.Dogs[0].Name)
	for _, d := range t.Dogs() {
		if len(meals) == 0 || slices.ContainsFunc(meals, func(o planner.Occurrence) bool { return t.Reminder(o.Reminder).Dog == d.ID }) {
			out.Offer(t.Button(d.Name, "feed", d.ID))
		}
	}
	out.Offer(t.Button(msg("button.fed-all"), "feed", "all"))
	return true
}

// fedAll notes every meal that is due now and not answered, else one of every dog.
func fedAll(t *talk.Turn) {
	meals := OpenMeals(t, nil)
	if _, part, named := read.DayAsked(t.OfDays(), t.Event.At); len(meals) == 0 || named || part != read.WholeDay || read.NamesBothMeals(t.OfDays()) {
		for _, d := range t.Living() {
			fedOn(t, d)
		}
		return
	}
	for _, o := range meals {
		feedOnce(t, t.Dog(t.Reminder(o.Reminder).Dog), o, time.Time{})
	}
}

// OpenMeals are the unanswered meals of dogs, of all if none are named, one for
// each dog: those whose time has come or, if there are none, nearly has.
func OpenMeals(t *talk.Turn, dogs []string) (open []planner.Occurrence) {
	for _, d := range t.Dogs() {
		if len(dogs) > 0 && !slices.Contains(dogs, d.ID) {
			continue
		}
		if o, ok := mealNow(t, d); ok && len(talk.Answered(t, o)) == 0 {
			open = append(open, o)
		}
	}
	isDue := func(o planner.Occurrence) bool { return !o.At.After(t.Event.At) }
	if slices.ContainsFunc(open, isDue) {
		open = slices.DeleteFunc(open, func(o planner.Occurrence) bool { return !isDue(o) })
	}
	return open
}

// openDue is what fell due of late, can be answered and has no answer: as many
// as came together with the last one, one of each reminder. What was put off
// can be answered before it is said again.
func openDue(t *talk.Turn, said read.DueSaid, kinds ...planner.ReminderKind) (open []planner.Occurrence) {
	if len(t.Home.Reminders) == 0 {
		return nil
	}
	now, window := t.Event.At, saidWindow
	if len(kinds) == 1 && kinds[0] == planner.SupplementReminder {
		window = doseWindow // a dose may be told of the day after
	}
	all := planner.AgendaWithMeals(t.Home, now.Add(-window), now)
	if said.Act != read.SaidLater || said.Minutes > 0 {
		all = append(all, putOffNow(t)...)
		slices.SortStableFunc(all, func(a, b planner.Occurrence) int { return saidAt(t, a).Compare(saidAt(t, b)) })
	}
	for _, o := range slices.Backward(all) {
		r := t.Reminder(o.Reminder)
		switch {
		case r == nil || len(kinds) > 0 && !slices.Contains(kinds, r.Kind):
		case said.Act == read.SaidGiven && r.Kind == planner.NoteReminder && !read.Says("medicine", r.Text):
		case len(said.Dogs) > 0 && !slices.Contains(said.Dogs, r.Dog):
		case said.Thing != "" && !remind.DoseIs(t, r, said.Thing), slices.Contains(said.But, r.ID):
		case slices.ContainsFunc(open, func(p planner.Occurrence) bool { return p.Reminder == o.Reminder }):
		case len(talk.Answered(t, o)) > 0:
		case len(open) > 0 && saidAt(t, open[0]).Sub(saidAt(t, o)) > sameTime && !(said.Act == read.SaidGiven && said.All):
			return open
		default:
			open = append(open, o)
		}
	}
	if len(open) == 0 && said.Thing == "" && (len(kinds) == 0 || slices.Contains(kinds, planner.BowlReminder)) {
		return toldMeals(t, said.Dogs)
	}
	return open
}

// toldMeals are the next meals of dogs where this morning's message has told
// of them and their time has nearly come.
func toldMeals(t *talk.Turn, dogs []string) []planner.Occurrence {
	start := planner.Instant(t.Date(), 0, t.Event.At.Location())
	isMorning := func(o planner.Occurrence) bool { return t.Reminder(o.Reminder).Kind == planner.MorningReminder }
	if !slices.ContainsFunc(planner.Agenda(t.Home, start, t.Event.At), isMorning) {
		return nil
	}
	return OpenMeals(t, dogs)
}

// putOffNow is what was put off and is to be said again.
func putOffNow(t *talk.Turn) (out []planner.Occurrence) {
	for _, s := range t.Home.Snoozes {
		if o, _, ok := t.Home.Occurrence(s.Of); ok && s.Until.After(t.Event.At) {
			o.Send = s.Until
			out = append(out, o)
		}
	}
	return out
}

// saidAt is when something was said: where it was put off and is to be said
// again, when it fell due.
func saidAt(t *talk.Turn, o planner.Occurrence) time.Time {
	if o.Send.After(t.Event.At) {
		return o.At
	}
	return o.Send
}

// sameTime is within what time messages count as come together (our own
// choice).
const sameTime = 10 * time.Minute

// pickDue does what was said to the one thing that it can be about, or asks
// which; it reports false if there is none.
func pickDue(t *talk.Turn, said read.DueSaid, action string, kinds ...planner.ReminderKind) bool {
	open := openDue(t, said, kinds...)
	if said.Act == read.SaidGiven && said.All && len(open) == 1 { // "gave both": the other is due in a moment
		soon := slices.DeleteFunc(planner.Agenda(t.Home, t.Event.At, t.Event.At.Add(fedWindow)), func(o planner.Occurrence) bool {
			return t.Reminder(o.Reminder).Kind != planner.SupplementReminder || o.Reminder == open[0].Reminder || len(talk.Answered(t, o)) > 0
		})
		open = append(soon[:min(len(soon), 1)], open...)
	}
	if len(open) == 0 {
		return false
	}
	actions := make([]string, len(open))
	for i, o := range open {
		actions[i] = actionFor(action, t.Reminder(o.Reminder).Kind)
	}
	if r := t.Reminder(open[0].Reminder); len(open) == 1 && action == "later" && said.Minutes > 0 {
		talk.PutOff(t, r, open[0], said.Minutes)
		return true
	} else if len(open) == 1 {
		talk.Act(t, actions[0], r, open[0])
		return true
	} else if (said.All || len(said.Dogs) > 1 || len(open) == 2 && read.Says("both-doses", t.AsTyped())) && action != "later" && action != "skip" { // "given both", "both done"
		for i, o := range slices.Backward(open) {
			talk.Act(t, actions[i], t.Reminder(o.Reminder), o)
		}
		return true
	}
	last := t.Reminder(open[len(open)-1].Reminder)
	what := talk.AboutReminder(t, last)
	if d := t.Dog(last.Dog); d != nil && last.Kind != planner.SupplementReminder {
		what = d.Name
	}
	out := t.SayMsg("due.which-"+action, "what", what)
	var minutes []string
	if action == "later" && said.Minutes > 0 {
		minutes = []string{say.Trim(float64(said.Minutes), 0)}
	}
	for i, o := range slices.Backward(open) {
		out.Offer(talk.DueButton(t, say.Capital(talk.AboutReminder(t, t.Reminder(o.Reminder))), actions[i], o, minutes...))
	}
	return true
}

// actionFor is what a word does to a reminder of some kind: what a medicine's
// own words say ("give the tablet") is done once it is given.
func actionFor(action string, kind planner.ReminderKind) string {
	switch {
	case action == "skip" && (kind == planner.SupplementReminder || kind == planner.NoteReminder):
		return "miss"
	case action == "done" && kind == planner.SupplementReminder:
		return "given"
	case action == "done" && kind == planner.BowlReminder:
		return "fed"
	case action == "given" && kind == planner.NoteReminder:
		return "done"
	}
	return action
}

package day

import (
	"cmp"
	"errors"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/read/span"
	"bowlwright/bot/remind"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/illness"
	"bowlwright/store"
)

// AboutWhen takes "vet on Friday 10:00" as something to be reminded of: a few
// words with a day and a time to come, or a series of days. It comes last, when
// nothing else was understood.
func AboutWhen(t *talk.Turn, s string) bool {
	if len(s) > 120 || strings.ContainsAny(s, "?\n") || read.Says("instead", s) || slices.ContainsFunc(read.Clauses(strings.ReplaceAll(s, ". ", ", ")), read.BeginsQuestion) || read.SaysOneOf(s, "has-been") || read.TellsOfSomebody(s) || read.Says("carer-does", s) {
		return false
	}
	if skip, more, ok := strings.Cut(s, ", "); ok && skipped(t, skip) {
		AboutWhen(t, more) // else it is the reason
		return true
	}
	bound, _ := span.BindNames(s, t.Names())
	w, err := span.WhenText(bound, t.Event.At)
	if len(strings.Fields(w.Rest)) > mostThing || read.Without("moved", s) != s {
		return false
	}
	if err != nil && (read.Says("clock", s) || dayWithUnclear(t, s, err)) {
		talk.SayWhenTrouble(t, err, s)
		return true
	}
	if err != nil || strings.TrimSpace(w.Rest) == "" || !say.HasLetters(w.Rest) {
		return false
	}
	series := w.Monthly || w.Repeats && (len(w.Times) > 0 || len(w.Cadence.Weekdays) > 0 || w.Cadence.EveryDays >= 7)
	if w.At.IsZero() && (w.On.IsZero() || len(w.Times) == 0) && !series {
		return false
	}
	if ofMeal(t, w.Rest) && !read.Says("clock", s) {
		return false
	}
	t.GoTo(read.Sentence{Intent: read.Remind, Words: s})
	return true
}

// skipped leaves out a meal that the beginning of a text says: "no tea for Pip".
func skipped(t *talk.Turn, s string) bool {
	_, _, dogs := read.DogsNamed(s, t.Names())
	return len(dogs) > 0 && read.Says("meal-denied", s) && t.As(s, func() bool { return saidSkip(t, read.DueSaid{Act: read.SaidSkip, Dogs: dogs}) })
}

// ofMeal reports that what stands beside a day is a meal or a food ("no dinner
// tonight", "chicken tonight"): that is what is eaten, and nothing to be reminded of.
func ofMeal(t *talk.Turn, thing string) bool {
	if read.Says("other-meal", thing) {
		return true
	}
	found := t.Foods.Find(thing)
	return !read.Says("cares-for", thing) && (found.Food != nil && len(found.Ignored) == 0 || len(found.Choices) > 0) && !(found.Food != nil && (found.Food.Has(nutrition.Supplement) || found.Food.Oil()))
}

// mostThing is of how many words a thing to be reminded of is that is said
// without "remind": more of them tell something (our own choice).
const mostThing = 8

// dayWithUnclear reports that a text names a day and a time of which only the
// half of the day is not clear.
func dayWithUnclear(t *talk.Turn, s string, err error) bool {
	var p span.Problem
	if !talk.IsUnclear(err) || !errors.As(err, &p) {
		return false
	}
	w, err := span.WhenText(span.WithClock(s, p.Part, say.Noon), t.Event.At)
	return err == nil && !w.On.IsZero() && say.HasLetters(w.Rest)
}

// GivenWords takes "vitamin E given", "gave Juniper her fish oil", as the doses that
// are due, and reports whether a text was of that kind.
func GivenWords(t *talk.Turn, s string) bool {
	_, _, named := read.DogsNamed(s, t.Names())
	s = read.Without("small-thing", s)
	if done := read.Without("told-done", s); !read.SaysGiven(s) { // "wormed Pip" to "worm Pip"
		return done != s && !read.IsQuestion(done) && giveAll(t, remind.NotesNamed(t, read.GivenThing(done, t.Names()), named), s, named) || read.SaysTook(s) && giveEach(t, s, true) || read.Says("doses-had", s) && len(t.SayMsg("given.medicine").Body) > 0
	}
	if giveEach(t, s, false) {
		return true
	}
	thing := read.GivenThing(s, t.Names())
	if len(named) == 1 && thing == "" { // "only Otto got his"
		return OtherDog(t, s) || pickDue(t, read.DueSaid{Act: read.SaidGiven, Dogs: named}, "given", planner.SupplementReminder)
	}
	if f := t.Foods.Find(read.Without("dose-form", read.Without("dose-of", thing))).Food; f != nil && read.MassIn(s) == 0 && (f.Oil() || nutrition.Concentrated(f)) {
		t.SayMsg("given.no-reminder", "food", f.Name).Offer(t.Button(msg("button.remind-of"), "supplement", "add"))
		return true
	}
	if of := read.Clauses(s); len(of) > 1 && slices.ContainsFunc(of, func(part string) bool { return read.SaysGiven(part) && len(remind.GivenNamed(t, part, nil)) > 0 }) {
		return false // told with other things
	}
	// A medicine that no reminder names is noted nowhere, and that is said: it is no
	// note on the dog's health.
	if !read.Says("medicine", s) && alarm.DangerIn(thing) == nil && (len(illness.In(thing)) == 0 || len(span.Mentions(s, t.Names().Recipes)) > 0) { // "thighs and liver"
		return false
	}
	t.SayMsg("given.medicine")
	return true
}

// givenBut answers the doses that are due, but for those that some words are about, as a
// text says of all.
func givenBut(t *talk.Turn, rest, but string) bool {
	said, _ := read.DueAnswer(rest, t.Names(), t.Event.At)
	left := remind.GivenNamed(t, but, nil)
	if skip := said.Act == read.SaidSkip; !skip && said.Act != read.SaidDone && !read.SaysGiven(rest) || len(left) == 0 {
		return false
	} else if said = (read.DueSaid{All: true, But: say.Each(left, func(r *planner.Reminder) string { return r.ID })}); !pickDue(t, said, say.Choose(skip, "skip", "given"), planner.SupplementReminder) {
		return false
	}
	t.Replies[0].Add(msg("given.but", "what", say.List(say.Each(left, func(r *planner.Reminder) string { return talk.AboutReminder(t, r) }))))
	return true
}

// giveEach notes each of the doses that a text tells of, and says what of it has no
// reminder. It reports false where none has, or, of all, not every one.
func giveEach(t *talk.Turn, s string, all bool) bool {
	parts := read.GivenParts(s, t.Names())
	of := func(p read.Had) []*planner.Reminder { return remind.GivenNamed(t, p.What, p.Dogs) }
	unknown := func(p read.Had) bool { return len(of(p)) == 0 }
	meal := func(p read.Had) bool { _, is := read.ToldMeal(p.What, t.Names(), t.Home.Units); return is }
	if doses := slices.DeleteFunc(slices.Clone(parts), unknown); len(doses) == 0 || all && len(doses) < len(slices.DeleteFunc(slices.Clone(parts), meal)) {
		return false
	}
	typed, first := t.Event.Text, len(t.Replies)
	today := read.Without("yesterday-too", say.Choose(read.Says("at-that-time", s), t.AsTyped(), s))
	for i, p := range parts {
		t.Event.Text = p.What
		thing := read.GivenThing(p.What, t.Names())
		switch left := read.Without("not-thing", thing); {
		case left != thing:
			if fits := remind.GivenNamed(t, left, p.Dogs); len(fits) == 1 {
				pressNotGiven(t, fits[0], doseNow(t, fits[0], t.Event.At), nil)
			}
		case unknown(p):
			if len(p.Dogs) == 1 {
				t.Talk.Dog = p.Dogs[0]
			}
			other := talk.SaysElse(t, p.What, "supp", "food", "answer") // "her stool was soft", "skip dinner"
			told := read.Says("had-verb", p.What) && (DueWords(t, p.What) || talk.Sentence(t, p.What)) || other && strings.Contains(thing, " ") && talk.Exact(t, p.What)
			lead := !slices.ContainsFunc(parts[:i+1], func(p read.Had) bool { return read.SaysGiven(p.What) }) && t.Foods.Find(thing).Food == nil
			remark := !read.SaysGiven(p.What) && read.Says("remark", p.What)
			switch {
			case told, lead && !remark && !strings.Contains(thing, " "): // "oops, gave ..."
			case lead, remark:
				t.Unused(p.What)
			default:
				t.SayMsg("given.no-reminder", "food", say.Short(thing))
			}
		default:
			if giveAll(t, of(p), today, p.Dogs); read.Without("yesterday-too", s) != s {
				giveAll(t, of(p), msg("fed.yesterday"), p.Dogs)
			}
		}
	}
	t.Event.Text = typed
	together(t, first)
	return true
}

// together makes one message of those from one on that only say what was noted: their
// undo is one.
func together(t *talk.Turn, first int) {
	out, undo := &t.Replies[first], func(row []say.Button) bool { return row[0].Label == t.UndoButton().Label }
	for _, r := range t.Replies[first+1:] {
		out.Body = append(out.Body, r.Body...)
		for _, row := range r.Buttons {
			if !undo(row) || !slices.ContainsFunc(out.Buttons, undo) {
				out.Offer(row...)
			}
		}
	}
	t.Replies = t.Replies[:first+1]
}

// giveAll notes that what some reminders are of was given or done, by each of several dogs
// that are named, now or when the text says, else it asks which. It reports false where
// there are none.
func giveAll(t *talk.Turn, fits []*planner.Reminder, s string, named []string) bool {
	other := func(r *planner.Reminder) bool {
		return len(named) < 2 || (r.Dose == nil) != (fits[0].Dose == nil) || r.Dose != nil && r.Dose.Food != fits[0].Dose.Food
	}
	if len(fits) > 1 && slices.ContainsFunc(fits, other) && !(len(fits) == 2 && read.Says("both-doses", t.AsTyped())) {
		askWhich(t, fits, "given", s)
		return true
	}
	for _, id := range say.Each(fits, func(r *planner.Reminder) string { return r.ID }) { // one of a single day goes
		r, done := t.Reminder(id), len(t.Replies)
		switch o, at, day, ok := doseSaid(t, r, s); {
		case !ok:
			t.SayMsg("given.ahead", "when", t.Clock(at))
		case r.Kind == planner.NoteReminder:
			noteDone(t, r, o, at, day)
		default:
			give(t, r, o, at, day)
		}
		if r.Dose != nil && read.Says("twice", s) && len(t.Replies) > done {
			noteTwice(t, r, s, &t.Replies[done])
		}
	}
	return len(fits) > 0
}

// askWhich asks which of some reminders is meant, each with the dose that a text tells of.
func askWhich(t *talk.Turn, fits []*planner.Reminder, action, s string) {
	out := t.SayMsg("due.which-"+action, "what", talk.AboutReminder(t, fits[0]))
	for _, r := range fits {
		o, _, _, _ := doseSaid(t, r, s)
		out.Offer(talk.DueButton(t, talk.AboutReminder(t, r), actionFor(action, r.Kind), o))
	}
}

// noteTwice says what two doses on a day come to. The second is in the journal
// as it was told and comes off the stock; the series goes on as it was.
func noteTwice(t *talk.Turn, r *planner.Reminder, typed string, out *say.Reply) {
	t.Mutate("did.given", talk.AboutReminder(t, r))
	t.Note(planner.Entry{Kind: planner.SignSeen, Dog: r.Dog, Text: typed})
	if r.Stock != nil {
		r.Stock.Take(stockUnits(talk.DoseOf(t, r)))
	}
	name := cmp.Or(talk.DogNames(t, []string{r.Dog}), msg("given.the-dog"))
	out.Begin(remind.TwiceText(t, r)).Add(msg("given.twice", "dog", name))
}

// doseSaid is the dose that a text tells of, and when that was, the zero time for now.
// On a day before today it is that day's dose, or else the last before it that nobody
// has answered. It reports false for a time to come.
func doseSaid(t *talk.Turn, r *planner.Reminder, s string) (o planner.Occurrence, at time.Time, day planner.Date, ok bool) {
	now := t.Event.At.In(talk.LocationOf(t, r))
	clock := say.Noon
	if times := r.Schedule.Times; len(times) > 0 {
		clock = times[len(times)-1]
	}
	at, day, ok = read.GivenWhen(s, now, clock)
	if !ok || day == planner.DateOf(now) {
		moment := at
		if at.IsZero() {
			moment = t.Event.At
		}
		return doseNow(t, r, moment), at, day, ok
	}
	o = doseAt(t.Home, r, at)
	from := planner.Instant(day, 0, now.Location())
	for _, due := range planner.Agenda(t.Home.WithDoses(), from.Add(-doseWindow), from.AddDate(0, 0, 1)) {
		if due.Reminder == r.ID && !day.Before(due.Date) && (due.Date == day || len(talk.Answered(t, due)) == 0) {
			o = due
		}
	}
	return o, at, day, true
}

// doseAt is a dose outside of its series, at an instant in the zone in which
// the reminder's days are counted.
func doseAt(h *planner.Household, r *planner.Reminder, at time.Time) planner.Occurrence {
	m := planner.Moment{Date: planner.DateOf(at), Clock: planner.ClockOf(at), At: at.UTC()}
	return planner.Occurrence{ID: planner.OccurrenceID(h.ID, r.ID, m), Reminder: r.ID, Moment: m}
}

// doseWindow is how far from its time a dose may be that a carer says was
// given.
const doseWindow = 36 * time.Hour

// sameDose is for how long what is told to be given is taken for the dose that was given
// before (our own choice): two carers tell of it.
const sameDose = 2 * time.Hour

// nearestTime is which of the times of a day a dose is of that was given at a moment: the
// one of the morning is not that of the evening. Of one time a day it is that.
func nearestTime(r *planner.Reminder, given time.Time, only planner.Clock) planner.Clock {
	if len(r.Schedule.Times) < 2 {
		return only
	}
	at := planner.ClockOf(given)
	far := func(c planner.Clock) planner.Clock { return max(c-at, at-c) }
	return slices.MinFunc(r.Schedule.Times, func(a, b planner.Clock) int { return int(far(a) - far(b)) })
}

// doseNow is the dose that a carer means who gave one at a moment: the last that was due
// and is not answered, else the one to come today; where neither is near, or one due later
// or near to that moment was given today, that one, else one of this moment outside of the series.
func doseNow(t *talk.Turn, r *planner.Reminder, moment time.Time) planner.Occurrence {
	var open, next, last *planner.Occurrence
	for _, o := range planner.Agenda(t.Home.WithDoses(), t.Event.At.Add(-doseWindow), t.Event.At.Add(doseWindow)) {
		switch {
		case o.Reminder != r.ID || len(talk.Answered(t, o)) > 0:
		case !o.At.After(moment):
			open = &o
		case next == nil && o.Date == todayOf(t, r) && o.Clock == nearestTime(r, moment.In(talk.LocationOf(t, r)), o.Clock):
			next = &o
		}
	}
	near := false
	given := store.EntryQuery{Dog: r.Dog, Kinds: []planner.EntryKind{planner.Given, planner.NoteDone}, From: t.Event.At.Add(-doseWindow), Newest: true}
	for _, e := range t.Entries(given) {
		if o, of, ok := t.Home.Occurrence(e.Of); ok && last == nil && of.ID == r.ID && e.Date == todayOf(t, r) && e.At.Before(moment.Add(sameDose)) {
			last, near = &o, moment.Sub(e.At) < sameDose
		}
	}
	switch {
	case last != nil && (near || open == nil && next == nil || open != nil && open.At.Before(last.At)):
		return *last
	case open != nil:
		return *open
	case next != nil:
		return *next
	}
	return doseAt(t.Home, r, t.Event.At.In(talk.LocationOf(t, r)))
}

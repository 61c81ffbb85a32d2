package remind

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// Orders stops what a text says is given no longer, asks of what is finished whether it is,
// and begins what is given from now on: "the vet stopped the tablet, she gets omeprazole for
// 3 days", "Bruno's metacam is finished". It reports whether a text says any of it.
func Orders(t *talk.Turn, s string) bool {
	var stopped, over []*planner.Reminder
	var begun, rest []string
	dogs, ordered := read.DogsOf(s, t.Names()), read.Says("by-vet", s)
	all, _ := span.WhenText(s, t.Event.At)
	swapped := read.Without("order-swaps", s)
	for _, part := range read.Clauses(read.Pattern("clause-ends").ReplaceAllString(read.Without("orders", swapped), ", ")) {
		part = read.Without("remind-lead", part) // "the vet gave her omeprazole, remind me every evening at 6"
		w, err := span.WhenText(part, t.Event.At)
		bare, said := strings.TrimSpace(talk.WithoutDogs(t, part)), err == nil && w.Said()
		given := func(pattern string) []*planner.Reminder {
			return slices.DeleteFunc(GivenNamed(t, read.Find(pattern, bare), dogs), func(r *planner.Reminder) bool { return !isGiven(t, r) })
		}
		vets := read.Find("order-given", bare)
		stops, ends, gives := given("order-stops"), given("order-ends"), strings.TrimSpace(cmp.Or(vets, read.Find("order-gives", bare)))
		if r, err := read.ReminderText("give "+gives, t.Names(), t.Event.At); err != nil || read.GivenThing(read.Pattern("dose").ReplaceAllString(r.Thing, " "), t.Names()) == "" {
			gives = "" // a dose or a time, and no other thing
		}
		course := said && (w.Days > 0 || !w.Until.IsZero())
		if first, _ := talk.CutWord(bare); gives == "" && course && isMedicine(first) { // "Bruno antibiotics twice a day for 7 days"
			gives = bare
		}
		unknown := !read.Says("no-medicine", gives) && t.Foods.Find(read.GivenThing(gives, t.Names())).Food == nil && (read.Says("dose", s) || all.Days > 0 || all.PerDay > 0)
		switch {
		case len(stops) > 0 && !said && !read.Says("until-said", part):
			stopped = append(stopped, stops...)
		case len(ends) > 0 && !slices.ContainsFunc(ends, func(r *planner.Reminder) bool { return r.Dose != nil }):
			over = append(over, ends...)
		case gives != "" && (isMedicine(gives) || unknown && (len(stopped) > 0 || vets != "")):
			begun, ordered = append(begun, gives), ordered || course && !read.Says("is-on", bare)
		case len(begun) > 0 && (said && w.Rest == "" || read.Says("bare-hour", part)):
			begun[len(begun)-1] += say.Choose(len(w.Times) > 0 || !said, " and ", " ") + part
		default:
			rest = append(rest, part)
		}
	}
	is, _ := t.Understand(s)
	if is.Intent == read.Remind || read.IsQuestion(s) || strings.Contains(s, "\n") || swapped != s && len(begun) == 0 || len(stopped)+len(over) == 0 && (len(begun) == 0 || !ordered) {
		return false
	}
	if len(stopped) > 0 {
		stopOf(t, stopped)
		dogs = append(dogs, stopped[0].Dog)
	}
	if len(over) > 0 {
		askOver(t, over)
	}
	for _, words := range begun {
		if d := t.Dog(append(dogs, t.Talk.Dog)[0]); d != nil {
			words = d.Name + " " + words
		}
		answerRemind(t, read.Sentence{Intent: read.Remind, Words: "give " + words})
	}
	for _, part := range rest {
		if read.Without("reminder-closes", " "+part) != "" && !talk.Sentence(t, part) {
			t.Unused(part)
		}
	}
	return true
}

// EachOrder gives each of several orders about reminders that a text gives: "delete the meat
// one, and remind me at each meal".
func EachOrder(t *talk.Turn, s string) bool {
	each := read.OrdersIn(s)
	if len(each) < 2 || !slices.ContainsFunc(each, func(o string) bool { return len(ended(t, o)) > 0 }) || slices.ContainsFunc(each, func(o string) bool {
		w, err := span.WhenText(o, t.Event.At)
		return len(ended(t, o)) == 0 && (err != nil || !w.Said())
	}) {
		return false
	}
	for _, o := range each {
		if !t.As(o, func() bool { return talk.Exact(t, o) }) {
			t.Unused(o)
		}
	}
	return true
}

// isMedicine reports that some words name a medicine.
func isMedicine(words string) bool {
	return read.Says("medicine", words) || alarm.NamesMedicine(words) || alarm.DangerIn(words) != nil
}

// givesMedicine reports that a reminder is of giving a medicine, and not of buying one.
func givesMedicine(r read.Reminder) bool {
	first, _ := talk.CutWord(strings.ToLower(r.Thing))
	return read.Says("medicine", r.Text) || isMedicine(r.Thing) && !read.In("no-giving", first)
}

// askOver asks whether the course of a medicine is over that is said to be finished: it may
// be today's dose, or the bottle.
func askOver(t *talk.Turn, over []*planner.Reminder) {
	out := t.SayMsg("remind.over", "what", say.Capital(say.List(say.Each(over, func(r *planner.Reminder) string { return talk.AboutReminder(t, r) }))))
	for _, r := range over {
		out.Offer(t.Button(say.Cut(msg("button.stop-of", "what", talk.AboutReminder(t, r)), 40), "remind", "stop", r.ID))
		if m, ok := planner.NextOf(t.Home, r, planner.Instant(t.Date(), 0, talk.LocationOf(t, r)).Add(-1)); ok && m.Date == t.Date() {
			out.Offer(talk.DueButton(t, msg("button.only-dose"), "done", planner.Occurrence{Reminder: r.ID, Moment: m}))
		}
	}
}

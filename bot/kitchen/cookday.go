package kitchen

import (
	"cmp"
	"slices"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// dropCookDay forgets the cooking day.
func dropCookDay(t *talk.Turn, _ read.Sentence) {
	at := slices.IndexFunc(t.Home.Reminders, isCookDay)
	if at < 0 {
		t.SayMsg("cook-day.none")
		return
	}
	t.GoTo(read.Sentence{Intent: read.StopReminder, Words: talk.AboutReminder(t, &t.Home.Reminders[at])})
}

func isCookDay(r planner.Reminder) bool { return r.Kind == planner.CookReminder && !r.Off }

// nextCooking is the first cooking day after an instant; false where there is none.
func nextCooking(t *talk.Turn, after time.Time) (planner.Date, bool) {
	at, ok := talk.NextDueOf(t, after, isCookDay)
	return t.DateAt(at), ok
}

// cookText says when to cook next: by when the packs run out, and on which of the
// cooking days. out is the first day without food; zero: nobody knows of one.
func cookText(t *talk.Turn, out planner.Date) string {
	next, fixed := nextCooking(t, t.Event.At)
	switch {
	case fixed && (out.IsZero() || next.Before(out)):
		return msg("left.cook-day", "day", t.DateText(next))
	case fixed && out == t.Date():
		return msg("left.cook-before-now", "day", t.DateText(next))
	case fixed:
		return msg("left.cook-before", "out", t.DateText(out.AddDays(-1)), "day", t.DateText(next))
	case out.IsZero():
		return ""
	case out == t.Date():
		return msg("left.cook-today")
	}
	return msg("left.cook", "day", t.DateText(out.AddDays(-1)))
}

// sayCookDay says on a cooking day what is left, and what lasts to the next one.
func sayCookDay(t *talk.Turn, _ []planner.Occurrence) {
	all := shelves(t)
	first := cmp.Or(runOut(t, all), t.Date().AddDays(1))
	if first == t.Date() { // of today's meals nothing is cooked any more
		first = first.AddDays(1)
	}
	lines := shelvesText(t, all)
	next, ok := nextCooking(t, t.Event.At)
	days := first.DaysTo(next) + 1
	what, more := "", t.Button(msg("button.left"), "packs", "left")
	switch {
	case !ok:
	case days <= 0:
		what = msg("cook-day.enough", "day", t.DateText(next))
	default:
		what = msg("cook-day.make", "days", days, "from", say.DayText(first), "to", say.DayText(next))
		more = t.Button(msg("button.make-days", "days", days), "packs", "make", first.String(), next.String())
	}
	t.Say(say.Para(msg("cook-day.today")), say.Whole(lines), say.Para(what)).Offer(more)
}

// pressMake makes what the dogs eat from a day to another.
func pressMake(t *talk.Turn, args []string) {
	from, err := planner.ParseDate(talk.Arg(args, 0))
	to, err2 := planner.ParseDate(talk.Arg(args, 1))
	days := float64(from.DaysTo(to) + 1)
	if talk.Gone(t, err != nil || err2 != nil || days < 1) {
		return
	}
	runs, recipes := runsOf(t, t.Dogs(), from, days)
	if recipes == 0 {
		t.SayMsg("cook-day.nobody")
		return
	}
	makeRuns(t, runs, from, days)
}

// freezer keeps whether there is one.
func freezer(has bool) talk.Intent {
	return func(t *talk.Turn, _ read.Sentence) {
		if t.Home.NoFreezer == has {
			t.Mutate("did.freezer", "")
			t.Home.NoFreezer = !has
		}
		out := t.SayMsg(say.Choose(has, "freezer.have", "freezer.none"))
		if t.Changed {
			out.Offer(t.UndoButton())
		}
	}
}

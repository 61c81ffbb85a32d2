package day

import (
	"slices"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
)

// fedOn notes the meals of a dog on the days that the text names, of now where it
// names none: "ate everything yesterday and today".
func fedOn(t *talk.Turn, d *planner.Dog) {
	told := read.MealsFed(t.OfDays(), t.Event.At)
	was, early := longAgo(t, d)
	for _, m := range told {
		ofNow := m.Day == t.Date() && m.Part != read.BothParts && (m.Part == read.WholeDay || len(told) == 1)
		if ofNow && !(early && was.Date == m.Day) {
			fedNow(t, d, false)
			continue
		}
		fedBefore(t, d, m.Day, m.Part)
	}
}

// fedBefore notes the meals of a day that is over, or the one of a part of it, and of today
// those that have been; those of which something is noted stay as they are. Where times
// are said it is those.
func fedBefore(t *talk.Turn, d *planner.Dog, day planner.Date, part read.Part, said ...planner.Clock) {
	t.Talk.Dog = d.ID
	times := part.Of(d.MealTimes())
	if part == read.BothParts {
		part = read.WholeDay
	}
	if len(said) > 0 {
		times, part = said, read.FirstPart
	}
	r, zone := t.Home.MealReminder(d.ID), t.Event.At.Location()
	noted := 0
	for at, clock := range times {
		e := planner.Entry{Kind: planner.Fed, Dog: d.ID, Date: day, At: planner.Instant(day, clock, zone).UTC()}
		if len(said) > 0 {
			clock, at = mealBy(d, clock)
		}
		if r != nil && at >= 0 {
			if o, ok := talk.OccurrenceOf(t, r, say.StampOf(planner.Moment{Date: day, Clock: clock})); ok {
				e.Of = o.ID
			}
		}
		at = max(at, 0)
		if fedAlready(t, e, part == read.WholeDay) || e.At.Sub(t.Event.At) > fedWindow {
			continue
		}
		if m, _ := MealFor(t, d, day, at); m != nil {
			e.Kcal, e.Recipe = m.kcal(), m.Recipe.ID
		}
		if noted == 0 {
			t.Mutate("did.fed", d.Name)
		}
		t.Note(e)
		noted++
	}
	if noted == 0 {
		sayFed(t, []*planner.Dog{d}, day, part, true)
		return
	}
	talk.SayDone(t, msg("fed.before", "dog", d.Name, "day", askedDay(t, day), "n", noted))
}

// fedAlready reports that a meal is noted of its time, or of its day where no times
// are kept.
func fedAlready(t *talk.Turn, e planner.Entry, whole bool) bool {
	same := func(o planner.Entry) bool {
		return o.Date == e.Date && o.Kind == planner.Fed && (e.Of != "" && o.Of == e.Of || o.Of == "" && (o.At.Equal(e.At) || whole && e.Of == "" && o.At.Sub(e.At).Abs() < fedWindow))
	}
	return slices.ContainsFunc(t.Entries(store.EntryQuery{Dog: e.Dog, Kinds: []planner.EntryKind{planner.Fed}, From: e.At.AddDate(0, 0, -2), To: e.At.AddDate(0, 0, 2)}), same)
}

// TakeOff takes the last meal that is noted as fed off the record of the one dog that is
// meant, on the day and of the part of it that the text names: it was not eaten.
func TakeOff(t *talk.Turn, dogs []*planner.Dog) bool {
	if len(dogs) != 1 {
		return false
	}
	day, part, _ := read.DayAsked(t.OfDays(), t.Event.At)
	for _, m := range slices.Backward(partOf(mealsOn(t, dogs[0], day), part)) {
		if e := m.entry; e.Kind == planner.Fed {
			t.Mutate("did.fed", dogs[0].Name)
			e.Kind, e.Kcal, e.Recipe = planner.NotFed, 0, ""
			talk.SayDone(t, msg("fed.off", "dog", dogs[0].Name, "day", askedDay(t, day), "how", talk.EntryText(t, t.Note(e))))
			return true
		}
	}
	return false
}

// mostDaysFed is how many days are told of at once, the newest (our own choice: what a
// phone shows).
const mostDaysFed = 14

// sayFedDays says in a line a day what some dogs ate from one day to another.
func sayFedDays(t *talk.Turn, dogs []*planner.Dog, from, until planner.Date) {
	from = latest(from, until.AddDays(1-mostDaysFed))
	var blocks []say.Block
	for _, d := range dogs {
		var rows []say.TableRow
		all, none := 0, 0
		for day := from; !until.Before(day); day = day.AddDays(1) {
			fed, kcal := 0, planner.Entry{}.Kcal
			for _, e := range t.Entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.Fed, planner.Treat}, From: planner.Instant(day, 0, t.Event.At.Location()), To: planner.Instant(day.AddDays(1), 0, t.Event.At.Location())}) {
				kcal += e.Kcal
				if e.Kind == planner.Fed {
					fed++
				}
			}
			all += fed
			how := msg("fed.day", "n", fed, "of", max(fed, talk.MealsOf(*d)), "kcal", say.Where(kcal > 0, ", "+say.Kcal(kcal)+" kcal"))
			if fed == 0 && kcal == 0 {
				none++
				how = msg("fed.day-none")
			}
			rows = append(rows, say.TableRow{Label: say.DayText(day), Cells: []string{how}})
		}
		head := msg("fed.days", "dog", d.Name, "from", say.DayText(from), "n", all)
		if none == len(rows) {
			head, rows = msg("fed.days-none", "dog", d.Name, "from", say.DayText(from)), nil
		}
		blocks = append(blocks, say.Para(head), say.TableBlock(rows))
	}
	t.Say(blocks...)
}

func latest(a, b planner.Date) planner.Date {
	if a.Before(b) {
		return b
	}
	return a
}

package day

import (
	"cmp"
	"math"
	"slices"
	"time"

	"bowlwright/bot/bowls"
	"bowlwright/bot/dogs"
	"bowlwright/bot/kitchen"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/recipes"
	"bowlwright/bot/remind"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
)

// Today says each dog's amounts for the day.
func Today(t *talk.Turn) {
	ofDay := func(r planner.Reminder) bool {
		return r.Kind != planner.StoolReminder && r.Kind != planner.StageReminder && r.Kind != planner.DoubtReminder
	}
	switch {
	case len(t.Home.Dogs) == 0:
		t.SayMsg("today.no-dogs").Offer(t.Button(msg("button.add-dog"), "dog", "add"))
	case slices.ContainsFunc(t.Home.Reminders, ofDay) && !bowls.NamesMeal(t) && !read.Says("grams-asked", t.AsTyped()):
		sayDay(t)
	default:
		_, _, named := talk.DogsIn(t, t.AsTyped())
		for _, d := range t.Living() {
			if len(named) == 0 || slices.Contains(named, d) {
				bowls.Bowl(t, d, nil)
			}
		}
	}
}

// dayItem is a line of a day: something that falls due, or that was done.
type dayItem struct {
	at   time.Time
	what string
	how  string // what became of it; empty where it is to come
}

// dayItems are what falls due on a day and what was done on it, in order of
// time.
func dayItems(t *talk.Turn, day planner.Date) []dayItem {
	zone := t.Event.At.Location()
	from, to := planner.Instant(day, 0, zone), planner.Instant(day.AddDays(1), 0, zone)
	entries := t.Entries(store.EntryQuery{From: from.Add(-36 * time.Hour), To: t.Event.At.Add(time.Second)})
	done := map[string]planner.Entry{}
	for _, e := range entries {
		if e.Of != "" {
			done[e.Of] = e
		}
	}
	var items []dayItem
	listed := map[string]bool{}
	for _, o := range planner.AgendaWithMeals(t.Home.WithDoses(), from.Add(-time.Nanosecond), to.Add(-time.Nanosecond)) {
		r := t.Reminder(o.Reminder)
		if r == nil || r.Kind == planner.MorningReminder || r.Kind == planner.FreezerReminder || r.Kind == planner.PacksReminder {
			continue
		}
		e, answered := done[o.ID]
		item := dayItem{at: o.Send, what: itemText(t, r, o, e)}
		if answered {
			item.how, listed[e.ID] = shortEntry(t, e), true
		} else if r.Kind == planner.SupplementReminder && !o.Send.After(t.Event.At) {
			item.how = msg("today.open")
		}
		items = append(items, item)
	}
	for _, e := range entries {
		if e.Date == day && !listed[e.ID] && e.Kind != planner.KcalSet && e.Kind != planner.Away {
			items = append(items, dayItem{at: e.At, what: entryItem(t, e), how: shortEntry(t, e)})
		}
	}
	slices.SortStableFunc(items, func(a, b dayItem) int { return cmp.Or(a.at.Compare(b.at), cmp.Compare(a.what, b.what)) })
	return items
}

// itemText is what an occurrence is, in a few words; of a meal that was fed,
// what was fed then.
func itemText(t *talk.Turn, r *planner.Reminder, o planner.Occurrence, done planner.Entry) string {
	if r.Kind != planner.BowlReminder {
		return talk.AboutReminder(t, r)
	}
	d := t.Dog(r.Dog)
	if d == nil {
		return msg("due.about-bowl", "dog", msg("due.every-dog"))
	}
	m, _ := MealFor(t, d, o.Date, mealAt(*d, o.Clock))
	if r := t.Recipe(done.Recipe); r != nil && done.Kcal > 0 && (m == nil || len(m.parts) == 0) {
		m, _ = mealOf(t, newMeal(t, d, mealAt(*d, o.Clock)), r, done.Kcal)
	}
	if m == nil || done.Kind == "" && dogs.SignHolds(t, d) != "" {
		return msg("due.about-bowl", "dog", d.Name)
	}
	return msg("today.meal", "dog", d.Name, "what", m.what(t, m.meal))
}

// entryItem is what an entry is about where nothing had fallen due.
func entryItem(t *talk.Turn, e planner.Entry) string {
	name := talk.DogNames(t, []string{e.Dog})
	if _, reminder, _, err := planner.ParseOccurrence(e.Of); err == nil {
		if r := t.Reminder(reminder); r != nil { // shifted or paused since
			return talk.AboutReminder(t, r)
		}
	}
	switch e.Kind {
	case planner.Treat:
		return msg("today.treat", "dog", name)
	case planner.Scored:
		return msg("today.condition", "dog", name, "score", e.Score)
	case planner.SignSeen:
		return msg("today.sign", "dog", name, "text", say.Short(e.Text))
	case planner.Doubted:
		return msg("today.doubted", "dog", name, "weight", say.BodyWeight(e.Weight, t.Home.Units))
	case planner.Weighed:
		return msg("today.weighed", "dog", name, "weight", say.BodyWeight(e.Weight, t.Home.Units))
	}
	return msg("today.entry", "dog", name)
}

// shortEntry is what was done, in a word or two: "fed, Tomas".
func shortEntry(t *talk.Turn, e planner.Entry) string {
	if e.Kind == planner.Treat {
		return msg("today.kcal", "kcal", say.Kcal(e.Kcal))
	}
	return msg("entry-short."+string(e.Kind), "name", talk.NameOf(t, e.Person))
}

// sayDay says what is due and done today; each dog's bowl is a tap away.
func sayDay(t *talk.Turn) {
	day := t.Date()
	items := dayItems(t, day)
	var rows []say.TableRow
	open := 0
	for _, i := range items {
		clock := i.at.In(t.Event.At.Location()).Format("15:04")
		rows = append(rows, say.TableRow{Label: clock + " " + i.what, Cells: []string{i.how}})
		if i.how == "" && !i.at.Before(t.Event.At) {
			open++
		}
	}
	head := msg(say.Choose(len(rows) == 0, "today.nothing", "today.head"), "day", say.DayText(day), "n", open)
	out := t.Say(say.Para(head), say.TableBlock(rows), say.Para(pauseText(t, day)))
	out.Rows(2, say.Each(t.Home.Dogs, func(d planner.Dog) say.Button {
		return t.Button(msg("button.bowl-for", "dog", d.Name), "bowl", "dog", d.ID)
	})...)
	out.Offer(t.Button(msg("button.week"), "today", "week"))
}

// pauseText says that reminders rest on a day.
func pauseText(t *talk.Turn, day planner.Date) string {
	for _, p := range t.Home.Pauses {
		if !day.Before(p.From) && day.Before(p.Until) {
			name := cmp.Or(talk.DogNames(t, []string{p.Dog}), msg("due.every-dog"))
			if r := t.Reminder(p.Reminder); r != nil {
				return msg("today.paused-one", "what", say.Capital(talk.ReminderTitle(t, r)), "day", say.DayText(p.Until))
			}
			return msg("today.paused", "dog", name, "day", say.DayText(p.Until))
		}
	}
	return ""
}

// sayWeek says the coming seven days, from tomorrow on.
func sayWeek(t *talk.Turn) {
	zone := t.Event.At.Location()
	today := t.Date()
	from := planner.Instant(today.AddDays(1), 0, zone).Add(-time.Nanosecond)
	to := planner.Instant(today.AddDays(8), 0, zone).Add(-time.Nanosecond)
	byDay := map[planner.Date][]planner.Occurrence{}
	for _, o := range planner.Agenda(t.Home.WithDoses(), from, to) {
		day := planner.DateOf(o.Send.In(zone))
		byDay[day] = append(byDay[day], o)
	}
	var rows []say.TableRow
	for n := 1; n <= 7; n++ {
		day := today.AddDays(n)
		rows = append(rows, say.TableRow{Label: say.DayText(day)})
		rows = append(rows, weekRows(t, day, byDay[day])...)
	}
	t.Say(say.Para(msg("week.head")), say.TableBlock(rows))
}

// weekRows are the lines of one day: what each dog eats, then what else is
// due, with its time.
func weekRows(t *talk.Turn, day planner.Date, due []planner.Occurrence) (rows []say.TableRow) {
	for _, d := range t.Dogs() {
		if _, rests := t.Home.PausedOn(d.ID, day); rests {
			rows = append(rows, say.TableRow{Label: msg("week.item", "what", d.Name), Cells: []string{msg("week.rests")}})
			continue
		}
		if m, _ := MealFor(t, d, day, 0); m != nil {
			rows = append(rows, say.TableRow{Label: msg("week.eats", "dog", d.Name, "recipe", m.Recipe.Name), Cells: []string{weekTotal(t, d, m, day)}})
		}
	}
	for _, o := range due {
		r := t.Reminder(o.Reminder)
		if r == nil || r.Kind == planner.BowlReminder || r.Kind == planner.MorningReminder || r.Kind == planner.FreezerReminder || r.Kind == planner.PacksReminder {
			continue
		}
		rows = append(rows, say.TableRow{Label: msg("week.item", "what", talk.AboutReminder(t, r)), Cells: []string{o.Send.In(t.Event.At.Location()).Format("15:04")}})
	}
	return rows
}

// weekTotal is a day's grams as they will be weighed: those of the packs where there are any
// for that day, raw ones else.
func weekTotal(t *talk.Turn, d *planner.Dog, m *mealBowl, day planner.Date) string {
	if len(m.parts) > 0 || m.fresh > 0 || m.cooks == 0 {
		return say.WholeText(m.Bowl.Day, t.Home.Units)
	}
	if aDay, _, cooked, ok := kitchen.Packed(t, d, m.Recipe, day); ok {
		return say.Mass(aDay, t.Home.Units) + say.Where(cooked, msg("week.cooked"))
	}
	return say.WholeText(m.Bowl.Day, t.Home.Units) + say.Where(recipes.Cooks(t, m.Recipe), msg("bowl.raw"))
}

// pressFeed notes that a dog was fed, outside of any message.
func pressFeed(t *talk.Turn, args []string) {
	switch d := t.Dog(talk.Arg(args, 0)); {
	case talk.Arg(args, 0) == "all":
		fedAll(t)
	case !talk.Gone(t, d == nil):
		fedNow(t, d, talk.Arg(args, 1) == "again")
	}
}

// fedWindow is how long before its time a meal counts as the one that was
// fed (our own choice).
const fedWindow = 3 * time.Hour

// fedNow notes a meal of a dog: the one that is due about now where its
// meals have reminders. A meal that was fed already is said first.
func fedNow(t *talk.Turn, d *planner.Dog, again bool) {
	t.Talk.Dog = d.ID
	if o, ok := mealNow(t, d); ok && again {
		feed(t, d, o, time.Time{})
		return
	} else if ok {
		feedOnce(t, d, o, time.Time{})
		return
	}
	if last, ok := lastFed(t, d); ok && !again && t.Event.At.Sub(last.At) < fedWindow {
		t.SayMsg("due.already", "what", d.Name, "how", talk.EntryText(t, last)).
			Offer(t.Button(msg("button.feed-again"), "feed", d.ID, "again"))
		return
	}
	feed(t, d, planner.Occurrence{}, time.Time{})
}

// answerFed notes a meal that a sentence tells of: of now, or of the time that
// it names.
func answerFed(t *talk.Turn, d *planner.Dog, s read.Sentence) {
	days := read.DaysFed(t.OfDays(), t.Event.At)
	times := clocksFed(t, d, cmp.Or(s.Words, read.Find("meal-times", t.OfDays())))
	switch {
	case len(times) == 0 && s.Words != "" && days == nil:
		remind.ClocksSaid(t, s.Words)
		return
	case len(times) == 0 || len(days) > 1:
		fedOn(t, d)
		return
	case len(days) == 0:
		days = []planner.Date{t.Date()}
	}
	at := planner.Instant(days[0], times[len(times)-1], t.Event.At.Location())
	switch {
	case at.After(t.Event.At):
		t.SayMsg("due.fed-ahead", "dog", d.Name, "time", times[len(times)-1].String())
		return
	case len(times) > 1 || days[0] != t.Date():
		fedBefore(t, d, days[0], read.WholeDay, times...)
		return
	}
	if o, ok := mealAbout(t, d, at); ok {
		feedOnce(t, d, o, at)
	} else {
		feed(t, d, o, at)
	}
}

// clocksFed are the times that words say a dog was fed at; none where they say none.
func clocksFed(t *talk.Turn, d *planner.Dog, words string) []planner.Clock {
	words = read.Without("at-first", words)
	times, err := span.Clocks(read.WithoutWhen(read.HalfTold(words, t.Event.At)))
	if err != nil {
		return nil
	}
	_, part, _ := read.DayAsked(t.OfDays(), t.Event.At)
	for i, c := range times {
		switch {
		case part == read.WholeDay:
			times[i] = nearMeal(d, c, words, planner.ClockOf(t.Event.At))
		case part == read.LastPart && c < say.Noon:
			times[i] = c + say.Noon
		}
	}
	return times
}

// mealBy is the time of the meal of a dog that one at a time may be, and which it is of
// the day; below 0 where it is none of them.
func mealBy(d *planner.Dog, at planner.Clock) (planner.Clock, int) {
	for i, c := range d.MealTimes() {
		if time.Duration(max(c-at, at-c))*time.Minute <= fedWindow/2 {
			return c, i
		}
	}
	return at, -1
}

// nearMeal is the hour of the evening where a bare one is told, or a time that has been by
// now, and a meal of the dog's is nearer to that: "fed at 6", of a dinner at 18:00.
func nearMeal(d *planner.Dog, clock planner.Clock, words string, now planner.Clock) planner.Clock {
	off := func(c planner.Clock) (least float64) {
		least = math.Inf(1)
		for _, m := range d.MealTimes() {
			least = min(least, math.Abs(float64(c-m)))
		}
		return least
	}
	evening := clock + say.Noon
	open := read.Says("bare-hour", words) || read.Says("bare-told", words) && evening <= now
	if clock < say.Noon && open && off(evening) < off(clock) {
		return evening
	}
	return clock
}

// mealNow is the occurrence of a dog's bowl that a carer means who says that
// it was fed: of those of today the one that is named, or the last, whose time has come
// or nearly has.
func mealNow(t *talk.Turn, d *planner.Dog) (planner.Occurrence, bool) {
	if o, ok := partSaid(t, d); ok && o.At.Sub(t.Event.At) <= fedWindow {
		return o, true
	}
	return mealAbout(t, d, t.Event.At)
}

// mealAbout is the same of a time of today.
func mealAbout(t *talk.Turn, d *planner.Dog, at time.Time) (planner.Occurrence, bool) {
	if r := t.Home.MealReminder(d.ID); r != nil {
		for _, clock := range slices.Backward(d.MealTimes()) {
			o, ok := talk.OccurrenceOf(t, r, say.StampOf(planner.Moment{Date: t.Date(), Clock: clock}))
			if ok && o.At.Sub(at) <= fedWindow {
				return o, true
			}
		}
	}
	return planner.Occurrence{}, false
}

// lastFed is the last meal that was entered for a dog.
func lastFed(t *talk.Turn, d *planner.Dog) (planner.Entry, bool) {
	all := t.Entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.Fed}, Newest: true, Limit: 1})
	if len(all) == 0 {
		return planner.Entry{}, false
	}
	return all[0], true
}

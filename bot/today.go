package bot

import (
	"cmp"
	"slices"
	"time"

	"bowlwright/bot/read"
	"bowlwright/planner"
	"bowlwright/store"
)

// dayItem is a line of a day: something that falls due, or that was done.
type dayItem struct {
	at   time.Time
	what string
	how  string // what became of it; empty where it is to come
}

// dayItems are what falls due on a day and what was done on it, in order of
// time.
func (t *turn) dayItems(day planner.Date) []dayItem {
	zone := t.event.At.Location()
	from, to := planner.Instant(day, 0, zone), planner.Instant(day.AddDays(1), 0, zone)
	entries := t.entries(store.EntryQuery{From: from.Add(-36 * time.Hour), To: t.event.At.Add(time.Second)})
	done := map[string]planner.Entry{}
	for _, e := range entries {
		if e.Of != "" {
			done[e.Of] = e
		}
	}
	var items []dayItem
	listed := map[string]bool{}
	for _, o := range planner.AgendaWithMeals(t.home, from.Add(-time.Nanosecond), to.Add(-time.Nanosecond)) {
		r := t.reminder(o.Reminder)
		if r == nil || r.Kind == planner.MorningReminder || r.Kind == planner.FreezerReminder {
			continue
		}
		e, answered := done[o.ID]
		item := dayItem{at: o.Send, what: t.itemText(r, o, e)}
		if answered {
			item.how, listed[e.ID] = t.shortEntry(e), true
		}
		items = append(items, item)
	}
	for _, e := range entries {
		if e.Date == day && !listed[e.ID] && e.Kind != planner.KcalSet && e.Kind != planner.Away {
			items = append(items, dayItem{at: e.At, what: t.entryItem(e), how: t.shortEntry(e)})
		}
	}
	slices.SortStableFunc(items, func(a, b dayItem) int { return cmp.Or(a.at.Compare(b.at), cmp.Compare(a.what, b.what)) })
	return items
}

// itemText is what an occurrence is, in a few words; of a meal that was fed,
// what was fed then.
func (t *turn) itemText(r *planner.Reminder, o planner.Occurrence, done planner.Entry) string {
	if r.Kind != planner.BowlReminder {
		return t.aboutReminder(r)
	}
	d := t.dog(r.Dog)
	if d == nil {
		return msg("due.about-bowl", "dog", msg("due.every-dog"))
	}
	m, _ := t.mealFor(d, o.Date, mealAt(*d, o.Clock))
	if r := t.recipe(done.Recipe); r != nil && done.Kcal > 0 {
		m, _ = t.mealOf(d, r, mealAt(*d, o.Clock), done.Kcal)
	}
	if m == nil {
		return msg("due.about-bowl", "dog", d.Name)
	}
	meal := min(m.meal, len(m.bowl.Meals)-1)
	return msg("today.meal", "dog", d.Name, "total", wholeText(m.bowl.Meals[meal], t.home.Units), "recipe", m.recipe.Name)
}

// entryItem is what an entry is about where nothing had fallen due.
func (t *turn) entryItem(e planner.Entry) string {
	name := ""
	if d := t.dog(e.Dog); d != nil {
		name = d.Name
	}
	if _, reminder, _, err := planner.ParseOccurrence(e.Of); err == nil {
		if r := t.reminder(reminder); r != nil { // shifted or paused since
			return t.aboutReminder(r)
		}
	}
	switch e.Kind {
	case planner.Treat:
		return msg("today.treat", "dog", name)
	case planner.Scored:
		return msg("today.condition", "dog", name, "score", e.Score)
	case planner.SignSeen:
		return msg("today.sign", "dog", name, "text", short(e.Text))
	case planner.Doubted:
		return msg("today.doubted", "dog", name, "weight", bodyWeight(e.Weight, t.home.Units))
	case planner.Weighed:
		return msg("today.weighed", "dog", name, "weight", bodyWeight(e.Weight, t.home.Units))
	}
	return msg("today.entry", "dog", name)
}

// shortEntry is what was done, in a word or two: "fed, Tomas".
func (t *turn) shortEntry(e planner.Entry) string {
	if e.Kind == planner.Treat {
		return msg("today.kcal", "kcal", kcal(e.Kcal))
	}
	return msg("entry-short."+string(e.Kind), "name", t.nameOf(e.Person))
}

// sayDay says what is due and done today; each dog's bowl is a tap away.
func (t *turn) sayDay() {
	day := t.date()
	items := t.dayItems(day)
	var rows []tableRow
	open := 0
	for _, i := range items {
		clock := i.at.In(t.event.At.Location()).Format("15:04")
		rows = append(rows, tableRow{clock + " " + i.what, []string{i.how}})
		if i.how == "" && !i.at.Before(t.event.At) {
			open++
		}
	}
	head := msg("today.head", "day", dayText(day), "n", open)
	if len(rows) == 0 {
		head = msg("today.nothing", "day", dayText(day))
	}
	out := t.say(para(head), tableBlock(rows), para(t.pauseText(day)))
	var row []Button
	for i := range t.home.Dogs {
		row = append(row, t.button(msg("button.bowl-for", "dog", t.home.Dogs[i].Name), "bowl", "dog", t.home.Dogs[i].ID))
		if len(row) == 2 {
			out.offer(row...)
			row = nil
		}
	}
	out.offer(row...)
	out.offer(t.button(msg("button.week"), "today", "week"))
}

// pauseText says that reminders rest on a day.
func (t *turn) pauseText(day planner.Date) string {
	for _, p := range t.home.Pauses {
		if !day.Before(p.From) && day.Before(p.Until) {
			name := msg("due.every-dog")
			if d := t.dog(p.Dog); d != nil {
				name = d.Name
			}
			if r := t.reminder(p.Reminder); r != nil {
				return msg("today.paused-one", "what", capital(t.reminderTitle(r)), "day", dayText(p.Until))
			}
			return msg("today.paused", "dog", name, "day", dayText(p.Until))
		}
	}
	return ""
}

// sayWeek says the coming seven days, from tomorrow on.
func (t *turn) sayWeek() {
	zone := t.event.At.Location()
	today := t.date()
	from := planner.Instant(today.AddDays(1), 0, zone).Add(-time.Nanosecond)
	to := planner.Instant(today.AddDays(8), 0, zone).Add(-time.Nanosecond)
	byDay := map[planner.Date][]planner.Occurrence{}
	for _, o := range planner.Agenda(t.home, from, to) {
		day := planner.DateOf(o.Send.In(zone))
		byDay[day] = append(byDay[day], o)
	}
	var rows []tableRow
	for n := 1; n <= 7; n++ {
		day := today.AddDays(n)
		rows = append(rows, tableRow{label: dayText(day)})
		rows = append(rows, t.weekRows(day, byDay[day])...)
	}
	t.say(para(msg("week.head")), tableBlock(rows))
}

// weekRows are the lines of one day: what each dog eats, then what else is
// due, with its time.
func (t *turn) weekRows(day planner.Date, due []planner.Occurrence) (rows []tableRow) {
	for i := range t.home.Dogs {
		d := &t.home.Dogs[i]
		if _, rests := t.home.PausedOn(d.ID, day); rests {
			rows = append(rows, tableRow{msg("week.item", "what", d.Name), []string{msg("week.rests")}})
			continue
		}
		if m, _ := t.mealFor(d, day, 0); m != nil {
			rows = append(rows, tableRow{msg("week.eats", "dog", d.Name, "recipe", m.recipe.Name), []string{wholeText(m.bowl.Day, t.home.Units)}})
		}
	}
	for _, o := range due {
		r := t.reminder(o.Reminder)
		if r == nil || r.Kind == planner.BowlReminder || r.Kind == planner.MorningReminder || r.Kind == planner.FreezerReminder {
			continue
		}
		rows = append(rows, tableRow{msg("week.item", "what", t.aboutReminder(r)), []string{o.Send.In(t.event.At.Location()).Format("15:04")}})
	}
	return rows
}

// pressToday shows today, or the week ahead.
func (t *turn) pressToday(args []string) {
	if arg(args, 0) == "week" {
		t.sayWeek()
		return
	}
	t.today()
}

// pressFeed notes that a dog was fed, outside of any message.
func (t *turn) pressFeed(args []string) {
	if arg(args, 0) == "all" {
		t.fedAll()
		return
	}
	if d := t.dog(arg(args, 0)); d != nil {
		t.fedNow(d, arg(args, 1) == "again")
		return
	}
	t.sayMsg("press.gone")
}

// fedWindow is how long before its time a meal counts as the one that was
// fed (our own choice).
const fedWindow = 3 * time.Hour

// fedNow notes a meal of a dog: the one that is due about now where its
// meals have reminders. A meal that was fed already is said first.
func (t *turn) fedNow(d *planner.Dog, again bool) {
	t.talk.Dog = d.ID
	if r, o, ok := t.mealNow(d); ok {
		if again {
			t.feed(d, r, o, time.Time{})
			return
		}
		t.pressFed(r, o, nil)
		return
	}
	if last, ok := t.lastFed(d); ok && !again && t.event.At.Sub(last.At) < fedWindow {
		t.sayMsg("due.already", "what", d.Name, "how", t.entryText(last)).
			offer(t.button(msg("button.feed-again"), "feed", d.ID, "again"))
		return
	}
	t.mutate("did.fed", d.Name)
	e := planner.Entry{Kind: planner.Fed, Dog: d.ID}
	if m, _ := t.mealFor(d, t.date(), 0); m != nil {
		e.Kcal, e.Recipe = m.kcal(), m.recipe.ID
	}
	e = t.note(e)
	t.settled(msg("due.done", "what", d.Name, "how", t.entryText(e)))
}

// answerFed notes a meal that a sentence tells of: of now, or of the time that
// it names.
func (t *turn) answerFed(d *planner.Dog, s read.Sentence) {
	if s.Words == "" {
		t.fedNow(d, false)
		return
	}
	times, ok := t.clocksSaid(s.Words)
	if !ok {
		return
	}
	at := planner.Instant(t.date(), times[0], t.event.At.Location())
	if len(times) > 1 || at.After(t.event.At) {
		t.sayMsg("due.fed-ahead", "dog", d.Name, "time", times[len(times)-1].String())
		return
	}
	r, o, ok := t.mealAbout(d, at)
	if !ok {
		t.mutate("did.fed", d.Name)
		e := planner.Entry{Kind: planner.Fed, Dog: d.ID, At: at}
		if m, _ := t.mealFor(d, t.date(), 0); m != nil {
			e.Kcal, e.Recipe = m.kcal(), m.recipe.ID
		}
		t.settled(msg("due.done", "what", d.Name, "how", t.entryText(t.note(e))))
		return
	}
	for _, e := range t.answered(o) {
		if e.Kind == planner.Fed {
			t.alreadyAnswered(r, o, e).offer(t.dueButton(msg("button.feed-again"), "again", o))
			return
		}
	}
	t.feed(d, r, o, at)
}

// mealNow is the occurrence of a dog's bowl that a carer means who says that
// it was fed: of those of today the last whose time has come or nearly has.
func (t *turn) mealNow(d *planner.Dog) (*planner.Reminder, planner.Occurrence, bool) {
	return t.mealAbout(d, t.event.At)
}

// mealAbout is the same of a time of today.
func (t *turn) mealAbout(d *planner.Dog, at time.Time) (*planner.Reminder, planner.Occurrence, bool) {
	r := t.home.MealReminder(d.ID)
	if r == nil {
		return nil, planner.Occurrence{}, false
	}
	for _, clock := range slices.Backward(d.MealTimes()) {
		o, ok := t.occurrenceOf(r, stampOf(planner.Moment{Date: t.date(), Clock: clock}))
		if ok && o.At.Sub(at) <= fedWindow {
			return r, o, true
		}
	}
	return nil, planner.Occurrence{}, false
}

// lastFed is the last meal that was entered for a dog.
func (t *turn) lastFed(d *planner.Dog) (planner.Entry, bool) {
	all := t.entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.Fed}, Newest: true, Limit: 1})
	if len(all) == 0 {
		return planner.Entry{}, false
	}
	return all[0], true
}

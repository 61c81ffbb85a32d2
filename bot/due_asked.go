package bot

import (
	"cmp"
	"slices"
	"time"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// meal is what is known of one meal of a day: what fell due, what was
// entered, or both.
type meal struct {
	at    time.Time
	due   planner.Occurrence // zero where no reminder is kept of it
	entry planner.Entry      // zero where nothing is recorded
}

// answerFedAsked says from the journal whether, when and by whom a dog was
// fed; every dog where none is meant.
func (t *turn) answerFedAsked(s read.Sentence) {
	day, part, named := read.DayAsked(t.event.Text, t.event.At)
	d := t.dog(s.Dog)
	if d == nil && (len(t.home.Dogs) == 1 || read.SaysShe(t.event.Text)) {
		d = t.talkedOf()
	}
	switch {
	case len(t.home.Dogs) == 0:
		t.whoFeeds()
	case d != nil:
		t.talk.Dog = d.ID
		t.sayFed([]*planner.Dog{d}, day, part, named)
	default:
		var all []*planner.Dog
		for i := range t.home.Dogs {
			all = append(all, &t.home.Dogs[i])
		}
		t.sayFed(all, day, part, named)
	}
}

// sayFed says what is recorded of the meals of some dogs on a day. One meal
// that can still be answered has its button.
func (t *turn) sayFed(dogs []*planner.Dog, day planner.Date, part read.Part, named bool) {
	var blocks []Block
	var open []Button
	for _, d := range dogs {
		meals := partOf(t.mealsOn(d, day), part)
		fed := 0
		var rows []tableRow
		for _, m := range meals {
			if m.entry.Kind == planner.Fed {
				fed++
			}
			rows = append(rows, t.mealRow(d, m))
			if m.entry.Kind == "" && m.due.ID != "" && m.due.At.Sub(t.event.At) <= fedWindow {
				open = append(open, t.dueButton(msg("button.fed-meal", "dog", d.Name, "when", m.due.Clock.String()), "fed", m.due))
			}
		}
		of := len(meals)
		if part == read.WholeDay {
			of = max(of, mealsOf(*d))
		}
		head := msg("fed.head", "dog", d.Name, "day", t.askedDay(day), "n", fed, "of", of)
		if len(meals) == 0 {
			head = msg("fed.nothing", "dog", d.Name, "day", t.askedDay(day))
		}
		blocks = append(blocks, para(head), tableBlock(rows))
		if last, ok := t.lastFed(d); ok && !named && fed == 0 && last.Date != day {
			blocks = append(blocks, para(msg("fed.last", "how", t.entryText(last))))
		}
	}
	out := t.say(blocks...)
	for row := range slices.Chunk(open[:min(len(open), 6)], 2) {
		out.offer(row...)
	}
}

// askedDay is a day in the answer to a question about it.
func (t *turn) askedDay(day planner.Date) string {
	switch t.date().DaysTo(day) {
	case 0:
		return msg("fed.today")
	case -1:
		return msg("fed.yesterday")
	}
	return t.dateText(day)
}

// mealsOn are the meals of a dog on a day, in order of time.
func (t *turn) mealsOn(d *planner.Dog, day planner.Date) (all []meal) {
	zone := t.event.At.Location()
	from, to := planner.Instant(day, 0, zone), planner.Instant(day.AddDays(1), 0, zone)
	kinds := []planner.EntryKind{planner.Fed, planner.NotFed}
	entries := t.entries(store.EntryQuery{Dog: d.ID, Kinds: kinds, From: from.Add(-36 * time.Hour), To: to.Add(36 * time.Hour)})
	listed := map[string]bool{}
	for _, o := range planner.AgendaWithMeals(t.home, from.Add(-time.Nanosecond), to.Add(-time.Nanosecond)) {
		r := t.reminder(o.Reminder)
		if r == nil || r.Kind != planner.BowlReminder || r.Dog != d.ID {
			continue
		}
		m := meal{at: o.At, due: o}
		for _, e := range entries {
			if e.Of == o.ID && !listed[e.ID] {
				m.entry, listed[e.ID] = e, true
				break
			}
		}
		all = append(all, m)
	}
	for _, e := range entries {
		if e.Date == day && !listed[e.ID] {
			all = append(all, meal{at: e.At, entry: e})
		}
	}
	slices.SortStableFunc(all, func(a, b meal) int { return cmp.Or(a.at.Compare(b.at), cmp.Compare(a.entry.ID, b.entry.ID)) })
	return all
}

// partOf are the meals of the morning or of the evening: the first or the
// last that a reminder is kept of, and what else was entered in that half of
// the day.
func partOf(meals []meal, part read.Part) (out []meal) {
	if part == read.WholeDay {
		return meals
	}
	isDue := func(m meal) bool { return m.due.ID != "" }
	first := slices.IndexFunc(meals, isDue)
	last := -1
	for i := range meals {
		if isDue(meals[i]) {
			last = i
		}
	}
	for i, m := range meals {
		morning := planner.ClockOf(m.at) < noon
		if isDue(m) {
			morning = i == first && (first != last || morning)
			if i != first && i != last {
				continue
			}
		}
		if morning == (part == read.FirstPart) {
			out = append(out, m)
		}
	}
	return out
}

// mealRow is a meal in a line: when it was due, what became of it and how
// much it was.
func (t *turn) mealRow(d *planner.Dog, m meal) tableRow {
	clock := m.at.In(t.event.At.Location()).Format("15:04")
	if m.entry.Kind == "" {
		how := msg("fed.not-recorded")
		if m.due.At.After(t.event.At) {
			how = msg("fed.to-come")
		}
		return tableRow{clock + " " + how, nil}
	}
	how := t.shortEntry(m.entry)
	entered := m.entry.At.In(t.event.At.Location())
	at := entered.Format("15:04")
	if planner.DateOf(entered) != m.entry.Date {
		at = dayText(planner.DateOf(entered)) // answered on another day
	}
	if at != clock {
		how = msg("fed.at", "how", msg("fed.word-"+string(m.entry.Kind)), "when", at, "name", t.nameOf(m.entry.Person))
	}
	row := tableRow{label: clock + " " + how}
	if amount := t.fedAmount(d, m); amount != "" {
		row.cells = []string{amount}
	}
	return row
}

// fedAmount is how much of its recipe a meal was, empty where that is not
// recorded.
func (t *turn) fedAmount(d *planner.Dog, m meal) string {
	r := t.recipe(m.entry.Recipe)
	if m.entry.Kind != planner.Fed || m.entry.Kcal == 0 {
		return ""
	}
	at := 0
	if m.due.ID != "" {
		at = mealAt(*d, m.due.Clock)
	}
	if r != nil {
		if b, _ := t.mealOf(d, r, at, m.entry.Kcal); b != nil {
			return wholeText(b.bowl.Meals[min(at, len(b.bowl.Meals)-1)], t.home.Units)
		}
	}
	return kcal(m.entry.Kcal) + " kcal"
}

// answerGivenAsked says from the journal whether a supplement was given.
func (t *turn) answerGivenAsked(s read.Sentence) {
	var dogs []string
	if d := t.dog(s.Dog); d != nil {
		dogs = []string{d.ID}
		t.talk.Dog = d.ID
	} else if d := t.talkedOf(); d != nil && read.SaysShe(t.event.Text) {
		dogs = []string{d.ID}
	}
	fits := t.dosesNamed(s.Food, dogs)
	if len(fits) == 0 {
		if found := t.foods.Find(s.Food); found.Food == nil || !found.Food.Has(nutrition.Supplement) {
			t.answerFedAsked(s) // "did Juniper get turkey today": what she got
			return
		}
		t.sayMsg("given.no-reminder", "food", short(s.Food))
		return
	}
	day, _, named := read.DayAsked(t.event.Text, t.event.At)
	var blocks []Block
	var open []Button
	for _, r := range fits {
		text, o, isOpen := t.givenText(r, day, named)
		blocks = append(blocks, para(text))
		if isOpen {
			open = append(open, t.dueButton(msg("button.given-what", "what", t.aboutReminder(r)), "given", o))
		}
	}
	out := t.say(blocks...)
	for _, b := range open[:min(len(open), 4)] {
		out.offer(b)
	}
}

// givenText says what is recorded of a dose on a day; where none was named,
// when it was last given. open is the dose that waits for its answer.
func (t *turn) givenText(r *planner.Reminder, day planner.Date, named bool) (text string, open planner.Occurrence, isOpen bool) {
	what := capital(t.aboutReminder(r))
	kinds := []planner.EntryKind{planner.Given, planner.NotGiven}
	var last planner.Entry
	for _, e := range t.entries(store.EntryQuery{Dog: r.Dog, Kinds: kinds, Newest: true, Limit: 400}) {
		if _, of, _, err := planner.ParseOccurrence(e.Of); err != nil || of != r.ID {
			continue
		}
		if e.Date == day {
			return msg("due.done", "what", what, "how", t.entryText(e)), open, false
		}
		if last.ID == "" && e.Kind == planner.Given {
			last = e
		}
	}
	text = msg("given.not-recorded", "what", what, "day", t.askedDay(day))
	if !named && last.ID != "" {
		text += " " + msg("fed.last", "how", t.entryText(last))
	}
	if day == t.date() {
		now := t.doseNow(r)
		due := append(planner.Agenda(t.home, t.event.At.Add(-doseWindow), t.event.At), t.putOffNow()...)
		if slices.ContainsFunc(due, func(o planner.Occurrence) bool { return o.ID == now.ID }) {
			return text, now, true
		}
		text += " " + t.nextText(r, t.event.At)
	}
	return text, open, false
}

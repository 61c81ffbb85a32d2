package day

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/remind"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
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
func answerFedAsked(t *talk.Turn, s read.Sentence) {
	day, part, named := read.DayAsked(t.OfDays(), t.Event.At)
	from, until, several := read.DaysAsked(t.OfDays(), t.Event.At)
	d := t.Dog(s.Dog)
	if d == nil && (len(t.Home.Dogs) == 1 || read.SaysShe(t.Event.Text)) {
		d = talk.TalkedOf(t)
	}
	asked := t.Dogs()
	if d != nil {
		asked = []*planner.Dog{d}
	}
	if d != nil {
		t.Talk.Dog = d.ID
	}
	switch {
	case len(asked) == 0:
		talk.WhoFeeds(t)
	case several:
		sayFedDays(t, asked, from, until)
	default:
		sayFed(t, asked, day, part, named)
	}
}

// sayFed says what is recorded of the meals of some dogs on a day. One meal
// that can still be answered has its button.
func sayFed(t *talk.Turn, of []*planner.Dog, day planner.Date, part read.Part, named bool) {
	var blocks []say.Block
	var open []say.Button
	for _, d := range of {
		meals := partOf(mealsOn(t, d, day), part)
		fed, kcal := 0, nutrition.Kcal(0)
		var rows []say.TableRow
		for _, m := range meals {
			if m.entry.Kind == planner.Fed {
				fed++
				kcal += m.entry.Kcal
			}
			rows = append(rows, mealRow(t, d, m))
			if m.entry.Kind == "" && m.due.ID != "" && m.due.At.Sub(t.Event.At) <= fedWindow {
				open = append(open, talk.DueButton(t, msg("button.fed-meal", "dog", d.Name, "when", m.due.Clock.String()), "fed", m.due))
			}
		}
		var treats []planner.Entry
		of := len(meals)
		if part == read.WholeDay {
			treats, of = treatEntries(t, d, day), max(of, talk.MealsOf(*d))
		}
		for _, e := range treats {
			kcal += e.Kcal
			rows = append(rows, say.TableRow{Label: e.At.In(t.Event.At.Location()).Format("15:04") + " " + cmp.Or(e.Text, msg("fed.treat")), Cells: []string{shortEntry(t, e)}})
		}
		head := msg(say.Choose(len(meals)+len(treats) == 0, "fed.nothing", "fed.head"), "dog", d.Name, "day", askedDay(t, day), "n", fed, "of", of)
		away := awayOn(t, d, day)
		if len(away) > 0 && len(meals)+len(treats) == 0 {
			head, away = away[0], away[1:]
		}
		blocks = append(blocks, say.Para(head), say.TableBlock(rows), say.Para(talk.JoinLines(away)),
			say.Para(say.Where(read.Says("asks-energy", t.AsTyped()) && kcal > 0, msg("fed.together", "kcal", say.Kcal(kcal), "need", say.Kcal(planner.AmountOf(*d, t.Event.At).Kcal)))))
		if last, ok := lastFed(t, d); ok && !named && fed == 0 && last.Date != day {
			blocks = append(blocks, say.Para(msg("fed.last", "how", talk.EntryText(t, last))))
		}
	}
	t.Say(blocks...).Rows(2, open[:min(len(open), 6)]...)
}

// awayOn is how a dog was fed otherwise on a day, in the words of who told it.
func awayOn(t *talk.Turn, d *planner.Dog, day planner.Date) (all []string) {
	for _, e := range t.Entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.Away}}) {
		if !day.Before(e.Date) && !e.Until.Before(day) {
			all = append(all, msg("fed.away", "dog", d.Name, "day", askedDay(t, day), "text", say.Short(e.Text)))
		}
	}
	return all
}

// askedDay is a day in the answer to a question about it.
func askedDay(t *talk.Turn, day planner.Date) string {
	switch t.Date().DaysTo(day) {
	case 0:
		return msg("fed.today")
	case -1:
		return msg("fed.yesterday")
	}
	return t.DateText(day)
}

// mealsOn are the meals of a dog on a day, in order of time.
func mealsOn(t *talk.Turn, d *planner.Dog, day planner.Date) (all []meal) {
	zone := t.Event.At.Location()
	from, to := planner.Instant(day, 0, zone), planner.Instant(day.AddDays(1), 0, zone)
	kinds := []planner.EntryKind{planner.Fed, planner.NotFed}
	entries := t.Entries(store.EntryQuery{Dog: d.ID, Kinds: kinds, From: from.Add(-36 * time.Hour), To: to.Add(36 * time.Hour)})
	listed := map[string]bool{}
	for _, o := range planner.AgendaWithMeals(t.Home, from.Add(-time.Nanosecond), to.Add(-time.Nanosecond)) {
		r := t.Reminder(o.Reminder)
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
		morning := planner.ClockOf(m.at) < say.Noon
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
func mealRow(t *talk.Turn, d *planner.Dog, m meal) say.TableRow {
	clock := m.at.In(t.Event.At.Location()).Format("15:04")
	if m.entry.Kind == "" {
		how := say.Choose(m.due.At.After(t.Event.At), msg("fed.to-come"), msg("fed.not-recorded"))
		return say.TableRow{Label: clock + " " + how, Cells: nil}
	}
	how := shortEntry(t, m.entry)
	entered := m.entry.At.In(t.Event.At.Location())
	at := entered.Format("15:04")
	if planner.DateOf(entered) != m.entry.Date {
		at = say.DayText(planner.DateOf(entered)) // answered on another day
	}
	if at != clock {
		how = msg("fed.at", "how", msg("fed.word-"+string(m.entry.Kind)), "when", at, "name", talk.NameOf(t, m.entry.Person))
	}
	row := say.TableRow{Label: clock + " " + how}
	if amount := fedAmount(t, d, m); amount != "" {
		row.Cells = []string{amount}
	}
	return row
}

// fedAmount is how much of its recipe a meal was, empty where that is not
// recorded.
func fedAmount(t *talk.Turn, d *planner.Dog, m meal) string {
	r := t.Recipe(m.entry.Recipe)
	if m.entry.Kind != planner.Fed || m.entry.Kcal == 0 {
		return m.entry.Text // grams of which the kcal are not known
	}
	if _, told := read.AmountOff(read.FromAmount(m.entry.Text)); told > 0 {
		return say.ExactMass(told, t.Home.Units)
	}
	at := 0
	if m.due.ID != "" {
		at = mealAt(*d, m.due.Clock)
	}
	switched, _ := talk.Switching(t, d, m.entry.Date)
	if r != nil && switched == nil && len(planner.OthersOn(t.Home, d.ID, m.entry.Date)) == 0 {
		if b, _ := mealOf(t, newMeal(t, d, at), r, m.entry.Kcal*ofFood(t, d)); b != nil {
			return say.WholeText(b.Bowl.Meals[min(at, len(b.Bowl.Meals)-1)], t.Home.Units)
		}
	}
	return say.Kcal(m.entry.Kcal) + " kcal"
}

// DoseAsked answers which doses are due today and which of them are open, of one dog or of
// all, and of one that a question names also when it was given last: "does he need his tablet
// today", "can she have the tablet". It reports whether a text asks that.
func DoseAsked(t *talk.Turn, s string) bool {
	bare := talk.WithoutDogs(t, s)
	thing, named := strings.TrimSpace(read.Find("dose-asked", bare)), read.DogsOf(s, t.Names())
	of := ofAsked(t, strings.Join(named, " "))
	if len(remind.GivenNamed(t, thing, of)) == 0 {
		thing = read.Pattern("medicine").FindString(thing) // "his heart tablet"
	}
	if read.Says("doses-asked", bare) {
		thing = ""
	} else if thing == "" || len(named) > 1 || len(read.Clauses(thing)) > 1 || len(remind.GivenNamed(t, thing, of)) == 0 {
		return false
	}
	if len(remind.Given(t, of)) == 0 {
		return false
	}
	if d := talk.TheDog(t); d != nil && read.Says("asks-to-give", s) {
		if first := dogs.SignHolds(t, d); first != "" { // of a dog that is to see a vet
			t.Say(say.Whole(first)).Offer(dogs.HoldButtons(t, d, nil)[0])
			return true
		}
	}
	answerGivenAsked(t, read.Sentence{Food: thing, Dog: strings.Join(named, " ")})
	return true
}

// ofAsked is the dog that a question is about: the one with an id, else the one that it
// speaks of as one; none where that is every dog.
func ofAsked(t *talk.Turn, id string) []string {
	if d := t.Dog(id); d != nil && !read.SaysThem(t.AsTyped()) {
		return []string{d.ID}
	} else if d := talk.TalkedOf(t); d != nil && read.SexSaid(t.Event.Text) != "" {
		return []string{d.ID}
	}
	return nil
}

// answerGivenAsked says from the journal whether a supplement was given.
func answerGivenAsked(t *talk.Turn, s read.Sentence) {
	of := ofAsked(t, s.Dog)
	if d := t.Dog(s.Dog); d != nil {
		t.Talk.Dog = d.ID
	}
	fits := remind.GivenNamed(t, s.Food, of)
	if s.Food == "" { // "which supplements are still open", dog by dog
		fits = remind.Given(t, of)
		slices.SortStableFunc(fits, func(a, b *planner.Reminder) int { return cmp.Compare(a.Dog, b.Dog) })
	}
	found := t.Foods.Find(s.Food)
	eaten := len(found.Choices) > 0 || found.Food != nil && !found.Food.Has(nutrition.Supplement) || t.RecipeNamed(s.Food) != nil
	switch {
	case len(fits) > 0:
	case eaten:
		answerFedAsked(t, s) // "did Juniper get turkey today": what she got
		return
	case found.Food != nil:
		t.SayMsg("given.no-reminder", "food", say.Short(s.Food))
		return
	default:
		t.Say(say.Whole(msg("given.not-known", "food", say.Short(s.Food))))
		return
	}
	day, _, named := read.DayAsked(t.OfDays(), t.Event.At)
	var blocks []say.Block
	var open []say.Button
	for _, r := range fits {
		text, o, isOpen := givenText(t, r, day, named)
		blocks = append(blocks, say.Whole(text))
		if isOpen {
			open = append(open, talk.DueButton(t, say.Cut(msg("button.given-what", "what", talk.AboutReminder(t, r)), 40), actionFor("given", r.Kind), o))
		}
	}
	out := t.Say(blocks...)
	for _, b := range open[:min(len(open), 4)] {
		out.Offer(b)
	}
}

// givenText says what is recorded of a dose on a day; where none was named,
// when it was last given. open is the dose that waits for its answer.
func givenText(t *talk.Turn, r *planner.Reminder, day planner.Date, named bool) (text string, open planner.Occurrence, isOpen bool) {
	what := say.Capital(talk.AboutReminder(t, r))
	kinds := []planner.EntryKind{planner.Given, planner.NotGiven, planner.NoteDone}
	var last planner.Entry
	for _, e := range t.Entries(store.EntryQuery{Dog: r.Dog, Kinds: kinds, Newest: true, Limit: 400}) {
		if _, of, _, err := planner.ParseOccurrence(e.Of); err != nil || of != r.ID {
			continue
		}
		if e.Date == day {
			return msg("due.done", "what", what, "how", talk.EntryText(t, e)), open, false
		}
		if last.ID == "" && e.Kind != planner.NotGiven {
			last = e
		}
	}
	text = msg("given.not-recorded", "what", what, "day", askedDay(t, day))
	now, next := doseNow(t, r, t.Event.At), ""
	due := append(planner.Agenda(t.Home.WithDoses(), t.Event.At.Add(-doseWindow), t.Event.At), putOffNow(t)...)
	m, ok := planner.NextOf(t.Home, r, t.Event.At)
	later := ok && m.Date == day
	switch isOpen = slices.ContainsFunc(due, func(o planner.Occurrence) bool { return o.ID == now.ID }); {
	case day != t.Date():
		isOpen = false
	case isOpen && (now.Date == day || !later):
		when := say.Choose(now.Date == day, now.Clock.String(), t.Clock(now.At))
		text, open = msg("given.open", "what", what, "time", when), now
	case later:
		text, next = msg("given.open", "what", what, "time", m.Clock.String()), say.Where(isOpen, " "+msg("given.before", "when", t.Clock(now.At)))
		isOpen = false
	default:
		text, next = msg("given.not-due", "what", what), " "+nextText(t, r, t.Event.At)
	}
	if read.Says("when-last", t.AsTyped()) && last.ID == "" {
		text += " " + msg("given.never")
	} else if !named && last.ID != "" {
		text += " " + msg("fed.last", "how", talk.EntryText(t, last))
	}
	return text + next, open, isOpen
}

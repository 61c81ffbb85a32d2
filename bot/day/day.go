package day

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/balance"
	"bowlwright/bot/dogs"
	"bowlwright/bot/kitchen"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/bot/weighing"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/portions"
)

// sayMorning says every dog's day in one message.
func sayMorning(t *talk.Turn, due []planner.Occurrence) {
	o := due[len(due)-1]
	var blocks []say.Block
	failing := map[string]string{} // by dog
	all := t.Living()
	for _, d := range all {
		blocks = append(blocks, dayBlocks(t, d, o.Date)...)
		if r := mealRecipe(t, d, o.Date); r != nil {
			failing[d.ID] = balance.Failing(t, d, r)
			blocks = append(blocks, say.Para(balance.MuchWeekly(t, d, r)), say.Para(failing[d.ID]))
		}
	}
	if len(blocks) == 0 {
		return
	}
	out := t.Say(append([]say.Block{say.Para(msg("due.morning", "day", say.DayText(o.Date)))}, blocks...)...)
	for _, d := range all {
		if dogs.SignHolds(t, d) != "" {
			out.Offer(dogs.HoldButtons(t, d, nil)...)
		}
		out.Offer(t.Button(msg("button.fed-dog", "dog", d.Name), "feed", d.ID))
		balance.OfferMissing(t, out, d, mealRecipe(t, d, o.Date), failing[d.ID])
	}
	out.Offer(t.Button(msg("button.today"), "today"))
}

// dayBlocks are one dog's amounts of a day, short.
func dayBlocks(t *talk.Turn, d *planner.Dog, day planner.Date) []say.Block {
	m, trouble := MealFor(t, d, day, 0)
	if m == nil {
		return []say.Block{say.Para(trouble)}
	}
	if holds := dogs.SignHolds(t, d); holds != "" {
		return []say.Block{say.Whole(holds)}
	}
	u := t.Home.Units
	head := msg("due.day", "dog", d.Name, "what", m.what(t, -1)) + say.Where(m.meals > 1, msg("bowl.meals", "n", m.meals))
	var out []string
	for _, meal := range mealsOn(t, d, day) {
		if meal.entry.Kind == planner.NotFed {
			out = append(out, planner.ClockOf(meal.at.In(t.Event.At.Location())).String())
		}
	}
	left := say.Where(len(out) > 0, msg("due.left-out", "n", len(out), "times", say.List(out)))
	if len(out) == m.meals {
		return []say.Block{say.Para(d.Name + ":"), say.Whole(left)}
	}
	rows := say.Each(m.Bowl.Rows, func(row portions.BowlRow) say.TableRow {
		return say.TableRow{Label: t.FoodName(row.Food), Cells: []string{say.WholeText(row.Day, u)}}
	})
	return []say.Block{say.Para(head + "."), say.Whole(left), say.Whole(m.cookedText(t)), say.TableBlock(rows), say.Whole(dosesOf(t, m, day))}
}

// SayFreezer says the evening before what to take out.
func SayFreezer(t *talk.Turn, due []planner.Occurrence) {
	tomorrow := due[len(due)-1].Date.AddDays(1)
	if kitchen.SayThaw(t, tomorrow) {
		return
	}
	totals, raw := map[string]nutrition.Grams{}, map[string]bool{}
	var order []string
	for i := range t.Home.Dogs {
		m, _ := MealFor(t, &t.Home.Dogs[i], tomorrow, 0)
		if m == nil {
			continue
		}
		thaws := []portions.PlatePart{{Fare: planner.Fare{Recipe: *m.Recipe}, Bowl: m.Bowl}}
		if tr, r := talk.Switching(t, &t.Home.Dogs[i], tomorrow); tr != nil { // the old food needs no thawing
			thaws[0].Recipe.Name, thaws[0].Day = r.Name, m.fresh
		}
		if len(m.parts) > 0 {
			thaws = m.parts
		}
		for _, p := range thaws {
			name := p.Recipe.Name
			if p.Day == 0 || p.Recipe.ID == "" {
				continue
			}
			if _, ok := totals[name]; !ok {
				order = append(order, name)
			}
			totals[name] += p.Day
			raw[name] = recipes.Cooks(t, &p.Recipe)
		}
	}
	if len(order) == 0 {
		return
	}
	what := say.Each(order, func(name string) string {
		return msg("due.thaw", "total", say.WholeText(totals[name], t.Home.Units)+say.Where(raw[name], msg("bowl.raw")), "recipe", name)
	})
	t.Say(say.Para(msg("due.freezer", "what", say.List(what), "day", say.DayText(tomorrow))), say.Para(msg("due.freezer-how")))
}

// sayNote says a one-off reminder as it was typed.
func sayNote(t *talk.Turn, r *planner.Reminder, o planner.Occurrence) {
	if len(talk.Answered(t, o)) > 0 { // before its time
		return
	}
	of := talk.DogNames(t, []string{r.Dog})
	text := say.Choose(of == "", msg("due.note", "text", r.Text), msg("due.note-of", "dog", of, "text", r.Text))
	t.Say(say.Para(text), say.Para(talk.LateText(t, o))).
		Offer(talk.DueButton(t, msg("button.done"), "done", o), talk.DueButton(t, msg("button.later"), "later", o))
}

// noteDone notes that what a reminder said was done at an instant of a day, the zero time
// for now; one for a single day is then dropped.
func noteDone(t *talk.Turn, r *planner.Reminder, o planner.Occurrence, at time.Time, day planner.Date) {
	if alreadyGiven(t, r, o) {
		return
	}
	about := talk.AboutReminder(t, r)
	t.Mutate("did.note-done", about)
	e := t.Note(planner.Entry{Kind: planner.NoteDone, Dog: r.Dog, Of: o.ID, At: at, Date: day, Text: r.Text})
	talk.DropSnooze(t, o.ID)
	moved := ""
	if r.Schedule.Once && r.Kind == planner.NoteReminder {
		talk.DropReminder(t, r.ID)
	} else if day != o.Date || !r.Schedule.On(day) {
		moved, _ = settleSeries(t, r, o, day)
	}
	talk.SayDone(t, say.JoinParas(msg("due.done", "what", about, "how", talk.EntryText(t, e)), moved))
}

// answerAtePart records how much of a meal a dog has eaten, as a share or in grams:
// of the last one fed if that was not long ago, else of the one that is due.
func answerAtePart(t *talk.Turn, d *planner.Dog, s read.Sentence) {
	t.Talk.Dog = d.ID
	defer func() { weighing.SaidBeside(t, t.AsTyped()) }()
	share, ok := read.PartEaten(t.AsTyped())
	if !ok {
		share, ok = read.PartEaten(t.Event.Text)
	}
	left := !ok && read.Says("grams-left", t.Event.Text)
	if left {
		_, s.Grams = read.AmountOff(read.FromAmount(t.Event.Text))
	}
	if !ok && s.Grams == 0 {
		t.SayMsg("part.ask", "dog", d.Name)
		return
	}
	e, m := mealEaten(t, d)
	amount, other := say.ExactMass(s.Grams, t.Home.Units), t.Recipe(s.Recipe)
	if s.Food != "" && s.Grams > 0 && !left {
		ateInstead(t, d, e, m, amount+" "+s.Food)
		return
	}
	full, cooked := nutrition.Kcal(0), false
	if m != nil {
		full, e.Recipe = m.kcal(), m.Recipe.ID
		if s.Grams > 0 {
			share, cooked = m.share(t, s.Grams)
		}
	}
	switch {
	case full > 0 && share > mostMeals:
		t.SayMsg("part.much", "dog", d.Name, "amount", amount)
		return
	case left && share > 1:
		t.SayMsg("part.ask", "dog", d.Name)
		return
	case s.Grams > 0 && !left && (full == 0 || other != nil && other.ID != e.Recipe):
		fedUnknown(t, d, e, other, amount)
		return
	case full == 0:
		if !dogs.Held(t, d) {
			t.SayMsg("part.no-meal", "dog", d.Name)
		}
		return
	}
	e.Text = say.Short(t.Event.Text)
	note := say.Where(cooked, msg("part.cooked", "amount", amount))
	if s.Grams > 0 && recipes.CookedUnknown(t, m.Recipe) {
		note = msg("part.as-raw", "recipe", m.Recipe.Name)
	}
	if left { // of the grams that are told none were eaten
		share = 1 - share
		e.Text, note = say.Percent(share), msg("part.left", "amount", amount)
	}
	t.Mutate("did.fed", d.Name)
	e.Kcal = full * nutrition.Kcal(share)
	sayAte(t, d, t.Note(e), full, say.Where(s.Grams > 0 && !cooked && !left, amount), note)
}

// sayAte says what a dog had as a meal, of which the whole has so many kcal, and the
// amount where that was told.
func sayAte(t *talk.Turn, d *planner.Dog, e planner.Entry, full nutrition.Kcal, amount, note string) {
	talk.DropSnooze(t, e.Of)
	how := talk.EntryText(t, e)
	t.Replies = slices.DeleteFunc(t.Replies, func(r say.Reply) bool { // "she had her dinner and left a bit": the whole was said first
		return len(r.Body) == 1 && strings.HasPrefix(r.Body[0].Text, d.Name+" ") && strings.HasSuffix(r.Body[0].Text, how+".")
	})
	talk.SayDone(t, say.JoinParas(msg("part.noted", "dog", d.Name, "amount", say.Where(amount != "", amount+", "), "kcal", say.Kcal(e.Kcal), "full", say.Kcal(full), "how", how), note))
}

// share is how much of the meal so many grams are: as they are told, cooked ones where it
// is of one recipe that was weighed cooked.
func (m *mealBowl) share(t *talk.Turn, told nutrition.Grams) (share float64, cooked bool) {
	if len(m.parts) == 0 && m.fresh == 0 && m.cooks > 0 {
		told, cooked = recipes.Raw(t, m.Recipe, told)
	}
	if whole := m.Bowl.Meals[min(m.meal, len(m.Bowl.Meals)-1)]; whole > 0 {
		share = float64(told / whole)
	}
	return share, cooked
}

// ateInstead notes an amount of other food as a dog's meal. What is little beside the meal
// and not said to be in its place was had besides.
func ateInstead(t *talk.Turn, d *planner.Dog, e planner.Entry, m *mealBowl, what string) {
	is, refused, ok := recipes.ServingOf(t, what)
	kcal, full := nutrition.Kcal(is.Energy.Mid), nutrition.Kcal(is.Energy.Mid)
	if m != nil {
		full = m.kcal()
	}
	switch {
	case refused != nil:
		t.Happened(talk.DangerEaten{Dog: d, Food: refused.Name})
		return
	case !ok || kcal <= 0:
		sayUnknown(t, d, what)
		return
	case kcal < full/2 && !read.Says("instead", t.AsTyped()):
		takeTreat(t, read.TreatSaid{Dog: d.ID, Rest: what})
		return
	}
	t.Mutate("did.fed", d.Name)
	e.Kcal, e.Recipe, e.Text = kcal, "", say.ExactMass(is.Grams, t.Home.Units)+" "+is.Name
	sayAte(t, d, t.Note(e), full, "", servingNote(t, is))
}

// fedUnknown keeps an amount of food that is not the meal that is reckoned with, as it
// was told: it counts as a meal, of which the kcal are not known.
func fedUnknown(t *talk.Turn, d *planner.Dog, e planner.Entry, of *planner.Recipe, amount string) {
	e.Kcal, e.Recipe, e.Text = 0, "", amount
	why := cmp.Or(heldText(t, d, planner.AmountOf(*d, t.Event.At)), msg("part.of-unknown", "dog", d.Name))
	if of != nil {
		e.Recipe, e.Text = of.ID, amount+" "+of.Name
		why = msg("part.of-other", "dog", d.Name, "recipe", of.Name)
	}
	t.Mutate("did.fed", d.Name)
	e = t.Note(e)
	talk.DropSnooze(t, e.Of)
	talk.SayDone(t, msg("part.told", "dog", d.Name, "amount", e.Text, "how", talk.EntryText(t, e), "why", why))
}

// mealAfterAll has a treat be a dog's meal, in the place of its bowl.
func mealAfterAll(t *talk.Turn, d *planner.Dog, id string) {
	treat, ok := t.Entry(id)
	if talk.Gone(t, !ok || treat.Kind != planner.Treat) {
		return
	}
	t.Mutate("did.fed", d.Name)
	t.Unnote(treat)
	e, m := mealEaten(t, d)
	full := treat.Kcal
	if m != nil {
		full = m.kcal()
	}
	e.Kcal, e.Recipe, e.Text = treat.Kcal, "", treat.Text
	sayAte(t, d, t.Note(e), full, e.Text, "")
}

const (
	// mostMeals is how many meals a dog may have eaten at once.
	mostMeals = 3
	// lateForPart is after how long what is told of a part is of the next meal. Both
	// are our own choices.
	lateForPart = 4 * time.Hour
)

// mealEaten is the entry of the meal of which a carer tells how much was eaten, and the
// meal; nil where there is none.
func mealEaten(t *talk.Turn, d *planner.Dog) (planner.Entry, *mealBowl) {
	at := 0
	e, fed := lastFed(t, d)
	day, part, _ := read.DayAsked(t.OfDays(), t.Event.At)
	named, said := partSaid(t, d)
	was, early := longAgo(t, d)
	told := clocksFed(t, d, read.Find("told-at", t.OfDays()))
	switch {
	case len(told) == 1 && day == t.Date():
		moment := planner.Instant(day, told[0], t.Event.At.Location())
		e = planner.Entry{Kind: planner.Fed, Dog: d.ID, At: moment.UTC()}
		if o, due := mealAbout(t, d, moment); due {
			e.Of, e.Date = o.ID, o.Date
			for _, old := range talk.Answered(t, o) {
				e.ID = old.ID
			}
		}
	case early:
		e = was
	case day.Before(t.Date()):
		times := part.Of(d.MealTimes())
		last := meal{at: planner.Instant(day, times[len(times)-1], t.Event.At.Location())}
		if meals := partOf(mealsOn(t, d, day), part); len(meals) > 0 {
			last = meals[len(meals)-1]
		}
		if e = last.entry; e.ID == "" {
			e = planner.Entry{Of: last.due.ID, Dog: d.ID, Date: day, At: last.at}
		}
		e.Kind, at = planner.Fed, mealAt(*d, planner.ClockOf(last.at.In(t.Event.At.Location())))
	case !fed || said && e.Of != named.ID || e.Date != t.Date() || t.Event.At.Sub(e.At) > lateForPart:
		e = planner.Entry{Kind: planner.Fed, Dog: d.ID}
		if o, due := mealNow(t, d); due {
			e.Of, e.Date = o.ID, o.Date
			for _, old := range talk.Answered(t, o) {
				e.ID, e.At = old.ID, old.At // skipped, and yet eaten in part
			}
		}
	}
	if o, _, ok := t.Home.Occurrence(e.Of); ok {
		at = mealAt(*d, o.Clock)
	}
	m, _ := MealFor(t, d, day, at)
	return e, m
}

// longAgo is the entry of the meal that what was typed names, where that is not the one
// that is fed about now: "had breakfast", said in the evening, or "had cod instead of her
// dinner" the morning after. It is noted where that was told of before.
func longAgo(t *talk.Turn, d *planner.Dog) (e planner.Entry, named bool) {
	day, part, _ := read.DayAsked(t.OfDays(), t.Event.At)
	times, zone := d.MealTimes(), t.Event.At.Location()
	if part == read.WholeDay || len(times) == 0 || day != t.Date() {
		return e, false
	}
	clock := part.Of(times)[0]
	if planner.Instant(day, clock, zone).Sub(t.Event.At) > fedWindow && read.Says("instead", t.AsTyped()) {
		day = day.AddDays(-1)
	}
	e = planner.Entry{Dog: d.ID, Date: day, At: planner.Instant(day, clock, zone).UTC()}
	for _, m := range partOf(mealsOn(t, d, day), part) {
		if m.entry.Kind != "" {
			e = m.entry
		} else if m.due.ID != "" {
			e.Of = m.due.ID
		}
	}
	e.Kind = planner.Fed
	return e, t.Event.At.Sub(e.At) > fedWindow
}

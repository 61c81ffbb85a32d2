package day

import (
	"cmp"
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/remind"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// saidSkip leaves out the meals of the dogs that are named, or a dose. If
// neither is named it leaves out what fell due last, but not while another
// question is open: that may be what should be skipped.
func saidSkip(t *talk.Turn, said read.DueSaid) bool {
	if said.Thing != "" {
		if len(said.Dogs) == 0 {
			said.Dogs = read.DogsOf(t.AsTyped(), t.Names())
		}
		fits := remind.GivenNamed(t, said.Thing, said.Dogs)
		if len(fits) == 1 {
			o, _, _, _ := doseSaid(t, fits[0], t.AsTyped())
			pressNotGiven(t, fits[0], o, nil)
		} else if len(fits) > 1 {
			askWhich(t, fits, "skip", t.AsTyped())
		}
		return len(fits) > 0
	}
	if named := mealOfOne(t); len(said.Dogs) == 0 && named != nil {
		said.Dogs = []string{named.ID} // "no breakfast, vet visit"
	}
	if len(said.Dogs) == 0 && read.Says("of-no-dog", t.AsTyped()) && read.Says("other-meal", t.OfDays()) {
		said.Dogs = say.Each(t.Living(), func(d *planner.Dog) string { return d.ID })
	}
	switch ahead := !dayAhead(t).IsZero(); {
	case len(said.Dogs) > 0:
	case (ahead || read.Says("meal-denied", t.AsTyped()) && len(t.Living()) > 1) && t.Talk.Kind == "":
		t.Event.Text = t.AsTyped() // with its day
		talk.WhichDog(t)
		return true
	default:
		return t.Talk.Kind == "" && pickDue(t, said, "skip", planner.BowlReminder, planner.SupplementReminder)
	}
	for _, id := range said.Dogs {
		d := t.Dog(id)
		if day := dayAhead(t); !day.IsZero() {
			skipAhead(t, d, day)
			continue
		}
		o, ok := partSaid(t, d) // "no dinner for Pip"
		if !ok {
			o, ok = mealNow(t, d)
		}
		if ok {
			t.Talk.Dog = d.ID
			leaveOut(t, d, o, nil)
			continue
		}
		skipUntimed(t, d)
	}
	return true
}

// mealOfOne is the dog of which a meal is left out that the text names without the
// dog, nil where that is not clear.
func mealOfOne(t *talk.Turn) *planner.Dog {
	_, part, _ := read.DayAsked(t.OfDays(), t.Event.At)
	ahead := !dayAhead(t).IsZero()
	if r, err := read.ReminderText(t.AsTyped(), t.Names(), t.Event.At); err == nil && t.Dog(r.Dog) != nil {
		return t.Dog(r.Dog) // "skip Pips dinner"
	}
	if !ahead && (part == read.WholeDay || !read.Says("other-meal", t.OfDays())) || len(t.Home.Dogs) > 1 && !t.Picked && !read.SaysShe(t.AsTyped()) {
		return nil
	}
	return talk.TheDog(t)
}

// dayAhead is the day to come that a text names, none where it names today or none.
func dayAhead(t *talk.Turn) planner.Date {
	text := t.OfDays()
	if from, to, named := talk.DogsIn(t, text); len(named) > 0 { // "no breakfast for Pip tomorrow"
		text = strings.Replace(strings.Join(strings.Fields(text[:from]+text[to:]), " "), " for on ", " on ", 1)
	}
	o, err := read.OtherFoodText(read.Pattern("meal-ahead").FindString(text), t.Event.At)
	if err != nil || !t.Date().Before(o.From) {
		return planner.Date{}
	}
	return o.From
}

// skipAhead leaves out the meals of a day to come that are named, all where none is, where
// their reminders can be answered before their time, and else reminds of it on that day.
func skipAhead(t *talk.Turn, d *planner.Dog, day planner.Date) {
	t.Talk.Dog = d.ID
	_, part, _ := read.DayAsked(t.OfDays(), t.Event.At)
	r, times := t.Home.MealReminder(d.ID), part.Of(d.MealTimes())
	if r == nil {
		meal := cmp.Or(read.Pattern("meal-left-out").FindString(t.AsTyped()), "food")
		t.GoTo(read.Sentence{Intent: read.Remind, Words: msg("due.skip-ahead", "dog", d.Name, "meal", meal, "day", day.String(), "clock", times[0].String())})
		return
	}
	for _, clock := range times {
		if o, ok := talk.OccurrenceOf(t, r, say.StampOf(planner.Moment{Date: day, Clock: clock})); ok {
			leaveOut(t, d, o, nil)
		}
	}
}

// partSaid is the meal of today, or of a day before, that is named and has a reminder.
func partSaid(t *talk.Turn, d *planner.Dog) (planner.Occurrence, bool) {
	if day, part, _ := read.DayAsked(t.OfDays(), t.Event.At); part != read.WholeDay {
		for _, m := range partOf(mealsOn(t, d, day), part) {
			if m.due.ID != "" {
				return m.due, true
			}
		}
	}
	return planner.Occurrence{}, false
}

// answerHalf makes as small as may be the meals that a text names: the next, that of a
// part of the day or all of some days. Where food is a vet's matter it asks for the figure.
func answerHalf(t *talk.Turn, d *planner.Dog, s read.Sentence) {
	n := planner.AmountOf(*d, t.Event.At)
	if n.Gate != "" || d.Diabetic() {
		t.Say(say.Whole(dogs.GateText(*d, n)), say.Whole(dogs.Diabetic(t, d)), say.Whole(msg("less.vet", "dog", d.Name)))
		return
	}
	meals, text := talk.MealsOf(*d), t.OfDays()
	day, meal := nextMeal(t, d)
	_, part, _ := read.DayAsked(text, t.Event.At)
	count := 1
	switch ahead := read.Says("day-ahead", text); {
	case s.Days > 0:
		count = int(s.Days) * meals
	case ahead && day == t.Date():
		day, meal, count = day.AddDays(1), 0, meals
	case !ahead && day != t.Date() && part != read.WholeDay: // it had that meal
		answerAtePart(t, d, s)
		return
	case part == read.WholeDay:
		count = meals - meal
	}
	if part != read.WholeDay && s.Days == 0 {
		count, meal = 1, say.Choose(part == read.LastPart, meals-1, meal)
	}
	most := n.Kcal / nutrition.Kcal(meals) * planner.MostLess
	t.Mutate("did.less", d.Name)
	d.Less = planner.Less{Kcal: most * nutrition.Kcal(count), From: day, Meal: meal}
	t.Say(say.Para(lessText(t, d)), say.Para(say.Where(count > planner.LessMeals, msg("less.longer", "dog", d.Name, "days", say.Trim(s.Days, 0))))).Offer(t.UndoButton())
}

// lessText says which meals of a dog that are still to come are smaller, empty where none is.
func lessText(t *talk.Turn, d *planner.Dog) (text string) {
	meals := talk.MealsOf(*d)
	each := planner.AmountOf(*d, t.Event.At).Kcal / nutrition.Kcal(meals)
	day, meal := nextMeal(t, d)
	if day.Before(d.Less.From) || day == d.Less.From && meal < d.Less.Meal {
		day, meal = d.Less.From, min(d.Less.Meal, meals-1)
	}
	n, off := 0, d.Less.At(day, meal, meals, each)
	for at := meal; d.Less.At(day.AddDays(at/meals), at%meals, meals, each) > 0; at++ {
		n++
	}
	at := planner.Instant(day, d.MealTimes()[meal], t.Event.At.Location())
	return say.Where(n > 0, msg("less.half", "dog", d.Name, "when", t.Clock(at), "n", n, "kcal", say.Kcal(each-off), "usual", say.Kcal(each)))
}

// FeedAsked answers whether a meal is given as ever after something that a dog had besides,
// by what is noted of it today, and reports whether a text asks that. It leaves what names
// a sign or a danger to others.
func FeedAsked(t *talk.Turn, s string) bool {
	d := talk.DogMeant(t, read.Sentence{})
	if a := t.Alarm(s); d == nil || t.Talk.Kind != "" || !read.Says("feed-asked", s) || a.Signs || a.Asked != nil || a.Eaten != nil {
		return false
	}
	if dogs.Held(t, d) || dogs.SignHeld(t, d, nil) {
		return true
	}
	noted := ""
	for _, e := range t.Entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.SignSeen}, From: t.Event.At.AddDate(0, 0, -1)}) {
		noted = msg("feed-asked.noted", "text", say.Short(e.Text))
	}
	n, sum := planner.AmountOf(*d, t.Event.At), treatsOn(t, d, t.Date())
	most, _ := dogs.MostTreats(d, n.Kcal)
	text := msg("feed-asked.usual", "dog", d.Name)
	switch had := []any{"dog", d.Name, "kcal", say.Kcal(sum)}; {
	case sum > most && n.Gate == planner.UnderweightGate:
		text = msg("feed-asked.thin", had...)
	case sum > most && n.Gate != "":
		text = msg("feed-asked.vet", had...)
	case sum > most:
		text = msg("feed-asked.over", had...)
	}
	if sum > most || noted == "" {
		noted = say.JoinParas(noted, text)
	}
	out := t.Say(say.Para(noted), say.Para(say.Where(sum == 0, msg("feed-asked.how-much", "dog", d.Name))), say.Whole(msg("feed-asked.signs", "dog", d.Name)), say.Whole(dogs.Diabetic(t, d)))
	if sum > most && n.Gate == "" && !d.Diabetic() {
		out.Offer(t.Button(msg("button.less-next"), "treat", "less", d.ID, say.Trim(float64(sum), 0)))
	}
	return true
}

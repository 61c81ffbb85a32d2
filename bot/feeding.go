package bot

import (
	"errors"
	"slices"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// toldMeals notes that reminders of meals were offered once.
const toldMeals = "meals-offered"

// toldNoMeals notes that a carer wants none, so that it is not asked again.
const toldNoMeals = "meals-none"

// How a household is reminded of bowls.
const (
	mealsEach    = "each"    // at each dog's feeding times
	mealsMorning = "morning" // in one message for all
	mealsNone    = "none"
)

// Times of the day's one message and of the freezer where none is chosen
// (common practice, no source).
var (
	morningTime = planner.At(7, 0)
	freezerTime = planner.At(20, 0)
)

// answerFeedTimes sets when a dog is fed.
func (t *turn) answerFeedTimes(s read.Sentence) {
	d := t.dogMeant(s)
	if d == nil {
		t.whichDog()
		return
	}
	t.talk.Dog = d.ID
	if s.Words == "" {
		t.askFeedTimes(d)
		return
	}
	if times, ok := t.clocksSaid(s.Words); ok {
		t.feedAt([]*planner.Dog{d}, times, false)
	}
}

// clocksSaid reads times of a sentence; where they are none it says so.
func (t *turn) clocksSaid(words string) ([]planner.Clock, bool) {
	times, err := read.Clocks(words)
	var p read.Problem
	switch {
	case errors.As(err, &p) && p.Code == read.NoTime:
		t.notUnderstood(t.event.Text) // "feed Juniper 300 g turkey"
	case err != nil:
		t.sayWhenTrouble(err, words)
	}
	return times, err == nil
}

// answerFeedAll sets when every dog is fed.
func (t *turn) answerFeedAll(s read.Sentence) {
	if len(t.home.Dogs) == 0 {
		t.whoFeeds()
		return
	}
	if times, ok := t.clocksSaid(s.Words); ok {
		var all []*planner.Dog
		for i := range t.home.Dogs {
			all = append(all, &t.home.Dogs[i])
		}
		t.feedAt(all, times, false)
	}
}

// whoFeeds asks whose feeding times are meant.
func (t *turn) whoFeeds() {
	if len(t.home.Dogs) == 0 {
		t.sayMsg("who.none").offer(t.button(msg("button.add-dog"), "dog", "add"))
		return
	}
	r := t.sayMsg("who.which")
	for i := range t.home.Dogs {
		r.offer(t.button(t.home.Dogs[i].Name, "meals", "times", t.home.Dogs[i].ID))
	}
}

// remindFeeding answers "remind me to feed Juniper at 7:30 and 18:00".
func (t *turn) remindFeeding(d *planner.Dog, w read.When) {
	if d == nil {
		d = t.theDog()
	}
	switch {
	case d == nil && len(t.home.Dogs) == 0:
		t.whoFeeds()
	case len(w.Times) == 0:
		t.askMeals("")
	case d == nil:
		t.whichDog()
	default:
		t.talk.Dog = d.ID
		t.feedAt([]*planner.Dog{d}, w.Times, true)
	}
}

// feedAt sets the feeding times of dogs, and where remind is set their
// reminders of them. Reminders that follow the meals follow them on.
func (t *turn) feedAt(dogs []*planner.Dog, times []planner.Clock, remind bool) {
	times = slices.Clone(times)
	slices.Sort(times)
	if times = slices.Compact(times); len(times) > 6 {
		t.sayMsg("wrong.meals")
		return
	}
	var names []string
	for _, d := range dogs {
		names = append(names, d.Name)
	}
	t.mutate("did.feed-times", list(names))
	note := ""
	for _, d := range dogs {
		if mealsOf(*d) != len(times) {
			note = msg("feeding.meals", "n", len(times))
		}
		d.FeedAt, d.Meals = slices.Clone(times), len(times)
		t.moveBowls(d)
		if remind || t.mealsMode() == mealsEach {
			t.bowlReminder(d)
		}
	}
	also := joinParas(t.movedDiabetic(dogs...), t.addCheckIns())
	lines := []Block{para(msg("feeding.set", "n", len(dogs), "dog", list(names), "times", clocksText(times))), para(note)}
	asked := t.mealsMode() != "" || remind || t.home.Told[toldNoMeals]
	if asked {
		lines = append(lines, para(t.mealsText()))
	} else {
		lines = append(lines, para(msg("feeding.ask")))
	}
	out := t.say(append(lines, para(also))...)
	if !asked {
		t.offerMeals(out)
	}
	t.inPlace(out.offer(t.undoButton()))
}

// moveBowls moves the reminders of a dog's meals to its feeding times.
func (t *turn) moveBowls(d *planner.Dog) {
	for i := range t.home.Reminders {
		if r := &t.home.Reminders[i]; r.Kind == planner.BowlReminder && r.Dog == d.ID {
			r.Schedule.Times, r.Since = slices.Clone(d.FeedAt), t.event.At.UTC()
		}
	}
}

// bowlReminder makes sure that a dog's meals are reminded of.
func (t *turn) bowlReminder(d *planner.Dog) {
	for i := range t.home.Reminders {
		if r := &t.home.Reminders[i]; r.Kind == planner.BowlReminder && r.Dog == d.ID {
			r.Off = false
			return
		}
	}
	t.home.Reminders = append(t.home.Reminders, planner.Reminder{ID: t.newID("n"), Kind: planner.BowlReminder, Dog: d.ID, Since: t.event.At.UTC(),
		Schedule: planner.FromCadence(planner.Cadence{}, t.date(), d.MealTimes())})
}

// mealsMode is how the household is reminded of bowls, empty where that was
// never set up.
func (t *turn) mealsMode() string {
	for _, r := range t.home.Reminders {
		switch {
		case r.Off:
		case r.Kind == planner.BowlReminder:
			return mealsEach
		case r.Kind == planner.MorningReminder:
			return mealsMorning
		}
	}
	return ""
}

// offerMeals offers the ways to be reminded of bowls.
func (t *turn) offerMeals(out *Reply) {
	out.offer(t.button(msg("button.meals-each"), "meals", mealsEach), t.button(msg("button.meals-morning"), "meals", mealsMorning),
		t.button(msg("button.meals-none"), "meals", mealsNone))
}

// askMeals asks how the household wants to be reminded of bowls.
func (t *turn) askMeals(head string) {
	out := t.say(para(head), para(t.mealsText()), para(msg("feeding.ask")))
	t.offerMeals(out)
	freezer := msg("button.freezer-on")
	if len(t.sortedReminders(planner.FreezerReminder)) > 0 {
		freezer = msg("button.freezer-off")
	}
	out.offer(t.button(freezer, "meals", "freezer"))
	var row []Button
	for i := range t.home.Dogs {
		d := &t.home.Dogs[i]
		row = append(row, t.button(msg("button.times-of", "dog", d.Name), "meals", "times", d.ID))
		if len(row) == 2 {
			out.offer(row...)
			row = nil
		}
	}
	t.inPlace(out.offer(row...))
}

// mealsText says how the household is reminded of bowls now.
func (t *turn) mealsText() string {
	var lines []string
	for _, r := range t.sortedReminders(planner.BowlReminder, planner.MorningReminder, planner.FreezerReminder) {
		lines = append(lines, t.reminderLine(r))
	}
	return joinLines(lines)
}

// pressMeals does what a button about meals asks.
func (t *turn) pressMeals(args []string) {
	switch what := arg(args, 0); what {
	case "ask":
		t.askMeals("")
	case mealsEach, mealsMorning, mealsNone:
		t.setMealsMode(what)
	case "freezer":
		t.toggleFreezer()
	case "same":
		d := t.dog(arg(args, 1))
		if d == nil {
			t.sayMsg("press.gone")
			return
		}
		t.talk.Dog = d.ID
		t.feedAt([]*planner.Dog{d}, t.usualTimes(d), true)
	case "fewer", "stay":
		t.pressFewerMeals(what, arg(args, 1), arg(args, 2))
	case "times":
		if d := t.dog(arg(args, 1)); d != nil {
			t.askFeedTimes(d)
			return
		}
		t.sayMsg("press.gone")
	default:
		t.sayMsg("press.stale")
	}
}

// setMealsMode sets how the household is reminded of bowls.
func (t *turn) setMealsMode(mode string) {
	if len(t.home.Dogs) == 0 {
		t.whoFeeds()
		return
	}
	had := len(t.home.Reminders)
	t.mutate("did.meals", "")
	t.home.Reminders = slices.DeleteFunc(t.home.Reminders, func(r planner.Reminder) bool {
		return r.Kind == planner.MorningReminder || r.Kind == planner.BowlReminder
	})
	switch mode {
	case mealsEach:
		for _, d := range t.fedAtTimes() {
			t.bowlReminder(d)
		}
	case mealsMorning:
		t.home.Reminders = append(t.home.Reminders, planner.Reminder{ID: t.newID("n"), Kind: planner.MorningReminder, Since: t.event.At.UTC(),
			Schedule: planner.FromCadence(planner.Cadence{}, t.date(), []planner.Clock{morningTime})})
	case mealsNone:
		if t.home.Told == nil {
			t.home.Told = map[string]bool{}
		}
		t.home.Told[toldNoMeals] = true
		text := msg("feeding.none")
		if had == 0 {
			text = msg("feeding.none-yet")
		}
		t.inPlace(t.sayMsg("feeding.is", "text", text).offer(t.undoButton()))
		return
	}
	also := t.addCheckIns()
	out := t.say(para(msg("feeding.on")), para(t.mealsText()), para(t.zoneNote()), para(also))
	if len(t.sortedReminders(planner.FreezerReminder)) == 0 {
		out.offer(t.button(msg("button.freezer-on"), "meals", "freezer"))
	}
	if mode == mealsEach {
		t.sayUnreminded(out)
	}
	out.offer(t.button(msg("button.times"), "meals", "ask"), t.undoButton())
	t.inPlace(out)
}

// zoneNote says that times are by a clock that nobody has chosen.
func (t *turn) zoneNote() string {
	if t.home.Zone != defaultZoneName {
		return ""
	}
	return msg("feeding.zone", "zone", t.home.Zone)
}

// toggleFreezer asks for the time of the evening's message, or ends it.
func (t *turn) toggleFreezer() {
	if have := t.sortedReminders(planner.FreezerReminder); len(have) > 0 {
		t.stopReminder(have[0])
		return
	}
	t.ask("feeding", "freezer", feedingDraft{})
	t.inPlace(t.sayMsg("feeding.ask-freezer").offer(t.answer("19:00", "freezer", "19:00"), t.answer(freezerTime.String(), "freezer", freezerTime.String()),
		t.answer("21:00", "freezer", "21:00")))
}

// feedingDraft is the state of the questions about feeding.
type feedingDraft struct {
	Dog string `json:"dog,omitempty"`
}

// askFeedTimes asks when a dog is fed.
func (t *turn) askFeedTimes(d *planner.Dog) {
	t.ask("feeding", "times", feedingDraft{Dog: d.ID})
	usual := clocksText(planner.DefaultMealTimes(mealsOf(*d)))
	t.inPlace(t.sayMsg("feeding.ask-times", "dog", d.Name).offer(t.answer(usual, "times", usual)))
}

// feedingDialogue takes a typed time.
func (t *turn) feedingDialogue(in answer) {
	var draft feedingDraft
	t.draft(&draft)
	times, err := read.Clocks(in.value())
	if err != nil {
		if in.press != "" || !t.aside(in.text) {
			t.say(para(problemOf(err, in.value())))
		}
		return
	}
	step := t.talk.Step
	t.endDialogue()
	switch d := t.dog(draft.Dog); {
	case step == "freezer":
		t.addFreezer(times[0])
	case d != nil:
		t.feedAt([]*planner.Dog{d}, times, false)
	default:
		t.sayMsg("press.gone")
	}
}

// addFreezer adds the evening's message about what to take out.
func (t *turn) addFreezer(at planner.Clock) {
	r := planner.Reminder{Kind: planner.FreezerReminder,
		Schedule: planner.FromCadence(planner.Cadence{}, t.date(), []planner.Clock{at})}
	if kept, ok := t.keepReminder(r, t.aboutReminder(&r)); ok {
		t.sayKept(kept)
	}
}

// offerMealsOnce adds to the first bowl of a household the offer to be
// reminded of meals and of the recipe's supplements.
func (t *turn) offerMealsOnce(out *Reply, d *planner.Dog) {
	if t.home.Told[toldMeals] || len(t.sortedReminders()) > 0 {
		return
	}
	if t.home.Told == nil {
		t.home.Told = map[string]bool{}
	}
	t.home.Told[toldMeals], t.changed = true, true
	out.offer(t.button(msg("button.remind-meals"), "meals", "ask"))
	t.offerDoses(out, d)
}

// feedTogether sets the feeding times of several dogs in one change.
func (t *turn) feedTogether(dogs []*planner.Dog, s read.Sentence) {
	if times, ok := t.clocksSaid(s.Words); ok {
		t.feedAt(dogs, times, false)
	}
}

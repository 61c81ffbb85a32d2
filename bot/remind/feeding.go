package remind

import (
	"errors"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
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
func answerFeedTimes(t *talk.Turn, s read.Sentence) {
	if s.Dog == "" && s.Words != "" && read.SaysThem(t.Event.Text) {
		answerFeedAll(t, s)
		return
	}
	d := talk.DogMeant(t, s)
	if d == nil {
		talk.WhichDog(t)
		return
	}
	t.Talk.Dog = d.ID
	if s.Words == "" {
		askFeedTimes(t, d)
		return
	}
	words := read.Without("remind-me", s.Words)
	if times, ok := ClocksSaid(t, words); ok {
		feedAt(t, []*planner.Dog{d}, times, words != s.Words)
	}
}

// ClocksSaid reads times of a sentence; where they are none it says so.
func ClocksSaid(t *talk.Turn, words string) ([]planner.Clock, bool) {
	times, err := span.Clocks(read.Without("meals-count", words))
	var p span.Problem
	switch {
	case errors.As(err, &p) && p.Code == span.NoTime:
		t.NotUnderstood(t.Event.Text) // "feed Juniper 300 g turkey"
	case err != nil:
		talk.SayWhenTrouble(t, err, words)
	}
	return times, err == nil
}

// answerFeedAll sets when every dog is fed.
func answerFeedAll(t *talk.Turn, s read.Sentence) {
	if len(t.Home.Dogs) == 0 {
		talk.WhoFeeds(t)
		return
	}
	feedTogether(t, t.Dogs(), s)
}

// remindFeeding answers "remind me to feed Juniper at 7:30 and 18:00".
func remindFeeding(t *talk.Turn, d *planner.Dog, w span.When) {
	if d == nil {
		d = talk.TheDog(t)
	}
	switch {
	case d == nil && len(t.Home.Dogs) == 0:
		talk.WhoFeeds(t)
	case len(w.Times) == 0:
		askMeals(t)
	case d == nil:
		talk.WhichDog(t)
	default:
		t.Talk.Dog = d.ID
		times := w.Times
		if meals := d.MealTimes(); len(times) == 1 && len(meals) > 1 && w.PerDay == 0 { // one of its meals is meant
			times = slices.Clone(meals)
			off := func(c planner.Clock) int { return max(int(c-w.Times[0]), int(w.Times[0]-c)) }
			nearest := slices.MinFunc(meals, func(a, b planner.Clock) int { return off(a) - off(b) })
			times[slices.Index(times, nearest)] = w.Times[0]
		}
		feedAt(t, []*planner.Dog{d}, times, true)
	}
}

// feedAt sets the feeding times of dogs, and where remind is set their
// reminders of them. Reminders that follow the meals follow them on.
func feedAt(t *talk.Turn, dogs []*planner.Dog, times []planner.Clock, remind bool) {
	times = slices.Clone(times)
	slices.Sort(times)
	if times = slices.Compact(times); len(times) > 6 {
		t.SayMsg("wrong.meals")
		return
	}
	dogs = slices.DeleteFunc(slices.Clone(dogs), func(d *planner.Dog) bool { return askInsulin(t, d, times, remind) })
	if len(dogs) > 0 {
		setFeedTimes(t, dogs, times, remind, talk.MovedDiabetic(dogs...))
	}
}

// askInsulin asks for the vet's word before the meals of a diabetic dog are
// moved, and reports whether it did.
func askInsulin(t *talk.Turn, d *planner.Dog, times []planner.Clock, remind bool) bool {
	if !d.Diabetic() || len(d.FeedAt) == 0 || slices.Equal(d.FeedAt, times) {
		return false
	}
	args := []string{"vet", d.ID, say.Choose(remind, "remind", "")}
	for _, c := range times {
		args = append(args, strings.ReplaceAll(c.String(), ":", ""))
	}
	t.Say(say.Para(talk.MovedDiabetic(d)), say.Para(msg("feeding.ask-vet", "dog", d.Name, "times", say.ClocksText(times)))).Offer(t.Button(msg("button.vet-said"), "meals", args...))
	return true
}

// vetMoved moves the meals of a diabetic dog to the times of a button, as its vet
// said.
func vetMoved(t *talk.Turn, args []string) {
	d := t.Dog(talk.Arg(args, 0))
	var times []planner.Clock
	for _, s := range args[min(2, len(args)):] {
		if c, err := planner.ParseClock(s[:len(s)/2] + ":" + s[len(s)/2:]); err == nil {
			times = append(times, c)
		}
	}
	if talk.Gone(t, d == nil || len(times) == 0) {
		return
	}
	setFeedTimes(t, []*planner.Dog{d}, times, talk.Arg(args, 1) != "", "")
}

func setFeedTimes(t *talk.Turn, dogs []*planner.Dog, times []planner.Clock, remind bool, caution string) {
	names := talk.NamesOf(dogs)
	t.Mutate("did.feed-times", names)
	note := ""
	for _, d := range dogs {
		if talk.MealsOf(*d) != len(times) {
			note = msg("feeding.meals", "n", len(times))
		}
		d.FeedAt, d.Meals = slices.Clone(times), len(times)
		moveBowls(t, d)
		if remind || mealsMode(t) == mealsEach {
			bowlReminder(t, d)
		}
	}
	also := say.JoinParas(caution, addCheckIns(t))
	lines := []say.Block{say.Para(msg("feeding.set", "n", len(dogs), "dog", names, "times", say.ClocksText(times))), say.Para(note)}
	asked := mealsMode(t) != "" || remind || t.Home.Told[toldNoMeals]
	out := t.Say(append(lines, say.Para(say.Choose(asked, mealsText(t), msg("feeding.ask"))), say.Para(also))...)
	if !asked {
		offerMeals(t, out)
	}
	t.InPlace(out.Offer(t.UndoButton()))
}

// mealsOf are the reminders of a dog's meals.
func mealsOf(t *talk.Turn, d *planner.Dog) []*planner.Reminder {
	return slices.DeleteFunc(sortedReminders(t, planner.BowlReminder), func(r *planner.Reminder) bool { return r.Dog != d.ID })
}

// moveBowls moves the reminders of a dog's meals to its feeding times.
func moveBowls(t *talk.Turn, d *planner.Dog) {
	for _, r := range mealsOf(t, d) {
		r.Schedule.Times, r.Since = slices.Clone(d.FeedAt), t.Event.At.UTC()
	}
}

// bowlReminder makes sure that a dog's meals are reminded of.
func bowlReminder(t *talk.Turn, d *planner.Dog) {
	if have := mealsOf(t, d); len(have) > 0 {
		have[0].Off = false
		return
	}
	talk.AddReminder(t, planner.Reminder{Kind: planner.BowlReminder, Dog: d.ID, Schedule: planner.FromCadence(planner.Cadence{}, t.Date(), d.MealTimes())})
}

// mealsMode is how the household is reminded of bowls, empty where that was
// never set up.
func mealsMode(t *talk.Turn) string {
	for _, r := range t.Home.Reminders {
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
func offerMeals(t *talk.Turn, out *say.Reply) {
	out.Offer(t.Button(msg("button.meals-each"), "meals", mealsEach), t.Button(msg("button.meals-morning"), "meals", mealsMorning),
		t.Button(msg("button.meals-none"), "meals", mealsNone))
}

// askMeals asks how the household wants to be reminded of bowls.
func askMeals(t *talk.Turn) {
	out := t.Say(say.Para(mealsText(t)), say.Para(msg("feeding.ask")))
	offerMeals(t, out)
	freezer := say.Choose(len(sortedReminders(t, planner.FreezerReminder)) > 0, msg("button.freezer-off"), msg("button.freezer-on"))
	out.Offer(t.Button(freezer, "meals", "freezer"))
	row := say.Each(t.Dogs(), func(d *planner.Dog) say.Button {
		return t.Button(msg("button.times-of", "dog", d.Name), "meals", "times", d.ID)
	})
	t.InPlace(out.Rows(2, row...))
}

// mealsText says how the household is reminded of bowls now.
func mealsText(t *talk.Turn) string {
	lines := say.Each(sortedReminders(t, planner.BowlReminder, planner.MorningReminder, planner.FreezerReminder), func(r *planner.Reminder) string { return reminderLine(t, r) })
	return talk.JoinLines(lines)
}

// pressMeals does what a button about meals asks.
func pressMeals(t *talk.Turn, args []string) {
	switch what := talk.Arg(args, 0); what {
	case "ask":
		askMeals(t)
	case mealsEach, mealsMorning, mealsNone:
		setMealsMode(t, what)
	case "freezer":
		toggleFreezer(t)
	case "vet":
		vetMoved(t, args[1:])
	default:
		talk.OfDog(mealVerbs())(t, args)
	}
}

// mealVerbs are what buttons about a dog's meals do.
func mealVerbs() map[string]func(t *talk.Turn, d *planner.Dog, more []string) {
	return map[string]func(t *talk.Turn, d *planner.Dog, more []string){
		"same":  talk.Tapped(func(t *talk.Turn, d *planner.Dog) { feedAt(t, []*planner.Dog{d}, usualTimes(t, d), true) }),
		"times": talk.Tapped(askFeedTimes),
		"fewer": talk.TappedFigure(fewerMeals),
		"stay": talk.Tapped(func(t *talk.Turn, d *planner.Dog) {
			t.InPlace(t.SayMsg("meals.kept", "dog", d.Name, "n", talk.MealsOf(*d)))
		}),
	}
}

// setMealsMode sets how the household is reminded of bowls.
func setMealsMode(t *talk.Turn, mode string) {
	if len(t.Home.Dogs) == 0 {
		talk.WhoFeeds(t)
		return
	}
	had := len(t.Home.Reminders)
	t.Mutate("did.meals", "")
	t.Home.Reminders = slices.DeleteFunc(t.Home.Reminders, func(r planner.Reminder) bool {
		return r.Kind == planner.MorningReminder || r.Kind == planner.BowlReminder
	})
	switch mode {
	case mealsEach:
		for _, d := range fedAtTimes(t) {
			bowlReminder(t, d)
		}
	case mealsMorning:
		talk.AddReminder(t, planner.Reminder{Kind: planner.MorningReminder, Schedule: planner.FromCadence(planner.Cadence{}, t.Date(), []planner.Clock{morningTime})})
	case mealsNone:
		talk.TellOnce(t, toldNoMeals)
		text := say.Choose(had == 0, msg("feeding.none-yet"), msg("feeding.none"))
		t.InPlace(t.SayMsg("feeding.is", "text", text).Offer(t.UndoButton()))
		return
	}
	also := addCheckIns(t)
	out := t.Say(say.Para(msg("feeding.on")), say.Para(mealsText(t)), say.Para(zoneNote(t)), say.Para(also))
	if len(sortedReminders(t, planner.FreezerReminder)) == 0 {
		out.Offer(t.Button(msg("button.freezer-on"), "meals", "freezer"))
	}
	if mode == mealsEach {
		sayUnreminded(t, out)
	}
	out.Offer(t.Button(msg("button.times"), "meals", "ask"), t.UndoButton())
	t.InPlace(out)
}

// toggleFreezer asks for the time of the evening's message, or ends it.
func toggleFreezer(t *talk.Turn) {
	if have := sortedReminders(t, planner.FreezerReminder); len(have) > 0 {
		stopReminders(t, have[0])
		return
	}
	t.Ask("feeding", "freezer", feedingDraft{})
	t.InPlace(t.SayMsg("feeding.ask-freezer").Offer(t.Answer("19:00", "freezer", "19:00"), t.Answer(freezerTime.String(), "freezer", freezerTime.String()),
		t.Answer("21:00", "freezer", "21:00")))
}

// feedingDraft is the state of the questions about feeding.
type feedingDraft struct {
	Dog string `json:"dog,omitempty"`
}

// askFeedTimes asks when a dog is fed.
func askFeedTimes(t *talk.Turn, d *planner.Dog) {
	t.Ask("feeding", "times", feedingDraft{Dog: d.ID})
	usual := say.ClocksText(planner.DefaultMealTimes(talk.MealsOf(*d)))
	t.InPlace(t.SayMsg("feeding.ask-times", "dog", d.Name).Offer(t.Answer(usual, "times", usual)))
}

// feedingDialogue takes a typed time.
func feedingDialogue(t *talk.Turn, draft feedingDraft, in talk.Answer) {
	times, err := span.Clocks(read.Without("meals-count", in.Value()))
	if err != nil {
		if in.Press != "" || !t.Aside(in.Text) {
			t.Say(say.Para(talk.ProblemOf(err, in.Value())))
		}
		return
	}
	step := t.Talk.Step
	t.EndDialogue()
	switch d := t.Dog(draft.Dog); {
	case step == "freezer":
		addFreezer(t, times[0])
	case d != nil:
		feedAt(t, []*planner.Dog{d}, times, false)
	default:
		t.SayMsg("press.gone")
	}
}

// addFreezer adds the evening's message about what to take out.
func addFreezer(t *talk.Turn, at planner.Clock) {
	keepOne(t, planner.Reminder{Kind: planner.FreezerReminder, Schedule: planner.FromCadence(planner.Cadence{}, t.Date(), []planner.Clock{at})})
}

// offerMealsOnce adds to the first bowl of a household the offer to be
// reminded of meals and of the recipe's supplements.
func offerMealsOnce(t *talk.Turn, out *say.Reply, d *planner.Dog) {
	if len(sortedReminders(t)) > 0 || !talk.TellOnce(t, toldMeals) {
		return
	}
	out.Offer(t.Button(msg("button.remind-meals"), "meals", "ask"))
	offerDoses(t, out, d)
}

// feedTogether sets the feeding times of several dogs in one change.
func feedTogether(t *talk.Turn, dogs []*planner.Dog, s read.Sentence) {
	if times, ok := ClocksSaid(t, s.Words); ok {
		feedAt(t, dogs, times, false)
	}
}

package remind

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// remindDraft is the state of the dialogue that makes a reminder or changes
// one: what is known so far, and the questions that have had their answer.
type remindDraft struct {
	R     planner.Reminder `json:"r"`
	When  span.When        `json:"when,omitzero"` // of a new one, and of a change of its days
	New   bool             `json:"new,omitempty"`
	Food  string           `json:"food,omitempty"`  // key of the supplement whose amount is asked for
	Typed string           `json:"typed,omitempty"` // a dose of which it is asked what it is of
	Done  map[string]bool  `json:"done,omitempty"`
}

// newSteps are the questions about a new reminder of a kind, in the order in
// which they are asked.
func newSteps(kind planner.ReminderKind) []talk.Step[remindDraft] {
	if kind == planner.NoteReminder {
		return []talk.Step[remindDraft]{{Name: "when", Is: "remind.when", Ask: askRemindWhen, Take: takeRemindWhen, Time: true}}
	}
	return []talk.Step[remindDraft]{
		{Name: "dog", Is: "which.dog", Ask: askRemindDog, Take: takeRemindDog},
		{Name: "what", Is: "supp.dose", Ask: askRemindWhat, Take: takeRemindWhat},
		{Name: "often", Is: "supp.when", Ask: askRemindOften, Take: takeRemindOften, Time: true},
		{Name: "time", Is: "supp.when", Ask: askRemindTime, Take: takeRemindTime, Time: true},
		{Name: "until", Is: "remind.when", Ask: askRemindUntil, Take: takeRemindUntil},
	}
}

// remindSteps are all questions about a reminder: the last are asked only where
// a carer changes one.
func remindSteps() []talk.Step[remindDraft] {
	return append(append(newSteps(planner.SupplementReminder), newSteps(planner.NoteReminder)...),
		talk.Step[remindDraft]{Name: "stock", Ask: askRemindStock, Take: takeRemindStock},
		talk.Step[remindDraft]{Name: "text", Ask: askRemindText, Take: takeRemindText, Free: true})
}

// askRemind asks one question of the dialogue.
func askRemind(t *talk.Turn, d remindDraft, step string) {
	s := talk.StepNamed(remindSteps(), step)
	if talk.Stale(t, s == nil) {
		return
	}
	t.Ask("remind", step, d)
	s.Ask(t, &d)
}

// nextRemindStep asks the first question that has no answer, or keeps the
// new reminder.
func nextRemindStep(t *talk.Turn, d remindDraft) {
	for _, s := range newSteps(d.R.Kind) {
		if !d.Done[s.Name] {
			askRemind(t, d, s.Name)
			return
		}
	}
	t.EndDialogue()
	finishRemind(t, d)
}

// remindDialogue takes the answer to the open question about a reminder.
func remindDialogue(t *talk.Turn, d remindDraft, in talk.Answer) {
	switch t.Talk.Step {
	case "twice":
		takeTwice(t, d, in)
		return
	case "sure":
		takeGiven(t, d, in)
		return
	}
	for _, part := range read.SentencesOf(in.Text) {
		if got, ok := t.Understand(part); ok && got.Intent == read.Remind {
			talk.ParkSame(t, "remind")
			answerRemind(t, got)
			return
		}
	}
	s := talk.StepNamed(remindSteps(), t.Talk.Step)
	if s == nil || !d.New && t.Reminder(d.R.ID) == nil {
		t.Gone()
		return
	}
	if d.New && s.Name == "text" {
		takeOfWhat(t, d, in)
		return
	}
	if !d.New {
		d.R = *t.Reminder(d.R.ID) // as it is now: another carer may have changed it
	}
	if !s.Heard(t, &d, in) {
		return
	}
	if d.New {
		d.done(s.Name)
		nextRemindStep(t, d)
		return
	}
	t.EndDialogue()
	keepDraft(t, d)
}

func (d *remindDraft) done(steps ...string) {
	if d.Done == nil {
		d.Done = map[string]bool{}
	}
	for _, s := range steps {
		d.Done[s] = true
	}
}

// The questions.

func askRemindDog(t *talk.Turn, _ *remindDraft) {
	talk.OfferDogs(t, t.SayMsg("remind.which-dog"), "answer", "dog")
}

func takeRemindDog(t *talk.Turn, d *remindDraft, in talk.Answer) string {
	dog := t.Dog(in.Press)
	if ids, all, ok := read.DogsText(in.Text, t.Names()); ok && !all && len(ids) == 1 {
		dog = t.Dog(ids[0])
	}
	if dog == nil {
		return msg("remind.no-such-dog", "text", say.Short(in.Value()))
	}
	d.R.Dog = dog.ID
	t.Talk.Dog = dog.ID
	return ""
}

// oftenChoices are what is offered for how often, as it would be typed.
var oftenChoices = []string{"every day", "every 2 days", "every 3 days", "twice a week", "every week"}

func askRemindOften(t *talk.Turn, _ *remindDraft) {
	r := t.SayMsg("remind.ask-often")
	for row := range slices.Chunk(oftenChoices, 3) {
		buttons := say.Each(row, func(c string) say.Button { return t.Answer(msg("often."+strings.ReplaceAll(c, " ", "-")), "often", c) })
		r.Offer(buttons...)
	}
	r.Offer(t.StopButton())
}

func takeRemindOften(t *talk.Turn, d *remindDraft, in talk.Answer) string {
	w, err := span.WhenText(in.Value(), t.Event.At)
	if err != nil {
		return talk.WhenTrouble(err, in.Value())
	}
	if !w.Repeats && !w.Monthly && (w.On.IsZero() || !w.Weekday) || w.Rest != "" {
		return msg("remind.bad-cadence", "text", say.Short(in.Value()))
	}
	w = seriesOf(w) // "Friday"
	if d.New {
		w.Until, w.Days = cmp.Or(w.Until, d.When.Until), max(w.Days, d.When.Days)
		if len(w.Times) == 0 && w.Meal == "" {
			w.Times, w.Meal = d.When.Times, d.When.Meal
		}
		d.When = w
		if len(w.Times) > 0 || w.Meal != "" {
			d.done("time")
		}
		_, _, wrong := scheduleOf(t, w, t.Dog(d.R.Dog), nil)
		return wrong
	}
	return d.moved(t, w)
}

func askRemindTime(t *talk.Turn, d *remindDraft) {
	meal := planner.DefaultMealTimes(1)[0]
	if dog := t.Dog(d.R.Dog); dog != nil {
		meal = dog.MealTimes()[0]
	}
	r := t.SayMsg("remind.ask-time")
	if d.R.Kind == planner.SupplementReminder {
		r.Offer(t.Answer(msg("button.with-meal", "time", meal.String()), "time", "with breakfast"))
	}
	r.Offer(t.Answer("07:30", "time", "07:30"), t.Answer("18:00", "time", "18:00"), t.Answer("20:00", "time", "20:00"))
}

func takeRemindTime(t *talk.Turn, d *remindDraft, in talk.Answer) string {
	w, err := span.WhenText(in.Value(), t.Event.At)
	if err == nil && (w.Meal == "" || len(w.Times) > 0) {
		w = span.When{}
		w.Times, err = span.Clocks(in.Value())
	}
	if err != nil {
		return talk.ProblemOf(err, in.Value())
	}
	if d.New {
		d.When.Times, d.When.Meal = w.Times, w.Meal
		_, _, wrong := scheduleOf(t, d.When, t.Dog(d.R.Dog), nil)
		return wrong
	}
	return d.moved(t, w)
}

func askRemindUntil(t *talk.Turn, _ *remindDraft) {
	t.SayMsg("remind.ask-until").Offer(t.Answer(msg("button.no-end"), "until", "none"),
		t.Answer(msg("button.days", "n", 10), "until", "for 10 days"), t.Answer(msg("button.days", "n", 28), "until", "for 28 days"))
}

func takeRemindUntil(t *talk.Turn, d *remindDraft, in talk.Answer) string {
	w, err := spanText(in.Value(), t)
	if no := read.Said("no-end", in.Value()); no || err != nil || w.Days == 0 || w.Rest != "" {
		w = span.When{}
		if w.Until, err = span.Date(in.Value(), t.Event.At); err != nil && !no {
			return talk.ProblemOf(err, in.Value())
		}
	}
	if d.New {
		d.When.Until, d.When.Days = w.Until, w.Days
		_, _, wrong := scheduleOf(t, d.When, t.Dog(d.R.Dog), nil)
		return wrong
	}
	if d.R.Schedule.Until = w.Until; w.Days > 0 {
		first := t.Date()
		if first.Before(d.R.Schedule.Anchor) {
			first = d.R.Schedule.Anchor
		}
		d.R.Schedule.Until = first.AddDays(w.Days - 1)
	}
	return scheduleTrouble(t, d.R.Schedule)
}

func askRemindWhen(t *talk.Turn, d *remindDraft) {
	t.SayMsg("remind.ask-when", "what", say.Capital(cmp.Or(d.R.Text, talk.AboutReminder(t, &d.R)))).Offer(t.StopButton())
}

func takeRemindWhen(t *talk.Turn, d *remindDraft, in talk.Answer) string {
	w, err := span.WhenText(in.Value(), t.Event.At)
	if err != nil {
		return talk.WhenTrouble(err, in.Value())
	}
	if times, err := span.Clocks(in.Value()); err == nil {
		w = span.When{Times: times} // a bare "10"
	}
	if !w.Said() || w.Rest != "" {
		return msg("remind.no-when", "text", say.Short(in.Value()))
	}
	if d.New {
		if w.Until, w.Days = cmp.Or(w.Until, d.When.Until), max(w.Days, d.When.Days); w.Days > 0 && !w.Repeats && w.On.IsZero() {
			w.Repeats, w.Cadence = true, planner.Cadence{EveryDays: 1} // "at 8", of what is given for 3 days
		}
		d.When = w
		_, _, wrong := scheduleOf(t, w, t.Dog(d.R.Dog), defaultNoteTime)
		return wrong
	}
	if d.R.Kind != planner.NoteReminder {
		w = seriesOf(w)
	}
	return d.moved(t, w)
}

// seriesOf takes a single day of the week for every such day.
func seriesOf(w span.When) span.When {
	if w.Weekday && !w.Repeats {
		w.Repeats, w.Cadence.Weekdays, w.On = true, append(w.Cadence.Weekdays, w.On.Weekday()), planner.Date{}
	}
	return w
}

func askRemindText(t *talk.Turn, d *remindDraft) {
	t.SayMsg(say.Choose(d.New, "remind.of-what", "remind.ask-text")).Offer(t.StopButton())
}

func takeRemindText(_ *talk.Turn, d *remindDraft, in talk.Answer) string {
	text := say.Short(in.Value())
	if read.Says("names-no-reminder", text) {
		return msg("remind.of-what")
	}
	d.R.Text = text
	return ""
}

// takeOfWhat takes what a new reminder is of, of which it may be known when.
func takeOfWhat(t *talk.Turn, d remindDraft, in talk.Answer) {
	r, err := read.ReminderText(in.Text, t.Names(), t.Event.At)
	switch when := err == nil && r.When.Said(); {
	case err != nil || read.Says("names-no-reminder", r.Text) || talk.IsNotSure(in.Text) || talk.Interrupted(t, in):
		if when {
			d.When = r.When
		}
		t.Again(func() { askRemind(t, d, "text") })
	case when:
		t.EndDialogue()
		answerRemind(t, read.Sentence{Words: in.Text})
	default:
		t.EndDialogue()
		r.When = d.When
		makeReminder(t, r, in.Text)
	}
}

// remindAgain asks the open question about a reminder once more.
func remindAgain(t *talk.Turn, d remindDraft) {
	if d.New && t.Talk.Step != "twice" {
		askRemind(t, d, t.Talk.Step)
		return
	}
	t.EndDialogue()
	listReminders(t, "")
}

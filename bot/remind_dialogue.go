package bot

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// remindDraft is the state of the dialogue that makes a reminder or changes
// one: what is known so far, and the questions that have had their answer.
type remindDraft struct {
	R     planner.Reminder `json:"r"`
	When  read.When        `json:"when,omitzero"` // of a new one, and of a change of its days
	New   bool             `json:"new,omitempty"`
	Food  string           `json:"food,omitempty"`  // key of the supplement whose amount is asked for
	Typed string           `json:"typed,omitempty"` // a dose of which it is asked what it is of
	Done  map[string]bool  `json:"done,omitempty"`
}

// remindStep is one question about a reminder.
type remindStep struct {
	name string
	ask  func(t *turn, d *remindDraft)
	// take reads the answer into the draft and returns what is wrong with it,
	// empty where it was taken.
	take func(t *turn, d *remindDraft, in answer) string
	// only says of which kind's making the question is a part; empty: it is
	// asked only where a carer changes a reminder.
	only planner.ReminderKind
}

// remindSteps are the questions in the order in which they are asked.
func remindSteps() []remindStep {
	return []remindStep{
		{name: "dog", ask: askRemindDog, take: takeRemindDog, only: planner.SupplementReminder},
		{name: "what", ask: askRemindWhat, take: takeRemindWhat, only: planner.SupplementReminder},
		{name: "often", ask: askRemindOften, take: takeRemindOften, only: planner.SupplementReminder},
		{name: "time", ask: askRemindTime, take: takeRemindTime, only: planner.SupplementReminder},
		{name: "until", ask: askRemindUntil, take: takeRemindUntil, only: planner.SupplementReminder},
		{name: "when", ask: askRemindWhen, take: takeRemindWhen, only: planner.NoteReminder},
		{name: "stock", ask: askRemindStock, take: takeRemindStock},
		{name: "text", ask: askRemindText, take: takeRemindText},
	}
}

func remindStepNamed(name string) *remindStep {
	for _, s := range remindSteps() {
		if s.name == name {
			return &s
		}
	}
	return nil
}

// askRemind asks one question of the dialogue.
func (t *turn) askRemind(d remindDraft, step string) {
	s := remindStepNamed(step)
	if s == nil {
		t.sayMsg("press.stale")
		return
	}
	t.ask("remind", step, d)
	s.ask(t, &d)
}

// nextRemindStep asks the first question that has no answer, or keeps the
// new reminder.
func (t *turn) nextRemindStep(d remindDraft) {
	for _, s := range remindSteps() {
		if s.only != d.R.Kind || d.Done[s.name] {
			continue
		}
		t.askRemind(d, s.name)
		return
	}
	t.endDialogue()
	t.finishRemind(d)
}

// remindDialogue takes the answer to the open question about a reminder.
func (t *turn) remindDialogue(in answer) {
	var d remindDraft
	t.draft(&d)
	if t.talk.Step == "twice" {
		t.takeTwice(d, in)
		return
	}
	if t.talk.Step == "sure" {
		t.takeGiven(d, in)
		return
	}
	if got, ok := read.Understand(in.text, t.names(), t.home.Units); ok && got.Intent == read.Remind {
		t.parkSame("remind")
		t.answerRemind(got)
		return
	}
	s := remindStepNamed(t.talk.Step)
	if s == nil || !d.New && t.reminder(d.R.ID) == nil {
		t.endDialogue()
		t.sayMsg("press.gone")
		return
	}
	if !d.New {
		d.R = *t.reminder(d.R.ID) // as it is now: another carer may have changed it
	}
	if s.name == "text" && t.interrupted(in) {
		t.again(func() { s.ask(t, &d) })
		return
	}
	if wrong := s.take(t, &d, in); wrong != "" {
		if in.press == "" && t.aside(in.text) {
			t.again(func() { s.ask(t, &d) })
			return
		}
		t.say(para(wrong)).offer(t.stopButton())
		return
	}
	if d.New {
		d.done(s.name)
		t.nextRemindStep(d)
		return
	}
	t.endDialogue()
	t.keepDraft(d)
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

func askRemindDog(t *turn, _ *remindDraft) {
	r := t.sayMsg("remind.which-dog")
	for i := range t.home.Dogs {
		r.offer(t.answer(t.home.Dogs[i].Name, "dog", t.home.Dogs[i].ID))
	}
}

func takeRemindDog(t *turn, d *remindDraft, in answer) string {
	dog := t.dog(in.press)
	if dog == nil {
		dog = t.dogNamed(strings.TrimSpace(in.value()))
	}
	if dog == nil {
		return msg("remind.no-such-dog", "text", short(in.value()))
	}
	d.R.Dog = dog.ID
	t.talk.Dog = dog.ID
	return ""
}

// oftenChoices are what is offered for how often, as it would be typed.
var oftenChoices = []string{"every day", "every 2 days", "every 3 days", "twice a week", "every week"}

func askRemindOften(t *turn, _ *remindDraft) {
	r := t.sayMsg("remind.ask-often")
	for row := range slices.Chunk(oftenChoices, 3) {
		var buttons []Button
		for _, c := range row {
			buttons = append(buttons, t.answer(msg("often."+strings.ReplaceAll(c, " ", "-")), "often", c))
		}
		r.offer(buttons...)
	}
	r.offer(t.stopButton())
}

func takeRemindOften(t *turn, d *remindDraft, in answer) string {
	w, err := read.WhenText(in.value(), t.event.At)
	if err != nil {
		return whenTrouble(err, in.value())
	}
	if !w.Repeats && !w.Monthly && (w.On.IsZero() || !w.Weekday) || w.Rest != "" {
		return msg("remind.bad-cadence", "text", short(in.value()))
	}
	if w.Weekday { // "Friday", where a series is asked for
		w.Repeats, w.Cadence.Weekdays = true, append(w.Cadence.Weekdays, w.On.Weekday())
		w.On = planner.Date{}
	}
	if d.New {
		w.Until, w.Days = orDate(w.Until, d.When.Until), max(w.Days, d.When.Days)
		if len(w.Times) == 0 && w.Meal == "" {
			w.Times, w.Meal = d.When.Times, d.When.Meal
		}
		d.When = w
		if len(w.Times) > 0 || w.Meal != "" {
			d.done("time")
		}
		_, _, wrong := t.scheduleOf(w, t.dog(d.R.Dog), nil)
		return wrong
	}
	if len(w.Times) == 0 && w.Meal == "" && w.PerDay <= 1 {
		if w.Meal = read.FirstMeal; !d.R.WithMeal {
			w.Times, w.Meal = d.R.Schedule.Times, ""
		}
	}
	w.Until = orDate(w.Until, d.R.Schedule.Until)
	return d.reschedule(t, w)
}

func orDate(a, b planner.Date) planner.Date {
	if a.IsZero() {
		return b
	}
	return a
}

// reschedule gives the reminder that is changed a new schedule, in the zone
// that it had.
func (d *remindDraft) reschedule(t *turn, w read.When) string {
	s, withMeal, wrong := t.scheduleOf(w, t.dog(d.R.Dog), d.R.Schedule.Times)
	if wrong == "" {
		s.Zone = d.R.Schedule.Zone
		d.R.Schedule, d.R.WithMeal = s, withMeal
	}
	return wrong
}

func askRemindTime(t *turn, d *remindDraft) {
	meal := planner.DefaultMealTimes(1)[0]
	if dog := t.dog(d.R.Dog); dog != nil {
		meal = dog.MealTimes()[0]
	}
	r := t.sayMsg("remind.ask-time")
	if d.R.Kind == planner.SupplementReminder {
		r.offer(t.answer(msg("button.with-meal", "time", meal.String()), "time", "with breakfast"))
	}
	r.offer(t.answer("07:30", "time", "07:30"), t.answer("18:00", "time", "18:00"), t.answer("20:00", "time", "20:00"))
}

func takeRemindTime(t *turn, d *remindDraft, in answer) string {
	w, err := read.WhenText(in.value(), t.event.At)
	if err == nil && (w.Meal == "" || len(w.Times) > 0) {
		w = read.When{}
		w.Times, err = read.Clocks(in.value())
	}
	if err != nil {
		return problemOf(err, in.value())
	}
	if d.New {
		d.When.Times, d.When.Meal = w.Times, w.Meal
		_, _, wrong := t.scheduleOf(d.When, t.dog(d.R.Dog), nil)
		return wrong
	}
	times, withMeal, wrong := timesOf(w, t.dog(d.R.Dog), nil)
	if wrong != "" {
		return wrong
	}
	d.R.Schedule.Times, d.R.WithMeal = times, withMeal
	return t.scheduleTrouble(d.R.Schedule)
}

func askRemindUntil(t *turn, _ *remindDraft) {
	t.sayMsg("remind.ask-until").offer(t.answer(msg("button.no-end"), "until", "none"),
		t.answer(msg("button.days", "n", 10), "until", "for 10 days"), t.answer(msg("button.days", "n", 28), "until", "for 28 days"))
}

func takeRemindUntil(t *turn, d *remindDraft, in answer) string {
	until, days := planner.Date{}, 0
	switch strings.ToLower(strings.Trim(in.value(), " .!")) {
	case "none", "no end", "no", "never", "for good", "always", "open":
	default:
		w, err := spanText(in.value(), t)
		if err == nil && w.Days > 0 && w.Rest == "" {
			days = w.Days
		} else if until, err = read.Date(in.value(), t.event.At); err != nil {
			return problemOf(err, in.value())
		}
	}
	if d.New {
		d.When.Until, d.When.Days = until, days
		_, _, wrong := t.scheduleOf(d.When, t.dog(d.R.Dog), nil)
		return wrong
	}
	if days > 0 {
		first := t.date()
		if first.Before(d.R.Schedule.Anchor) {
			first = d.R.Schedule.Anchor
		}
		until = first.AddDays(days - 1)
	}
	d.R.Schedule.Until = until
	return t.scheduleTrouble(d.R.Schedule)
}

func askRemindWhen(t *turn, d *remindDraft) {
	t.sayMsg("remind.ask-when", "what", capital(cmp.Or(d.R.Text, t.aboutReminder(&d.R)))).offer(t.stopButton())
}

func takeRemindWhen(t *turn, d *remindDraft, in answer) string {
	w, err := read.WhenText(in.value(), t.event.At)
	if err != nil {
		return whenTrouble(err, in.value())
	}
	if times, err := read.Clocks(in.value()); err == nil {
		w = read.When{Times: times} // a bare "10"
	}
	if !w.Said() || w.Rest != "" {
		return msg("remind.no-when", "text", short(in.value()))
	}
	if d.New {
		d.When = w
		_, _, wrong := t.scheduleOf(w, t.dog(d.R.Dog), defaultNoteTime)
		return wrong
	}
	if d.R.Kind != planner.NoteReminder {
		w = seriesOf(w)
		if onlyTimes(w) { // the days stay
			d.R.Schedule.Times, _, _ = timesOf(w, nil, defaultNoteTime)
			return t.scheduleTrouble(d.R.Schedule)
		}
	}
	return d.reschedule(t, w)
}

func onlyTimes(w read.When) bool {
	return len(w.Times) > 0 && !w.Repeats && !w.Monthly && w.On.IsZero() && w.At.IsZero()
}

// seriesOf takes a single day of the week for every such day.
func seriesOf(w read.When) read.When {
	if w.Weekday && !w.Repeats {
		w.Repeats, w.Cadence.Weekdays, w.On = true, append(w.Cadence.Weekdays, w.On.Weekday()), planner.Date{}
	}
	return w
}

func askRemindText(t *turn, _ *remindDraft) { t.sayMsg("remind.ask-text").offer(t.stopButton()) }

func takeRemindText(_ *turn, d *remindDraft, in answer) string {
	text := short(in.value())
	if text == "" {
		return msg("remind.of-what")
	}
	d.R.Text = text
	return ""
}

// remindAgain asks the open question about a reminder once more.
func (t *turn) remindAgain() {
	var d remindDraft
	t.draft(&d)
	if d.New && t.talk.Step != "twice" {
		t.askRemind(d, t.talk.Step)
		return
	}
	t.endDialogue()
	t.listReminders("")
}

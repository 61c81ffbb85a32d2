package remind

import (
	"reflect"
	"slices"
	"strings"

	"bowlwright/bot/balance"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// finishRemind keeps a new reminder and says when it falls due first.
func finishRemind(t *talk.Turn, d remindDraft) {
	dog := t.Dog(d.R.Dog)
	if d.R.Kind == planner.NoteReminder && d.R.Dose == nil && !say.HasLetters(read.Pattern("dose").ReplaceAllString(d.R.Text, "")) { // "half a tablet at 20:00"
		t.SayMsg("remind.dose-of", "text", say.Short(d.R.Text))
		return
	}
	fallback := defaultNoteTime
	if d.R.Kind == planner.SupplementReminder {
		fallback = nil
	}
	s, withMeal, wrong := scheduleOf(t, d.When, dog, fallback)
	if wrong != "" {
		t.Ask("remind", say.Choose(d.R.Kind == planner.SupplementReminder, "often", "when"), d) // so that the days can be typed again
		t.Say(say.Para(wrong))
		return
	}
	d.R.Schedule, d.R.WithMeal = s, withMeal
	if have := givenSince(t, &d.R); have != nil && !d.Done["twice"] {
		askTwice(t, d, have)
		return
	}
	if !d.Done["sure"] && askGiven(t, d) {
		return
	}
	r, ok := keepReminder(t, d.R, talk.AboutReminder(t, &d.R))
	if !ok {
		return
	}
	sayKept(t, r)
}

// sayKept says a new reminder: what and when, its first day, and what else
// came with it.
func sayKept(t *talk.Turn, r *planner.Reminder) {
	also := addCheckIns(t) // it may move the reminders
	r = &t.Home.Reminders[slices.IndexFunc(t.Home.Reminders, func(o planner.Reminder) bool { return o.ID == r.ID })]
	out := t.Say(say.Para(msg("remind.kept", "what", say.Capital(talk.ReminderTitle(t, r)), "when", ScheduleText(t, r))),
		say.Whole(giveCautions(t, r)), say.Para(firstText(t, true, r)), say.Para(missedText(r)), say.Para(firstZoneNote(t)), say.Waits(also))
	t.InPlace(out.Offer(t.Button(msg("button.change"), "remind", "show", r.ID), t.UndoButton()))
}

// firstZoneNote says with the first reminder that a carer sets, and not with
// each, that times are by a clock that nobody has chosen.
func firstZoneNote(t *talk.Turn) string {
	first := len(t.Home.Reminders) <= 1+len(sortedReminders(t, planner.WeighReminder, planner.ConditionReminder))
	return say.Where(first, zoneNote(t))
}

// zoneNote says that times are by a clock that nobody has chosen.
func zoneNote(t *talk.Turn) string {
	return say.Where(t.Home.Zone == talk.DefaultZoneName, msg("feeding.zone", "zone", t.Home.Zone))
}

// givenSince is the reminder that there is already of what another is of, for the same dog
// or, where none is named, for any.
func givenSince(t *talk.Turn, r *planner.Reminder) *planner.Reminder {
	if r.Dose != nil {
		return balance.SupplementOf(t, r.Dog, r.Dose.Food)
	}
	if r.Kind != planner.NoteReminder || !givesOther(t, r) {
		return nil
	}
	var dogs []string
	if r.Dog != "" {
		dogs = []string{r.Dog}
	}
	for _, w := range span.SplitWords(read.GivenThing(read.Pattern("dose").ReplaceAllString(r.Text, " "), t.Names())) {
		for _, have := range NotesNamed(t, w.Text, dogs) {
			same := strings.EqualFold(have.Text, r.Text) && reflect.DeepEqual(have.Schedule, r.Schedule)
			if len(w.Text) > 3 && !span.IsForm(w.Text) && (r.Dog == "" || have.Dog == r.Dog) && !have.Off && isGiven(t, have) && !same {
				return have
			}
		}
	}
	return nil
}

// askTwice asks what is meant by a second reminder of a supplement for a dog:
// two would double it.
func askTwice(t *talk.Turn, d remindDraft, have *planner.Reminder) {
	t.Ask("remind", "twice", d)
	t.SayMsg("supplement.twice", "what", talk.ReminderTitle(t, have), "when", ScheduleText(t, have)).
		Offer(t.Answer(msg("button.instead"), "twice", "instead"), t.Answer(msg("button.as-well"), "twice", "as well"),
			t.Answer(msg("button.keep-as-is"), "twice", "keep"))
}

func takeTwice(t *talk.Turn, d remindDraft, in talk.Answer) {
	have := givenSince(t, &d.R)
	switch read.SaidKind("twice-said", in.Value()) {
	case "as-well":
		t.EndDialogue()
		d.done("twice")
		finishRemind(t, d)
	case "instead":
		t.EndDialogue()
		if have == nil {
			finishRemind(t, d)
			return
		}
		d.R.ID, d.R.Stock, d.R.Missed = have.ID, have.Stock, have.Missed
		s, withMeal, wrong := scheduleOf(t, d.When, t.Dog(d.R.Dog), nil)
		if wrong != "" {
			t.Say(say.Para(wrong))
			return
		}
		d.R.Schedule, d.R.WithMeal, d.New = s, withMeal, false
		keepDraft(t, d)
	case "keep":
		t.EndDialogue()
		t.InPlace(t.SayMsg("dialogue.stopped"))
	default:
		switch {
		case in.Press == "" && t.Aside(in.Text):
		case have == nil:
			t.EndDialogue()
			t.RouteWords(in.Text)
		default:
			askTwice(t, d, have)
		}
	}
}

// Doses makes the reminders of a recipe's doses for a dog, but for what it is
// reminded of already, and says when each is due.
func Doses(t *talk.Turn, d *planner.Dog, doses []planner.Dose) {
	var lines []string
	for _, dose := range doses {
		if balance.SupplementOf(t, d.ID, dose.Food) != nil {
			continue
		}
		if kept, ok := keepDose(t, d, dose); ok {
			lines = append(lines, msg("remind.kept", "what", say.Capital(talk.ReminderTitle(t, kept)), "when", ScheduleText(t, kept)), giveCautions(t, kept))
		}
	}
	if len(lines) == 0 {
		listSupplements(t, "")
		return
	}
	t.Say(say.Whole(say.JoinParas(lines...)), say.Para(firstZoneNote(t)), say.Waits(addCheckIns(t))).Offer(t.UndoButton())
}

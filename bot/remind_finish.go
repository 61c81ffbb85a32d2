package bot

import (
	"slices"
	"strings"

	"bowlwright/planner"
)

// finishRemind keeps a new reminder and says when it falls due first.
func (t *turn) finishRemind(d remindDraft) {
	dog := t.dog(d.R.Dog)
	fallback := defaultNoteTime
	if d.R.Kind == planner.SupplementReminder {
		fallback = nil
	}
	s, withMeal, wrong := t.scheduleOf(d.When, dog, fallback)
	if wrong != "" {
		step := "when"
		if d.R.Kind == planner.SupplementReminder {
			step = "often"
		}
		t.ask("remind", step, d) // so that the days can be typed again
		t.say(para(wrong))
		return
	}
	d.R.Schedule, d.R.WithMeal = s, withMeal
	if d.R.Dose != nil && !d.Done["twice"] {
		if have := t.supplementOf(d.R.Dog, d.R.Dose.Food, ""); have != nil {
			t.askTwice(d, have)
			return
		}
	}
	if !d.Done["sure"] && t.askGiven(d) {
		return
	}
	r, ok := t.keepReminder(d.R, t.aboutReminder(&d.R))
	if !ok {
		return
	}
	t.sayKept(r)
}

// sayKept says a new reminder: what and when, its first day, and what else
// came with it.
func (t *turn) sayKept(r *planner.Reminder) {
	also := t.addCheckIns() // it may move the reminders
	r = &t.home.Reminders[slices.IndexFunc(t.home.Reminders, func(o planner.Reminder) bool { return o.ID == r.ID })]
	out := t.say(para(msg("remind.kept", "what", capital(t.reminderTitle(r)), "when", t.scheduleText(r))),
		para(t.giveCautions(r)), para(t.firstText("first", r)), para(t.missedText(r)), para(t.firstZoneNote()), para(also))
	t.inPlace(out.offer(t.button(msg("button.change"), "remind", "show", r.ID), t.undoButton()))
}

// firstZoneNote says with the first reminder that a carer sets, and not with
// each, that times are by a clock that nobody has chosen.
func (t *turn) firstZoneNote() string {
	own := 0
	for _, r := range t.home.Reminders {
		if r.Kind != planner.WeighReminder && r.Kind != planner.ConditionReminder {
			own++
		}
	}
	if own > 1 {
		return ""
	}
	return t.zoneNote()
}

// askTwice asks what is meant by a second reminder of a supplement for a dog:
// two would double it.
func (t *turn) askTwice(d remindDraft, have *planner.Reminder) {
	t.ask("remind", "twice", d)
	t.sayMsg("supplement.twice", "what", t.reminderTitle(have), "when", t.scheduleText(have)).
		offer(t.answer(msg("button.instead"), "twice", "instead"), t.answer(msg("button.as-well"), "twice", "as well"),
			t.answer(msg("button.keep-as-is"), "twice", "keep"))
}

func (t *turn) takeTwice(d remindDraft, in answer) {
	have := t.supplementOf(d.R.Dog, d.R.Dose.Food, "")
	switch strings.ToLower(strings.Trim(in.value(), " .!")) {
	case "as well", "both", "add":
		t.endDialogue()
		d.done("twice")
		t.finishRemind(d)
	case "instead", "change", "replace":
		t.endDialogue()
		if have == nil {
			t.finishRemind(d)
			return
		}
		d.R.ID, d.R.Stock, d.R.Missed = have.ID, have.Stock, have.Missed
		s, withMeal, wrong := t.scheduleOf(d.When, t.dog(d.R.Dog), nil)
		if wrong != "" {
			t.say(para(wrong))
			return
		}
		d.R.Schedule, d.R.WithMeal, d.New = s, withMeal, false
		t.keepDraft(d)
	case "keep", "no", "neither":
		t.endDialogue()
		t.inPlace(t.sayMsg("dialogue.stopped"))
	default:
		if have != nil && !(in.press == "" && t.aside(in.text)) {
			t.askTwice(d, have)
		}
	}
}

package bot

import (
	"time"

	"bowlwright/planner"
	"bowlwright/store"
)

// stools are the three buttons, in their order.
var stools = []struct {
	stool planner.Stool
	label string
}{
	{planner.FirmStool, "button.transition-firm"}, {planner.SoftStool, "button.transition-soft"}, {planner.LooseStool, "button.transition-loose"},
}

// stoolButtons ask how a dog's stool was on a day.
func (t *turn) stoolButtons(dog string, day planner.Date) []Button {
	var row []Button
	for _, s := range stools {
		row = append(row, t.button(msg(s.label), "stool", dog, stampOfDate(day), string(s.stool)))
	}
	return row
}

// sayStool asks the evening's question about each dog that is being
// switched. Of one whose steps are over it says so, once.
func (t *turn) sayStool(due []planner.Occurrence) {
	for _, o := range due {
		r := t.reminder(o.Reminder)
		if r == nil {
			continue // ended by an occurrence before
		}
		d, tr := t.dog(r.Dog), planner.TransitionOf(t.home, r.Dog)
		switch {
		case d == nil || tr == nil:
		case tr.Over(o.Date):
			t.say(para(t.overText(tr, d))).offer(t.button(msg("button.bowl"), "bowl", "dog", d.ID))
			t.finishTransition(tr)
		case o.Date.Before(tr.Start) || tr.StoolOn(o.Date) != "":
		default:
			t.sayMsg("transition.ask-stool", "dog", d.Name, "n", tr.StepOn(o.Date), "of", tr.Days).offer(t.stoolButtons(d.ID, o.Date)...)
		}
	}
}

// pressStool notes how a dog's stool was.
func (t *turn) pressStool(args []string) {
	tr := planner.TransitionOf(t.home, arg(args, 0))
	day, ok := dateOfStamp(arg(args, 1))
	if tr == nil || t.dog(tr.Dog) == nil || !ok {
		t.sayMsg("press.gone").InPlace = t.event.Message
		return
	}
	before := len(t.replies)
	t.checkStool(tr, day, planner.Stool(arg(args, 2)))
	t.replies[before].InPlace = t.event.Message
}

// checkedDays is how many days back a stool may be noted: what was fed since
// was fed, and is not worked out anew.
const checkedDays = 1

// checkStool notes a stool and says what it does to the next step.
func (t *turn) checkStool(tr *planner.Transition, day planner.Date, s planner.Stool) {
	d := t.dog(tr.Dog)
	t.talk.Dog = d.ID
	was := tr.StoolOn(day)
	next, move, ok := tr.Check(day, s)
	if !ok || t.date().Before(day) || day.DaysTo(t.date()) > checkedDays {
		t.sayMsg("transition.no-step", "dog", d.Name, "day", dayText(day)).offer(t.button(msg("button.transition-show"), "transition", "show", d.ID))
		return
	}
	head := ""
	if was != "" && was != s {
		head = msg("transition.changed", "stool", msg("transition.stool-"+string(was)))
	}
	if was != s {
		t.mutate("did.stool", d.Name)
		*tr = next
		t.planRotations()
		t.noteStool(tr, day, s)
	}
	out := t.say(para(joinParas(t.moveText(tr, day, s, move), head)), para(t.stoolVetText(d, move)))
	if was != s {
		out.offer(t.undoButton())
	}
	out.offer(t.button(msg("button.transition-show"), "transition", "show", d.ID))
}

// noteStool enters a stool into the journal, in place of what was said of the
// day before.
func (t *turn) noteStool(tr *planner.Transition, day planner.Date, s planner.Stool) {
	e := planner.Entry{Kind: planner.StoolSeen, Dog: tr.Dog, Date: day, Stool: s}
	for i := range t.home.Reminders {
		if r := &t.home.Reminders[i]; r.Kind == planner.StoolReminder && r.Dog == tr.Dog && len(r.Schedule.Times) > 0 {
			e.Of = planner.OccurrenceID(t.home.ID, r.ID, planner.Moment{Date: day, Clock: r.Schedule.Times[0]})
		}
	}
	for _, old := range t.entries(store.EntryQuery{Dog: tr.Dog, Kinds: []planner.EntryKind{planner.StoolSeen}, From: t.event.At.Add(-72 * time.Hour)}) {
		if old.Date == day {
			t.unnote(old)
		}
	}
	t.note(e)
}

// moveText says what a stool does to the next day's step.
func (t *turn) moveText(tr *planner.Transition, day planner.Date, s planner.Stool, move planner.Move) string {
	next := day.AddDays(1)
	step, share := tr.StepOn(next), percent(tr.ShareOn(next))
	id, _ := planner.RecipeOn(t.home, tr.Dog, next)
	switch {
	case move == planner.StepBack && step == 0:
		return msg("transition.back-old")
	case move == planner.StepBack:
		return msg("transition.back", "n", step, "of", tr.Days, "share", share)
	case s == planner.LooseStool:
		return msg("transition.loose", "n", step, "of", tr.Days, "share", share)
	case s == planner.SoftStool:
		return msg("transition.soft", "n", step, "of", tr.Days, "share", share)
	case tr.Over(next) && tr.Rotation != "":
		return msg("transition.firm-rotation", "recipe", t.recipeName(id))
	case tr.Over(next):
		return msg("transition.firm-last", "recipe", t.recipeName(id))
	case move == planner.StepHeld:
		return msg("transition.firm-held", "n", step, "of", tr.Days)
	}
	return msg("transition.firm", "n", step, "of", tr.Days, "share", share)
}

// stoolVetText is the caution after two bad days.
func (t *turn) stoolVetText(d *planner.Dog, move planner.Move) string {
	if move != planner.StepBack {
		return ""
	}
	return msg("transition.vet", "dog", d.Name)
}

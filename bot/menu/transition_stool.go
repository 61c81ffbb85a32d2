package menu

import (
	"time"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
)

// stoolButtons ask how a dog's stool was on a day.
func stoolButtons(t *talk.Turn, dog string, day planner.Date) []say.Button {
	return say.Each([]planner.Stool{planner.FirmStool, planner.SoftStool, planner.LooseStool}, func(s planner.Stool) say.Button {
		return t.Button(msg("button.transition-"+string(s)), "stool", dog, say.StampOfDate(day), string(s))
	})
}

// sayStool asks the evening's question about a dog that is being switched. Of
// one whose steps are over it says so, once.
func sayStool(t *talk.Turn, r *planner.Reminder, o planner.Occurrence) {
	d, tr := t.Dog(r.Dog), planner.TransitionOf(t.Home, r.Dog)
	switch {
	case d == nil || tr == nil:
	case tr.Over(o.Date):
		t.Say(say.Para(overText(t, tr, d))).Offer(t.Button(msg("button.bowl"), "bowl", "dog", d.ID))
		tr.Done, t.Changed = true, true
		talk.DropReminders(t, planner.StoolReminder, tr.Dog)
	case o.Date.Before(tr.Start) || tr.StoolOn(o.Date) != "" || tr.Resting(o.Date):
	default:
		next, waits := tr.Ask(o.Date)
		*tr, t.Changed = next, t.Changed || waits
		if askStool(t, tr, o.Date); waits {
			t.LastReply().Add(msg("transition.waits"))
			planRotations(t)
		}
	}
}

func askStool(t *talk.Turn, tr *planner.Transition, day planner.Date) {
	t.SayMsg("transition.ask-stool", "dog", t.Dog(tr.Dog).Name, "n", tr.StepOn(day), "of", tr.Days).Offer(stoolButtons(t, tr.Dog, day)...)
}

// AskStool asks how the stool was of the dog of a text, where that is being switched.
func AskStool(t *talk.Turn, s string) bool {
	_, tr := dogSwitched(t, s)
	if tr == nil {
		return false
	}
	day, _, _ := read.DayAsked(s, t.Event.At)
	askStool(t, tr, day)
	return true
}

// pressStool notes how a dog's stool was.
func pressStool(t *talk.Turn, args []string) {
	tr := planner.TransitionOf(t.Home, talk.Arg(args, 0))
	day, ok := say.DateOfStamp(talk.Arg(args, 1))
	if !talk.Gone(t, tr == nil || t.Dog(tr.Dog) == nil || !ok) {
		checkStool(t, tr, day, planner.Stool(talk.Arg(args, 2)))
	}
}

// checkedDays is how many days back a stool may be noted: what was fed since
// was fed, and is not worked out anew.
const checkedDays = 1

// checkStool notes a stool and says what it does to the next step.
func checkStool(t *talk.Turn, tr *planner.Transition, day planner.Date, s planner.Stool) {
	d := t.Dog(tr.Dog)
	t.Talk.Dog = d.ID
	was := tr.StoolOn(day)
	next, move, ok := tr.Check(day, s)
	if !ok || t.Date().Before(day) || day.DaysTo(t.Date()) > checkedDays {
		t.SayMsg("transition.no-step", "dog", d.Name, "day", say.DayText(day)).Offer(t.Button(msg("button.transition-show"), "transition", "show", d.ID))
		return
	}
	changed := ""
	if was != "" && was != s {
		changed = msg("transition.changed", "stool", msg("transition.stool-"+string(was)))
	}
	if was != s {
		t.Mutate("did.stool", d.Name)
		*tr = next
		planRotations(t)
		noteStool(t, tr, day, s)
	}
	out := t.Say(say.Para(say.JoinParas(moveText(t, tr, day, s, move), changed)), say.Para(say.Where(move == planner.StepBack, msg("transition.vet", "dog", d.Name))))
	if was != s {
		out.Offer(t.UndoButton())
	}
	if s == planner.FirmStool {
		out.Offer(dogs.SwitchOnButtons(t, d)...)
	}
	out.Offer(t.Button(msg("button.transition-show"), "transition", "show", d.ID))
}

// noteStool enters a stool into the journal, in place of what was said of the
// day before.
func noteStool(t *talk.Turn, tr *planner.Transition, day planner.Date, s planner.Stool) {
	e := planner.Entry{Kind: planner.StoolSeen, Dog: tr.Dog, Date: day, Stool: s}
	for i := range t.Home.Reminders {
		if r := &t.Home.Reminders[i]; r.Kind == planner.StoolReminder && r.Dog == tr.Dog && len(r.Schedule.Times) > 0 {
			e.Of = planner.OccurrenceID(t.Home.ID, r.ID, planner.Moment{Date: day, Clock: r.Schedule.Times[0]})
		}
	}
	for _, old := range t.Entries(store.EntryQuery{Dog: tr.Dog, Kinds: []planner.EntryKind{planner.StoolSeen}, From: t.Event.At.Add(-72 * time.Hour)}) {
		if old.Date == day {
			t.Unnote(old)
		}
	}
	t.Note(e)
}

// moveText says what a stool does to the next day's step.
func moveText(t *talk.Turn, tr *planner.Transition, day planner.Date, s planner.Stool, move planner.Move) string {
	next := day.AddDays(1)
	step, share := tr.StepOn(next), say.Percent(tr.ShareOn(next))
	id, _ := planner.RecipeOn(t.Home, tr.Dog, next)
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
		return msg("transition.firm-rotation", "recipe", talk.RecipeName(t, id))
	case tr.Over(next):
		return msg("transition.firm-last", "recipe", talk.RecipeName(t, id))
	case move == planner.StepHeld:
		return msg("transition.firm-held", "n", step, "of", tr.Days)
	}
	return msg("transition.firm", "n", step, "of", tr.Days, "share", share)
}

// stoolWords takes how the stool of a dog was: in any words of one that is being switched.
func stoolWords(t *talk.Turn, s string) bool {
	d, tr := dogSwitched(t, s)
	told := talk.WithoutDogs(t, s)
	stool, ok := read.StoolSaid(told)
	if tr != nil {
		stool, ok = read.StoolTold(told)
	}
	switch day, _, _ := read.DayAsked(s, t.Event.At); {
	case !ok:
	case tr != nil && stool == "":
		return AskStool(t, s)
	case tr != nil:
		checkStool(t, tr, day, stool)
	case d == nil || stool != planner.FirmStool || t.Talk.Kind != "" || dogs.Unwell(t, d) != "":
		return false
	default:
		t.Mutate("did.stool", d.Name)
		t.Note(planner.Entry{Kind: planner.StoolSeen, Dog: d.ID, Stool: stool})
		t.SayMsg("stool.noted", "dog", d.Name).Offer(t.UndoButton())
	}
	return ok
}

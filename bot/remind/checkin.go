package remind

import (
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// toldCheckIns notes that the check-ins were set up once, so that one that a
// carer has stopped does not come back by itself.
const toldCheckIns = "check-ins"

// addCheckIns sets up the weekly weigh-in and the monthly condition score
// with a household's first reminder, and says so; empty where it did not.
// The caller has called Mutate.
func addCheckIns(t *talk.Turn) string {
	if len(t.Home.Dogs) == 0 || !talk.TellOnce(t, toldCheckIns) || len(sortedReminders(t, planner.WeighReminder, planner.ConditionReminder)) > 0 {
		return ""
	}
	today := t.Date()
	weigh := planner.CheckIn(today, t.Event.At.UTC())
	score := planner.ConditionCheck(today, t.Event.At.UTC())
	weigh.ID, score.ID = t.NewID("n"), t.NewID("n")
	t.Home.Reminders = append(t.Home.Reminders, weigh, score)
	return msg("checkin.added", "weigh", ScheduleText(t, &weigh), "score", ScheduleText(t, &score))
}

// answerWeighWhen sets when a dog is weighed, or its condition scored.
func answerWeighWhen(t *talk.Turn, s read.Sentence) {
	r, err := read.ReminderText(t.Event.Text, t.Names(), t.Event.At)
	if err != nil {
		talk.SayWhenTrouble(t, err, t.Event.Text)
		return
	}
	kind := say.Choose(r.About == read.Scoring, planner.ConditionReminder, planner.WeighReminder)
	d := t.Dog(s.Dog)
	if d != nil {
		t.Talk.Dog = d.ID
	}
	setCheckIn(t, kind, d, r.When)
}

// setCheckIn sets when a check-in falls due: of one dog where one is named
// and there are others, else of every dog.
func setCheckIn(t *talk.Turn, kind planner.ReminderKind, d *planner.Dog, w span.When) {
	if len(t.Home.Dogs) == 0 {
		talk.NoDog(t)
		return
	}
	w = seriesOf(w)
	if !w.Repeats && !w.Monthly && w.On.IsZero() && w.At.IsZero() { // "at 9": the usual days
		w.Repeats, w.Cadence = true, planner.Cadence{Weekdays: planner.CheckIn(planner.Date{}, t.Event.At).Schedule.Weekdays}
		if kind == planner.ConditionReminder {
			w.Repeats, w.Cadence, w.Monthly, w.MonthDay = false, planner.Cadence{}, true, 1
		}
	}
	s, _, wrong := scheduleOf(t, w, d, defaultNoteTime)
	if wrong != "" {
		t.Say(say.Para(wrong))
		return
	}
	r := planner.Reminder{Kind: kind, Schedule: s}
	if d != nil && len(t.Home.Dogs) > 1 {
		r.Dog = d.ID
	}
	if s.Once { // besides the usual ones
		if kept, ok := keepReminder(t, r, talk.AboutReminder(t, &r)); ok {
			sayKept(t, kept)
		}
		return
	}
	replaceCheckIn(t, r)
}

// replaceCheckIn puts a check-in in the place of the one that it takes over
// from. Where it is of one dog, what was for all is from now on for each of
// the others.
func replaceCheckIn(t *talk.Turn, r planner.Reminder) {
	t.Mutate("did.checkin", talk.AboutReminder(t, &r))
	talk.TellOnce(t, toldCheckIns)
	var kept []planner.Reminder
	for _, old := range t.Home.Reminders {
		if old.Kind != r.Kind || old.Schedule.Once || r.Dog != "" && old.Dog != "" && old.Dog != r.Dog {
			kept = append(kept, old)
			continue
		}
		dropSnoozesOf(t, old.ID)
		for _, d := range t.Dogs() {
			if old.Dog != r.Dog && r.Dog != "" && d.ID != r.Dog {
				each := old
				each.ID, each.Dog = t.NewID("n"), d.ID
				kept = append(kept, each)
			}
		}
	}
	r.ID, r.Since = t.NewID("n"), t.Event.At.UTC()
	t.Home.Reminders = append(kept, r)
	sayKept(t, &r)
}

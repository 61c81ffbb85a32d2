package bot

import (
	"bowlwright/bot/read"
	"bowlwright/planner"
)

// toldCheckIns notes that the check-ins were set up once, so that one that a
// carer has stopped does not come back by itself.
const toldCheckIns = "check-ins"

// addCheckIns sets up the weekly weigh-in and the monthly condition score
// with a household's first reminder, and says so; empty where it did not.
// The caller has called mutate.
func (t *turn) addCheckIns() string {
	if t.home.Told[toldCheckIns] || len(t.home.Dogs) == 0 {
		return ""
	}
	if t.home.Told == nil {
		t.home.Told = map[string]bool{}
	}
	t.home.Told[toldCheckIns] = true
	if len(t.sortedReminders(planner.WeighReminder, planner.ConditionReminder)) > 0 {
		return ""
	}
	today := t.date()
	weigh := planner.CheckIn(today, t.event.At.UTC())
	score := planner.ConditionCheck(today, t.event.At.UTC())
	weigh.ID, score.ID = t.newID("n"), t.newID("n")
	t.home.Reminders = append(t.home.Reminders, weigh, score)
	return msg("checkin.added", "weigh", t.scheduleText(&weigh), "score", t.scheduleText(&score))
}

// answerWeighWhen sets when a dog is weighed, or its condition scored.
func (t *turn) answerWeighWhen(s read.Sentence) {
	r, err := read.ReminderText(t.event.Text, t.names(), t.event.At)
	if err != nil {
		t.sayWhenTrouble(err, t.event.Text)
		return
	}
	kind := planner.WeighReminder
	if r.About == read.Scoring {
		kind = planner.ConditionReminder
	}
	d := t.dog(s.Dog)
	if d != nil {
		t.talk.Dog = d.ID
	}
	t.setCheckIn(kind, d, r.When)
}

// answerMoveWeighIn sets another day for the weigh-ins.
func (t *turn) answerMoveWeighIn(s read.Sentence) {
	words := "weigh on " + s.Words
	if d := t.dog(s.Dog); d != nil && len(t.home.Dogs) > 1 {
		words = "weigh " + d.Name + " on " + s.Words
	}
	t.answerRemind(read.Sentence{Intent: read.Remind, Words: words})
}

// setCheckIn sets when a check-in falls due: of one dog where one is named
// and there are others, else of every dog.
func (t *turn) setCheckIn(kind planner.ReminderKind, d *planner.Dog, w read.When) {
	if len(t.home.Dogs) == 0 {
		t.sayMsg("who.none").offer(t.button(msg("button.add-dog"), "dog", "add"))
		return
	}
	w = seriesOf(w)
	if !w.Repeats && !w.Monthly && w.On.IsZero() && w.At.IsZero() { // "at 9": the usual days
		w.Repeats, w.Cadence = true, planner.Cadence{Weekdays: planner.CheckIn(planner.Date{}, t.event.At).Schedule.Weekdays}
		if kind == planner.ConditionReminder {
			w.Repeats, w.Cadence, w.Monthly, w.MonthDay = false, planner.Cadence{}, true, 1
		}
	}
	s, _, wrong := t.scheduleOf(w, d, defaultNoteTime)
	if wrong != "" {
		t.say(para(wrong))
		return
	}
	r := planner.Reminder{Kind: kind, Schedule: s}
	if d != nil && len(t.home.Dogs) > 1 {
		r.Dog = d.ID
	}
	if s.Once { // besides the usual ones
		if kept, ok := t.keepReminder(r, t.aboutReminder(&r)); ok {
			t.sayKept(kept)
		}
		return
	}
	t.replaceCheckIn(r)
}

// replaceCheckIn puts a check-in in the place of the one that it takes over
// from. Where it is of one dog, what was for all is from now on for each of
// the others.
func (t *turn) replaceCheckIn(r planner.Reminder) {
	t.mutate("did.checkin", t.aboutReminder(&r))
	if t.home.Told == nil {
		t.home.Told = map[string]bool{}
	}
	t.home.Told[toldCheckIns] = true
	var kept []planner.Reminder
	for _, old := range t.home.Reminders {
		switch {
		case old.Kind != r.Kind || old.Schedule.Once:
			kept = append(kept, old)
		case r.Dog == "" || old.Dog == r.Dog:
		case old.Dog == "":
			for i := range t.home.Dogs {
				if id := t.home.Dogs[i].ID; id != r.Dog {
					each := old
					each.ID, each.Dog = t.newID("n"), id
					kept = append(kept, each)
				}
			}
		default:
			kept = append(kept, old)
		}
		if old.Kind == r.Kind && !old.Schedule.Once && (r.Dog == "" || old.Dog == r.Dog || old.Dog == "") {
			t.dropSnoozesOf(old.ID)
		}
	}
	r.ID, r.Since = t.newID("n"), t.event.At.UTC()
	t.home.Reminders = append(kept, r)
	t.sayKept(&r)
}

package bot

import "bowlwright/planner"

// pressRemind does what a button about reminders asks.
func (t *turn) pressRemind(args []string) {
	if arg(args, 0) == "list" {
		t.listReminders("")
		return
	}
	if arg(args, 0) == "zone" {
		t.pressZoneOf(args[1:])
		return
	}
	r := t.reminder(arg(args, 1))
	if r == nil {
		t.sayMsg("press.gone")
		return
	}
	switch arg(args, 0) {
	case "show":
		t.showReminder(r, "")
	case "edit":
		t.askRemind(remindDraft{R: *r}, arg(args, 2))
	case "stop":
		t.stopReminder(r)
	case "missed":
		t.setMissed(r, planner.MissedRule(arg(args, 2)))
	default:
		t.sayMsg("press.stale")
	}
}

// showReminder says all of one reminder, with what can be changed of it.
func (t *turn) showReminder(r *planner.Reminder, head string, extra ...Button) {
	out := t.say(para(head), para(msg("remind.show", "what", capital(t.reminderTitle(r)), "when", t.scheduleText(r))),
		para(t.giveCautions(r)), para(t.firstText("next", r)), para(t.missedText(r)), para(t.stockLine(r)))
	edit := func(step string) Button { return t.button(msg("button.remind-"+step), "remind", "edit", r.ID, step) }
	switch r.Kind {
	case planner.SupplementReminder:
		out.offer(edit("what"), edit("often"), edit("time"))
		row := []Button{edit("until"), edit("stock")}
		if r.Schedule.EveryDays > 1 {
			row = append(row, t.missedButton(r))
		}
		out.offer(row...)
	case planner.NoteReminder:
		out.offer(edit("text"), edit("when"))
	case planner.WeighReminder, planner.ConditionReminder:
		out.offer(edit("when"))
	case planner.BowlReminder:
		out.offer(t.button(msg("button.feed-times"), "meals", "times", r.Dog), t.button(msg("button.meals"), "meals", "ask"))
	case planner.FreezerReminder, planner.MorningReminder:
		out.offer(edit("time"))
	}
	out.offer(t.button(msg("button.remind-stop"), "remind", "stop", r.ID), t.button(msg("button.reminders"), "remind", "list"))
	t.inPlace(out.offer(extra...))
}

// missedText says what becomes of a series whose dose was missed.
func (t *turn) missedText(r *planner.Reminder) string {
	if r.Kind != planner.SupplementReminder || r.Schedule.Once {
		return ""
	}
	if r.Schedule.EveryDays == 1 { // there is no day to shift to
		return msg("remind.missed-" + string(planner.KeepMissed))
	}
	return msg("remind.missed-" + string(r.Rule()))
}

// missedButton offers the other rule for missed doses, where it would differ.
func (t *turn) missedButton(r *planner.Reminder) Button {
	other := planner.KeepMissed
	if r.Rule() == planner.KeepMissed {
		other = planner.ShiftMissed
	}
	return t.button(msg("button.missed-"+string(other)), "remind", "missed", r.ID, string(other))
}

func (t *turn) setMissed(r *planner.Reminder, rule planner.MissedRule) {
	if rule != planner.ShiftMissed && rule != planner.KeepMissed {
		t.sayMsg("press.stale")
		return
	}
	t.mutate("did.reminder-changed", t.aboutReminder(r))
	r.Missed = rule
	t.showReminder(r, msg("remind.changed"), t.undoButton())
}

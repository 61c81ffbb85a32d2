package bot

import (
	"slices"

	"github.com/jedib0t/go-pretty/v6/text"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// calendarDays is how far ahead the calendar of a rotation goes.
const calendarDays = 14

// rotations shows the rotation, a choice of several, or how to begin one.
func (t *turn) rotations() {
	switch len(t.home.Rotations) {
	case 0:
		t.askRotation(rotationDraft{})
		return
	case 1:
		t.showRotation(&t.home.Rotations[0], "")
		return
	}
	out := t.sayMsg("rotation.which")
	for i := range t.home.Rotations {
		r := &t.home.Rotations[i]
		out.offer(t.button(t.dogNames(r.Dogs), "rotation", "show", r.ID))
	}
	out.offer(t.button(msg("button.rotation-new"), "rotation", "new"))
}

// showRotation says what is eaten today, the order, and the coming two weeks.
func (t *turn) showRotation(r *planner.Rotation, head string) *Reply {
	if len(r.Dogs) > 0 {
		t.talk.Dog = r.Dogs[0]
	}
	order := msg("rotation.order", "order", t.orderText(r.Turns), "n", r.Cycle())
	if head != "" {
		order = "" // it was just said
	}
	legend := ""
	rows := t.calendar(r, &legend)
	out := t.say(para(head), para(t.rotationToday(r)), para(order), tableBlock(rows), para(legend), para(t.switchingText(r)))
	day := stampOfDate(t.date())
	if turn, _ := r.On(t.date()); turn >= 0 {
		out.offer(t.button(msg("button.rotation-skip"), "rotation", "skip", r.ID, day),
			t.button(msg("button.rotation-repeat"), "rotation", "repeat", r.ID, day))
	}
	out.offer(t.button(msg("button.rotation-swap"), "rotation", "swap", r.ID), t.button(msg("button.rotation-cycle"), "rotation", "cycle", r.ID))
	out.offer(t.button(msg("button.rotation-change"), "rotation", "edit", r.ID), t.button(msg("button.rotation-stop"), "rotation", "stop", r.ID))
	return out
}

// rotationToday is the first line: the recipe of today and where in its turn
// it is.
func (t *turn) rotationToday(r *planner.Rotation) string {
	today, dogs := t.date(), t.dogNames(r.Dogs)
	turn, id := r.On(today)
	if turn < 0 {
		_, first := r.On(r.Start)
		return msg("rotation.begins", "day", dayText(r.Start), "recipe", t.recipeName(first), "dogs", dogs)
	}
	if id != r.Turns[turn].Recipe {
		return msg("rotation.instead", "recipe", t.recipeName(id), "order", t.recipeName(r.Turns[turn].Recipe), "dogs", dogs)
	}
	days := r.Turns[turn].Days
	return msg("rotation.began", "recipe", t.recipeName(id), "n", days-r.LeftOn(today)+1, "days", days, "dogs", dogs)
}

// calendar are the days from today, or from the first day where that is
// later. It sets the legend where a day differs from the order.
func (t *turn) calendar(r *planner.Rotation, legend *string) (rows []tableRow) {
	day := t.date()
	if day.Before(r.Start) {
		day = r.Start
	}
	const room = TableWidth - len("Wed 25 Nov * ")
	for range calendarDays {
		turn, id := r.On(day)
		label := dayText(day)
		if turn >= 0 && id != r.Turns[turn].Recipe {
			label += " *"
			*legend = msg("rotation.legend")
		}
		rows = append(rows, tableRow{label, []string{text.Snip(t.recipeName(id), room, "…")}})
		day = day.AddDays(1)
	}
	return rows
}

// switchingText says which dogs of a rotation are being switched to it, or
// to another recipe, and do not eat by it yet.
func (t *turn) switchingText(r *planner.Rotation) string {
	var lines []string
	for _, id := range r.Dogs {
		d, tr := t.dog(id), planner.TransitionOf(t.home, id)
		if d != nil && tr != nil && !tr.Over(t.date()) {
			lines = append(lines, msg("rotation.switching", "dog", d.Name, "old", tr.Old))
		}
	}
	return joinParas(lines...)
}

// pressRotation does what a button about a rotation asks.
func (t *turn) pressRotation(args []string) {
	if arg(args, 0) == "new" {
		t.askRotation(rotationDraft{})
		return
	}
	r := t.rotation(arg(args, 1))
	if r == nil {
		t.sayMsg("press.gone").InPlace = t.event.Message
		return
	}
	before := len(t.replies)
	switch arg(args, 0) {
	case "show":
		t.showRotation(r, "")
	case "skip", "repeat":
		switch {
		case arg(args, 2) != stampOfDate(t.date()):
			day, _ := dateOfStamp(arg(args, 2))
			t.showRotation(r, msg("rotation.old-button", "day", dayText(day)))
		case args[0] == "skip":
			t.skipRotation(r)
		default:
			t.repeatRotation(r)
		}
	case "swap":
		t.askExchange(r)
	case "pair":
		a, okA := dateOfStamp(arg(args, 2))
		b, okB := dateOfStamp(arg(args, 3))
		if !okA || !okB || a.Before(t.date()) {
			t.showRotation(r, msg("rotation.old-button", "day", dayText(a)))
			break
		}
		t.exchange(r, read.Exchange{Day: a, With: b})
	case "edit":
		t.askRotation(rotationDraft{ID: r.ID, Dogs: slices.Clone(r.Dogs)})
	case "stop":
		t.askStopRotation(r)
	case "really":
		t.stopRotation(r)
	case "cycle":
		t.cycle(r, t.dog(arg(args, 2)))
		return
	case "table":
		t.cycleTable(r, t.dog(arg(args, 2)))
		return
	default:
		t.sayMsg("press.stale")
	}
	if len(t.replies) > before {
		t.replies[before].InPlace = t.event.Message
	}
}

// byItself says that a recipe of a dog's rotation was judged without the others.
func (t *turn) byItself(d *planner.Dog, r *planner.Recipe) string {
	rot := planner.RotationOf(t.home, d.ID)
	if rot == nil || len(rot.Turns) < 2 || !slices.ContainsFunc(rot.Turns, func(w planner.Turn) bool { return w.Recipe == r.ID }) {
		return ""
	}
	return msg("analysis.by-itself", "recipe", r.Name)
}

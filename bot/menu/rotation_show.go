package menu

import (
	"cmp"
	"slices"
	"strings"

	"github.com/jedib0t/go-pretty/v6/text"

	"bowlwright/bot/balance"
	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// calendarDays is how far ahead the calendar of a rotation goes.
const calendarDays = 14

// rotations shows the rotation, a choice of several, or how to begin one.
func rotations(t *talk.Turn) {
	switch len(t.Home.Rotations) {
	case 0:
		askRotation(t, rotationDraft{})
		return
	case 1:
		showRotation(t, &t.Home.Rotations[0], "")
		return
	}
	out := t.SayMsg("rotation.which")
	for _, r := range t.Home.Rotations {
		out.Offer(t.Button(PlanName(t, r), "rotation", "show", r.ID))
	}
	out.Offer(t.Button(msg("button.rotation-new"), "rotation", "new"))
}

// showRotation says what is eaten today, the order, and the coming two weeks.
func showRotation(t *talk.Turn, r *planner.Rotation, head string) *say.Reply {
	if len(r.Dogs) == 0 {
		out := t.Say(say.Para(say.Where(head == "", msg("rotation.plan"))), say.Para(cmp.Or(head, msg("rotation.order", "order", orderText(t, r.Turns), "n", r.Cycle()))))
		out.Offer(t.Button(msg("button.rotation-cycle"), "rotation", "cycle", r.ID), t.Button(t.Msg("button.publish"), "publish", "plan", r.ID))
		out.Offer(t.Button(msg("button.rotation-change"), "rotation", "edit", r.ID), t.Button(msg("button.rotation-stop"), "rotation", "stop", r.ID))
		return out
	}
	t.Talk.Dog = r.Dogs[0]
	order := say.Where(head == "", msg("rotation.order", "order", orderText(t, r.Turns), "n", r.Cycle())) // else it was just said
	legend := ""
	rows := calendar(t, r, &legend)
	out := t.Say(say.Para(head), say.Para(rotationToday(t, r)), say.Para(order), say.TableBlock(rows), say.Para(legend), say.Para(someDaysText(t, r)), say.Para(switchingText(t, r)))
	day := say.StampOfDate(t.Date())
	if turn, _ := r.On(t.Date()); turn >= 0 {
		out.Offer(t.Button(msg("button.rotation-skip"), "rotation", "skip", r.ID, day),
			t.Button(msg("button.rotation-repeat"), "rotation", "repeat", r.ID, day))
	}
	out.Offer(t.Button(msg("button.rotation-swap"), "rotation", "swap", r.ID), t.Button(msg("button.rotation-cycle"), "rotation", "cycle", r.ID))
	out.Offer(t.Button(msg("button.rotation-change"), "rotation", "edit", r.ID), t.Button(msg("button.rotation-stop"), "rotation", "stop", r.ID))
	return out
}

// rotationToday is the first line: the recipe of today and where in its turn
// it is.
func rotationToday(t *talk.Turn, r *planner.Rotation) string {
	today, dogs := t.Date(), dogNames(t, r.Dogs)
	turn, id := r.On(today)
	if turn < 0 {
		_, first := r.On(r.Start)
		return msg("rotation.begins", "day", say.DayText(r.Start), "recipe", talk.RecipeName(t, first), "dogs", dogs)
	}
	if id != r.Turns[turn].Recipe {
		return msg("rotation.instead", "recipe", talk.RecipeName(t, id), "order", talk.RecipeName(t, r.Turns[turn].Recipe), "dogs", dogs)
	}
	days := r.Turns[turn].Days
	return msg("rotation.began", "recipe", talk.RecipeName(t, id), "n", days-r.LeftOn(today)+1, "days", days, "dogs", dogs)
}

// calendar are the days from today, or from the first day where that is
// later. It sets the legend where a day differs from the order.
func calendar(t *talk.Turn, r *planner.Rotation, legend *string) (rows []say.TableRow) {
	day := t.Date()
	if day.Before(r.Start) {
		day = r.Start
	}
	const room = say.TableWidth - len("Wed 25 Nov * ")
	for range calendarDays {
		turn, id := r.On(day)
		label := say.DayText(day)
		if turn >= 0 && id != r.Turns[turn].Recipe {
			label += " *"
			*legend = msg("rotation.legend")
		}
		rows = append(rows, say.TableRow{Label: label, Cells: []string{text.Snip(talk.RecipeName(t, id), room, "…")}})
		day = day.AddDays(1)
	}
	return rows
}

// someDaysText says which recipes of a rotation are not for every day.
func someDaysText(t *talk.Turn, r *planner.Rotation) string {
	var names []string
	for _, w := range r.Turns {
		if some := t.Recipe(w.Recipe); some != nil && some.Standing.Kind == planner.ForSomeDays && !slices.Contains(names, some.Name) {
			names = append(names, some.Name)
		}
	}
	return say.Where(len(names) > 0, msg("rotation.some-days", "recipes", say.List(names), "n", len(names)))
}

// switchingText says which dogs of a rotation are being switched to it, or
// to another recipe, and do not eat by it yet.
func switchingText(t *talk.Turn, r *planner.Rotation) string {
	return say.LinesOf(r.Dogs, func(id string) string {
		d, tr := t.Dog(id), planner.TransitionOf(t.Home, id)
		if d == nil || tr == nil || tr.Over(t.Date()) {
			return ""
		}
		return msg("rotation.switching", "dog", d.Name, "old", tr.Old)
	})
}

// pressRotation does what a button about a rotation asks.
func pressRotation(t *talk.Turn, args []string) {
	if talk.Arg(args, 0) == "new" {
		askRotation(t, rotationDraft{New: true})
		return
	}
	r := rotation(t, talk.Arg(args, 1))
	if r == nil {
		t.SayMsg("press.gone").InPlace = t.Event.Message
		return
	}
	switch talk.Arg(args, 0) {
	case "show":
		showRotation(t, r, "")
	case "skip", "repeat", "swap", "edit", "stop":
		if stamp := talk.Arg(args, 2); stamp != "" && stamp != say.StampOfDate(t.Date()) {
			day, _ := say.DateOfStamp(stamp)
			showRotation(t, r, msg("rotation.old-button", "day", say.DayText(day)))
			break
		}
		rotationVerbs()[args[0]](t, r)
	case "pair":
		a, okA := say.DateOfStamp(talk.Arg(args, 2))
		b, okB := say.DateOfStamp(talk.Arg(args, 3))
		if !okA || !okB || a.Before(t.Date()) {
			showRotation(t, r, msg("rotation.old-button", "day", say.DayText(a)))
			break
		}
		exchange(t, r, read.Exchange{Day: a, With: b})
	case "really":
		stopRotation(t, r)
	case "cycle":
		cycle(t, r, t.Dog(talk.Arg(args, 2)))
		return
	case "table":
		if c, ok := lookCycle(t, r, t.Dog(talk.Arg(args, 2))); ok {
			balance.SayTable(t, c.whole, nutrition.AsAnalysed)
		}
		return
	default:
		t.SayMsg("press.stale")
	}
	if len(t.Replies) > 0 {
		t.Replies[0].InPlace = t.Event.Message
	}
}

// dogNames are the dogs of a rotation; one that no dog eats is a plan, which can
// be published.
func dogNames(t *talk.Turn, dogs []string) string {
	return cmp.Or(talk.DogNames(t, dogs), msg("rotation.nobody"))
}

// PlanName is a rotation by its dogs, or by its order where no dog eats it.
func PlanName(t *talk.Turn, r planner.Rotation) string {
	return cmp.Or(talk.DogNames(t, r.Dogs), orderText(t, r.Turns))
}

// notForText says which recipes of a rotation have what its dogs may not
// have.
func notForText(t *talk.Turn, r planner.Rotation) string {
	var lines []string
	for _, id := range r.Dogs {
		for _, w := range r.Turns {
			if d, recipe := t.Dog(id), t.Recipe(w.Recipe); d != nil && recipe != nil {
				if s := dogs.ExcludedText(t, d, *recipe); s != "" && !slices.Contains(lines, s) {
					lines = append(lines, s)
				}
			}
		}
	}
	return say.JoinParas(lines...)
}

// orderText prints turns: "Turkey and heart 4 days, Lamb and mackerel 3 days".
func orderText(t *talk.Turn, turns []planner.Turn) string {
	parts := say.Each(turns, func(w planner.Turn) string {
		return msg("rotation.turn", "recipe", talk.RecipeName(t, w.Recipe), "n", w.Days)
	})
	return strings.Join(parts, ", ")
}

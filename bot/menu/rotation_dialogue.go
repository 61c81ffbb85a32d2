package menu

import (
	"errors"
	"slices"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// rotationDialogue takes the answer to the open question about a rotation.
func rotationDialogue(t *talk.Turn, d rotationDraft, in talk.Answer) {
	goesOn := false
	switch t.Talk.Step {
	case "order":
		goesOn = answerOrder(t, &d, in)
	case "days":
		goesOn = answerTurnDays(t, &d, in)
	case "dogs":
		goesOn = answerRotationDogs(t, &d, in)
	case "start":
		if today, ok := t.Understand(in.Text); ok && today.Intent == read.Today && t.Event.At.Sub(d.Asked) > answersSoon {
			t.GoTo(today)
			goesOn = true
			break
		}
		d.Start = dayAnswered(t, in, func() { askRotation(t, d) })
		goesOn = !d.Start.IsZero()
	case "swap":
		if r := rotation(t, d.ID); r != nil {
			takeExchange(t, r, in.Value())
		} else {
			t.Gone()
		}
	}
	if goesOn {
		askRotation(t, d)
	}
}

// answersSoon is for how long after a first day was asked for a bare "today"
// is that day. Later it is far more often what a carer types each morning to
// see the bowls, and the question is asked again (our own choice: an answer
// comes within minutes).
const answersSoon = 10 * time.Minute

// answerOrder takes a recipe that was pressed, or the order as typed.
func answerOrder(t *talk.Turn, d *rotationDraft, in talk.Answer) (goesOn bool) {
	switch {
	case in.Press == "all", in.Press == "" && len(d.Turns) > 1 && read.Said("rotation-done", in.Text):
		d.Whole = true
		return true
	case in.Press != "" && t.Recipe(in.Press) == nil:
		t.SayMsg("press.gone")
	case in.Press != "":
		d.Turns = append(d.Turns, planner.Turn{Recipe: in.Press})
		return true
	default:
		if _, err := read.OrderText(in.Text, t.Names(), t.Event.At); err == nil || !t.Asked(in.Text) { // else the question stays
			takeOrder(t, *d, in.Text)
		}
	}
	return false
}

// answerTurnDays takes for how many days the first recipe without days runs.
func answerTurnDays(t *talk.Turn, d *rotationDraft, in talk.Answer) (goesOn bool) {
	i := slices.IndexFunc(d.Turns, func(w planner.Turn) bool { return w.Days == 0 })
	days, ok := read.DayCount(in.Value())
	switch ok = ok && days >= 1 && days <= planner.MostTurnDays; {
	case i >= 0 && ok:
		d.Turns[i].Days = days
	case i >= 0 && (in.Press != "" || !t.Asked(in.Text)):
		talk.Wrong(t, msg("rotation-wrong.days", "what", say.Short(in.Value()), "most", planner.MostTurnDays), func() { askRotation(t, *d) })
	}
	return i < 0 || ok
}

// answerRotationDogs takes whom a rotation is for.
func answerRotationDogs(t *talk.Turn, d *rotationDraft, in talk.Answer) (goesOn bool) {
	if in.Press == "none" || in.Press == "" && read.ForNobody(in.Text) {
		d.Nobody = true
		return true
	}
	d.Dogs, goesOn = talk.DogsAnswered(t, in, func() { askRotation(t, *d) })
	return goesOn
}

// dayAnswered reads the day that an answer means; where it is none, or
// passed, it says so, asks again and returns no day.
func dayAnswered(t *talk.Turn, in talk.Answer, ask func()) planner.Date {
	var day planner.Date
	var err error
	if in.Press != "" {
		day, err = planner.ParseDate(in.Press)
	} else {
		day, err = span.Date(in.Text, t.Event.At)
	}
	var p span.Problem
	switch {
	case err == nil && day.Before(t.Date()), errors.As(err, &p) && p.Code == span.PastDate:
		talk.Wrong(t, msg("rotation-wrong.past", "what", say.Short(in.Value())), ask)
	case err == nil:
		return day
	case in.Press == "" && t.Asked(in.Text):
	default:
		talk.Wrong(t, msg("rotation-wrong.date", "what", say.Short(in.Value())), ask)
	}
	return planner.Date{}
}

// sayOrderProblem says why an order as typed was not understood, and keeps
// the question open.
func sayOrderProblem(t *talk.Turn, d rotationDraft, err error) {
	var p span.Problem
	if !errors.As(err, &p) {
		t.Fail(err)
		return
	}
	if len(t.Home.Recipes) < 2 {
		askRotation(t, d)
		return
	}
	talk.Wrong(t, orderProblem(t, p), func() { askNextTurn(t, d) })
}

// orderProblem is what is wrong with an order as typed.
func orderProblem(t *talk.Turn, p span.Problem) string {
	what := say.Short(p.Part)
	switch p.Code {
	case read.UnknownRecipe:
		names := talk.RecipeNames(t)
		return msg("rotation-wrong.recipe", "what", what, "recipes", say.List(names), "n", len(names))
	case read.UnknownDog:
		return msg("rotation-wrong.dogs", "what", what, "dogs", talk.DogNames(t, talk.AllDogs(t)), "n", len(t.Home.Dogs))
	case read.NotDays:
		return msg("rotation-wrong.days", "what", what, "most", planner.MostTurnDays)
	case span.PastDate:
		return msg("rotation-wrong.past", "what", what)
	case span.BadDate, span.AmbiguousDate, span.NoDate:
		return msg("rotation-wrong.date", "what", what)
	case span.Empty:
		return msg("rotation-wrong.no-turns")
	}
	return say.ProblemText(p)
}

package bot

import (
	"errors"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// rotationDialogue takes the answer to the open question about a rotation.
func (t *turn) rotationDialogue(in answer) {
	var d rotationDraft
	t.draft(&d)
	switch t.talk.Step {
	case "order":
		t.answerOrder(d, in)
	case "days":
		t.answerTurnDays(d, in)
	case "dogs":
		t.answerRotationDogs(d, in)
	case "start":
		if today, ok := t.understand(in.text); ok && today.Intent == read.Today && t.event.At.Sub(d.Asked) > answersSoon {
			t.goTo(today)
			t.askRotation(d)
			return
		}
		d.Start = t.dayAnswered(in, func() { t.askRotation(d) })
		if !d.Start.IsZero() {
			t.askRotation(d)
		}
	case "swap":
		r := t.rotation(d.ID)
		if r == nil {
			t.endDialogue()
			t.sayMsg("press.gone")
			return
		}
		t.takeExchange(r, in.value())
	}
}

// answersSoon is for how long after a first day was asked for a bare "today"
// is that day. Later it is far more often what a carer types each morning to
// see the bowls, and the question is asked again (our own choice: an answer
// comes within minutes).
const answersSoon = 10 * time.Minute

// answerOrder takes a recipe that was pressed, or the order as typed.
func (t *turn) answerOrder(d rotationDraft, in answer) {
	switch {
	case in.press == "all":
		d.Whole = true
		t.askRotation(d)
	case in.press != "" && t.recipe(in.press) == nil:
		t.sayMsg("press.gone")
	case in.press != "":
		d.Turns = append(d.Turns, planner.Turn{Recipe: in.press})
		t.askRotation(d)
	case isDone(in.text) && len(d.Turns) > 1:
		d.Whole = true
		t.askRotation(d)
	default:
		if _, err := read.OrderText(in.text, t.names(), t.event.At); err != nil && t.asked(in.text) {
			return // something else was asked, and the question stays
		}
		t.takeOrder(d, in.text)
	}
}

// isDone reports that a person has no more to add.
func isDone(s string) bool {
	switch strings.ToLower(strings.Trim(s, " .!")) {
	case "done", "that is all", "thats all", "that's all", "all", "no more", "nothing", "ready", "end":
		return true
	}
	return false
}

// answerTurnDays takes for how many days the first recipe without days runs.
func (t *turn) answerTurnDays(d rotationDraft, in answer) {
	i := slices.IndexFunc(d.Turns, func(w planner.Turn) bool { return w.Days == 0 })
	if i < 0 {
		t.askRotation(d)
		return
	}
	days, ok := read.DayCount(in.value())
	if !ok || days < 1 || days > planner.MostTurnDays {
		if in.press == "" && t.asked(in.text) {
			return
		}
		t.wrong(msg("rotation-wrong.days", "what", short(in.value()), "most", planner.MostTurnDays), func() { t.askRotation(d) })
		return
	}
	d.Turns[i].Days = days
	t.askRotation(d)
}

// answerRotationDogs takes whom a rotation is for.
func (t *turn) answerRotationDogs(d rotationDraft, in answer) {
	if ids, ok := t.dogsAnswered(in, func() { t.askRotation(d) }); ok {
		d.Dogs = ids
		t.askRotation(d)
	}
}

// wrong says what is wrong with an answer and asks again, in one message.
func (t *turn) wrong(text string, ask func()) {
	n := len(t.replies)
	ask()
	if len(t.replies) == n {
		t.say(para(text))
		return
	}
	t.replies[n].Body = append([]Block{para(text)}, t.replies[n].Body...)
}

// dogsAnswered reads which dogs an answer means; where it means none it says
// so and asks again.
func (t *turn) dogsAnswered(in answer, ask func()) (ids []string, ok bool) {
	if d := t.dog(in.press); d != nil {
		return []string{d.ID}, true
	}
	all := in.press == "all"
	if in.press == "" {
		ids, all, ok = read.DogsText(in.text, t.names())
	}
	if all {
		return t.allDogs(), true
	}
	if ok || in.press == "" && t.asked(in.text) {
		return ids, ok
	}
	t.wrong(msg("rotation-wrong.dogs", "what", short(in.value()), "dogs", t.dogNames(t.allDogs()), "n", len(t.home.Dogs)), ask)
	return nil, false
}

// allDogs are the ids of the household's dogs.
func (t *turn) allDogs() (ids []string) {
	for i := range t.home.Dogs {
		ids = append(ids, t.home.Dogs[i].ID)
	}
	return ids
}

// dayAnswered reads the day that an answer means; where it is none, or
// passed, it says so, asks again and returns no day.
func (t *turn) dayAnswered(in answer, ask func()) planner.Date {
	var day planner.Date
	var err error
	if in.press != "" {
		day, err = planner.ParseDate(in.press)
	} else {
		day, err = read.Date(in.text, t.event.At)
	}
	var p read.Problem
	switch {
	case err == nil && day.Before(t.date()), errors.As(err, &p) && p.Code == read.PastDate:
		t.wrong(msg("rotation-wrong.past", "what", short(in.value())), ask)
	case err == nil:
		return day
	case in.press == "" && t.asked(in.text):
	default:
		t.wrong(msg("rotation-wrong.date", "what", short(in.value())), ask)
	}
	return planner.Date{}
}

// sayOrderProblem says why an order as typed was not understood, and keeps
// the question open.
func (t *turn) sayOrderProblem(d rotationDraft, err error) {
	var p read.Problem
	if !errors.As(err, &p) {
		t.fail(err)
		return
	}
	if len(t.home.Recipes) < 2 || len(t.home.Dogs) == 0 {
		t.askRotation(d)
		return
	}
	t.wrong(t.orderProblem(p), func() { t.askNextTurn(d) })
}

// orderProblem is what is wrong with an order as typed.
func (t *turn) orderProblem(p read.Problem) string {
	what := short(p.Part)
	switch p.Code {
	case read.UnknownRecipe:
		names := t.recipeNames()
		return msg("rotation-wrong.recipe", "what", what, "recipes", list(names), "n", len(names))
	case read.UnknownDog:
		return msg("rotation-wrong.dogs", "what", what, "dogs", t.dogNames(t.allDogs()), "n", len(t.home.Dogs))
	case read.NotDays:
		return msg("rotation-wrong.days", "what", what, "most", planner.MostTurnDays)
	case read.PastDate:
		return msg("rotation-wrong.past", "what", what)
	case read.BadDate, read.AmbiguousDate, read.NoDate:
		return msg("rotation-wrong.date", "what", what)
	case read.Empty:
		return msg("rotation-wrong.no-turns")
	}
	return problemText(p)
}

// rotationAgain asks the open question about a rotation once more.
func (t *turn) rotationAgain() {
	var d rotationDraft
	t.draft(&d)
	t.askRotation(d)
}

package bot

import (
	"errors"
	"slices"
	"strings"

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
		if day, ok := t.dayAnswered(in); ok {
			d.Start = day
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
		if _, err := read.OrderText(in.text, t.names(), t.event.At); err != nil && t.sentence(in.text) {
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
		if in.press == "" && t.sentence(in.text) {
			return
		}
		t.sayMsg("rotation-wrong.days", "what", short(in.value()), "most", planner.MostTurnDays).offer(t.stopButton())
		return
	}
	d.Turns[i].Days = days
	t.askRotation(d)
}

// answerRotationDogs takes whom a rotation is for.
func (t *turn) answerRotationDogs(d rotationDraft, in answer) {
	ids, ok := t.dogsAnswered(in)
	if !ok {
		return
	}
	d.Dogs = ids
	t.askRotation(d)
}

// dogsAnswered reads which dogs an answer means; where it means none it says
// so.
func (t *turn) dogsAnswered(in answer) (ids []string, ok bool) {
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
	if ok || in.press == "" && t.sentence(in.text) {
		return ids, ok
	}
	t.sayMsg("rotation-wrong.dogs", "what", short(in.value()), "dogs", t.dogNames(t.allDogs()), "n", len(t.home.Dogs)).offer(t.stopButton())
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
// passed, it says so.
func (t *turn) dayAnswered(in answer) (planner.Date, bool) {
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
		t.sayMsg("rotation-wrong.past", "what", short(in.value())).offer(t.stopButton())
	case err == nil:
		return day, true
	case in.press == "" && t.sentence(in.text):
	default:
		t.sayMsg("rotation-wrong.date", "what", short(in.value())).offer(t.stopButton())
	}
	return planner.Date{}, false
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
	t.ask("rotation", "order", d)
	what := short(p.Part)
	var out *Reply
	switch p.Code {
	case read.UnknownRecipe:
		names := make([]string, len(t.home.Recipes))
		for i := range t.home.Recipes {
			names[i] = t.home.Recipes[i].Name
		}
		out = t.sayMsg("rotation-wrong.recipe", "what", what, "recipes", list(names), "n", len(names), "example", t.orderExample())
	case read.NotDays:
		out = t.sayMsg("rotation-wrong.days", "what", what, "most", planner.MostTurnDays)
	case read.PastDate:
		out = t.sayMsg("rotation-wrong.past", "what", what)
	case read.BadDate, read.AmbiguousDate, read.NoDate:
		out = t.sayMsg("rotation-wrong.date", "what", what)
	case read.Empty:
		out = t.sayMsg("rotation-wrong.no-turns", "example", t.orderExample())
	default:
		out = t.say(para(problemText(p)))
	}
	out.offer(t.stopButton())
}

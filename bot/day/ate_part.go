package day

import (
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// answerAtePart records how much of a meal a dog has eaten: of the last one fed
// if that was not long ago, else of the one that is due.
func answerAtePart(t *talk.Turn, d *planner.Dog, _ read.Sentence) {
	share, ok := read.PartEaten(t.Event.Text)
	if !ok {
		t.SayMsg("part.ask", "dog", d.Name)
		return
	}
	e, full := mealEaten(t, d)
	if full == 0 {
		t.SayMsg("part.no-meal", "dog", d.Name)
		return
	}
	t.Mutate("did.fed", d.Name)
	e.Kcal, e.Text = full*nutrition.Kcal(share), say.Short(t.Event.Text)
	e = t.Note(e)
	talk.DropSnooze(t, e.Of)
	talk.SayDone(t, msg("part.noted", "dog", d.Name, "kcal", say.Kcal(e.Kcal), "full", say.Kcal(full), "how", talk.EntryText(t, e)))
}

// mealEaten is the entry of the meal of which a carer tells how much was eaten,
// and the kcal of the whole; 0 where there is none.
func mealEaten(t *talk.Turn, d *planner.Dog) (planner.Entry, nutrition.Kcal) {
	meal := 0
	e, fed := lastFed(t, d)
	if !fed || e.Date != t.Date() || t.Event.At.Sub(e.At) > saidWindow {
		e = planner.Entry{Kind: planner.Fed, Dog: d.ID}
		_, o, due := mealNow(t, d)
		if due {
			e.Of, e.Date, meal = o.ID, o.Date, mealAt(*d, o.Clock)
			for _, old := range talk.Answered(t, o) {
				e.ID = old.ID // skipped, and yet eaten in part
			}
		}
	} else if o, _, ok := t.Home.Occurrence(e.Of); ok {
		meal = mealAt(*d, o.Clock)
	}
	if m, _ := MealFor(t, d, t.Date(), meal); m != nil {
		e.Recipe = m.Recipe.ID
		return e, m.kcal()
	}
	return e, 0
}

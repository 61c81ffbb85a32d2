package bot

import (
	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// answerAtePart enters the part of a meal that a dog has eaten: of the meal
// that was fed last where that is not long ago, else of the one that is due.
func (t *turn) answerAtePart(d *planner.Dog, _ read.Sentence) {
	share, ok := read.PartEaten(t.event.Text)
	if !ok {
		t.sayMsg("part.ask", "dog", d.Name)
		return
	}
	e, full := t.mealEaten(d)
	if full == 0 {
		t.sayMsg("part.no-meal", "dog", d.Name)
		return
	}
	t.mutate("did.fed", d.Name)
	e.Kcal, e.Text = full*nutrition.Kcal(share), short(t.event.Text)
	e = t.note(e)
	t.dropSnooze(e.Of)
	t.settled(msg("part.noted", "dog", d.Name, "kcal", kcal(e.Kcal), "full", kcal(full), "how", t.entryText(e)))
}

// mealEaten is the entry of the meal that a carer means who tells how much of
// it was eaten, and the kcal of the whole; 0 where there is none.
func (t *turn) mealEaten(d *planner.Dog) (planner.Entry, nutrition.Kcal) {
	meal := 0
	e, fed := t.lastFed(d)
	if !fed || e.Date != t.date() || t.event.At.Sub(e.At) > saidWindow {
		e = planner.Entry{Kind: planner.Fed, Dog: d.ID}
		_, o, due := t.mealNow(d)
		if due {
			e.Of, e.Date, meal = o.ID, o.Date, mealAt(*d, o.Clock)
			for _, old := range t.answered(o) {
				e.ID = old.ID // skipped, and yet eaten in part
			}
		}
	} else if o, _, ok := t.home.Occurrence(e.Of); ok {
		meal = mealAt(*d, o.Clock)
	}
	if m, _ := t.mealFor(d, t.date(), meal); m != nil {
		e.Recipe = m.recipe.ID
		return e, m.kcal()
	}
	return e, 0
}

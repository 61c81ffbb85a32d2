package day

import (
	"slices"
	"time"

	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
)

// movedWithin is for how long what was told of a dog may be said to be of another
// (our own choice).
const movedWithin = 2 * time.Hour

// OtherDog has what this carer told last of a dog be of another, and reports whether
// there was anything; of which other it asks where there are several.
func OtherDog(t *talk.Turn) bool {
	kinds := []planner.EntryKind{planner.Treat, planner.Fed, planner.NotFed, planner.Weighed}
	all := t.Entries(store.EntryQuery{Kinds: kinds, From: t.Event.At.AddDate(0, 0, -1), Newest: true, Limit: 20})
	all = slices.DeleteFunc(all, func(e planner.Entry) bool {
		return e.Person != t.Event.Person || t.Event.At.Sub(e.Entered) > movedWithin
	})
	if len(all) == 0 {
		return false
	}
	last := slices.MaxFunc(all, func(a, b planner.Entry) int { return a.Entered.Compare(b.Entered) })
	if last.Kind == planner.Weighed {
		return false
	}
	var others []*planner.Dog
	for _, d := range t.Dogs() {
		if d.ID != last.Dog && d.Died.IsZero() {
			others = append(others, d)
		}
	}
	switch len(others) {
	case 0:
		return false
	case 1:
		moveEntry(t, last.ID, others[0])
		return true
	}
	out := t.SayMsg("moved.which")
	for _, d := range others {
		out.Offer(t.Button(d.Name, "treat", "move", d.ID, last.ID))
	}
	return true
}

// moveEntry has an entry be of another dog: a meal, of that dog's meal at about the
// same time.
func moveEntry(t *talk.Turn, id string, d *planner.Dog) {
	e, ok := t.Entry(id)
	from := t.Dog(e.Dog)
	if !ok || from == nil || d.ID == e.Dog {
		t.SayMsg("press.gone")
		return
	}
	t.Mutate("did.moved", d.Name)
	t.Unnote(e)
	e.ID, e.Dog = "", d.ID
	what := msg("moved."+string(e.Kind), "kcal", say.Kcal(e.Kcal))
	if e.Kind != planner.Treat {
		e.Of, e.Kcal, e.Recipe = "", 0, ""
		meal := 0
		if r, o, due := mealAbout(t, d, e.At); due && r != nil && len(talk.Answered(t, o)) == 0 {
			e.Of, e.Date, meal = o.ID, o.Date, mealAt(*d, o.Clock)
		}
		if m, _ := MealFor(t, d, e.Date, meal); m != nil && e.Kind == planner.Fed {
			e.Kcal, e.Recipe = m.kcal(), m.Recipe.ID
		}
	}
	t.Note(e)
	t.Talk.Dog = d.ID
	talk.SayDone(t, msg("moved.done", "dog", d.Name, "other", from.Name, "what", what))
}

package urgent

import (
	"slices"
	"strings"

	"bowlwright/bot/day"
	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/read/span"
	"bowlwright/bot/recipes"
	"bowlwright/bot/remind"
	"bowlwright/bot/talk"
	"bowlwright/bot/weighing"
	"bowlwright/planner"
)

// leaves takes of a dog that it will not eat a recipe other than its own, or a food that
// is not the most of its own, which is no sign of illness: the one it is not to get, for
// the other there is something else.
func leaves(t *talk.Turn, a alarm.Alarm, s string) bool {
	of, named := dogsMeant(t, a), span.Mentions(s, t.Names().Recipes)
	if is, ok := t.Understand(s); ok && is.Intent == read.EatsNot {
		return talk.Sentence(t, s)
	} else if len(of) != 1 {
		return false
	}
	d := of[0]
	now, _ := planner.RecipeOn(t.Home, d.ID, t.Date())
	if len(named) == 1 && strings.Trim(s[named[0].To:], " .!") == "" && read.Says("leaves-food", s[:named[0].From]) && now != "" && now != named[0].ID && planner.RotationOf(t.Home, d.ID) == nil {
		t.GoTo(read.Sentence{Intent: read.EatsNot, Dog: d.ID, Recipe: named[0].ID})
		return true
	}
	r, food := t.Home.UsualOn(d, t.Date()), read.Find("leaves-one", s)
	if r == nil || food == "" {
		return false
	}
	if some := recipes.FindAllIn(t, r, food); len(some) != 1 || 2*r.Grams(some[0].Key) >= r.Grams("") {
		return false
	}
	t.GoTo(read.Sentence{Intent: read.Swap, Dog: d.ID, Recipe: r.ID, FoodList: []string{food, read.Find("leaves-for", s)}})
	t.Replies[len(t.Replies)-1].Add(msg("urgent.leaves-more", "dog", d.Name))
	return true
}

// besides does what is told beside a sign: a weight, the vet's number, a dose, and a meal that was not eaten
// and is to come off the record.
func besides(t *talk.Turn, a alarm.Alarm, s string) {
	if all := weights(t, s); len(all) == 0 || t.Talk.Kind != "" || !weighing.WeighWords(t, strings.Join(all, ", ")) {
		weighing.SaidBeside(t, s)
	}
	for _, part := range read.Clauses(read.Pattern("clause-ends").ReplaceAllString(s, ", ")) {
		of := a.Dogs
		if _, _, named := talk.DogsIn(t, part); len(named) == 1 {
			of = []string{named[0].ID}
		}
		another := func(id string) bool { return !slices.Contains(a.Dogs, id) }
		switch is, ok := t.Understand(part); {
		case a.Seen && t.Alarm(part).Level == alarm.Watch && slices.ContainsFunc(t.Alarm(part).Dogs, another):
			sayWatch(t, t.Alarm(part), signTold(t, part))
		case ok && is.Words != "" && strings.HasPrefix(string(is.Intent), "set.place."):
			t.As(part, func() bool { t.GoTo(is); return true })
		case a.Seen && (is.Intent == read.MealHalf || read.Says("meal-denied", part)): // "the vet says no breakfast today"
			t.As(part, func() bool { t.RouteWords(part); return true })
		case a.Eaten == nil && !a.Twice && t.Talk.Kind == "" && read.SaysGiven(part) && len(remind.GivenNamed(t, part, of)) > 0:
			day.GivenWords(t, part)
		}
	}
	if no := read.Find("no-dose", s); a.Seen && no != "" {
		t.Aside(no)
	}
	if a.Uneaten && read.Says("take-off", s) {
		day.TakeOff(t, dogsMeant(t, a))
	}
}

// weights are the parts of a text that tell what a dog weighs, and no more.
func weights(t *talk.Turn, s string) []string {
	return slices.DeleteFunc(read.Pattern("joined").Split(s, -1), func(part string) bool {
		_, _, is := read.NamedWeight(part, t.Names(), t.Home.Units)
		return !is
	})
}

// heard is what is told of signs and dangers, of the dogs of which more is told than what
// they weigh, else of the one whose health is asked about.
func heard(t *talk.Turn, s string) alarm.Alarm {
	a, rest := t.Alarm(s), s
	for _, part := range weights(t, s) {
		rest = strings.Replace(rest, part, "", 1)
	}
	if of := t.Alarm(rest).Dogs; len(of) > 0 {
		a.Dogs = of
	} else if t.Talk.Kind == "dog-edit" && t.Talk.Step == "health" {
		var draft dogs.EditDraft
		t.Draft(&draft)
		a.Dogs = []string{draft.Dog}
	} else if !a.Both && !a.Every && a.Eaten == nil { // who ate another's is not said by whose it is
		a.Dogs = whoseMedicine(t, s)
	}
	if d := t.Dog(strings.Join(a.Dogs, " ")); d != nil && a.Signs && a.Eaten == nil {
		a.Dogs = []string{shownBy(t, d, s).ID}
	}
	return a
}

// shownBy is the dog that shows a sign where a text names only one: not Rex in "she puked and
// Rex ate his dinner", but the only other.
func shownBy(t *talk.Turn, named *planner.Dog, s string) *planner.Dog {
	for _, part := range read.Clauses(s) {
		sex := read.SexSaid(part)
		of := slices.DeleteFunc(t.Living(), func(d *planner.Dog) bool { return !talk.MayBe(d, sex) })
		if a := t.Alarm(part); a.Signs && len(a.Dogs) == 0 && !talk.MayBe(named, sex) && len(of) == 1 {
			return of[0]
		}
	}
	return named
}

// whoseMedicine is the dog that has the medicine of a reminder that a text names, where
// it is only one: "meloxicam not given, he didn't eat enough".
func whoseMedicine(t *talk.Turn, s string) (dogs []string) {
	for _, r := range t.Home.Reminders {
		word := slices.ContainsFunc(span.SplitWords(r.Text), func(w span.Token) bool { return alarm.NamesMedicine(w.Text) && read.HasName(s, w.Text) })
		if word && r.Dog != "" && !slices.Contains(dogs, r.Dog) {
			dogs = append(dogs, r.Dog)
		}
	}
	if len(dogs) != 1 {
		return nil
	}
	return dogs
}

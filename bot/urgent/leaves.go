package urgent

import (
	"strings"

	"bowlwright/bot/day"
	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/read/span"
	"bowlwright/bot/talk"
	"bowlwright/bot/weighing"
	"bowlwright/planner"
)

// leavesOther reads of a dog that it will not eat a recipe other than its own,
// which is no sign of illness but a recipe that it is not to get.
func leavesOther(t *talk.Turn, a alarm.Alarm, s string) (read.Sentence, bool) {
	of := span.Mentions(s, t.Names().Recipes)
	if len(a.Dogs) != 1 || len(of) != 1 || strings.Trim(s[of[0].To:], " .!") != "" || !read.Says("leaves-food", s[:of[0].From]) {
		return read.Sentence{}, false
	}
	now, _ := planner.RecipeOn(t.Home, a.Dogs[0], t.Date())
	other := now != "" && now != of[0].ID && planner.RotationOf(t.Home, a.Dogs[0]) == nil
	return read.Sentence{Intent: read.EatsNot, Dog: a.Dogs[0], Recipe: of[0].ID}, other
}

// besides does what is told beside a sign: a weight, the vet's number, and a meal that was not eaten
// and is to come off the record.
func besides(t *talk.Turn, a alarm.Alarm, s string) {
	weighing.SaidBeside(t, s)
	for _, part := range read.Clauses(read.Pattern("clause-ends").ReplaceAllString(s, ", ")) {
		if is, ok := t.Understand(part); ok && is.Words != "" && strings.HasPrefix(string(is.Intent), "set.place.") {
			t.GoTo(is)
		}
	}
	if a.Uneaten && read.Says("take-off", s) {
		day.TakeOff(t, dogsMeant(t, a))
	}
}

package bot

import (
	"bowlwright/bot/read"
	"bowlwright/planner"
)

// courtesy answers what asks and tells nothing: a greeting with the day where
// there is one to tell, thanks in a word.
func (t *turn) courtesy(s string) bool {
	switch read.CourtesyOf(s) {
	case read.Greeting:
		if t.newcomer || len(t.home.Dogs) == 0 {
			t.hello()
			return true
		}
		t.today()
	case read.Thanks:
		t.sayMsg("courtesy.thanks")
	case read.YesOrNo:
		t.sayMsg("courtesy.yes-or-no").offer(t.button(msg("button.today"), "today"), t.button(msg("button.help"), "help"))
	default:
		return false
	}
	return true
}

// answerSick names the vet where a dog shows signs that are not for a feeding
// plan (the order of urgency as after a change of food). A meal that waits for
// an answer can be left out.
func (t *turn) answerSick(s read.Sentence) {
	name := msg("sick.the-dog")
	var skip []Button
	if d := t.dogMeant(s); d != nil {
		t.talk.Dog = d.ID
		name = d.Name
		for _, o := range t.openMeals([]string{d.ID}) {
			skip = append(skip, t.dueButton(msg("button.skip-meal", "when", o.Clock.String()), "skip", o))
		}
		if tr := planner.TransitionOf(t.home, d.ID); tr != nil && !tr.Over(t.date()) {
			skip = append(skip, t.button(msg("button.transition-show"), "transition", "show", d.ID))
		}
	}
	t.say(para(msg("transition.vet", "dog", name)), para(msg("sick.no-plan"))).offer(skip...)
}

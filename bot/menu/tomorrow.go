package menu

import (
	"strings"

	"bowlwright/bot/balance"
	"bowlwright/bot/bowls"
	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// answerTomorrow says what a dog gets tomorrow, or every dog: what is to be
// thawed is taken out today.
func answerTomorrow(t *talk.Turn, s read.Sentence) {
	if len(t.Home.Dogs) == 0 {
		t.SayMsg("today.no-dogs").Offer(t.Button(msg("button.add-dog"), "dog", "add"))
		return
	}
	if d := t.Dog(s.Dog); d != nil {
		bowlTomorrow(t, d)
		return
	}
	for _, d := range t.Dogs() {
		bowlTomorrow(t, d)
	}
}

// BareTomorrow answers "tomorrow" where it answers no question.
func BareTomorrow(t *talk.Turn, s string) bool {
	if !strings.EqualFold(strings.Trim(s, " .!?"), "tomorrow") {
		return false
	}
	answerTomorrow(t, read.Sentence{Intent: read.Tomorrow})
	return true
}

// bowlTomorrow says what a dog gets tomorrow, by what is known of it today.
func bowlTomorrow(t *talk.Turn, d *planner.Dog) {
	t.Talk.Dog = d.ID
	n, day := planner.AmountOf(*d, t.Event.At), t.Date().AddDays(1)
	head := say.Para(msg("bowl.tomorrow", "day", say.DayText(day)))
	if dogs.Held(t, d) {
		return
	}
	if tr, r := talk.Switching(t, d, day); tr != nil {
		t.Say(append([]say.Block{head}, portionBlocks(t, tr, d, r, day)...)...)
		return
	}
	id, _ := planner.RecipeOn(t.Home, d.ID, day)
	r := t.Recipe(id)
	if r == nil {
		r = t.OnlyRecipe(d)
	}
	if r == nil {
		bowls.NoRecipe(t, d, n)
		return
	}
	e := bowls.Eater{Name: d.Name, Need: n, Meals: talk.MealsOf(*d), Units: t.Home.Units, Dog: d}
	if balance.ToBeCooked(t, r) {
		return
	}
	if far := balance.FarOver(t, d, r); far != "" {
		balance.OfferMissing(t, t.Say(say.Para(far)), d, r, far)
		return
	}
	failing := balance.Failing(t, d, r)
	if out := bowls.SayBowl(t, e, r, say.JoinParas(balance.FailsText(t, d, r, balance.StillFailing(t, d, r, failing)), balance.RiskText(t, d, r), dogs.ExcludedText(t, d, *r), dogs.GateText(t, *d, n))); out != nil {
		out.Begin(head.Text)
		balance.OfferMissing(t, out, d, r, failing)
	}
}

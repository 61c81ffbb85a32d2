package bot

import (
	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// answerLasts says for how many days an amount of a recipe is enough: for the
// dog that is named, else for all together.
func (t *turn) answerLasts(s read.Sentence) {
	if len(t.home.Dogs) == 0 {
		t.whoFeeds()
		return
	}
	r := t.recipeMeant(s)
	if r == nil {
		return
	}
	t.talk.Recipe = r.ID
	sum, err := planner.TotalsOf(*r, t.foods)
	if err != nil {
		t.say(para(t.recipeTrouble(r, err)))
		return
	}
	var ids []string
	var need nutrition.Kcal
	for i := range t.home.Dogs {
		if d := &t.home.Dogs[i]; s.Dog == "" || s.Dog == d.ID {
			if t.held(d) {
				return
			}
			ids = append(ids, d.ID)
			need += planner.AmountOf(*d, t.event.At).Kcal
		}
	}
	if !sum.Energy.Complete || sum.Energy.Mid <= 0 || need <= 0 || sum.Grams <= 0 {
		t.say(para(t.recipeEnergy(r, sum)))
		return
	}
	aDay := nutrition.Grams(float64(need) / sum.Energy.Mid * float64(sum.Grams))
	t.say(para(msg("lasts.days", "days", trim(float64(s.Grams/aDay), 1), "grams", mass(s.Grams, t.unitsOf(s)), "recipe", r.Name, "dogs", t.dogNames(ids))),
		para(msg("lasts.why", "day", mass(aDay, t.home.Units), "kcal", kcal(need)))).
		offer(t.button(msg("button.storing"), "food", "storing"))
}

// sayRaw says what there is to know of feeding raw.
func (t *turn) sayRaw() { t.sayMsg("raw.text") }

// sayStoring says how food is kept; whether it may be frozen again comes first
// where that is asked.
func (t *turn) sayStoring() {
	keeps, again := para(msg("storing.text")), para(msg("storing.again"))
	if read.SaysFreezing(t.event.Text) {
		t.say(again, keeps)
		return
	}
	t.say(keeps, again)
}

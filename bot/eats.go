package bot

import (
	"bowlwright/bot/read"
	"bowlwright/planner"
)

// answerEats has a dog eat another recipe from now on, as a sentence says.
func (t *turn) answerEats(s read.Sentence) {
	r := t.recipe(s.Recipe)
	if r == nil {
		if r = t.recipeMeant(s); r == nil {
			return
		}
	}
	if d := t.dogMeant(s); d != nil && (s.Dog != "" || len(t.home.Dogs) == 1) {
		t.eatFromNow(d, r)
		return
	}
	if len(t.home.Dogs) == 0 {
		t.whoFeeds()
		return
	}
	out := t.sayMsg("who.which")
	for i := range t.home.Dogs {
		out.offer(t.button(t.home.Dogs[i].Name, "bowl", "eat", t.home.Dogs[i].ID, r.ID))
	}
}

// eatFromNow has a dog eat a recipe from now on. A dog that is being switched
// or eats by a rotation goes on as that says, and it is shown.
func (t *turn) eatFromNow(d *planner.Dog, r *planner.Recipe) {
	if t.held(d) {
		return
	}
	t.talk.Dog, t.talk.Recipe = d.ID, r.ID
	if tr, _ := t.switching(d, t.date()); tr != nil {
		t.showTransition(tr, "")
		return
	}
	if planner.RotationOf(t.home, d.ID) != nil {
		t.sayMsg("eats.by-rotation", "dog", d.Name)
		t.rotations()
		return
	}
	before := t.recipe(d.Recipe)
	if before != nil && before.ID == r.ID {
		t.sayMsg("eats.already", "dog", d.Name, "recipe", r.Name).offer(t.button(msg("button.bowl"), "bowl", "dog", d.ID))
		return
	}
	t.mutate("did.eats", d.Name)
	d.Recipe = r.ID
	slowly := ""
	if before != nil {
		slowly = msg("eats.slowly", "dog", d.Name, "recipe", r.Name)
	}
	tooMuch := t.tooMuchText(r, d)
	t.inPlace(t.say(para(msg("due.eats", "dog", d.Name, "recipe", r.Name)), para(slowly), para(tooMuch), para(t.excludedText(d, *r))).
		offer(t.button(msg("button.bowl"), "bowl", "dog", d.ID), t.undoButton()))
}

// askEats asks whether a new dog eats the only recipe, where nothing else of it
// has to be known before.
func (t *turn) askEats(out *Reply, d *planner.Dog) {
	if d.Recipe != "" || len(t.home.Recipes) != 1 || !d.Classed() || planner.AmountOf(*d, t.event.At).Waits() {
		return
	}
	r := &t.home.Recipes[0]
	out.Body = append(out.Body, para(msg("eats.ask", "dog", d.Name, "recipe", r.Name)))
	out.offer(t.button(msg("button.eats", "recipe", r.Name), "bowl", "eat", d.ID, r.ID))
}

// offerFromNow offers to keep to a recipe of which a bowl is shown and that
// the dog does not eat.
func (t *turn) offerFromNow(out *Reply, d *planner.Dog, r *planner.Recipe) {
	if id, _ := planner.RecipeOn(t.home, d.ID, t.date()); id == r.ID || planner.RotationOf(t.home, d.ID) != nil {
		return
	}
	if tr, _ := t.switching(d, t.date()); tr == nil {
		out.offer(t.button(msg("button.from-now"), "bowl", "eat", d.ID, r.ID))
	}
}

package bot

import (
	"bowlwright/bot/read"
	"bowlwright/planner"
)

// names are the household's dogs and recipes for reading sentences, and what
// was read of the turn's text already. Once the household is changed they are
// made anew.
func (t *turn) names() read.Names {
	if t.changed {
		return t.namesNow()
	}
	if t.known == nil || t.knownOf != t.home {
		n := t.namesNow().Keep()
		t.known, t.knownOf = &n, t.home
	}
	return *t.known
}

func (t *turn) namesNow() read.Names {
	var n read.Names
	for i := range t.home.Dogs {
		n.Dogs = append(n.Dogs, read.Named{ID: t.home.Dogs[i].ID, Name: t.home.Dogs[i].Name})
	}
	for i := range t.home.Recipes {
		n.Recipes = append(n.Recipes, read.Named{ID: t.home.Recipes[i].ID, Name: t.home.Recipes[i].Name})
	}
	return n
}

// sentence answers a sentence, and reports whether it was one.
func (t *turn) sentence(s string) bool {
	got, ok := t.understand(s)
	if (!ok || forMany[got.Intent] || t.reg.together[got.Intent] != nil) && got.Weight == 0 && t.manyDogs(s) {
		return true
	}
	if !ok {
		return false
	}
	if t.doubtful(s) {
		return true
	}
	if got.Weight > 0 && t.reg.hears.Ill(t, got) { // whatever is asked of such a dog
		return true
	}
	do, ok := t.reg.answers[got.Intent]
	if ok {
		do(t, got)
	}
	return ok
}

// understood is the sentence that a text was read as.
type understood struct {
	text string
	is   read.Sentence
	ok   bool
}

// understand reads what was typed as a sentence. The news that a dog has
// eaten something is looked for before all else, so the same text is asked for
// again; nothing changes the names and units that it rests on in between.
func (t *turn) understand(s string) (read.Sentence, bool) {
	if t.before != nil || t.last == nil || t.last.text != s {
		is, ok := read.Understand(s, t.names(), t.home.Units)
		t.last = &understood{s, is, ok}
	}
	return t.last.is, t.last.ok
}

// who returns the dog that a sentence means: named, described in words, or
// the one under discussion. Where it is not clear it asks and reports false.
func (t *turn) who(s read.Sentence, verb string) (d *planner.Dog, described bool, ok bool) {
	switch {
	case s.Weight > 0:
		return nil, true, true
	case t.dog(s.Dog) != nil:
		return t.dog(s.Dog), false, true
	case t.talkedOf() != nil:
		return t.talkedOf(), false, true
	case len(t.home.Dogs) == 0:
		t.sayMsg("who.none").offer(t.button(msg("button.add-dog"), "dog", "add"))
		return nil, false, false
	}
	r := t.sayMsg("who.which")
	for i := range t.home.Dogs {
		r.offer(t.button(t.home.Dogs[i].Name, verb, "dog", t.home.Dogs[i].ID))
	}
	return nil, false, false
}

// recipeMeant is the recipe a sentence means; where it is not clear it says
// so and returns nil.
func (t *turn) recipeMeant(s read.Sentence) *planner.Recipe {
	r := t.recipe(s.Recipe)
	if r == nil {
		r = t.theRecipe(t.dog(s.Dog))
	}
	switch {
	case r != nil:
		return r
	case len(t.home.Recipes) == 0:
		t.sayMsg("scale.no-recipe").offer(t.button(msg("button.add-recipe"), "recipe", "add"))
	default:
		t.goTo(read.Sentence{Intent: read.ListRecipes})
	}
	return nil
}

// onDog answers a sentence about a dog of the household: the one named, or
// the one under discussion.
func onDog(do func(*turn, *planner.Dog, read.Sentence)) func(*turn, read.Sentence) {
	return func(t *turn, s read.Sentence) {
		d := t.dogMeant(s)
		if d == nil {
			t.whichDog()
			return
		}
		t.talk.Dog = d.ID
		do(t, d, s)
	}
}

// onRecipe answers a sentence about a recipe of the household.
func onRecipe(do func(*turn, *planner.Recipe, read.Sentence)) func(*turn, read.Sentence) {
	return func(t *turn, s read.Sentence) {
		if r := t.recipeMeant(s); r != nil {
			do(t, r, s)
		}
	}
}

func (t *turn) setActivity(d *planner.Dog, s read.Sentence) {
	changed := *d
	changed.Activity = s.Activity
	t.changeDog(d.ID, changed)
}

func (t *turn) setCondition(d *planner.Dog, s read.Sentence) {
	changed := *d
	changed.Condition = s.Condition
	if err := changed.Validate(t.event.At); err != nil {
		t.say(para(msg("wrong.condition")))
		return
	}
	if changed.Condition == d.Condition && d.Condition > 0 { // looked at anew, and the same
		t.recordScore(d, changed.Condition, false)
		return
	}
	t.changeDog(d.ID, changed)
}

func (t *turn) setMeals(d *planner.Dog, s read.Sentence) {
	changed := *d
	if wrong := takeDogMeals(t, &changed, answer{text: trim(s.Count, 2)}); wrong != "" {
		t.say(para(wrong))
		return
	}
	t.changeDog(d.ID, changed)
}

// setStage notes that a dog is pregnant or nursing, or is so no more. An
// illness that is named is noted, else it is asked for by name: it is what a
// vet plans by.
func (t *turn) setStage(d *planner.Dog, s read.Sentence) {
	changed := *d
	switch s.Stage {
	case read.StagePregnant, read.StageNursing:
		breeds(&changed, s.Stage)
	case read.StageNone:
		changed.Stage = ""
	case read.StageOverweight:
		t.goTo(read.Sentence{Intent: read.AskScore, Dog: d.ID})
		return
	default:
		if len(planner.Illness(t.event.Text)) == 0 || !t.dogFacts(t.event.Text) {
			t.editDog(d, "health")
		}
		return
	}
	t.happened(&litterTold{d, changed})
}

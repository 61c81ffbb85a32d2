package menu

import (
	"slices"
	"strings"

	"bowlwright/bot/balance"
	"bowlwright/bot/bowls"
	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// answerEats has a dog eat another recipe from now on, as a sentence says.
func answerEats(t *talk.Turn, s read.Sentence) {
	r := talk.RecipeMeant(t, s)
	if r == nil {
		return
	}
	if d := talk.DogMeant(t, s); d != nil && (s.Dog != "" || len(t.Home.Dogs) == 1) {
		if !eatLater(t, d, r) {
			eatFromNow(t, d, r)
		}
		return
	}
	if len(t.Home.Dogs) == 0 {
		talk.WhoFeeds(t)
		return
	}
	talk.OfferDogs(t, t.SayMsg("who.which"), "bowl", "eat", r.ID)
}

// eatLater has a dog eat a recipe from a day to come on, or on that day alone, where
// what was typed names one, and reports whether it does.
func eatLater(t *talk.Turn, d *planner.Dog, r *planner.Recipe) bool {
	o, err := read.OtherFoodText(talk.WithoutDogs(t, t.OfDays()), t.Event.At)
	if err != nil || !t.Date().Before(o.From) || r.Topper() || planner.RotationOf(t.Home, d.ID) != nil {
		return false
	}
	askOther(t, otherDraft{Dogs: []string{d.ID}, From: o.From, Until: o.Until, Name: r.Name, Recipe: r.ID})
	return true
}

// alone reports that some other food is all that a dog eats until further notice.
func alone(o planner.Other) bool { return o.Lasting() && o.Share == 0 && o.At == planner.EveryMeal }

// eatFromNow has a dog eat a recipe from now on. A dog that is being switched
// or eats by a rotation goes on as that says, and it is shown.
func eatFromNow(t *talk.Turn, d *planner.Dog, r *planner.Recipe) {
	if dogs.Held(t, d) {
		return
	}
	t.Talk.Dog, t.Talk.Recipe = d.ID, r.ID
	if r.Topper() {
		t.SayMsg("eats.topper", "dog", d.Name, "recipe", r.Name).Offer(t.Button(msg("button.bowl"), "bowl", "recipe", d.ID, r.ID))
		return
	}
	if tr, _ := talk.Switching(t, d, t.Date()); tr != nil {
		ShowTransition(t, tr, "")
		return
	}
	if planner.RotationOf(t.Home, d.ID) != nil {
		t.SayMsg("eats.by-rotation", "dog", d.Name)
		rotations(t)
		return
	}
	before := t.Recipe(d.Recipe)
	planned := slices.ContainsFunc(t.Home.Others, func(o planner.Other) bool { return o.Dog == d.ID && alone(o) })
	if before != nil && before.ID == r.ID && !planned {
		t.SayMsg("eats.already", "dog", d.Name, "recipe", r.Name).Offer(t.Button(msg("button.bowl"), "bowl", "dog", d.ID))
		return
	}
	if no := dogs.ExcludedText(t, d, *r); no != "" {
		t.AskedSure("eats", "sure", d.ID, r.ID)
		t.Say(say.Whole(no), say.Para(msg("eats.sure", "dog", d.Name, "recipe", r.Name))).
			Offer(t.Button(msg("button.eats", "recipe", r.Name), "eats", "sure", d.ID, r.ID), t.Button(msg("button.keep"), "dog", "show", d.ID))
		return
	}
	eat(t, d, r.ID)
}

// eat has a dog eat a recipe from now on, whatever is in it.
func eat(t *talk.Turn, d *planner.Dog, recipe string) {
	r := t.Recipe(recipe)
	if talk.Gone(t, r == nil) {
		return
	}
	slowly := say.Where(t.Recipe(d.Recipe) != nil, msg("eats.slowly", "dog", d.Name, "recipe", r.Name))
	t.Mutate("did.eats", d.Name)
	d.Eat(r.ID)
	t.Home.EndOther(d.ID, t.Date(), alone)
	wrong := balance.TooMuchText(t, r, d)
	if planner.Growing(*d, t.Event.At) { // what a puppy lacks bends its bones within weeks
		wrong = balance.FailsText(t, d, r, balance.FailingText(balance.FailingsOf(t, r, d)))
	}
	t.InPlace(t.Say(say.Para(msg("due.eats", "dog", d.Name, "recipe", r.Name)), say.Para(slowly), say.Whole(wrong), say.Whole(balance.KeptText(t, d, r))).
		Offer(t.Button(msg("button.bowl"), "bowl", "dog", d.ID), t.UndoButton()))
}

// answerEatsNot takes a recipe off a dog, so that there is no bowl of it.
func answerEatsNot(t *talk.Turn, d *planner.Dog, s read.Sentence) {
	if tr, _ := talk.Switching(t, d, t.Date()); tr != nil {
		ShowTransition(t, tr, "")
		return
	}
	r := talk.RecipeMeant(t, s)
	if r == nil || dogs.LeavesOutOf(t, d, r) {
		return
	}
	t.Mutate("did.eats", d.Name)
	d.EatNot(r.ID)
	next, instead := msg("eats.no-recipe", "dog", d.Name), t.Recipe(s.Other)
	if id, ok := planner.RecipeOn(t.Home, d.ID, t.Date()); ok {
		next, instead = msg("eats.next", "dog", d.Name, "recipe", talk.RecipeName(t, id)), nil
	}
	t.Say(say.Para(msg("eats.not", "dog", d.Name, "recipe", r.Name)), say.Para(say.Where(instead == nil, next)), say.Para(msg("eats.not-sign", "dog", d.Name))).Offer(t.UndoButton())
	if instead != nil { // "only Chicken pot"
		eatFromNow(t, d, instead)
	}
}

// askEats asks whether a new dog eats the only recipe, where nothing else of it
// has to be known before.
func askEats(t *talk.Turn, out *say.Reply, d *planner.Dog) {
	r := t.Home.MayEatOnly(d)
	if d.Recipe != "" || r == nil || !d.Classed() || planner.AmountOf(*d, t.Event.At).Waits() {
		return
	}
	out.Add(msg("eats.ask", "dog", d.Name, "recipe", r.Name))
	out.Offer(t.Button(msg("button.eats", "recipe", r.Name), "bowl", "eat", d.ID, r.ID))
}

// offerFromNow offers to keep to a recipe of which a bowl is shown and that
// the dog does not eat.
func offerFromNow(t *talk.Turn, out *say.Reply, d *planner.Dog, r *planner.Recipe) {
	if id, _ := planner.RecipeOn(t.Home, d.ID, t.Date()); id == r.ID || r.Topper() || planner.RotationOf(t.Home, d.ID) != nil {
		return
	}
	if tr, _ := talk.Switching(t, d, t.Date()); tr == nil {
		out.Offer(t.Button(msg("button.from-now"), "bowl", "eat", d.ID, r.ID))
	}
}

// nextOnText says on which day a recipe's turn comes that is not today's.
func nextOnText(t *talk.Turn, d *planner.Dog, r *planner.Recipe) string {
	for n := 0; n < calendarDays && planner.RotationOf(t.Home, d.ID) != nil; n++ {
		day := t.Date().AddDays(n)
		if id, _ := planner.RecipeOn(t.Home, d.ID, day); id == r.ID {
			return say.Where(n > 0, msg("rotation.next-on", "recipe", r.Name, "day", say.DayText(day)))
		}
	}
	return ""
}

// answerTomorrow says what a dog gets tomorrow or on the day to come that is named, or
// every dog: what is to be thawed is taken out before.
func answerTomorrow(t *talk.Turn, s read.Sentence) {
	if len(t.Home.Dogs) == 0 {
		t.SayMsg("today.no-dogs").Offer(t.Button(msg("button.add-dog"), "dog", "add"))
		return
	}
	day := t.Date().AddDays(1)
	if o, err := read.OtherFoodText(talk.WithoutDogs(t, t.OfDays()), t.Event.At); err == nil && o.Day {
		day = o.From
	}
	of, d := t.Dogs(), t.Dog(s.Dog)
	if d == nil && read.SaysShe(t.AsTyped()) {
		d = talk.TheDog(t)
	}
	if d != nil {
		of = []*planner.Dog{d}
	}
	for _, d := range of {
		bowlOn(t, d, day)
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

// bowlOn says what a dog gets on a day to come, by what is known of it today.
func bowlOn(t *talk.Turn, d *planner.Dog, day planner.Date) {
	t.Talk.Dog = d.ID
	n := planner.AmountOf(*d, t.Event.At)
	head := say.Para(msg(say.Choose(t.Date().DaysTo(day) == 1, "bowl.tomorrow", "bowl.on"), "day", say.DayText(day)))
	if dogs.Held(t, d) || dogs.SignHeld(t, d, nil) {
		return
	}
	if len(planner.OthersOn(t.Home, d.ID, day)) > 0 {
		showFare(t, d, day, head.Text)
		return
	}
	if tr, r := talk.Switching(t, d, day); tr != nil {
		t.Say(append([]say.Block{head}, portionBlocks(t, tr, d, r, day)...)...)
		return
	}
	r := t.Home.UsualOn(d, day)
	if r == nil {
		bowls.NoRecipe(t, d, n)
		return
	}
	if out := bowls.ForDog(t, d, r, n); out != nil {
		out.Begin(head.Text)
		sayNotSet(t, d, r, out)
	}
}

// WithoutWords answers that a food is left out for some days, and reports whether a
// text was that: "no fish this week". What a dog never gets is for good, so nothing
// becomes of its profile; the recipes in use that have the food are named.
func WithoutWords(t *talk.Turn, s string) bool {
	is, ok := t.Understand(s)
	if !ok || is.Intent != read.EatsWithout || !read.Excludable(is.Food) || len(t.Home.Dogs) == 0 {
		return false
	}
	of := dogsSaid(t, is.Dog)
	if len(of) == 0 {
		of = talk.AllDogs(t)
	}
	var with, without []string
	for i := range t.Home.Recipes {
		r := &t.Home.Recipes[i]
		has := slices.ContainsFunc(r.Ingredients, func(in planner.Ingredient) bool {
			f := t.Foods.Food(in.Food)
			return f != nil && nutrition.Excluded(f, []string{is.Food})
		})
		eaten := slices.ContainsFunc(of, func(id string) bool {
			today, _ := planner.RecipeOn(t.Home, id, t.Date())
			rot := planner.RotationOf(t.Home, id)
			return today == r.ID || rot != nil && rot.Has(r.ID)
		})
		switch {
		case has && eaten:
			with = append(with, r.Name)
		case !has && !r.Topper():
			without = append(without, r.Name)
		}
	}
	if len(with) == 0 {
		t.SayMsg("without.none", "food", is.Food, "dogs", talk.DogNames(t, of))
		return true
	}
	instead := ""
	if len(without) > 0 {
		instead = msg("without.instead", "dog", t.Dog(of[0]).Name, "recipe", without[0])
	}
	t.Say(say.Para(msg("without.with", "food", is.Food, "recipes", say.List(with), "n", len(with))), say.Para(instead), say.Para(msg("without.good", "food", is.Food, "dog", t.Dog(of[0]).Name)))
	return true
}

package menu

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// askOther asks for what is not known of the food yet, and has the dogs eat it
// once all is.
func askOther(t *talk.Turn, d otherDraft) {
	switch {
	case len(t.Home.Dogs) == 0:
		talk.NoDog(t)
		return
	case len(d.Dogs) == 0 && len(t.Home.Dogs) == 1:
		d.Dogs = talk.AllDogs(t)
	case len(d.Dogs) == 0:
		t.Ask("other", "dog", d)
		talk.DogButtons(t, t.SayMsg("other.ask-dog"), "dog").Offer(t.Answer(msg("button.rotation-everyone"), "dog", "all"), t.StopButton())
		return
	}
	for _, id := range d.Dogs {
		if !mayEatOther(t, t.Dog(id), &d) {
			t.EndIf("other")
			return
		}
	}
	if d.Recipe == "" && len(d.Open)+len(d.Lines) == 0 {
		t.Ask("other", "food", d)
		out := t.SayMsg("other.ask-food", "dogs", talk.DogNames(t, d.Dogs))
		for i := range min(len(t.Home.Recipes), 4) {
			out.Offer(t.Answer(t.Home.Recipes[i].Name, "food", "recipe:"+t.Home.Recipes[i].ID))
		}
		out.Offer(t.StopButton())
		return
	}
	for len(d.Open) > 0 {
		if !lookUp(t, &d, d.Open[0]) {
			return
		}
		d.Open = d.Open[1:]
	}
	setOther(t, d)
}

// mayEatOther reports that a dog's food may be replaced, and says why where it may
// not: gates come first, a diabetic dog's meals go with its insulin, and what lasts
// waits for the end of a switch.
func mayEatOther(t *talk.Turn, dog *planner.Dog, d *otherDraft) bool {
	switch {
	case dog == nil:
		t.SayMsg("press.gone")
		return false
	case dogs.Held(t, dog):
		return false
	case dog.Diabetic():
		t.SayMsg("other.diabetic", "dog", dog.Name)
		return false
	}
	if tr, _ := talk.Switching(t, dog, t.Date()); tr != nil && d.lasting() {
		t.SayMsg("other.switching", "dog", dog.Name, "old", tr.Old).Offer(t.Button(msg("button.transition-show"), "transition", "show", dog.ID))
		return false
	}
	return true
}

// lookUp takes one food into the draft, or asks what it is; false where that has to
// be answered first, or where dogs must not eat it.
func lookUp(t *talk.Turn, d *otherDraft, what string) bool {
	if r := t.RecipeSaid(what); r != nil && len(d.Open) == 1 && len(d.Lines) == 0 {
		if r.Topper() {
			t.EndIf("other")
			t.SayMsg("other.topper", "recipe", r.Name)
			return false
		}
		d.Recipe, d.Name = r.ID, r.Name
		return true
	}
	if got := t.RecipeText(what); len(got.Problems) == 0 && len(got.Lines) == 1 && got.Lines[0].Ingredient != nil {
		in := got.Lines[0].Ingredient // "300 g chicken breast", "two eggs"
		return d.add(t, t.Foods.Food(in.Food), in.Grams, what)
	}
	name, grams := read.AmountOff(what)
	found := t.Foods.Find(name)
	switch {
	case found.Refused != nil:
		t.EndIf("other")
		recipes.SayRefused(t, found.Refused)
		return false
	case found.Food != nil:
		return d.add(t, found.Food, grams, what)
	case len(found.Choices) > 0:
		t.Ask("other", "which", *d)
		out := t.SayMsg("other.which", "food", say.Short(name))
		for _, f := range found.Choices {
			out.Offer(t.Answer(f.Name, "which", f.Key))
		}
		out.Offer(t.StopButton())
		return false
	}
	if len(strings.Fields(name)) > mostNamed || namesNoFood(t, name) {
		t.EndIf("other")
		t.SayMsg("meant.fed.other", talk.Examples(t)...)
		return false
	}
	askOtherLabel(t, *d, "")
	return false
}

// namesNoFood reports that words are no food: a question, a time, or such as everybody says,
// of which none is a food's: "never homemade".
func namesNoFood(t *talk.Turn, s string) bool {
	of := func(w string) bool { return t.Foods.Find(w).Known() && nutrition.KnownWord(w) }
	return read.IsQuestion(s) || read.Says("only-time", s) || read.EverydayWords(s) && !read.Says("dog-food", s) && !slices.ContainsFunc(strings.Fields(s), of)
}

// add takes a food into the draft; of one whose kcal no one knows it asks.
func (d *otherDraft) add(t *talk.Turn, f *nutrition.Food, grams nutrition.Grams, typed string) bool {
	if f == nil || f.Per100[nutrition.Energy].IsUnknown() {
		askOtherLabel(t, *d, "")
		return false
	}
	d.Lines = append(d.Lines, planner.Ingredient{Food: f.Key, Grams: cmp.Or(grams, evenGrams), Typed: typed})
	return true
}

// evenGrams is what each food counts for where no amounts are told: foods without
// amounts are taken in equal parts by weight (our own choice), and that is said.
const evenGrams nutrition.Grams = 100

// askOtherLabel asks for the label of a food that no table has.
func askOtherLabel(t *talk.Turn, d otherDraft, wrong string) {
	t.Ask("other", "label", d)
	t.Say(say.Para(wrong), say.Para(msg("other.ask-label", "food", say.Short(d.Open[0])))).Offer(t.StopButton())
}

// otherDialogue takes the answer to the open question about other food.
func otherDialogue(t *talk.Turn, d otherDraft, in talk.Answer) {
	switch t.Talk.Step {
	case "dog":
		ids, ok := talk.DogsAnswered(t, in, func() { askOther(t, d) })
		if !ok {
			return
		}
		d.Dogs = ids
	case "food":
		if id, ok := strings.CutPrefix(in.Press, "recipe:"); ok && t.Recipe(id) != nil {
			d.Open = []string{talk.RecipeName(t, id)}
			break
		}
		if in.Press == "" && t.Aside(in.Text) {
			return
		}
		d.Name, d.Open = in.Value(), foodsSaid(t, in.Value())
	case "which":
		name, grams := read.AmountOff(d.Open[0])
		f := cmp.Or(t.Foods.Food(in.Press), t.Foods.Find(in.Value()).Food, recipes.FoodChosen(t, name, in.Text))
		switch again := func() { askOther(t, d) }; {
		case f == nil && in.Press == "" && (t.Aside(in.Text) || t.Elsewhere(in.Text, again)):
			return
		case f == nil:
			t.NotUnderstood(in.Value())
			again()
			return
		case !d.add(t, f, grams, d.Open[0]):
			return
		}
		d.Open = d.Open[1:]
	case "label":
		if !takeOtherLabel(t, &d, in) {
			return
		}
	}
	askOther(t, d)
}

// takeOtherLabel keeps the food as one of the household's own, by what its label
// says: the kcal alone, or more.
func takeOtherLabel(t *talk.Turn, d *otherDraft, in talk.Answer) bool {
	name, grams := read.AmountOff(d.Open[0])
	l, problems := foodline.LabelText(say.Capital(name) + ": " + in.Text)
	if per100, err := read.Density(in.Text); err == nil && (len(problems) > 0 || l.Per100[nutrition.Energy] == 0) {
		l = foodline.Label{Name: say.Capital(name), Per100: map[nutrition.Nutrient]float64{nutrition.Energy: per100}}
		problems = nil
	}
	kcal := l.Per100[nutrition.Energy]
	switch {
	case in.Press == "" && len(problems) > 0 && (t.Aside(in.Text) || t.Elsewhere(in.Text, func() { askOtherLabel(t, *d, "") })):
		return false
	case len(problems) > 0 || kcal == 0:
		askOtherLabel(t, *d, msg("other.no-kcal", "what", say.Short(in.Value())))
		return false
	case oddKcal(kcal) != "":
		askOtherLabel(t, *d, oddKcal(kcal))
		return false
	}
	f := recipes.OwnFood(t, l, nutrition.Other)
	d.Lines = append(d.Lines, planner.Ingredient{Food: f.Key, Grams: cmp.Or(grams, evenGrams), Typed: d.Open[0]})
	d.Open = d.Open[1:]
	return true
}

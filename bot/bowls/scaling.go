package bowls

import (
	"slices"
	"strings"

	"bowlwright/bot/balance"
	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/portions"
)

// scaleDraft is the state of the dialogue that scales a recipe.
type scaleDraft struct {
	Recipe string `json:"recipe"`
}

// scaleCommand scales what the rest names, or asks.
func scaleCommand(t *talk.Turn, rest string) {
	named, last := t.RecipeNamed(rest), talk.TheRecipe(t, nil)
	switch {
	case len(t.Home.Recipes) == 0:
		t.SayMsg("scale.no-recipe").Offer(t.Button(msg("button.add-recipe"), "recipe", "add"))
	case rest != "" && talk.Sentence(t, "scale "+rest):
	case named != nil:
		askScale(t, named)
	case rest != "" && last != nil && scaleTyped(t, last, rest):
	case rest != "":
		t.SayMsg("wrong.scale", "text", say.Short(rest))
	case len(t.Home.Recipes) == 1:
		askScale(t, &t.Home.Recipes[0])
	default:
		out := t.SayMsg("ask.scale-which")
		for _, r := range t.Recipes() {
			out.Offer(t.Button(r.Name, "scale", "ask", r.ID))
		}
	}
}

// askScale asks what a recipe is to be scaled to.
func askScale(t *talk.Turn, r *planner.Recipe) {
	t.Talk.Recipe = r.ID
	t.Ask("scale", "to", scaleDraft{Recipe: r.ID})
	out := t.SayMsg("ask.scale-to", "recipe", r.Name)
	out.Offer(say.Each(t.Dogs()[:min(len(t.Home.Dogs), 3)], func(d *planner.Dog) say.Button {
		return t.Button(msg("button.for", "dog", d.Name), "bowl", "recipe", d.ID, r.ID)
	})...)
	out.Offer(t.Button(msg("button.days", "n", 7), "scale", "days", r.ID, "7"),
		t.Button("1 kg", "scale", "grams", r.ID, "1000"), t.Button("1000 kcal", "scale", "kcal", r.ID, "1000"))
	out.Offer(t.Button(msg("button.half"), "scale", "by", r.ID, "0.5"), t.Button(msg("button.double"), "scale", "by", r.ID, "2"),
		t.StopButton())
}

// scaleDialogue takes a typed target.
func scaleDialogue(t *talk.Turn, d scaleDraft, in talk.Answer) {
	r := t.Recipe(d.Recipe)
	if r == nil {
		t.Gone()
		return
	}
	t.EndDialogue()
	if scaleTyped(t, r, in.Value()) || talk.Sentence(t, in.Value()) {
		return
	}
	t.Ask("scale", "to", d)
	t.SayMsg("wrong.scale", "text", say.Short(in.Value())).Offer(t.StopButton())
}

// scaleTyped scales to a target named without the recipe: "2 kg", "for a 12
// kg dog", "5 days", "x1.5", "900 g turkey thigh".
func scaleTyped(t *talk.Turn, r *planner.Recipe, s string) bool {
	words := strings.TrimPrefix(strings.TrimSpace(s), "to ")
	names := t.Names()
	for _, frame := range []string{"scale " + r.Name + " to " + words, "scale " + r.Name + " " + words,
		"make " + r.Name + " for " + words, "make " + r.Name + " " + words, "I have " + words} {
		got, ok := read.Understand(frame, names, t.Home.Units)
		if ok && (got.Intent == read.ScaleRecipe || got.Intent == read.MakeDays || got.Intent == read.HaveFood) && hasTarget(got) {
			got.Recipe = r.ID
			scale(t, r, got)
			return true
		}
	}
	return false
}

func hasTarget(s read.Sentence) bool {
	return s.Dog != "" || s.Weight > 0 || s.Days > 0 || s.Grams > 0 || s.Kcal > 0 || s.Factor > 0
}

// scale says a recipe scaled to what a sentence names.
func scale(t *talk.Turn, r *planner.Recipe, s read.Sentence) {
	t.Talk.Recipe = r.ID
	if hasTarget(s) && balance.ToBeCooked(t, r) {
		return
	}
	switch {
	case s.Intent == read.HaveFood:
		scaleToFood(t, r, s)
	case s.Days > 0:
		scaleToDays(t, r, s)
	case s.Dog != "":
		if d := t.Dog(s.Dog); d != nil {
			Bowl(t, d, r)
		}
	case s.Weight > 0:
		scaleToWords(t, r, s)
	case s.Kcal > 0:
		f, err := planner.FactorForKcal(*r, t.Foods, s.Kcal)
		sayScaled(t, r, f, err, msg("scaled.kcal", "kcal", say.Trim(float64(s.Kcal), 0)))
	case s.Grams > 0:
		f, err := planner.FactorForGrams(*r, s.Grams)
		sayScaled(t, r, f, err, msg("scaled.grams", "grams", say.Mass(s.Grams, dogs.UnitsOf(t, s))))
	case s.Factor > 0:
		sayScaled(t, r, s.Factor, nil, msg("scaled.factor", "factor", say.Trim(s.Factor, 2)))
	default:
		askScale(t, r)
	}
}

// scaleToFood scales to the amount of one ingredient that there is.
func scaleToFood(t *talk.Turn, r *planner.Recipe, s read.Sentence) {
	f := recipes.FindIn(t, r, s.Food)
	if f == nil {
		t.SayMsg("scale.not-in-recipe", "food", say.Short(s.Food), "recipe", r.Name)
		return
	}
	factor, err := planner.FactorForIngredient(*r, f.Key, s.Grams)
	if err == nil {
		factor = notMoreThan(t, *r, f.Key, s.Grams, factor)
	}
	if made := sayScaled(t, r, factor, err, msg("scaled.food", "grams", say.Mass(s.Grams, t.Home.Units), "food", f.Name)); made != nil {
		t.Happened(made)
	}
}

// notMoreThan makes a factor smaller until the rounded recipe asks for no
// more of a food than there is.
func notMoreThan(t *talk.Turn, r planner.Recipe, food string, have nutrition.Grams, factor float64) float64 {
	for range 20 {
		scaled, err := planner.Scale(r, factor)
		if err != nil {
			return factor
		}
		rounded, _ := portions.RoundParts(gramsOf(scaled), t.Home.Units)
		var asked nutrition.Grams
		for i, in := range scaled.Ingredients {
			if in.Food == food {
				asked += rounded[i]
			}
		}
		if asked <= have+1e-9 {
			return factor
		}
		factor *= 0.9975
	}
	return factor
}

// gramsOf are the grams of a recipe's ingredients.
func gramsOf(r planner.Recipe) []nutrition.Grams {
	return say.Each(r.Ingredients, func(in planner.Ingredient) nutrition.Grams { return in.Grams })
}

// scaleToDays makes food for a number of days, for the dog named or for all
// dogs together.
func scaleToDays(t *talk.Turn, r *planner.Recipe, s read.Sentence) {
	switch {
	case t.Dog(s.Dog) != nil:
		Days(t, r, s.Days, t.Dog(s.Dog))
	case s.Weight > 0:
		if d := this(dogs.DogOfWords(t, s)); !heldInWords(t, d) {
			sayDays(t, r, s.Days, dogs.Describe(t, s), &d)
		}
	case len(t.Home.Dogs) == 0:
		t.SayMsg("scale.days-for-whom").Offer(t.Button(msg("button.add-dog"), "dog", "add"))
	default:
		Days(t, r, s.Days, slices.DeleteFunc(t.Dogs(), func(d *planner.Dog) bool { return !d.MayEat(r.ID) })...)
	}
}

// Days makes food of a recipe for a number of days for dogs of the household;
// those whose food is held are told of.
func Days(t *talk.Turn, r *planner.Recipe, days float64, of ...*planner.Dog) {
	of = slices.DeleteFunc(slices.Clone(of), func(d *planner.Dog) bool { return dogs.Held(t, d) || dogs.SignHeld(t, d, r) })
	if len(of) == 0 {
		return
	}
	if made := sayDays(t, r, days, talk.NamesOf(of), of...); made != nil {
		made.Dogs, made.Days = of, days
		t.Happened(made)
	}
}

// sayDays says what food for some days is made of; nil where none is made.
func sayDays(t *talk.Turn, r *planner.Recipe, days float64, who string, of ...*planner.Dog) *talk.FoodMade {
	var total, whole nutrition.Kcal
	for _, d := range of {
		aDay, over := Over(t, d, r, days)
		total, whole = total+aDay, whole+over
	}
	f, err := planner.FactorForKcal(*r, t.Foods, whole)
	less := whole < total*nutrition.Kcal(days)*(1-lessByPlan)
	made := sayScaled(t, r, f, err, msg(say.Choose(less, "scaled.days-switch", "scaled.days"), "n", say.Trim(days, 1), "who", who, "kcal", say.Kcal(total)), of...)
	if made != nil {
		made.Out.Add(StandsFor(r, total))
	}
	return made
}

// lessByPlan is by how much what dogs eat in some days must be less than so many of
// their days, so that it is said (our own choice).
const lessByPlan = 0.01

// Over is what a dog eats of a recipe in kcal: a day and, from tomorrow on, in some days.
// In a switch to it that is more from day to day; a day is then the last of them.
func Over(t *talk.Turn, d *planner.Dog, r *planner.Recipe, days float64) (aDay, whole nutrition.Kcal) {
	kcal := r.Share(balance.FoodKcal(t, d, planner.AmountOf(*d, t.Event.At).Kcal))
	aDay = kcal * LastingShare(t, d, r, t.Date())
	if is := planner.TransitionOf(t.Home, d.ID); is == nil || is.NewRecipe(t.Home) != r.ID || days > mostSwitched {
		return aDay, aDay * nutrition.Kcal(days)
	}
	for n := 1; float64(n-1) < days; n++ {
		aDay = kcal * LastingShare(t, d, r, t.Date().AddDays(n))
		whole += aDay * nutrition.Kcal(min(days-float64(n-1), 1))
	}
	return aDay, whole
}

// mostSwitched is for how many days food of a switch is looked up day by day (our own
// choice: a switch is over long before).
const mostSwitched = 400

// LastingShare is what part of a dog's food a recipe is where it eats other food
// beside until further notice; all of it where it does not, or where it eats
// another recipe now.
func LastingShare(t *talk.Turn, d *planner.Dog, r *planner.Recipe, day planner.Date) nutrition.Kcal {
	other := 0.0
	for _, f := range planner.LastingFare(t.Home, d.ID, day) {
		if f.Recipe.ID == r.ID {
			return nutrition.Kcal(f.Share())
		}
		if f.Recipe.ID == "" && f.Per100 == 0 {
			other += f.Share()
		}
	}
	return nutrition.Kcal(1 - other)
}

// this is a dog described in words as sentences speak of it.
func this(d planner.Dog) planner.Dog {
	d.Name = msg("eater.this")
	return d
}

// inWords is the dog that a sentence describes, with its need. Where there is no plan for
// such a dog it says why, and reports false.
func inWords(t *talk.Turn, s read.Sentence) (d planner.Dog, n planner.Need, ok bool) {
	if dogs.IllInWords(t, s) {
		return d, n, false
	}
	d = dogs.DogOfWords(t, s)
	return d, planner.AmountOf(d, t.Event.At), !talk.Unfit(t, d) && !heldInWords(t, d)
}

// heldInWords says that there is no plan for a dog described in words whose
// food is for a vet to plan, and reports whether that is so.
func heldInWords(t *talk.Turn, d planner.Dog) bool {
	n := planner.AmountOf(d, t.Event.At)
	if n.Waits() {
		t.Say(say.Whole(dogs.GateText(this(d), n)))
	}
	return n.Waits()
}

// scaleToWords makes the bowl of a dog that is described in words.
func scaleToWords(t *talk.Turn, r *planner.Recipe, s read.Sentence) {
	d, n, ok := inWords(t, s)
	switch {
	case !ok:
		return
	case r == nil:
		NoRecipe(t, &d, n)
		return
	}
	one := this(d)
	if far := balance.FarOver(t, &one, r); far != "" {
		t.Say(say.Whole(far))
		return
	}
	SayBowl(t, Eater{Name: d.Name, Need: n, Meals: talk.MealsOf(d), Units: dogs.UnitsOf(t, s)}, r, say.JoinParas(balance.BatchText(t, r, []*planner.Dog{&one}), dogs.GateText(one, n)))
}

// sayScaled says a recipe times a factor, its whole first, with what is amiss
// with it for the dogs that eat it: the one spoken of where none are meant. It
// returns nil where nothing is made.
func sayScaled(t *talk.Turn, r *planner.Recipe, factor float64, err error, what string, dogs ...*planner.Dog) *talk.FoodMade {
	var scaled planner.Recipe
	if err == nil {
		scaled, err = planner.Scale(*r, factor)
	}
	var sum planner.Totals
	if err == nil {
		sum, err = planner.TotalsOf(scaled, t.Foods)
	}
	if recipes.Failed(t, r, err) {
		return nil
	}
	for _, d := range dogs { // food of days is refused as a bowl is
		if far := balance.FarOver(t, d, r); far != "" {
			t.Say(say.Whole(far))
			return nil
		}
	}
	if d := talk.TheDog(t); len(dogs) == 0 && d != nil {
		dogs = append(dogs, d)
	}
	rounded, whole := portions.RoundParts(gramsOf(scaled), t.Home.Units)
	rows := []say.TableRow{{Label: "", Cells: []string{say.MassUnit(t.Home.Units)}}}
	for i, in := range scaled.Ingredients {
		cell := say.Choose(rounded[i] == 0, say.ExactMass(in.Grams, t.Home.Units), say.Figure(rounded[i], t.Home.Units))
		rows = append(rows, say.TableRow{Label: t.FoodName(in.Food), Cells: []string{cell}})
	}
	rows = append(rows, say.TableRow{Label: msg("bowl.sum"), Cells: []string{say.Figure(whole, t.Home.Units)}})
	first := msg("scaled.first", "whole", say.WholeText(whole, t.Home.Units), "recipe", r.Name, "what", what)
	out := t.Say(say.Para(first), say.Para(msg("scaled.reason", "factor", say.Trim(factor, 3), "kcal", say.KcalRange(sum.Energy))),
		say.TableBlock(rows), say.Whole(recipes.DosesText(t, &scaled)), say.Whole(balance.BatchText(t, r, dogs)))
	return &talk.FoodMade{Recipe: r, Scaled: scaled, Grams: whole, Out: out}
}

// scaleVerbs are what buttons about scaling do.
func scaleVerbs() map[string]func(*talk.Turn, *planner.Recipe, []string) {
	to := func(target func(n float64) read.Sentence) func(*talk.Turn, *planner.Recipe, []string) {
		return talk.TappedFigure(func(t *talk.Turn, r *planner.Recipe, n float64) {
			t.EndIf("scale")
			scale(t, r, target(n))
		})
	}
	return map[string]func(*talk.Turn, *planner.Recipe, []string){
		"ask": talk.Tapped(func(t *talk.Turn, r *planner.Recipe) {
			t.EndIf("scale")
			askScale(t, r)
		}),
		"days":  to(func(n float64) read.Sentence { return read.Sentence{Days: n} }),
		"grams": to(func(n float64) read.Sentence { return read.Sentence{Grams: nutrition.Grams(n)} }),
		"kcal":  to(func(n float64) read.Sentence { return read.Sentence{Kcal: nutrition.Kcal(n)} }),
		"by":    to(func(n float64) read.Sentence { return read.Sentence{Factor: n} }),
	}
}

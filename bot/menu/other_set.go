package menu

import (
	"errors"
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
	"bowlwright/store"
)

// setOther has dogs eat something in place of their usual food, or beside it.
// Their recipes stay as they are.
func setOther(t *talk.Turn, d otherDraft) {
	t.EndIf("other")
	if d.Cooked && recipes.AnyBone(t, d.Lines) {
		recipes.RefuseCooked(t, &planner.Recipe{Name: d.Name, Ingredients: d.Lines})
		return
	}
	var of []*planner.Dog
	for _, id := range d.Dogs {
		if dog := t.Dog(id); dog != nil && otherFits(t, dog, d) {
			of = append(of, dog)
		}
	}
	if len(of) == 0 {
		return
	}
	t.Mutate("did.other", talk.DogNames(t, d.Dogs))
	for _, dog := range of {
		o := planner.Other{Dog: dog.ID, From: d.From, Until: d.Until, Name: d.Name, Recipe: d.Recipe, Lines: d.Lines, Share: d.Share, At: d.At}
		if !d.lasting() {
			o.At = mealsLeft(t, dog, o)
		}
		if d.Home != "" && planner.RotationOf(t.Home, dog.ID) == nil {
			dog.Eat(d.Home)
		}
		var ends []string
		for _, old := range planner.OthersOn(t.Home, dog.ID, o.From) {
			if o.Lasting() && o.Replaces(old) && old.Name != o.Name {
				ends = append(ends, old.Name)
			}
		}
		t.Home.SetOther(o)
		sayOther(t, dog, o)
		t.LastReply().Add(say.Where(len(ends) > 0, msg("other.in-place", "old", say.List(ends), "new", say.Capital(o.Name))))
	}
	t.LastReply().Offer(t.UndoButton())
}

// otherFits reports that a dog has the food that the other is to stand beside, and
// says what is missing.
func otherFits(t *talk.Turn, dog *planner.Dog, d otherDraft) bool {
	if d.Share == 0 && d.At == planner.EveryMeal {
		return true
	}
	if talk.MealsOf(*dog) < 2 && d.At != planner.EveryMeal {
		t.SayMsg("other.one-meal", "dog", dog.Name)
		return false
	}
	if d.Home != "" || len(planner.LastingFare(t.Home, dog.ID, d.From)) > 0 {
		return true
	}
	t.SayMsg("other.no-recipe", "dog", dog.Name, "food", d.Name).Offer(t.Button(msg("button.add-recipe"), "recipe", "add"))
	return false
}

// mealsLeft is which of today's meals other food is for: where the first was fed
// already, or left out, those after it.
func mealsLeft(t *talk.Turn, dog *planner.Dog, o planner.Other) planner.Mealtime {
	if o.At != planner.EveryMeal || o.From != t.Date() || o.Until != o.From || talk.MealsOf(*dog) < 2 {
		return o.At
	}
	for _, e := range t.Entries(store.EntryQuery{Dog: dog.ID, Kinds: []planner.EntryKind{planner.Fed, planner.NotFed}, From: planner.Instant(t.Date().AddDays(-2), 0, t.Event.At.Location())}) {
		clock := planner.ClockOf(e.At.In(t.Event.At.Location()))
		if _, _, m, err := planner.ParseOccurrence(e.Of); err == nil {
			clock = m.Clock
		}
		times := dog.MealTimes()
		if e.Date == o.From && (e.Kind == planner.Fed || clock < times[len(times)-1]) {
			return planner.LaterMeals
		}
	}
	return o.At
}

// sayOther says what a dog eats now, with what there is to say of it first.
func sayOther(t *talk.Turn, dog *planner.Dog, o planner.Other) {
	n := planner.AmountOf(*dog, t.Event.At)
	asRecipe := otherRecipe(t, o)
	cautions := say.JoinParas(dogs.ExcludedText(t, dog, asRecipe), recipes.CookText(t, asRecipe.Ingredients))
	until := say.Choose(o.Until == o.From, msg("other.day", "day", dayWord(t, o.From)), msg("other.days", "from", dayWord(t, o.From), "until", say.DayText(o.Until), "back", say.DayText(o.Until.AddDays(1))))
	if o.Lasting() {
		until = say.Choose(o.From == t.Date(), msg("other.lasts"), msg("other.lasts-from", "day", say.DayText(o.From)))
	}
	head := msg("other.set", "dog", dog.Name, "what", shareText(t, dog, o), "when", until)
	fare, err := fareBlocks(t, dog, o.From)
	if err != nil {
		t.Fail(err)
		return
	}
	even := len(o.Lines) > 1 && !slices.ContainsFunc(o.Lines, func(in planner.Ingredient) bool { return in.Grams != evenGrams })
	out := t.Say(slices.Concat([]say.Block{say.Whole(dogs.Unwell(t, dog)), say.Whole(cautions), say.Para(head)}, fare,
		[]say.Block{say.Para(say.Where(even, msg("other.even"))), say.Para(toldGrams(t, dog, o)), say.Whole(otherLacks(t, dog, o, &asRecipe)), say.Whole(dogs.GateText(*dog, n))})...)
	if o.Lasting() {
		if id, ok := planner.RecipeOn(t.Home, dog.ID, o.From); ok {
			out.Offer(t.Button(msg("button.complete"), "analysis", "look", id, dog.ID))
		}
	} else if o.Until == o.From {
		out.Offer(t.Button(msg("button.from-now"), "other", "lasts", dog.ID))
	}
	t.Tell(talk.Others(t), say.Reply{Body: []say.Block{say.Para(head)}})
}

// dayWord is a day as it is said: today, or its date.
func dayWord(t *talk.Turn, day planner.Date) string {
	return say.Choose(day == t.Date(), msg("other.today"), say.DayText(day))
}

// otherRecipe is other food as a recipe.
func otherRecipe(t *talk.Turn, o planner.Other) planner.Recipe {
	if r := t.Recipe(o.Recipe); r != nil {
		return *r
	}
	return planner.Recipe{Name: o.Name, Ingredients: o.Lines}
}

// shareText is what part of its food a dog has of something else: "half of the day's
// food as kibble".
func shareText(t *talk.Turn, dog *planner.Dog, o planner.Other) string {
	name := otherRecipe(t, o).Name
	switch {
	case o.Share > 0 && o.At == planner.EveryMeal:
		return msg("other.share", "share", say.Percent(o.Share), "food", name)
	case o.At == planner.FirstMeal:
		return msg("other.first", "food", name)
	case o.At == planner.LastMeal, o.At == planner.LaterMeals && talk.MealsOf(*dog) == 2:
		return msg("other.last", "food", name)
	case o.At == planner.LaterMeals:
		return msg("other.later", "food", name)
	}
	return msg("other.all", "food", name)
}

// toldGrams compares the grams that were told with those that the day's kcal make.
func toldGrams(t *talk.Turn, dog *planner.Dog, o planner.Other) string {
	told := nutrition.Grams(0)
	for _, in := range o.Lines {
		if _, g := read.AmountOff(in.Typed); g > 0 {
			told += g
		}
	}
	sum, err := planner.TotalsOf(otherRecipe(t, o), t.Foods)
	if told == 0 || err != nil || sum.Grams <= 0 {
		return ""
	}
	kcal := nutrition.Kcal(sum.Energy.Mid) * nutrition.Kcal(told/sum.Grams)
	day := planner.AmountOf(*dog, t.Event.At).Kcal
	ofMeal := o.At == planner.FirstMeal || o.At == planner.LastMeal
	return msg(say.Choose(ofMeal, "other.told-meal", "other.told"), "grams", say.Mass(told, t.Home.Units), "kcal", say.Kcal(kcal),
		"dog", dog.Name, "day", say.Kcal(day), "meal", say.Kcal(day/nutrition.Kcal(talk.MealsOf(*dog))))
}

// otherLacks says what is known to be wrong with the food, or not known of it: of
// some days what it would lack if they went on, of what lasts what no label tells.
func otherLacks(t *talk.Turn, dog *planner.Dog, o planner.Other, r *planner.Recipe) string {
	n := planner.AmountOf(*dog, t.Event.At)
	own := len(o.Lines) > 0 && !slices.ContainsFunc(o.Lines, func(in planner.Ingredient) bool {
		f := t.Foods.Food(in.Food)
		return f == nil || f.Kind != nutrition.OwnKind
	})
	lacks := say.Choose(n.Gate == planner.GrowthGate, msg("other.puppy", "food", r.Name, "dog", dog.Name), msg("other.label", "food", r.Name))
	if !own {
		lacks = balance.FailingText(balance.FailingsOf(t, r, dog))
		lacks = say.JoinParas(lacks, say.Where(lacks != "", msg(say.Choose(n.Gate == "", "other.one-day", "other.one-day-vet"), "dog", dog.Name)))
	}
	return say.JoinParas(lacks, say.Where(o.Lasting(), msg("other.slowly", "food", r.Name)))
}

// lastOther has what a dog eats today alone go on.
func lastOther(t *talk.Turn, dog *planner.Dog) {
	all := planner.OthersOn(t.Home, dog.ID, t.Date())
	if talk.Stale(t, len(all) == 0 || all[len(all)-1].Lasting()) {
		return
	}
	o := all[len(all)-1]
	if o.At == planner.LaterMeals { // the first had been fed
		o.At = planner.EveryMeal
	}
	if o.Recipe != "" && o.At == planner.EveryMeal && o.Share == 0 {
		t.GoTo(read.Sentence{Intent: read.EatsRecipe, Dog: dog.ID, Recipe: o.Recipe})
		return
	}
	if !mayEatOther(t, dog, &otherDraft{}) {
		return
	}
	o.Until = planner.Date{}
	changeOther(t, dog, o)
}

// everyMeal has what a dog eats at some of its meals be of all: "no, both meals".
func everyMeal(t *talk.Turn, dog *planner.Dog, _ read.Sentence) {
	all := planner.OthersOn(t.Home, dog.ID, t.Date())
	if len(all) == 0 {
		t.SayMsg("other.none")
		return
	}
	o := all[len(all)-1]
	o.At = planner.EveryMeal
	changeOther(t, dog, o)
}

func changeOther(t *talk.Turn, dog *planner.Dog, o planner.Other) {
	t.Mutate("did.other", dog.Name)
	t.Home.SetOther(o)
	sayOther(t, dog, o)
	t.LastReply().Offer(t.UndoButton())
}

// answerStopOther ends what a dog eats beside its usual food.
func answerStopOther(t *talk.Turn, s read.Sentence) {
	ids := dogsSaid(t, s.Dog)
	if len(ids) == 0 {
		ids = eatBeside(t, func(*planner.Dog, planner.Other) bool { return true })
	}
	stopOther(t, ids, "")
}

// sayNoOther says what dogs eat, of all where none is meant, where a food is to end that
// none of them eats, and offers what else that may mean.
func sayNoOther(t *talk.Turn, ids []string, s string) {
	if len(ids) == 0 {
		ids = talk.AllDogs(t)
	}
	what, _ := read.StopsFood(talk.WithoutDogs(t, s))
	lines := []string{msg("other.none")}
	may := read.Reading{Intent: "switch.set"}
	if slices.ContainsFunc(t.Recipes(), func(r *planner.Recipe) bool { return what != "" && recipes.FindIn(t, r, what) != nil }) {
		may = read.Reading{Intent: "recipe.set", Slots: map[string]string{"food": what, "value": "drop"}}
	}
	out := t.Say()
	for _, id := range ids {
		if d := t.Dog(id); d != nil && d.Died.IsZero() {
			fare := planner.FareOn(t.Home, id, t.Date())
			lines = append(lines, msg(say.Choose(len(fare) > 0, "other.eats", "other.no-food"), "dog", d.Name, "food", talk.FareNames(fare)))
			out.Offer(t.Button(msg("button.bowl-of", "dog", d.Name), "bowl", "dog", id))
		}
	}
	out.Body = []say.Block{say.Para(talk.JoinLines(lines))}
	talk.OfferAlso(t, out, s, []read.Reading{may})
}

// stopOther has dogs eat their usual food alone again, from today on: without one
// food, where it is named, or any.
func stopOther(t *talk.Turn, ids []string, name string) {
	is := func(o planner.Other) bool { return name == "" || strings.EqualFold(o.Name, name) }
	going := func(o planner.Other) bool {
		return slices.Contains(ids, o.Dog) && is(o) && (o.Lasting() || !o.Until.Before(t.Date()))
	}
	if !slices.ContainsFunc(t.Home.Others, going) {
		sayNoOther(t, ids, t.AsTyped())
		return
	}
	t.Mutate("did.other-stopped", talk.DogNames(t, ids))
	for _, id := range ids {
		if t.Home.EndOther(id, t.Date(), is) {
			more := len(planner.OthersOn(t.Home, id, t.Date())) > 0
			t.SayMsg(say.Choose(more, "other.ended", "other.stopped"), "dog", t.Dog(id).Name, "food", name).Offer(t.Button(msg("button.bowl"), "bowl", "dog", id), t.UndoButton())
		}
	}
}

// fareBlocks are all that a dog eats on a day: the grams of each food, the kcal that
// they bring, and the table.
func fareBlocks(t *talk.Turn, d *planner.Dog, day planner.Date) ([]say.Block, error) {
	n, u, meals := planner.AmountOf(*d, t.Event.At), t.Home.Units, talk.MealsOf(*d)
	fare := planner.FareOn(t.Home, d.ID, day)
	if Lacking(fare) {
		return []say.Block{say.Para(msg("other.lacking", "dog", d.Name))}, nil
	}
	p, err := portions.PlateFor(fare, t.Foods, balance.FoodKcal(t, d, n.Kcal), u)
	if err != nil {
		var gone *planner.MissingFoodError
		var bad *planner.ScaleError
		if errors.As(err, &gone) || errors.As(err, &bad) {
			return []say.Block{say.Para(recipes.RecipeTrouble(talk.FareNames(fare), err))}, nil
		}
		return nil, err
	}
	return plateBlocks(t, d, n, p, meals, u), nil
}

package kitchen

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"bowlwright/bot/bowls"
	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/larder"
)

// portion is one dog's part of a batch.
type portion struct {
	dog  *planner.Dog
	kcal nutrition.Kcal  // on those days
	aDay nutrition.Grams // of the batch
	pack larder.Packing
}

// share shares a batch of so many grams and kcal out to dogs, in packs of a day, and says
// for how many days that is: for those that are given or, where none are, for as many as
// it makes. What they get adds up to the batch. A dog that is to see a vet first gets
// none.
func share(t *talk.Turn, r *planner.Recipe, grams int, kcal nutrition.Kcal, days float64, of []*planner.Dog) (all []portion, lasts float64) {
	of = slices.DeleteFunc(slices.Clone(of), func(d *planner.Dog) bool {
		n := planner.AmountOf(*d, t.Event.At)
		return n.Waits() || n.Kcal <= 0 || dogs.SignHolds(t, d) != ""
	})
	if kcal <= 0 || grams <= 0 {
		return nil, 0
	}
	var sum nutrition.Kcal
	for n := cmp.Or(days, 1); ; n++ {
		all, sum = nil, 0
		for _, d := range of {
			aDay, over := bowls.Over(t, d, r, n)
			all = append(all, portion{dog: d, kcal: over, aDay: nutrition.Grams(aDay / kcal * nutrition.Kcal(grams))})
			sum += over
		}
		if lasts = n * float64(kcal/sum); days > 0 || sum >= kcal || n > mostShop {
			break
		}
	}
	if sum <= 0 {
		return nil, 0
	}
	left := grams
	for i := range all {
		p := &all[i]
		part := int(math.Round(float64(grams) * float64(p.kcal/sum)))
		if i == len(all)-1 {
			part = left
		}
		left -= part
		p.pack = larder.PackUp(part, p.aDay)
	}
	return all, lasts
}

// eaters are the dogs that eat a recipe, today or by their rotation; where none
// does, all that may.
func eaters(t *talk.Turn, r *planner.Recipe) []*planner.Dog {
	all := slices.DeleteFunc(t.Living(), func(d *planner.Dog) bool {
		id, _ := planner.RecipeOn(t.Home, d.ID, t.Date())
		rot := planner.RotationOf(t.Home, d.ID)
		return id != r.ID && planner.ShareOf(t.Home, d.ID, t.Date(), r.ID) <= 0 && (rot == nil || !d.MayEat(r.ID) || !rot.Has(r.ID))
	})
	if len(all) > 0 {
		return all
	}
	return slices.DeleteFunc(t.Living(), func(d *planner.Dog) bool { return !d.MayEat(r.ID) })
}

// sayPacks adds to what food for days is made of what one counts of it, the packs
// that it makes, and where the supplements go.
func sayPacks(t *talk.Turn, made *talk.FoodMade) {
	kcal, ok := kcalOf(t, &made.Scaled)
	of := made.Dogs
	if len(of) == 0 {
		of = eaters(t, made.Recipe)
	}
	r := made.Recipe
	cooks := read.SaysCooking(t.AsTyped())
	yield, weighed := r.Yield()
	inCooked := larder.InCookedWeights(*r, t.Foods)
	grams, first, packed := made.Grams, "", 0.0
	switch {
	case inCooked:
		packed, cooks = 1, true
		first = buyText(t, &made.Scaled)
	case weighed && !read.SaysOneOf(t.AsTyped(), "stays-raw"):
		grams, packed, cooks = made.Grams*nutrition.Grams(yield), yield, true
		first = msg("cooked.comes-out", "cooked", kilos(t, grams), "yield", say.Trim(yield, 2), "whose", whoseText(t, r))
	}
	out := made.Out
	for _, d := range of {
		out.Add(say.Where(made.Days == 0, dogs.SignHolds(t, d))) // of given days those who are held are told of
	}
	all, lasts := share(t, r, int(math.Round(float64(grams))), kcal, made.Days, of)
	if !ok || len(all) == 0 {
		return
	}
	out.Add(countedText(t, &made.Scaled))
	if keeps := t.Date().DaysTo(larder.UseBy(t.Date(), larder.Oily(*r, t.Foods))); lasts >= float64(keeps)+1 { // frozen
		out.Add(msg("batch.too-long"))
		return
	}
	out.Add(first)
	if keeps := keepsThawed(cooks); t.Home.NoFreezer && lasts > float64(keeps)*(1+slack) {
		out.Add(msg("batch.no-freezer", "days", keeps))
		return
	}
	if made.Days > 0 { // it is said already
		lasts = 0
	}
	out.Add(packsText(t, all, lasts))
	out.Add(supplementsText(t, &made.Scaled, cooks))
	if cooks && packed == 0 {
		y := larder.UsualYield(made.Scaled, t.Foods)
		out.Add(msg("cooked.about", "low", kilos(t, made.Grams*nutrition.Grams(y.Low)), "high", kilos(t, made.Grams*nutrition.Grams(y.High)),
			"raw", kilos(t, made.Grams), "mid", kilos(t, made.Grams*nutrition.Grams((y.Low+y.High)/2))))
	}
	offerFrozen(t, out, r, all, packed, false)
	if cooks && packed == 0 {
		out.Offer(t.Button(msg("button.weighed-cooked"), "packs", "weighed", r.ID))
	}
	if days := int(math.Round(cmp.Or(made.Days, lasts))); days >= 1 && days <= mostShop {
		out.Offer(t.Button(msg("button.to-buy"), "shop", "batch", r.ID, strconv.Itoa(int(math.Round(float64(made.Grams)))), strconv.Itoa(days)))
	}
}

// slack is by how much a batch may be more than it is for, as rounding makes it (our
// own choice).
const slack = 0.05

// kcalOf is what a recipe brings; false where that is not known.
func kcalOf(t *talk.Turn, r *planner.Recipe) (nutrition.Kcal, bool) {
	sum, err := planner.TotalsOf(*r, t.Foods)
	return nutrition.Kcal(sum.Energy.Mid), err == nil && sum.Energy.Mid > 0
}

// countedText is what one buys of a batch by the piece.
func countedText(t *talk.Turn, r *planner.Recipe) string {
	var what []string
	for _, in := range r.Ingredients {
		if p := larder.Sold(planner.Purchase{Food: in.Food, Grams: in.Grams}, t.Foods); p.N > 0 {
			what = append(what, msg("batch.each", "what", purchaseText(t, p), "each", say.Mass(p.Grams/nutrition.Grams(p.N), t.Home.Units)))
		}
	}
	return say.Where(len(what) > 0, msg("batch.counted", "what", say.List(what)))
}

// plainName is a food's name without what tells it from others of its kind.
func plainName(t *talk.Turn, key string) string {
	name, _, _ := strings.Cut(t.FoodName(key), ",")
	return name
}

// kilos prints what a pan weighs.
func kilos(t *talk.Turn, g nutrition.Grams) string {
	if g < 1000 || t.Home.Units.Ounces {
		return say.Mass(g, t.Home.Units)
	}
	decimals := 2
	if g >= 10000 {
		decimals = 1
	}
	return say.Trim(float64(g)/1000, decimals) + " kg"
}

// packsText is the packs that a batch makes, and for how many days that is; 0 where that
// is known.
func packsText(t *talk.Turn, all []portion, days float64) string {
	var lines []string
	rest := 0
	for _, p := range all {
		rest += p.pack.Rest
		if p.pack.Packs > 0 {
			n := larder.PacksADay(p.aDay)
			days := msg(say.Choose(n > 1, "batch.a-day", "batch.one-a-day"), "n", int(n))
			lines = append(lines, msg("batch.packs", "n", p.pack.Packs, "each", say.Mass(nutrition.Grams(p.pack.Each), t.Home.Units), "dog", p.dog.Name, "days", days))
		}
	}
	if days > 0 {
		lines = append([]string{msg("batch.days", "days", say.Trim(days, 1), "dogs", say.ListOf(all, func(p portion) string { return p.dog.Name }))}, lines...)
	}
	if rest > 0 && slices.ContainsFunc(all, func(p portion) bool { return p.pack.Packs > 0 }) {
		lines = append(lines, msg("batch.rest", "grams", say.ExactMass(nutrition.Grams(rest), t.Home.Units)))
	}
	return talk.JoinLines(lines)
}

// supplementsText tells those that go in at mixing from those on the bowl. What
// heat does: USDA Table of Nutrient Retention Factors, release 6, from memory.
func supplementsText(t *talk.Turn, r *planner.Recipe, cooks bool) string {
	var mixed, bowl []string
	for _, d := range r.Doses {
		if d.Batch {
			mixed = append(mixed, t.FoodName(d.Food))
		} else {
			bowl = append(bowl, t.FoodName(d.Food))
		}
	}
	stir := msg(say.Choose(cooks, "batch.stir-cool", "batch.stir"), "what", say.List(mixed))
	return say.JoinParas(say.Where(len(bowl) > 0, msg("batch.on-bowl", "what", say.List(bowl))), say.Where(len(mixed) > 0, stir))
}

// dogOf is the name of a dog, or that packs are for all.
func dogOf(t *talk.Turn, id string) string {
	if d := t.Dog(id); d != nil {
		return d.Name
	}
	return msg(say.Choose(id != "", "packs.dog-gone", "packs.all-dogs"))
}

// answerDays makes food for some days: of the recipe that is named or spoken of,
// or, where none is named, of each that the dogs eat on those days.
func answerDays(t *talk.Turn, s read.Sentence) {
	of := t.Dogs()
	if d := t.Dog(s.Dog); d != nil {
		of = []*planner.Dog{d}
	}
	if sayNoRecipe(t, s) {
		return
	}
	if s.Weight > 0 || slices.Contains(strings.Fields(strings.ToLower(t.Event.Text)), "it") || !byRotation(t, of, &s) {
		bowls.AnswerScale(t, s)
	}
}

// sayNoRecipe says that what is to be made is no recipe of the household's, and reports
// whether that is so: another is not made in its place.
func sayNoRecipe(t *talk.Turn, s read.Sentence) bool {
	if s.Recipe != "" || s.Food == "" || read.Says("home-food", s.Food) || read.Says("other-meal", s.Food) || len(t.Home.Recipes) == 0 {
		return false
	}
	names := talk.RecipeNames(t)
	t.SayMsg("batch.no-recipe", "what", say.Short(s.Food), "recipes", say.List(names), "n", len(names))
	return true
}

// daysTogether makes food for several dogs that are named.
func daysTogether(t *talk.Turn, of []*planner.Dog, s read.Sentence) {
	if sayNoRecipe(t, s) || byRotation(t, of, &s) {
		return
	}
	if r := talk.RecipeMeant(t, s); r != nil {
		makeFor(t, r, s.Days, of)
	}
}

// run is on how many of some days dogs eat a recipe.
type run struct {
	recipe string
	days   int
	dogs   []*planner.Dog
}

// mostDays is for how many days the recipes of each are looked up (our own
// choice).
const mostDays = 400

// byRotation makes what dogs eat from tomorrow on for some days, where no recipe is named
// and that is more than one, and reports whether it did; one alone is the recipe meant.
func byRotation(t *talk.Turn, of []*planner.Dog, s *read.Sentence) bool {
	from := t.Date().AddDays(1)
	runs, recipes := runsOf(t, of, from, s.Days)
	switch {
	case s.Recipe != "" || recipes == 0:
		return false
	case recipes == 1:
		s.Recipe = runs[0].recipe
		return false
	}
	makeRuns(t, runs, from, s.Days)
	return true
}

// runsOf is what dogs eat on some days from one on, and how many recipes that is.
func runsOf(t *talk.Turn, of []*planner.Dog, from planner.Date, days float64) (runs []run, recipes int) {
	if days < 1 || days > mostDays {
		return nil, 0
	}
	names := map[string]bool{}
	for _, d := range of {
		var order []string
		on := map[string]int{}
		for n := range int(days) {
			id, ok := planner.RecipeOn(t.Home, d.ID, from.AddDays(n))
			if ok && on[id] == 0 {
				order = append(order, id)
			}
			on[id]++
		}
		for _, id := range order {
			names[id] = true
			same := func(r *run) bool { return r.recipe == id && r.days == on[id] }
			its := planner.FirstOrAdded(&runs, same, run{recipe: id, days: on[id]})
			its.dogs = append(its.dogs, d)
		}
	}
	return runs, len(names)
}

// makeRuns makes each recipe for its dogs and days.
func makeRuns(t *talk.Turn, runs []run, from planner.Date, days float64) {
	for _, r := range runs {
		makeFor(t, t.Recipe(r.recipe), float64(r.days), r.dogs)
	}
	if len(t.Replies) > 0 {
		t.Replies[0].Begin(msg("batch.by-rotation", "from", say.DayText(from), "to", say.DayText(from.AddDays(int(days)-1))))
	}
}

// makeFor makes one recipe, unless bone in it would be cooked.
func makeFor(t *talk.Turn, r *planner.Recipe, days float64, of []*planner.Dog) {
	if read.SaysCooking(t.AsTyped()) && recipes.NotCooked(t, r) {
		return
	}
	t.Talk.Recipe = r.ID
	bowls.Days(t, r, days, of...)
}

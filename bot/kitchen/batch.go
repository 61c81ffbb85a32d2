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
	case weighed && !read.SaysUncooked(t.AsTyped()):
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
			lines = append(lines, msg("batch.packs", "n", p.pack.Packs, "each", say.Mass(nutrition.Grams(p.pack.Each), t.Home.Units), "dog", p.dog.Name, "days", packDays(p)))
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

// packDays says how much of a day a pack is.
func packDays(p portion) string {
	n := larder.PacksADay(p.aDay)
	return msg(say.Choose(n > 1, "batch.a-day", "batch.one-a-day"), "n", int(n))
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

package kitchen

import (
	"slices"
	"strconv"

	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/larder"
)

// whoseText says whose weighing a recipe's yield is.
func whoseText(t *talk.Turn, r *planner.Recipe) string {
	return say.Choose(r.Cooking.Day.IsZero(), msg("cooked.by-author"), msg("cooked.weighed", "day", t.DateText(r.Cooking.Day)))
}

// shownText is what there is to say of a recipe that is cooked when it is shown.
func shownText(t *talk.Turn, h *talk.RecipeShown) string {
	r := h.Recipe
	if h.Brief {
		return ""
	}
	written := say.Where(larder.InCookedWeights(*r, t.Foods), msg("weights.cooked"))
	yield, weighed := r.Yield()
	switch {
	case weighed:
		written = say.JoinParas(written, msg("cooked.yield", "yield", say.Trim(yield, 2), "whose", whoseText(t, r)))
	case r.Cooking.Cooked > 0:
		written = say.JoinParas(written, msg("cooked.other-lines", "whose", whoseText(t, r)))
	}
	return say.JoinParas(written, say.Where(weighed && r.Cooking.Poured, msg("cooked.is-poured")))
}

// forgetYield drops what a recipe weighed cooked.
func forgetYield(t *talk.Turn, r *planner.Recipe, _ read.Sentence) {
	if r.Cooking.Cooked == 0 && !r.Cooking.Poured {
		t.SayMsg("cooked.no-yield", "recipe", r.Name)
		return
	}
	t.Mutate("did.yield", r.Name)
	r.Cooking = planner.Cooking{}
	t.SayMsg("cooked.forgotten", "recipe", r.Name).Offer(t.UndoButton())
}

// usualYield is what a recipe usually weighs cooked over what went into the pan: its
// lines as they are written, or raw where all of them are cooked weights.
func usualYield(t *talk.Turn, r *planner.Recipe) nutrition.Yield {
	of := *r
	if larder.InCookedWeights(of, t.Foods) {
		of = weighedRaw(t, of)
	}
	return larder.UsualYield(of, t.Foods)
}

// weighedRaw is a recipe with the raw rows of what is cooked in it.
func weighedRaw(t *talk.Turn, r planner.Recipe) planner.Recipe {
	r.Ingredients = slices.Clone(r.Ingredients)
	for i := range r.Ingredients {
		r.Ingredients[i].Food = t.Foods.WeighedRaw(r.Ingredients[i].Food)
	}
	return r
}

// weighedAs takes a recipe's weights for cooked or for raw ones.
func weighedAs(cooked bool) func(*talk.Turn, *planner.Recipe, read.Sentence) {
	return func(t *talk.Turn, r *planner.Recipe, _ read.Sentence) {
		if cooked && recipes.NotCooked(t, r) {
			return
		}
		is := *r
		said, changed := recipes.WeighedAs(t, &is, cooked)
		if !changed {
			t.Say(say.Para(said), say.Para(msg(say.Choose(cooked, "weights.same-cooked", "weights.same-raw"), "recipe", r.Name)))
			return
		}
		t.Mutate("did.recipe-changed", r.Name)
		*r = is
		recipes.ShowRecipe(t, r, said, t.UndoButton())
	}
}

// buyText is what a batch takes raw that is written in cooked weights: by the
// recipe's own yield, else by those of its foods.
func buyText(t *talk.Turn, batch *planner.Recipe) string {
	own, weighed := batch.Yield()
	var what []string
	for i, in := range weighedRaw(t, *batch).Ingredients {
		f := t.Foods.Food(in.Food)
		if f == nil || in.Food == batch.Ingredients[i].Food {
			continue
		}
		y := f.Yield()
		if weighed && y == nutrition.MeatYield() {
			y.Low, y.High = own, own
		}
		amount, high := kilos(t, in.Grams/nutrition.Grams(y.High)), kilos(t, in.Grams/nutrition.Grams(y.Low))
		if high != amount {
			amount = msg("weights.from-to", "low", amount, "high", high)
		}
		what = append(what, msg("weights.buy-one", "amount", amount, "food", plainName(t, in.Food)))
	}
	return say.Where(len(what) > 0, msg("weights.buy", "what", say.List(what)))
}

// fatKcal is what a gram of fat brings (USDA SR documentation).
const fatKcal = 9.02

// withoutFat is what some kcal of a recipe are where fat was poured off: nobody
// knows how much of it, so from all to none.
func withoutFat(t *talk.Turn, r *planner.Recipe, kcal nutrition.Kcal) (low, high nutrition.Kcal) {
	whole, ok := kcalOf(t, r)
	if !ok {
		return kcal, kcal
	}
	fat := 0.0
	for _, in := range r.Ingredients {
		if f := t.Foods.Food(in.Food); f != nil {
			fat += float64(in.Grams) / 100 * f.Per100[nutrition.Fat].Mid
		}
	}
	return kcal * max(1-nutrition.Kcal(fat*fatKcal)/whole, 0), kcal
}

// pour keeps whether fat and juice of a recipe are poured off, and says what went
// with it in a batch of so many grams as the recipe is written; 0 where no pan was
// weighed.
func pour(t *talk.Turn, r *planner.Recipe, off bool, grams int) {
	written := grams < 1
	if sum, err := planner.TotalsOf(*r, t.Foods); written && err == nil {
		grams = int(sum.Grams)
	}
	batch, kcal, ok := batchOf(t, r, grams)
	if !ok {
		t.SayMsg("packs.no-kcal", "recipe", r.Name)
		return
	}
	if r.Cooking.Poured != off {
		t.Mutate("did.yield", r.Name)
		r.Cooking.Poured = off
	}
	low, high := withoutFat(t, &batch, kcal)
	poured := msg(say.Choose(written, "cooked.juice-off-written", "cooked.juice-off"), "recipe", r.Name, "low", say.Kcal(low), "high", say.Kcal(high))
	out := t.Say(say.Para(say.Choose(off, poured, msg("cooked.juice-in"))))
	if t.Changed {
		out.Offer(t.UndoButton())
	}
}

// pressJuice takes what became of fat and juice.
func pressJuice(t *talk.Turn, args []string) {
	r := t.Recipe(talk.Arg(args, 1))
	grams, err := strconv.Atoi(talk.Arg(args, 2))
	if talk.Gone(t, r == nil || err != nil || grams < 1) {
		return
	}
	pour(t, r, talk.Arg(args, 0) == "off", grams)
}

// poured takes the same in words, of the pan that was weighed last.
func poured(off bool) func(*talk.Turn, *planner.Recipe, read.Sentence) {
	return func(t *talk.Turn, r *planner.Recipe, _ read.Sentence) {
		if recipes.NotCooked(t, r) {
			return
		}
		grams := r.Cooking.Raw
		if grams > 0 && larder.InCookedWeights(*r, t.Foods) {
			grams = r.Cooking.Cooked
		}
		pour(t, r, off, grams)
	}
}

// answerWeighed says whether amounts are weighed raw or cooked: of the recipe that is
// named or spoken of, else of all.
func answerWeighed(t *talk.Turn, s read.Sentence) {
	r, d := t.Recipe(s.Recipe), talk.TheDog(t)
	if r == nil && t.Talk.Kind != "recipe" {
		r = talk.TheRecipe(t, d)
	}
	text, cooked := msg("weights.asked"), ""
	if r != nil {
		text = msg(say.Choose(larder.InCookedWeights(*r, t.Foods), "weights.in-cooked", "weights.in-raw"), "recipe", r.Name)
	}
	if r != nil && d != nil {
		cooked = cookedText(t, d, r, planner.AmountOf(*d, t.Event.At).Kcal, talk.MealsOf(*d))
	}
	t.Say(say.Para(text), say.Whole(cooked), say.Para(msg("weights.how")))
}

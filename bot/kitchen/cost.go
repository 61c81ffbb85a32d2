package kitchen

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"bowlwright/bot/balance"
	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/nutrition/adjust"
	"bowlwright/planner"
	"bowlwright/planner/larder"
)

// costDays is over how many days what dogs eat by plan is reckoned, and exactDays
// how many times a day's food is, so that a day's cost is rounded once; both
// our own choice.
const (
	costDays  = 28
	exactDays = 100
)

// answerCost says what a recipe costs or, where none is meant, what the dogs eat
// by plan.
func answerCost(t *talk.Turn, s read.Sentence) {
	if len(t.Home.Dogs)+len(t.Home.Recipes) == 0 {
		talk.NoDog(t)
		return
	}
	if other := t.Recipe(s.Other); other != nil { // "which is cheaper, the lamb or the turkey"
		sayCost(t, t.Recipe(s.Recipe), s.Dog, 0)
		sayCost(t, other, s.Dog, 0)
		return
	}
	if read.TellsMoney(t.AsTyped()) { // a price, in words that are not understood
		t.SayMsg("price.how")
		return
	}
	if d := talk.TalkedOf(t); s.Dog == "" && d != nil && read.SaysShe(t.AsTyped()) {
		s.Dog = d.ID
	}
	days := int64(math.Round(s.Days))
	if days == 1 { // a day is told with every sum
		days = 0
	}
	if r := costRecipe(t, s); r != nil && (days == 0 || s.Recipe != "") {
		sayCost(t, r, s.Dog, days)
		return
	}
	sayPlanCost(t, s.Dog, days)
}

// costRecipe is the recipe that is asked about: named, or the only one, or the one
// spoken of where no dog is named.
func costRecipe(t *talk.Turn, s read.Sentence) *planner.Recipe {
	if r := t.Recipe(s.Recipe); r != nil {
		return r
	}
	if r := t.Recipe(t.Talk.Recipe); r != nil && s.Dog == "" && read.Says("per-kilo", t.AsTyped()) {
		return r
	}
	return t.Home.OnlyRecipe(nil)
}

// sayCost says what a recipe costs: a kg, 1000 kcal, the whole as written, and each
// dog's days, with the lines that cost most.
func sayCost(t *talk.Turn, r *planner.Recipe, dog string, days int64) {
	t.Talk.Recipe = r.ID
	sum, err := planner.TotalsOf(*r, t.Foods)
	if err != nil || sum.Grams <= 0 {
		t.Say(say.Para(recipes.RecipeTrouble(r.Name, err)))
		return
	}
	whole := costTimes(t, r, exactDays, exactDays)
	lines := []string{msg("cost.recipe", "recipe", r.Name, "grams", kilos(t, sum.Grams), "sum", sumText(t, whole)),
		msg("cost.kilo", "sum", sumText(t, costTimes(t, r, exactDays*1000/float64(sum.Grams), exactDays)))}
	if kcal, ok := kcalOf(t, r); ok {
		lines = append(lines, msg("cost.kcal", "sum", sumText(t, costTimes(t, r, exactDays*1000/float64(kcal), exactDays))))
	}
	var own []string
	for _, d := range eaters(t, r) {
		if n := planner.AmountOf(*d, t.Event.At); (dog == "" || d.ID == dog) && !n.Waits() && n.Kcal > 0 {
			needs := larder.NeedsOfDay(t.Home, t.Foods, t.Event.At, d, r, exactDays)
			own = append(own, dayCost(t, d.Name, needs.All, exactDays, days))
		}
	}
	if lines = append(lines, own...); days > 0 && len(own) > 0 {
		lines = own
	}
	finishCost(t, lines, whole, r.ID)
}

// batchCost says what food for days costs; empty where no price of it is known.
func batchCost(t *talk.Turn, made *talk.FoodMade) string {
	if len(t.Home.Prices) == 0 {
		return ""
	}
	batch, _, ok := batchOf(t, made.Recipe, int(math.Round(float64(made.Grams))))
	if !ok {
		return ""
	}
	c := costTimes(t, &batch, 1, 1)
	return say.Where(len(c.Lines) > 0, msg("cost.batch", "sum", sumText(t, c)))
}

// costTimes is what so many times a recipe costs, over so many parts.
func costTimes(t *talk.Turn, r *planner.Recipe, times float64, parts int64) larder.Cost {
	var n larder.Needs
	n.Batch(*r, times)
	return larder.CostOf(n.All, parts, t.Home, t.Foods)
}

// dayCost says what a dog costs a day, and in some days: 30 where none are asked for.
func dayCost(t *talk.Turn, who string, all []planner.Purchase, over, days int64) string {
	c := larder.CostOf(all, over, t.Home, t.Foods)
	if len(c.Lines) == 0 {
		return msg("cost.dog-none", "dog", who)
	}
	if days < 1 || days > mostDays {
		days = usualCost
	}
	var times []planner.Purchase
	for _, p := range all {
		p.Grams, p.N = p.Grams*nutrition.Grams(days), p.N*float64(days)
		times = append(times, p)
	}
	return msg("cost.dog", "dog", who, "day", sumText(t, c), "sum", moneyText(t, larder.CostOf(times, over, t.Home, t.Foods).Minor), "days", days)
}

// usualCost is over how many days a sum is told where nobody asks for others (our own
// choice).
const usualCost = 30

// sayPlanCost says what each dog, or one, costs by plan.
func sayPlanCost(t *talk.Turn, dog string, days int64) {
	home := *t.Home
	home.Reminders = slices.Clone(home.Reminders)
	for i := range home.Reminders {
		home.Reminders[i].Stock = nil // what is in stock was paid for too
	}
	var lines []string
	var all larder.Needs
	for _, d := range t.Dogs() {
		if dog != "" && d.ID != dog {
			continue
		}
		of := larder.Span{From: t.Date().AddDays(1), Days: costDays, Dog: d.ID}
		if r := talk.TheRecipe(t, d); r != nil {
			of.Else = r.ID
		}
		needs := larder.NeedsOf(&home, t.Foods, t.Event.At, of, nil)
		if len(needs.All) == 0 {
			continue
		}
		lines = append(lines, dayCost(t, d.Name, needs.All, costDays, days))
		all.Add(needs)
	}
	if len(all.All) == 0 {
		t.SayMsg("shop.nothing")
		return
	}
	if len(lines) > 1 {
		lines = append([]string{dayCost(t, msg("cost.all"), all.All, costDays, days)}, lines...)
	}
	finishCost(t, lines, larder.CostOf(all.All, costDays, t.Home, t.Foods))
}

// mostDear is how many of the dearest lines are listed (our own choice).
const mostDear = 4

// finishCost says some sums, the dearest lines of what they are of, a recipe or all, and
// what has no price; where nothing has one it asks for prices.
func finishCost(t *talk.Turn, lines []string, c larder.Cost, recipe ...string) {
	if len(c.Lines) == 0 {
		t.SayMsg("cost.no-price", "foods", someNames(t, c.Unknown), "food", plainName(t, cmp.Or(append(slices.Clone(c.Unknown), "egg")[0])))
		return
	}
	var rows []say.TableRow
	dearest := c.Lines[:min(len(c.Lines), mostDear)]
	for _, l := range dearest {
		name, same := plainName(t, l.Food), 0
		for _, o := range dearest {
			if plainName(t, o.Food) == name {
				same++
			}
		}
		if same > 1 { // thigh with skin and without
			name = t.FoodName(l.Food)
		}
		rows = append(rows, say.TableRow{Label: name, Cells: []string{moneyText(t, l.Minor), say.Percent(float64(l.Minor) / float64(max(c.Minor, 1)))}})
	}
	foods, more := someNames(t, c.Unknown), len(c.Unknown)-mostNamed
	missing := say.Choose(more > 0, msg("cost.unknown-more", "foods", foods, "n", more), msg("cost.unknown", "foods", foods, "n", len(c.Unknown)))
	t.Say(say.Whole(talk.JoinLines(lines)), say.Para(msg("cost.dearest")), say.TableBlock(rows), say.Whole(say.Where(len(c.Unknown) > 0, missing))).
		Offer(t.Button(msg("button.cheaper"), "cost", append([]string{"save"}, recipe...)...), t.Button(msg("button.prices"), "cost", "prices"))
}

// someNames are the plain names of the first foods.
func someNames(t *talk.Turn, foods []string) string {
	return say.ListOf(foods[:min(len(foods), mostNamed)], func(key string) string { return plainName(t, key) })
}

// mostNamed is how many foods without a price are named (our own choice).
const mostNamed = 8

// saving is a food that would make a recipe cheaper.
type saving struct {
	index int
	of    adjust.Swap
	minor int64 // a day less
}

// answerSaving says which foods of known price would make a recipe cheaper, and
// what that does to it.
func answerSaving(t *talk.Turn, s read.Sentence) {
	r := recipes.MeantWith(t, s)
	if r == nil {
		return
	}
	of := slices.DeleteFunc(eaters(t, r), func(d *planner.Dog) bool {
		n := planner.AmountOf(*d, t.Event.At)
		return n.Waits() || n.Kcal <= 0
	})
	if len(of) == 0 {
		t.SayMsg("packs.nobody", "recipe", r.Name)
		return
	}
	if slices.ContainsFunc(of, func(d *planner.Dog) bool { return dogs.Held(t, d) }) {
		return
	}
	all := savings(t, r, of, s.Food)
	if len(all) == 0 {
		t.SayMsg("save.none", "recipe", r.Name)
		return
	}
	all = all[:min(len(all), mostSavings)]
	lines := say.LinesOf(all, func(a saving) string {
		return strings.TrimSpace(msg("save.line", "in", a.of.Food.Name, "out", t.FoodName(r.Ingredients[a.index].Food), "sum", moneyText(t, a.minor), "worse", balance.Worsened(a.of)))
	})
	out := t.Say(say.Para(msg("save.first", "recipe", r.Name, "dogs", talk.NamesOf(of))), say.Whole(lines), say.Para(msg("save.priced")))
	for _, a := range all {
		out.Offer(t.Button(msg("button.take-cheaper", "food", a.of.Food.Name), "swap", "take", r.ID, dogs.IDOf(of[0]), strconv.Itoa(a.index), a.of.Food.Key))
	}
}

// mostSavings is how many swaps are said (our own choice).
const mostSavings = 4

// savings are the swaps to foods of known price that make a day of some dogs
// cheaper, the most first. What one of them must not have, and what would pass a
// maximum, is not among them.
func savings(t *talk.Turn, r *planner.Recipe, of []*planner.Dog, words string) (all []saving) {
	only := ""
	if f := recipes.FindIn(t, r, words); words != "" && f != nil {
		only = f.Key
	}
	was := dayOf(t, r, of)
	for i, in := range r.Ingredients {
		if only != "" && in.Food != only || t.Home.PriceOf(in.Food) == nil {
			continue
		}
		_, options, err := balance.SwapOptions(t, r, of[0], i)
		if err != nil {
			continue
		}
		for _, o := range options {
			if t.Home.PriceOf(o.Food.Key) == nil || mustNot(t, of, o) {
				continue
			}
			swapped := *r
			swapped.Ingredients = slices.Clone(r.Ingredients)
			swapped.Ingredients[i] = planner.Ingredient{Food: o.Food.Key, Grams: o.Grams}
			if less := was - dayOf(t, &swapped, of); less > 0 {
				all = append(all, saving{i, o, less})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b saving) int { return cmp.Compare(b.minor, a.minor) })
	return all
}

// dayOf is what a day of a recipe costs for some dogs, without what has no price.
func dayOf(t *talk.Turn, r *planner.Recipe, of []*planner.Dog) int64 {
	var all []planner.Purchase
	for _, d := range of {
		all = append(all, larder.NeedsOfDay(t.Home, t.Foods, t.Event.At, d, r, exactDays).All...)
	}
	return larder.CostOf(all, exactDays, t.Home, t.Foods).Minor
}

// mustNot reports that a swap is nothing for one of the dogs, or passes a maximum.
func mustNot(t *talk.Turn, of []*planner.Dog, o adjust.Swap) bool {
	excluded := func(d *planner.Dog) bool {
		exclude := dogs.Excluder(t, d)
		return exclude != nil && exclude(o.Food)
	}
	return slices.ContainsFunc(of, excluded) || slices.ContainsFunc(o.Worse, func(c adjust.Change) bool { return c.To.TooMuch() })
}

// answerBatchCost says what the batch costs that was worked out last or, where none
// was just now, that was made last, and each pack of it; where there is none, what the
// recipe costs.
func answerBatchCost(t *talk.Turn, s read.Sentence) {
	if r, grams := batchOffered(t); r != nil && (s.Recipe == "" || s.Recipe == r.ID) {
		if batch, _, ok := batchOf(t, r, grams); ok {
			asked := t.Offered("shop")
			sayBatchCost(t, r, &batch, nil)
			for _, args := range asked {
				t.LastReply().Offer(t.Button(msg("button.to-buy"), "shop", args...)) // so that it stays the one that is meant
			}
			return
		}
	}
	if lots := newestLots(t, s.Recipe); len(lots) > 0 {
		r := t.Recipe(lots[0].Recipe)
		of := planner.Recipe{ID: lots[0].Recipe, Name: lots[0].Name, Ingredients: lots[0].Of}
		if r != nil {
			of.Doses = r.Doses
		}
		kcal := nutrition.Kcal(0)
		for _, l := range lots {
			kcal += l.Kcal * nutrition.Kcal(l.Moves[0].Packs)
		}
		if whole, ok := kcalOf(t, &of); ok {
			if batch, err := planner.Scale(of, float64(kcal/whole)); err == nil {
				sayBatchCost(t, &of, &batch, lots)
				return
			}
		}
	}
	answerCost(t, s)
}

// batchOffered is the recipe of the batch that the last reply is about, and its grams
// as the recipe is written; nil where it is about none.
func batchOffered(t *talk.Turn) (r *planner.Recipe, grams int) {
	for _, args := range t.Offered("shop") {
		if args[0] == "batch" {
			grams, _ = strconv.Atoi(talk.Arg(args, 2))
			return t.Recipe(talk.Arg(args, 1)), grams
		}
	}
	for _, args := range t.Offered("packs") {
		if args[0] == "juice" {
			grams, _ = strconv.Atoi(talk.Arg(args, 3))
			return t.Recipe(talk.Arg(args, 2)), grams
		}
	}
	return nil, 0
}

// newestLots are the lots of the batch that was made last, of a recipe where one is
// named.
func newestLots(t *talk.Turn, recipe string) (all []planner.Lot) {
	for _, l := range lotsOf(t.Home) {
		switch {
		case recipe != "" && l.Recipe != recipe || len(l.Of) == 0:
		case len(all) == 0 || l.Moves[0].At.After(all[0].Moves[0].At):
			all = []planner.Lot{l}
		case l.Moves[0].At.Equal(all[0].Moves[0].At) && l.Recipe == all[0].Recipe:
			all = append(all, l)
		}
	}
	return all
}

// sayBatchCost says what a batch of a recipe costs, and its packs.
func sayBatchCost(t *talk.Turn, r, batch *planner.Recipe, lots []planner.Lot) {
	t.Talk.Recipe = r.ID
	c := costTimes(t, batch, 1, 1)
	sum, _ := planner.TotalsOf(*batch, t.Foods)
	lines := []string{msg("cost.of-batch", "recipe", r.Name, "grams", kilos(t, sum.Grams), "sum", sumText(t, c))}
	for _, l := range lots {
		part := float64(l.Kcal) / max(sum.Energy.Mid, 1)
		lines = append(lines, msg("cost.pack", "each", say.Mass(nutrition.Grams(l.Each), t.Home.Units), "dog", dogOf(t, l.Dog), "sum", sumText(t, costTimes(t, batch, part, 1))))
	}
	finishCost(t, lines, c, r.ID)
}

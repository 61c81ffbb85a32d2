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
)

// portion is one dog's part of a batch.
type portion struct {
	dog  *planner.Dog
	kcal nutrition.Kcal  // a day
	aDay nutrition.Grams // of the batch
	pack planner.Packing
}

// share shares a batch of so many grams and kcal out to dogs, in packs. What they
// get adds up to the batch.
func share(t *talk.Turn, r *planner.Recipe, grams int, kcal nutrition.Kcal, of []*planner.Dog) (all []portion) {
	var sum nutrition.Kcal
	for _, d := range of {
		if n := planner.AmountOf(*d, t.Event.At); !n.Waits() && n.Kcal > 0 {
			kcal := r.Share(n.Kcal) * bowls.LastingShare(t, d, r)
			all = append(all, portion{dog: d, kcal: kcal})
			sum += kcal
		}
	}
	if sum <= 0 || kcal <= 0 || grams <= 0 {
		return nil
	}
	left := grams
	for i := range all {
		p := &all[i]
		p.aDay = nutrition.Grams(p.kcal / kcal * nutrition.Kcal(grams))
		part := int(math.Round(float64(grams) * float64(p.kcal/sum)))
		if i == len(all)-1 {
			part = left
		}
		left -= part
		p.pack = planner.PackUp(part, p.aDay)
	}
	return all
}

// eaters are the dogs that eat a recipe, today or by their rotation; where none
// does, all that may.
func eaters(t *talk.Turn, r *planner.Recipe) (all []*planner.Dog) {
	for _, d := range t.Dogs() {
		id, _ := planner.RecipeOn(t.Home, d.ID, t.Date())
		rot := planner.RotationOf(t.Home, d.ID)
		if d.Died.IsZero() && (id == r.ID || planner.ShareOf(t.Home, d.ID, t.Date(), -1, r.ID) > 0 || rot != nil && d.MayEat(r.ID) && rot.Has(r.ID)) {
			all = append(all, d)
		}
	}
	if len(all) > 0 {
		return all
	}
	for _, d := range t.Dogs() {
		if d.Died.IsZero() && d.MayEat(r.ID) {
			all = append(all, d)
		}
	}
	return all
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
	cooks := read.SaysCooking(t.Event.Text)
	yield, weighed := r.Yield()
	inCooked := planner.InCookedWeights(*r, t.Foods)
	grams, first, packed := made.Grams, "", 0.0
	switch {
	case inCooked:
		packed, cooks = 1, true
		first = buyText(t, &made.Scaled)
	case weighed && !read.SaysUncooked(t.Event.Text):
		grams, packed, cooks = made.Grams*nutrition.Grams(yield), yield, true
		first = msg("cooked.comes-out", "cooked", kilos(t, grams), "yield", say.Trim(yield, 2), "whose", whoseText(t, r))
	}
	all := share(t, r, int(math.Round(float64(grams))), kcal, of)
	if !ok || len(all) == 0 {
		return
	}
	out := made.Out
	out.Add(countedText(t, &made.Scaled))
	if nutrition.Grams(math.Floor(float64(grams)/keepsFor(t, r))) > whole(all) {
		out.Add(msg("batch.too-long"))
		return
	}
	keeps := keepsRaw
	if cooks {
		keeps = keepsCooked
	}
	if t.Home.NoFreezer && grams > nutrition.Grams(keeps)*whole(all)*(1+slack) {
		out.Add(first)
		out.Add(msg("batch.no-freezer", "days", keeps))
		return
	}
	out.Add(first)
	out.Add(packsText(t, all, len(made.Dogs) == 0))
	out.Add(supplementsText(t, &made.Scaled, cooks))
	if cooks && packed == 0 {
		y := planner.UsualYield(made.Scaled, t.Foods)
		out.Add(msg("cooked.about", "low", kilos(t, made.Grams*nutrition.Grams(y.Low)), "high", kilos(t, made.Grams*nutrition.Grams(y.High)),
			"raw", kilos(t, made.Grams), "mid", kilos(t, made.Grams*nutrition.Grams((y.Low+y.High)/2))))
	}
	offerFrozen(t, out, r, all, packed)
	if cooks && packed == 0 {
		out.Offer(t.Button(msg("button.weighed-cooked"), "packs", "weighed", r.ID))
	}
}

// slack is by how much a batch may be more than it is for, as rounding makes it (our
// own choice).
const slack = 0.05

// keepsFor is for how many days a recipe keeps frozen.
func keepsFor(t *talk.Turn, r *planner.Recipe) float64 {
	return float64(t.Date().DaysTo(planner.UseBy(t.Date(), planner.Oily(*r, t.Foods))))
}

// whole is what dogs get a day together.
func whole(all []portion) (g nutrition.Grams) {
	for _, p := range all {
		g += p.aDay
	}
	return g
}

// kcalOf is what a recipe brings; false where that is not known.
func kcalOf(t *talk.Turn, r *planner.Recipe) (nutrition.Kcal, bool) {
	sum, err := planner.TotalsOf(*r, t.Foods)
	return nutrition.Kcal(sum.Energy.Mid), err == nil && sum.Energy.Mid > 0
}

// countedText is what one buys of a batch by the piece.
func countedText(t *talk.Turn, r *planner.Recipe) string {
	var what []string
	for _, c := range planner.CountedOf(*r, t.Foods) {
		food, each := plainName(t, c.Food), say.Mass(c.Each, t.Home.Units)
		if c.Unit == "can" {
			what = append(what, msg("batch.can", "n", c.N, "food", food, "each", each))
		} else {
			what = append(what, msg("batch.piece", "n", c.N, "food", food, "each", each))
		}
	}
	if len(what) == 0 {
		return ""
	}
	return msg("batch.counted", "what", say.List(what))
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

// packsText is the packs that a batch makes; days says for how long that is.
func packsText(t *talk.Turn, all []portion, days bool) string {
	var lines []string
	rest := 0
	for _, p := range all {
		rest += p.pack.Rest
		if p.pack.Packs > 0 {
			lines = append(lines, msg("batch.packs", "n", p.pack.Packs, "each", say.Mass(nutrition.Grams(p.pack.Each), t.Home.Units), "dog", p.dog.Name, "days", packDays(p)))
		}
	}
	if days {
		sum := 0
		for _, p := range all {
			sum += p.pack.Packs*p.pack.Each + p.pack.Rest
		}
		lines = append([]string{msg("batch.days", "days", say.Trim(float64(sum)/float64(whole(all)), 1), "dogs", say.ListOf(all, func(p portion) string { return p.dog.Name }))}, lines...)
	}
	if rest > 0 && slices.ContainsFunc(all, func(p portion) bool { return p.pack.Packs > 0 }) {
		lines = append(lines, msg("batch.rest", "grams", say.ExactMass(nutrition.Grams(rest), t.Home.Units)))
	}
	return talk.JoinLines(lines)
}

// packDays says how much of a day a pack is.
func packDays(p portion) string {
	if n := planner.PacksADay(p.aDay); n > 1 {
		return msg("batch.a-day", "n", int(n))
	}
	return msg("batch.one-a-day")
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
	stir := msg("batch.stir", "what", say.List(mixed))
	if cooks {
		stir = msg("batch.stir-cool", "what", say.List(mixed))
	}
	return say.JoinParas(say.Where(len(bowl) > 0, msg("batch.on-bowl", "what", say.List(bowl))), say.Where(len(mixed) > 0, stir))
}

// offerFrozen adds the buttons that put packs into the stock; as many dogs to a
// button as its data has room for.
func offerFrozen(t *talk.Turn, out *say.Reply, r *planner.Recipe, all []portion, yield float64) {
	all = slices.DeleteFunc(slices.Clone(all), func(p portion) bool { return p.pack.Packs == 0 })
	of := talk.ChangeID(t.Event.ID)
	of = of[max(0, len(of)-4):]
	for part := range slices.Chunk(all, 3) {
		args := []string{"in", r.ID, of, strconv.Itoa(int(math.Round(yield * 1000)))}
		for _, p := range part {
			args = append(args, strings.Join([]string{p.dog.ID, strconv.Itoa(p.pack.Packs), strconv.Itoa(p.pack.Each)}, "."))
		}
		label := msg("button.frozen")
		if len(all) > 3 {
			label = msg("button.frozen-of", "dogs", say.ListOf(part, func(p portion) string { return p.dog.Name }))
		}
		out.Offer(t.Button(label, "packs", args...))
	}
}

// pressFrozen puts the packs of a batch into the stock, once.
func pressFrozen(t *talk.Turn, args []string) {
	r := t.Recipe(talk.Arg(args, 0))
	of, thousandth := talk.Arg(args, 1), talk.Arg(args, 2)
	yield, err := strconv.Atoi(thousandth)
	switch {
	case r == nil || err != nil:
		t.SayMsg("press.gone")
		return
	case yield > 0 && recipes.AnyBone(t, r.Ingredients): // put in meanwhile
		recipes.RefuseCooked(t, r)
		return
	}
	var lots []planner.Lot
	for _, arg := range args[3:] {
		part := strings.Split(arg, ".")
		n, _ := strconv.Atoi(talk.Arg(part, 1))
		each, _ := strconv.Atoi(talk.Arg(part, 2))
		d := t.Dog(part[0])
		if d == nil || n <= 0 || each <= 0 {
			t.SayMsg("press.gone")
			return
		}
		if dogs.Held(t, d) {
			return
		}
		lots = append(lots, planner.Lot{ID: of + "." + d.ID, Dog: d.ID, Each: each, Yield: float64(yield) / 1000, Moves: []planner.PackMove{{Kind: planner.PacksMade, Packs: n, At: t.Event.At.UTC()}}})
	}
	for _, l := range t.Home.Packs {
		if slices.ContainsFunc(lots, func(m planner.Lot) bool { return m.ID == l.ID }) {
			t.SayMsg("packs.in-already", "recipe", r.Name).Offer(t.Button(msg("button.left"), "packs", "left"))
			return
		}
	}
	putIn(t, r, lots)
}

// putIn keeps lots of a recipe, and says what is there now and for how long.
func putIn(t *talk.Turn, r *planner.Recipe, lots []planner.Lot) {
	kcal, ok := kcalOf(t, r)
	sum, _ := planner.TotalsOf(*r, t.Foods)
	if !ok || len(lots) == 0 {
		t.SayMsg("packs.no-kcal", "recipe", r.Name)
		return
	}
	t.Mutate("did.packs", r.Name)
	t.Home.NoFreezer = false
	var labels []string
	useBy := planner.UseBy(t.Date(), planner.Oily(*r, t.Foods))
	inPlace := false
	for _, l := range lots {
		l.Recipe, l.Name, l.UseBy, l.Of = r.ID, r.Name, useBy, slices.Clone(r.Ingredients)
		l.Kcal = kcal * nutrition.Kcal(float64(l.Each)/float64(sum.Grams)/cmp.Or(l.Yield, 1))
		if l.Yield > 0 {
			inPlace = dropRaw(t, l) || inPlace
		}
		t.Home.Packs = append(t.Home.Packs, l)
		labels = append(labels, msg("packs.label", "dog", dogOf(t, l.Dog), "recipe", r.Name, "each", say.Mass(nutrition.Grams(l.Each), t.Home.Units), "day", t.Date().String()))
	}
	if !slices.ContainsFunc(t.Home.Reminders, func(m planner.Reminder) bool { return m.Kind == planner.PacksReminder }) {
		t.AddReminder(planner.Reminder{Kind: planner.PacksReminder, Schedule: planner.FromCadence(planner.Cadence{}, t.Date(), []planner.Clock{lowTime})})
	}
	out := t.Say(say.Para(shelvesText(t, shelvesOf(t, r.ID, ""))), say.Para(say.Where(inPlace, msg("packs.in-place"))), say.Para(msg("packs.labels")+"\n"+talk.JoinLines(labels)),
		say.Whole(msg("packs.keep", "day", t.DateText(useBy))))
	out.Offer(t.Button(msg("button.left"), "packs", "left"), t.UndoButton())
}

// sameBatch is by how much packs may differ in what they weighed raw and still be
// of one batch: our own choice.
const sameBatch = 0.15

// dropRaw takes out packs that were counted raw today, of as much food, and were
// not touched since: they are those that are counted cooked now. It reports
// whether there were any.
func dropRaw(t *talk.Turn, cooked planner.Lot) bool {
	n := len(t.Home.Packs)
	raw := float64(cooked.Moves[0].Packs*cooked.Each) / cooked.Yield
	t.Home.Packs = slices.DeleteFunc(t.Home.Packs, func(l planner.Lot) bool {
		return l.Recipe == cooked.Recipe && l.Dog == cooked.Dog && l.Yield == 0 && len(l.Moves) == 1 &&
			math.Abs(float64(l.Moves[0].Packs*l.Each)-raw) <= raw*sameBatch && t.DateAt(l.Moves[0].At) == t.Date()
	})
	return len(t.Home.Packs) < n
}

// dogOf is the name of a dog, or that packs are for all.
func dogOf(t *talk.Turn, id string) string {
	if d := t.Dog(id); d != nil {
		return d.Name
	}
	if id != "" {
		return msg("packs.dog-gone")
	}
	return msg("packs.all-dogs")
}

// answerMade keeps packs that a carer tells of: "froze 12 packs of 400 g of lamb".
func answerMade(t *talk.Turn, s read.Sentence) {
	r := t.RecipeMeant(s)
	if r == nil {
		return
	}
	if s.Count < 1 || s.Count > mostPacks || s.Grams < 1 || s.Grams > mostEach {
		t.SayMsg("packs.how-many")
		return
	}
	if read.SaysCooking(t.Event.Text) && recipes.AnyBone(t, r.Ingredients) {
		recipes.RefuseCooked(t, r)
		return
	}
	of := eaters(t, r)
	lot := planner.Lot{ID: talk.ChangeID(t.Event.ID), Each: int(math.Round(float64(s.Grams))), Moves: []planner.PackMove{{Kind: planner.PacksMade, Packs: int(s.Count), At: t.Event.At.UTC()}}}
	if len(of) == 1 {
		lot.Dog = of[0].ID
	}
	putIn(t, r, []planner.Lot{lot})
}

// What nobody freezes at once: more packs, or heavier ones (our own choice).
const (
	mostPacks = 500
	mostEach  = 20000
)

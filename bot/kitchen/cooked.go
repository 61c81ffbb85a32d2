package kitchen

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/larder"
)

// answerCameOut takes what a batch weighs cooked: "3 kg raw came out as 2.2 kg".
// A weight outside the usual range is asked about.
func answerCameOut(t *talk.Turn, s read.Sentence) {
	r := talk.RecipeMeant(t, s)
	if r == nil {
		return
	}
	t.Talk.Recipe = r.ID
	if recipes.NotCooked(t, r) {
		return
	}
	if s.Grams == 0 && s.Count > 0 { // "3.3 kg from 4.2"
		unit := nutrition.Grams(1000)
		if s.Imperial {
			unit = nutrition.GramsPerPound
		}
		s.Grams = nutrition.Grams(s.Count) * unit
	}
	raw, cooked := int(math.Round(float64(s.Grams))), int(math.Round(float64(s.Cooked)))
	if raw < 1 || cooked < 1 {
		t.SayMsg("cooked.how-much")
		return
	}
	y := usualYield(t, r)
	if yield := float64(cooked) / float64(raw); !y.Has(yield) {
		args := []string{"cooked", r.ID, strconv.Itoa(raw), strconv.Itoa(cooked)}
		t.AskedSure("packs", args...)
		t.SayMsg("cooked.unusual", "raw", kilos(t, nutrition.Grams(raw)), "cooked", kilos(t, nutrition.Grams(cooked)), "yield", say.Trim(yield, 2), "recipe", r.Name, "low", say.Trim(y.Low, 2), "high", say.Trim(y.High, 2)).
			Offer(t.Button(msg("button.that-is-right"), "packs", args...))
		return
	}
	sayCooked(t, r, raw, cooked)
}

// pressCooked takes an unusual weight that was confirmed.
func pressCooked(t *talk.Turn, args []string) {
	r := t.Recipe(talk.Arg(args, 0))
	raw, err := strconv.Atoi(talk.Arg(args, 1))
	cooked, err2 := strconv.Atoi(talk.Arg(args, 2))
	switch {
	case r == nil || err != nil || err2 != nil || raw < 1 || cooked < 1:
		t.SayMsg("press.gone")
	case !recipes.NotCooked(t, r): // bone may have been put in meanwhile
		sayCooked(t, r, raw, cooked)
	}
}

// sayCooked keeps what a recipe weighed cooked, and says the bowls of that batch in
// cooked grams, and its packs.
func sayCooked(t *talk.Turn, r *planner.Recipe, raw, cooked int) {
	inCooked := larder.InCookedWeights(*r, t.Foods)
	weighed := say.Choose(inCooked, cooked, raw) // as the recipe is written
	batch, kcal, ok := batchOf(t, r, weighed)
	if !ok {
		t.SayMsg("packs.no-kcal", "recipe", r.Name)
		return
	}
	of, waiting := dogsOffered(t, r)
	of = slices.DeleteFunc(of, func(d *planner.Dog) bool { return dogs.Held(t, d) || dogs.SignHeld(t, d, r) })
	all, lasts := share(t, r, cooked, kcal, 0, of)
	if len(all) == 0 {
		if len(t.Replies) == 0 {
			t.SayMsg("packs.nobody", "recipe", r.Name)
		}
		return
	}
	t.Mutate("did.yield", r.Name)
	r.Weigh(raw, cooked, t.Date())
	yield := float64(cooked) / float64(raw)
	lines := say.LinesOf(all, func(p portion) string {
		meals := talk.MealsOf(*p.dog)
		return msg("cooked.bowl", "dog", p.dog.Name, "day", say.Mass(p.aDay, t.Home.Units), "meal", say.Mass(p.aDay/nutrition.Grams(meals), t.Home.Units), "raw", say.Mass(p.aDay/nutrition.Grams(yield), t.Home.Units))
	})
	packs, again := packsText(t, all, lasts), weighedNow(t, r, raw, cooked, !waiting)
	if again {
		packs = msg("cooked.same-packs") + "\n" + shelvesText(t, shelvesOf(t, r.ID, ""))
	}
	out := t.Say(say.Para(msg("cooked.first", "raw", kilos(t, nutrition.Grams(raw)), "cooked", kilos(t, nutrition.Grams(cooked)), "recipe", r.Name, "yield", say.Trim(yield, 2))),
		say.Whole(lines), say.Para(packs), say.Para(supplementsText(t, &batch, true)), say.Waits(msg("cooked.kept", "recipe", r.Name)), say.Para(msg("cooked.juice")))
	if inCooked {
		yield = 1 // its own weights are cooked ones
	}
	offerFrozen(t, out, r, all, yield, again)
	out.Offer(t.Button(msg("button.juice-in"), "packs", "juice", "in", r.ID, strconv.Itoa(weighed)), t.Button(msg("button.juice-off"), "packs", "juice", "off", r.ID, strconv.Itoa(weighed)))
	out.Offer(t.UndoButton())
}

// dogsOffered are the dogs that a batch of a recipe is for: those of the one that the
// last reply is about and that waits to be counted, else all that eat it.
func dogsOffered(t *talk.Turn, r *planner.Recipe) (all []*planner.Dog, waiting bool) {
	for _, l := range lotsOffered(t, r.ID) {
		if d := t.Dog(l.Dog); d != nil {
			all = append(all, d)
		}
	}
	if len(all) == 0 {
		return eaters(t, r), false
	}
	return all, true
}

// batchOf is a recipe scaled to some grams, and what it brings.
func batchOf(t *talk.Turn, r *planner.Recipe, raw int) (batch planner.Recipe, kcal nutrition.Kcal, ok bool) {
	f, err := planner.FactorForGrams(*r, nutrition.Grams(raw))
	if err != nil {
		return batch, 0, false
	}
	if batch, err = planner.Scale(*r, f); err != nil {
		return batch, 0, false
	}
	kcal, ok = kcalOf(t, &batch)
	return batch, kcal, ok
}

// cookedText says a day's food of a dog in cooked grams, where its packs of a
// recipe that are used next were cooked or, where there are none, the recipe was
// weighed cooked; else it is empty.
func cookedText(t *talk.Turn, d *planner.Dog, r *planner.Recipe, kcal nutrition.Kcal, meals int) string {
	mass := func(g nutrition.Grams) string { return say.Mass(g, t.Home.Units) }
	aMeal := nutrition.Grams(max(meals, 1))
	frozen := ""
	var all []larder.Stock
	if d != nil {
		all = stocksFor(t, r.ID, d.ID)
	}
	if next := slices.IndexFunc(all, func(s larder.Stock) bool { return s.Left() > 0 }); next >= 0 {
		lot := all[next].Lot
		aDay := packed(lot, r.Share(kcal))
		switch {
		case len(lot.Of) > 0 && !planner.SameParts(&planner.Recipe{Ingredients: lot.Of}, &planner.Recipe{Ingredients: r.Ingredients}): // it was changed since
			return msg("packs.older", "made", t.DateText(t.DateAt(lot.Moves[0].At)), "recipe", r.Name, "day", mass(aDay), "meal", mass(aDay/aMeal))
		case lot.Yield == 0:
			frozen = msg("packs.raw")
		case lot.Yield == 1:
			return "" // as the recipe is written
		default:
			return msg("cooked.from-packs", "recipe", r.Name, "day", mass(aDay), "meal", mass(aDay/aMeal))
		}
	}
	yield, _ := r.Yield()
	sum, err := planner.TotalsOf(*r, t.Foods)
	if !recipes.Cooks(t, r) || err != nil || sum.Energy.Mid <= 0 {
		return ""
	}
	aDay := sum.Grams * nutrition.Grams(float64(r.Share(kcal))/sum.Energy.Mid*yield)
	said := msg("cooked.by-yield", "recipe", r.Name, "day", mass(aDay), "meal", mass(aDay/aMeal), "yield", say.Trim(yield, 2), "whose", whoseText(t, r))
	low, high := withoutFat(t, r, r.Share(kcal))
	return say.JoinParas(said, say.Where(r.Cooking.Poured, msg("cooked.poured", "low", say.Kcal(low), "high", say.Kcal(high))), frozen)
}

// packed is what some kcal weigh in packs of a lot.
func packed(l *planner.Lot, kcal nutrition.Kcal) nutrition.Grams {
	return nutrition.Grams(kcal / l.Kcal * nutrition.Kcal(l.Each))
}

// Packed is a dog's day of a recipe as packs of it weigh, what there is of them, and
// whether they are cooked. It reports false where there are none for a day.
func Packed(t *talk.Turn, d *planner.Dog, r *planner.Recipe, day planner.Date) (aDay nutrition.Grams, left string, cooked, ok bool) {
	of := shelvesOf(t, r.ID, d.ID)
	for _, s := range stocksFor(t, r.ID, d.ID) {
		lasts := func(f shelf) bool { out, eaten := f.runsOut(t); return eaten && day.Before(out) }
		if s.Left() > 0 && slices.ContainsFunc(of, lasts) {
			return packed(s.Lot, r.Share(planner.AmountOf(*d, t.Event.At).Kcal)), shelvesText(t, of), s.Lot.Yield > 0, true
		}
	}
	return 0, "", false, false
}

// rawText says of an amount that is asked for cooked that it is raw, and about what
// that is cooked; empty where nobody asked for that, or the weights are cooked ones.
func rawText(t *talk.Turn, r *planner.Recipe, kcal nutrition.Kcal) string {
	sum, err := planner.TotalsOf(*r, t.Foods)
	if !slices.Contains(strings.Fields(strings.ToLower(t.Event.Text)), "cooked") || larder.InCookedWeights(*r, t.Foods) || recipes.AnyBone(t, r.Ingredients) || err != nil || sum.Energy.Mid <= 0 {
		return ""
	}
	y := usualYield(t, r)
	aDay := float64(sum.Grams) * float64(r.Share(kcal)) / sum.Energy.Mid
	return msg("cooked.unweighed", "recipe", r.Name, "low", say.Mass(nutrition.Grams(aDay*y.Low), t.Home.Units), "high", say.Mass(nutrition.Grams(aDay*y.High), t.Home.Units))
}

// cookedDraft is a pan that was weighed cooked, of which nobody has said what went in.
type cookedDraft struct {
	Recipe string          `json:"recipe"`
	Cooked nutrition.Grams `json:"cooked"`
}

// answerCookedOnly takes what a batch weighs cooked, or what part of its weight it
// lost, where what went in is not said: it was that batch that was worked out last,
// else it is asked. A part is of the recipe as it is written where there is none.
func answerCookedOnly(t *talk.Turn, s read.Sentence) {
	r, raw := batchOffered(t)
	if r == nil || s.Recipe != "" && r.ID != s.Recipe {
		if r, raw = talk.RecipeMeant(t, s), 0; r == nil {
			return
		}
	}
	if s.Factor > 0 {
		if sum, err := planner.TotalsOf(*r, t.Foods); raw == 0 && err == nil {
			raw = int(math.Round(float64(sum.Grams)))
		}
		s.Cooked = nutrition.Grams(float64(raw) * (1 - s.Factor))
	}
	if raw == 0 {
		askRaw(t, cookedDraft{r.ID, s.Cooked})
		return
	}
	answerCameOut(t, read.Sentence{Recipe: r.ID, Grams: nutrition.Grams(raw), Cooked: s.Cooked})
}

// askRaw asks what went into the pan.
func askRaw(t *talk.Turn, d cookedDraft) {
	t.Ask("cooked", "raw", d)
	t.SayMsg("cooked.ask-raw", "cooked", kilos(t, d.Cooked), "recipe", talk.RecipeName(t, d.Recipe)).Offer(t.StopButton())
}

func takeRaw(t *talk.Turn, d cookedDraft, in talk.Answer) {
	grams := panWeight(t, in.Text)
	if grams <= 0 {
		if t.Asked(in.Text) {
			t.Again(func() { askRaw(t, d) })
		} else {
			talk.Wrong(t, msg("cooked.no-raw", "text", say.Short(in.Value())), func() { askRaw(t, d) })
		}
		return
	}
	t.EndDialogue()
	answerCameOut(t, read.Sentence{Recipe: d.Recipe, Grams: grams, Cooked: d.Cooked})
}

// panWeight is what a text says that a pan weighs, and no more than that; 0 where it
// says something else. A bare number is in what pans are weighed in.
func panWeight(t *talk.Turn, s string) nutrition.Grams {
	words := strings.Fields(strings.ToLower(strings.Trim(s, " .!")))
	for len(words) > 1 && read.In("sum-leads", strings.Trim(words[0], ",")) {
		words = words[1:]
	}
	s = strings.Join(words, " ")
	if n, err := span.Number(s); err == nil {
		s += say.Choose(t.Home.Units.Ounces, " lb", say.Choose(n < 100, " kg", " g"))
	}
	if rest, grams := read.AmountOff(s); rest == "" {
		return grams
	}
	return 0
}

// unsureWeighed answers what was typed where it was asked whether an unusual weight is
// right: another weight takes its place; else what was said is done, and the weight can
// still be confirmed.
func unsureWeighed(t *talk.Turn, h *talk.NeitherYesNorNo) {
	args := h.Args[1:] // behind "cooked"
	raw, _ := strconv.Atoi(talk.Arg(args, 1))
	h.Taken = true
	t.Event.Text = h.Text
	if is, _, ok := read.SumSaid(h.Text); ok { // "sorry, it was 2.1"
		h.Text = is.Money.Sum
	}
	if cooked := panWeight(t, h.Text); cooked > 0 {
		answerCameOut(t, read.Sentence{Recipe: talk.Arg(args, 0), Grams: nutrition.Grams(raw), Cooked: cooked})
		return
	}
	t.RouteWords(h.Text)
	if len(t.Replies) > 0 {
		cooked, _ := strconv.Atoi(talk.Arg(args, 2))
		t.LastReply().Add(msg("cooked.not-kept", "raw", kilos(t, nutrition.Grams(raw)), "cooked", kilos(t, nutrition.Grams(cooked))))
		t.LastReply().Offer(t.Button(msg("button.that-is-right"), "packs", h.Args...))
	}
}

// panMended takes "no, it was 16.9 kg, not 15.9 kg" after a pan that was just weighed, and
// reports whether it was that.
func panMended(t *talk.Turn, s string) bool {
	if r, _ := batchOffered(t); r == nil {
		return false
	}
	got, ok := t.Understand(strings.Replace(strings.ToLower(s), "it was", "the batch was", 1))
	if !ok || got.Intent != read.CookedFix {
		return false
	}
	answerCookedFix(t, got)
	return true
}

// sameWeight is by how much a weight may differ from one that was told before and
// still be it (our own choice).
const sameWeight = 0.02

// answerCookedFix takes back what a pan was said to weigh, raw or cooked, and has the
// packs that were counted of it bring what they do by the right weight.
func answerCookedFix(t *talk.Turn, s read.Sentence) {
	is := func(grams int) bool {
		return grams > 0 && math.Abs(float64(grams)-float64(s.Cooked)) <= sameWeight*float64(grams)
	}
	for _, r := range t.Recipes() {
		raw, cooked := r.Cooking.Raw, r.Cooking.Cooked
		was, weighed := r.Yield()
		switch {
		case s.Recipe != "" && r.ID != s.Recipe || !weighed:
			continue
		case is(cooked):
			cooked = int(math.Round(float64(s.Grams)))
		case is(raw):
			raw = int(math.Round(float64(s.Grams)))
		default:
			continue
		}
		counted := false
		yield := float64(cooked) / float64(raw)
		for n := range t.Home.Packs {
			if l := &t.Home.Packs[n]; l.Recipe == r.ID && l.Raw == 0 && math.Abs(l.Yield-was) < 0.001 { // its button has a thousandth
				t.Mutate("did.yield", r.Name)
				l.Kcal *= nutrition.Kcal(was / yield)
				l.Yield, l.Warned, counted = yield, false, true
			}
		}
		if !counted {
			answerCameOut(t, read.Sentence{Recipe: r.ID, Grams: nutrition.Grams(raw), Cooked: nutrition.Grams(cooked)})
			return
		}
		r.Weigh(raw, cooked, t.Date())
		weighedNow(t, r, raw, cooked, false)
		t.Say(say.Para(msg("cooked.fixed", "raw", kilos(t, nutrition.Grams(raw)), "cooked", kilos(t, nutrition.Grams(cooked)), "recipe", r.Name, "yield", say.Trim(yield, 2))),
			say.Whole(shelvesText(t, shelvesOf(t, r.ID, "")))).Offer(t.UndoButton())
		return
	}
	t.SayMsg("cooked.how-much")
}

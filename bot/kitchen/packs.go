package kitchen

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/larder"
)

// offerFrozen adds the buttons that put packs into the stock; as many dogs to a
// button as its data has room for. more says that they are beside those of the same
// weight that were counted raw.
func offerFrozen(t *talk.Turn, out *say.Reply, r *planner.Recipe, all []portion, yield float64, more bool) {
	all = slices.DeleteFunc(slices.Clone(all), func(p portion) bool { return p.pack.Packs == 0 })
	of := talk.ChangeID(t.Event.ID)
	of = of[max(0, len(of)-4):]
	for part := range slices.Chunk(all, 3) {
		args := []string{say.Choose(more, "in-more", "in"), r.ID, of, strconv.Itoa(int(math.Round(yield * 1000)))}
		for _, p := range part {
			args = append(args, strings.Join([]string{p.dog.ID, strconv.Itoa(p.pack.Packs), strconv.Itoa(p.pack.Each)}, "."))
		}
		label := say.Choose(more, msg("button.more-packs"), msg("button.frozen"))
		if len(all) > 3 {
			label = msg("button.frozen-of", "dogs", say.ListOf(part, func(p portion) string { return p.dog.Name }))
		}
		out.Offer(t.Button(label, "packs", args...))
	}
}

// pressFrozen puts the packs of a batch into the stock, once. more says that those which
// were counted raw before are others, and raw still.
func pressFrozen(t *talk.Turn, more bool, args []string) {
	r := t.Recipe(talk.Arg(args, 0))
	yield, err := strconv.Atoi(talk.Arg(args, 2))
	switch {
	case r == nil || err != nil:
		t.SayMsg("press.gone")
		return
	case yield > 0 && recipes.NotCooked(t, r): // put in meanwhile
		return
	}
	lots := lotsIn(t, args)
	for _, l := range lots {
		d := t.Dog(l.Dog)
		if talk.Gone(t, d == nil || l.Moves[0].Packs <= 0 || l.Each <= 0) {
			return
		}
		if dogs.Held(t, d) {
			return
		}
	}
	if slices.ContainsFunc(lots, func(l planner.Lot) bool { return lotKept(t, l.ID) != nil }) {
		t.SayMsg("packs.in-already", "recipe", r.Name).Offer(t.Button(msg("button.left"), "packs", "left"))
		return
	}
	for i := range t.Home.Packs {
		if l := &t.Home.Packs[i]; more && l.Recipe == r.ID && l.Raw > 0 {
			t.Mutate("did.packs", r.Name)
			l.Weigh(l.Raw, 0)
		}
	}
	putIn(t, r, lots)
}

// lotsIn are the packs that a button puts into the stock.
func lotsIn(t *talk.Turn, args []string) (lots []planner.Lot) {
	recipe, of := talk.Arg(args, 0), talk.Arg(args, 1)
	yield, _ := strconv.ParseFloat(talk.Arg(args, 2), 64)
	for _, arg := range args[min(3, len(args)):] {
		part := strings.Split(arg, ".")
		n, _ := strconv.Atoi(talk.Arg(part, 1))
		each, _ := strconv.Atoi(talk.Arg(part, 2))
		lots = append(lots, planner.Lot{ID: strings.Join([]string{of, recipe, part[0]}, "."), Recipe: recipe, Dog: part[0], Each: each, Yield: yield / 1000, Moves: made(t, n)})
	}
	return lots
}

// made is how the moves of packs begin.
func made(t *talk.Turn, packs int) []planner.PackMove {
	return []planner.PackMove{{Kind: planner.PacksMade, Packs: packs, At: t.Event.At.UTC()}}
}

// lotsOffered are the packs of the batch of a recipe that the last reply is about and
// that waits to be counted.
func lotsOffered(t *talk.Turn, recipe string) (lots []planner.Lot) {
	for _, args := range t.Offered("packs") {
		if args[0] == "in" && talk.Arg(args, 1) == recipe {
			lots = append(lots, lotsIn(t, args[1:])...)
		}
	}
	return lots
}

// cookedWithin is for how many days packs that were counted raw may be those that
// are weighed cooked now (our own choice).
const cookedWithin = 3

// weighedNow has packs of a recipe that were counted raw in the last days weigh what
// they do cooked, and reports whether there are any: they are as much food together as
// went into the pan or, where they were cooked before they were counted, as came out.
// Unless they may be, they are those alone of which a pan was weighed already.
func weighedNow(t *talk.Turn, r *planner.Recipe, raw, cooked int, maybe bool) bool {
	var of []*planner.Lot
	whole := 0.0
	for i := range t.Home.Packs {
		l := &t.Home.Packs[i]
		if l.Recipe == r.ID && (l.Yield == 0 && maybe || l.Raw > 0) && t.DateAt(l.Moves[0].At).DaysTo(t.Date()) <= cookedWithin && planner.SameParts(&planner.Recipe{Ingredients: l.Of}, &planner.Recipe{Ingredients: r.Ingredients}) {
			of, whole = append(of, l), whole+float64(l.Moves[0].Packs*cmp.Or(l.Raw, l.Each))
		}
	}
	offRaw, offCooked := math.Abs(whole/float64(raw)-1), math.Abs(whole/float64(cooked)-1)
	if len(of) == 0 || min(offRaw, offCooked) > sameBatch || larder.InCookedWeights(*r, t.Foods) {
		return false
	}
	yield := float64(cooked) / float64(raw)
	for _, l := range of {
		if offCooked < offRaw {
			l.Kcal, l.Yield, l.Warned = l.Kcal/nutrition.Kcal(yield), yield, false
			continue
		}
		l.Weigh(int(math.Round(float64(cmp.Or(l.Raw, l.Each))*yield)), yield)
	}
	return true
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
	useBy := cmp.Or(lots[0].UseBy, larder.UseBy(t.Date(), larder.Oily(*r, t.Foods)))
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
		talk.AddReminder(t, planner.Reminder{Kind: planner.PacksReminder, Schedule: planner.FromCadence(planner.Cadence{}, t.Date(), []planner.Clock{lowTime})})
	}
	out := t.Say(say.Para(shelvesText(t, shelvesOf(t, r.ID, ""))), say.Para(say.Where(inPlace, msg("packs.in-place"))), say.Para(msg("packs.labels")+"\n"+talk.JoinLines(labels)),
		say.Whole(msg("packs.keep", "day", t.DateText(useBy))),
		say.Whole(say.LinesOf(eaters(t, r), func(d *planner.Dog) string {
			of := slices.ContainsFunc(lots, func(l planner.Lot) bool { return l.Dog == "" || l.Dog == d.ID })
			return say.Where(of, dogs.ExcludedText(t, d, *r))
		})))
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
	t.Home.Packs = slices.DeleteFunc(t.Home.Packs, func(l planner.Lot) bool {
		untouched := len(l.Moves) == 1 && t.DateAt(l.Moves[0].At) == t.Date()
		as := float64(l.Kcal) * float64(l.Moves[0].Packs) / float64(cooked.Kcal) / float64(cooked.Moves[0].Packs)
		return l.Recipe == cooked.Recipe && l.Dog == cooked.Dog && (l.Yield == 0 || l.Raw > 0) && math.Abs(as-1) <= sameBatch && untouched
	})
	return len(t.Home.Packs) < n
}

// answerMade keeps packs that a carer tells of: "froze 12 packs of 400 g of lamb".
// Of how many grams need not be said of the batch that was just made.
func answerMade(t *talk.Turn, s read.Sentence) {
	for _, args := range t.Offered("packs") {
		n := 0
		for _, l := range lotsIn(t, args[1:]) {
			n += l.Moves[0].Packs
		}
		if args[0] == "in" && s.Grams == 0 && n == int(s.Count) {
			pressFrozen(t, false, args[1:])
			return
		}
	}
	madeFor(t, []read.Sentence{s})
}

// madeFor keeps packs of one recipe, those of several dogs together.
func madeFor(t *talk.Turn, said []read.Sentence) {
	r := talk.RecipeMeant(t, said[0])
	if r == nil {
		return
	}
	yield := packedYield(t, r)
	var lots []planner.Lot
	guessed := ""
	for i, s := range said {
		if s.Grams == 0 {
			if d := t.Dog(s.Dog); s.Days > 0 && s.Count > 0 && d != nil {
				s.Grams = dayFood(t, r, d, yield) * nutrition.Grams(s.Days/s.Count)
			}
			s.Grams = cmp.Or(s.Grams, said[0].Grams, eachOf(t, r.ID, s.Dog), dayPack(t, r, t.Dog(s.Dog), yield))
		}
		if s.Count < 1 || s.Count > mostPacks || s.Grams < 1 || s.Grams > mostEach {
			askPacks(t)
			return
		}
		lot := planner.Lot{ID: talk.ChangeID(t.Event.ID), Each: int(math.Round(float64(s.Grams))), Yield: yield, Moves: made(t, int(s.Count))}
		for _, l := range t.Home.Packs { // of a statement before it in one message
			i += strings.Count(l.ID, lot.ID)
		}
		if i > 0 {
			lot.ID += "." + strconv.Itoa(i)
		}
		_, _, named := talk.DogsIn(t, t.Event.Text)
		switch d := t.Dog(s.Dog); {
		case d != nil:
			lot.Dog = d.ID
		case len(named) < 2: // not "for both"
			lot.Dog = whosePacks(t, r, lot.Each, yield)
			guessed = say.Choose(len(t.Dogs()) > 1 && lot.Dog != "", lot.ID, "")
		}
		if slices.ContainsFunc(t.Home.Packs, func(was planner.Lot) bool {
			return was.Recipe == r.ID && was.Dog == lot.Dog && was.Each == lot.Each && was.Moves[0].Packs == int(s.Count) && t.Event.At.Sub(was.Moves[0].At) < saidTwice && was.Moves[0].At.Before(t.Event.At)
		}) && !read.Says("said-more", t.AsTyped()) {
			t.SayMsg("packs.twice", "n", int(s.Count), "each", say.Mass(nutrition.Grams(lot.Each), t.Home.Units), "recipe", r.Name).Offer(t.Button(msg("button.left"), "packs", "left"))
			return
		}
		lots = append(lots, lot)
	}
	if (yield > 0 || read.SaysCooking(t.AsTyped())) && recipes.NotCooked(t, r) {
		return
	}
	putIn(t, r, lots)
	if !t.Changed {
		return
	}
	if yield > 0 && yield != 1 {
		t.LastReply().Add(msg("packs.as-cooked", "yield", say.Trim(yield, 2)))
	} else if yield == 0 && (read.SaysCooking(t.AsTyped()) || larder.InRawWeights(*r, t.Foods) && !read.SaysOneOf(t.AsTyped(), "stays-raw") && !recipes.AnyBone(t, r.Ingredients)) {
		t.LastReply().Add(msg("packs.no-yield", "recipe", r.Name))
	}
	if guessed != "" {
		t.LastReply().Offer(t.Button(msg("button.for-all"), "packs", "anyone", guessed))
	}
}

// askPacks asks how many packs there are, and of what weight.
func askPacks(t *talk.Turn) {
	t.SayMsg("packs.how-many", "each", say.Choose(t.Home.Units.Ounces, "1 lb", "400 g"))
}

// eachOf is what a dog's packs of a recipe weigh, where nobody says it: as in the batch
// that the last reply is about, else as those that were made last.
func eachOf(t *talk.Turn, recipe, dog string) nutrition.Grams {
	for _, l := range slices.Backward(append(slices.Clone(t.Home.Packs), lotsOffered(t, recipe)...)) {
		if l.Recipe == recipe && l.Dog == dog {
			return nutrition.Grams(l.Each)
		}
	}
	return 0
}

// frozeAll counts the packs of the batch that was made last: the one that was worked
// out or, where that is some replies ago, the pan that was weighed today.
func frozeAll(t *talk.Turn) {
	for _, args := range append(t.Offered("packs"), talk.OfferedBeside(t, "packs")...) { // of several recipes all
		if args[0] == "in" {
			pressFrozen(t, false, args[1:])
		}
	}
	if len(t.Replies) > 0 {
		return
	}
	for _, r := range t.Recipes() {
		c := r.Cooking
		batch, kcal, ok := batchOf(t, r, c.Raw)
		if !ok || c.Day != t.Date() || c.Cooked < 1 {
			continue
		}
		var lots []planner.Lot
		all, _ := share(t, &batch, c.Cooked, kcal, 0, eaters(t, r))
		for n, p := range all {
			if p.pack.Packs > 0 {
				lots = append(lots, planner.Lot{ID: talk.ChangeID(t.Event.ID) + "." + strconv.Itoa(n), Dog: p.dog.ID, Each: p.pack.Each, Yield: float64(c.Cooked) / float64(c.Raw), Moves: made(t, p.pack.Packs)})
			}
		}
		if !recipes.NotCooked(t, r) {
			putIn(t, r, lots)
		}
		return
	}
	askPacks(t)
}

// packedYield is over how much raw weight packs of a recipe are, as a batch of it
// is packed: 0 where it is raw, 1 where it is written in cooked weights.
func packedYield(t *talk.Turn, r *planner.Recipe) float64 {
	if larder.InCookedWeights(*r, t.Foods) {
		return 1
	}
	yield, weighed := r.Yield()
	if c := r.Cooking; !weighed && c.Raw > 0 && read.SaysCooking(t.AsTyped()) { // weighed before its lines changed: nearer than raw
		yield, weighed = float64(c.Cooked)/float64(c.Raw), true
	}
	return say.Choose(weighed && !read.SaysOneOf(t.AsTyped(), "stays-raw"), yield, 0)
}

// saidTwice is within how long the same packs are asked about rather than counted again
// (our own choice).
const saidTwice = 15 * time.Minute

// sameSize is by how much a pack may differ from a dog's food of a day and still be
// taken for it: our own choice, as carers round.
const sameSize = 0.03

// dayFood is what a dog's food of a day weighs; 0 where no dog, or none of its food, is
// meant.
func dayFood(t *talk.Turn, r *planner.Recipe, d *planner.Dog, yield float64) nutrition.Grams {
	if d == nil || wants(t, t.Home, d, t.Date().AddDays(1), r.ID) <= 0 {
		return 0
	}
	sum, _ := planner.TotalsOf(*r, t.Foods)
	kcal, _ := kcalOf(t, r)
	all, _ := share(t, r, int(math.Round(float64(sum.Grams)*cmp.Or(yield, 1))), kcal, 0, []*planner.Dog{d})
	if len(all) == 0 {
		return 0
	}
	return all[0].aDay
}

// dayPack is what a pack of it weighs: all of it, or an even part.
func dayPack(t *talk.Turn, r *planner.Recipe, d *planner.Dog, yield float64) nutrition.Grams {
	aDay := dayFood(t, r, d, yield)
	return aDay / nutrition.Grams(max(larder.PacksADay(aDay), 1))
}

// whosePacks is the one dog that eats a recipe, or the one whose food of a day, or an
// even part of it, packs weigh; empty where that may be several, and where packs of that
// weight are for all already.
func whosePacks(t *talk.Turn, r *planner.Recipe, each int, yield float64) (dog string) {
	of := eaters(t, r)
	if len(of) == 1 {
		return of[0].ID
	}
	if slices.ContainsFunc(t.Home.Packs, func(l planner.Lot) bool { return l.Recipe == r.ID && l.Each == each && l.Dog == "" }) {
		return ""
	}
	for _, d := range of {
		want := float64(dayPack(t, r, d, yield))
		switch {
		case want == 0 || math.Abs(float64(each)-want) > want*sameSize:
		case dog != "":
			return ""
		default:
			dog = d.ID
		}
	}
	return dog
}

// What nobody freezes at once: more packs, or heavier ones (our own choice).
const (
	mostPacks = 500
	mostEach  = 20000
)

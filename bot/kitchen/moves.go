package kitchen

import (
	"math"
	"slices"
	"strconv"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/larder"
)

// moved answers what a carer says was done with packs, or how many there are.
func moved(kind planner.PackMoveKind) talk.Intent {
	return func(t *talk.Turn, s read.Sentence) {
		n := int(s.Count)
		if kind == fixBatch && s.Grams > 0 && s.Grams <= mostEach {
			n = -int(math.Round(float64(s.Grams))) // what each weighs
		} else if float64(n) != s.Count || n > mostPacks || n < 1 && kind != planner.PacksCounted {
			askPacks(t)
			return
		}
		all := shelvesOf(t, s.Recipe, s.Dog)
		if own := func(f shelf) bool { return f.dog == s.Dog }; s.Dog != "" && slices.ContainsFunc(all, own) {
			all = slices.DeleteFunc(all, func(f shelf) bool { return !own(f) })
		}
		left := func(f shelf) bool { packs, _, _ := f.left(); return packs > 0 }
		if kind != fixBatch && (kind != planner.PacksCounted || n == 0 && slices.ContainsFunc(all, left)) { // "used the last turkey" is of those that there are
			all = slices.DeleteFunc(all, func(f shelf) bool { return !left(f) })
		}
		if each := int(math.Round(float64(s.Grams))); kind != fixBatch && each > 0 && len(all) > 0 {
			some := ofSize(all, each)
			if len(some) == 0 {
				t.Say(say.Para(msg("packs.no-size", "each", say.Mass(s.Grams, t.Home.Units))), say.Whole(shelvesText(t, all)))
				return
			}
			all = some
		}
		if kind == fixBatch && len(all) > 0 { // "oops, 12 packs" is of what was told last
			last := slices.MaxFunc(all, func(a, b shelf) int { return a.made().Compare(b.made()) }).made()
			all = slices.DeleteFunc(all, func(f shelf) bool { return f.made().Before(last) })
		}
		toShelf(t, all, move, "move", string(kind), n)
	}
}

// toShelf does something to so many packs of the shelf that is meant; of several it asks
// which, by buttons that do it.
func toShelf(t *talk.Turn, all []shelf, do func(t *talk.Turn, f shelf, what string, n int), verb, what string, n int) {
	switch len(all) {
	case 0:
		t.SayMsg("left.nothing", talk.Examples(t)...)
		return
	case 1:
		do(t, all[0], what, n)
		return
	}
	out := t.SayMsg("packs.which")
	for _, f := range all {
		out.Offer(t.Button(msg("button.shelf", "dog", dogOf(t, f.dog), "recipe", f.name()), "packs", verb, what, strconv.Itoa(n), f.recipe, f.dog, strconv.Itoa(f.each)))
	}
}

// shelfOf is the shelf of a recipe for a dog, with its packs of a size; nil where there
// is none.
func shelfOf(t *talk.Turn, recipe, dog string, each int) *shelf {
	return planner.FirstOf(ofSize(shelves(t), each), func(f *shelf) bool { return f.recipe == recipe && f.dog == dog })
}

// pressShelf does it to the packs that were chosen.
func pressShelf(do func(t *talk.Turn, f shelf, what string, n int)) talk.Press {
	return func(t *talk.Turn, args []string) {
		what := talk.Arg(args, 0)
		n, err := strconv.Atoi(talk.Arg(args, 1))
		each, _ := strconv.Atoi(talk.Arg(args, 4)) // 0: any
		f := shelfOf(t, talk.Arg(args, 2), talk.Arg(args, 3), each)
		if !talk.Gone(t, f == nil || err != nil || n < 0 && what != string(fixBatch)) {
			do(t, *f, what, n)
			t.InPlace(t.LastReply())
		}
	}
}

// move does something to so many packs of a shelf, the oldest first, and says what
// is left. Of more than there are it says so.
func move(t *talk.Turn, f shelf, what string, n int) {
	t.Mutate("did.packs", f.name())
	short := 0
	switch kind := planner.PackMoveKind(what); kind {
	case planner.PacksCounted:
		count(t, f, n)
	case fixBatch:
		fix(t, f, n)
	default:
		short = takeOut(t, f, kind, n)
	}
	size := say.Where(f.each > 0, " "+msg("left.each", "each", say.Mass(nutrition.Grams(f.each), t.Home.Units)))
	keep := say.Where(what == string(planner.PacksThawed), msg("thaw.keep"))
	t.Say(say.Para(msg("moved."+what, "n", n-short, "size", size)), say.Para(shortText(short, n)), say.Para(shelfText(t, *shelfOf(t, f.recipe, f.dog, 0))), say.Para(keep)).Offer(t.UndoButton())
}

// shortText says that there were fewer packs than was said.
func shortText(short, asked int) string {
	return say.Where(short > 0, msg("packs.short", "n", asked-short, "asked", asked))
}

// takeOut takes packs out, the oldest first, and returns how many were missing.
func takeOut(t *talk.Turn, f shelf, kind planner.PackMoveKind, n int) (short int) {
	for _, s := range f.stocks {
		have := s.Frozen
		switch kind {
		case planner.PacksThrown:
			have += s.Open / max(s.Lot.Each, 1)
		case planner.PacksBack:
			have = s.Open / max(s.Lot.Each, 1)
		}
		if take := min(n, have); take > 0 {
			addMove(t, s.Lot.ID, kind, take)
			n -= take
		}
	}
	return n
}

// count sets how many packs there are: what is missing was the oldest, what is
// more is of the newest.
func count(t *talk.Turn, f shelf, n int) {
	for i, s := range slices.Backward(f.stocks) {
		is := min(n, s.Frozen)
		n -= is
		if i == len(f.stocks)-1 {
			more := n
			for _, o := range f.stocks[:i] {
				more -= o.Frozen
			}
			more = max(more, 0)
			is, n = is+more, n-more
		}
		addMove(t, s.Lot.ID, planner.PacksCounted, is)
	}
}

// lotKept is a lot of the household by its id, nil where there is none.
func lotKept(t *talk.Turn, id string) *planner.Lot {
	return planner.FirstOf(t.Home.Packs, func(l *planner.Lot) bool { return l.ID == id })
}

func addMove(t *talk.Turn, lot string, kind planner.PackMoveKind, n int) {
	if l := lotKept(t, lot); l != nil {
		l.Moves, l.Warned = append(slices.Clone(l.Moves), planner.PackMove{Kind: kind, Packs: n, At: t.Event.At.UTC()}), false
	}
}

// fixBatch corrects what a batch was when it was made: no move of packs.
const fixBatch planner.PackMoveKind = "fix"

// newest is the lot of a shelf that was made last.
func (f shelf) newest() *planner.Lot {
	return slices.MaxFunc(f.stocks, func(a, b larder.Stock) int { return a.Lot.Moves[0].At.Compare(b.Lot.Moves[0].At) }).Lot
}

// made is when that was.
func (f shelf) made() time.Time { return f.newest().Moves[0].At }

// fix corrects the newest lot of a shelf: it made so many packs or, below 0, packs of
// so many grams. What was fed, given and thrown of it since stays as it is.
func fix(t *talk.Turn, f shelf, n int) {
	l := lotKept(t, f.newest().ID)
	l.Warned = false
	if n < 0 {
		l.Kcal *= nutrition.Kcal(-n) / nutrition.Kcal(l.Each)
		l.Each = -n
	} else {
		l.Moves = slices.Clone(l.Moves)
		l.Moves[0].Packs = n
	}
}

// packsSaid is how many packs a sentence tells of, as a button has it; it asks where that
// is no number of packs.
func packsSaid(t *talk.Turn, s read.Sentence) (n string, ok bool) {
	if ok = s.Count >= 1 && s.Count <= mostPacks && s.Count == math.Floor(s.Count); !ok {
		askPacks(t)
	}
	return strconv.Itoa(int(s.Count)), ok
}

// askUsed asks whether packs that were used are those of the meals, which are
// counted by themselves.
func askUsed(t *talk.Turn, s read.Sentence) {
	if n, ok := packsSaid(t, s); ok {
		t.SayMsg("used.ask").Offer(t.Button(msg("button.used-meals"), "packs", "left"), t.Button(msg("button.used-beside"), "packs", "used", n, s.Recipe, s.Dog))
	}
}

// doMoved does something to packs of the recipe and dog that were said.
func doMoved(t *talk.Turn, kind planner.PackMoveKind, args []string) {
	n, _ := strconv.Atoi(talk.Arg(args, 0))
	moved(kind)(t, read.Sentence{Count: float64(n), Recipe: talk.Arg(args, 1), Dog: talk.Arg(args, 2)})
}

// askBack asks whether thawed packs may be frozen again (USDA's advice for kitchens,
// from memory): still icy, from the fridge, on the same day.
func askBack(t *talk.Turn, s read.Sentence) {
	if n, ok := packsSaid(t, s); ok {
		t.SayMsg("back.ask").Offer(t.Button(msg("button.still-icy"), "packs", "back", "icy", n, s.Recipe, s.Dog), t.Button(msg("button.not-icy"), "packs", "back", "warm"))
	}
}

// pressBack takes the answer.
func pressBack(t *talk.Turn, args []string) {
	if talk.Arg(args, 0) != "icy" {
		t.SayMsg("back.no")
		return
	}
	doMoved(t, planner.PacksBack, args[1:])
}

// throwOverdue throws away what is thawed and past its days.
func throwOverdue(t *talk.Turn) {
	grams := 0
	for _, s := range stocks(t) {
		if overdue(t, s, t.Date()) {
			t.Mutate("did.packs", s.Lot.Name)
			addMove(t, s.Lot.ID, planner.PacksRest, 0)
			grams += s.Open
		}
	}
	if talk.Stale(t, grams == 0) {
		return
	}
	sayRest(t, grams)
}

// sayRest says how much of what was thawed is thrown away.
func sayRest(t *talk.Turn, grams int) {
	t.Say(say.Para(msg("moved.rest", "grams", say.Mass(nutrition.Grams(grams), t.Home.Units)))).Offer(t.Button(msg("button.left"), "packs", "left"), t.UndoButton())
}

// throwOpen throws away what is past its days or, where nothing is, what was thawed
// first: so many packs of it, or all.
func throwOpen(t *talk.Turn, s read.Sentence) {
	all := slices.DeleteFunc(stocks(t), func(o larder.Stock) bool { return s.Recipe != "" && o.Lot.Recipe != s.Recipe })
	if slices.ContainsFunc(all, func(s larder.Stock) bool { return overdue(t, s, t.Date()) }) {
		throwOverdue(t)
		return
	}
	all = slices.DeleteFunc(all, func(s larder.Stock) bool { return s.OpenSince().IsZero() })
	if len(all) == 0 {
		t.SayMsg("moved.none-open")
		return
	}
	first := slices.MinFunc(all, func(a, b larder.Stock) int { return a.OpenSince().Compare(b.OpenSince()) })
	t.Mutate("did.packs", first.Lot.Name)
	n, grams := int(s.Count), first.Open
	if n == 0 && read.Says("one-tub", t.AsTyped()) {
		n = 1
	}
	if n > 0 {
		grams = min(grams, n*first.Lot.Each)
	}
	addMove(t, first.Lot.ID, planner.PacksRest, n)
	sayRest(t, grams)
}

// throwAll throws away all packs there are, of a recipe and a dog where they are said.
func throwAll(t *talk.Turn, s read.Sentence) {
	for _, f := range shelvesOf(t, s.Recipe, s.Dog) {
		n := 0
		for _, s := range f.stocks {
			n += s.Frozen + s.Open/max(s.Lot.Each, 1)
		}
		if n > 0 {
			move(t, f, string(planner.PacksThrown), n)
		}
	}
	if len(t.Replies) == 0 {
		t.SayMsg("left.nothing", talk.Examples(t)...)
	}
}

// thawEach takes so many packs out for each dog that has some of what it eats next.
func thawEach(t *talk.Turn, s read.Sentence) {
	has := func(s larder.Stock) bool { return s.Frozen > 0 }
	for _, d := range t.Living() {
		for _, f := range planner.FareOn(t.Home, d.ID, t.Date().AddDays(1)) {
			if slices.ContainsFunc(stocksFor(t, f.Recipe.ID, d.ID), has) {
				moved(planner.PacksThawed)(t, read.Sentence{Count: s.Count, Dog: d.ID, Recipe: f.Recipe.ID})
				break
			}
		}
	}
	if len(t.Replies) == 0 {
		t.SayMsg("left.nothing", talk.Examples(t)...)
	}
}

// gone reports that packs are for a dog that eats no more.
func gone(t *talk.Turn, dog string) bool {
	d := t.Dog(dog)
	return dog != "" && (d == nil || !d.Died.IsZero())
}

// idle reports that packs are for a dog that eats none of them, while another dog
// does, or would.
func idle(t *talk.Turn, l *planner.Lot) bool {
	if gone(t, l.Dog) {
		return true
	}
	if _, eaten := (shelf{recipe: l.Recipe, dog: l.Dog, stocks: []larder.Stock{{Lot: l, Frozen: 1}}}).runsOut(t); l.Dog == "" || eaten {
		return false
	}
	_, others := shelf{recipe: l.Recipe, stocks: []larder.Stock{{Lot: l, Frozen: 1}}}.runsOut(t)
	return others
}

// forAnyone lets the other dogs have the packs of those that eat none of them, or one
// lot that is named.
func forAnyone(t *talk.Turn, lot string) {
	letHave(t, func(l *planner.Lot) bool { return l.ID == lot || lot == "" && idle(t, l) })
	talk.Stale(t, !t.Changed)
}

// letHave makes packs of one dog packs for all, and says what there is then.
func letHave(t *talk.Turn, is func(*planner.Lot) bool) {
	var of []*planner.Lot
	for i := range t.Home.Packs {
		if l := &t.Home.Packs[i]; l.Dog != "" && is(l) {
			of = append(of, l)
		}
	}
	for _, l := range of {
		t.Mutate("did.packs", l.Name)
		l.Dog, l.Warned = "", false
	}
	if len(of) > 0 {
		t.Say(say.Whole(shelvesText(t, shelves(t)))).Offer(t.UndoButton())
	}
}

package kitchen

import (
	"math"
	"slices"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/larder"
)

// out is packs of a lot that are taken out for a day, for a dog.
type out struct {
	lot   *planner.Lot
	dog   *planner.Dog
	packs int
}

// toThaw is what is taken out of the freezer for a day, beside what is open
// already; open says whether any is, and bare lists the dogs whose food of that
// day is in no pack.
func toThaw(t *talk.Turn, day planner.Date) (all []out, open bool, bare []string) {
	state := stocks(t)
	at := map[string]int{}
	for i := range state {
		at[state[i].Lot.ID] = i
	}
	h := elsewhere(t, t.Home, day)
	for _, d := range t.Living() {
		n := planner.AmountOf(*d, t.Event.At)
		if _, paused := h.PausedOn(d.ID, day); paused || n.Waits() || dogs.SignHolds(t, d) != "" {
			continue
		}
		short := nutrition.Kcal(0)
		for _, f := range planner.FareOn(t.Home, d.ID, day) {
			if f.Recipe.ID == "" {
				continue
			}
			want := n.Kcal * nutrition.Kcal(f.Share())
			for _, s := range stocksFor(t, f.Recipe.ID, d.ID) {
				left := &state[at[s.Lot.ID]]
				if overdue(t, *left, day) {
					left.Open = 0
				}
				aGram := left.Lot.Kcal / nutrition.Kcal(left.Lot.Each)
				if used := min(left.Open, int(math.Ceil(float64(want/aGram)))); used > 0 && want > 0 {
					left.Open -= used
					want -= nutrition.Kcal(used) * aGram
					open = true
				}
				if packs := min(left.Frozen, int(math.Ceil(float64(want/left.Lot.Kcal)-1+enough))); packs > 0 {
					left.Frozen -= packs
					want -= nutrition.Kcal(packs) * left.Lot.Kcal
					left.Open += max(0, int(math.Round(float64(-want/aGram))))
					all = append(all, out{left.Lot, d, packs})
				}
			}
			short += max(want, 0)
		}
		if short > n.Kcal*(1-enough) {
			bare = append(bare, d.Name)
		}
	}
	return all, open, bare
}

// How many days thawed food keeps in the fridge, counted from when it was taken out
// at most.
const (
	keepsRaw    = 2 // USDA's advice for kitchens, from memory
	keepsCooked = 3 // common practice, no source
)

func keepsThawed(cooked bool) int { return say.Choose(cooked, keepsCooked, keepsRaw) }

// stillCounts is for how many days after its last batch a household that has no pack
// left is taken to count packs (our own choice: a month and some days).
const stillCounts = 45

// overdue reports that on a day what is thawed of a lot is past its days.
func overdue(t *talk.Turn, s larder.Stock, day planner.Date) bool {
	since := s.OpenSince()
	return !since.IsZero() && t.DateAt(since).DaysTo(day) > keepsThawed(s.Lot.Yield > 0)
}

// SayThaw says what to take out of the freezer for a day, in packs, and reports
// whether there are any.
func SayThaw(t *talk.Turn, day planner.Date) bool {
	all, open, bare := toThaw(t, day)
	holds := say.LinesOf(t.Dogs(), func(d *planner.Dog) string { return dogs.SignHolds(t, d) })
	if len(all) == 0 && !open {
		if countsPacks := slices.ContainsFunc(t.Home.Packs, func(l planner.Lot) bool {
			return t.DateAt(l.Moves[0].At).DaysTo(day) <= stillCounts
		}); !countsPacks {
			return false
		}
		none := say.Choose(len(bare) > 0, msg("thaw.none", "day", say.DayText(day), "dogs", say.List(bare)), msg("thaw.nobody", "day", say.DayText(day)))
		t.Say(say.Whole(holds), say.Para(none)).Offer(t.Button(msg("button.left"), "packs", "left"))
		return true
	}
	var lines []string
	heavy := false
	for _, o := range all {
		heavy = heavy || o.lot.Each > larder.MostPack
		lines = append(lines, msg("thaw.packs", "n", o.packs, "each", say.Mass(nutrition.Grams(o.lot.Each), t.Home.Units), "recipe", o.lot.Name, "dog", o.dog.Name)+rawPack(t, o.lot)+spoiledText(t, o.lot))
	}
	first := msg(say.Choose(len(all) == 0, "thaw.enough-open", "thaw.first"), "day", say.DayText(day))
	r := t.Say(say.Whole(holds), say.Para(first), say.Whole(talk.JoinLines(lines)), say.Para(say.Where(len(all) > 0 && open, msg("thaw.open"))),
		say.Para(say.Where(len(bare) > 0, msg("thaw.bare", "dogs", say.List(bare)))), say.Para(say.Where(heavy, msg("thaw.heavy"))), say.Para(msg("thaw.keep")))
	if len(all) > 0 {
		r.Offer(t.Button(msg("button.taken-out"), "packs", "out"))
	}
	return true
}

// rawPack says of a pack that was counted raw what it is cooked, where a pan of its
// recipe was weighed.
func rawPack(t *talk.Turn, l *planner.Lot) string {
	r := t.Recipe(l.Recipe)
	if r == nil || l.Yield > 0 || !recipes.Cooks(t, r) {
		return ""
	}
	yield, _ := r.Yield()
	return msg("thaw.raw", "cooked", say.Mass(nutrition.Grams(float64(l.Each)*yield), t.Home.Units))
}

// answerThaw says what to thaw tonight; where no packs are counted, how much food
// tomorrow is.
func answerThaw(t *talk.Turn) {
	if !SayThaw(t, t.Date().AddDays(1)) {
		t.GoTo(read.Sentence{Intent: read.Tomorrow})
	}
}

// pressOut notes that tomorrow's packs were taken out.
func pressOut(t *talk.Turn) {
	all, _, _ := toThaw(t, t.Date().AddDays(1))
	switch {
	case len(t.Home.Packs) == 0:
		t.SayMsg("left.nothing", talk.Examples(t)...)
		return
	case len(all) == 0:
		t.SayMsg("thaw.out-already")
		return
	}
	packs := 0
	for _, o := range all {
		t.Mutate("did.packs", o.lot.Name)
		addMove(t, o.lot.ID, planner.PacksThawed, o.packs)
		packs += o.packs
	}
	t.InPlace(t.SayMsg("moved.thawed", "n", packs, "size", "").Offer(t.Button(msg("button.left"), "packs", "left"), t.UndoButton()))
}

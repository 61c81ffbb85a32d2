package kitchen

import (
	"cmp"
	"slices"

	"bowlwright/bot/balance"
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/larder"
	"bowlwright/store"
)

// shelf is the packs of a recipe for a dog, or for all: the oldest first.
type shelf struct {
	recipe, dog string
	each        int // g of its packs, where those of one size alone are meant
	stocks      []larder.Stock
}

// stocks is what is left of every lot now.
func stocks(t *talk.Turn) []larder.Stock {
	lots := lotsOf(t.Home)
	if len(lots) == 0 {
		return nil
	}
	return larder.StockOf(lots, mealsOf(t, t.Home, t.Date().AddDays(1)))
}

// shelves are all of them, in the order in which they were begun.
func shelves(t *talk.Turn) (all []shelf) {
	for _, s := range stocks(t) {
		own := func(f *shelf) bool { return f.recipe == s.Lot.Recipe && f.dog == s.Lot.Dog }
		its := planner.FirstOrAdded(&all, own, shelf{recipe: s.Lot.Recipe, dog: s.Lot.Dog})
		its.stocks = append(its.stocks, s)
	}
	for _, f := range all {
		slices.SortStableFunc(f.stocks, func(a, b larder.Stock) int { return b.Lot.UseBy.DaysTo(a.Lot.UseBy) })
	}
	return all
}

// shelvesOf are those of a recipe and a dog; of all where they are empty.
func shelvesOf(t *talk.Turn, recipe, dog string) []shelf {
	return slices.DeleteFunc(shelves(t), func(f shelf) bool {
		return recipe != "" && f.recipe != recipe || dog != "" && f.dog != "" && f.dog != dog
	})
}

// ofSize are shelves with their packs of one size alone, of any where it is 0.
func ofSize(all []shelf, each int) (some []shelf) {
	for _, f := range all {
		f.each = each
		f.stocks = slices.DeleteFunc(slices.Clone(f.stocks), func(s larder.Stock) bool { return each > 0 && s.Lot.Each != each })
		if len(f.stocks) > 0 {
			some = append(some, f)
		}
	}
	return some
}

// stocksFor are the lots of a recipe for a dog in the order in which they are used.
func stocksFor(t *talk.Turn, recipe, dog string) (all []larder.Stock) {
	of := shelvesOf(t, recipe, dog)
	slices.SortStableFunc(of, func(a, b shelf) int { return cmp.Compare(len(b.dog), len(a.dog)) })
	for _, f := range of {
		all = append(all, f.stocks...)
	}
	return all
}

func (f shelf) name() string { return f.stocks[0].Lot.Name }

func (f shelf) left() (packs float64, kcal nutrition.Kcal, about bool) {
	for _, s := range f.stocks {
		packs += s.Left()
		kcal += s.Kcal()
		about = about || s.About && s.Left() > 0
	}
	return packs, kcal, about
}

// farthest is for how many days ahead a stock is looked at (our own choice).
const farthest = 370

// runsOut is the first day that a shelf is not enough for; false where nobody eats
// of it.
func (f shelf) runsOut(t *talk.Turn) (planner.Date, bool) {
	_, left, _ := f.left()
	of := slices.DeleteFunc(t.Living(), func(d *planner.Dog) bool { return f.dog != "" && f.dog != d.ID })
	own := map[string]nutrition.Kcal{} // what dogs eat before they eat of what is for all
	for _, o := range shelvesOf(t, f.recipe, "") {
		if f.dog == "" && o.dog != "" {
			_, own[o.dog], _ = o.left()
		}
	}
	h, eaten := elsewhere(t, t.Home, t.Date()), false
	for day := t.Date(); t.Date().DaysTo(day) < farthest; day = day.AddDays(1) {
		var want nutrition.Kcal
		for _, d := range of {
			day := wants(t, h, d, day, f.recipe)
			had := min(day, own[d.ID])
			own[d.ID] -= had
			want += day - had
		}
		eaten = eaten || want > 0
		if want > 0 && left < want*enough {
			return day, true
		}
		left -= want
	}
	return planner.Date{}, false
}

// runOut is the first day that one of some shelves is not enough for, zero where none is
// eaten of.
func runOut(t *talk.Turn, all []shelf) (first planner.Date) {
	for _, f := range all {
		if out, ok := f.runsOut(t); ok && (first.IsZero() || out.Before(first)) {
			first = out
		}
	}
	return first
}

// enough is how much of a day's food counts as all of it: packs are rounded (our
// own choice).
const enough = 0.9

// wants is what a dog is still to eat of a recipe on a day.
func wants(t *talk.Turn, h *planner.Household, d *planner.Dog, day planner.Date, recipe string) (kcal nutrition.Kcal) {
	fares := planner.FareOn(h, d.ID, day)
	i := slices.IndexFunc(fares, func(f planner.Fare) bool { return f.Recipe.ID == recipe })
	if _, paused := h.PausedOn(d.ID, day); i < 0 || paused {
		return 0
	}
	need := balance.FoodKcal(t, d, planner.AmountOf(*d, t.Event.At).Kcal)
	for n := had(t, d, day); n < len(fares[i].Shares); n++ {
		kcal += need * nutrition.Kcal(fares[i].Shares[n]/float64(len(fares[i].Shares)))
	}
	return kcal
}

// had is how many of a dog's meals of a day are over.
func had(t *talk.Turn, d *planner.Dog, day planner.Date) (n int) {
	if day != t.Date() {
		return 0
	}
	for _, e := range t.Entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.Fed, planner.NotFed}, From: planner.Instant(day, 0, t.Event.At.Location())}) {
		if e.Date == day {
			n++
		}
	}
	times := d.MealTimes()
	for _, clock := range times[min(n, len(times)):] {
		if t.Event.At.Sub(planner.Instant(day, clock, t.Event.At.Location())) > mealOver {
			n++
		}
	}
	return min(n, len(times))
}

// shelfText says what is left of a shelf, and for how long that is.
func shelfText(t *talk.Turn, f shelf) string {
	packs, _, about := f.left()
	if packs <= 0 {
		return msg("left.none", "recipe", f.name(), "dog", dogOf(t, f.dog))
	}
	frozen, open, each := 0, 0, 0
	same := true
	for _, s := range f.stocks {
		if s.Left() <= 0 {
			continue
		}
		frozen, open = frozen+s.Frozen, open+s.Open
		same = same && (each == 0 || each == s.Lot.Each)
		each = s.Lot.Each
	}
	text := msg("left.packs", "recipe", f.name(), "dog", dogOf(t, f.dog), "about", say.Where(about, msg("left.about")), "n", frozen)
	if same {
		text += " " + msg("left.each", "each", say.Mass(nutrition.Grams(each), t.Home.Units))
	}
	if open > 0 {
		text += msg("left.open", "grams", say.Mass(nutrition.Grams(open), t.Home.Units))
	}
	if since := f.overdue(t); !since.IsZero() {
		text += msg("left.overdue", "day", t.DateText(since))
	}
	switch out, ok := f.runsOut(t); {
	case !ok && !gone(t, f.dog) && idle(t, f.stocks[0].Lot):
		text += msg("left.idle", "dog", dogOf(t, f.dog))
	case !ok:
		text += msg("left.nobody")
	case out == t.Date():
		text += msg("left.not-today")
	default:
		text += msg("left.until", "day", t.DateText(out.AddDays(-1)))
	}
	if i := slices.IndexFunc(f.stocks, func(s larder.Stock) bool { return s.Left() > 0 && ofSpoiled(t, s.Lot) }); i >= 0 {
		text += spoiledText(t, f.stocks[i].Lot)
	}
	return text
}

// overdue is the day since which some of a shelf is thawed that is past its days,
// zero where none is.
func (f shelf) overdue(t *talk.Turn) planner.Date {
	if s := planner.FirstOf(f.stocks, func(s *larder.Stock) bool { return overdue(t, *s, t.Date()) }); s != nil {
		return t.DateAt(s.OpenSince())
	}
	return planner.Date{}
}

func shelvesText(t *talk.Turn, all []shelf) string {
	return say.LinesOf(all, func(f shelf) string { return shelfText(t, f) })
}

// answerLeft says what is left of the packs, how long that lasts and by when to
// cook again.
func answerLeft(t *talk.Turn, s read.Sentence) {
	all := shelvesOf(t, s.Recipe, s.Dog)
	if len(all) == 0 {
		t.Say(say.Para(cookText(t, planner.Date{})), say.Para(msg("left.nothing", talk.Examples(t)...)))
		return
	}
	var useBy planner.Date
	about := false
	for _, f := range all {
		packs, _, unsure := f.left()
		about = about || unsure
		for _, s := range f.stocks {
			if packs > 0 && s.Left() > 0 && (useBy.IsZero() || s.Lot.UseBy.Before(useBy)) {
				useBy = s.Lot.UseBy
			}
		}
	}
	of := func(is func(f shelf) bool) bool {
		return slices.ContainsFunc(all, func(f shelf) bool { packs, _, _ := f.left(); return packs > 0 && is(f) })
	}
	forGone := of(func(f shelf) bool { return gone(t, f.dog) })
	out := t.Say(say.Whole(shelvesText(t, all)), say.Para(cookText(t, runOut(t, all))), say.Para(say.Where(!useBy.IsZero(), msg(say.Choose(useBy.Before(t.Date()), "left.past", "left.use-by"), "day", t.DateText(useBy)))), say.Para(say.Where(about, msg("left.about-why"))), say.Para(say.Where(forGone, msg("left.gone"))))
	out.Offer(t.Button(msg("button.thaw"), "packs", "thaw"))
	if slices.ContainsFunc(all, func(f shelf) bool { return !f.overdue(t).IsZero() }) {
		out.Offer(t.Button(msg("button.thrown-out"), "packs", "rest"))
	}
	if of(func(f shelf) bool { return idle(t, f.stocks[0].Lot) }) {
		out.Offer(t.Button(msg("button.for-anyone"), "packs", "anyone"))
	}
}

// mostPast is how many batches are listed at once, the newest (our own choice).
const mostPast = 10

// answerPast lists the batches of the days that are asked about, or the last ones.
func answerPast(t *talk.Turn, s read.Sentence) {
	from, until, asked := read.DaysAsked(t.OfDays(), t.Event.At)
	var rows []say.TableRow
	for _, l := range slices.Backward(t.Home.Packs) {
		if len(l.Moves) == 0 || s.Recipe != "" && l.Recipe != s.Recipe {
			continue
		}
		day, first := t.DateAt(l.Moves[0].At), l.Moves[0].Packs
		if len(rows) < mostPast && !(asked && (day.Before(from) || until.Before(day))) {
			rows = append(rows, say.TableRow{Label: talk.DayOf(t, day) + " " + l.Name, Cells: []string{msg("past.packs", "n", first, "each", say.Mass(nutrition.Grams(l.Each), t.Home.Units), "dog", dogOf(t, l.Dog))}})
		}
	}
	if len(rows) == 0 {
		t.SayMsg("past.none", talk.Examples(t)...)
		return
	}
	t.Say(say.Para(msg("past.head")), say.TableBlock(rows))
}

// ofSpoiled reports that packs are of the pot that has in it what dogs must not have:
// made on the day of which that was told, or the day before.
func ofSpoiled(t *talk.Turn, l *planner.Lot) bool {
	p := t.Home.Spoiled
	if p == nil || p.Recipe != "" && p.Recipe != l.Recipe {
		return false
	}
	after := t.DateAt(l.Moves[0].At).DaysTo(p.Date)
	return after == 0 || after == 1
}

// SpoiledPacks are those of that pot that are left.
func SpoiledPacks(t *talk.Turn) []larder.Stock {
	return slices.DeleteFunc(stocks(t), func(s larder.Stock) bool { return s.Left() <= 0 || !ofSpoiled(t, s.Lot) })
}

// SpoiledText names the packs that may be of it.
func SpoiledText(t *talk.Turn) string {
	return shelvesText(t, slices.DeleteFunc(shelves(t), func(f shelf) bool {
		return !slices.ContainsFunc(f.stocks, func(s larder.Stock) bool { return s.Left() > 0 && ofSpoiled(t, s.Lot) })
	}))
}

// spoiledText warns beside packs of it.
func spoiledText(t *talk.Turn, l *planner.Lot) string {
	return say.Where(ofSpoiled(t, l), msg("left.spoiled", "day", t.DateText(t.DateAt(l.Moves[0].At))))
}

// answerPackKcal says what a pack brings; where there are none, what the recipe does.
func answerPackKcal(t *talk.Turn, s read.Sentence) {
	all := shelvesOf(t, s.Recipe, s.Dog)
	if len(all) == 0 {
		t.GoTo(read.Sentence{Intent: read.RecipeEnergy, Recipe: s.Recipe})
		return
	}
	t.Say(say.Whole(say.LinesOf(all, func(f shelf) string {
		l := f.newest()
		return msg("left.pack", "each", say.Mass(nutrition.Grams(l.Each), t.Home.Units), "recipe", l.Name, "dog", dogOf(t, f.dog), "kcal", say.Kcal(l.Kcal))
	})))
}

// answerLast says for how long the packs last; where there are none, how long food
// keeps.
func answerLast(t *talk.Turn, s read.Sentence) {
	if len(t.Home.Packs) == 0 {
		t.GoTo(read.Sentence{Intent: read.Storing})
		return
	}
	answerLeft(t, s)
}

// lowTime is when it is said that packs run out, soonLow how many days before
// (the latter as asked for; the former our own choice).
var lowTime = planner.At(10, 0)

const soonLow = 2

// sayLow says, once for each lot, that the packs of a recipe run out soon.
func sayLow(t *talk.Turn, _ []planner.Occurrence) {
	settle(t, t.Home, t.Date().AddDays(-1)) // yesterday's meals may still be answered
	var low []shelf
	for _, f := range shelves(t) {
		out, ok := f.runsOut(t)
		if !ok || t.Date().DaysTo(out) > soonLow {
			continue
		}
		if newest := lotKept(t, f.stocks[len(f.stocks)-1].Lot.ID); !newest.Warned {
			newest.Warned, t.Changed = true, true
			low = append(low, f)
		}
	}
	if len(low) > 0 {
		t.Say(say.Whole(shelvesText(t, low)), say.Para(cookText(t, runOut(t, low)))).Offer(t.Button(msg("button.left"), "packs", "left"))
	}
}

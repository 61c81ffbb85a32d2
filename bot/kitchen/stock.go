package kitchen

import (
	"cmp"
	"slices"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// shelf is the packs of a recipe for a dog, or for all: the oldest first.
type shelf struct {
	recipe, dog string
	stocks      []planner.PackStock
}

// mealOver is after what time a meal that nobody answered counts as eaten: our own
// choice.
const mealOver = time.Hour

// stocks is what is left of every lot now.
func stocks(t *talk.Turn) []planner.PackStock {
	lots := slices.DeleteFunc(slices.Clone(t.Home.Packs), func(l planner.Lot) bool { // as an imported file may have them
		return l.Each <= 0 || l.Kcal <= 0 || len(l.Moves) == 0
	})
	if len(lots) == 0 {
		return nil
	}
	since := t.Event.At
	for _, l := range lots {
		if l.Moves[0].At.Before(since) {
			since = l.Moves[0].At
		}
	}
	return planner.StockOf(lots, mealsSince(t, since))
}

// mealsSince are the meals of all dogs since some time: those that were told, and
// those whose time has passed and that nobody answered.
func mealsSince(t *talk.Turn, since time.Time) (all []planner.Meal) {
	first := t.DateAt(since)
	kinds := []planner.EntryKind{planner.Fed, planner.NotFed, planner.Away}
	for _, d := range t.Dogs() {
		need := planner.AmountOf(*d, t.Event.At).Kcal
		answered, away := map[planner.Date]int{}, map[planner.Date]bool{}
		// A stay elsewhere that began up to 30 days before counts (our own choice).
		for _, e := range t.Entries(store.EntryQuery{Dog: d.ID, Kinds: kinds, From: since.AddDate(0, 0, -30)}) {
			switch e.Kind {
			case planner.Away:
				for day := e.Date; !e.Until.Before(day); day = day.AddDays(1) {
					away[day] = true
				}
				continue
			case planner.Fed:
				recipe, _ := planner.RecipeOn(t.Home, d.ID, e.Date)
				kcal := cmp.Or(e.Kcal, need/nutrition.Kcal(talk.MealsOf(*d)))
				all = append(all, planner.Meal{At: e.At, Dog: d.ID, Recipe: cmp.Or(e.Recipe, recipe), Kcal: kcal * newShare(t, d, e.Date), Told: true})
			}
			answered[e.Date]++
		}
		for day := first; d.Died.IsZero() && !t.Date().Before(day); day = day.AddDays(1) {
			_, paused := t.Home.PausedOn(d.ID, day)
			if !paused && !away[day] {
				all = append(all, unanswered(t, d, day, answered[day], need)...)
			}
		}
	}
	return all
}

// unanswered are the meals of a dog's day whose time has passed, the last first
// that nobody answered for.
func unanswered(t *talk.Turn, d *planner.Dog, day planner.Date, answered int, need nutrition.Kcal) (all []planner.Meal) {
	recipe, ok := planner.RecipeOn(t.Home, d.ID, day)
	times := d.MealTimes()
	if !ok || need <= 0 {
		return nil
	}
	for _, clock := range times[min(answered, len(times)):] {
		at := planner.Instant(day, clock, t.Event.At.Location())
		if t.Event.At.Sub(at) > mealOver {
			all = append(all, planner.Meal{At: at, Dog: d.ID, Recipe: recipe, Kcal: need / nutrition.Kcal(len(times)) * newShare(t, d, day)})
		}
	}
	return all
}

// newShare is what part of a dog's day is its recipe, while it is being switched.
func newShare(t *talk.Turn, d *planner.Dog, day planner.Date) nutrition.Kcal {
	if tr, _ := talk.Switching(t, d, day); tr != nil {
		return nutrition.Kcal(tr.ShareOn(day))
	}
	return 1
}

// shelves are all of them, in the order in which they were begun.
func shelves(t *talk.Turn) (all []shelf) {
	for _, s := range stocks(t) {
		i := slices.IndexFunc(all, func(f shelf) bool { return f.recipe == s.Lot.Recipe && f.dog == s.Lot.Dog })
		if i < 0 {
			i, all = len(all), append(all, shelf{recipe: s.Lot.Recipe, dog: s.Lot.Dog})
		}
		all[i].stocks = append(all[i].stocks, s)
	}
	for _, f := range all {
		slices.SortStableFunc(f.stocks, func(a, b planner.PackStock) int { return b.Lot.UseBy.DaysTo(a.Lot.UseBy) })
	}
	return all
}

// shelvesOf are those of a recipe and a dog; of all where they are empty.
func shelvesOf(t *talk.Turn, recipe, dog string) []shelf {
	return slices.DeleteFunc(shelves(t), func(f shelf) bool {
		return recipe != "" && f.recipe != recipe || dog != "" && f.dog != "" && f.dog != dog
	})
}

// stocksFor are the lots of a recipe for a dog in the order in which they are used.
func stocksFor(t *talk.Turn, recipe, dog string) (all []planner.PackStock) {
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
	need := map[string]nutrition.Kcal{}
	for _, d := range t.Dogs() {
		if n := planner.AmountOf(*d, t.Event.At); d.Died.IsZero() && (f.dog == "" || f.dog == d.ID) {
			need[d.ID] = n.Kcal
		}
	}
	eaten := false
	for day := t.Date(); t.Date().DaysTo(day) < farthest; day = day.AddDays(1) {
		var want nutrition.Kcal
		for id, kcal := range need {
			if recipe, ok := planner.RecipeOn(t.Home, id, day); ok && recipe == f.recipe {
				want += kcal * newShare(t, t.Dog(id), day) * toCome(t, t.Dog(id), day)
			}
		}
		eaten = eaten || want > 0
		if want > 0 && left < want*enough {
			return day, true
		}
		left -= want
	}
	return planner.Date{}, false
}

// enough is how much of a day's food counts as all of it: packs are rounded (our
// own choice).
const enough = 0.9

// toCome is what part of a dog's day is still to be eaten.
func toCome(t *talk.Turn, d *planner.Dog, day planner.Date) nutrition.Kcal {
	if day != t.Date() {
		return 1
	}
	times, gone := d.MealTimes(), 0
	for _, e := range t.Entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.Fed, planner.NotFed}, From: planner.Instant(day, 0, t.Event.At.Location())}) {
		if e.Date == day {
			gone++
		}
	}
	for _, clock := range times[min(gone, len(times)):] {
		if t.Event.At.Sub(planner.Instant(day, clock, t.Event.At.Location())) > mealOver {
			gone++
		}
	}
	return nutrition.Kcal(max(len(times)-gone, 0)) / nutrition.Kcal(len(times))
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
	text := msg("left.packs", "recipe", f.name(), "dog", dogOf(t, f.dog), "n", frozen)
	if about {
		text = msg("left.about-packs", "recipe", f.name(), "dog", dogOf(t, f.dog), "n", frozen)
	}
	if same {
		text += " " + msg("left.each", "each", say.Mass(nutrition.Grams(each), t.Home.Units))
	}
	if open > 0 {
		text += msg("left.open", "grams", say.Mass(nutrition.Grams(open), t.Home.Units))
	}
	switch out, ok := f.runsOut(t); {
	case !ok:
		text += msg("left.nobody")
	case out == t.Date():
		text += msg("left.not-today")
	default:
		text += msg("left.until", "day", t.DateText(out.AddDays(-1)))
	}
	return text
}

func shelvesText(t *talk.Turn, all []shelf) string {
	var lines []string
	for _, f := range all {
		lines = append(lines, shelfText(t, f))
	}
	return talk.JoinLines(lines)
}

// answerLeft says what is left of the packs, how long that lasts and by when to
// cook again.
func answerLeft(t *talk.Turn, s read.Sentence) {
	all := shelvesOf(t, s.Recipe, s.Dog)
	if len(all) == 0 {
		t.SayMsg("left.nothing", t.Examples()...)
		return
	}
	var cook, useBy planner.Date
	about := false
	for _, f := range all {
		if out, ok := f.runsOut(t); ok && (cook.IsZero() || out.Before(cook)) {
			cook = out
		}
		packs, _, unsure := f.left()
		about = about || unsure
		for _, s := range f.stocks {
			if packs > 0 && s.Left() > 0 && (useBy.IsZero() || s.Lot.UseBy.Before(useBy)) {
				useBy = s.Lot.UseBy
			}
		}
	}
	out := t.Say(say.Whole(shelvesText(t, all)), say.Para(cookText(t, cook)), say.Para(useByText(t, useBy)), say.Para(say.Where(about, msg("left.about-why"))))
	out.Offer(t.Button(msg("button.thaw"), "packs", "thaw"))
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

func cookText(t *talk.Turn, out planner.Date) string {
	switch {
	case out.IsZero():
		return ""
	case out == t.Date():
		return msg("left.cook-today")
	}
	return msg("left.cook", "day", t.DateText(out.AddDays(-1)))
}

// useByText says the oldest day by which packs are to be used.
func useByText(t *talk.Turn, by planner.Date) string {
	switch {
	case by.IsZero():
		return ""
	case by.Before(t.Date()):
		return msg("left.past", "day", t.DateText(by))
	}
	return msg("left.use-by", "day", t.DateText(by))
}

// lowTime is when it is said that packs run out, soonLow how many days before
// (the latter as asked for; the former our own choice).
var lowTime = planner.At(10, 0)

const soonLow = 2

// sayLow says, once for each lot, that the packs of a recipe run out soon.
func sayLow(t *talk.Turn, _ []planner.Occurrence) {
	var lines []string
	first := planner.Date{}
	for _, f := range shelves(t) {
		out, ok := f.runsOut(t)
		if !ok || t.Date().DaysTo(out) > soonLow {
			continue
		}
		newest := f.stocks[len(f.stocks)-1].Lot
		i := slices.IndexFunc(t.Home.Packs, func(l planner.Lot) bool { return l.ID == newest.ID })
		if t.Home.Packs[i].Warned {
			continue
		}
		t.Home.Packs[i].Warned, t.Changed = true, true
		lines = append(lines, shelfText(t, f))
		if first.IsZero() || out.Before(first) {
			first = out
		}
	}
	if len(lines) > 0 {
		t.Say(say.Whole(talk.JoinLines(lines)), say.Para(cookText(t, first))).Offer(t.Button(msg("button.left"), "packs", "left"))
	}
}

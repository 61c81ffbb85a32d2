package larder

import (
	"slices"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Needs are what dogs eat in some days, of what has to be bought.
type Needs struct {
	All      []planner.Purchase // each food and unit once, in the order of the recipes
	Packs    float64            // packs in the freezer that are eaten first
	Unscaled []string           // names of recipes whose energy is not known
	Waiting  []string           // ids of dogs without an amount
	Bare     []string           // ids of dogs without a recipe on some of the days
}

// Span is for what days something is worked out, of which dog and recipe.
type Span struct {
	From planner.Date
	Days int
	Dog  string // id; empty: all
	Of   string // id of the one recipe; empty: all
	Else string // id of what dogs eat that have no recipe; empty: nothing that is known

	Alone bool // as if they ate nothing but Of, whatever the plan
}

// serving is what one dog eats of one recipe.
type serving struct {
	recipe *planner.Recipe
	dog    string // id
	kcal   nutrition.Kcal
	days   int
	packed nutrition.Kcal // what of it comes from packs
}

// packedOff is what part of a day's food packs may fall short of, as they are rounded,
// before anything is bought for it (our own choice).
const packedOff = 0.1

// NeedsOf returns what a household's dogs eat in some days: by their rotations,
// amounts and switches, in pauses nothing. Packs are eaten first. The same food of
// several recipes is one purchase. now is when their amounts are looked at.
func NeedsOf(h *planner.Household, p nutrition.Pantry, now time.Time, s Span, packs []Stock) (n Needs) {
	meals := n.meals(h, now, s)
	left := make([]nutrition.Kcal, len(packs))
	for i := range packs {
		left[i] = packs[i].Kcal()
	}
	for i := range meals {
		n.Packs += meals[i].fromPacks(packs, left, true)
	}
	for i := range meals {
		n.Packs += meals[i].fromPacks(packs, left, false)
		if e := &meals[i]; e.packed > 0 && e.kcal < (e.packed+e.kcal)/nutrition.Kcal(e.days)*packedOff {
			e.kcal = 0
		}
	}
	for len(meals) > 0 {
		r := meals[0].recipe
		same := func(e serving) bool { return e.recipe.ID == r.ID && e.recipe.Name == r.Name }
		n.buy(h, r, p, now, slices.DeleteFunc(slices.Clone(meals), func(e serving) bool { return !same(e) }))
		meals = slices.DeleteFunc(meals, same)
	}
	if s.Of == "" {
		n.reminded(h, now, s)
	}
	return n
}

// NeedsOfDay are so many times a dog's food of one day, of a recipe that it need
// not eat by plan, with the supplements of that.
func NeedsOfDay(h *planner.Household, p nutrition.Pantry, now time.Time, d *planner.Dog, r *planner.Recipe, times int) (n Needs) {
	alone := planner.Household{Zone: h.Zone, Dogs: []planner.Dog{*d}}
	kcal := r.Share(planner.AmountOf(*d, now).Kcal) * nutrition.Kcal(times)
	n.buy(&alone, r, p, now, []serving{{recipe: r, dog: d.ID, kcal: kcal, days: times}})
	return n
}

// meals adds up what each dog eats of each recipe.
func (n *Needs) meals(h *planner.Household, now time.Time, s Span) (all []serving) {
	for i := range h.Dogs {
		d := &h.Dogs[i]
		if !d.Died.IsZero() || s.Dog != "" && d.ID != s.Dog {
			continue
		}
		amount := planner.AmountOf(*d, now)
		if amount.Waits() || !(amount.Kcal > 0) {
			n.Waiting = append(n.Waiting, d.ID)
			continue
		}
		first, bare := len(all), false
		for on := range s.Days {
			day := s.From.AddDays(on)
			if _, paused := h.PausedOn(d.ID, day); paused {
				continue
			}
			fares := planner.FareOn(h, d.ID, day)
			if s.Alone {
				fares = nil
			}
			if r := h.Recipe(s.Else); len(fares) == 0 && r != nil && d.MayEat(s.Else) {
				fares = []planner.Fare{{Recipe: *r, Shares: []float64{1}}}
			}
			known := 0.0
			for _, f := range fares {
				known += f.Share()
				if f.Share() <= 0 || len(f.Recipe.Ingredients) == 0 || s.Of != "" && f.Recipe.ID != s.Of {
					continue
				}
				at := first + slices.IndexFunc(all[first:], func(e serving) bool { return e.recipe.ID == f.Recipe.ID && e.recipe.Name == f.Recipe.Name })
				if at < first {
					at, all = len(all), append(all, serving{recipe: &f.Recipe, dog: d.ID})
				}
				all[at].kcal += amount.Kcal * nutrition.Kcal(f.Share())
				all[at].days++
			}
			bare = bare || known < nearlyAll
		}
		if bare {
			n.Bare = append(n.Bare, d.ID)
		}
	}
	return all
}

// nearlyAll is how much of a day counts as all of it, as shares are fractions (our own
// choice).
const nearlyAll = 0.99

// fromPacks takes packs off what is eaten, the dog's own or those for all, and
// returns how many.
func (e *serving) fromPacks(packs []Stock, left []nutrition.Kcal, own bool) (n float64) {
	for i := range packs {
		l := packs[i].Lot
		if l.Recipe != e.recipe.ID || own && l.Dog != e.dog || !own && l.Dog != "" || !(l.Kcal > 0) {
			continue
		}
		got := min(e.kcal, left[i])
		left[i] -= got
		e.kcal -= got
		e.packed += got
		n += float64(got / l.Kcal)
	}
	return n
}

// buy adds what has to be bought of a recipe for what dogs eat of it.
func (n *Needs) buy(h *planner.Household, r *planner.Recipe, p nutrition.Pantry, now time.Time, meals []serving) {
	var kcal nutrition.Kcal
	for _, e := range meals {
		kcal += e.kcal
		n.onBowl(h, r, e, now)
	}
	if !(kcal > 0) {
		return
	}
	factor, err := planner.FactorForKcal(*r, p, kcal)
	if err != nil {
		n.Unscaled = append(n.Unscaled, r.Name)
		return
	}
	n.Batch(*r, factor)
}

// Batch adds a recipe, so many times what it is, with what is stirred into it.
func (n *Needs) Batch(r planner.Recipe, factor float64) {
	for _, in := range r.Ingredients {
		n.add(planner.Purchase{Food: in.Food, Grams: in.Grams * nutrition.Grams(factor)})
	}
	for _, d := range r.Doses {
		if d.Batch {
			n.dose(d, factor)
		}
	}
}

// onBowl adds the supplements of a recipe that go on a dog's bowl, but for those
// that a reminder of the dog counts.
func (n *Needs) onBowl(h *planner.Household, r *planner.Recipe, e serving, now time.Time) {
	for _, d := range r.Doses {
		reminded := slices.ContainsFunc(h.Reminders, func(m planner.Reminder) bool {
			return m.Kind == planner.SupplementReminder && m.Dog == e.dog && m.Dose != nil && m.Dose.Food == d.Food && !m.Off
		})
		if !d.Batch && !reminded {
			n.dose(d.For(planner.AmountOf(*h.Dog(e.dog), now).Kcal), float64(e.days)*d.Cadence.PerDay())
		}
	}
}

// reminded adds the supplements that reminders give, without what is in stock.
func (n *Needs) reminded(h *planner.Household, now time.Time, of Span) {
	from, end := of.From, planner.Instant(of.From.AddDays(of.Days), 0, h.Location())
	for i := range h.Reminders {
		r := &h.Reminders[i]
		s, ok := h.ScheduleOf(r)
		if r.Kind != planner.SupplementReminder || r.Dose == nil || r.Off || !ok || of.Dog != "" && r.Dog != of.Dog {
			continue
		}
		dose := *r.Dose
		if d := h.Dog(r.Dog); d != nil {
			if !d.Died.IsZero() {
				continue
			}
			dose = dose.For(planner.AmountOf(*d, now).Kcal)
		}
		times := 0
		table := s.In(h.Location())
		for m, ok := table.NextMoment(planner.Instant(from, 0, h.Location()).Add(-time.Nanosecond)); ok && m.At.Before(end) && times < planner.FarthestStock; m, ok = table.NextMoment(m.At) {
			times++
		}
		need := doses(dose, float64(times))
		if r.Stock != nil {
			need = less(need, planner.Purchase{Grams: nutrition.Grams(r.Stock.Left), N: r.Stock.Left})
		}
		n.add(need)
	}
}

// doses are so many of a dose.
func doses(d planner.Dose, times float64) planner.Purchase {
	switch each, known := d.Takes(); {
	case known && d.Count > 0:
		return planner.Purchase{Food: d.Food, N: each * times, Unit: d.Form}
	case known:
		return planner.Purchase{Food: d.Food, Grams: d.Grams * nutrition.Grams(times)}
	}
	return planner.Purchase{Food: d.Food, N: times, Unit: planner.DoseUnit}
}

func (n *Needs) dose(d planner.Dose, times float64) { n.add(doses(d, times)) }

// Add takes what else is needed.
func (n *Needs) Add(more Needs) {
	for _, p := range more.All {
		n.add(p)
	}
}

func (n *Needs) add(p planner.Purchase) {
	if none(p) {
		return
	}
	for i := range n.All {
		if a := &n.All[i]; a.Food == p.Food && a.Unit == p.Unit {
			a.Grams, a.N = a.Grams+p.Grams, a.N+p.N
			return
		}
	}
	n.All = append(n.All, p)
}

// fewest is what nobody buys more of for: a thousandth of a gram or of a piece (our
// own choice).
const fewest = 1e-3

func none(p planner.Purchase) bool { return !(p.Grams > fewest) && !(p.N > fewest) }

// less takes some off, down to none.
func less(p, some planner.Purchase) planner.Purchase {
	p.Grams, p.N = max(p.Grams-some.Grams, 0), max(p.N-some.N, 0)
	return p
}

// LeftAtHome is what is still there of what was said to be at home, by a day: less
// what the dogs have eaten of it by plan. Meals out of packs count too, so that
// it is rather too little.
func LeftAtHome(h *planner.Household, p nutrition.Pantry, now time.Time, on planner.Date) (all []planner.AtHome) {
	used := map[planner.Date]Needs{}
	for _, a := range h.AtHome {
		n, known := used[a.Since]
		if !known {
			n = NeedsOf(h, p, now, Span{From: a.Since, Days: min(max(a.Since.DaysTo(on), 0), farthestBackDays)}, nil)
			used[a.Since] = n
		}
		for _, u := range n.All {
			if u.Food == a.Food && u.Unit == a.Unit {
				a.Purchase = less(a.Purchase, u)
			}
		}
		if !none(a.Purchase) {
			all = append(all, a)
		}
	}
	return all
}

// farthestBackDays is for how many days what is at home is counted down (our own
// choice).
const farthestBackDays = 400

// Without takes off what is at home, and returns what of it is used.
func (n *Needs) Without(home []planner.AtHome) (used []planner.Purchase) {
	for _, a := range home {
		for i := range n.All {
			if p := &n.All[i]; p.Food == a.Food && p.Unit == a.Unit {
				used = append(used, planner.Purchase{Food: p.Food, Grams: min(p.Grams, a.Grams), N: min(p.N, a.N), Unit: p.Unit})
				*p = less(*p, a.Purchase)
			}
		}
	}
	n.All = slices.DeleteFunc(n.All, none)
	return used
}

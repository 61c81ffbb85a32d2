package planner

import (
	"math"
	"slices"
	"time"

	"bowlwright/nutrition"
)

// Purchase is so much of a food or a supplement: by weight, or counted where
// Unit says in what.
type Purchase struct {
	Food  string          `json:"food,omitempty"` // key
	Grams nutrition.Grams `json:"grams,omitempty"`
	N     float64         `json:"n,omitempty"`
	Unit  string          `json:"unit,omitempty"` // "piece", "can", "capsule", "drop", ...; DoseUnit where only what it brings is known
}

// DoseUnit counts doses of which nobody has said in what they come.
const DoseUnit = "dose"

// AtHome is food that a carer said is there. What the dogs eat by plan since is
// taken off it.
type AtHome struct {
	Purchase
	Since Date `json:"since"`
}

// Needs are what dogs eat in some days, of what has to be bought.
type Needs struct {
	All      []Purchase // each food and unit once, in the order of the recipes
	Packs    float64    // packs in the freezer that are eaten first
	Unscaled []string   // ids of recipes whose energy is not known
	Waiting  []string   // ids of dogs without an amount
	Bare     []string   // ids of dogs without a recipe on some of the days
}

// serving is what one dog eats of one recipe.
type serving struct {
	recipe, dog string
	kcal        nutrition.Kcal
	days        int
}

// NeedsOf returns what a household's dogs eat from a day on, for so many days,
// of one recipe or, where it is empty, of all: by their rotations, amounts and
// switches, in pauses nothing. Packs are eaten first. The same food of several
// recipes is one purchase. now is when their amounts are looked at.
func NeedsOf(h *Household, p nutrition.Pantry, now time.Time, from Date, days int, recipe string, packs []PackStock) (n Needs) {
	meals := n.meals(h, now, from, days, recipe)
	left := make([]nutrition.Kcal, len(packs))
	for i := range packs {
		left[i] = packs[i].Kcal()
	}
	for i := range meals {
		n.Packs += meals[i].fromPacks(packs, left, true)
	}
	for i := range meals {
		n.Packs += meals[i].fromPacks(packs, left, false)
	}
	for i := range h.Recipes {
		n.buy(h, &h.Recipes[i], p, now, meals)
	}
	if recipe == "" {
		n.reminded(h, now, from, days)
	}
	return n
}

// meals adds up what each dog eats of each recipe.
func (n *Needs) meals(h *Household, now time.Time, from Date, days int, recipe string) (all []serving) {
	for i := range h.Dogs {
		d := &h.Dogs[i]
		if !d.Died.IsZero() {
			continue
		}
		amount := AmountOf(*d, now)
		if amount.Waits() || !(amount.Kcal > 0) {
			n.Waiting = append(n.Waiting, d.ID)
			continue
		}
		first, bare := len(all), false
		tr := TransitionOf(h, d.ID)
		for on := range days {
			day := from.AddDays(on)
			if _, paused := h.PausedOn(d.ID, day); paused {
				continue
			}
			id, ok := RecipeOn(h, d.ID, day)
			bare = bare || !ok
			if !ok || recipe != "" && id != recipe {
				continue
			}
			share := nutrition.Kcal(1)
			if tr != nil && !tr.Over(day) && tr.NewRecipe(h) == id {
				share = nutrition.Kcal(tr.ShareOn(day))
			}
			at := first + slices.IndexFunc(all[first:], func(e serving) bool { return e.recipe == id })
			if at < first {
				at, all = len(all), append(all, serving{recipe: id, dog: d.ID})
			}
			all[at].kcal += amount.Kcal * share
			all[at].days++
		}
		if bare {
			n.Bare = append(n.Bare, d.ID)
		}
	}
	return all
}

// fromPacks takes packs off what is eaten, the dog's own or those for all, and
// returns how many.
func (e *serving) fromPacks(packs []PackStock, left []nutrition.Kcal, own bool) (n float64) {
	for i := range packs {
		l := packs[i].Lot
		if l.Recipe != e.recipe || own && l.Dog != e.dog || !own && l.Dog != "" || !(l.Kcal > 0) {
			continue
		}
		got := min(e.kcal, left[i])
		left[i] -= got
		e.kcal -= got
		n += float64(got / l.Kcal)
	}
	return n
}

// buy adds what has to be bought of a recipe.
func (n *Needs) buy(h *Household, r *Recipe, p nutrition.Pantry, now time.Time, meals []serving) {
	var kcal nutrition.Kcal
	fed := false
	for _, e := range meals {
		if e.recipe == r.ID {
			kcal, fed = kcal+e.kcal, true
		}
	}
	if !fed {
		return
	}
	for _, e := range meals {
		if e.recipe == r.ID {
			n.onBowl(h, r, e, now)
		}
	}
	if !(kcal > 0) {
		return
	}
	factor, err := FactorForKcal(*r, p, kcal)
	if err != nil {
		n.Unscaled = append(n.Unscaled, r.ID)
		return
	}
	n.Batch(*r, factor)
}

// Batch adds a recipe, so many times what it is, with what is stirred into it.
func (n *Needs) Batch(r Recipe, factor float64) {
	for _, in := range r.Ingredients {
		n.add(Purchase{Food: in.Food, Grams: in.Grams * nutrition.Grams(factor)})
	}
	for _, d := range r.Doses {
		if d.Batch {
			n.dose(d, factor)
		}
	}
}

// onBowl adds the supplements of a recipe that go on a dog's bowl, but for those
// that a reminder of the dog counts.
func (n *Needs) onBowl(h *Household, r *Recipe, e serving, now time.Time) {
	for _, d := range r.Doses {
		reminded := slices.ContainsFunc(h.Reminders, func(m Reminder) bool {
			return m.Kind == SupplementReminder && m.Dog == e.dog && m.Dose != nil && m.Dose.Food == d.Food && !m.Off
		})
		if !d.Batch && !reminded {
			n.dose(d.For(AmountOf(*h.dog(e.dog), now).Kcal), float64(e.days)*d.Cadence.PerDay())
		}
	}
}

// reminded adds the supplements that reminders give, without what is in stock.
func (n *Needs) reminded(h *Household, now time.Time, from Date, days int) {
	end := Instant(from.AddDays(days), 0, h.Location())
	for i := range h.Reminders {
		r := &h.Reminders[i]
		s, ok := h.ScheduleOf(r)
		if r.Kind != SupplementReminder || r.Dose == nil || r.Off || !ok {
			continue
		}
		dose := *r.Dose
		if d := h.dog(r.Dog); d != nil {
			if !d.Died.IsZero() {
				continue
			}
			dose = dose.For(AmountOf(*d, now).Kcal)
		}
		times := 0
		table := s.In(h.Location())
		for m, ok := table.NextMoment(Instant(from, 0, h.Location()).Add(-time.Nanosecond)); ok && m.At.Before(end) && times < farthestStock; m, ok = table.NextMoment(m.At) {
			times++
		}
		need := doses(dose, float64(times))
		if r.Stock != nil {
			need = need.less(Purchase{Grams: nutrition.Grams(r.Stock.Left), N: r.Stock.Left})
		}
		n.add(need)
	}
}

// doses are so many of a dose.
func doses(d Dose, times float64) Purchase {
	switch each, known := d.takes(); {
	case known && d.Count > 0:
		return Purchase{Food: d.Food, N: each * times, Unit: d.Form}
	case known:
		return Purchase{Food: d.Food, Grams: d.Grams * nutrition.Grams(times)}
	}
	return Purchase{Food: d.Food, N: times, Unit: DoseUnit}
}

func (n *Needs) dose(d Dose, times float64) { n.add(doses(d, times)) }

func (n *Needs) add(p Purchase) {
	if p.none() {
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

// fewest is what nobody buys more of for: a thousandth of a gram or of a piece.
const fewest = 1e-3

func (p Purchase) none() bool { return !(p.Grams > fewest) && !(p.N > fewest) }

// less takes some off, down to none.
func (p Purchase) less(some Purchase) Purchase {
	p.Grams, p.N = max(p.Grams-some.Grams, 0), max(p.N-some.N, 0)
	return p
}

// LeftAtHome is what is still there of what was said to be at home, by a day: less
// what the dogs have eaten of it by plan. Meals out of packs count too, so that
// it is rather too little.
func LeftAtHome(h *Household, p nutrition.Pantry, now time.Time, on Date) (all []AtHome) {
	used := map[Date]Needs{}
	for _, a := range h.AtHome {
		n, known := used[a.Since]
		if !known {
			n = NeedsOf(h, p, now, a.Since, min(max(a.Since.DaysTo(on), 0), farthestBackDays), "", nil)
			used[a.Since] = n
		}
		for _, u := range n.All {
			if u.Food == a.Food && u.Unit == a.Unit {
				a.Purchase = a.less(u)
			}
		}
		if !a.none() {
			all = append(all, a)
		}
	}
	return all
}

// farthestBackDays is for how many days what is at home is counted down.
const farthestBackDays = 400

// Without takes off what is at home, and returns what of it is used.
func (n *Needs) Without(home []AtHome) (used []Purchase) {
	for _, a := range home {
		for i := range n.All {
			if p := &n.All[i]; p.Food == a.Food && p.Unit == a.Unit {
				used = append(used, Purchase{Food: p.Food, Grams: min(p.Grams, a.Grams), N: min(p.N, a.N), Unit: p.Unit})
				*p = p.less(a.Purchase)
			}
		}
	}
	n.All = slices.DeleteFunc(n.All, Purchase.none)
	return used
}

// Sold is a purchase as a shop sells it, never less: eggs and tins by the piece,
// capsules whole, weights by steps of 1 g below 20 g, 5 g below 100 g, 50 g
// below 1 kg and 100 g from there (our own choice). A tenth of an egg or a tin
// more is not bought for, nor what a step is missed by through rounding.
func (p Purchase) Sold(pantry nutrition.Pantry) Purchase {
	if p.Unit != "" || p.N > 0 {
		p.N = math.Ceil(p.N - fewest)
		return p
	}
	for _, c := range CountedOf(Recipe{Ingredients: []Ingredient{{Food: p.Food, Grams: p.Grams}}}, pantry) {
		return Purchase{Food: p.Food, Grams: c.Each * nutrition.Grams(c.N), N: float64(c.N), Unit: c.Unit}
	}
	step := nutrition.Grams(100)
	switch {
	case p.Grams < 20:
		step = 1
	case p.Grams < 100:
		step = 5
	case p.Grams < 1000:
		step = 50
	}
	p.Grams = nutrition.Grams(math.Ceil(float64(p.Grams/step)-fewest)) * step
	return p
}

// Aisle is where in town something is bought.
type Aisle int

// The aisles, in the order in which a list has them.
const (
	Butcher Aisle = iota
	Fishmonger
	Greens
	OtherAisle
	ByPost
	OnHand // what carers wrote on it
	AisleCount
)

// AisleOf is where a food is sold: supplements by post, tins with what else
// there is.
func AisleOf(f *nutrition.Food) Aisle {
	switch {
	case f == nil:
		return OtherAisle
	case f.Has(nutrition.Supplement) || f.Has(nutrition.Seaweed) || f.Kind == "algae":
		return ByPost
	case f.Has(nutrition.Canned):
		return OtherAisle
	case f.Part == nutrition.Fish || f.Has(nutrition.Shellfish):
		return Fishmonger
	case f.Part <= nutrition.SecretingOrgan || f.Kind == "fat":
		return Butcher
	case f.Kind == "vegetable" || f.Kind == "fruit" || f.Kind == "starch" && !f.Has(nutrition.Grain):
		return Greens
	}
	return OtherAisle
}

// ShopList is a list of what to buy, shared by all carers of a household.
type ShopList struct {
	Made  time.Time  `json:"made"`
	From  Date       `json:"from,omitzero"`
	Days  int        `json:"days,omitempty"` // 0: it has only what carers wrote on it
	Of    string     `json:"of,omitempty"`   // the recipe's name, where it is of one alone
	Last  int        `json:"last"`           // the last number given to a line
	Lines []ShopLine `json:"lines,omitempty"`
}

// ShopLine is a line of a list.
type ShopLine struct {
	ID int `json:"id"`
	Purchase
	Text  string    `json:"text,omitempty"` // as a carer wrote it; Food is then empty
	Aisle Aisle     `json:"aisle"`
	Got   string    `json:"got,omitempty"` // the person who ticked it off
	GotAt time.Time `json:"got_at,omitzero"`
}

// Line returns a line by its number, nil where there is none.
func (l *ShopList) Line(id int) *ShopLine {
	if l == nil {
		return nil
	}
	if i := slices.IndexFunc(l.Lines, func(s ShopLine) bool { return s.ID == id }); i >= 0 {
		return &l.Lines[i]
	}
	return nil
}

// Add puts a line at the end of its aisle.
func (l *ShopList) Add(s ShopLine) *ShopLine {
	l.Last++
	s.ID = l.Last
	at := len(l.Lines)
	for at > 0 && l.Lines[at-1].Aisle > s.Aisle {
		at--
	}
	l.Lines = slices.Insert(l.Lines, at, s)
	return &l.Lines[at]
}

// NewShopList is a list of what is needed. Of the list before it stay the lines
// that carers wrote and that are open and, where it is made again for the same
// days, the ticks of what is not more than it was.
func NewShopList(n Needs, p nutrition.Pantry, old *ShopList, made ShopList) *ShopList {
	l := &made
	if old != nil {
		l.Last = old.Last // a button of the list before is of none of the new lines
	}
	same := old != nil && old.From == l.From && old.Days == l.Days && old.Of == l.Of
	for _, need := range n.All {
		line := ShopLine{Purchase: need.Sold(p), Aisle: AisleOf(p.Food(need.Food))}
		if same {
			for _, o := range old.Lines {
				if o.Food == line.Food && o.Unit == line.Unit && o.Grams >= line.Grams && o.N >= line.N {
					line.Got, line.GotAt = o.Got, o.GotAt
				}
			}
		}
		l.Add(line)
	}
	if old != nil {
		for _, o := range old.Lines {
			if o.Text != "" && (o.Got == "" || same) {
				l.Add(o)
			}
		}
	}
	return l
}

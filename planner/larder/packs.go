package larder

import (
	"cmp"
	"math"
	"slices"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/portions"
)

// Meal is food that a dog had, or may have had: told is false of one that nobody
// answered, which counts as eaten.
type Meal struct {
	At     time.Time
	Dog    string
	Recipe string
	Kcal   nutrition.Kcal
	Told   bool
}

// Stock is what is left of a lot, and what became of the rest. In grams,
// Made + Found is Frozen packs + Open + Fed + Given + Thrown.
type Stock struct {
	Lot    *planner.Lot
	Frozen int // packs
	Open   int // thawed or begun, g
	About  bool
	// In grams.
	Made, Found, Fed, Given, Thrown int
	Short                           int // packs that were told of beyond what there were

	counted time.Time // when its packs were counted last
	thawed  []thawed  // what Open is, the oldest first
}

// thawed is some grams that were taken out at a time.
type thawed struct {
	grams int
	at    time.Time
}

// Left is what is left, in packs.
func (s Stock) Left() float64 {
	return float64(s.Frozen) + float64(s.Open)/float64(max(s.Lot.Each, 1))
}

// crumbs is the part of a pack that is no food any more: what rounding leaves (our
// own choice).
const crumbs = 0.05

// OpenSince is when the oldest of what is thawed was taken out, zero where there is
// none but crumbs.
func (s Stock) OpenSince() time.Time {
	for _, o := range s.thawed {
		if float64(o.grams) > crumbs*float64(s.Lot.Each) {
			return o.at
		}
	}
	return time.Time{}
}

// Kcal is what is left, in kcal.
func (s Stock) Kcal() nutrition.Kcal { return s.Lot.Kcal * nutrition.Kcal(s.Left()) }

// StockOf is what is left of each lot after its moves and the meals, in the
// order of their times. A meal is taken from the packs of its recipe: the dog's
// own before those for all, the oldest first. What no packs are left for was
// other food, and counts nowhere.
func StockOf(lots []planner.Lot, meals []Meal) []Stock { return stockOf(lots, meals, nil) }

// Settle takes meals into the moves of the lots that they came from, so that what
// is changed of dogs and their food later changes nothing of what was eaten. It
// returns those moves by the ids of the lots.
func Settle(lots []planner.Lot, meals []Meal) map[string][]planner.PackMove {
	moves := map[string][]planner.PackMove{}
	stockOf(lots, meals, func(l *planner.Lot, m planner.PackMove) { moves[l.ID] = append(moves[l.ID], m) })
	return moves
}

func stockOf(lots []planner.Lot, meals []Meal, fed func(*planner.Lot, planner.PackMove)) []Stock {
	all := make([]Stock, len(lots))
	type event struct {
		at   time.Time
		lot  int
		move planner.PackMove
		meal *Meal
	}
	var events []event
	for i := range lots {
		all[i].Lot = &lots[i]
		for _, m := range lots[i].Moves {
			events = append(events, event{at: m.At, lot: i, move: m})
		}
	}
	for i := range meals {
		events = append(events, event{at: meals[i].At, meal: &meals[i]})
	}
	slices.SortStableFunc(events, func(a, b event) int { return a.at.Compare(b.at) })
	for _, e := range events {
		if e.meal == nil {
			all[e.lot].take(e.move)
			continue
		}
		kcal := e.meal.Kcal
		for _, i := range lotsFor(lots, *e.meal) {
			got, grams := all[i].feed(kcal, *e.meal)
			kcal -= got
			if fed != nil && grams > 0 {
				fed(&lots[i], planner.PackMove{Kind: planner.PacksFed, Grams: grams, About: !e.meal.Told, At: e.meal.At})
			}
		}
	}
	return all
}

// lotsFor are the lots that a meal may come from, in the order in which they are
// used.
func lotsFor(lots []planner.Lot, m Meal) (of []int) {
	for i := range lots {
		if lots[i].Recipe == m.Recipe && (lots[i].Dog == "" || lots[i].Dog == m.Dog) && lots[i].Each > 0 && lots[i].Kcal > 0 {
			of = append(of, i)
		}
	}
	slices.SortStableFunc(of, func(a, b int) int { // the dog's own before those that name none
		return cmp.Or(cmp.Compare(lots[b].Dog, lots[a].Dog), lots[b].UseBy.DaysTo(lots[a].UseBy))
	})
	return of
}

// take does a move. Never are there fewer packs than none: what is missing is
// Short.
func (s *Stock) take(m planner.PackMove) {
	each, n := s.Lot.Each, max(m.Packs, 0)
	switch m.Kind {
	case planner.PacksMade:
		s.Frozen += n
		s.Made += n * each
	case planner.PacksCounted:
		s.Found += (n - s.Frozen) * each
		s.Frozen, s.About, s.counted = n, false, m.At
	case planner.PacksThawed:
		s.thaw(s.out(n), m.At)
	case planner.PacksBack:
		back := min(n, s.Open/max(each, 1))
		s.less(back * each)
		s.Frozen += back
		s.Short += n - back
	case planner.PacksRest:
		grams := s.Open
		if n > 0 {
			grams = min(grams, n*each)
		}
		s.Thrown += grams
		s.less(grams)
	case planner.PacksUsed:
		s.Fed += s.out(n) * each
	case planner.PacksGiven:
		s.Given += s.out(n) * each
	case planner.PacksThrown:
		s.Thrown += s.thrown(n) * each
	case planner.PacksFed:
		s.eat(m.Grams, m.Grams, m.About, m.At)
	}
}

// thaw opens packs.
func (s *Stock) thaw(n int, at time.Time) {
	if n > 0 {
		s.Open += n * s.Lot.Each
		s.thawed = append(s.thawed, thawed{n * s.Lot.Each, at})
	}
}

// less takes some grams of what is thawed, the oldest first.
func (s *Stock) less(grams int) {
	s.Open -= grams
	for grams > 0 && len(s.thawed) > 0 {
		first := &s.thawed[0]
		some := min(first.grams, grams)
		first.grams -= some
		if grams -= some; first.grams == 0 {
			s.thawed = s.thawed[1:]
		}
	}
}

// thrown takes packs out, of those that are thawed where none is frozen.
func (s *Stock) thrown(n int) int {
	open := 0
	if s.Lot.Each > 0 {
		open = min(n, s.Open/s.Lot.Each)
	}
	s.less(open * s.Lot.Each)
	return s.out(n-open) + open
}

// out takes packs out of the freezer, and returns how many there were.
func (s *Stock) out(n int) int {
	got := min(n, s.Frozen)
	s.Frozen -= got
	s.Short += n - got
	return got
}

// justCounted is for how long after packs were counted a meal that is told was out of the
// freezer before (our own choice).
const justCounted = 15 * time.Minute

// feed takes a meal, and returns the kcal and the grams that there were. For what
// rounding lacks of a meal no pack is opened.
func (s *Stock) feed(k nutrition.Kcal, m Meal) (nutrition.Kcal, int) {
	aGram := s.Lot.Kcal / nutrition.Kcal(s.Lot.Each)
	want := int(k/aGram + 0.5)
	least := int(float64(want) * (1 - packSpread))
	if m.Told && m.At.Sub(s.counted) < justCounted {
		return k, s.eat(want, 0, false, m.At)
	}
	got := s.eat(want, least, !m.Told, m.At)
	if got >= least {
		return k, got
	}
	return nutrition.Kcal(got) * aGram, got
}

// eat takes some grams from what is thawed and, where that is less than the least of
// it, from packs that are opened for it. It returns how many there were.
func (s *Stock) eat(want, least int, about bool, at time.Time) int {
	if want <= 0 {
		return 0
	}
	for s.Open < least && s.Frozen > 0 {
		s.Frozen--
		s.thaw(1, at)
	}
	got := min(want, s.Open)
	s.less(got)
	s.Fed += got
	s.About = s.About || about && got > 0
	return got
}

// Packing is food shared out: so many packs of so many grams, and what is left
// over, which is less than a pack wherever a pack was made. Packs*Each + Rest is
// what went in, to the gram.
type Packing struct{ Packs, Each, Rest int }

// MostPack is the weight of a pack that thaws overnight in a fridge, g; heavier
// ones need two evenings (common practice, no source).
const MostPack = 1000

// packSpread is by how much a pack may differ from a day's food: our own choice,
// far less than what any equation leaves open of a dog's need.
const packSpread = 0.02

// PackUp shares out some grams in packs of about the grams wanted, or of an even
// part of them where that is more than MostPack. All packs weigh the same, by
// the steps of a kitchen scale; of the sizes within packSpread (or one step) it is
// the one that leaves least over, and of those the nearest to what is wanted.
func PackUp(total int, wanted nutrition.Grams) Packing {
	if !(wanted >= 1) || total <= 0 {
		return Packing{Rest: max(total, 0)}
	}
	want := float64(wanted) / PacksADay(wanted)
	s := float64(portions.ScaleStep(want, planner.Units{}))
	spread := max(s, want*packSpread)
	best := Packing{Rest: total}
	for each := math.Ceil((want-spread)/s) * s; each <= min(want+spread, MostPack); each += s {
		if each < 1 {
			continue
		}
		p := Packing{total / int(each), int(each), total % int(each)}
		if p.Packs > 0 && (best.Packs == 0 || p.better(best, want)) {
			best = p
		}
	}
	return best
}

func (p Packing) better(than Packing, want float64) bool {
	if p.Rest != than.Rest {
		return p.Rest < than.Rest
	}
	return math.Abs(float64(p.Each)-want) < math.Abs(float64(than.Each)-want)
}

// PacksADay is how many packs a day's food of so many grams is in.
func PacksADay(aDay nutrition.Grams) float64 { return max(1, math.Ceil(float64(aDay)/MostPack)) }

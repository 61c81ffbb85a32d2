package planner

import (
	"slices"
	"time"

	"bowlwright/nutrition"
)

// Lot is the packs that were frozen of one batch, all of one weight. What became
// of them is in Moves; what was fed of them follows from the meals since. It
// keeps what it was made of, whatever becomes of the recipe.
type Lot struct {
	ID     string         `json:"id"`
	Recipe string         `json:"recipe"`          // id
	Name   string         `json:"name"`            // of the recipe, when it was made
	Dog    string         `json:"dog,omitempty"`   // id; empty: for whoever eats the recipe
	Each   int            `json:"each_g"`          // what a pack weighs
	Kcal   nutrition.Kcal `json:"kcal"`            // and brings
	Yield  float64        `json:"yield,omitempty"` // cooked over raw weight; 0: it is raw
	UseBy  Date           `json:"use_by"`
	Warned bool           `json:"warned,omitempty"` // that it runs out soon
	Moves  []PackMove     `json:"moves"`
}

// PackMove is what a carer said of packs.
type PackMove struct {
	Kind  PackMoveKind `json:"kind"`
	Packs int          `json:"packs"`
	At    time.Time    `json:"at"`
}

// PackMoveKind is what was done with packs.
type PackMoveKind string

// The kinds as stored.
const (
	PacksMade    PackMoveKind = "made"
	PacksThawed  PackMoveKind = "thawed"
	PacksGiven   PackMoveKind = "given"
	PacksThrown  PackMoveKind = "thrown"
	PacksCounted PackMoveKind = "counted" // so many are in the freezer
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

// PackStock is what is left of a lot, and what became of the rest. In grams,
// Made + Found is Frozen packs + Open + Fed + Given + Thrown.
type PackStock struct {
	Lot    *Lot
	Frozen int // packs
	Open   int // thawed or begun, g
	About  bool
	// In grams.
	Made, Found, Fed, Given, Thrown int
	Short                           int // packs that were told of beyond what there were
}

// Left is what is left, in packs.
func (s PackStock) Left() float64 {
	return float64(s.Frozen) + float64(s.Open)/float64(max(s.Lot.Each, 1))
}

// Kcal is what is left, in kcal.
func (s PackStock) Kcal() nutrition.Kcal { return s.Lot.Kcal * nutrition.Kcal(s.Left()) }

// StockOf is what is left of each lot after its moves and the meals, in the
// order of their times. A meal is taken from the packs of its recipe: the dog's
// own before those for all, the oldest first. What no packs are left for was
// other food, and counts nowhere.
func StockOf(lots []Lot, meals []Meal) []PackStock {
	all := make([]PackStock, len(lots))
	type event struct {
		at   time.Time
		lot  int
		move PackMove
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
			kcal -= all[i].feed(kcal, e.meal.Told)
		}
	}
	return all
}

// lotsFor are the lots that a meal may come from, in the order in which they are
// used.
func lotsFor(lots []Lot, m Meal) (of []int) {
	for i := range lots {
		if lots[i].Recipe == m.Recipe && (lots[i].Dog == "" || lots[i].Dog == m.Dog) && lots[i].Each > 0 && lots[i].Kcal > 0 {
			of = append(of, i)
		}
	}
	slices.SortStableFunc(of, func(a, b int) int {
		if own := lots[a].Dog != ""; own != (lots[b].Dog != "") {
			if own {
				return -1
			}
			return 1
		}
		return lots[a].UseBy.DaysTo(lots[b].UseBy) * -1
	})
	return of
}

// take does a move. Never are there fewer packs than none: what is missing is
// Short.
func (s *PackStock) take(m PackMove) {
	each, n := s.Lot.Each, max(m.Packs, 0)
	switch m.Kind {
	case PacksMade:
		s.Frozen += n
		s.Made += n * each
	case PacksCounted:
		s.Found += (n - s.Frozen) * each
		s.Frozen, s.About = n, false
	case PacksThawed:
		n = s.out(n)
		s.Open += n * each
	case PacksGiven:
		s.Given += s.out(n) * each
	case PacksThrown:
		s.Thrown += s.thrown(n) * each
	}
}

// thrown takes packs out, of those that are thawed where none is frozen.
func (s *PackStock) thrown(n int) int {
	open := 0
	for n > s.Frozen+open && s.Open >= s.Lot.Each && s.Lot.Each > 0 {
		s.Open -= s.Lot.Each
		open++
	}
	return s.out(n-open) + open
}

// out takes packs out of the freezer, and returns how many there were.
func (s *PackStock) out(n int) int {
	got := min(n, s.Frozen)
	s.Frozen -= got
	s.Short += n - got
	return got
}

// feed takes a meal from what is thawed, then from a pack that is opened for it,
// and returns the kcal that there were.
func (s *PackStock) feed(k nutrition.Kcal, told bool) nutrition.Kcal {
	aGram := s.Lot.Kcal / nutrition.Kcal(s.Lot.Each)
	want := int(k/aGram + 0.5)
	if want <= 0 {
		return 0
	}
	for s.Open < want && s.Frozen > 0 {
		s.Frozen--
		s.Open += s.Lot.Each
	}
	got := min(want, s.Open)
	s.Open -= got
	s.Fed += got
	s.About = s.About || got > 0 && !told
	if got == want {
		return k
	}
	return nutrition.Kcal(got) * aGram
}

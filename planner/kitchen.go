package planner

import (
	"math"
	"slices"
	"time"

	"bowlwright/nutrition"
)

// What a household keeps of its kitchen. Package larder works out the rest.

// Cooking is what a carer told of a recipe that is cooked.
type Cooking struct {
	Raw    int          `json:"raw,omitempty"`    // what went into the pan, g
	Cooked int          `json:"cooked,omitempty"` // what came out, g; 0: never weighed
	Day    Date         `json:"day,omitzero"`     // of the weighing; zero: another's, adopted with the recipe
	Of     []Ingredient `json:"of,omitempty"`     // the lines that were weighed; of others it says nothing
	Poured bool         `json:"poured,omitempty"` // fat and juice were poured off
}

// Weigh keeps what a recipe as it is now weighed raw and cooked.
func (r *Recipe) Weigh(raw, cooked int, day Date) {
	r.Cooking = Cooking{Raw: raw, Cooked: cooked, Day: day, Of: slices.Clone(r.Ingredients), Poured: r.Cooking.Poured}
}

// Yield is what a recipe weighed cooked over what it weighed raw; false where it
// was not weighed, or its lines are others since.
func (r *Recipe) Yield() (float64, bool) {
	c := r.Cooking
	if c.Raw < 1 || c.Cooked < 1 || !SameParts(&Recipe{Ingredients: c.Of}, &Recipe{Ingredients: r.Ingredients}) {
		return 0, false
	}
	return float64(c.Cooked) / float64(c.Raw), true
}

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
	Raw    int            `json:"raw_g,omitempty"` // what it weighed raw, where it was counted so until a pan was weighed
	UseBy  Date           `json:"use_by"`
	Of     []Ingredient   `json:"of,omitempty"`     // what it was made of
	Warned bool           `json:"warned,omitempty"` // that it runs out soon
	Moves  []PackMove     `json:"moves"`
}

// Weigh has each pack weigh so much, over so much raw weight: the same food, of which the
// same part was fed.
func (l *Lot) Weigh(each int, yield float64) {
	l.Moves = slices.Clone(l.Moves)
	for i := range l.Moves {
		l.Moves[i].Grams = int(math.Round(float64(l.Moves[i].Grams) * float64(each) / float64(l.Each)))
	}
	if l.Yield == 0 {
		l.Raw = l.Each
	}
	if yield == 0 {
		l.Raw = 0
	}
	l.Each, l.Yield, l.Warned = each, yield, false
}

// PackMove is what a carer said of packs.
type PackMove struct {
	Kind  PackMoveKind `json:"kind"`
	Packs int          `json:"packs,omitempty"`
	Grams int          `json:"g,omitempty"`     // of PacksFed
	About bool         `json:"about,omitempty"` // of PacksFed: some of the meals nobody told of
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
	PacksUsed    PackMoveKind = "used"    // fed beside the meals, or to others
	PacksBack    PackMoveKind = "back"    // thawed, and frozen again
	PacksRest    PackMoveKind = "rest"    // what was thawed was thrown away: so many Packs of it, 0 all
	PacksFed     PackMoveKind = "fed"     // by meals of days that are settled
)

// AddFed adds meals that are settled to the moves of a lot. Those between which
// nothing else was done become one.
func (l *Lot) AddFed(fed []PackMove) {
	l.Moves = slices.Clone(l.Moves)
	for _, m := range fed {
		last := &l.Moves[len(l.Moves)-1]
		between := func(o PackMove) bool { return o.At.After(last.At) && !o.At.After(m.At) }
		if last.Kind != PacksFed || m.At.Before(last.At) || slices.ContainsFunc(l.Moves, between) {
			l.Moves = append(l.Moves, m)
			continue
		}
		last.Grams, last.About, last.At = last.Grams+m.Grams, last.About || m.About, m.At
	}
}

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
	return FirstOf(l.Lines, func(s *ShopLine) bool { return s.ID == id })
}

// Add puts a line at the end of its aisle.
func (l *ShopList) Add(s ShopLine) {
	l.Last++
	s.ID = l.Last
	at := len(l.Lines)
	for at > 0 && l.Lines[at-1].Aisle > s.Aisle {
		at--
	}
	l.Lines = slices.Insert(l.Lines, at, s)
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
)

// Price is what so much of a food costs.
type Price struct {
	Purchase           // what one gets for it
	Minor    int64     `json:"minor"` // of the household's currency, in its smallest unit
	At       time.Time `json:"at"`    // when it was told
	Typed    string    `json:"typed,omitempty"`
}

// PriceOf returns the price of a food, nil where none is known.
func (h *Household) PriceOf(food string) *Price {
	return FirstOf(h.Prices, func(p *Price) bool { return p.Food == food })
}

// SetPrice puts a price in the place of the food's earlier one.
func (h *Household) SetPrice(p Price) {
	h.DropPrice(p.Food)
	h.Prices = append(h.Prices, p)
}

// DropPrice forgets the price of a food.
func (h *Household) DropPrice(food string) {
	h.Prices = slices.DeleteFunc(h.Prices, func(p Price) bool { return p.Food == food })
}

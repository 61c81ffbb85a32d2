package planner

import (
	"math"
	"slices"
	"time"

	"bowlwright/nutrition"
)

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

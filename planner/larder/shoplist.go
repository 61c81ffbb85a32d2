package larder

import (
	"math"
	"slices"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Sold is a purchase as a shop sells it, never less: eggs and tins by the piece,
// capsules whole, weights by steps of 1 g below 20 g, 5 g below 100 g, 50 g
// below 1 kg and 100 g from there (our own choice). A tenth of an egg or a tin
// more is not bought for, nor what a step is missed by through rounding.
func Sold(p planner.Purchase, pantry nutrition.Pantry) planner.Purchase {
	if p.Unit != "" || p.N > 0 {
		p.N = math.Ceil(p.N - fewest)
		return p
	}
	if f := pantry.Food(p.Food); f != nil && (f.Kind == "egg" && !f.Has(nutrition.Cooked) || f.Has(nutrition.Canned)) {
		unit := "can"
		if f.Kind == "egg" {
			unit = "piece"
		}
		if m, ok := f.MeasureOf(unit, ""); ok && m.Grams > 0 && p.Grams > m.Grams*tenth {
			n := math.Ceil(float64(p.Grams/m.Grams) - tenth)
			return planner.Purchase{Food: p.Food, Grams: m.Grams * nutrition.Grams(n), N: n, Unit: unit}
		}
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

// tenth is what part of an egg or a tin more is not bought for (our own choice).
const tenth = 0.1

// AisleOf is where a food is sold: supplements by post, tins with what else there is,
// and with it the shells of the eggs that one buys.
func AisleOf(f *nutrition.Food) planner.Aisle {
	switch {
	case f == nil || f.Key == "eggshell-powder":
		return planner.OtherAisle
	case f.Has(nutrition.Supplement) || f.Has(nutrition.Seaweed) || f.Kind == "algae":
		return planner.ByPost
	case f.Has(nutrition.Canned):
		return planner.OtherAisle
	case f.Part == nutrition.Fish || f.Has(nutrition.Shellfish):
		return planner.Fishmonger
	case f.Part <= nutrition.SecretingOrgan || f.Kind == "fat":
		return planner.Butcher
	case f.Kind == "vegetable" || f.Kind == "fruit" || f.Kind == "starch" && !f.Has(nutrition.Grain):
		return planner.Greens
	}
	return planner.OtherAisle
}

// AddLines adds what is still to be bought of another list, but for what carers wrote.
func AddLines(l, of *planner.ShopList) {
	for _, o := range of.Lines {
		at := slices.IndexFunc(l.Lines, func(s planner.ShopLine) bool { return s.Food == o.Food && s.Unit == o.Unit })
		switch {
		case o.Text != "" || o.Got != "":
		case at < 0:
			l.Add(o)
		default:
			l.Lines[at].Grams, l.Lines[at].N = l.Lines[at].Grams+o.Grams, l.Lines[at].N+o.N
		}
	}
}

// NewShopList is a list of what is needed. Of the list before it stay the lines
// that carers wrote and that are open and, where it is made again for the same
// days, the ticks of what is not more than it was.
func NewShopList(n Needs, p nutrition.Pantry, old *planner.ShopList, made planner.ShopList) *planner.ShopList {
	l := &made
	if old != nil {
		l.Last = old.Last // a button of the list before is of none of the new lines
	}
	same := old != nil && old.From == l.From && old.Days == l.Days && old.Of == l.Of
	for _, need := range n.All {
		line := planner.ShopLine{Purchase: Sold(need, p), Aisle: AisleOf(p.Food(need.Food))}
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

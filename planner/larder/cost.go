package larder

import (
	"math"
	"math/big"
	"slices"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// perGram is what a gram costs, in the smallest unit, exactly; nil where the
// price is by the piece and nobody knows what one weighs.
func perGram(p *planner.Price, pantry nutrition.Pantry) *big.Rat {
	grams := p.Grams * nutrition.Grams(PerDry(p, pantry))
	if p.Unit != "" {
		f := pantry.Food(p.Food)
		if f == nil {
			return nil
		}
		m, ok := f.MeasureOf(p.Unit, "")
		if !ok {
			return nil
		}
		grams = m.Grams * nutrition.Grams(p.N)
	}
	return over(p.Minor, milli(float64(grams)), 1000)
}

// PerDry is how much cooked food a kilo that is bought by weight makes, 1 of all that is
// no cooked grain or pulse: shops sell those dry.
func PerDry(p *planner.Price, pantry nutrition.Pantry) float64 {
	if f := pantry.Food(p.Food); f != nil && p.Unit == "" {
		if y, ok := f.DryYield(); ok {
			return (y.Low + y.High) / 2
		}
	}
	return 1
}

// Dearer is how many times an earlier price this one is, false where they cannot
// be compared.
func Dearer(p, than *planner.Price, pantry nutrition.Pantry) (times float64, ok bool) {
	a, b := perGram(p, pantry), perGram(than, pantry)
	if p.Unit == than.Unit && p.Unit != "" {
		a, b = over(p.Minor, milli(p.N), 1000), over(than.Minor, milli(than.N), 1000)
	}
	if a == nil || b == nil || a.Sign() <= 0 || b.Sign() <= 0 {
		return 0, false
	}
	times, _ = new(big.Rat).Quo(a, b).Float64()
	return times, true
}

// milli is an amount in thousandths, as a whole number: amounts of food are never
// better known.
func milli(x float64) int64 { return int64(math.Round(x * 1000)) }

// over is minor units over thousandths, times something; nil over nothing.
func over(minor, thousandths, times int64) *big.Rat {
	if thousandths <= 0 {
		return nil
	}
	return new(big.Rat).Mul(big.NewRat(minor, thousandths), new(big.Rat).SetInt64(times))
}

// CostLine is what one food of a sum costs.
type CostLine struct {
	planner.Purchase
	Minor int64
	exact *big.Rat
}

// Cost is what food costs, in the smallest unit of a currency. Each line is
// exact until the end; then it is rounded once, half up. The sum is rounded once
// too, from the exact lines, so that many small lines do not add up to a wrong
// one: it may differ by a unit or so from what the rounded lines add up to.
type Cost struct {
	Lines   []CostLine // the dearest first
	Unknown []string   // keys of foods without a price that can be used; the sum is then the least it can be
	Minor   int64
}

// CostOf is what purchases cost over so many parts: the days that they are for,
// or 1.
func CostOf(all []planner.Purchase, parts int64, h *planner.Household, pantry nutrition.Pantry) (c Cost) {
	if parts < 1 {
		parts = 1
	}
	sum := new(big.Rat)
	for _, p := range all {
		exact := costOf(h, p, pantry)
		if exact == nil {
			if !slices.Contains(c.Unknown, p.Food) {
				c.Unknown = append(c.Unknown, p.Food)
			}
			continue
		}
		exact.Quo(exact, new(big.Rat).SetInt64(parts))
		sum.Add(sum, exact)
		c.Lines = append(c.Lines, CostLine{p, halfUp(exact), exact})
	}
	slices.SortStableFunc(c.Lines, func(a, b CostLine) int { return b.exact.Cmp(a.exact) })
	c.Minor = halfUp(sum)
	return c
}

// costOf is what a purchase costs, nil where that is not known.
func costOf(h *planner.Household, p planner.Purchase, pantry nutrition.Pantry) *big.Rat {
	price := h.PriceOf(p.Food)
	switch {
	case price == nil:
	case p.Unit != "" && p.Unit == price.Unit:
		if each := over(price.Minor, milli(price.N), 1); each != nil {
			return each.Mul(each, new(big.Rat).SetInt64(milli(p.N)))
		}
	case p.Grams > 0:
		if each := perGram(price, pantry); each != nil {
			return each.Mul(each, big.NewRat(milli(float64(p.Grams)), 1000))
		}
	}
	return nil
}

// halfUp rounds to a whole number, halves up.
func halfUp(x *big.Rat) int64 {
	twice := new(big.Int).Mul(x.Num(), big.NewInt(2))
	twice.Add(twice, x.Denom())
	return new(big.Int).Div(twice, new(big.Int).Mul(x.Denom(), big.NewInt(2))).Int64()
}

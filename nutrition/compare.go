package nutrition

import (
	"cmp"
	"math"
	"slices"
)

// Difference is a requirement on which two mixtures differ.
type Difference struct{ A, B *Row }

// byMuch is how far two amounts must be apart, as a part of the smaller (our own
// choice).
const byMuch = 0.2

// Differences are the requirements of which two mixtures, analysed against one
// profile on one basis, give different verdicts, or amounts of which one is 20 %
// above the other. Of an amount that is only known to be at least so much the
// verdict alone counts.
func Differences(a, b *Analysis) (all []Difference) {
	for i := range a.Rows {
		x := &a.Rows[i]
		y := b.Row(x.Requirement.Subject)
		if y != nil && (x.Verdict.kind() != y.Verdict.kind() || farApart(x.Value, y.Value)) {
			all = append(all, Difference{x, y})
		}
	}
	return all
}

func farApart(x, y Value) bool {
	low, high := math.Min(x.Mid, y.Mid), math.Max(x.Mid, y.Mid)
	return x.Complete && y.Complete && high-low >= byMuch*low*(1-Rounding) && high > low
}

// kind takes together what verdicts say for sure and as likely.
func (v Verdict) kind() Verdict {
	switch {
	case v.TooLittle():
		return Low
	case v.TooMuch():
		return High
	case v.Meets():
		return Enough
	}
	return NotKnown
}

// Cost is what of one requirement goes with a part that is left out.
type Cost struct {
	With, Without *Row
	// Loss is what goes, by the middle of what is known, as a share of the
	// minimum; where there is none, of all there is.
	Loss float64
	// Open: the part is given for it, but nobody knows how much it brings.
	Open bool
}

// Falls reports that there is enough with the part and too little without it.
func (c Cost) Falls() bool { return c.With.Verdict.Meets() && c.Without.Verdict.TooLittle() }

// Doubt reports that there is enough with the part, and that nobody knows
// whether there is without it.
func (c Cost) Doubt() bool { return c.With.Verdict.Meets() && c.Without.Verdict == NotKnown }

// mostly is how much of what no table needs a part must bring to be there for
// it (our own choice).
const mostly = 0.5

// Costs returns what a mixture would lack most without some of its parts
// (indexes of items, and from len(Items) on of extras), with nothing in their
// place: first what it is given for without a figure, then what falls from
// enough to too little, then what is no longer known to be enough, and of each
// the largest loss first. EPA and DHA are told of what brings most of them, also
// against a table without a minimum: fish is given for them. Amounts are for as
// many kcal, or the same days, as those of the whole. At most limit are
// returned; ratios are none of them.
func Costs(m Mixture, p *Profile, basis Basis, parts []int, limit int) (costs []Cost) {
	p = p.Naming(EPADHA)
	whole := Analyse(m, p, basis)
	s := NewScale(&whole.Totals, m, p, whole.Basis)
	rest := m.without(parts)
	var totals Totals
	sum(&totals, rest, whole.Totals.Days)
	s.t = &totals
	left := s.rows(rest)
	for i := range whole.Rows {
		with := &whole.Rows[i]
		c := Cost{With: with, Without: &left[i], Open: m.givenFor(parts, with.Requirement.Subject)}
		lost := with.Mid - c.Without.Mid
		switch c.Loss = lost / with.Min; {
		case with.Requirement.Subject.IsRatio():
		case !with.HasMin():
			if c.Loss = lost / with.Mid; c.Loss > mostly && with.Requirement.Subject == EPADHA {
				costs = append(costs, c)
			}
		case c.Open || lost > 0:
			costs = append(costs, c)
		}
	}
	slices.SortStableFunc(costs, func(a, b Cost) int {
		return cmp.Or(cmp.Compare(b.rank(), a.rank()), cmp.Compare(b.Loss, a.Loss))
	})
	return costs[:min(max(limit, 0), len(costs))]
}

func (c Cost) rank() int {
	switch {
	case c.Open:
		return 3
	case c.Falls():
		return 2
	case c.Doubt(), !c.With.HasMin():
		return 1
	}
	return 0
}

// without is a mixture with nothing of some parts; the others keep their
// places.
func (m Mixture) without(parts []int) Mixture {
	m.Items, m.Extras = slices.Clone(m.Items), slices.Clone(m.Extras)
	for _, p := range parts {
		if p < len(m.Items) {
			m.Items[p].Grams = 0
		} else {
			x := &m.Extras[p-len(m.Items)]
			*x = Extra{Name: x.Name, Nutrient: x.Nutrient}
		}
	}
	return m
}

// givenFor reports that one of the parts has no figure of what it is given for:
// a supplement of the nutrient that it is named after, seaweed of its iodine.
func (m Mixture) givenFor(parts []int, s Subject) bool {
	return slices.ContainsFunc(parts, func(p int) bool {
		if p < len(m.Items) {
			it := &m.Items[p]
			_, labelled := it.Label[Iodine]
			return s == Subject(Iodine) && it.Food != nil && it.Food.Has(Seaweed) && it.Grams > 0 && !labelled && !it.Food.Per100[Iodine].Complete
		}
		x := &m.Extras[p-len(m.Items)]
		return x.NotKnown && !x.Natural && !x.Unlisted && slices.ContainsFunc(s.Terms(), func(t Term) bool { return t.Nutrient == x.Nutrient })
	})
}

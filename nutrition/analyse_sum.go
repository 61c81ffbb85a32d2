package nutrition

import (
	"math/bits"
)

// Totals is the sum of a mixture.
type Totals struct {
	Grams  Grams       // weight of the items, without the extras
	Values Composition // in each nutrient's unit, for the whole mixture
	Days   float64     // how many days' extras were added

	parts int      // items and extras
	words int      // of 64 parts in a set
	open  []uint64 // a set for each nutrient: the parts that give no figure for it
}

// Sum adds up a mixture: items by weight, and the extras of its days. A part
// without a figure for a nutrient leaves the sum incomplete there and is
// remembered: see Totals.UnknownFrom. Items of no or negative weight count for
// nothing, nor do extras and label figures below nothing; an item without a food
// gives no figure at all.
func Sum(m Mixture) Totals {
	var t Totals
	sum(&t, m, days(m))
	return t
}

// days returns how many days' food the items of the mixture are.
func days(m Mixture) float64 {
	if m.Days > 0 {
		return m.Days
	}
	return 1
}

// sum adds up a mixture whose items last for so many days.
func sum(t *Totals, m Mixture, days float64) {
	t.Days = days
	t.parts = len(m.Items) + len(m.Extras)
	t.words = (t.parts + 63) / 64
	t.open = make([]uint64, int(NutrientCount)*t.words)
	for n := range t.Values {
		t.Values[n].Complete = true
	}
	for i := range m.Items {
		t.add(i, &m.Items[i])
	}
	for i, x := range m.Extras {
		if x.PerDay > 0 {
			t.Values[x.Nutrient] = t.Values[x.Nutrient].Plus(Exactly(x.PerDay * days))
		}
		if x.AtMost > 0 && !x.NotKnown {
			t.Values[x.Nutrient] = t.Values[x.Nutrient].Plus(Between(0, 0, x.AtMost*days))
		}
		if x.NotKnown {
			t.Values[x.Nutrient].Complete = false
			t.mark(x.Nutrient, len(m.Items)+i)
		}
	}
}

// add takes one item into the sum.
func (t *Totals) add(part int, it *Item) {
	if !(it.Grams > 0) {
		return
	}
	t.Grams += it.Grams
	var nothing Composition
	per100 := &nothing
	if it.Food != nil {
		per100 = &it.Food.Per100
	}
	f := float64(it.Grams) / 100
	for n := range t.Values {
		v, w := &t.Values[n], &per100[n]
		if len(it.Label) > 0 {
			if x, ok := it.Label[Nutrient(n)]; ok && x >= 0 {
				*v = v.Plus(Exactly(x * float64(it.Grams)))
				continue
			}
		}
		v.Low += w.Low * f
		v.Mid += w.Mid * f
		v.High += w.High * f
		if !w.Complete {
			v.Complete = false
			t.mark(Nutrient(n), part)
		}
	}
}

// mark notes that a part gives no figure for a nutrient.
func (t *Totals) mark(n Nutrient, part int) {
	t.open[int(n)*t.words+part/64] |= 1 << (part % 64)
}

// UnknownFrom returns the parts that give no full figure for a nutrient: the
// indexes of items and, from len(Items) on, of extras. Nil where the sum is
// complete.
func (t *Totals) UnknownFrom(n Nutrient) []int {
	return t.unknown(nil, plain[n][:])
}

// unknown appends the parts that give no full figure for one of the terms.
func (t *Totals) unknown(to []int, terms []Term) []int {
	for w := range t.words {
		var set uint64
		for _, term := range terms {
			set |= t.open[int(term.Nutrient)*t.words+w]
		}
		for ; set != 0; set &= set - 1 {
			to = append(to, w*64+bits.TrailingZeros64(set))
		}
	}
	return to
}

// Of returns the sum of terms.
func (t *Totals) Of(terms []Term) Value {
	v := Exactly(0)
	for _, term := range terms {
		v = v.Plus(t.Values[term.Nutrient].Times(term.Factor))
	}
	return v
}

// CalciumPhosphorus returns the ratio of calcium to phosphorus by weight.
//
// Bone brings both, so they move together: the range is that of the ratios with
// little, middling and much bone (calcium and phosphorus both low, both mid,
// both high), not of the one at its least over the other at its most. It is "at
// least" where only calcium is incomplete, and not known where phosphorus is,
// because then it has no lower bound.
func (t *Totals) CalciumPhosphorus() Value {
	ca, p := t.Values[Calcium], t.Values[Phosphorus]
	if !p.Complete || !(p.Low > 0) {
		return Unknown()
	}
	low, mid, high := ca.Low/p.Low, ca.Mid/p.Mid, ca.High/p.High
	return Value{min(low, mid, high), mid, max(low, mid, high), ca.Complete}
}

// ratio returns the ratio that a subject is. Omega-6 and omega-3 fatty acids come from
// different foods.
func (t *Totals) ratio(s Subject) Value {
	if s == CalciumPhosphorus {
		return t.CalciumPhosphorus()
	}
	return t.Of(ratioTerms[s][0]).over(t.Of(ratioTerms[s][1]))
}

// Scale turns the totals of a mixture into amounts on a basis.
type Scale struct {
	t              *Totals
	p              *Profile
	Low, Mid, High float64 // what a total is multiplied by; high may be infinite
	Unit           float64 // the energy that amounts on the basis are for, kcal
	Min, Max       float64 // what a published limit is multiplied by
	Open           bool    // the energy is not known well enough to say anything
	energyOpen     bool    // some item's energy is not known
}

// NewScale returns the scale of the totals on a basis.
func NewScale(t *Totals, m Mixture, p *Profile, basis Basis) Scale {
	s := Scale{t: t, p: p, Min: 1, Max: 1}
	unit := float64(ProfileKcal)
	if basis.PerDog {
		unit = float64(basis.Kcal)
		s.Min = p.Intake / ProfileKcal * MetabolicWeight(basis.Weight)
		s.Max = unit / ProfileKcal
	}
	s.Unit = unit
	energy := t.energySpan(m)
	s.energyOpen = !energy.Complete
	if !(energy.Low > 0) {
		s.Open = true
		return s
	}
	s.Low, s.Mid, s.High = unit/energy.High, unit/energy.Mid, unit/energy.Low
	return s
}

// energySpan returns the energy of a mixture by the middle estimates of its
// parts. Of those without a figure it is what they bring at most that spreads
// it; it is complete where every item has one.
func (t *Totals) energySpan(m Mixture) Value {
	known := t.Values[Energy]
	most, complete := known.Mid, true
	if !known.Complete {
		for _, part := range t.UnknownFrom(Energy) {
			if part >= len(m.Items) {
				most += extraEnergy * t.Days
				continue
			}
			complete = false
			most += fatEnergy * float64(m.Items[part].Grams)
		}
	}
	return Value{known.Mid, (known.Mid + most) / 2, most, complete}
}

// value returns the amount of some terms on the basis.
func (s *Scale) value(terms []Term) Value {
	if s.Open {
		return Unknown()
	}
	v := s.t.Of(terms)
	return Value{v.Low * s.Low, v.Mid * s.Mid, v.High * s.High, v.Complete}
}

// fill sets the amounts and limits of a row.
func (s *Scale) fill(r *Row) {
	q := r.Requirement
	if q.Subject.IsRatio() {
		r.Value = s.t.ratio(q.Subject)
		r.Capped, r.Min, r.Max = r.Value, q.Min, q.Max
		return
	}
	r.Value = s.value(q.Subject.Terms())
	r.Capped = r.Value
	if q.Subject == VitaminA {
		r.Capped = s.value(q.Subject.MaxTerms())
	}
	r.Min, r.Max = q.Min*s.Min, q.Max*s.Max
	// Of what raises a minimum the known part counts, at its middle estimate.
	if rise, ok := s.p.Rise(q.Subject); ok {
		if least := rise.From*s.Min + rise.Per*s.value(rise.Terms).Mid; least > r.Min {
			r.Min = least
		}
	}
}

// openTerms returns the nutrients whose missing figures leave a subject
// incomplete.
func (s *Scale) openTerms(subject Subject) []Term {
	if s.energyOpen && !subject.IsRatio() {
		return append([]Term{{Energy, 1}}, subject.Terms()...)
	}
	return subject.allTerms()
}

// lasting returns how many days' food the items of a mixture are: by what the
// dog eats in a day where that is said, else as the mixture says.
func lasting(m Mixture, eaten Kcal) float64 {
	var e float64
	if eaten > 0 {
		for i := range m.Items {
			e += m.Items[i].Energy()
		}
	}
	if e > 0 {
		return e / float64(eaten)
	}
	return days(m)
}

// Energy returns the middle estimate of the item's energy, in kcal.
func (it *Item) Energy() float64 {
	if !(it.Grams > 0) || it.Food == nil {
		return 0
	}
	if x, ok := it.Label[Energy]; ok && x >= 0 {
		return x * float64(it.Grams)
	}
	return it.Food.Per100[Energy].Mid * float64(it.Grams) / 100
}

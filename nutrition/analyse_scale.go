package nutrition

import "slices"

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
			r.Min, r.Raised = least, rise.Why
		}
	}
}

// openTerms returns the nutrients whose missing figures leave a subject
// incomplete.
func (s *Scale) openTerms(subject Subject) []Term {
	if subject.IsRatio() {
		return slices.Concat(ratioTerms[subject][0], ratioTerms[subject][1])
	}
	if s.energyOpen {
		return append([]Term{{Energy, 1}}, subject.Terms()...)
	}
	return subject.Terms()
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

// weightShare returns the share of the weight that some items are.
func weightShare(items []Item, parts []int, whole Grams) float64 {
	var g Grams
	for _, i := range parts {
		if i < len(items) && items[i].Grams > 0 {
			g += items[i].Grams
		}
	}
	if whole == 0 {
		return 0
	}
	return float64(g / whole)
}

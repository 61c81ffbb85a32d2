package nutrition

import (
	"slices"
	"strings"
)

// scale turns the totals of a mixture into amounts on a basis.
type scale struct {
	t              *Totals
	p              *Profile
	low, mid, high float64 // what a total is multiplied by; high may be infinite
	unit           float64 // the energy that amounts on the basis are for, kcal
	min, max       float64 // what a published limit is multiplied by
	open           bool    // the energy is not known well enough to say anything
	energyOpen     bool    // some item's energy is not known
}

// newScale returns the scale of the totals on a basis.
func newScale(t *Totals, m Mixture, p *Profile, basis Basis) scale {
	s := scale{t: t, p: p, min: 1, max: 1}
	unit := float64(kcalOfProfile)
	if basis.PerDog {
		unit = float64(basis.Kcal)
		s.min = p.Intake / kcalOfProfile * MetabolicWeight(basis.Weight)
		s.max = unit / kcalOfProfile
	}
	s.unit = unit
	energy := t.energySpan(m)
	s.energyOpen = !energy.Complete
	if !(energy.Low > 0) {
		s.open = true
		return s
	}
	s.low, s.mid, s.high = unit/energy.High, unit/energy.Mid, unit/energy.Low
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
func (s *scale) value(terms []Term) Value {
	if s.open {
		return Unknown()
	}
	v := s.t.of(terms)
	return Value{v.Low * s.low, v.Mid * s.mid, v.High * s.high, v.Complete}
}

// fill sets the amounts and limits of a row.
func (s *scale) fill(r *Row) {
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
	r.Min, r.Max = q.Min*s.min, q.Max*s.max
	if least, why := s.raised(q.Subject, r.Min); why != "" {
		r.Min, r.Raised = least, why
	}
}

// raised returns the minimum of a subject as the rest of the mixture raises it,
// and why. Of what raises it the known part counts, at its middle estimate.
func (s *scale) raised(subject Subject, least float64) (float64, Raise) {
	switch {
	case subject == Subject(VitaminE) && raisesVitaminE(s.p):
		if v := vitaminEPerGramPUFA * s.value(polyunsaturated).Mid; v > least {
			return v, RaisedByFat
		}
	case subject == Subject(Arginine) && strings.HasPrefix(s.p.ID, "fediaf-"):
		protein := s.value(plain[Protein][:]).Mid - s.p.min(Subject(Protein))*s.min
		if protein > 0 {
			return least + argininePerGramProtein*protein, RaisedByProtein
		}
	}
	return least, ""
}

// raisesVitaminE reports that a table asks for more vitamin E with more
// polyunsaturated fat.
func raisesVitaminE(p *Profile) bool { return strings.HasPrefix(p.ID, "aafco-") }

// openTerms returns the nutrients whose missing figures leave a subject
// incomplete.
func (s *scale) openTerms(subject Subject) []Term {
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
			e += m.Items[i].energy()
		}
	}
	if e > 0 {
		return e / float64(eaten)
	}
	return days(m)
}

// energy returns the middle estimate of the item's energy, in kcal.
func (it *Item) energy() float64 {
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

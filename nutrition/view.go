package nutrition

import "math"

// View is what the amounts of an analysis are told per.
type View string

// The views.
const (
	AsAnalysed View = ""       // per 1000 kcal, or one dog and day
	AsFed      View = "as-fed" // per 100 g
	PerKcal    View = "kcal"   // per 1000 kcal
	DryMatter  View = "dry"    // per kg of dry matter
	PerKilo    View = "dog"    // per kg of dog and day
)

// Views returns the views that can be asked for.
func Views() []View { return []View{AsFed, PerKcal, DryMatter, PerKilo} }

// In returns the analysis of a mixture in a view. Verdicts stay: they are those
// of the analysis, whose limits are told in the view by the mixture's own kcal,
// and are NaN where those or its water are not known. ok is false where there
// is no such view: nothing weighs anything, or it is of no dog and day.
func (a Analysis) In(v View, m Mixture) (seen Analysis, ok bool) {
	switch v {
	case AsAnalysed:
		return a, true
	case PerKcal:
		factor := 1.0
		if a.Basis.PerDog {
			factor = ProfileKcal / float64(a.Basis.Kcal)
		}
		return a.scaled(factor), true
	case PerKilo:
		if !a.Basis.ofDog() {
			return a, false
		}
		factor := 1 / float64(a.Basis.Weight)
		if !a.Basis.PerDog { // a table without a daily intake: by what the dog eats
			factor *= float64(a.Basis.Kcal) / ProfileKcal
		}
		return a.scaled(factor), true
	case AsFed:
		return a.per(Exactly(float64(a.Grams)/100), m, true), a.Grams > 0
	}
	dry, known := a.DryMatter(m)
	return a.per(dry.Times(1./1000), m, known), dry.High > 0
}

// ofDog reports that the weight and the energy of a dog are told.
func (b Basis) ofDog() bool { return b.Weight > 0 && b.Kcal > 0 }

// DryMatter returns what of a mixture is no water, in grams, and whether the
// water of all its items is known. Of an item whose water is not, it is what
// its figures name, at least, and all of it, at most.
func (a *Analysis) DryMatter(m Mixture) (dry Value, known bool) {
	dry, known = Exactly(0), true
	for i := range m.Items {
		it := &m.Items[i]
		if !(it.Grams > 0) {
			continue
		}
		t := Sum(Mixture{Items: m.Items[i : i+1]})
		g, water := float64(it.Grams), t.Values[Water]
		if water.Complete {
			dry = dry.Plus(Between(g-water.High, g-water.Mid, g-water.Low))
			continue
		}
		known = false
		least := 0.0
		for _, n := range [...]Nutrient{Protein, Fat, Carbohydrate, Ash} {
			least += t.Values[n].Low
		}
		least = min(least, g)
		dry = dry.Plus(Between(least, (least+g)/2, g))
	}
	return dry, known
}

// scaled returns the analysis with amounts and limits times a factor.
func (a Analysis) scaled(factor float64) Analysis {
	rows := make([]Row, len(a.Rows))
	for i, r := range a.Rows {
		if !r.Requirement.Subject.IsRatio() {
			if !r.IsUnknown() {
				r.Value, r.Capped = r.Value.Times(factor), r.Capped.Times(factor)
			}
			r.limits(factor)
		}
		rows[i] = r
	}
	a.Rows = rows
	return a
}

// per returns the analysis with the amounts of the whole mixture divided by
// some measure of it. limited says that its limits can be told so.
func (a Analysis) per(of Value, m Mixture, limited bool) Analysis {
	basis := float64(ProfileKcal)
	if a.Basis.PerDog {
		basis = float64(a.Basis.Kcal)
	}
	energy := a.Totals.energySpan(m)
	factor := energy.Mid / of.Mid / basis
	if !limited || !energy.Complete || !(factor > 0) {
		factor = math.NaN()
	}
	rows := make([]Row, len(a.Rows))
	for i, r := range a.Rows {
		if s := r.Requirement.Subject; !s.IsRatio() {
			r.Value, r.Capped = a.Totals.Of(s.Terms()).per(of), a.Totals.Of(s.MaxTerms()).per(of)
			r.limits(factor)
		}
		rows[i] = r
	}
	a.Rows = rows
	return a
}

// limits multiplies a row's limits.
func (r *Row) limits(factor float64) {
	r.Min, r.Max, r.Legal, r.Added = r.Min*factor, r.Max*factor, r.Legal*factor, r.Added*factor
}

// over returns the amount divided by another that it does not depend on: its
// ends are the least of the one over the most of the other, and the reverse.
// Where there may be more of the other than is known, the quotient may be
// anything below; it is not known where there may be more of both, nor where the
// other may be nothing.
func (v Value) over(w Value) Value {
	switch {
	case !(w.Low > 0) || v.IsUnknown() || !v.Complete && !w.Complete:
		return Unknown()
	case !w.Complete:
		return Between(0, v.Mid/w.Mid, v.High/w.Low)
	}
	return Value{v.Low / w.High, v.Mid / w.Mid, v.High / w.Low, v.Complete}
}

// per is over of a measure that may be as little as nothing: then all that is
// known is how much there is at least.
func (v Value) per(w Value) Value {
	switch {
	case v == Exactly(0):
		return v
	case w.Low > 0:
		return v.over(w)
	}
	least := v.Low / w.High
	return Value{least, least, least, false}
}

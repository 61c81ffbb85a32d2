package nutrition

import (
	"cmp"
	"slices"
)

// FailCode says where a mixture fails its table so badly that it should not be
// fed every day.
type FailCode string

// The failures, the gravest first.
const (
	FailCalcium   FailCode = "calcium"            // under half of the minimum, of a growing dog under two thirds
	FailIodine    FailCode = "iodine"             // no source of it
	FailVitaminE  FailCode = "vitamin-e"          // under half of the minimum
	FailVitaminD  FailCode = "vitamin-d"          // under half of the minimum
	FailZinc      FailCode = "zinc"               // under the minimum of a growing dog
	FailRatio     FailCode = "calcium-phosphorus" // out of its range
	FailMuchLiver FailCode = "liver"              // over a tenth of the animal part
	FailMuchBone  FailCode = "bone"               // over 15 % of the animal part
)

// Failing is one failure: the figure that fails and the limits that it misses.
type Failing struct {
	Code     FailCode
	Value    Value
	Min, Max float64
}

// badly is the part of a minimum under which a recipe fails it badly, and
// muchLiverShare the share of liver in the animal part that is too much for
// every day (both our own choice); bone is from muchBoneShare (common practice,
// no source).
const (
	badly          = 0.5
	muchLiverShare = 0.10
	muchBoneShare  = 0.15
)

// badlyGrowing is the same of a growing dog: without calcium bones bend within weeks.
var badlyGrowing = map[FailCode]float64{FailCalcium: 2.0 / 3, FailZinc: 1}

// Failings returns where a mixture fails badly. What is not known is no
// failure: a figure counts at the high end of what it may be. But vitamins E and D, of
// which many foods lack a figure, are named where what is known of them is far too little.
func Failings(m Mixture, a *Analysis) (out []Failing) {
	p := ProfileByID(a.ProfileID)
	far := func(code FailCode, s Subject) bool {
		r, part := a.Row(s), badly
		if p != nil && p.Growth {
			part = cmp.Or(badlyGrowing[code], badly)
		}
		if r == nil || !r.HasMin() || !(a.Energy.Mid > 0) || !(r.High-m.filler(a, s)*r.High < part*r.Min) {
			return false
		}
		v := r.Value
		v.Complete = r.Complete || m.onlyBeside(r.UnknownFrom) || (code == FailCalcium || code == FailZinc) && m.onlyTraces(r)
		if open := (code == FailVitaminE || code == FailVitaminD) && !m.mayBring(code, r.UnknownFrom); !v.Complete && !open {
			return false
		}
		out = append(out, Failing{code, v, r.Min, r.Max})
		return true
	}
	noCalcium := far(FailCalcium, Subject(Calcium))
	if r := a.Row(Subject(Iodine)); r != nil && r.HasMin() && r.Low < r.Min && !iodineSource(m) {
		out = append(out, Failing{Code: FailIodine, Value: r.Value, Min: r.Min})
	}
	far(FailVitaminE, Subject(VitaminE))
	far(FailVitaminD, Subject(VitaminD))
	if p != nil && p.Growth { // a grown dog is told of it in the analysis
		far(FailZinc, Subject(Zinc))
	}
	if r := a.Row(CalciumPhosphorus); r != nil && !noCalcium && (r.Verdict == Low || r.Verdict == High) {
		out = append(out, Failing{FailRatio, r.Value, r.Min, r.Max})
	}
	for _, o := range a.Shares.Off() {
		if o.Band == LiverBand && o.Share.Low > muchLiverShare {
			out = append(out, Failing{FailMuchLiver, o.Share, o.Low, o.High})
		}
		if o.Band == BoneBand && o.Share.Mid > muchBoneShare {
			out = append(out, Failing{FailMuchBone, o.Share, o.Low, o.High})
		}
	}
	return out
}

// filler is the share that tablets may bring of a nutrient for which they are
// not given: nobody may count on it.
func (m *Mixture) filler(a *Analysis, s Subject) float64 {
	var may float64
	for _, x := range m.Extras {
		if s == Subject(x.Nutrient) {
			may += x.AtMost * a.Totals.Days
		}
	}
	if may == 0 {
		return 0
	}
	return may / a.Totals.Of(s.Terms()).High
}

// onlyBeside reports that something lacks figures, and only tablets, oils and the
// like, which bring next to nothing of what they do not list.
func (m *Mixture) onlyBeside(parts []int) bool {
	for _, part := range parts {
		if part < len(m.Items) || !m.Extras[part-len(m.Items)].Natural {
			return false
		}
	}
	return len(parts) > 0
}

// onlyTraces reports that what lacks figures matters little: no bone, nor what a label may
// tell of.
func (m *Mixture) onlyTraces(r *Row) bool {
	return len(r.Unless) > 0 && !m.mayBring("", r.Unless) && !slices.ContainsFunc(r.Unless, func(part int) bool {
		return part < len(m.Items) && m.Items[part].OnlyBoneLacks(r.Requirement.Subject)
	})
}

// mayBring reports that something that lacks a figure may bring much of a vitamin all the
// same: a product whose label leaves it out, and of vitamin D fish and egg.
func (m *Mixture) mayBring(code FailCode, parts []int) bool {
	return slices.ContainsFunc(parts, func(part int) bool {
		if part >= len(m.Items) {
			return !m.Extras[part-len(m.Items)].Natural
		}
		f := m.Items[part].Food
		return f == nil || f.Kind == OwnKind || code == FailVitaminD && f.sourceOf(Subject(VitaminD))
	})
}

// iodineSource reports that something of a mixture brings iodine, or may: sea
// animals and seaweed, egg, dairy, salt, and whatever but oil is given beside the
// food or comes from a label that does not say. Meat, organs, oils, plants of the land, and
// the shell and lime that are given for calcium bring next to none (FEDIAF and USDA tables,
// from memory).
func iodineSource(m Mixture) bool {
	for _, x := range m.Extras {
		if x.Nutrient == Iodine && (x.NotKnown && !x.Natural || x.PerDay > 0) {
			return true
		}
	}
	for _, it := range m.Items {
		f := it.Food
		if f == nil || it.Label[Iodine] > 0 {
			return true
		}
		if it.Grams > 0 && (f.Part == Fish || f.Has(Shellfish) || f.Has(Seaweed) || f.Has(Egg) || f.Has(Dairy) ||
			f.Kind == "own" || f.Has(Supplement) && f.Per100[Calcium].Low < limeCalcium && !(f.Per100[Iodine].Complete && f.Per100[Iodine].High == 0)) {
			return true
		}
	}
	return false
}

// limeCalcium is from how much calcium on, mg in 100 g, something is lime, shell or bone
// meal: eggshell has 38 g (our own choice).
const limeCalcium = 15000

// Overdose is a nutrient that supplements bring and of which there is, with all
// that is in the food, more than some table allows.
type Overdose struct {
	Subject Subject
	Amount  float64 // per 1000 kcal, at least
	Max     float64 // the same
	Profile string  // id of the table that has the maximum
	Kind    MaxKind
}

// Overdoses returns the nutrients of which supplements bring too much for a dog
// that eats so many kcal a day, in the order of the subjects. They are judged
// together with all else in the mixture: by the dog's own table if its maximum
// is passed, else by the lowest maximum of another table that is. What foods
// hold by nature is judged by the analysis, not here.
func Overdoses(m Mixture, own *Profile, eaten Kcal) (out []Overdose) {
	all, natural := perThousand(m, eaten), perThousand(unsupplemented(m), eaten)
	for s := range SubjectCount {
		amount, was := all.most(s), natural.most(s)
		if own == nil || !(amount > was*(1+smallPart)) {
			continue
		}
		best := Overdose{}
		for _, p := range append([]*Profile{own}, Profiles()...) {
			r, ok := p.Requirement(s)
			if !ok || !r.HasMax() || !(amount > r.Max*(1+Rounding)) {
				continue
			}
			if best.Profile == own.ID || best.Kind == NutritionalMax && (r.Kind != NutritionalMax || best.Max <= r.Max) ||
				best.Kind == LegalMax && r.Kind == LegalMax && best.Max <= r.Max || !fits(p, own) {
				continue
			}
			best = Overdose{s, amount, r.Max, p.ID, r.Kind}
		}
		if best.Profile != "" {
			out = append(out, best)
		}
	}
	return out
}

// smallPart is how much supplements must add to a nutrient before an excess is
// theirs (our own choice).
const smallPart = 0.01

// fits reports that a table's maximum may stand in for the one that a dog's own
// table lacks: it is of the same stage of life, or tells what is safe for any
// dog.
func fits(p, own *Profile) bool {
	return p.ID == own.ID || p.Growth == own.Growth || p.ID == "nrc-adult"
}

// perThousandKcal is a mixture's nutrients per 1000 kcal.
type perThousandKcal struct {
	values Composition
	factor float64 // 0: its energy is not known
}

func perThousand(m Mixture, eaten Kcal) (p perThousandKcal) {
	var t Totals
	sum(&t, m, lasting(m, eaten))
	p.values = t.Values
	switch e := t.Values[Energy]; {
	case eaten > 0 && t.Days > 0: // also of supplements alone, where the food is not known
		p.factor = ProfileKcal / (float64(eaten) * t.Days)
	case e.Mid > 0:
		p.factor = ProfileKcal / e.Mid
	}
	return p
}

// most is what counts toward the maximum of a subject, at least; 0 for a ratio.
func (p *perThousandKcal) most(s Subject) (sum float64) {
	for _, t := range s.MaxTerms() {
		sum += p.values[t.Nutrient].Low * t.Factor * p.factor
	}
	return sum
}

// unsupplemented is a mixture without its supplements, liver oils, seaweeds and
// products of the household's own.
func unsupplemented(m Mixture) Mixture {
	return Mixture{Days: m.Days, Items: slices.DeleteFunc(slices.Clone(m.Items), func(it Item) bool {
		return it.Food != nil && (Concentrated(it.Food) || it.Food.product())
	})}
}

// Concentrated reports that a food is given for what it concentrates.
func Concentrated(f *Food) bool { return f.Has(Supplement) || f.Has(LiverOil) || f.Has(Seaweed) }

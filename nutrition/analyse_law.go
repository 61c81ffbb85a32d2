package nutrition

import "math"

// limitByLaw sets the legal maximum of a row, and makes it the row's maximum
// where some is added: the law limits a feed to which an element is added, not
// what meat holds by nature (FEDIAF 2021, footnote on legal maximums, from
// memory).
func (s *Scale) limitByLaw(r *Row, m Mixture) {
	r.Legal = r.Requirement.legal() * s.Max
	r.Added = s.added(m, r.Requirement.Subject)
	if !r.HasLegal() {
		return
	}
	if r.Requirement.Kind == LegalMax {
		r.Max = math.NaN()
	}
	if r.Added > 0 && !(r.Legal > r.Max) {
		r.Max = r.Legal
	}
}

// added returns how much of a subject supplements and own products give, at
// the high end of what is known and on the analysis' basis.
func (s *Scale) added(m Mixture, subject Subject) float64 {
	if s.Open {
		return 0
	}
	var sum float64
	for _, t := range subject.MaxTerms() {
		for i := range m.Items {
			if it := &m.Items[i]; it.Food != nil && it.adds(t.Nutrient) {
				one := Sum(Mixture{Items: m.Items[i : i+1]})
				sum += one.Values[t.Nutrient].High * t.Factor
			}
		}
		for _, x := range m.Extras {
			if x.Nutrient == t.Nutrient && !x.Natural && x.PerDay > 0 {
				sum += x.PerDay * s.t.Days * t.Factor
			}
		}
	}
	return sum * s.Mid
}

// adds reports that an item is given for a nutrient: a supplement or a seaweed
// whose label names it, or a product of the household's own. The zinc of kelp
// is its own.
func (it *Item) adds(n Nutrient) bool {
	_, named := it.Label[n]
	return named && !it.Measured.Has(n) && (it.Food.Has(Supplement) || it.Food.Has(Seaweed)) || it.Food.product()
}

// product reports that a food is of the household's own and no part of an animal
// or a plant: a powder, a mix.
func (f *Food) product() bool { return f.Kind == OwnKind && f.Part == Other }

// productShare is how much of the weight may be products without a figure for
// the rest still to be judged (our own choice).
const productShare = 0.10

// traceShare is the same of other foods without a figure, where what is known is under
// grossPart of a minimum: a pinch of husk hides no such shortfall (our own choices).
const (
	traceShare = 0.02
	grossPart  = 0.75
)

// unless returns the parts that lack a figure if none of them matters much:
// bone, of whose minerals the model has no figures, products that do not list the
// nutrient, and a pinch of a food that is no known source of it. Else nil.
func (s *Scale) unless(m Mixture, r *Row) []int {
	subject, parts := r.Requirement.Subject, r.UnknownFrom
	if subject.IsRatio() {
		return nil
	}
	var products, traces Grams
	for _, part := range parts {
		switch {
		case part >= len(m.Items):
			if !m.Extras[part-len(m.Items)].Unlisted {
				return nil
			}
		case m.Items[part].Food == nil:
			return nil
		case m.Items[part].Food.Kind == OwnKind:
			products += m.Items[part].Grams
		case m.Items[part].OnlyBoneLacks(subject):
		case m.Items[part].Food.sourceOf(subject):
			return nil
		default:
			traces += m.Items[part].Grams
		}
	}
	if products > productShare*s.t.Grams || traces > traceShare*s.t.Grams || traces > 0 && !(r.High < grossPart*r.Min) {
		return nil
	}
	return parts
}

// sourceOf reports that a little of a food may bring all of a nutrient that a dog needs:
// of iodine, and of vitamins A and D.
func (f *Food) sourceOf(s Subject) bool {
	switch s {
	case Subject(Iodine):
		return iodineSource(Mixture{Items: []Item{{Food: f, Grams: 1}}})
	case Subject(VitaminD), VitaminA:
		return f.Part == Fish || f.Has(LiverOil) || f.Has(Egg)
	}
	return false
}

// OnlyBoneLacks reports that an item has no full figure of a subject, and only
// because nobody knows what its bone brings.
func (it *Item) OnlyBoneLacks(s Subject) bool {
	for _, t := range s.Terms() {
		if !it.Food.Soft[t.Nutrient].Complete {
			return false
		}
	}
	return it.Food.Bone.Kind != NoBone && it.Food.Lacks(s)
}

// BoundByLaw reports that the row's maximum is the legal one, because some is
// added.
func (r *Row) BoundByLaw() bool { return r.HasLegal() && r.Max == r.Legal }

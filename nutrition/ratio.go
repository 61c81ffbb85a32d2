package nutrition

import "math"

// RatioKind is one of the figures by which recipes are commonly compared.
type RatioKind string

// The ratios, in the order in which they are told.
const (
	CaToP     RatioKind = "calcium-phosphorus"
	ZnToCu    RatioKind = "zinc-copper"
	N6ToN3    RatioKind = "n-6-n-3"       // linoleic and arachidonic acid to alpha-linolenic acid, EPA and DHA
	EToPUFA   RatioKind = "vitamin-e-fat" // mg of alpha-tocopherol per g of polyunsaturated fat
	BoneShare RatioKind = "bone"          // edible bone, as a fraction of the animal part
	OfWeight  RatioKind = "body-weight"   // a day's food, as a fraction of the dog's weight
)

// Ratio is such a figure and what it rests on.
type Ratio struct {
	Kind  RatioKind
	Value // the range is that of the figures it rests on
	// Of and To are the two amounts on the analysis' basis; of BoneShare the
	// bone's and the animal part's fraction of the whole, of OfWeight grams a day
	// and the dog's weight.
	Of, To Value
	// OfOpen and ToOpen list the parts without a full figure: see
	// Row.UnknownFrom.
	OfOpen, ToOpen []int
	// Min and Max are a published or usual band, NaN where there is none.
	Min, Max float64
	// OfTable: the band is the table's, else common practice without a source.
	OfTable bool
}

// Ratios returns the ratios of an analysed mixture; without a dog there is no
// OfWeight.
func Ratios(a *Analysis, m Mixture, p *Profile) []Ratio {
	calcium, _ := a.Ratio(m, p, Subject(Calcium), Subject(Phosphorus))
	zinc, _ := a.Ratio(m, p, Subject(Zinc), Subject(Copper))
	all := []Ratio{calcium, zinc,
		a.ratio(m, p, ratioTerms[OmegaRatio][0], ratioTerms[OmegaRatio][1]),
		a.ratio(m, p, []Term{{VitaminE, 1 / VitaminEIUPerMg}}, polyunsaturated),
	}
	all[2].Kind, all[3].Kind = N6ToN3, EToPUFA
	all[2].bound(p, OmegaRatio)
	if raisesVitaminE(p) {
		all[3].Min, all[3].OfTable = vitaminEPerGramPUFA/VitaminEIUPerMg, true
	}
	all = append(all, a.boneShare())
	if a.Basis.ofDog() && a.Grams > 0 {
		r := Ratio{Kind: OfWeight, Of: Exactly(float64(a.Grams) / a.Totals.Days), To: Exactly(float64(a.Basis.Weight)), Min: math.NaN(), Max: math.NaN()}
		if a.Totals.energySpan(m).Complete { // else nobody knows how much a day is
			r.Value = r.Of.Times(1. / 1000).over(r.To)
		} else {
			r.OfOpen = a.Totals.UnknownFrom(Energy)
		}
		all = append(all, r)
	}
	return all
}

// Ratio returns the ratio of one subject to another; ok is false where they have
// no unit in common.
func (a *Analysis) Ratio(m Mixture, p *Profile, of, to Subject) (r Ratio, ok bool) {
	factor, err := unitFactor(of.Unit(), to.Unit())
	if err != nil || of.IsRatio() || to.IsRatio() {
		return r, false
	}
	r = a.ratio(m, p, of.Terms(), to.Terms())
	r.Value = r.Value.Times(factor)
	switch {
	case of == Subject(Calcium) && to == Subject(Phosphorus):
		r.Kind, r.Value = CaToP, a.CaP
		r.bound(p, CalciumPhosphorus)
	case of == Subject(Zinc) && to == Subject(Copper):
		r.Kind = ZnToCu
	}
	return r, true
}

func (a *Analysis) ratio(m Mixture, p *Profile, of, to []Term) Ratio {
	s := NewScale(&a.Totals, m, p, a.Basis)
	x, y := a.Totals.Of(of), a.Totals.Of(to)
	return Ratio{Value: x.over(y), Of: s.value(of), To: s.value(to),
		OfOpen: a.Totals.unknown(nil, of), ToOpen: a.Totals.unknown(nil, to), Min: math.NaN(), Max: math.NaN()}
}

// bound gives a ratio the band that the table has of a subject.
func (r *Ratio) bound(p *Profile, s Subject) {
	if q, ok := p.Requirement(s); ok {
		r.Min, r.Max, r.OfTable = q.Min, q.Max, true
	}
}

func (a *Analysis) boneShare() Ratio {
	band := BoneBand.Limits()
	animal := a.Shares.animal()
	r := Ratio{Kind: BoneShare, Of: a.Shares[BonePart], To: Exactly(animal), Min: band.Low, Max: band.High}
	if animal > 0 {
		r.Value = r.Of.Times(1 / animal)
	}
	return r
}

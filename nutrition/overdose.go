package nutrition

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
	values [NutrientCount]Value
	factor float64 // 0: its energy is not known
}

func perThousand(m Mixture, eaten Kcal) (p perThousandKcal) {
	var t Totals
	sum(&t, m, lasting(m, eaten))
	for n := range NutrientCount {
		p.values[n] = t.Values[n]
	}
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
	m.Extras = nil
	var items []Item
	for _, it := range m.Items {
		if it.Food == nil || !Concentrated(it.Food) && !it.Food.product() {
			items = append(items, it)
		}
	}
	m.Items = items
	return m
}

// Concentrated reports that a food is given for what it concentrates.
func Concentrated(f *Food) bool { return f.Has(Supplement) || f.Has(LiverOil) || f.Has(Seaweed) }

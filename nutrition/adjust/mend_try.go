package adjust

import (
	"slices"

	"bowlwright/nutrition"
)

// try adds a candidate to the mixture and analyses it again, correcting its
// weight, because what it brings along may raise the minimum. It fails where
// the row is not mended or something else is pushed over a limit.
func (md *mender) try(row int, c candidate) (Option, bool) {
	m := md.m
	m.Items = append(slices.Clone(m.Items), nutrition.Item{Food: c.food, Grams: nutrition.Grams(c.grams)})
	added := &m.Items[len(m.Items)-1]
	for range 5 {
		after := nutrition.Analyse(m, md.p, md.a.Basis)
		r := &after.Rows[row]
		if r.Low >= r.Min*(1-nutrition.Rounding) {
			if !md.keepsMaximums(&after) || md.leavesBand(m.Items) {
				return Option{}, false
			}
			g := added.Grams
			return Option{Addition{Food: c.food, Grams: g}, nutrition.Kcal(c.food.Per100[nutrition.Energy].Mid / 100 * float64(g))}, true
		}
		more, ok := md.need(r, &after.Totals, c.food)
		if !ok {
			break
		}
		added.Grams += nutrition.Grams(more * (1 + nutrition.Rounding))
	}
	return Option{}, false
}

// keepsMaximums reports that no maximum is passed that was kept before, nor
// passed by more.
func (md *mender) keepsMaximums(after *nutrition.Analysis) bool {
	for i := range after.Rows {
		r, was := &after.Rows[i], &md.a.Rows[i]
		if r.HasMax() && r.Capped.High > r.Max*(1+nutrition.Rounding) && r.Capped.High > was.Capped.High*(1+nutrition.Rounding) {
			return false
		}
	}
	return true
}

// leavesBand reports that liver, another secreting organ, bone or plants are
// now above their usual share and were not before.
func (md *mender) leavesBand(items []nutrition.Item) bool {
	before := nutrition.SharesOf(md.m.Items).Off()
	for _, o := range nutrition.SharesOf(items).Off() {
		if o.Verdict != nutrition.High || !slices.Contains(keptBands, o.Band) {
			continue
		}
		same := func(b nutrition.OffBand) bool { return b.Band == o.Band && b.Verdict == nutrition.High }
		if !slices.ContainsFunc(before, same) {
			return true
		}
	}
	return false
}

// keptBands are the shares that a remedy does not carry over the usual.
var keptBands = []nutrition.Band{nutrition.LiverBand, nutrition.SecretingOrganBand, nutrition.BoneBand, nutrition.PlantBand}

// byLabel returns the supplement of the list that is given by its label for
// the row's nutrient, and how much of the nutrient a day is missing.
func (md *mender) byLabel(r *nutrition.Row) (Option, bool) {
	terms := r.Requirement.Subject.Terms()
	if len(terms) == 0 {
		return Option{}, false
	}
	n := terms[0].Nutrient
	if n == nutrition.Retinoids {
		return Option{}, false // liver brings it, and too much harms: never by a supplement
	}
	if n == nutrition.Iodine && nutrition.UsualIodine(md.m, md.a.Basis.Kcal) > 0 {
		return Option{}, false // the kelp in it may bring more than enough: its label has to tell
	}
	best, fewest := (*nutrition.Food)(nil), int(nutrition.NutrientCount)+1
	for _, f := range md.foods {
		if !f.Has(nutrition.Supplement) || f.Per100[n].Complete {
			continue
		}
		if k, pure := actives(f); pure && k < fewest {
			best, fewest = f, k
		}
	}
	if best == nil {
		return Option{}, false
	}
	missing := (r.Min - r.Low) / md.scale.Low
	return Option{Addition: Addition{Food: best, ByLabel: true, Nutrient: n, PerDay: missing / terms[0].Factor / md.a.Totals.Days}}, true
}

// actives counts the nutrients that only the label of a supplement tells, and
// whether it is nothing but those: else what comes along would count too.
func actives(f *nutrition.Food) (k int, pure bool) {
	pure = true
	for n := range f.Per100 {
		if !f.Per100[n].Complete {
			k++
		} else if f.Per100[n].High > 0 {
			pure = false
		}
	}
	return k, pure
}

// excess returns which part of the mixture to cut.
func (md *mender) excess(r *nutrition.Row) Remedy {
	s := r.Requirement.Subject
	rem := Remedy{Subject: s}
	terms, energyLimit := s.MaxTerms(), r.Max/md.scale.Unit
	if s.IsRatio() {
		terms, energyLimit = s.Above(r.Max), 0 // whatever the energy
	}
	over := highOf(&md.a.Totals.Values, terms) - energyLimit*md.a.Energy.Mid
	var most, enough float64
	for part := range len(md.m.Items) + len(md.m.Extras) {
		gives, cut := md.cut(part, terms, energyLimit, over)
		if gives > most {
			most = gives
			if enough == 0 && cut != nil {
				rem.Cut = cut
			}
		}
		if cut != nil && !cut.Whole && gives > enough {
			enough, rem.Cut = gives, cut
		}
	}
	return rem
}

// gives returns how much of the terms a part gives, at its high end.
func (md *mender) gives(part int, terms []nutrition.Term) float64 {
	if part < len(md.m.Items) {
		one := nutrition.Sum(nutrition.Mixture{Items: md.m.Items[part : part+1]})
		return highOf(&one.Values, terms)
	}
	x := md.m.Extras[part-len(md.m.Items)]
	var sum float64
	for _, term := range terms {
		if term.Nutrient == x.Nutrient && x.PerDay > 0 {
			sum += x.PerDay * md.a.Totals.Days * term.Factor
		}
	}
	return sum
}

// cut returns how much of the terms a part gives, and how much of it to take
// away to lose an excess; nil where that would not lose any.
func (md *mender) cut(part int, terms []nutrition.Term, energyLimit, over float64) (float64, *Cut) {
	gives := md.gives(part, terms)
	if part >= len(md.m.Items) {
		if gives <= 0 {
			return gives, nil
		}
		perDay := md.m.Extras[part-len(md.m.Items)].PerDay
		return gives, &Cut{Part: part, PerDay: perDay * min(1, over/gives), Whole: gives < over}
	}
	it := &md.m.Items[part]
	// Leaving out food leaves out energy too, so only what it has beyond the
	// limit counts.
	richer := gives - energyLimit*it.Energy()
	if richer <= 0 {
		return gives, nil
	}
	g := it.Grams * nutrition.Grams(min(1, over/richer))
	return gives, &Cut{Part: part, Grams: g, Whole: richer < over}
}

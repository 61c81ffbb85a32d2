package adjust

import (
	"cmp"
	"slices"

	"bowlwright/nutrition"
)

// FoodList is a table of foods to choose from.
type FoodList interface {
	Foods() []*nutrition.Food
}

// Remedy is what would put one row of an analysis right.
type Remedy struct {
	Subject nutrition.Subject
	// Options mend a shortfall: at most one food and one supplement, or two
	// of a kind where there is none of the other; the fewest kcal first.
	// Empty where nothing on the list does it within reason.
	Options []Option
	// Cut mends an excess: it takes from the part that gives most, of those
	// that can mend it alone; where none can, from the part that gives most.
	// Nil where leaving out any part only makes it worse.
	Cut *Cut
}

// Addition is a food to add to the whole mixture.
type Addition struct {
	Food  *nutrition.Food
	Grams nutrition.Grams // 0 where ByLabel
	// ByLabel: a supplement whose strength only its label tells. PerDay is
	// how much of Nutrient it must give in a day.
	ByLabel  bool
	Nutrient nutrition.Nutrient
	PerDay   float64
}

// Option is a food that mends a shortfall when it is added.
type Option struct {
	Addition
	Kcal nutrition.Kcal // that it brings
}

// Cut is how much less of one part of the mixture mends an excess.
type Cut struct {
	Part   int             // index of the item or, from len(Items) on, of the extra
	Grams  nutrition.Grams // to take away of an item, from the whole mixture
	PerDay float64         // to take away of an extra, in its nutrient's unit
	Whole  bool            // leaving out all of it is not enough
}

// More than this part of the mixture's weight or energy is no remedy but
// another recipe (common practice, no source).
const remedyAtMost = 0.25

// Mend returns, for every row of the analysis that is low, high or crosses a
// limit or lacks figures to reach its minimum, what would put it right. a must
// be the analysis of m against p.
//
// Foods that exclude holds for are left out (nil: none are). So are those that
// would carry another nutrient over its maximum or liver, organs, bone or
// plants over their usual share; hard bone that the mixture does not have yet;
// and seaweed whose iodine nobody knows.
func Mend(a nutrition.Analysis, m nutrition.Mixture, p *nutrition.Profile, list FoodList, exclude func(*nutrition.Food) bool) []Remedy {
	md := newMender(&a, m, p, list.Foods(), exclude)
	if md.scale.Open {
		return nil
	}
	var out []Remedy
	for i := range a.Rows {
		r := &a.Rows[i]
		switch {
		case r.Verdict.TooMuch() || r.Verdict == nutrition.NotKnown && r.StraddlesMax:
			out = append(out, md.excess(r))
		case r.Verdict.TooLittle() || r.Verdict == nutrition.NotKnown && r.HasMin() && r.Low < r.Min:
			if rem, ok := md.shortfall(i); ok {
				out = append(out, rem)
			}
		}
	}
	return out
}

// mender works on one analysis.
type mender struct {
	a     *nutrition.Analysis
	m     nutrition.Mixture
	p     *nutrition.Profile
	scale nutrition.Scale
	foods []*nutrition.Food // to choose from
}

func newMender(a *nutrition.Analysis, m nutrition.Mixture, p *nutrition.Profile, foods []*nutrition.Food, exclude func(*nutrition.Food) bool) mender {
	md := mender{a: a, m: m, p: p, scale: nutrition.NewScale(&a.Totals, m, p, a.Basis)}
	for _, f := range foods {
		if f != nil && !md.unfit(f) && (exclude == nil || !exclude(f)) {
			md.foods = append(md.foods, f)
		}
	}
	return md
}

// unfit reports that a food is not to be proposed, whatever it brings.
func (md *mender) unfit(f *nutrition.Food) bool {
	if f.Has(nutrition.Unoffered) || f.Has(nutrition.Seaweed) && !f.Per100[nutrition.Iodine].Complete {
		return true
	}
	if f.CookedMeat() && !slices.ContainsFunc(md.m.Items, func(it nutrition.Item) bool { return it.Food != nil && it.Food.CookedMeat() }) {
		return true // a raw recipe gets no cooked meat
	}
	return f.LargeBone() && !slices.ContainsFunc(md.m.Items, func(it nutrition.Item) bool {
		return it.Food != nil && it.Food.Key == f.Key
	})
}

// candidate is a food that could mend a shortfall, and about how much of it.
type candidate struct {
	food  *nutrition.Food
	grams float64
	kcal  float64
}

// shortfall returns what mends the row. It has no answer for a ratio that is
// not known.
func (md *mender) shortfall(row int) (Remedy, bool) {
	r := &md.a.Rows[row]
	s := r.Requirement.Subject
	if s == nutrition.CalciumPhosphorus && r.IsUnknown() {
		return Remedy{}, false
	}
	rem := Remedy{Subject: s}
	var food, supplement []Option
	for _, c := range md.candidates(r) {
		to := &food
		if c.food.Has(nutrition.Supplement) {
			to = &supplement
		}
		if len(*to) < 2 && !sameKind(*to, c.food) {
			if o, ok := md.try(row, c); ok {
				*to = append(*to, o)
			}
		}
		if len(food) > 0 && len(supplement) > 0 {
			break
		}
	}
	if o, ok := md.byLabel(r); ok && len(supplement) == 0 && missing(r) >= little {
		supplement = append(supplement, o)
	}
	rem.Options = append(food, supplement...)
	if len(food) > 0 && len(supplement) > 0 {
		rem.Options = []Option{food[0], supplement[0]}
	}
	slices.SortStableFunc(rem.Options, func(a, b Option) int {
		return cmp.Or(cmp.Compare(a.Kcal, b.Kcal), cmp.Compare(a.Grams, b.Grams))
	})
	return rem, true
}

// sameKind reports that there is an option of the food's kind and species
// already, so another would be no choice.
func sameKind(os []Option, f *nutrition.Food) bool {
	return slices.ContainsFunc(os, func(o Option) bool { return o.Food.Kind == f.Kind })
}

// candidates returns the foods that can mend the row within reason, those
// that take the fewest kcal first.
func (md *mender) candidates(r *nutrition.Row) []candidate {
	var out []candidate
	for _, f := range md.foods {
		x, ok := md.need(r, &md.a.Totals, f)
		if ok {
			x, ok = md.within(r, f, x)
		}
		if !ok || x > remedyAtMost*float64(md.a.Grams) {
			continue
		}
		k := f.Per100[nutrition.Energy].Mid / 100 * x
		if k > remedyAtMost*md.a.Energy.Mid {
			continue
		}
		out = append(out, candidate{f, x, k})
	}
	slices.SortStableFunc(out, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(a.kcal, b.kcal), cmp.Compare(a.grams, b.grams))
	})
	return out
}

// within returns the amount of a food to add, or the least of it that is worth
// adding; false where the bounds of its kind forbid so much.
func (md *mender) within(r *nutrition.Row, f *nutrition.Food, x float64) (float64, bool) {
	b := boundsOf(f)
	if b.alone != nutrition.SubjectCount && r.Requirement.Subject != b.alone {
		return 0, false
	}
	have := float64(weightOf(md.m, f))
	if have == 0 {
		x = max(x, b.least*kitchenDays(md.a))
	}
	most := b.most(have, float64(md.a.Grams))
	if b.concentrate {
		gram := perGram(&nutrition.Item{Food: f})
		most = min(most, mostAlone(&gram, md.a.Energy.Mid))
	}
	return x, have+x <= most*(1+nutrition.Rounding)
}

// need returns how many grams of a food carry a row of some totals to its
// minimum: the x that solves (N + c x) / (E + e x) = d, where N is the amount
// and E the energy there are, c and e those of a gram of the food, and d the
// minimum on an energy basis. There is none where the food is poorer than d.
func (md *mender) need(r *nutrition.Row, t *nutrition.Totals, f *nutrition.Food) (float64, bool) {
	if r.Requirement.Subject == nutrition.CalciumPhosphorus {
		return needRatio(r.Min, t, f)
	}
	terms := r.Requirement.Subject.Terms()
	d := r.Min / md.scale.Unit
	have := t.Of(terms).Low
	var gives float64
	for _, term := range terms {
		gives += f.Per100[term.Nutrient].Low / 100 * term.Factor
	}
	missing := d*t.Values[nutrition.Energy].Mid - have
	richer := gives - d*f.Per100[nutrition.Energy].Mid/100
	if missing <= 0 || richer <= 0 || !f.Per100[nutrition.Energy].Complete {
		return 0, false
	}
	return missing / richer, true
}

// needRatio is need for the ratio of calcium to phosphorus, at the end of
// their range where there is least bone.
func needRatio(least float64, t *nutrition.Totals, f *nutrition.Food) (float64, bool) {
	ca, p := f.Per100[nutrition.Calcium], f.Per100[nutrition.Phosphorus]
	missing := least*t.Values[nutrition.Phosphorus].Low - t.Values[nutrition.Calcium].Low
	gives := (ca.Low - least*p.Low) / 100
	if missing <= 0 || gives <= 0 || !p.Complete {
		return 0, false
	}
	return missing / gives, true
}

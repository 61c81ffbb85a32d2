package adjust

import (
	"cmp"
	"math"
	"slices"

	"bowlwright/nutrition"
)

// Swap is a food that could take the place of one in a mixture.
type Swap struct {
	Food  *nutrition.Food
	Grams nutrition.Grams // of it, in place of what there was
	// Keeps tells what the grams keep the same.
	Keeps Keep
	// Distance is how much the analysis changes: the sum of all rows' changes,
	// each as Change.Part and at most 1, and 1 more for each verdict that gets
	// worse. Options come in this order.
	Distance float64
	// Better and Worse list the rows whose verdict changes.
	Better, Worse []Change
	// Biggest lists up to three rows whose amounts change most, of those that
	// both foods have figures of.
	Biggest []Change
}

// Keep is what a swap keeps the same.
type Keep string

// What a swap keeps.
const (
	KeepEnergy Keep = "energy"
	KeepWeight Keep = "weight" // organs, whose share counts, and foods without energy
	KeepBone   Keep = "bone"   // the weight of bone, of bone-in cuts
	// KeepCalcium is of what is there for its calcium.
	KeepCalcium Keep = "calcium"
)

// sourceOfCalcium is from how many mg in 100 g a food is given for its calcium (our own
// choice: bone meal has 24,000, cheese 1,000).
const sourceOfCalcium = 10000

// Change is how one row differs after a swap.
type Change struct {
	Subject  nutrition.Subject
	From, To nutrition.Verdict
	// Part is the change as a part of the amount before or of the row's
	// limit, whichever is more; negative where there is less.
	Part float64
}

// biggestChanges is how many of the largest changes an option lists.
const biggestChanges = 3

// Swaps returns the foods that could replace the item at index, those that
// change the analysis least first, at most limit of them. Only foods counted
// under the same body part come into question, bone-in cuts for bone-in cuts
// (and hard bone for hard bone only), and among plants and others those of the
// same kind. Foods that exclude holds for are left out (nil: none are). It
// returns nil for an index without an item.
func Swaps(m nutrition.Mixture, index int, p *nutrition.Profile, basis nutrition.Basis, list FoodList, exclude func(*nutrition.Food) bool, limit int) []Swap {
	if index < 0 || index >= len(m.Items) || m.Items[index].Food == nil {
		return nil
	}
	old := m.Items[index]
	before := nutrition.Analyse(m, p, basis)
	m.Items = slices.Clone(m.Items)
	var out []Swap
	for _, f := range list.Foods() {
		if !replaces(f, old.Food) || exclude != nil && exclude(f) {
			continue
		}
		grams, keeps := swapGrams(&old, f)
		if !(grams > 0) {
			continue
		}
		m.Items[index] = nutrition.Item{Food: f, Grams: grams}
		after := nutrition.Analyse(m, p, basis)
		o := Swap{Food: f, Grams: grams, Keeps: keeps}
		o.compare(&before, &after, old.Food)
		out = append(out, o)
	}
	slices.SortStableFunc(out, func(a, b Swap) int { return cmp.Compare(a.Distance, b.Distance) })
	return out[:min(max(limit, 0), len(out))]
}

// replaces reports that a food is of the sort that could replace another.
func replaces(f, old *nutrition.Food) bool {
	if f == nil || f.Key == old.Key || f.Part != old.Part || f.Has(nutrition.Unoffered) || f.CookedMeat() != old.CookedMeat() {
		return false
	}
	if (f.Bone.Kind == nutrition.NoBone) != (old.Bone.Kind == nutrition.NoBone) || f.Has(nutrition.Supplement) != old.Has(nutrition.Supplement) {
		return false
	}
	if f.LargeBone() && !old.LargeBone() {
		return false
	}
	return f.Part != nutrition.Plant && f.Part != nutrition.Other || f.Kind == old.Kind
}

// swapGrams returns how much of a food replaces an item, and what that keeps; 0 where no
// amount does: no vitamin is as much of a mineral, or one mineral of another.
func swapGrams(old *nutrition.Item, f *nutrition.Food) (nutrition.Grams, Keep) {
	was, is := old.Food.Per100[nutrition.Calcium].Mid, f.Per100[nutrition.Calcium].Mid
	switch {
	case f.Bone.Mid > 0 && old.Food.Bone.Mid > 0:
		return old.Grams * nutrition.Grams(old.Food.Bone.Mid/f.Bone.Mid), KeepBone
	case was >= sourceOfCalcium && is >= sourceOfCalcium:
		return old.Grams * nutrition.Grams(was/is), KeepCalcium
	case f.Part == nutrition.Liver || f.Part == nutrition.SecretingOrgan:
		return old.Grams, KeepWeight
	}
	had, has := old.Energy(), f.Per100[nutrition.Energy].Mid/100
	if was >= sourceOfCalcium || is >= sourceOfCalcium || (had <= 0 || has <= 0) && f.Has(nutrition.Supplement) {
		return 0, KeepWeight
	}
	if had <= 0 || has <= 0 || !f.Per100[nutrition.Energy].Complete {
		return old.Grams, KeepWeight
	}
	return nutrition.Grams(had / has), KeepEnergy
}

// compare fills in what changes between two analyses of the same profile.
func (o *Swap) compare(before, after *nutrition.Analysis, old *nutrition.Food) {
	changes := make([]Change, 0, len(after.Rows))
	for i := range after.Rows {
		was, is := &before.Rows[i], &after.Rows[i]
		c := Change{is.Requirement.Subject, was.Verdict, is.Verdict, part(was.Mid, is.Mid, is)}
		o.Distance += min(1, math.Abs(c.Part))
		from, to := badness(was.Verdict), badness(is.Verdict)
		switch {
		case to > from:
			o.Worse = append(o.Worse, c)
			o.Distance++
		case to < from && is.Verdict.Meets(): // a verdict that nobody knows any more is no progress
			o.Better = append(o.Better, c)
		}
		if !old.Lacks(c.Subject) && !o.Food.Lacks(c.Subject) {
			changes = append(changes, c)
		}
	}
	slices.SortStableFunc(changes, func(a, b Change) int {
		return cmp.Compare(math.Abs(b.Part), math.Abs(a.Part))
	})
	for _, c := range changes[:min(biggestChanges, len(changes))] {
		if c.Part != 0 {
			o.Biggest = append(o.Biggest, c)
		}
	}
}

// part returns a change as a part of what there was or of the row's limit,
// whichever is more: far above its minimum, a nutrient may change by many
// minimums and little is changed.
func part(before, after float64, r *nutrition.Row) float64 {
	of := before
	switch {
	case r.HasMin():
		of = max(of, r.Min)
	case r.HasMax():
		of = max(of, r.Max)
	}
	if of <= 0 {
		return 0
	}
	return (after - before) / of
}

// badness orders verdicts: enough is best, known to be wrong is worst.
func badness(v nutrition.Verdict) int {
	switch {
	case v.Meets():
		return 0
	case v == nutrition.NotKnown:
		return 1
	}
	return 2
}

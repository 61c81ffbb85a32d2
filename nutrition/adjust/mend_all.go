package adjust

import (
	"slices"

	"bowlwright/nutrition"
)

// Step is one part of what mends a mixture: a food to add or, where its grams
// are less than nothing, to take away.
type Step struct {
	Addition
	For []nutrition.Subject // what it is for: without it, they would be short of a limit
	// Less is a supplement of which PerDay of Nutrient is to be left out a day;
	// empty for all else.
	Less string
}

// Together is one list of steps that mends all that is to be mended, and what
// it leaves open.
type Together struct {
	Steps []Step
	Open  []nutrition.Subject
}

// little is the part of a limit below which a shortfall gets no supplement by
// its label: no label is so exact, and nobody can measure so little.
const little = worthPart

// mainFood is the part of the weight from which a food counts as what the
// recipe is made of (our own choice).
const mainFood = 0.2

// forLeast is the part of a limit that a step must bring to be named as for a
// subject, where the whole list does not reach the limit.
const forLeast = 0.1

// MendTogether returns one list of what mends an analysis, checked together: a
// must be the analysis of m against p. The amounts are those of a kitchen, of a
// day's food where the basis is a dog and day; every food keeps to the bounds
// of its kind, and what is enough stays so. Chloride is left out: the tables
// have no figure for it, and salt is no remedy for a gap in a table.
func MendTogether(a nutrition.Analysis, m nutrition.Mixture, p *nutrition.Profile, list FoodList, exclude func(*nutrition.Food) bool) Together {
	with := *p
	with.Requirements = slices.DeleteFunc(slices.Clone(p.Requirements), func(q nutrition.Requirement) bool { return q.Subject == nutrition.Subject(nutrition.Chloride) })
	t := together{basis: a.Basis, p: &with, list: list, exclude: exclude, m: m}
	t.before = nutrition.Analyse(m, t.p, t.basis)
	if sc := nutrition.NewScale(&t.before.Totals, m, t.p, t.basis); sc.Open {
		return Together{}
	}
	after := t.search(Mend(t.before, m, t.p, list, exclude))
	// Where a supplement must bring some of it, it may as well bring all.
	for _, r := range nutrition.Analyse(after, t.p, t.basis).Rows {
		if _, ok := t.byLabel(&t.before, t.m, t.before.Row(r.Requirement.Subject)); ok && missing(&r) > 0 {
			t.byOthers = append(t.byOthers, r.Requirement.Subject)
		}
	}
	after = t.pruned(after)
	now := nutrition.Analyse(after, t.p, t.basis)
	out := Together{Steps: t.steps(after)}
	for _, r := range now.Rows {
		if missing(&r) == 0 {
			continue
		}
		s, ok := t.byLabel(&now, after, &r)
		if !ok {
			s, ok = t.lessExtra(&now, after, &r)
		}
		switch {
		case ok && missing(&r) >= little:
			out.Steps = append(out.Steps, s)
		case !ok:
			out.Open = append(out.Open, r.Requirement.Subject)
		}
	}
	return out
}

// kitchenDays returns by how many days amounts are divided before they are
// told: those that the food lasts a dog, or 1 to tell the whole.
func kitchenDays(a *nutrition.Analysis) float64 {
	if d := a.Days(); d > 0 {
		return d
	}
	return 1
}

// together works on one list.
type together struct {
	m       nutrition.Mixture
	p       *nutrition.Profile
	basis   nutrition.Basis
	list    FoodList
	exclude func(*nutrition.Food) bool
	before  nutrition.Analysis
	// byOthers are the subjects that supplements are for, by their labels.
	byOthers []nutrition.Subject
}

// missing returns what part of a limit a row misses; 0 where it keeps both.
func missing(r *nutrition.Row) float64 {
	switch {
	case r.HasMax() && r.Capped.High > r.Max*(1+nutrition.Rounding):
		return r.Capped.High/r.Max - 1
	case r.HasMin() && r.Low < r.Min*(1-nutrition.Rounding):
		return 1 - r.Low/r.Min
	}
	return 0
}

// search returns the mixture with as much mended as can be by foods that each
// mend a row. Its own foods that give too much become less.
func (t *together) search(each []Remedy) nutrition.Mixture {
	req := Request{Mixture: t.m, Profile: t.p, Basis: t.basis, Locked: map[int]bool{}, LetGo: map[int]bool{}, adding: true}
	for i := range t.m.Items {
		req.Locked[i] = true
	}
	cut := map[int]bool{}
	for _, r := range each {
		for _, o := range r.Options {
			if !o.ByLabel {
				req.Allowed = append(req.Allowed, o.Food)
			}
		}
		if r.Cut != nil && r.Cut.Part < len(t.m.Items) {
			cut[r.Cut.Part], req.LetGo[r.Cut.Part] = true, true
			delete(req.Locked, r.Cut.Part)
		}
	}
	for i, it := range t.m.Items {
		if slices.Contains(req.Allowed, it.Food) {
			delete(req.Locked, i)
		}
	}
	md, problem := newModel(&req)
	if problem != "" {
		return t.m
	}
	s := md.newSearch(pushAll, kitchenDays(&t.before))
	for j := range md.vars {
		if v := &md.vars[j]; v.index >= 0 {
			s.amounts[j], s.start[j] = t.steppedFrom(v, cut[v.index])
			s.at[j] = s.start[j]
		}
	}
	s.run()
	a := md.build(MetAnswer, s.grams())
	if !s.kept() || !noWorse(&a.Analysis, &t.before) {
		return t.m
	}
	return a.Mixture
}

// steppedFrom returns the amounts that a food of the mixture may take, up or
// down in steps that a kitchen can weigh, and which of them it has now.
func (t *together) steppedFrom(v *variable, less bool) (list []float64, at int) {
	room, sign := v.most-v.start, 1.0
	if less {
		room, sign = v.start, -1
		if v.start > mainFood*float64(t.before.Totals.Grams) {
			room = v.start / 2 // with less of what it is made of, it is another recipe
		}
	} else if v.noMore {
		room = 0
	}
	for _, g := range v.bounds.amounts(0, 0, room, kitchenDays(&t.before)) {
		list = append(list, v.start+sign*g)
	}
	if less {
		slices.Reverse(list)
		at = len(list) - 1
	}
	return list, at
}

// pruned takes out what was added, and puts back what was changed, where that
// made no difference.
func (t *together) pruned(m nutrition.Mixture) nutrition.Mixture {
	for again := true; again; {
		again = false
		for _, it := range slices.Backward(m.Items) {
			if it.Food != nil && weightOf(m, it.Food) != weightOf(t.m, it.Food) && len(t.purpose(m, it.Food)) == 0 {
				m, again = t.without(m, it.Food), true
				break
			}
		}
	}
	return m
}

// without returns a mixture where a food is as it was.
func (t *together) without(m nutrition.Mixture, f *nutrition.Food) nutrition.Mixture {
	var items []nutrition.Item
	for i := range m.Items {
		if m.Items[i].Food != f {
			items = append(items, m.Items[i])
		}
	}
	for i := range t.m.Items {
		if t.m.Items[i].Food == f {
			items = append(items, t.m.Items[i])
		}
	}
	m.Items = items
	return m
}

// weightOf returns the grams of a food in a mixture.
func weightOf(m nutrition.Mixture, f *nutrition.Food) (g nutrition.Grams) {
	for _, it := range m.Items {
		if it.Food == f {
			g += it.Grams
		}
	}
	return g
}

// purpose returns the subjects that would be further from their limits if a
// food were as it was.
func (t *together) purpose(m nutrition.Mixture, f *nutrition.Food) (out []nutrition.Subject) {
	cut := weightOf(m, f) < weightOf(t.m, f)
	is, was := nutrition.Analyse(m, t.p, t.basis), nutrition.Analyse(t.without(m, f), t.p, t.basis)
	for i := range is.Rows {
		now, less, before := missing(&is.Rows[i]), missing(&was.Rows[i]), &t.before.Rows[i]
		s := before.Requirement.Subject
		if slices.Contains(t.byOthers, s) || cut && before.Low < before.Min {
			continue
		}
		if now == 0 && less > 0 || less > now+forLeast {
			out = append(out, s)
		}
	}
	return out
}

// steps tells what a mended mixture has more or less of, and what for.
func (t *together) steps(m nutrition.Mixture) (out []Step) {
	var seen []*nutrition.Food
	for _, it := range append(slices.Clone(t.m.Items), m.Items...) {
		if it.Food == nil || slices.Contains(seen, it.Food) {
			continue
		}
		seen = append(seen, it.Food)
		if g := weightOf(m, it.Food) - weightOf(t.m, it.Food); abs(float64(g)) > nutrition.Rounding {
			out = append(out, Step{Addition: Addition{Food: it.Food, Grams: g}, For: t.purpose(m, it.Food)})
		}
	}
	return out
}

// lessExtra returns how much less of a supplement keeps a row under its maximum.
func (t *together) lessExtra(a *nutrition.Analysis, m nutrition.Mixture, r *nutrition.Row) (Step, bool) {
	if !r.HasMax() || r.Capped.High <= r.Max {
		return Step{}, false
	}
	md := newMender(a, m, t.p, nil, nil)
	c := md.excess(r).Cut
	if c == nil || c.Whole || c.Part < len(m.Items) {
		return Step{}, false
	}
	x := m.Extras[c.Part-len(m.Items)]
	return Step{Addition: Addition{Nutrient: x.Nutrient, PerDay: c.PerDay}, Less: x.Name, For: []nutrition.Subject{r.Requirement.Subject}}, true
}

// byLabel returns the supplement for a row that is short, where only its label
// tells its strength.
func (t *together) byLabel(a *nutrition.Analysis, m nutrition.Mixture, r *nutrition.Row) (Step, bool) {
	if !r.HasMin() || r.Low >= r.Min {
		return Step{}, false
	}
	md := newMender(a, m, t.p, t.list.Foods(), t.exclude)
	o, ok := md.byLabel(r)
	return Step{Addition: o.Addition, For: []nutrition.Subject{r.Requirement.Subject}}, ok
}

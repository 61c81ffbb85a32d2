package adjust

import (
	"context"
	"errors"
	"slices"

	"bowlwright/nutrition"
)

// solved is a solution of the model at one push.
type solved struct {
	solution
	columns
	program *program
	push    float64
	attempt int
	duals   []float64 // of the rows; nil where nobody knows them
}

// solve solves the model at a push with some demands free. It starts from a
// basis of the same rows where there is one, and tries again from the first
// point with other perturbations where that fails.
func (b *balancer) solve(push float64, free map[Demand]bool, from *solved) (solved, error) {
	for range tightenings {
		s, err := b.solveOnce(push, free, from)
		if err != nil || !b.md.tighten(&s, free) {
			return s, err
		}
	}
	b.res.Problem = SolverFailed
	return solved{}, errTightened
}

// solveOnce is solve with the limits that are written down so far.
func (b *balancer) solveOnce(push float64, free map[Demand]bool, from *solved) (s solved, err error) {
	for attempt := range attempts {
		p, c := b.md.program(push, free, attempt)
		s = solved{columns: c, program: p, push: push, attempt: attempt}
		if from != nil && from.attempt == attempt && from.basis != nil && len(from.basis) == p.rows {
			// Other prices leave a feasible point feasible.
			first := p.basis
			p.basis = from.basis
			if s.solution, err = p.solve(b.ctx); err != nil && b.ctx.Err() == nil {
				p.basis = first
				s.solution, err = p.solve(b.ctx)
			}
		} else {
			s.solution, err = p.solve(b.ctx)
		}
		if err == nil {
			s.duals = p.duals(s.basis)
			return s, nil
		}
		if b.ctx.Err() != nil {
			break
		}
	}
	b.res.Problem = SolverFailed
	if errors.Is(err, errStopped) || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		b.res.Problem = Stopped
	}
	return s, err
}

// answer returns the answer of a push, checked; false where there is none.
func (b *balancer) answer(kind Kind, push float64, same *Answer) (balanced, bool) {
	s, err := b.solve(push, nil, b.last)
	if err != nil {
		return balanced{}, false
	}
	b.last = &s
	grid := b.md.newSearch(push, 1)
	grid.from(b.md.moves(&s))
	grid.run()
	if !grid.kept() && b.md.short == 0 {
		grid = b.md.newSearch(push, 1) // what there is breaks nothing
		grid.run()
	}
	a := balanced{b.md.build(kind, grid.grams()), s}
	if !grid.kept() || !b.md.holds(&a.Answer, same) {
		b.res.Problem = RecheckFailed
		return balanced{}, false
	}
	return a, true
}

// balanced is an answer and the solution that it was looked for from.
type balanced struct {
	Answer
	from solved
}

// moves returns the grams of each variable in a solution.
func (md *model) moves(s *solved) []float64 {
	grams := make([]float64, len(md.vars))
	for j := range md.vars {
		v := &md.vars[j]
		grams[j] = max(v.floor, v.start+s.deviation(j)*v.unit)
	}
	return grams
}

// deviation returns how many units of a variable a solution adds.
func (s *solved) deviation(j int) (d float64) {
	if k := s.up[j]; k >= 0 {
		d += s.x[k]
	}
	if k := s.down[j]; k >= 0 {
		d -= s.x[k]
	}
	return d
}

// build makes an answer of the grams of each variable.
func (md *model) build(kind Kind, grams []float64) Answer {
	a := Answer{Kind: kind}
	m := md.mixture(slices.Clone(md.items))
	for j := range md.vars {
		v := &md.vars[j]
		if v.index >= 0 {
			m.Items[v.index].Grams = nutrition.Grams(grams[j])
		} else if grams[j] > 0 {
			m.Items = append(m.Items, nutrition.Item{Food: v.item.Food, Grams: nutrition.Grams(grams[j])})
		}
	}
	for i, it := range m.Items {
		of := Amount{Index: -1, Food: it.Food, New: it.Grams}
		if i < len(md.items) {
			of.Index, of.Old = i, md.req.Mixture.Items[i].Grams
		}
		a.Items = append(a.Items, of)
	}
	m.Items = slices.DeleteFunc(m.Items, func(it nutrition.Item) bool { return it.Grams == 0 })
	a.Mixture = m
	a.Analysis = nutrition.Analyse(m, md.req.Profile, md.req.Basis)
	a.Gaps = md.gaps(&a.Analysis)
	return a
}

// unchanged returns the start as an answer, where it meets everything.
func (md *model) unchanged() (Answer, bool) {
	grams := make([]float64, len(md.vars))
	for j := range md.vars {
		grams[j] = md.vars[j].start
	}
	a := md.build(MetAnswer, grams)
	misses := slices.ContainsFunc(a.Analysis.Rows, func(r nutrition.Row) bool { return missing(&r) > 0 }) // by however little
	return a, md.short == 0 && len(a.Gaps) == 0 && !misses
}

// gaps lists what an analysis does not meet by more than a residual.
func (md *model) gaps(a *nutrition.Analysis) (gaps []Gap) {
	add := func(d Demand, v nutrition.Value, limit, missing float64, notKnown bool) {
		gaps = append(gaps, Gap{Demand: d, Value: v, Limit: limit, Missing: missing, Part: missing / limit, NotKnown: notKnown})
	}
	for i := range a.Rows {
		r := &a.Rows[i]
		if r.HasMin() && r.Low < r.Min*(1-residual) {
			add(Demand{Subject: r.Requirement.Subject}, r.Value, r.Min, r.Min-r.Low, !r.Complete)
		}
		if r.HasMax() && r.Capped.High > r.Max*(1+residual) {
			add(Demand{Subject: r.Requirement.Subject, Most: true}, r.Capped, r.Max, r.Capped.High-r.Max, false)
		}
	}
	if !md.req.Bands {
		return gaps
	}
	for _, o := range a.Shares.Off() {
		d := Demand{Band: o.Band, Most: o.Verdict == nutrition.High}
		switch {
		case !slices.ContainsFunc(md.rows, func(r demandRow) bool { return r.demand == d }):
		case d.Most:
			add(d, o.Share, o.High, o.Share.Mid-o.High, false)
		default:
			add(d, o.Share, o.Low, o.Low-o.Share.Mid, false)
		}
	}
	return gaps
}

// closable reports that more of something in reach could close one of the gaps
// that the thorough-most solution leaves.
func (md *model) closable(gaps []Gap, s *solved) bool {
	return slices.ContainsFunc(gaps, func(g Gap) bool {
		if !g.NotKnown {
			return true
		}
		for i := range s.short {
			r := &md.rows[i]
			if !r.bound && r.demand == g.Demand && s.x[s.short[i]] > residual && slices.ContainsFunc(r.up, func(x float64) bool { return x > 0 }) {
				return true
			}
		}
		return false
	})
}

// holds checks an answer against the request and the analysis, which know
// nothing of the program or the search: that it keeps energy, weight, floors and
// bounds and, against the start, no limit that was kept is broken, and none that
// was broken is broken further.
func (md *model) holds(a, start *Answer) bool {
	if abs(a.Analysis.Energy.Mid/md.energy-1) > gridEnergy*(1+residual) || float64(a.Analysis.Grams) > md.grams*(weightCap+residual) {
		return false
	}
	for j, g := range md.gramsOf(a) {
		if v := &md.vars[j]; !(g >= v.floor*(1-nutrition.Rounding)) || !(g <= v.most*(1+nutrition.Rounding)) {
			return false
		}
	}
	return md.short > 0 || noWorse(&a.Analysis, &start.Analysis)
}

// noWorse reports that no limit is missed that was kept, nor missed by more.
func noWorse(is, was *nutrition.Analysis) bool {
	for i := range is.Rows {
		r, old := &is.Rows[i], &was.Rows[i]
		if r.HasMin() && r.Low/r.Min < min(1, old.Low/old.Min)-worsePart && !(r.IsUnknown() && !old.IsUnknown()) {
			return false
		}
		if r.HasMax() && r.Capped.High/r.Max > max(1, old.Capped.High/old.Max)+worsePart {
			return false
		}
	}
	return true
}

// gramsOf returns the grams of each variable in an answer.
func (md *model) gramsOf(a *Answer) []float64 {
	grams := make([]float64, len(md.vars))
	for j := range md.vars {
		for _, it := range a.Items {
			if md.vars[j].is(it) {
				grams[j] = float64(it.New)
			}
		}
	}
	return grams
}

// is reports that an item of an answer is the variable.
func (v *variable) is(it Amount) bool {
	return v.index == it.Index && (v.index >= 0 || v.item.Food == it.Food)
}

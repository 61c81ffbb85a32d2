package nutrition

import (
	"context"
	"errors"
	"math"
	"slices"
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
	b.res.Problem = SolverProblem
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
			if s.solution, err = b.count(p); err != nil && b.ctx.Err() == nil {
				p.basis = first
				s.solution, err = b.count(p)
			}
		} else {
			s.solution, err = b.count(p)
		}
		if err == nil {
			s.duals = p.duals(s.basis)
			return s, nil
		}
		if b.ctx.Err() != nil {
			break
		}
	}
	b.res.Problem = SolverProblem
	if errors.Is(err, errStopped) || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		b.res.Problem = StoppedProblem
	}
	return s, err
}

// count solves one program.
func (b *balancer) count(p *program) (solution, error) {
	b.res.Solves++
	s, err := p.solve(b.ctx)
	if errors.Is(err, errStopped) {
		b.res.Stopped++
	}
	return s, err
}

// answer returns the answer of a push, checked; false where there is none.
func (b *balancer) answer(kind BalanceKind, push float64) (BalanceAnswer, bool) {
	s, err := b.solve(push, nil, b.last)
	if err != nil {
		return BalanceAnswer{}, false
	}
	b.last = &s
	a := b.md.build(kind, b.md.moves(&s, negligibleShift))
	if len(a.Gaps) == 0 && b.md.misses(&a.Analysis) || !b.md.holds(&a, &s) {
		// What was too little to tell was enough to miss a limit.
		a = b.md.build(kind, b.md.moves(&s, 0))
	}
	if !b.md.holds(&a, &s) {
		b.res.Problem = RecheckProblem
		return BalanceAnswer{}, false
	}
	return a, true
}

// moves returns the grams of each variable in a solution. Changes of less than
// some units are none. The little energy that the perturbation and this cost is
// made good by the variable that has most of it among those that change.
func (md *balanceModel) moves(s *solved, least float64) []float64 {
	grams := make([]float64, len(md.vars))
	gained, fill := -md.short, -1
	for j := range md.vars {
		v := &md.vars[j]
		d := s.deviation(j)
		grams[j] = v.start
		if abs(d) > least {
			grams[j] = max(v.floor, v.start+d*v.unit)
		}
		e := v.content[Energy].Mid
		gained += (grams[j] - v.start) * e
		// A variable at its floor has no room for more of a correction.
		if grams[j] != v.start && grams[j] > v.floor && (fill < 0 || grams[j]*e > grams[fill]*md.vars[fill].content[Energy].Mid) {
			fill = j
		}
	}
	if fill >= 0 && md.vars[fill].content[Energy].Mid > 0 {
		grams[fill] = max(md.vars[fill].floor, grams[fill]-gained/md.vars[fill].content[Energy].Mid)
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
func (md *balanceModel) build(kind BalanceKind, grams []float64) BalanceAnswer {
	a := BalanceAnswer{Kind: kind}
	m := md.mixture(nil)
	now := make([]Grams, len(md.items))
	for i := range md.items {
		now[i] = md.items[i].Grams
	}
	for j := range md.vars {
		v := &md.vars[j]
		for _, i := range v.items {
			if grams[j] != v.start {
				now[i] *= Grams(grams[j] / v.start)
			}
		}
	}
	for i, it := range md.items {
		a.Items = append(a.Items, BalanceItem{Index: i, Food: it.Food, Old: md.req.Mixture.Items[i].Grams, New: now[i]})
		if now[i] > 0 {
			it.Grams = now[i]
			m.Items = append(m.Items, it)
		}
	}
	for j := range md.vars {
		if v := &md.vars[j]; len(v.items) == 0 && grams[j] > 0 {
			a.Items = append(a.Items, BalanceItem{Index: -1, Food: v.item.Food, New: Grams(grams[j])})
			m.Items = append(m.Items, Item{Food: v.item.Food, Grams: Grams(grams[j])})
		}
	}
	a.Mixture = m
	a.Analysis = Analyse(m, md.req.Profile, md.req.Basis)
	a.Gaps, a.OpenMax = md.gaps(&a.Analysis)
	return a
}

// unchanged returns the start as an answer, where it meets everything.
func (md *balanceModel) unchanged() (BalanceAnswer, bool) {
	grams := make([]float64, len(md.vars))
	for j := range md.vars {
		grams[j] = md.vars[j].start
	}
	a := md.build(MetAnswer, grams)
	return a, md.short == 0 && len(a.Gaps) == 0 && !md.misses(&a.Analysis)
}

// misses reports that a row misses a limit by however little.
func (md *balanceModel) misses(a *Analysis) bool {
	return slices.ContainsFunc(a.Rows, func(r Row) bool {
		return r.HasMin() && r.Low < r.Min*(1-rounding) || r.HasMax() && r.Capped.High > r.Max*(1+rounding)
	})
}

// gaps lists what an analysis does not meet by more than a residual, and the
// maximums of which nobody knows whether they are kept.
func (md *balanceModel) gaps(a *Analysis) (gaps []Gap, open []Demand) {
	for i := range a.Rows {
		r := &a.Rows[i]
		least := Demand{Subject: r.Requirement.Subject}
		most := Demand{Subject: r.Requirement.Subject, Most: true}
		if r.HasMin() && r.Low < r.Min*(1-residual) {
			g := Gap{Demand: least, Value: r.Value, Limit: r.Min, Missing: r.Min - r.Low, NotKnown: !r.Complete}
			g.Part = g.Missing / g.Limit
			gaps = append(gaps, g)
		}
		switch {
		case r.HasMax() && r.Capped.High > r.Max*(1+residual):
			g := Gap{Demand: most, Value: r.Capped, Limit: r.Max, Missing: r.Capped.High - r.Max}
			g.Part = g.Missing / g.Limit
			gaps = append(gaps, g)
		case r.HasMax() && !r.Capped.Complete:
			open = append(open, most)
		}
	}
	if !md.req.Bands {
		return gaps, open
	}
	for _, o := range a.Shares.Off() {
		d := Demand{Band: o.Band, Most: o.Verdict == High}
		if !slices.ContainsFunc(md.rows, func(r demandRow) bool { return r.demand == d }) {
			continue
		}
		g := Gap{Demand: d, Value: o.Share, Limit: o.Low, Missing: o.Low - o.Share.Mid}
		if d.Most {
			g.Limit, g.Missing = o.High, o.Share.Mid-o.High
		}
		g.Part = g.Missing / g.Limit
		gaps = append(gaps, g)
	}
	return gaps, open
}

// closable reports that more of something in reach could close one of the gaps
// that the thorough-most solution leaves.
func (md *balanceModel) closable(gaps []Gap, s *solved) bool {
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

// holds checks an answer against the demands as they were before they were
// perturbed, and against the analysis, which knows nothing of the program.
func (md *balanceModel) holds(a *BalanceAnswer, s *solved) bool {
	if abs(a.Analysis.Energy.Mid/md.energy-1) > energyResidual || float64(a.Analysis.Grams) > md.grams*(weightCap+residual) {
		return false
	}
	grams := md.gramsOf(a)
	for j := range md.vars {
		if !(grams[j] >= md.vars[j].floor*(1-residual)) || math.IsInf(grams[j], 0) {
			return false
		}
	}
	lacking := map[Demand]float64{}
	for i := range s.short {
		r := &md.rows[i]
		lacks := r.lacks
		for j := range md.vars {
			v := &md.vars[j]
			if d := (grams[j] - v.start) / v.unit; d > 0 {
				lacks -= d * r.up[j]
			} else {
				lacks += d * r.down[j]
			}
		}
		short := s.x[s.short[i]]
		if r.hard {
			short = 0
		}
		if lacks > short+residual {
			return false
		}
		if r.bound {
			continue
		}
		lacking[r.demand] = max(lacking[r.demand], lacks)
	}
	for _, g := range a.Gaps {
		// The ratio is another figure than the row that stands for it.
		if g.Band == "" && g.Subject != CalciumPhosphorus && g.Part > lacking[g.Demand]+residual {
			return false
		}
	}
	return true
}

// gramsOf returns the grams of each variable in an answer.
func (md *balanceModel) gramsOf(a *BalanceAnswer) []float64 {
	grams := make([]float64, len(md.vars))
	for j := range md.vars {
		v := &md.vars[j]
		for _, it := range a.Items {
			if slices.Contains(v.items, it.Index) || it.Index < 0 && len(v.items) == 0 && it.Food == v.item.Food {
				grams[j] += float64(it.New)
			}
		}
	}
	return grams
}

// sameItems reports that two answers are the same to a part in a thousand of
// what weighs most.
func sameItems(a, b []BalanceItem) bool {
	weights := map[*Food]float64{}
	var most float64
	for _, it := range a {
		weights[it.Food] += float64(it.New)
		most = max(most, float64(it.New))
	}
	for _, it := range b {
		weights[it.Food] -= float64(it.New)
	}
	for _, w := range weights {
		if abs(w) > residual*10*most {
			return false
		}
	}
	return true
}

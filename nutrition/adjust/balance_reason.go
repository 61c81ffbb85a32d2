package adjust

import (
	"cmp"
	"slices"

	"bowlwright/nutrition"
)

// A dual is a pull, not a cause. At an optimum the duals times what an
// ingredient brings add up to what changing it costs, but many optima have
// other, equally right duals, and the demand that pulls most is often not the
// one that makes the change happen. So the demands are ranked by their pull,
// and the model is solved again without each of the strongest.

const (
	reasonSolves   = 10  // demands that are tried
	pullsOfAChange = 3   // demands that are tried, or named, for one change
	undone         = 0.5 // of a change that a single cause is to undo
	undoneLeast    = 0.1 // of a change that one of several is to undo
)

// explain adds the reasons and the closers to an answer.
func (b *balancer) explain(a *balanced) {
	md, s := b.md, &a.from
	moved := md.moved(md.gramsOf(&a.Answer))
	pulls := make([][]pull, len(md.vars))
	for j, d := range moved {
		if d != 0 {
			pulls[j] = md.pulls(s, j, d > 0)
		}
	}
	without := map[Demand]trial{}
	for _, d := range strongest(pulls, moved) {
		if t, err := b.solve(s.push, map[Demand]bool{d: true}, s); err == nil {
			without[d] = trial{t, md.moved(md.moves(&t))}
		}
	}
	for i, it := range a.Items {
		if r, ok := md.reason(it, moved, pulls, without); ok {
			r.Item = i
			a.Changes = append(a.Changes, r)
		}
	}
	slices.SortStableFunc(a.Changes, func(x, y Reason) int {
		return cmp.Compare(abs(float64(y.Delta)), abs(float64(x.Delta)))
	})
	if list := md.req.Closers; len(a.Gaps) > 0 {
		if list == nil {
			list = nutrition.Default()
		}
		a.Closers = MendTogether(a.Analysis, a.Mixture, md.req.Profile, list, md.req.Exclude)
	}
}

// trial is the model solved again without a demand, and by how many grams each
// variable changes then.
type trial struct {
	solved
	moved []float64
}

// moved returns by how many grams each variable changes, of how many there are then.
func (md *model) moved(grams []float64) []float64 {
	for j := range grams {
		grams[j] -= md.vars[j].start
	}
	return grams
}

// pull is how much of a change's cost a demand bears.
type pull struct {
	demand Demand
	x      float64
}

// pulls returns the demands that pull a variable up or down, the strongest
// first. Where the duals are not known, they are the demands that are missed or
// only just met, by how much the change brings them.
func (md *model) pulls(s *solved, j int, up bool) []pull {
	of := map[Demand]float64{}
	for i := range s.short {
		r := &md.rows[i]
		if r.bound {
			continue
		}
		brings := r.down[j]
		if up {
			brings = r.up[j]
		}
		switch {
		case s.duals != nil:
			of[r.demand] += s.duals[i] * brings
		case s.x[s.short[i]+len(s.short)] < residual:
			of[r.demand] += brings
		}
	}
	var out []pull
	for i := range s.short {
		d := md.rows[i].demand
		if x := of[d]; x > simplexTolerance {
			out = append(out, pull{d, x})
			delete(of, d)
		}
	}
	slices.SortStableFunc(out, func(a, b pull) int { return cmp.Compare(b.x, a.x) })
	return out
}

// strongest returns the demands to try: of each change those that pull most,
// the largest part in all changes first.
func strongest(pulls [][]pull, moved []float64) []Demand {
	var all []pull
	for j := range pulls {
		for _, p := range pulls[j][:min(pullsOfAChange, len(pulls[j]))] {
			x := p.x * abs(moved[j])
			if i := slices.IndexFunc(all, func(q pull) bool { return q.demand == p.demand }); i >= 0 {
				all[i].x += x
			} else {
				all = append(all, pull{p.demand, x})
			}
		}
	}
	return demands(all, reasonSolves)
}

// demands are those of the strongest pulls, at most so many.
func demands(all []pull, most int) (out []Demand) {
	slices.SortStableFunc(all, func(a, b pull) int { return cmp.Compare(b.x, a.x) })
	for _, p := range all[:min(most, len(all))] {
		out = append(out, p.demand)
	}
	return out
}

// reason returns why an item changed: the demand without which least of the
// change is left, where that is less than half, else those that pull together.
func (md *model) reason(it Amount, moved []float64, pulls [][]pull, without map[Demand]trial) (Reason, bool) {
	r := Reason{Delta: it.New - it.Old}
	if md.excluded[it.Index] {
		r.Excluded = true
		return r, true
	}
	j := slices.IndexFunc(md.vars, func(v variable) bool { return v.is(it) })
	if j < 0 || moved[j] == 0 {
		return r, false
	}
	least := 1 - undone
	for i := range md.rows {
		d := md.rows[i].demand
		if t, tried := without[d]; tried && t.moved[j]/moved[j] < least {
			least = t.moved[j] / moved[j]
			r.Confirmed, r.Cause = true, d
			r.WithoutIt = nutrition.Grams(t.moved[j])
		}
	}
	if !r.Confirmed {
		r.Several = md.together(j, moved[j], pulls[j], without)
	}
	return r, true
}

// together returns the demands that pull a variable. When one is taken away,
// another may take its place that does not pull at the optimum itself; the one
// that replaces the strongest is added. Where nothing pulls but energy and
// weight, they are those without which at least a part of the change is undone.
func (md *model) together(j int, moved float64, pulls []pull, without map[Demand]trial) []Demand {
	out := demands(pulls, pullsOfAChange)
	if len(out) == 0 {
		return md.undoing(j, moved, without)
	}
	if t, tried := without[out[0]]; tried {
		for _, p := range md.pulls(&t.solved, j, moved > 0) {
			if p.demand != out[0] {
				if !slices.Contains(out, p.demand) {
					out = append(out[:min(len(out), pullsOfAChange-1)], p.demand)
				}
				break
			}
		}
	}
	return out
}

// undoing returns the demands without which a change is less by some part of
// it, the largest part first.
func (md *model) undoing(j int, moved float64, without map[Demand]trial) []Demand {
	var all []pull
	for i := range md.rows {
		d := md.rows[i].demand
		t, tried := without[d]
		if !tried || slices.ContainsFunc(all, func(p pull) bool { return p.demand == d }) {
			continue
		}
		if x := 1 - t.moved[j]/moved; x > undoneLeast {
			all = append(all, pull{d, x})
		}
	}
	return demands(all, pullsOfAChange)
}

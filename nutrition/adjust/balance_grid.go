package adjust

import (
	"math"

	"bowlwright/nutrition"
)

// The linear program knows nothing of a kitchen. From its answer a search sets
// out among amounts that a kitchen can weigh: each food takes one of a list
// that keeps to its rules, and the search changes one food, or two together,
// for as long as that improves the whole. It looks at the program's own rows,
// and at those that keep what there is.

const (
	changeCost  = 0.1  // of changing one more of the owner's foods, whatever the amount
	addCost     = 0.3  // of adding one
	oneMoreCost = 2    // of one more in a list of remedies
	gridEnergy  = 0.01 // of the energy: how far an answer may be from what there was
	addEnergy   = 0.15 // of the energy: how much what is added to mend may bring
	gridCost    = 0.3  // of being so far from it
	hardPrice   = 1e6  // of what must not be: above all else
	exactly     = 1e-10
	searchSteps = 400 // of which recipes take some dozens
)

// search looks for the best amounts of the grid.
type search struct {
	md      *model
	push    float64
	adding  bool // foods are added to the mixture as it is, and the energy grows
	rows    []demandRow
	amounts [][]float64 // of each variable, in their order
	start   []int       // where in amounts the start is
	at      []int
	lacks   []float64 // of each row
	kcal    float64   // that have come in, as a part of the energy
	weight  float64   // the same of the weight
}

// newSearch prepares a search whose amounts are those of a kitchen that makes
// days at a time, or 1.
func (md *model) newSearch(push, days float64) *search {
	s := &search{md: md, push: push, adding: md.req.adding}
	for i := range md.rows[:md.demands] {
		r := &md.rows[i]
		s.rows = append(s.rows, *r)
		if md.short == 0 && !r.hard {
			s.rows = append(s.rows, md.kept(r)...)
		}
	}
	for _, r := range md.rows[md.demands:] {
		if r.bound && r.of < 0 {
			s.rows = append(s.rows, r)
		}
	}
	s.rows = append(s.rows, md.limits...)
	for i := range s.rows {
		s.lacks = append(s.lacks, s.rows[i].lacks)
	}
	s.kcal = -md.short / md.energy
	s.weight = float64(md.start.Grams)/md.grams - 1
	for j := range md.vars {
		v := &md.vars[j]
		most := v.most
		if v.noMore {
			most = v.start
		}
		list := v.bounds.amounts(v.start, v.floor, most, days)
		s.amounts = append(s.amounts, list)
		s.start = append(s.start, nearest(list, v.start))
	}
	s.at = append(s.at, s.start...)
	return s
}

// nearest returns which of some amounts in their order is nearest.
func nearest(list []float64, x float64) int {
	best := 0
	for i := range list {
		if abs(list[i]-x) < abs(list[best]-x) {
			best = i
		}
	}
	return best
}

// move is a variable's step to another amount, and what that does.
type move struct {
	j, to        int
	cost         float64 // of the change itself, more than before
	brings       []float64
	kcal, weight float64
}

// move returns the step of a variable to an amount.
func (s *search) move(j, to int) move {
	v := &s.md.vars[j]
	was, is := (s.amounts[j][s.at[j]]-v.start)/v.unit, (s.amounts[j][to]-v.start)/v.unit
	m := move{j: j, to: to, brings: make([]float64, len(s.rows)), cost: s.changeCost(j, to) - s.changeCost(j, s.at[j]),
		kcal: (is - was) * v.unit * v.content[nutrition.Energy].Mid / s.md.energy, weight: (is - was) * v.unit / s.md.grams}
	for i := range s.rows {
		r := &s.rows[i]
		m.brings[i] = r.brings(j, is) - r.brings(j, was) - r.limit*m.kcal
	}
	return m
}

// brings returns what some units more of a variable, or less, bring to a row.
func (r *demandRow) brings(j int, units float64) float64 {
	if units > 0 {
		return units * r.up[j]
	}
	return -units * r.down[j]
}

// changeCost returns what it costs to have an amount of a variable.
func (s *search) changeCost(j, at int) float64 {
	v := &s.md.vars[j]
	if at == s.start[j] {
		return 0
	}
	cost := abs(s.amounts[j][at]-v.start) / v.unit
	switch {
	case s.adding:
		return cost + oneMoreCost
	case v.index < 0:
		return cost + addCost
	}
	return cost + changeCost
}

// cost returns what the rows, the energy and the weight cost after one step, or
// two together; more than most where it is more than that.
func (s *search) cost(a, b *move, most float64) float64 {
	kcal, weight, cost := s.kcal, s.weight, 0.0
	for _, m := range [...]*move{a, b} {
		if m != nil {
			kcal, weight, cost = kcal+m.kcal, weight+m.weight, cost+m.cost
		}
	}
	cost += s.energyCost(kcal)
	if over := weight - (weightCap - 1); over > exactly {
		cost += hardPrice * (1 + over)
	}
	for i := range s.rows {
		if cost > most {
			return cost
		}
		lacks := s.lacks[i]
		if a != nil {
			lacks -= a.brings[i]
		}
		if b != nil {
			lacks -= b.brings[i]
		}
		switch r := &s.rows[i]; {
		case lacks <= exactly:
		case r.hard:
			cost += hardPrice * (1 + lacks)
		default:
			cost += s.push * r.weight * lacks / (1 + kcal) // the limit is that of the present energy
		}
	}
	return cost
}

// energyCost returns what it costs that so much of the energy has come in.
func (s *search) energyCost(kcal float64) float64 {
	switch {
	case s.adding && kcal <= addEnergy:
		return 0
	case !s.adding && abs(kcal) <= gridEnergy:
		return abs(kcal) / gridEnergy * gridCost
	}
	return hardPrice * (1 + abs(kcal))
}

// take makes a step.
func (s *search) take(m *move) {
	for i := range s.lacks {
		s.lacks[i] -= m.brings[i]
	}
	s.kcal, s.weight, s.at[m.j] = s.kcal+m.kcal, s.weight+m.weight, m.to
}

// from puts the search at the amounts nearest to some grams.
func (s *search) from(grams []float64) {
	for j := range grams {
		m := s.move(j, nearest(s.amounts[j], grams[j]))
		s.take(&m)
	}
}

// run improves the amounts until no step, and no two together, help any more.
func (s *search) run() {
	for range searchSteps {
		if !s.step() {
			return
		}
	}
}

// step takes the best step, or the best two together where no single one helps,
// and reports whether there was one.
func (s *search) step() bool {
	now := s.cost(nil, nil, math.Inf(1))
	best, least := (*move)(nil), now-exactly
	var near []move
	for j := range s.amounts {
		for _, m := range s.moves(j) {
			if c := s.cost(&m, nil, least); c < least {
				best, least = &m, c
			}
			if !s.adding || s.at[j] != s.start[j] || m.to == s.at[j]+1 {
				near = append(near, m)
			}
		}
	}
	if best != nil {
		s.take(best)
		return true
	}
	var other *move
	for i := range near {
		for k := i + 1; k < len(near); k++ {
			if near[i].j == near[k].j || s.far(&near[i]) && s.far(&near[k]) {
				continue
			}
			if c := s.cost(&near[i], &near[k], least); c < least {
				best, other, least = &near[i], &near[k], c
			}
		}
	}
	if best == nil {
		return false
	}
	s.take(best)
	s.take(other)
	return true
}

// far reports that a step goes beyond the next amount.
func (s *search) far(m *move) bool {
	return abs(float64(m.to-s.at[m.j])) > 1
}

// moves returns the steps of a variable: to what it had, and up and down by one
// amount, two, four and so on.
func (s *search) moves(j int) (out []move) {
	at, last := s.at[j], len(s.amounts[j])-1
	if at != s.start[j] {
		out = append(out, s.move(j, s.start[j]))
	}
	for n := 1; n <= last; n *= 2 {
		for _, to := range [...]int{at - n, at + n} {
			if to >= 0 && to <= last && to != s.start[j] {
				out = append(out, s.move(j, to))
			}
		}
	}
	return out
}

// kept reports that nothing is as it must not be.
func (s *search) kept() bool { return s.cost(nil, nil, math.Inf(1)) < hardPrice }

// grams returns the amounts of the variables.
func (s *search) grams() []float64 {
	out := make([]float64, len(s.at))
	for j, k := range s.at {
		out[j] = s.amounts[j][k]
	}
	return out
}

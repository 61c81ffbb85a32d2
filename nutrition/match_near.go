package nutrition

import (
	"cmp"
	"slices"
)

// nearest returns the foods that share most with a query that led to none. A
// word counts for more the fewer foods have it: of "turkey kidney" kidneys are
// nearer than turkeys.
func (x *index) nearest(q *query) []*Food {
	score := make([]float64, len(x.entries))
	best := 0.0
	for _, w := range q.core {
		for _, i := range x.holding[w] {
			score[i] += 1 / float64(len(x.holding[w]))
			best = max(best, score[i])
		}
	}
	if best == 0 {
		return x.nearestShort(q)
	}
	order := make([]uint16, 0, 16)
	for i := range score {
		if score[i] == best {
			order = append(order, uint16(i))
		}
	}
	oil := slices.Contains(q.core, x.ids["oil"])
	far := func(i uint16) int { // those that fit first, then short names, oils last
		e, d := &x.entries[i], 0
		if !e.fits(&q.facets) {
			d += 100
		}
		if !oil && e.food.Kind == "oil" {
			d += 200
		}
		return d + len(e.core)
	}
	slices.SortStableFunc(order, func(a, b uint16) int { return cmp.Compare(far(a), far(b)) })
	return x.foodsOf(order[:min(len(order), maxNearest)])
}

// nearestShort returns the foods whose names have a word that one of three
// letters is near: too little to correct it by ("egs", "yam"), enough to ask.
func (x *index) nearestShort(q *query) []*Food {
	var near []uint16
	for _, typed := range q.unknown {
		if len(typed) != 3 {
			continue
		}
		for i := range x.spellings {
			s := &x.spellings[i]
			if s.refused || s.text[0] != typed[0] || errorsBetween(typed, s.text, 1) > 1 {
				continue
			}
			// A plural with a letter left out ("egs") is a slip; another letter
			// at the end makes another word ("lee", "leg").
			if typed[2] != 's' && typed[2] != s.text[len(s.text)-1] {
				continue
			}
			if w, ok := x.ids[s.text]; ok {
				near = append(near, x.holding[w]...)
			}
		}
	}
	slices.SortStableFunc(near, func(a, b uint16) int { return cmp.Compare(len(x.entries[a].core), len(x.entries[b].core)) })
	near = slices.Compact(near)
	if len(near) == 0 {
		return nil
	}
	return x.foodsOf(near[:min(len(near), maxNearest)])
}

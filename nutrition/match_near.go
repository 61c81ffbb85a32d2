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

// saysBone reports that a query speaks of bone: a cut on the bone, or bones.
// Bone meal is a powder and does not count.
func (x *index) saysBone(q *query) bool {
	return q.bone == yes || slices.Contains(q.core, x.ids["bone"]) && !slices.Contains(q.core, x.ids["meal"])
}

// mayHaveBone reports that a food may be what was called bone-in. Nobody knows
// it of a household's own food, and canned fish has its bones in it.
func mayHaveBone(f *Food) bool {
	return f.Has(BoneIn) || f.Part == Fish || f.Kind == OwnKind
}

// boned keeps only the cuts with bone of what a query that speaks of bone led
// to: it never means a boneless food, suet or bone meal. Where nothing is left
// it offers the cuts with bone that come near.
func (x *index) boned(q *query, f Finding) Finding {
	if f.Refused != nil || f.Food != nil && mayHaveBone(f.Food) {
		return f
	}
	if f.Food == nil && len(f.Choices) > 0 && !slices.ContainsFunc(f.Choices, func(c *Food) bool { return !mayHaveBone(c) }) {
		return f
	}
	if len(q.unknown) > 0 {
		return Finding{Nearest: slices.DeleteFunc(f.Nearest, func(n *Food) bool { return !mayHaveBone(n) })}
	}
	return Finding{Nearest: x.nearestBoned(q)}
}

// nearestBoned are the cuts with bone that share most words with a query; by
// the list where none shares any.
func (x *index) nearestBoned(q *query) []*Food {
	shared := func(i uint16) (n int) {
		for _, w := range q.core {
			if slices.Contains(x.entries[i].core, w) {
				n++
			}
		}
		return n
	}
	best, near := 1, []uint16(nil)
	for i := range x.entries {
		if at := uint16(i); x.entries[i].food.Has(BoneIn) && shared(at) >= best {
			if n := shared(at); n > best {
				best, near = n, near[:0]
			}
			near = append(near, at)
		}
	}
	if len(near) > 0 {
		slices.SortStableFunc(near, func(a, b uint16) int { return cmp.Compare(len(x.entries[a].core), len(x.entries[b].core)) })
		return x.foodsOf(near[:min(len(near), maxNearest)])
	}
	bone := query{core: slices.Clone(q.core)}
	if id := x.ids["bone"]; !slices.Contains(bone.core, id) {
		bone.core = append(bone.core, id)
		slices.Sort(bone.core)
	}
	for _, core := range [][]uint16{bone.core, {x.ids["bone"]}} {
		if n := x.byMeaning(&query{core: core}); n != nil {
			return x.foodsOf(n.foods[:min(len(n.foods), maxNearest)])
		}
	}
	return nil
}

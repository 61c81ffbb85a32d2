package nutrition

import (
	"cmp"
	"slices"
)

// saysBone reports that a query speaks of bone: a cut on the bone, or bones.
// Bone meal is a powder and does not count.
func (x *index) saysBone(q *query) bool {
	return q.bone == yes || x.bareBone(q)
}

// bareBone reports that bone is named as a thing of its own.
func (x *index) bareBone(q *query) bool {
	return slices.Contains(q.core, x.ids["bone"]) && !slices.Contains(q.core, x.ids["meal"])
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

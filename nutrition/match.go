package nutrition

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// Finding is what a written food name led to. Exactly one of Food, Choices,
// Nearest and Refused is set, or none where nothing comes near.
type Finding struct {
	Food    *Food    // the one meant; nil unless clear
	Choices []*Food  // 2 to 6 foods it could be, likeliest first, where it is not clear
	Nearest []*Food  // up to 3 nearest, where nothing fits
	Refused *Refusal // a food that dogs must not eat
	Ignored []string // words of the query that made no difference ("85%", "organic")
}

// Known reports that the name means a food of the table, or one that is refused.
func (f Finding) Known() bool { return f.Food != nil || f.Refused != nil || len(f.Choices) > 0 }

const (
	maxChoices = 6
	maxNearest = 3
)

// Find returns what a carer means by a food's name. Case, accents, plurals
// and the order of words do not matter; single typing errors are mended, but
// a known word is never taken for another, and a slip neither makes a refused
// food of a short word nor a harmless one of a refused food. Only the first
// 200 characters are looked at.
func (t *Table) Find(text string) Finding {
	x := t.index()
	if f := t.Food(text); f != nil && strings.Contains(text, "-") { // a key of one word is an ordinary word
		return Finding{Food: f}
	}
	var q query
	words := split(q.words[:0], text)
	alternatives := x.mend(words)
	if r := x.refusal(words); r != nil {
		return Finding{Refused: r}
	}
	q.readWords(x, words)
	found := x.find(&q, words)
	var whole []Finding // of those words that make a whole name
	if x.byName(words) != nil {
		whole = append(whole, found)
	}
	// Of several words that a mistyped one may be, it is the one that makes a
	// whole name, else the first that leads somewhere.
	for _, a := range alternatives {
		words = split(q.words[:0], text)
		x.mend(words)
		words[a.at].text = a.text
		q.readWords(x, words)
		other := x.find(&q, words)
		if x.byName(words) != nil {
			whole = append(whole, other)
		}
		if found.Food == nil && len(found.Choices) == 0 && (other.Food != nil || len(other.Choices) > 0 || other.Refused != nil) {
			found = other
		}
	}
	if len(whole) > 0 {
		return anyOf(whole)
	}
	return found
}

// find looks a query up that holds no refused food.
func (x *index) find(q *query, words []word) Finding {
	if i, ok := x.own[q.signature()]; ok && len(q.unknown) == 0 {
		return Finding{Food: x.entries[i].food, Ignored: q.ignored}
	}
	n := x.byName(words)
	switch {
	case n != nil && !n.near:
		return x.finding(n, nil)
	case x.cookedBones(q):
		return Finding{Refused: cookedBone}
	case n != nil:
		if f, ok := x.findOwn(q); ok {
			return f
		}
		return x.finding(n, nil)
	}
	f := x.lookUp(q)
	if x.saysBone(q) {
		f = x.boned(q, f)
	}
	return f
}

func (x *index) lookUp(q *query) Finding {
	if len(q.unknown) == 0 && len(q.core) > 0 {
		if n := x.byMeaning(q); n != nil {
			return x.finding(n, q.ignored)
		}
		if f, ok := x.findEvident(q); ok {
			return f
		}
		if f, ok := x.findByWords(q); ok {
			return f
		}
	}
	return Finding{Nearest: x.nearest(q)}
}

// findOwn looks up a household's own foods whose names hold all words of the
// query.
func (x *index) findOwn(q *query) (Finding, bool) {
	if len(x.own) == 0 || len(q.core) == 0 || len(q.unknown) > 0 {
		return Finding{}, false
	}
	own := slices.DeleteFunc(x.holdingAll(q.core), func(i uint16) bool { return int(i) < x.ownFrom })
	return choose(x.foodsOf(own), q.ignored)
}

// cookedBones reports that a query is of something cooked that is nothing but
// cuts with bone when raw. Meat off the bone says so.
func (x *index) cookedBones(q *query) bool {
	if q.state != stateCooked || q.bone == no || len(q.core) == 0 || len(q.unknown) > 0 {
		return false
	}
	bones := false
	for _, i := range x.holdingAll(q.core) {
		if x.entries[i].state == stateCooked {
			continue
		}
		if !x.entries[i].food.Has(BoneIn) {
			return false
		}
		bones = true
	}
	return bones
}

// findEvident looks up what the query's words mean by themselves, whatever is
// said of skin, bone or state.
func (x *index) findEvident(q *query) (Finding, bool) {
	bare := query{core: q.core, leanWord: q.leanWord}
	n := x.byMeaning(&bare)
	if n == nil && q.leanWord {
		bare.leanWord = false
		n = x.byMeaning(&bare)
	}
	if n == nil || q.lean != 0 && !n.near {
		return Finding{}, false
	}
	if n.near {
		return x.finding(n, nil), true
	}
	fit := x.fitting(n.foods, &q.facets)
	if q.state != 0 && len(fit) == 1 && len(n.foods) > 1 || len(fit) > 0 && !x.entries[fit[0]].says(&q.facets) {
		return Finding{}, false // the rest of its kind has not been looked at
	}
	return choose(x.foodsOf(fit), q.ignored)
}

// fitting returns the foods that nothing said of skin, bone or state speaks
// against; where some of them say it themselves, only those.
func (x *index) fitting(foods []uint16, q *facets) (fit []uint16) {
	for _, saying := range []bool{true, false} {
		for _, i := range foods {
			if e := &x.entries[i]; e.fits(q) && (!saying || e.says(q)) {
				fit = append(fit, i)
			}
		}
		if len(fit) > 0 {
			break
		}
	}
	return fit
}

// says reports that an entry has a word on skin and bone where the query has.
func (e *entry) says(q *facets) bool {
	return (q.skin == 0 || e.skin != 0) && (q.bone == 0 || e.bone != 0)
}

// choose makes a finding of one or several foods; false for none.
func choose(foods []*Food, ignored []string) (Finding, bool) {
	switch len(foods) {
	case 0:
		return Finding{}, false
	case 1:
		return Finding{Food: foods[0], Ignored: ignored}, true
	}
	return Finding{Choices: foods[:min(len(foods), maxChoices)], Ignored: ignored}, true
}

// findByWords looks up the foods whose names hold all words of the query.
func (x *index) findByWords(q *query) (Finding, bool) {
	all := x.holdingAll(q.core)
	if len(all) == 0 {
		return Finding{}, false
	}
	all = x.withoutOils(all, q)
	fit := x.rawFirst(x.withBoneIn(x.fitting(all, &q.facets), all, q), q)
	slices.SortStableFunc(fit, func(a, b uint16) int { // those first whose names say least beyond the query
		return cmp.Compare(len(x.entries[a].core), len(x.entries[b].core))
	})
	fit, ok := x.byLean(fit, q)
	if !ok {
		return choose(x.foodsOf(fit), q.ignored)
	}
	exact := 0
	for exact < len(fit) && len(x.entries[fit[exact]].core) == len(q.core) {
		exact++
	}
	switch {
	case exact > 0:
		return choose(x.foodsOf(x.usual(fit[:exact], q)), q.ignored)
	case len(fit) == 1 && len(x.entries[fit[0]].core) > 2*len(q.core):
		return Finding{}, false // too little said to be sure
	}
	return choose(x.foodsOf(fit), q.ignored)
}

// withBoneIn appends the cuts with bone to boneless ones of as many words where
// nothing is said of bone: it is not for the search to leave it out.
func (x *index) withBoneIn(fit, all []uint16, q *query) []uint16 {
	if q.bone != 0 || len(fit) == 0 || q.skin == 0 {
		return fit
	}
	said := len(x.entries[fit[0]].core)
	for _, i := range all {
		if e := &x.entries[i]; e.food.Has(BoneIn) && len(e.core) == said && e.fits(&q.facets) && !slices.Contains(fit, i) {
			fit = append(fit, i)
		}
	}
	return fit
}

// rawFirst drops cooked meat and fish in place where nothing is said of it and
// there is some that is not cooked.
func (x *index) rawFirst(foods []uint16, q *query) []uint16 {
	cooked := func(i uint16) bool { return x.entries[i].state == stateCooked && x.entries[i].food.CookedMeat() }
	if q.state != 0 || !slices.ContainsFunc(foods, func(i uint16) bool { return !cooked(i) }) {
		return foods
	}
	return slices.DeleteFunc(foods, cooked)
}

// withoutOils drops oils in place unless oil was said: sardines are no oil.
func (x *index) withoutOils(foods []uint16, q *query) []uint16 {
	if slices.Contains(q.core, x.ids["oil"]) {
		return foods
	}
	return slices.DeleteFunc(foods, func(i uint16) bool { return x.entries[i].food.Kind == "oil" })
}

// byLean narrows the foods to those of the query's percentage of lean. It
// returns false with the nearest where the table does not have it. A
// percentage that none of the foods tells apart is ignored.
func (x *index) byLean(foods []uint16, q *query) ([]uint16, bool) {
	if q.lean == 0 {
		return foods, true
	}
	var graded, exact []uint16
	for _, i := range foods {
		if e := &x.entries[i]; e.lean != 0 {
			graded = append(graded, i)
			if e.lean == q.lean {
				exact = append(exact, i)
			}
		}
	}
	switch {
	case len(graded) == 0:
		q.ignored = append(q.ignored, q.leanRaw)
		return foods, true
	case len(exact) > 0:
		return exact, true
	}
	slices.SortStableFunc(graded, func(a, b uint16) int {
		return cmp.Compare(math.Abs(x.entries[a].lean-q.lean), math.Abs(x.entries[b].lean-q.lean))
	})
	return graded[:min(len(graded), maxNearest)], false
}

// usual narrows foods of one name to the one meant where nothing is said: raw
// of a plant or an egg, and the row that has no percentage of lean.
func (x *index) usual(foods []uint16, q *query) []uint16 {
	if len(foods) == 1 {
		return foods
	}
	only := func(keep func(*entry) bool) ([]uint16, bool) {
		at, n := uint16(0), 0
		for _, i := range foods {
			if keep(&x.entries[i]) {
				at, n = i, n+1
			}
		}
		return []uint16{at}, n == 1
	}
	if q.state == 0 {
		one, ok := only(func(e *entry) bool {
			return e.state == stateRaw && (e.food.Part == Plant || e.food.Has(Egg))
		})
		if ok {
			return one
		}
	}
	if one, ok := only(func(e *entry) bool { return e.lean == 0 }); ok && q.lean == 0 {
		return one
	}
	return foods
}

func (x *index) foodsOf(at []uint16) []*Food {
	foods := make([]*Food, 0, maxChoices)
	for _, i := range at {
		// A household's food in the place of the table's has both their names.
		if f := x.entries[i].food; len(foods) < maxChoices && !slices.Contains(foods, f) {
			foods = append(foods, f)
		}
	}
	return foods
}

// holdingAll returns the entries whose names hold all of some words.
func (x *index) holdingAll(words []uint16) (all []uint16) {
	rarest := words[0]
	for _, w := range words[1:] {
		if len(x.holding[w]) < len(x.holding[rarest]) {
			rarest = w
		}
	}
next:
	for _, i := range x.holding[rarest] {
		for _, w := range words {
			if !slices.Contains(x.entries[i].core, w) {
				continue next
			}
		}
		all = append(all, i)
	}
	return all
}

// fits reports that nothing that was said of a food speaks against the entry.
func (e *entry) fits(q *facets) bool {
	if q.skin != 0 && e.skin != 0 && q.skin != e.skin || q.bone != 0 && e.bone != 0 && q.bone != e.bone {
		return false
	}
	switch q.state {
	case 0:
		return true
	case stateRaw, stateDried:
		return e.state == 0 || e.state == q.state
	case stateCooked:
		return e.state == stateCooked && (q.method == 0 || e.method == 0 || q.method == e.method)
	}
	return e.state == q.state
}

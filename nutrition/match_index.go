package nutrition

import (
	"errors"
	"maps"
	"slices"
	"strings"
)

var errBadRow = errors.New("cannot be read")

// index is what the search looks things up in.
type index struct {
	phrases   map[string][]*phrase // by first word, longest first
	ids       map[string]uint16    // words of food names
	entries   []entry
	holding   [][]uint16        // entries that hold a word, by its id
	names     map[string]*lead  // whole names by their words
	meant     map[string]meant  // and by what these mean, their signature
	own       map[string]uint16 // a household's own foods by signature
	ownFrom   int               // the first entry of theirs
	rules     map[string][]*rule
	spellings []spelling
	known     map[string]bool
	ownWords  map[string]bool // words of a household's own foods
}

// phrase is words with a meaning of their own.
type phrase struct {
	words []string
	kind  meaningKind
	facet facets
	names []string // words of food names that it stands for
}

type meaningKind uint8

const (
	meansNames meaningKind = iota
	meansFacet             // a state of the food
	meansSkip              // no difference, and the carer is told
	meansHush              // no difference
	meansOther             // no food of the table
)

// entry is a food as the search sees it.
type entry struct {
	food *Food
	core []uint16 // words of its name, sorted
	facets
}

// facets are the properties that tell apart foods of one name; zero is not
// said.
type facets struct {
	state  state
	method method
	skin   choice
	bone   choice
	lean   float64 // percent
}

type (
	state  uint8
	method uint8
	choice uint8
)

const (
	stateRaw state = iota + 1
	stateCooked
	stateCanned
	stateDried
)

const (
	boiled method = iota + 1
	baked
	fried
)

const (
	yes choice = iota + 1
	no
)

var facetWords = map[string]facets{
	"@raw": {state: stateRaw}, "@cooked": {state: stateCooked}, "@canned": {state: stateCanned}, "@dried": {state: stateDried},
	"@boiled": {state: stateCooked, method: boiled}, "@baked": {state: stateCooked, method: baked},
	"@fried": {state: stateCooked, method: fried},
	"@skin":  {skin: yes}, "@noskin": {skin: no}, "@bonein": {bone: yes}, "@boneless": {bone: no},
}

// add sets what g says. A general "cooked" does not take back how, and dried
// or canned outlast cooked: cooked and dried is dried.
func (f *facets) add(g facets) {
	if g.state != 0 && !(f.state > stateCooked && g.state <= stateCooked) {
		f.state = g.state
	}
	f.method = max(f.method, g.method)
	f.skin, f.bone = max(f.skin, g.skin), max(f.bone, g.bone)
	f.lean = max(f.lean, g.lean)
}

// alone returns what a word means when it stands alone, nil if nothing special.
func (x *index) alone(text string) *phrase {
	if ps := x.phrases[text]; len(ps) > 0 && len(ps[len(ps)-1].words) == 1 {
		return ps[len(ps)-1]
	}
	return nil
}

// newIndex makes the index of the table's foods.
func newIndex(foods []*Food) *index {
	x := &index{
		phrases: make(map[string][]*phrase, 512), ids: make(map[string]uint16, 512),
		names: make(map[string]*lead, 8192), meant: make(map[string]meant, 8192),
		known: make(map[string]bool, 4096), rules: readRules(),
		ownWords: make(map[string]bool),
	}
	x.learnRules()
	at := make(map[string]uint16, len(foods))
	var q query // for all names
	x.readWords()
	for _, ps := range x.phrases {
		for _, p := range ps {
			for _, name := range p.names {
				x.id(name)
			}
		}
	}
	for i, f := range foods {
		x.addFood(&q, f, false)
		at[f.Key] = uint16(i)
	}
	x.readNames(&q, at)
	for i, f := range foods {
		x.addName(&q, f.Name, &lead{foods: []uint16{uint16(i)}})
	}
	slices.SortFunc(x.spellings, func(a, b spelling) int { return strings.Compare(a.text, b.text) })
	return x
}

// with returns the index with a household's own foods, which are found by
// their full name before the table's. What the table means by words is shared;
// x stays as it is.
func (x *index) with(own []*Food) *index {
	y := *x
	y.ids, y.known = maps.Clone(x.ids), maps.Clone(x.known)
	y.ownFrom = len(x.entries)
	y.own, y.ownWords = make(map[string]uint16, len(own)), make(map[string]bool)
	y.entries, y.spellings = slices.Clone(x.entries), slices.Clip(x.spellings)
	y.holding = slices.Clone(x.holding)
	for i := range y.holding {
		y.holding[i] = slices.Clip(y.holding[i])
	}
	var q query
	for _, f := range own {
		for i := range x.entries {
			if y.entries[i].food.Key == f.Key {
				y.entries[i].food = f // theirs takes its place
			}
		}
		y.addFood(&q, f, true)
	}
	return &y
}

// readWords reads the meanings of words.
func (x *index) readWords() {
	records("words.csv", func(cell func(string) string) error {
		words, means := cell("words"), cell("means")
		if means == "" || words == "" {
			return errBadRow
		}
		p := &phrase{words: singularWords(words)}
		for _, w := range p.words {
			x.learn(w, false)
		}
		switch {
		case means == "@skip":
			p.kind = meansSkip
		case means == "@hush":
			p.kind = meansHush
		case means == "@other":
			p.kind = meansOther
		case means[0] == '@':
			p.kind = meansFacet
			for _, w := range strings.Fields(means) {
				f, ok := facetWords[w]
				if !ok {
					return errBadRow
				}
				p.facet.add(f)
			}
		default:
			p.names = singularWords(means)
		}
		x.phrases[p.words[0]] = append(x.phrases[p.words[0]], p)
		return nil
	})
	for _, ps := range x.phrases {
		slices.SortStableFunc(ps, func(a, b *phrase) int { return len(b.words) - len(a.words) })
	}
}

// learnRules notes the words of the refused foods: those that are refused by
// themselves first, whatever else they stand in.
func (x *index) learnRules() {
	for _, rules := range x.rules {
		for _, r := range rules {
			if r.oneWord() {
				x.learn(r.words[0], true)
			}
		}
	}
	for _, rules := range x.rules {
		for _, r := range rules {
			for _, w := range slices.Concat(r.words, r.unless) {
				x.learn(w, false)
			}
		}
	}
}

// learn notes a known word, which a mistyped one may mean.
func (x *index) learn(text string, refused bool) {
	if x.known[text] {
		return
	}
	x.known[text] = true
	x.spellings = append(x.spellings, spelling{text, lettersOf(text), refused})
}

// id returns the number of a word of food names, a new one if need be.
func (x *index) id(text string) uint16 {
	id, ok := x.ids[text]
	if !ok {
		id = uint16(len(x.ids))
		x.ids[text] = id
		x.holding = append(x.holding, nil)
	}
	return id
}

func (x *index) addFood(q *query, f *Food, own bool) {
	for _, w := range split(q.words[:0], f.Name) {
		p := x.alone(w.text)
		if w.text == "" || p != nil && !(own && p.kind == meansOther) {
			continue
		}
		x.learn(w.text, false)
		x.id(w.text)
		if own {
			x.ownWords[w.text] = true
		}
	}
	q.readWords(x, split(q.words[:0], f.Name))
	at := uint16(len(x.entries))
	if own {
		x.own[q.signature()] = at
	}
	e := entry{food: f, core: slices.Clone(q.core), facets: q.facets}
	e.complete()
	x.entries = append(x.entries, e)
	for _, id := range e.core {
		x.holding[id] = append(x.holding[id], at)
	}
}

// complete adds what the food's tags and kind say and its name does not.
func (e *entry) complete() {
	f := e.food
	switch {
	case e.state != 0:
	case f.Has(Canned):
		e.state = stateCanned
	case f.Has(Cooked):
		e.state = stateCooked
	case f.Has(Raw):
		e.state = stateRaw
	}
	if e.bone == 0 {
		switch f.Kind {
		case "meaty-bone":
			e.bone = yes
		case "muscle", "muscular-organ", "liver", "secreting-organ":
			e.bone = no
		}
	}
}

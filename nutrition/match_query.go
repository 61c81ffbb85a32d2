package nutrition

import (
	"math"
	"slices"
	"strconv"
)

// query is a written name taken apart.
type query struct {
	words    [maxWords]word
	space    [maxWords]uint16
	core     []uint16 // words of food names, sorted, each once
	ignored  []string // words that made no difference, as typed
	unknown  []string // words that no food's name has
	hushed   bool     // there were words that nobody wants to hear of
	leanWord bool     // "lean" without a number
	leanRaw  string   // the percentage, as typed
	facets
}

// readWords takes a name apart; nothing is corrected.
func (q *query) readWords(x *index, words []word) {
	q.core, q.ignored, q.unknown, q.hushed = q.space[:0], nil, nil, false
	q.leanWord, q.leanRaw, q.facets = false, "", facets{}
	graded := slices.ContainsFunc(words, isGraded)
	for i := 0; i < len(words); {
		w := &words[i]
		if w.text == "" {
			if w.number >= 50 && w.number < 100 && graded {
				w.percent = true
			}
			if i > 0 && words[i-1].text == "omega" {
				i++ // the 3 of omega 3
				continue
			}
			i += q.readNumber(words[i:])
			continue
		}
		if p := x.longest(words[i:]); p != nil {
			q.readPhrase(x, p, words[i:i+len(p.words)])
			i += len(p.words)
			continue
		}
		i++
		if w.text == "lean" {
			q.leanWord = true
		} else if id, ok := x.ids[w.text]; ok {
			q.addCore(id)
		} else {
			q.unknown = append(q.unknown, w.raw)
		}
	}
}

// isGraded reports a word of foods that are sold by percentage of lean, with
// which a bare number is one: "ground beef 85".
func isGraded(w word) bool {
	switch w.text {
	case "ground", "mince", "minced", "hamburger", "lean":
		return true
	}
	return false
}

// readNumber reads a percentage of lean or fat, and returns how many words it
// took. Any other number makes no difference.
func (q *query) readNumber(words []word) int {
	n := words[0]
	took, fat := 1, n.number < 50
	if len(words) > 1 && n.percent {
		switch words[1].text {
		case "lean":
			took, fat = 2, false
		case "fat":
			took, fat = 2, true
		}
	}
	if !n.percent || n.number > 100 {
		q.ignored = append(q.ignored, n.raw)
		return 1
	}
	q.lean = n.number
	if fat && !n.lean {
		q.lean = 100 - n.number
	}
	q.lean = math.Round(q.lean*10) / 10
	q.leanRaw = strconv.FormatFloat(n.number, 'f', -1, 64) + "%"
	return took
}

// longest returns the longest phrase that words begin with, nil if none.
func (x *index) longest(words []word) *phrase {
next:
	for _, p := range x.phrases[words[0].text] {
		if len(p.words) > len(words) {
			continue
		}
		for i, w := range p.words {
			if words[i].text != w {
				continue next
			}
		}
		return p
	}
	return nil
}

func (q *query) readPhrase(x *index, p *phrase, words []word) {
	switch p.kind {
	case meansNames:
		for _, name := range p.names {
			q.addCore(x.ids[name])
		}
	case meansFacet:
		q.facets.add(p.facet)
	case meansHush:
		q.hushed = true
	case meansSkip:
		for _, w := range words {
			q.ignored = append(q.ignored, w.raw)
		}
	case meansOther:
		for _, w := range words {
			if id, ok := x.ids[w.text]; ok && x.ownWords[w.text] {
				q.addCore(id)
			} else {
				q.unknown = append(q.unknown, w.raw)
			}
		}
	}
}

func (q *query) addCore(id uint16) {
	if i, found := slices.BinarySearch(q.core, id); !found && len(q.core) < cap(q.core) {
		q.core = slices.Insert(q.core, i, id)
	}
}

// signature is a key of all that the query says.
func (q *query) signature() string {
	var dst []byte
	for _, id := range q.core {
		dst = append(dst, byte(id), byte(id>>8))
	}
	if q.leanWord {
		dst = append(dst, 'L')
	}
	tenths := uint16(q.lean * 10)
	return string(append(dst, '|', byte(q.state), byte(q.method), byte(q.skin), byte(q.bone), byte(tenths), byte(tenths>>8)))
}

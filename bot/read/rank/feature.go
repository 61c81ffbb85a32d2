package rank

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// Feature is something seen in a text, by its hash, and how much it counts.
type Feature struct {
	Hash  uint32
	Value float32
}

// text is a message taken apart.
type text struct {
	in     *Input
	tokens []seenToken
}

// seenToken is a token as the ranker sees it.
type seenToken struct {
	as    string   // the word, mended; or what it is: "<dog>", "<kg>"
	typed string   // the word as typed, empty where it is a name or an amount
	kinds []string // of the lexicon
	end   int      // where it ends, in bytes
	from  int
}

// The sorts of features.
const (
	aWord byte = iota
	aPair
	aPart
	aKind
	kindWord
	kindPair
	wordKind
	aroundOne
	aThree
	aFirst
	aFirstTwo
	aLast
	anOpen
	openWord
	openKind
	openLength
	anyOpenWord
	aLength
	aShape
	splitLeft
	splitRight
	splitAt
	nameItself
	nameBeside
	nameNear
)

// hashOf is the hash of a feature: a sort, and what it is made of (FNV-1a).
func hashOf(sort byte, parts ...string) uint32 {
	h := uint32(2166136261)
	h = (h ^ uint32(sort)) * 16777619
	for _, p := range parts {
		for i := 0; i < len(p); i++ {
			h = (h ^ uint32(p[i])) * 16777619
		}
		h = (h ^ 0xff) * 16777619
	}
	return h
}

type seen struct {
	out  []Feature
	mark int // where the present group of features begins
}

func (s *seen) add(sort byte, parts ...string) {
	s.out = append(s.out, Feature{hashOf(sort, parts...), 1})
}

// group weighs the features since the last group, so that a long text counts
// no more than a short one.
func (s *seen) group() {
	if n := len(s.out) - s.mark; n > 0 {
		v := float32(2 / math.Sqrt(float64(n)))
		for i := s.mark; i < len(s.out); i++ {
			s.out[i].Value = v
		}
	}
	s.mark = len(s.out)
}

// features are what the ranking of a part of a text rests on: words, pairs and
// threes of them, names and amounts by their kind, parts of words for what is
// typed wrong, kinds of the lexicon and pairs of them, and the open question.
func (t *text) features(from, to int, open string) []Feature {
	part := t.tokens[from:to]
	s := seen{out: make([]Feature, 0, 24*len(part)+16)}
	words(&s, part)
	parts(&s, part)
	kinds(&s, aKind, part)
	t.context(&s, part, open)
	kindPairs(&s, part)
	threes(&s, part)
	return s.out
}

func words(s *seen, part []seenToken) {
	before := "^"
	for i := range part {
		s.add(aWord, part[i].as)
		s.add(aPair, before, part[i].as)
		before = part[i].as
	}
	s.add(aPair, before, "$")
	s.group()
}

// parts are the parts of words, three to five letters, with the word's ends.
func parts(s *seen, part []seenToken) {
	for i := range part {
		if part[i].typed == "" {
			continue
		}
		w := "_" + part[i].typed + "_"
		for n := 3; n <= 5; n++ {
			for at := 0; at+n <= len(w); at++ {
				s.add(aPart, w[at:at+n])
			}
		}
	}
	s.group()
}

func kinds(s *seen, sort byte, part []seenToken) {
	var has []string
	for i := range part {
		for _, kind := range part[i].kinds {
			if !slices.Contains(has, kind) {
				has = append(has, kind)
				s.add(sort, kind)
			}
		}
	}
	s.group()
}

// kindPairs are pairs of which one or both words stand for their kind: what was
// written of one food is so known of another.
func kindPairs(s *seen, part []seenToken) {
	for i := 1; i < len(part); i++ {
		before, at := part[i-1].roles(), part[i].roles()
		for _, a := range before {
			s.add(kindWord, a, part[i].as)
			for _, b := range at {
				s.add(kindPair, a, b)
			}
		}
		for _, b := range at {
			s.add(wordKind, part[i-1].as, b)
		}
	}
	s.group()
}

// roles are the kinds of a token; a name, an amount or a mark is its own.
func (s *seenToken) roles() []string {
	if s.typed == "" {
		return []string{s.as}
	}
	return s.kinds
}

// threes are three words in a row, and the outer two of them.
func threes(s *seen, part []seenToken) {
	for i := 2; i < len(part); i++ {
		s.add(aroundOne, part[i-2].as, part[i].as)
		s.add(aThree, part[i-2].as, part[i-1].as, part[i].as)
	}
	s.group()
}

// context is the moment: the open question, and the text's shape.
func (t *text) context(s *seen, part []seenToken, open string) {
	if len(part) > 0 {
		s.add(aFirst, part[0].as)
		s.add(aLast, part[len(part)-1].as)
	}
	if len(part) > 1 {
		s.add(aFirstTwo, part[0].as, part[1].as)
	}
	length := lengthClass(len(part))
	s.add(aLength, length)
	if open != "" {
		s.add(anOpen, open)
		s.add(openLength, open, length)
		for i := range part {
			s.add(openWord, open, part[i].as)
			s.add(anyOpenWord, part[i].as)
			for _, k := range part[i].kinds {
				s.add(openKind, open, k)
			}
		}
	}
	lines := 0
	for i := range part {
		switch part[i].as {
		case "\n":
			lines++
		case "?":
			s.add(aShape, "?")
		}
	}
	s.add(aShape, "lines", strconv.Itoa(min(lines, 3)))
	if len(t.in.Dogs) == 0 || t.in.Dogs[0] == "-" {
		s.add(aShape, "no dog")
	}
	s.group()
}

func lengthClass(n int) string {
	return classOf(float64(n), []float64{1, 2, 3, 4, 6, 9, 15}, []string{"0", "1", "2", "3", "4", "6", "9", "15"})
}

// classOf is the class of a number, by where each but the first begins.
func classOf(x float64, begins []float64, classes []string) string {
	n := 0
	for n < len(begins) && x >= begins[n] {
		n++
	}
	return classes[n]
}

// numberShape is a bare number by its size.
func numberShape(text string) string {
	v, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	switch {
	case err != nil:
		return "<num>"
	case strings.ContainsAny(text, ".,") && v < 100:
		return "<dec>"
	}
	return classOf(math.Ceil(v), []float64{5, 13, 101, 2001}, []string{"<few>", "<dozen>", "<tens>", "<hundreds>", "<num>"})
}

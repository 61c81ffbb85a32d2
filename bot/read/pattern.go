package read

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"bowlwright/bot/read/language"
)

// patterns are the wordings of sentences.txt, compiled on first use. A fault
// in the file panics with its line.
var patterns = sync.OnceValue(func() *lang { return language.Must(compile(language.Text("sentences.txt"))) })

// lang is a compiled set of patterns.
type lang struct {
	vocabulary map[string]int16
	words      []string  // of the vocabulary, by id
	urgent     []pattern // those that are tried first
	patterns   []pattern // all, else in the order of the file
	fits       [][]int   // by word, the patterns that it may be the first need of
	polite     [][]int16 // wordings that are dropped at the beginning of a sentence
	closing    [][]int16 // wordings that are dropped at its end
	fillers    wordSet   // words that are dropped anywhere
}

// pattern is one wording.
type pattern struct {
	intent Intent
	urgent bool
	begin  step
	tries  int // how many steps of it are tried but once at a place
	slots  []slot
	needs  []*wordSet // a text without a word of each of these cannot fit
}

// step matches the words from a place on with what is left of a pattern.
type step func(m *matcher, at int) bool

// notKnown is the id of a word that no pattern has.
const notKnown int16 = -1

// wordSet is a set of words of the language, by id: of so many at most.
type wordSet [32]uint64

func (s *wordSet) add(id int16)      { s[id>>6] |= 1 << (id & 63) }
func (s *wordSet) has(id int16) bool { return id >= 0 && s[id>>6]&(1<<(id&63)) != 0 }

func (s *wordSet) join(t *wordSet) {
	for i := range s {
		s[i] |= t[i]
	}
}

func (s *wordSet) hasOne(ids []int16) bool {
	return slices.ContainsFunc(ids, func(id int16) bool { return s.has(id) })
}

// node of a pattern's syntax: a word set, a slot, a sequence, a choice.
type node struct {
	kind  byte     // 'w', 's', ',', '|'
	words *wordSet // of 'w'
	slot  slot
	parts []*node
}

// compiler turns the text of a pattern into steps.
type compiler struct {
	lang   *lang
	macros map[string]*node
	single map[int16]*node // of a word, by its id
	text   string
	at     int
}

// malformed is why a line is not in the notation. What reads a part of one panics with
// it, and compile says which line it is.
type malformed string

func fail(format string, about ...any) { panic(malformed(fmt.Sprintf(format, about...))) }

// compile reads the notation that is described at the top of sentences.txt.
func compile(text string) (l *lang, err error) {
	l = &lang{vocabulary: map[string]int16{}}
	c := &compiler{lang: l, macros: map[string]*node{}, single: map[int16]*node{}}
	var head *pattern
	number := 0
	defer func() {
		wrong := recover()
		if is, ok := wrong.(malformed); ok {
			err = fmt.Errorf("sentences.txt:%d: %s", number, is)
		} else if wrong != nil {
			panic(wrong)
		}
	}()
	for line := range strings.Lines(text) {
		number++
		line, _, _ = strings.Cut(line, "#")
		line = strings.TrimSpace(line)
		switch {
		case line == "":
		case strings.HasPrefix(line, "define "):
			c.define(line[len("define "):])
		case strings.HasPrefix(line, "polite "):
			l.polite = append(l.polite, c.ids(line[len("polite "):]))
		case strings.HasPrefix(line, "closing "):
			l.closing = append(l.closing, c.ids(line[len("closing "):]))
		case strings.HasPrefix(line, "drop "):
			for _, id := range c.ids(line[len("drop "):]) {
				l.fillers.add(id)
			}
		case strings.HasPrefix(line, "intent "):
			head = begin(line[len("intent "):])
		case head == nil:
			fail("a pattern before the first intent")
		default:
			c.pattern(head, line)
		}
	}
	l.finish()
	return l, nil
}

// begin reads the head of a block: "name: example" or "name urgent: example".
// An intent that is given again goes on.
func begin(head string) *pattern {
	name, _, ok := strings.Cut(head, ": ")
	if !ok {
		fail("%q has no example", head)
	}
	name, urgent := strings.CutSuffix(name, " urgent")
	return &pattern{intent: Intent(name), urgent: urgent}
}

// finish orders the patterns and the words.
func (l *lang) finish() {
	if len(l.words) > len(wordSet{})*64 {
		fail("%d words, more than a set holds", len(l.words))
	}
	l.patterns = append(l.urgent, l.patterns...)
	l.fits = make([][]int, len(l.words))
	for i := range l.patterns {
		for id := range l.words {
			if needs := l.patterns[i].needs; len(needs) > 0 && needs[0].has(int16(id)) {
				l.fits[id] = append(l.fits[id], i)
			}
		}
	}
	longer := func(a, b []int16) int { return len(b) - len(a) }
	slices.SortStableFunc(l.polite, longer)
	slices.SortStableFunc(l.closing, longer)
}

// id returns a word's id, and gives it one where it is new.
func (c *compiler) id(w string) int16 {
	id, ok := c.lang.vocabulary[w]
	if !ok {
		id = int16(len(c.lang.words))
		c.lang.vocabulary[w], c.lang.words = id, append(c.lang.words, w)
	}
	return id
}

func (c *compiler) ids(words string) []int16 {
	var ids []int16
	for w := range strings.FieldsSeq(words) {
		ids = append(ids, c.id(w))
	}
	return ids
}

func (c *compiler) define(s string) {
	name, body, ok := strings.Cut(s, "=")
	if !ok {
		fail("%q defines nothing", s)
	}
	c.macros[strings.TrimSpace(name)] = c.parse(body)
}

// pattern compiles one wording of the block that head begins.
func (c *compiler) pattern(head *pattern, line string) {
	n := c.parse(line)
	p := pattern{intent: head.intent, urgent: head.urgent}
	p.begin = p.from(n, func(m *matcher, at int) bool { return at == len(m.Tokens) })
	p.needs = needs(n)
	if len(p.needs) == 0 && !slices.ContainsFunc(p.slots, func(s slot) bool { return !unsure[string(s)] }) {
		fail("the pattern fits anything: %s", line)
	}
	if p.urgent {
		c.lang.urgent = append(c.lang.urgent, p)
	} else {
		c.lang.patterns = append(c.lang.patterns, p)
	}
}

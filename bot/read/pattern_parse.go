package read

import (
	"math/bits"
	"slices"
	"strings"

	"bowlwright/bot/read/span"
)

// parse reads a pattern: choices of sequences of words, (groups),
// [optional parts], {slots} and <definitions>.
func (c *compiler) parse(text string) *node {
	c.text, c.at = text, 0
	n := c.choice()
	if c.at < len(c.text) {
		fail("unexpected %q in %q", c.text[c.at:], text)
	}
	return n
}

// choice reads sequences with "|" between them. A choice of single words is
// one word set.
func (c *compiler) choice() *node {
	n := &node{kind: '|', parts: []*node{c.sequence()}}
	for c.at < len(c.text) && c.text[c.at] == '|' {
		c.at++
		n.parts = append(n.parts, c.sequence())
	}
	return simplify(n)
}

func simplify(n *node) *node {
	if len(n.parts) == 1 {
		return n.parts[0]
	}
	if slices.ContainsFunc(n.parts, func(p *node) bool { return p.kind != 'w' }) {
		return n
	}
	words := new(wordSet)
	for _, p := range n.parts {
		words.join(p.words)
	}
	return &node{kind: 'w', words: words}
}

func (c *compiler) sequence() *node {
	n := &node{kind: ','}
	for {
		for c.at < len(c.text) && c.text[c.at] == ' ' {
			c.at++
		}
		if c.at == len(c.text) || strings.IndexByte("|)]", c.text[c.at]) >= 0 {
			break
		}
		n.parts = append(n.parts, c.part())
	}
	if len(n.parts) == 1 {
		return n.parts[0]
	}
	return n
}

// part reads one word, group, optional part, slot or definition.
func (c *compiler) part() *node {
	switch c.text[c.at] {
	case '(', '[':
		return c.group()
	case '{':
		name := slot(c.until('}'))
		if !name.known() {
			fail("no slot {%s}", name)
		}
		return &node{kind: 's', slot: name}
	case '<':
		name := c.until('>')
		if c.macros[name] == nil {
			fail("<%s> is not defined", name)
		}
		return c.macros[name]
	}
	start := c.at
	for c.at < len(c.text) && strings.IndexByte(" |()[]{}<>", c.text[c.at]) < 0 {
		c.at++
	}
	if start == c.at {
		fail("unexpected %q", c.text[c.at:])
	}
	id := c.id(c.text[start:c.at])
	if c.single[id] == nil {
		c.single[id] = &node{kind: 'w', words: new(wordSet)}
		c.single[id].words.add(id)
	}
	return c.single[id]
}

// group reads "(...)", or "[...]" which may be absent.
func (c *compiler) group() *node {
	optional := c.text[c.at] == '['
	end := span.Choose[byte](optional, ']', ')')
	c.at++
	n := c.choice()
	if c.at == len(c.text) || c.text[c.at] != end {
		fail("no %q in %q", end, c.text)
	}
	c.at++
	if optional {
		n = &node{kind: '|', parts: []*node{n, {kind: ','}}}
	}
	return n
}

// until reads the name between the mark here and its counterpart.
func (c *compiler) until(end byte) string {
	i := strings.IndexByte(c.text[c.at:], end)
	if i < 0 {
		fail("no %q in %q", end, c.text)
	}
	name := c.text[c.at+1 : c.at+i]
	c.at += i + 1
	return name
}

// from is the step that matches a node, and then the next.
func (p *pattern) from(n *node, next step) step {
	switch n.kind {
	case 'w':
		return func(m *matcher, at int) bool { return at < len(m.Tokens) && m.is(at, n.words) && next(m, at+1) }
	case 's':
		p.slots = append(p.slots, n.slot)
		return p.once(func(m *matcher, at int) bool { return m.fill(n.slot, at, next) })
	case ',':
		for _, part := range slices.Backward(n.parts) {
			next = p.from(part, next)
		}
		return next
	}
	var ways []step
	for _, part := range n.parts {
		ways = append(ways, p.from(part, next))
	}
	return p.once(func(m *matcher, at int) bool {
		return slices.ContainsFunc(ways, func(way step) bool { return way(m, at) })
	})
}

// once is a step that is not tried again at a place where it failed, so that the time is
// bounded by the product of the words and the steps.
func (p *pattern) once(try step) step {
	number := p.tries
	p.tries++
	return func(m *matcher, at int) bool {
		tried := &m.tried[number*(len(m.Tokens)+1)+at]
		if *tried {
			return false
		}
		*tried = true
		return try(m, at)
	}
}

// mostNeeds is how many word sets a pattern is filtered by.
const mostNeeds = 4

// needs returns word sets of each of which a fitting text has a word.
func needs(n *node) []*wordSet {
	switch n.kind {
	case 'w':
		return []*wordSet{n.words}
	case ',':
		var all []*wordSet
		for _, part := range n.parts {
			all = append(all, needs(part)...)
		}
		// The smallest sets are the most telling.
		slices.SortStableFunc(all, func(a, b *wordSet) int { return size(a) - size(b) })
		return all[:min(len(all), mostNeeds)]
	case '|':
		var any wordSet
		for _, part := range n.parts {
			of := needs(part)
			if len(of) == 0 {
				return nil
			}
			any.join(of[0])
		}
		return []*wordSet{&any}
	}
	return nil
}

func size(s *wordSet) (n int) {
	for _, some := range s {
		n += bits.OnesCount64(some)
	}
	return n
}

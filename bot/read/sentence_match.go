package read

import "bowlwright/planner"

// mostWords is how many words a sentence may have; the news that a dog has
// eaten something is looked for in longer texts, too.
const mostWords = 48

// fewestLetters is how long a word must be to be read with a typing error.
const fewestLetters = 5

// fewestSwapped is how long a word must be to be read with two neighbouring
// letters swapped: "muhc".
const fewestSwapped = 4

// mostSlots is how many slots one pattern may fill.
const mostSlots = 8

// matcher matches one text against the patterns.
type matcher struct {
	lang    *lang
	text    string
	units   planner.Units
	words   []word
	dogs    []name
	recipes []name
	foods   []name
	loose   bool // typing errors are allowed

	values *lexed // the words, for the readers of values

	present wordSet // every word that the text has or may have

	code   []instruction
	failed []uint64 // by instruction and place: a match from here was tried
	filled [mostSlots]capture
	count  int
}

// capture is the words that a slot took.
type capture struct {
	slot       slot
	start, end int
}

// newMatcher is a text that is taken apart into its words, those of the
// language known.
func newMatcher(text string, n Names) matcher {
	m := matcher{lang: language(), text: text, words: splitWords(text), dogs: splitNames(n.Dogs), recipes: splitNames(n.Recipes), foods: splitNames(n.Foods)}
	for i := range m.words {
		w := &m.words[i]
		w.id = notKnown
		if id, ok := m.lang.vocabulary[w.text]; ok && !w.number {
			w.id = id
			m.present.add(id)
		}
	}
	return m
}

// loosen allows typing errors from here on: it looks for the words of the
// language that are one error away from those that are not of it, and reports
// whether there are any, or a name that is.
func (m *matcher) loosen() (found bool) {
	m.loose = true
	for i := range m.words {
		w := &m.words[i]
		if !w.unknown() {
			continue
		}
		found = found || nearName(m.dogs, w) || nearName(m.recipes, w) || nearName(m.foods, w)
		for known, id := range m.lang.vocabulary {
			if w.mayBe(known) {
				w.near = append(w.near, id)
				m.present.add(id)
				found = true
			}
		}
	}
	return found
}

// sameLetters reports that two words of one length differ in their order
// alone.
func sameLetters(a, b string) bool {
	sum := 0
	for i := range len(a) {
		sum += int(a[i])*int(a[i]) - int(b[i])*int(b[i])
	}
	return sum == 0
}

// oneError reports that two words differ by one letter that is wrong,
// missing, added, or swapped with its neighbour; and not that they are equal.
func oneError(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	if len(b)-len(a) > 1 || a == b {
		return false
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	if len(a) < len(b) {
		return a[i:] == b[i+1:]
	}
	return a[i+1:] == b[i+1:] ||
		i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
}

// is reports that the word at a place is one of a set.
func (m *matcher) is(at int, any *wordSet) bool {
	w := &m.words[at]
	if any.has(w.id) {
		return true
	}
	if m.loose {
		for _, id := range w.near {
			if any.has(id) {
				return true
			}
		}
	}
	return false
}

// strip drops the words of politeness, but not a dog's name.
func (m *matcher) strip() {
	meant := m.words[:0]
	for i := range m.words {
		if !m.lang.fillers.has(m.words[i].id) || m.isDog(i) {
			meant = append(meant, m.words[i])
		}
	}
	m.words = meant
	start := 0
begin:
	for start < len(m.words) && !m.isDog(start) {
		for _, p := range m.lang.polite {
			if m.follows(start, p) {
				start += len(p)
				continue begin
			}
		}
		break
	}
	m.words = m.words[start:]
	for _, p := range m.lang.closing {
		if at := len(m.words) - len(p); at > 0 && m.follows(at, p) && !m.isDog(at) {
			m.words = m.words[:at]
			break
		}
	}
}

func (m *matcher) follows(at int, ids []int16) bool {
	if at+len(ids) > len(m.words) {
		return false
	}
	for i, id := range ids {
		if m.words[at+i].id != id {
			return false
		}
	}
	return true
}

// match tries one pattern.
func (m *matcher) match(p *pattern) (Sentence, bool) {
	if !m.meets(p) {
		return Sentence{}, false
	}
	m.code, m.count = p.code, 0
	size := (len(p.code)*(len(m.words)+1) + 63) / 64
	if cap(m.failed) < size {
		m.failed = make([]uint64, size)
	}
	m.failed = m.failed[:size]
	clear(m.failed)
	if !m.run(0, 0) {
		return Sentence{}, false
	}
	return m.sentence(p.intent), true
}

// run matches the words from a place against the machine from an
// instruction. A pair that failed is not tried again, so that the time is
// bounded by the product of both.
func (m *matcher) run(pc, at int) bool {
	for {
		in := &m.code[pc]
		switch in.op {
		case opEnd:
			return at == len(m.words)
		case opWord:
			if at == len(m.words) || !m.is(at, &in.any) {
				return false
			}
			pc, at = pc+1, at+1
		case opJump:
			pc = in.x
		case opSplit, opSlot:
			bit := pc*(len(m.words)+1) + at
			if m.failed[bit>>6]&(1<<(bit&63)) != 0 {
				return false
			}
			m.failed[bit>>6] |= 1 << (bit & 63)
			if in.op == opSlot {
				return m.fill(in.slot, pc, at)
			}
			if m.run(in.x, at) {
				return true
			}
			pc = in.y
		}
	}
}

// fill tries every stretch of words that a slot can take from a place.
func (m *matcher) fill(s slot, pc, at int) bool {
	if m.count == mostSlots {
		return false
	}
	for _, end := range m.ends(s, at, nil) {
		m.filled[m.count] = capture{s, at, end}
		m.count++
		if m.run(pc+1, end) {
			return true
		}
		m.count--
	}
	return false
}

// meets reports that the text has what a pattern needs.
func (m *matcher) meets(p *pattern) bool {
	for i := range p.needs {
		if !p.needs[i].meets(&m.present) {
			return false
		}
	}
	return true
}

// unknown reports that a word is none of the language, nor a number, and short
// enough to be one with a typing error.
func (w *word) unknown() bool { return w.id == notKnown && !w.number && len(w.text) <= 20 }

// mayBe reports that an unknown word is one of the language, of fewestSwapped
// letters or more, but for one typing error.
func (w *word) mayBe(known string) bool {
	if len(known) < fewestSwapped || len(known) < fewestLetters && !(len(w.text) == len(known) && sameLetters(w.text, known)) {
		return false
	}
	return oneError(w.text, known)
}

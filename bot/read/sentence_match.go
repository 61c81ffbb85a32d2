package read

import (
	"slices"

	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// mostWords is how many words a sentence may have; the news that a dog has
// eaten something is looked for in longer texts, too.
const mostWords = 48

// fewestSwapped is how long a word must be to be read with two neighbouring
// letters swapped: "muhc".
const fewestSwapped = 4

// matcher matches one text against the patterns.
type matcher struct {
	*span.Lexed
	lang    *lang
	units   planner.Units
	dogs    []span.Name
	recipes []span.Name
	foods   []span.Name
	loose   bool // typing errors are allowed

	present []int16 // every word of the language that the text has or may have

	tried  []bool // by step and place
	filled []capture
}

// capture is the words that a slot took.
type capture struct {
	slot       slot
	start, end int
}

// newMatcher is a text that is taken apart into its words, those of the
// language known.
func newMatcher(text string, n span.Names) matcher {
	m := matcher{lang: patterns(), Lexed: span.WordsOf(text), dogs: span.SplitNames(n.Dogs), recipes: span.SplitNames(n.Recipes), foods: span.SplitNames(n.Foods)}
	for i := range m.Tokens {
		w := &m.Tokens[i]
		w.ID = notKnown
		if id, ok := m.lang.vocabulary[w.Text]; ok && !w.IsFigure() {
			w.ID = id
			m.present = append(m.present, id)
		}
	}
	return m
}

// loosen allows typing errors from here on: it looks for the words of the
// language that are one error away from those that are not of it, and reports
// whether there are any, or a name that is.
func (m *matcher) loosen() (found bool) {
	m.loose = true
	for i := range m.Tokens {
		w := &m.Tokens[i]
		if !unknown(w) {
			continue
		}
		found = found || nearName(m.dogs, w) || nearName(m.recipes, w) || nearName(m.foods, w)
		for id, known := range m.lang.words {
			if mayBe(w, known) {
				w.Near = append(w.Near, int16(id))
				m.present = append(m.present, int16(id))
				found = true
			}
		}
	}
	return found
}

// is reports that the word at a place is one of a set.
func (m *matcher) is(at int, any *wordSet) bool {
	w := &m.Tokens[at]
	return any.has(w.ID) || m.loose && any.hasOne(w.Near)
}

// strip drops the words of politeness, but not a dog's name.
func (m *matcher) strip() {
	meant := m.Tokens[:0]
	for i := range m.Tokens {
		if !m.lang.fillers.has(m.Tokens[i].ID) || m.isDog(i) {
			meant = append(meant, m.Tokens[i])
		}
	}
	m.Tokens = meant
	start := 0
begin:
	for start < len(m.Tokens) && !m.isDog(start) {
		for _, p := range m.lang.polite {
			if m.follows(start, p) {
				start += len(p)
				continue begin
			}
		}
		break
	}
	m.Tokens = m.Tokens[start:]
	for _, p := range m.lang.closing {
		if at := len(m.Tokens) - len(p); at > 0 && m.follows(at, p) && !m.isDog(at) {
			m.Tokens = m.Tokens[:at]
			break
		}
	}
}

func (m *matcher) follows(at int, ids []int16) bool {
	end := at + len(ids)
	return end <= len(m.Tokens) && slices.EqualFunc(m.Tokens[at:end], ids, func(w span.Token, id int16) bool { return w.ID == id })
}

func (m *matcher) match(p *pattern) (Sentence, bool) {
	if slices.ContainsFunc(p.needs, func(one *wordSet) bool { return !one.hasOne(m.present) }) {
		return Sentence{}, false
	}
	size := p.tries * (len(m.Tokens) + 1)
	m.tried, m.filled = slices.Grow(m.tried[:0], size)[:size], m.filled[:0]
	clear(m.tried)
	if !p.begin(m, 0) {
		return Sentence{}, false
	}
	return m.sentence(p.intent), true
}

// fill tries every stretch of words that a slot can take from a place.
func (m *matcher) fill(s slot, at int, next step) bool {
	for _, end := range m.ends(s, at) {
		m.filled = append(m.filled, capture{s, at, end})
		if next(m, end) {
			return true
		}
		m.filled = m.filled[:len(m.filled)-1]
	}
	return false
}

// unknown reports that a word is none of the language, nor a number, and short
// enough to be one with a typing error.
func unknown(w *span.Token) bool { return w.ID == notKnown && !w.IsFigure() && len(w.Text) <= 20 }

// mayBe reports that an unknown word is one of the language, of fewestSwapped
// letters or more, but for one typing error.
func mayBe(w *span.Token, known string) bool {
	if len(known) < fewestSwapped || len(known) < span.FewestLetters && !(len(w.Text) == len(known) && span.SameLetters(w.Text, known)) {
		return false
	}
	return nutrition.OneError(w.Text, known)
}

// slip reports that a word is none of the language, and a longer one but for a typing error.
func slip(w *span.Token, want string) bool {
	return len(want) >= span.FewestLetters && w.ID == notKnown && nutrition.OneError(w.Text, want)
}

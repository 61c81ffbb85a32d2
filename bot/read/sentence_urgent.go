package read

import "strings"

// MayHaveEaten reports whether a text may be the news that a dog has eaten
// something. Where it reports false, Understand reads no HasEaten; it costs
// much less, and most texts are turned away by it: they have no word of those
// without which none of its patterns fits.
func MayHaveEaten(text string, n Names) bool {
	m := matcher{lang: language(), names: n}
	m.text, _ = firstRunes(text, mostRunes)
	m.takeApart(false)
	for i := range m.words {
		w := &m.words[i]
		if !w.unknown() {
			continue
		}
		for _, u := range m.lang.urgentLong {
			if w.mayBe(u.text) {
				m.present.add(u.id)
			}
		}
	}
	for i := range m.lang.patterns {
		p := &m.lang.patterns[i]
		if !p.urgent {
			break // they stand first
		}
		if m.meets(p) && (p.code[0].slot != slotAlarm || strings.Contains(m.text, "!")) {
			return true // an alarm is shouted: it needs no word, but the mark
		}
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
	if len(known) < fewestLetters && !(len(w.text) == len(known) && sameLetters(w.text, known)) {
		return false
	}
	return oneError(w.text, known)
}

// knownWord is a word of the language.
type knownWord struct {
	text string
	id   int16
}

// findUrgent notes the words that urgent patterns need and that may be typed
// wrong.
func (l *lang) findUrgent() {
	var needed wordSet
	for i := range l.patterns {
		if l.patterns[i].urgent {
			for k := range l.patterns[i].needs {
				needed.join(&l.patterns[i].needs[k])
			}
		}
	}
	for i, id := range l.longIDs {
		if needed.has(id) {
			l.urgentLong = append(l.urgentLong, knownWord{l.long[i], id})
		}
	}
}

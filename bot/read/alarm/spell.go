package alarm

import (
	"slices"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
)

// know takes a word of the lists for one that a slip may mean.
func (b *alarmBook) know(w string) {
	if b.known[w] {
		return
	}
	b.known[w] = true
	if len(w) >= span.FewestLetters {
		b.long = append(b.long, w)
	}
}

// spell returns the word of the lists that an unknown word is but for one
// slip, else the word. A word of the language or a food is none.
func (b *alarmBook) spell(w string) string {
	if b.known[w] || b.has("spelt", w) || len(w) < span.FewestLetters {
		return w
	}
	if language.Vocabulary()[w] || nutrition.KnownWord(w) {
		return w
	}
	if n := len(w) - 1; w[n] == 's' && b.known[w[:n]] {
		return w
	}
	if slices.ContainsFunc(b.beginnings, func(begin string) bool { return strings.HasPrefix(w, begin) }) {
		return w
	}
	for _, known := range b.long {
		if known[0] == w[0] && nutrition.OneError(w, known) {
			return known
		}
	}
	return w
}

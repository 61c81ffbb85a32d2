package read

import (
	"slices"
	"strings"
	"unicode"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
)

// DogName reads the name of a dog that was asked for; it is false for what is
// a sentence rather than a name. In quotes anything is a name.
func DogName(s string) (name string, ok bool) {
	name = strings.Join(strings.Fields(s), " ")
	if bare := strings.Trim(name, quotes); len(bare)+2 <= len(name) && strings.ContainsRune(quotes, []rune(name)[0]) {
		return bare, bare != ""
	}
	m := matcher{text: name, words: span.SplitWords(name)}
	return name, !m.noName(0, len(m.words)) && m.gotAt() == 0
}

// NameLed is the name that an answer to the question for it leads to, empty where the
// word may say something else of a dog: "yeah my dog is biscuit", but "she is hungry".
func NameLed(s string) string {
	m := language.Pattern("name-led").FindStringSubmatch(s)
	if m == nil || tellsMore(m[1]) || IsBreed(m[1]) || language.In("no-name-alone", strings.ToLower(m[1])) {
		return ""
	}
	return m[1]
}

// EverydayWords reports that a text is several words of everyday, in lower
// case, that begin no name: "gentle strolls".
func EverydayWords(s string) bool {
	words := strings.Fields(s)
	if len(words) < 2 || s != strings.ToLower(s) || language.In("titles", words[0]) {
		return false
	}
	return !slices.ContainsFunc(words, func(w string) bool { return !Ranker().Knows(w) })
}

// noName reports that some words are no name: one of them never is in a name,
// or is a figure with a unit.
func (m *matcher) noName(from, to int) bool {
	if to-from > 1 && (language.In("articles", m.at(to-1)) || m.words[from].Number) {
		return true // "prob a", "24 and"
	}
	if first := m.at(from); from < to && language.In("begins-no-name", first) || to-from == 1 && language.In("no-name-alone", first) {
		return true
	}
	for i := from; i < to; i++ {
		w := m.words[i]
		if i == from && (w.Text == "hes" || w.Text == "shes" || w.Text == "he" || w.Text == "she") {
			return true // "hes a lab mix"
		}
		if language.In("not-in-a-name", w.Text) && to-from > 1 || i > from && w.Number && i+1 < to && unicode.IsLetter([]rune(m.words[i+1].Text)[0]) {
			return true
		}
	}
	return false
}

// gotAt is the end of the words that begin the news of a dog ("I got"), or 0.
func (m *matcher) gotAt() int { return m.longestOf(0, language.Phrases("news-of-dog")) }

// NewsOfDog reports that a text begins as the news of a dog does: "I got".
func NewsOfDog(s string) bool {
	m := matcher{text: s, words: span.SplitWords(s)}
	return m.gotAt() > 0
}

// gotDog skips what stands before the name in the news of a dog ("we have a
// new puppy called"). Where no name follows it says so.
func (l *dogLine) gotDog() (at int, named bool) {
	if at = l.gotAt(); at == 0 {
		return 0, true
	}
	at = l.past("articles", at)
	for {
		next := max(l.breedAt(at), at)
		if next == at && (dogNouns[l.at(at)] || language.In("breed-words", l.at(at))) {
			next++
		}
		if next == at {
			break
		}
		at, named = next, true // as far as it goes: "a puppy, 4 months"
	}
	if isCalled(l.at(at)) {
		return at + 1, true
	}
	if at >= len(l.words) || l.words[at].Number {
		return at, false
	}
	// A small letter makes a name where a comma follows: "a labrador milo, 5 years".
	alone := at+1 < len(l.words) && l.words[at+1].Comma && !language.In("fillers", l.at(at)) && !l.begins(at)
	return at, !named || (l.isCapital(at) || alone) && !l.words[at].Comma
}

// Package span reads what has one value: numbers, amounts, weights, days, times and
// how often, places, and the names of a household. It splits a text once, into
// tokens or into words, and each reader begins at one of them.
package span

import (
	"slices"
	"strings"
)

// Lexed is a text in tokens, on its way to be understood: what was taken for
// something is marked as used.
type Lexed struct {
	Text   string
	Tokens []Token
	Often  cadence // is it given
	Code   Code    // what is wrong with it
	Part   string  // and the part that is
}

// Lex splits a clean text into tokens, and WordsOf any text into words alone.
func Lex(text string) *Lexed {
	return &Lexed{Text: text, Tokens: Tokens(text, make([]Token, 0, len(text)/4+2))}
}

func WordsOf(text string) *Lexed { return &Lexed{Text: text, Tokens: SplitWords(text)} }

// Word returns the text of an unused word or sign, empty for what is used and
// beyond the ends.
func (l *Lexed) Word(i int) string {
	if i < 0 || i >= len(l.Tokens) || l.Tokens[i].Used || l.Tokens[i].Kind == NameToken {
		return ""
	}
	return l.Tokens[i].Text
}

// figures returns the text of an unused number in figures, empty elsewhere.
func (l *Lexed) figures(i int) string {
	if l.Word(i) == "" || l.Tokens[i].Kind != NumberToken {
		return ""
	}
	return l.Tokens[i].Text
}

// Any reports that the word at a place is one of some.
func (l *Lexed) Any(i int, words ...string) bool {
	w := l.Word(i)
	return w != "" && slices.Contains(words, w)
}

// After returns the token after a word that is one of some, where such stands at a
// place, else the place.
func (l *Lexed) After(i int, words ...string) int {
	return Choose(l.Any(i, words...), i+1, i)
}

// AfterAll returns the token after all words of some that stand in a row at a place.
func (l *Lexed) AfterAll(i int, words ...string) int {
	for l.Any(i, words...) {
		i++
	}
	return i
}

// LongestOf returns the token after the longest of some phrases that stands at a
// place, or 0.
func (l *Lexed) LongestOf(i int, phrases [][]string) (end int) {
	for _, words := range phrases {
		to := i + len(words)
		for k, w := range words {
			if l.Word(i+k) != w {
				to = 0
				break
			}
		}
		end = max(end, to)
	}
	return end
}

// IsUnit reports that a unit stands at a place, and IsNumber that a number does.
func (l *Lexed) IsUnit(i int) bool   { _, end := l.UnitAt(i); return end > 0 }
func (l *Lexed) IsNumber(i int) bool { _, end := l.NumberAt(i); return end > 0 }

// Use marks tokens as understood.
func (l *Lexed) Use(from, to int) {
	for i := from; i < to; i++ {
		l.Tokens[i].Used = true
	}
}

// UseAny marks a word as understood where it is one of some.
func (l *Lexed) UseAny(i int, words ...string) {
	if l.Any(i, words...) {
		l.Use(i, i+1)
	}
}

// Span is the text of some tokens, as typed.
func (l *Lexed) Span(from, to int) string {
	return l.Text[l.Tokens[from].Start:l.Tokens[to-1].End]
}

// Wrong notes what is wrong with a line; the first counts.
func (l *Lexed) Wrong(code Code, from, to int) {
	if l.Code == "" {
		l.Code, l.Part = code, l.Span(from, to)
	}
}

// Unused is what is left of the text, without the marks at its ends.
func (l *Lexed) Unused() string {
	var parts []string
	for i := 0; i < len(l.Tokens); {
		if l.Tokens[i].Used {
			i++
			continue
		}
		end := i
		for end < len(l.Tokens) && !l.Tokens[end].Used {
			end++
		}
		if part := strings.Trim(l.Span(i, end), " ,;:.-"); part != "" {
			parts = append(parts, part)
		}
		i = end
	}
	return JoinFields(strings.Join(parts, " "))
}

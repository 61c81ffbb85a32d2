package read

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// token is a word, a number or a sign of a line, with its place in the text.
type token struct {
	text       string // in lower case; a fraction character is written out
	start, end int    // bytes
	used       bool   // understood as something else than the food
}

// lexed is a line on its way to be understood: what is taken as an amount, a
// fact or a cadence is marked as used, and the rest is the food.
type lexed struct {
	text    string
	tokens  []token
	amounts []amount
	facts   []fact
	cadence cadence
	per1000 bool
	form    string // "capsule", where a form is named
	note    string // "large", where a size is named before a piece
	code    Code   // what is wrong with it
	part    string // and the part that is
}

// lex splits a clean line into tokens.
func lex(s string) *lexed {
	l := &lexed{text: s}
	for at := 0; at < len(s); {
		r, size := utf8.DecodeRuneInString(s[at:])
		end := at + size
		switch {
		case r == ' ':
			at = end
			continue
		case fractions[r] != "":
			l.tokens = append(l.tokens, token{text: fractions[r], start: at, end: end})
		case startsNumber(s, at) || isSign(s, at):
			end = numberEnd(s, at)
			l.tokens = append(l.tokens, token{text: s[at:end], start: at, end: end})
		case unicode.IsLetter(r):
			end = wordEnd(s, at)
			l.tokens = append(l.tokens, token{text: strings.ToLower(s[at:end]), start: at, end: end})
		default:
			l.tokens = append(l.tokens, token{text: string(r), start: at, end: end})
		}
		at = end
	}
	return l
}

func startsNumber(s string, at int) bool {
	return at < len(s) && (s[at] >= '0' && s[at] <= '9' ||
		(s[at] == '.' || s[at] == ',') && at+1 < len(s) && s[at+1] >= '0' && s[at+1] <= '9' && (at == 0 || s[at-1] == ' '))
}

// isSign reports a minus sign that belongs to a number: one that stands at
// the beginning or after a space, with a digit right after it.
func isSign(s string, at int) bool {
	return s[at] == '-' && startsNumber(s, at+1) && (at == 0 || s[at-1] == ' ')
}

// numberEnd is the end of the number that begins at a byte: digits with
// points, commas and one slash between them.
func numberEnd(s string, at int) int {
	end := at + 1
	for end < len(s) {
		c := s[end]
		between := (c == '.' || c == ',' || c == '/') && end+1 < len(s) && s[end+1] >= '0' && s[end+1] <= '9'
		if (c < '0' || c > '9') && !between {
			break
		}
		end++
	}
	return end
}

func wordEnd(s string, at int) int {
	for at < len(s) {
		r, size := utf8.DecodeRuneInString(s[at:])
		if !unicode.IsLetter(r) && !unicode.IsMark(r) && r != '\'' && r != '’' {
			break
		}
		at += size
	}
	return at
}

// lineWords are the tokens' texts.
func lineWords(s string) []string {
	l := lex(strings.ReplaceAll(s, "\n", " "))
	words := make([]string, 0, len(l.tokens))
	for _, t := range l.tokens {
		words = append(words, t.text)
	}
	return words
}

// words are the texts of the tokens that are not used; a used one is empty,
// so that places stay.
func (l *lexed) words() []string {
	words := make([]string, len(l.tokens))
	for i, t := range l.tokens {
		if !t.used {
			words[i] = t.text
		}
	}
	return words
}

// use marks tokens as understood.
func (l *lexed) use(from, to int) {
	for i := from; i < to; i++ {
		l.tokens[i].used = true
	}
}

// useBytes marks the tokens of a stretch of the text.
func (l *lexed) useBytes(start, end int) {
	for i := range l.tokens {
		if l.tokens[i].start >= start && l.tokens[i].end <= end {
			l.tokens[i].used = true
		}
	}
}

// wrong notes what is wrong with a line; the first counts.
func (l *lexed) wrong(code Code, from, to int) {
	if l.code == "" {
		l.code, l.part = code, l.text[l.tokens[from].start:l.tokens[to-1].end]
	}
}

// rest is the text that is not used: the food, as typed.
func (l *lexed) rest() string {
	var b strings.Builder
	at := 0
	for _, t := range l.tokens {
		if t.used {
			b.WriteString(l.text[at:t.start] + " ")
			at = t.end
			continue
		}
		b.WriteString(l.text[at:t.end])
		at = t.end
	}
	b.WriteString(l.text[at:])
	return tidyFood(b.String())
}

// tidyFood takes away what stands round a food's name once the amounts are
// out: signs, "of", "about".
func tidyFood(s string) string {
	s = strings.ReplaceAll(strings.ReplaceAll(s, "()", " "), "( )", " ")
	for {
		before := s
		s = strings.Trim(s, " ,;:-–=@~×*/.")
		for _, w := range []string{"of", "x", "about", "approx", "approximately", "ca", "circa", "plus", "each", "with"} {
			if rest, ok := cutWordFold(s, w); ok {
				s = rest
			}
		}
		for _, w := range []string{"x", "of", "per", "a"} {
			if n := len(s) - len(w); n > 0 && s[n-1] == ' ' && strings.EqualFold(s[n:], w) {
				s = s[:n]
			}
		}
		if strings.HasPrefix(s, "(") && strings.HasSuffix(s, ")") {
			s = s[1 : len(s)-1]
		}
		if s == before {
			return strings.Join(strings.Fields(s), " ")
		}
	}
}

// cutWordFold takes a whole word from the beginning of s, whatever its case.
func cutWordFold(s, word string) (string, bool) {
	if len(s) > len(word) && s[len(word)] == ' ' && strings.EqualFold(s[:len(word)], word) {
		return s[len(word):], true
	}
	return s, false
}

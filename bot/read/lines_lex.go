package read

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// token is a word, a number or a sign of a line, with its place in the text.
type token struct {
	text       string // in lower case
	start, end int    // bytes
	kind       tokenKind
	num        number // of a numberToken
	inside     bool   // in round brackets
	apart      bool   // a comma or the like stood before it, and is no token
	used       bool   // understood as something else than the food
}

type tokenKind uint8

const (
	wordToken tokenKind = iota
	numberToken
	signToken
	nameToken // a name in quotation marks, or a key in square brackets
)

// lex splits a clean line into tokens. What stands in quotation marks or in
// square brackets is one token.
func lex(s string, dst []token) []token {
	depth := 0
	for at := 0; at < len(s); {
		r, size := utf8.DecodeRuneInString(s[at:])
		t := token{start: at, end: at + size, kind: signToken, inside: depth > 0}
		switch {
		case r == ' ' || r == '\n':
			at += size
			continue
		case fractions[r] != "":
			t.kind, t.num = numberToken, parseNumber(fractions[r])
		case digitAt(s, at) || signAt(s, at, dst):
			t.end = numberEnd(s, at)
			t.kind, t.num = numberToken, parseNumber(s[at:t.end])
		case unicode.IsLetter(r):
			t.kind, t.end = wordToken, wordEnd(s, at)
		case r == '"' || r == '[':
			if end := nameEnd(s, at, r); end > 0 {
				t.kind, t.end = nameToken, end
			}
		case r == '(':
			depth++
		case r == ')':
			depth = max(depth-1, 0)
		}
		t.text = s[t.start:t.end]
		if t.kind == wordToken {
			t.text = strings.ToLower(t.text)
		}
		dst = append(dst, t)
		at = t.end
	}
	return dst
}

// digitAt reports that a number begins at a byte, or goes on there.
func digitAt(s string, at int) bool {
	if at >= len(s) {
		return false
	}
	if s[at] == '.' || s[at] == ',' { // ".5 kg"
		return at+1 < len(s) && isASCIIDigit(s[at+1]) && (at == 0 || s[at-1] == ' ' || s[at-1] == '(')
	}
	return isASCIIDigit(s[at])
}

func isASCIIDigit(c byte) bool { return c >= '0' && c <= '9' }

// signAt reports a minus sign that belongs to a number: a digit follows it
// directly, and it begins the line or stands where an amount is due. After a
// word it is a dash ("turkey -250 g").
func signAt(s string, at int, before []token) bool {
	if s[at] != '-' || at+1 >= len(s) || !isASCIIDigit(s[at+1]) && s[at+1] != '.' {
		return false
	}
	if len(before) == 0 {
		return true
	}
	last := before[len(before)-1].text
	return s[at-1] == ' ' && (last == ":" || last == "=" || last == "x")
}

// numberEnd is the end of the number that begins at a byte: digits with
// points, commas and slashes between them.
func numberEnd(s string, at int) int {
	end := at + 1
	for end < len(s) {
		between := (s[end] == '.' || s[end] == ',' || s[end] == '/') && end+1 < len(s) && isASCIIDigit(s[end+1])
		if !isASCIIDigit(s[end]) && !between {
			break
		}
		end++
	}
	return end
}

// wordEnd is the end of the word that begins at a byte. Digits belong to the
// words of which they are a part: "B12", "D3", "omega3".
func wordEnd(s string, start int) int {
	at := start
	for at < len(s) {
		if c := s[at]; c < utf8.RuneSelf {
			if c|0x20 < 'a' || c|0x20 > 'z' {
				if c != '\'' {
					break
				}
			}
			at++
			continue
		}
		r, size := utf8.DecodeRuneInString(s[at:])
		if !unicode.IsLetter(r) && !unicode.IsMark(r) && r != '’' || fractions[r] != "" {
			break
		}
		at += size
	}
	if at < len(s) && isASCIIDigit(s[at]) && takesDigits(s[start:at]) {
		for at < len(s) && isASCIIDigit(s[at]) {
			at++
		}
	}
	return at
}

// takesDigits reports that a number after the word is a part of its name.
func takesDigits(word string) bool {
	switch strings.ToLower(word) {
	case "b", "d", "k", "q", "omega", "coq":
		return true
	}
	return false
}

// nameEnd is the end of a quoted name or a bracketed key, 0 where it is not
// closed or empty.
func nameEnd(s string, at int, open rune) int {
	closing := "\""
	if open == '[' {
		closing = "]"
	}
	if n := strings.Index(s[at+1:], closing); n > 0 && strings.TrimSpace(s[at+1:at+1+n]) != "" {
		return at + n + 2
	}
	return 0
}

// word returns the text of an unused word or sign, empty for what is used and
// beyond the ends.
func (l *lexed) word(i int) string {
	if i < 0 || i >= len(l.tokens) || l.tokens[i].used || l.tokens[i].kind == nameToken {
		return ""
	}
	return l.tokens[i].text
}

// any reports that the word at a place is one of some.
func (l *lexed) any(i int, words ...string) bool {
	w := l.word(i)
	return w != "" && slices.Contains(words, w)
}

// use marks tokens as understood.
func (l *lexed) use(from, to int) {
	for i := from; i < to; i++ {
		l.tokens[i].used = true
	}
}

// span is the text of some tokens, as typed.
func (l *lexed) span(from, to int) string {
	return l.text[l.tokens[from].start:l.tokens[to-1].end]
}

// wrong notes what is wrong with a line; the first counts.
func (l *lexed) wrong(code Code, from, to int) {
	if l.code == "" {
		l.code, l.part = code, l.span(from, to)
	}
}

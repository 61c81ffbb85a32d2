// Package span reads what has one value: numbers, amounts, weights, days, times and
// how often, places, and the names of a household. It splits a text once, into
// tokens or into words, and each reader begins at one of them.
package span

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"bowlwright/bot/read/language"
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

// Lex splits a clean text into tokens.
func Lex(text string) *Lexed {
	return &Lexed{Text: text, Tokens: Tokens(text, make([]Token, 0, len(text)/4+2))}
}

// Token is a word, a number or a sign of a line, with its place in the text.
type Token struct {
	Text       string // in lower case
	Start, End int    // bytes
	Kind       tokenKind
	Num        Numeral // of a numberToken
	Inside     bool    // in round brackets
	Apart      bool    // a comma or the like stood before it, and is no token
	Used       bool    // understood as something else than the food
}

type tokenKind uint8

const (
	WordToken tokenKind = iota
	NumberToken
	SignToken
	NameToken // a name in quotation marks, or a key in square brackets
)

// Tokens splits a clean line into tokens. What stands in quotation marks or in
// square brackets is one token.
func Tokens(s string, dst []Token) []Token {
	depth := 0
	for at := 0; at < len(s); {
		r, size := utf8.DecodeRuneInString(s[at:])
		t := Token{Start: at, End: at + size, Kind: SignToken, Inside: depth > 0}
		switch {
		case r == ' ' || r == '\n':
			at += size
			continue
		case Fractions[r] != "":
			t.Kind, t.Num = NumberToken, parseNumber(Fractions[r])
		case digitAt(s, at) || SignAt(s, at, dst):
			t.End = numberEnd(s, at)
			t.Kind, t.Num = NumberToken, parseNumber(s[at:t.End])
		case unicode.IsLetter(r):
			t.Kind, t.End = WordToken, wordEnd(s, at)
		case r == '"' || r == '[':
			if end := nameEnd(s, at, r); end > 0 {
				t.Kind, t.End = NameToken, end
			}
		case r == '(':
			depth++
		case r == ')':
			depth = max(depth-1, 0)
		}
		t.Text = s[t.Start:t.End]
		if t.Kind == WordToken {
			t.Text = strings.ToLower(t.Text)
		}
		dst = append(dst, t)
		at = t.End
	}
	return dst
}

// digitAt reports that a number begins at a byte, or goes on there.
func digitAt(s string, at int) bool {
	if s[at] == '.' || s[at] == ',' { // ".5 kg"
		return at+1 < len(s) && IsASCIIDigit(s[at+1]) && (at == 0 || s[at-1] == ' ' || s[at-1] == '(')
	}
	return IsASCIIDigit(s[at])
}

func IsASCIIDigit(c byte) bool { return c >= '0' && c <= '9' }

// SignAt reports a minus sign that belongs to a number: a digit follows it
// directly, and it begins the line or stands where an amount is due. After a
// Word it is a dash ("turkey -250 g").
func SignAt(s string, at int, before []Token) bool {
	if s[at] != '-' || at+1 >= len(s) || !IsASCIIDigit(s[at+1]) && s[at+1] != '.' {
		return false
	}
	if len(before) == 0 {
		return true
	}
	last := before[len(before)-1].Text
	return s[at-1] == ' ' && (last == ":" || last == "=" || last == "x")
}

// numberEnd is the end of the number that begins at a byte: digits with
// points, commas and slashes between them.
func numberEnd(s string, at int) int {
	end := at + 1
	for end < len(s) {
		between := (s[end] == '.' || s[end] == ',' || s[end] == '/') && end+1 < len(s) && IsASCIIDigit(s[end+1])
		if !IsASCIIDigit(s[end]) && !between {
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
		if !unicode.IsLetter(r) && !unicode.IsMark(r) && r != '’' || Fractions[r] != "" {
			break
		}
		at += size
	}
	if at < len(s) && IsASCIIDigit(s[at]) && language.In("takes-digits", strings.ToLower(s[start:at])) {
		for at < len(s) && IsASCIIDigit(s[at]) {
			at++
		}
	}
	return at
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
	if l.Any(i, words...) {
		return i + 1
	}
	return i
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

// LineOf is words as a line of which values are read, a token for each word.
func LineOf(text string, words []Word) *Lexed {
	l := &Lexed{Text: text, Tokens: make([]Token, len(words))}
	for i := range words {
		w := &words[i]
		l.Tokens[i] = Token{Text: w.Text, Start: w.Start, End: w.End, Apart: w.Comma || w.Stop}
		if w.Number {
			l.Tokens[i].Kind, l.Tokens[i].Num = NumberToken, w.Num
		}
	}
	return l
}

package rank

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Token is a word, a number or a mark of a text.
type Token struct {
	Text     string // in lower case, without apostrophes: "dont"
	Kind     TokenKind
	From, To int // where it stands, in bytes
}

// TokenKind is what a token is made of.
type TokenKind byte

// The kinds of tokens.
const (
	Word TokenKind = iota
	Number
	Mark
	LineEnd
)

// Tokens splits a text. Digits end a word: "500g" is a number and a word.
func Tokens(text string) []Token {
	all := make([]Token, 0, len(text)/4+1)
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRuneInString(text[i:])
		switch {
		case r == '\n':
			all = append(all, Token{"\n", LineEnd, i, i + 1})
		case unicode.IsSpace(r):
		case unicode.IsDigit(r):
			size = numberLen(text[i:])
			all = append(all, Token{text[i : i+size], Number, i, i + size})
		case unicode.IsLetter(r):
			size = wordLen(text[i:])
			all = append(all, Token{plainWord(text[i : i+size]), Word, i, i + size})
		default:
			all = append(all, Token{text[i : i+size], Mark, i, i + size})
		}
		i += size
	}
	return all
}

// numberLen is how long the number at the beginning is: "7:30", "1,5", "2.25".
func numberLen(s string) int {
	n := 0
	for n < len(s) {
		switch c := s[n]; {
		case c >= '0' && c <= '9':
		case (c == '.' || c == ',' || c == ':') && n+1 < len(s) && s[n+1] >= '0' && s[n+1] <= '9':
		default:
			return max(n, 1)
		}
		n++
	}
	return n
}

// wordLen is how long the word at the beginning is, apostrophes within it
// counted.
func wordLen(s string) int {
	n := 0
	for n < len(s) {
		r, size := utf8.DecodeRuneInString(s[n:])
		if unicode.IsLetter(r) || unicode.Is(unicode.Mn, r) {
			n += size
			continue
		}
		if r == '\'' || r == '’' || r == '`' {
			if next, _ := utf8.DecodeRuneInString(s[n+size:]); unicode.IsLetter(next) {
				n += size
				continue
			}
		}
		break
	}
	return n
}

// plainWord is a word in lower case without apostrophes.
func plainWord(s string) string {
	s = strings.ToLower(s)
	if strings.ContainsAny(s, "'’`") {
		s = strings.NewReplacer("'", "", "’", "", "`", "").Replace(s)
	}
	return s
}

package span

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// FirstRunes cuts a text to its first runes and reports whether there was
// more.
func FirstRunes(text string, most int) (string, bool) {
	if len(text) <= most {
		return text, false
	}
	n := 0
	for i := range text {
		if n == most {
			return text[:i], true
		}
		n++
	}
	return text, false
}

// Fold brings a word to the form in which words are compared.
func Fold(s string) string {
	ascii, lower := true, true
	for i := 0; i < len(s); i++ {
		c := s[i]
		ascii = ascii && c < utf8.RuneSelf
		lower = lower && c != '\'' && c != '`' && (c < 'A' || c > 'Z')
	}
	if ascii && lower {
		return s
	}
	if !ascii {
		s = norm.NFKD.String(s)
	}
	return strings.Map(func(r rune) rune {
		if isApostrophe(r) || unicode.IsMark(r) || unicode.Is(unicode.Cf, r) {
			return -1
		}
		return unicode.ToLower(r)
	}, s)
}

// SameLetters reports that two words of one length differ in their order
// alone.
func SameLetters(a, b string) bool {
	sum := 0
	for i := range len(a) {
		sum += int(a[i])*int(a[i]) - int(b[i])*int(b[i])
	}
	return sum == 0
}

// FewestLetters is how long a word must be to be read with a typing error.
const FewestLetters = 5

// MostRunes is how much of a text is read as a sentence. A longer text is
// none, but for the news that a dog has eaten something: that is looked for
// at its beginning.
const MostRunes = 500

// Choose is the first of two values where something is so, else the second.
func Choose[T any](so bool, yes, no T) T {
	if so {
		return yes
	}
	return no
}

// AddNew adds to some values those of others that are not among them yet.
func AddNew[T comparable](all []T, more ...T) []T {
	for _, v := range more {
		if !slices.Contains(all, v) {
			all = append(all, v)
		}
	}
	return all
}

func JoinFields(s string) string { return strings.Join(strings.Fields(s), " ") }

func HasLetter(s string) bool { return strings.ContainsFunc(s, unicode.IsLetter) }

// Capital begins a text with a capital letter.
func Capital(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	if size == 0 {
		return ""
	}
	return string(unicode.ToUpper(first)) + s[size:]
}

func CutFirst(s string) (first, rest string) {
	first, rest, _ = strings.Cut(strings.TrimSpace(s), " ")
	return first, strings.TrimSpace(rest)
}

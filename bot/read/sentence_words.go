package read

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// word is one word or number of a text.
type word struct {
	text       string  // folded: lower case, no accents, no apostrophes
	start, end int     // bytes of the text that are this word
	number     bool    // whether it is a number
	num        number  // of a number
	value      float64 // the same as a figure
	comma      bool    // a comma, colon, bracket or dash stands before it
	stop       bool    // a sentence ends before it
	id         int16   // the word of the language that it is, or notKnown
	near       []int16 // the words of the language that it is but for one typing error
}

// firstRunes cuts a text to its first runes and reports whether there was
// more.
func firstRunes(text string, most int) (string, bool) {
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

// splitWords splits a text into words and numbers. Marks, emoji, control
// characters and marks of writing direction are stepped over.
func splitWords(text string) []word {
	s := splitter{text: text, words: make([]word, 0, min(24, len(text)/4+2))}
	for at := 0; at < len(text); {
		at = s.read(at)
	}
	return s.words
}

type splitter struct {
	text        string
	comma, stop bool
	words       []word
}

// read reads one word or mark and returns where the next begins.
func (s *splitter) read(at int) int {
	r, size := utf8.DecodeRuneInString(s.text[at:])
	end := at + size
	switch {
	case unicode.IsLetter(r) && !isApostrophe(r): // one apostrophe is a letter to Unicode
		return s.letters(at)
	case isDigit(r) || r == '-' && s.isMinus(at):
		return s.digits(at)
	case fractions[r] != "":
		return s.fraction(at, end, parseNumber(fractions[r]))
	case r == '&':
		s.add(word{text: "and", start: at, end: end})
	case r == '%':
		s.add(word{text: "percent", start: at, end: end})
	case r == '×':
		s.add(word{text: "x", start: at, end: end})
	case r == '.' || r == '?' || r == '!' || r == '\n' || r == '…':
		s.stop = true
	case strings.ContainsRune(",;:–—()", r):
		s.comma = true
	}
	return end
}

func (s *splitter) add(w word) {
	w.comma, w.stop = s.comma, s.stop
	s.comma, s.stop = false, false
	s.words = append(s.words, w)
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

// isMinus reports that the hyphen at a place is the sign of a number and
// not a hyphen within a word or a range.
func (s *splitter) isMinus(at int) bool {
	before, _ := utf8.DecodeLastRuneInString(s.text[:at])
	return (at == 0 || unicode.IsSpace(before) || before == '(') &&
		at+1 < len(s.text) && isDigit(rune(s.text[at+1]))
}

// letters reads a word. An apostrophe within it is dropped ("can't" is
// "cant"), but the ending 's is a word of its own.
func (s *splitter) letters(start int) int {
	at, apostrophe := start, -1
	for at < len(s.text) {
		r, size := utf8.DecodeRuneInString(s.text[at:])
		if isApostrophe(r) {
			next, _ := utf8.DecodeRuneInString(s.text[at+size:])
			if !unicode.IsLetter(next) {
				break
			}
			apostrophe = at
		} else if !unicode.IsLetter(r) && !unicode.IsMark(r) && !unicode.Is(unicode.Cf, r) {
			break
		}
		at += size
	}
	if apostrophe > start && strings.EqualFold(strings.TrimLeft(s.text[apostrophe:at], "'’ʼ`"), "s") {
		s.add(word{text: fold(s.text[start:apostrophe]), start: start, end: apostrophe})
		s.add(word{text: "'s", start: apostrophe, end: at})
		return at
	}
	s.add(word{text: fold(s.text[start:at]), start: start, end: at})
	if r, size := utf8.DecodeRuneInString(s.text[at:]); isApostrophe(r) && strings.HasSuffix(s.text[:at], "s") {
		// "Chris' dinner"
		s.add(word{text: "'s", start: at, end: at + size})
		return at + size
	}
	return at
}

func isApostrophe(r rune) bool { return r == '\'' || r == '’' || r == 'ʼ' || r == '`' }

// digits reads a number: "12", "19.6", "19,6", "1,250", "1/2", "5/9".
func (s *splitter) digits(start int) int {
	at := start + 1
	for at < len(s.text) {
		c := s.text[at]
		mark := c == '.' || c == ',' || c == '/'
		if !isDigit(rune(c)) && !(mark && at+1 < len(s.text) && isDigit(rune(s.text[at+1]))) {
			break
		}
		at++
	}
	typed := s.text[start:at]
	n := parseNumber(typed)
	s.add(word{text: typed, start: start, end: at, number: true, num: n, value: n.whole()})
	return at
}

// fraction reads "½", and joins it to a whole number right before it.
func (s *splitter) fraction(start, end int, part number) int {
	if n := len(s.words); n > 0 && s.words[n-1].number && strings.TrimSpace(s.text[s.words[n-1].end:start]) == "" {
		s.words[n-1].value += part.value
		s.words[n-1].num = number{value: s.words[n-1].value}
		s.words[n-1].end = end
		s.words[n-1].text = s.text[s.words[n-1].start:end]
		return end
	}
	s.add(word{text: s.text[start:end], start: start, end: end, number: true, num: part, value: part.value})
	return end
}

// fold brings a word to the form in which words are compared.
func fold(s string) string {
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

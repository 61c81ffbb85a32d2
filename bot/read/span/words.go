package span

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// Word is one word or number of a text.
type Word struct {
	Text       string  // folded: lower case, no accents, no apostrophes
	Start, End int     // bytes of the text that are this word
	Number     bool    // whether it is a number
	Num        Numeral // of a number
	Value      float64 // the same as a figure
	Comma      bool    // a comma, colon, bracket or dash stands before it
	Stop       bool    // a sentence ends before it
	ID         int16   // the word of the language that it is, or notKnown
	Near       []int16 // the words of the language that it is but for one typing error
}

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

// SplitWords splits a text into words and numbers. Marks, emoji, control
// characters and marks of writing direction are stepped over.
func SplitWords(text string) []Word {
	s := splitter{text: text, words: make([]Word, 0, min(24, len(text)/4+2))}
	for at := 0; at < len(text); {
		at = s.read(at)
	}
	return s.words
}

type splitter struct {
	text        string
	comma, stop bool
	words       []Word
}

// read reads one word or mark and returns where the next begins.
func (s *splitter) read(at int) int {
	r, size := utf8.DecodeRuneInString(s.text[at:])
	end := at + size
	switch {
	case unicode.IsLetter(r) && !isApostrophe(r): // one apostrophe is a letter to Unicode
		return s.letters(at)
	case IsASCIIDigit(s.text[at]) || r == '-' && s.isMinus(at):
		return s.digits(at)
	case Fractions[r] != "":
		return s.fraction(at, end, parseNumber(Fractions[r]))
	case r == '&':
		s.add(Word{Text: "and", Start: at, End: end})
	case r == '%':
		s.add(Word{Text: "percent", Start: at, End: end})
	case r == '×':
		s.add(Word{Text: "x", Start: at, End: end})
	case r == '.' || r == '?' || r == '!' || r == '\n' || r == '…':
		s.stop = true
	case strings.ContainsRune(",;:–—()", r):
		s.comma = true
	}
	return end
}

func (s *splitter) add(w Word) {
	w.Comma, w.Stop = s.comma, s.stop
	s.comma, s.stop = false, false
	s.words = append(s.words, w)
}

// isMinus reports that the hyphen at a place is the sign of a number and
// not a hyphen within a word or a range.
func (s *splitter) isMinus(at int) bool {
	before, _ := utf8.DecodeLastRuneInString(s.text[:at])
	return (at == 0 || unicode.IsSpace(before) || before == '(') &&
		at+1 < len(s.text) && IsASCIIDigit(s.text[at+1])
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
		s.add(Word{Text: Fold(s.text[start:apostrophe]), Start: start, End: apostrophe})
		s.add(Word{Text: "'s", Start: apostrophe, End: at})
		return at
	}
	s.add(Word{Text: Fold(s.text[start:at]), Start: start, End: at})
	if r, size := utf8.DecodeRuneInString(s.text[at:]); isApostrophe(r) && strings.HasSuffix(s.text[:at], "s") {
		// "Chris' dinner"
		s.add(Word{Text: "'s", Start: at, End: at + size})
		return at + size
	}
	return at
}

func isApostrophe(r rune) bool { return r == '\'' || r == '’' || r == 'ʼ' || r == '`' }

// digits reads a number: "12", "19.6", "19,6", "1,250", "1/2", "5/9".
func (s *splitter) digits(start int) int {
	at := numberEnd(s.text, start)
	typed := s.text[start:at]
	n := parseNumber(typed)
	s.add(Word{Text: typed, Start: start, End: at, Number: true, Num: n, Value: n.Whole()})
	return at
}

// fraction reads "½", and joins it to a whole number right before it.
func (s *splitter) fraction(start, end int, part Numeral) int {
	if n := len(s.words); n > 0 && s.words[n-1].Number && strings.TrimSpace(s.text[s.words[n-1].End:start]) == "" {
		s.words[n-1].Value += part.Value
		s.words[n-1].Num = Numeral{Value: s.words[n-1].Value}
		s.words[n-1].End = end
		s.words[n-1].Text = s.text[s.words[n-1].Start:end]
		return end
	}
	s.add(Word{Text: s.text[start:end], Start: start, End: end, Number: true, Num: part, Value: part.Value})
	return end
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

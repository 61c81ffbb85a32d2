package span

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"bowlwright/bot/read/language"
)

// Token is a word, a number or a sign of a text, with its place in it.
type Token struct {
	Text        string // in lower case; of SplitWords without accents and apostrophes
	Start, End  int    // bytes
	Kind        tokenKind
	Num         Numeral // of a NumberToken
	Inside      bool    // in round brackets
	Comma, Stop bool    // of SplitWords: a comma, colon, bracket or dash stands before it; a sentence ends there
	Used        bool    // understood as something else than the food
	ID          int16   // the word of the sentences that it is, and
	Near        []int16 // those that it is but for one typing error
}

type tokenKind uint8

const (
	WordToken tokenKind = iota
	NumberToken
	SignToken
	NameToken // a name in quotation marks, or a key in square brackets
)

// IsFigure reports that a token is a number in figures.
func (t *Token) IsFigure() bool { return t.Kind == NumberToken }

// PieceAt is the word, the number or the sign that begins at a byte, as typed. Digits
// end a word, and some signs may stand between those of a number.
func PieceAt(s string, at int, within string) Token {
	r, size := utf8.DecodeRuneInString(s[at:])
	t := Token{Start: at, End: at + size, Kind: SignToken}
	switch {
	case unicode.IsLetter(r) && !isApostrophe(r): // one apostrophe is a letter to Unicode
		t.Kind, t.End = WordToken, wordEnd(s, at)
	case IsASCIIDigit(s[at]):
		return numberFrom(s, at, within)
	case Fractions[r] != "":
		t.Kind, t.Num = NumberToken, parseNumber(Fractions[r])
	}
	t.Text = s[at:t.End]
	return t
}

// betweenDigits are the signs that a number may have within it: "1,250", "19.6", "1/2".
const betweenDigits = ".,/"

// numberFrom is the number that begins at a byte with a digit or a sign before one.
func numberFrom(s string, at int, within string) Token {
	end := at + 1
	for end < len(s) && (IsASCIIDigit(s[end]) || strings.IndexByte(within, s[end]) >= 0 && end+1 < len(s) && IsASCIIDigit(s[end+1])) {
		end++
	}
	return Token{Text: s[at:end], Start: at, End: end, Kind: NumberToken, Num: parseNumber(s[at:end])}
}

// wordEnd is the end of the word that begins at a byte, the apostrophes within it
// counted: "can't".
func wordEnd(s string, at int) int {
	for at < len(s) {
		r, size := utf8.DecodeRuneInString(s[at:])
		if isApostrophe(r) {
			if next, _ := utf8.DecodeRuneInString(s[at+size:]); !unicode.IsLetter(next) {
				break
			}
		} else if !unicode.IsLetter(r) && !unicode.IsMark(r) && !unicode.Is(unicode.Cf, r) {
			break
		}
		at += size
	}
	return at
}

func isApostrophe(r rune) bool { return r == '\'' || r == '’' || r == 'ʼ' || r == '`' }

func IsASCIIDigit(c byte) bool { return c >= '0' && c <= '9' }

// signWords are the signs that stand for a word.
var signWords = map[string]string{"&": "and", "%": "percent", "×": "x"}

// SplitWords splits a text into words and numbers. Marks, emoji, control characters and
// marks of writing direction are stepped over. An apostrophe within a word is dropped
// ("can't" is "cant"), but the ending 's is a word of its own.
func SplitWords(text string) []Token {
	words := make([]Token, 0, min(24, len(text)/4+2))
	comma, stop := false, false
	for at := 0; at < len(text); {
		t, whose := PieceAt(text, at, betweenDigits), Token{}
		if isMinus(text, at) {
			t = numberFrom(text, at, betweenDigits)
		}
		at = t.End
		switch last := len(words) - 1; {
		case t.Kind == WordToken:
			t, whose = cutWhose(text, t)
			at = max(at, whose.End)
		case t.Kind == NumberToken && !IsASCIIDigit(text[at-1]) && last >= 0 && words[last].IsFigure() && strings.TrimSpace(text[words[last].End:t.Start]) == "": // "1 ½"
			words[last].Num = Numeral{Value: words[last].Num.Whole() + t.Num.Value}
			words[last].End, words[last].Text = at, text[words[last].Start:at]
			continue
		case t.Kind == NumberToken:
		case signWords[t.Text] != "":
			t.Kind, t.Text = WordToken, signWords[t.Text]
		default:
			stop = stop || strings.Contains(".?!\n…", t.Text)
			comma = comma || strings.Contains(",;:–—()", t.Text)
			continue
		}
		t.Comma, t.Stop, comma, stop = comma, stop, false, false
		if words = append(words, t); whose.Text != "" {
			words = append(words, whose)
		}
	}
	return words
}

// isMinus reports that the hyphen at a place is the sign of a number and
// not a hyphen within a word or a range.
func isMinus(s string, at int) bool {
	if s[at] != '-' || at+1 == len(s) || !IsASCIIDigit(s[at+1]) {
		return false
	}
	before, _ := utf8.DecodeLastRuneInString(s[:at])
	return at == 0 || unicode.IsSpace(before) || before == '('
}

// cutWhose folds a word, and cuts the ending off that says whose something is: "Pip's",
// "Chris' dinner". Without one it is empty.
func cutWhose(s string, word Token) (folded, whose Token) {
	mark := strings.LastIndexFunc(word.Text, isApostrophe)
	next, size := utf8.DecodeRuneInString(s[word.End:])
	switch {
	case mark > 0 && strings.EqualFold(strings.TrimLeft(word.Text[mark:], "'’ʼ`"), "s"):
		whose = Token{Text: "'s", Start: word.Start + mark, End: word.End}
		word.End = whose.Start
	case isApostrophe(next) && strings.HasSuffix(word.Text, "s"):
		whose = Token{Text: "'s", Start: word.End, End: word.End + size}
	}
	word.Text = Fold(s[word.Start:word.End])
	return word, whose
}

// Tokens splits a clean line into tokens. What stands in quotation marks or in
// square brackets is one token.
func Tokens(s string, dst []Token) []Token {
	depth := 0
	for at := 0; at < len(s); {
		t, inside := PieceAt(s, at, betweenDigits), depth > 0
		switch {
		case t.Text == " " || t.Text == "\n":
			at = t.End
			continue
		case t.Kind == WordToken:
			t.End = digitsEnd(s, t)
			t.Text = strings.ToLower(s[at:t.End])
		case leadsNumber(s, at) || SignAt(s, at, dst):
			t = numberFrom(s, at, betweenDigits)
		case t.Text == `"` || t.Text == "[":
			if end := nameEnd(s, at); end > 0 {
				t.Kind, t.End, t.Text = NameToken, end, s[at:end]
			}
		case t.Text == "(":
			depth++
		case t.Text == ")":
			depth = max(depth-1, 0)
		}
		t.Inside = inside
		dst = append(dst, t)
		at = t.End
	}
	return dst
}

// leadsNumber reports that a decimal sign begins a number: ".5 kg". A comma before three
// digits parts two lines: "turkey 600 g ,200 g rice".
func leadsNumber(s string, at int) bool {
	apart := at == 0 || s[at-1] == ' ' || s[at-1] == '('
	return apart && at+1 < len(s) && IsASCIIDigit(s[at+1]) && (s[at] == '.' || s[at] == ',' && numberFrom(s, at+1, betweenDigits).End-at < 4)
}

// SignAt reports a minus sign that belongs to a number: a digit follows it
// directly, and it begins the line or stands where an amount is due. After a
// word it is a dash ("turkey -250 g").
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

// digitsEnd is the end of a word with the apostrophes behind it, and with the digits of
// the words of which they are a part: "B12", "D3", "omega3".
func digitsEnd(s string, word Token) int {
	at := len(s) - len(strings.TrimLeft(s[word.End:], "'’"))
	if language.In("takes-digits", strings.ToLower(s[word.Start:at])) {
		for at < len(s) && IsASCIIDigit(s[at]) {
			at++
		}
	}
	return at
}

// nameEnd is the end of a quoted name or a bracketed key that begins at a byte, 0 where
// it is not closed or empty.
func nameEnd(s string, at int) int {
	closing := Choose(s[at] == '[', "]", `"`)
	if n := strings.Index(s[at+1:], closing); n > 0 && strings.TrimSpace(s[at+1:at+1+n]) != "" {
		return at + n + 2
	}
	return 0
}

package nutrition

import (
	"strconv"
	"strings"
	"unicode"
)

// Limits of what is looked at in a query; a food's name is far shorter.
const (
	maxQueryRunes = 200
	maxWords      = 32
)

// word is one word or number of a query.
type word struct {
	text    string  // lower case, without accents and plural; empty for a number
	raw     string  // as it was typed
	number  float64 // of a number
	percent bool    // the number is a percentage
	lean    bool    // the percentage is lean meat as "80/20" is, not fat
}

// split appends the words of a query to dst. Everything but letters and
// digits separates; apostrophes and combining marks vanish.
func split(dst []word, query string) []word {
	query = firstRunes(query, maxQueryRunes)
	var buf []byte // the word's letters
	start, isNumber := -1, false
	flush := func(end int) {
		if start >= 0 && len(dst) < maxWords {
			w := word{raw: query[start:end]}
			if isNumber {
				w.number, _ = strconv.ParseFloat(strings.Replace(w.raw, ",", ".", 1), 64)
			} else {
				w.text = cutPlural(string(buf))
			}
			dst = append(dst, w)
		}
		start, isNumber, buf = -1, false, buf[:0]
	}
	for i, r := range query {
		switch {
		case r >= '0' && r <= '9':
			if start < 0 {
				start, isNumber = i, true
			}
			if !isNumber {
				buf = append(buf, byte(r))
			}
		case isNumber && (r == '.' || r == ',') && digitAt(query, i+1):
		case unicode.IsLetter(r):
			if isNumber {
				flush(i)
			}
			if start < 0 {
				start = i
			}
			buf = appendFolded(buf, r)
		case r == '\'' || r == '\u2019' || unicode.Is(unicode.Mn, r):
		case r == '%':
			flush(i)
			markPercent(dst)
		default:
			flush(i)
		}
	}
	flush(len(query))
	return ratios(dst)
}

func firstRunes(s string, n int) string {
	if len(s) <= n {
		return s
	}
	for i := range s {
		if n--; n < 0 {
			return s[:i]
		}
	}
	return s
}

func digitAt(s string, i int) bool { return i < len(s) && s[i] >= '0' && s[i] <= '9' }

// markPercent makes a percentage of a number before it.
func markPercent(words []word) {
	if n := len(words); n > 0 && words[n-1].text == "" {
		words[n-1].percent = true
	}
}

// ratios folds "80/20" and "85 % 15 %" into one percentage of lean, and
// "85 percent" into a percentage.
func ratios(words []word) []word {
	out := words[:0]
	for _, w := range words {
		n := len(out)
		switch {
		case n > 0 && out[n-1].text == "" && (w.text == "percent" || w.text == "pct"):
			out[n-1].percent = true
			continue
		case n > 0 && w.text == "" && out[n-1].text == "" && out[n-1].number+w.number == 100 && !out[n-1].lean:
			out[n-1].percent, out[n-1].lean = true, true
			out[n-1].number = max(out[n-1].number, w.number)
			continue
		}
		out = append(out, w)
	}
	return out
}

// appendFolded appends a letter in lower case without its accent.
func appendFolded(buf []byte, r rune) []byte {
	r = unicode.ToLower(r)
	if r < 0x80 {
		return append(buf, byte(r))
	}
	for _, f := range folds {
		if strings.ContainsRune(f.from, r) {
			return append(buf, f.to...)
		}
	}
	return append(buf, string(r)...)
}

// folds are the accented letters of the languages that food names are
// borrowed from.
var folds = []struct{ from, to string }{
	{"àáâãäåāă", "a"}, {"çćč", "c"}, {"èéêëēęě", "e"}, {"ìíîïī", "i"}, {"ñńň", "n"},
	{"òóôõöøō", "o"}, {"ùúûüū", "u"}, {"ýÿ", "y"}, {"śšş", "s"}, {"žźż", "z"}, {"ł", "l"},
	{"ß", "ss"}, {"æ", "ae"}, {"œ", "oe"},
}

// cutPlural cuts the plural ending off an English noun. It need not be right,
// only the same for the singular and the plural.
func cutPlural(s string) string {
	n := len(s)
	if n < 4 || s[n-1] != 's' {
		return s
	}
	switch end := s[n-3:]; {
	case end[1:] == "ss" || end[1:] == "us" || end[1:] == "is":
		return s
	case end == "ies" && n > 4:
		return s[:n-3] + "y"
	case end == "oes" || end == "xes" || end == "ses" && s[n-4] == 's':
		return s[:n-2]
	case end == "hes" && (s[n-4] == 'c' || s[n-4] == 's'):
		return s[:n-2]
	case end == "ves" && n > 5 && s[n-4] != 'i' && s[n-4] != 'o':
		return s[:n-3] + "f"
	}
	return s[:n-1]
}

// singularWords returns the words of a table's phrase as split gives them.
func singularWords(phrase string) []string {
	words := strings.Fields(phrase)
	for i, w := range words {
		words[i] = cutPlural(w)
	}
	return words
}

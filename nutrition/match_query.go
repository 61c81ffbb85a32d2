package nutrition

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// query is a written name taken apart.
type query struct {
	words    [maxWords]word
	space    [maxWords]uint16
	core     []uint16 // words of food names, sorted, each once
	ignored  []string // words that made no difference, as typed
	unknown  []string // words that no food's name has
	hushed   bool     // there were words that nobody wants to hear of
	leanWord bool     // "lean" without a number
	leanRaw  string   // the percentage, as typed
	facets
}

// readWords takes a name apart; nothing is corrected.
func (q *query) readWords(x *index, words []word) {
	q.core, q.ignored, q.unknown, q.hushed = q.space[:0], nil, nil, false
	q.leanWord, q.leanRaw, q.facets = false, "", facets{}
	graded := slices.ContainsFunc(words, isGraded)
	for i := 0; i < len(words); {
		w := &words[i]
		if w.text == "" {
			if w.number >= 50 && w.number < 100 && graded {
				w.percent = true
			}
			if i > 0 && words[i-1].text == "omega" {
				i++ // the 3 of omega 3
				continue
			}
			i += q.readNumber(words[i:])
			continue
		}
		if p := x.longest(words[i:]); p != nil {
			q.readPhrase(x, p, words[i:i+len(p.words)])
			i += len(p.words)
			continue
		}
		i++
		if w.text == "lean" {
			q.leanWord = true
		} else if id, ok := x.ids[w.text]; ok {
			q.addCore(id)
		} else {
			q.unknown = append(q.unknown, w.raw)
		}
	}
}

// isGraded reports a word of foods that are sold by percentage of lean, with
// which a bare number is one: "ground beef 85".
func isGraded(w word) bool {
	switch w.text {
	case "ground", "mince", "minced", "hamburger", "lean":
		return true
	}
	return false
}

// readNumber reads a percentage of lean or fat, and returns how many words it
// took. Any other number makes no difference.
func (q *query) readNumber(words []word) int {
	n := words[0]
	took, fat := 1, n.number < 50
	if len(words) > 1 && n.percent {
		switch words[1].text {
		case "lean":
			took, fat = 2, false
		case "fat":
			took, fat = 2, true
		}
	}
	if !n.percent || n.number > 100 {
		q.ignored = append(q.ignored, n.raw)
		return 1
	}
	q.lean = n.number
	if fat && !n.lean {
		q.lean = 100 - n.number
	}
	q.lean = math.Round(q.lean*10) / 10
	q.leanRaw = strconv.FormatFloat(n.number, 'f', -1, 64) + "%"
	return took
}

// longest returns the longest phrase that words begin with, nil if none.
func (x *index) longest(words []word) *phrase {
next:
	for _, p := range x.phrases[words[0].text] {
		if len(p.words) > len(words) {
			continue
		}
		for i, w := range p.words {
			if words[i].text != w {
				continue next
			}
		}
		return p
	}
	return nil
}

func (q *query) readPhrase(x *index, p *phrase, words []word) {
	switch p.kind {
	case meansNames:
		for _, name := range p.names {
			q.addCore(x.ids[name])
		}
	case meansFacet:
		q.facets.add(p.facet)
	case meansHush:
		q.hushed = true
	case meansSkip:
		for _, w := range words {
			q.ignored = append(q.ignored, w.raw)
		}
	case meansOther:
		for _, w := range words {
			if id, ok := x.ids[w.text]; ok && x.ownWords[w.text] {
				q.addCore(id)
			} else {
				q.unknown = append(q.unknown, w.raw)
			}
		}
	}
}

func (q *query) addCore(id uint16) {
	if i, found := slices.BinarySearch(q.core, id); !found && len(q.core) < cap(q.core) {
		q.core = slices.Insert(q.core, i, id)
	}
}

// signature is a key of all that the query says.
func (q *query) signature() string {
	var dst []byte
	for _, id := range q.core {
		dst = append(dst, byte(id), byte(id>>8))
	}
	if q.leanWord {
		dst = append(dst, 'L')
	}
	tenths := uint16(q.lean * 10)
	return string(append(dst, '|', byte(q.state), byte(q.method), byte(q.skin), byte(q.bone), byte(tenths), byte(tenths>>8)))
}

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
			if n := len(dst); n > 0 && dst[n-1].text == "" { // of the number before it
				dst[n-1].percent = true
			}
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

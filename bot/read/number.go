package read

import (
	"strconv"
	"strings"
)

// number is a number as it was typed.
type number struct {
	value     float64
	thousands float64 // "1,250" read the other way, with the comma for thousands; 0 where there is no doubt
	fraction  bool    // typed as "1/2"
	bad       bool    // digits that are no number: "1/0", "80/20", "1.2.3,4"
	point     bool    // typed as "1.200": a point and three digits, which many write for thousands
}

// whole returns the number with a doubtful comma read for thousands.
func (n number) whole() float64 {
	if n.thousands > 0 {
		return n.thousands
	}
	return n.value
}

// parseNumber reads digits with their points, commas and slashes, with a
// minus sign at most in front.
//
// Where a point and a comma are both there, the last is the decimal sign and
// the others stand for thousands; where one of them is there twice or more it
// stands for thousands. A single point is a decimal point. A single comma is
// a decimal comma, but if exactly three digits follow it and one to three go
// before, the first of which is not 0, it may be either.
func parseNumber(w string) number {
	sign := 1.0
	if strings.HasPrefix(w, "-") {
		sign, w = -1, w[1:]
	}
	if top, bottom, ok := strings.Cut(w, "/"); ok {
		a, okA := parseDecimal(top)
		b, okB := parseDecimal(bottom)
		if !okA || !okB || b == 0 {
			return number{value: -1, bad: true}
		}
		// "80/20" and "93/7" are how lean meat is.
		lean := b > 24 || a > 3*b
		return number{value: sign * a / b, fraction: !lean, bad: lean}
	}
	x, ok := parseDecimal(w)
	if !ok {
		return number{value: -1, bad: true}
	}
	n := number{value: sign * x, point: pointOfThousands(w)}
	if comma := strings.IndexByte(w, ','); comma > 0 && comma <= 3 && len(w) == comma+4 && w[0] != '0' && !strings.Contains(w, ".") {
		n.thousands = n.value * 1000
		if whole, err := strconv.ParseFloat(w[:comma]+w[comma+1:], 64); err == nil {
			n.thousands = sign * whole
		}
	}
	return n
}

// pointOfThousands reports that the only sign of a number is a point with
// exactly three digits after it and one to three before, the first not 0.
func pointOfThousands(w string) bool {
	point := strings.IndexByte(w, '.')
	return point > 0 && point <= 3 && len(w) == point+4 && w[0] != '0' && !strings.Contains(w, ",")
}

// parseDecimal reads an unsigned number; a single comma is a decimal comma.
func parseDecimal(w string) (float64, bool) {
	if w == "" || len(w) > 60 || !isASCIIDigit(w[len(w)-1]) {
		return 0, false
	}
	points, commas := strings.Count(w, "."), strings.Count(w, ",")
	if strings.IndexFunc(w, func(r rune) bool { return (r < '0' || r > '9') && r != '.' && r != ',' }) >= 0 {
		return 0, false
	}
	if points+commas > 0 {
		w = decimalPoint(w, points, commas)
	}
	x, err := strconv.ParseFloat(w, 64)
	return x, err == nil
}

// decimalPoint writes a number with a point as its only sign. Groups of
// thousands that have not three digits make it no number: it comes out empty.
func decimalPoint(w string, points, commas int) string {
	group, decimal := "", ""
	switch {
	case points > 0 && commas > 0:
		if group, decimal = ",", "."; strings.LastIndexByte(w, ',') > strings.LastIndexByte(w, '.') {
			group, decimal = ".", ","
		}
	case commas > 1:
		group = ","
	case points > 1:
		group = "."
	default:
		return strings.Replace(w, ",", ".", 1)
	}
	head, tail, broken := w, "", false
	if decimal != "" {
		head, tail, broken = strings.Cut(w, decimal)
	}
	groups := strings.Split(head, group)
	for i, g := range groups {
		if i > 0 && len(g) != 3 || i == 0 && (len(g) == 0 || len(g) > 3) {
			return ""
		}
	}
	if broken {
		return strings.Join(groups, "") + "." + tail
	}
	return strings.Join(groups, "")
}

// numberAt reads the number that begins at a token, in digits or as words, and
// returns the token after it, or 0: "1 1/2", "1½", "two", "a dozen", "half a",
// "a quarter of a", "one and a half", "two hundred and ten", "five point six".
func (l *lexed) numberAt(i int) (number, int) {
	n, end := l.smallNumberAt(i)
	if end == 0 {
		return number{}, 0
	}
	if by := map[string]float64{"hundred": 100, "thousand": 1000}[l.word(end)]; by > 0 && !n.fraction {
		n, end = number{value: n.whole() * by}, end+1
		at := end
		if l.any(at, "and") {
			at++
		}
		if figures[l.word(at)] > 0 {
			if rest, to := l.numberAt(at); rest.value < by {
				n.value, end = n.value+rest.value, to
			}
		}
	}
	if tenths := figures[l.word(end+1)]; tenths > 0 && tenths < 10 && l.any(end, "point", "comma") {
		n, end = number{value: n.whole() + tenths/10}, end+2
	}
	return n, end
}

// smallNumberAt is numberAt without hundreds.
func (l *lexed) smallNumberAt(i int) (number, int) {
	if i >= len(l.tokens) || l.tokens[i].used {
		return number{}, 0
	}
	switch t := &l.tokens[i]; t.kind {
	case wordToken:
		return l.spelledAt(i)
	case numberToken:
		if t.num.bad {
			return number{}, 0
		}
		n, end := t.num, i+1
		if n.fraction || n.value < 0 {
			return n, end
		}
		if f, ok := l.fractionAt(end); ok && n.value == float64(int(n.value)) {
			return number{value: n.value + f}, end + 1
		}
		if f, ok := l.fractionAt(end + 1); ok && l.joined(end, "-") && n.value == float64(int(n.value)) {
			return number{value: n.value + f}, end + 2 // "1-1/2"
		}
		if l.any(end, "dozen") {
			return number{value: n.value * 12}, end + 1
		}
		if f, to := l.andPart(end); to > 0 {
			return number{value: n.value + f}, to
		}
		return n, end
	}
	return number{}, 0
}

// fractionAt returns a fraction below 1 that is typed as such.
func (l *lexed) fractionAt(i int) (float64, bool) {
	if i >= len(l.tokens) || l.tokens[i].used {
		return 0, false
	}
	n := l.tokens[i].num
	return n.value, n.fraction && n.value > 0 && n.value < 1
}

// joined reports that a sign stands at a place with no space around it.
func (l *lexed) joined(i int, sign string) bool {
	return l.any(i, sign) && i > 0 && i+1 < len(l.tokens) &&
		l.tokens[i-1].end == l.tokens[i].start && l.tokens[i].end == l.tokens[i+1].start
}

// andPart reads "and a half" or "and a quarter", and "and half" where it is not
// half of something else.
func (l *lexed) andPart(i int) (float64, int) {
	switch part := numberWords[l.word(i+2)]; {
	case l.any(i, "and", "n", "an") && l.any(i+1, "a", "one") && l.any(i+2, "half", "quarter"):
		return part, i + 3
	case l.any(i, "and", "n") && l.any(i+1, "half") && !l.any(i+2, "a", "an", "the"):
		return 0.5, i + 2
	}
	return 0, 0
}

// spelledAt reads a number written as words. "quarter" is one only before
// what it is a quarter of: a chicken leg quarter is none.
func (l *lexed) spelledAt(i int) (number, int) {
	w := l.word(i)
	n, ok := numberWords[w]
	if !ok {
		return number{}, 0
	}
	end := i + 1
	switch w {
	case "a", "an":
		if m := l.word(end); m == "half" || m == "quarter" || m == "dozen" || m == "couple" {
			return l.spelledAt(end)
		}
	case "half", "quarter", "couple", "dozen":
		if l.any(end, "of") {
			end++
		}
		if w == "half" && l.any(end, "a") && l.any(end+1, "dozen") {
			return number{value: 6}, end + 2
		}
		if w == "half" && l.any(end, "dozen") {
			return number{value: 6}, end + 1
		}
		bare := end == i+1
		if (w == "half" || w == "quarter") && l.any(end, "a", "an") {
			end++
			bare = false
		}
		if _, to := l.unitAt(end); w == "quarter" && bare && to == 0 {
			return number{}, 0
		}
	default:
		if next := end; n >= 20 { // "twenty five", "twenty-five"
			if l.joined(next, "-") {
				next++
			}
			if one := figures[l.word(next)]; one > 0 && one < 10 {
				n, end = n+one, next+1
			}
		}
		switch {
		case l.any(end, "dozen"):
			return number{value: n * 12}, end + 1
		case l.any(end, "half"):
			return number{value: n / 2}, end + 1
		case l.any(end, "quarter", "quarters"):
			return number{value: n / 4}, end + 1
		}
		if f, to := l.andPart(end); to > 0 {
			return number{value: n + f}, to
		}
	}
	return number{value: n}, end
}

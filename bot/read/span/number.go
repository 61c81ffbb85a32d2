package span

import (
	"regexp"
	"strconv"
	"strings"
)

// Numeral is a number as it was typed.
type Numeral struct {
	Value     float64
	thousands float64 // "1,250" read the other way, with the comma for thousands; 0 where there is no doubt
	Fraction  bool    // typed as "1/2"
	Bad       bool    // digits that are no number: "1/0", "80/20", "1.2.3,4"
	Point     bool    // typed as "1.200": a point and three digits, which many write for thousands
}

// Whole returns the number with a doubtful comma read for thousands.
func (n Numeral) Whole() float64 {
	return Choose(n.thousands > 0, n.thousands, n.Value)
}

// parseNumber reads digits with their points, commas and slashes, with a
// minus sign at most in front.
//
// Where a point and a comma are both there, the last is the decimal sign and
// the others stand for thousands; where one of them is there twice or more it
// stands for thousands. A single point is a decimal point. A single comma is
// a decimal comma, but if exactly three digits follow it and one to three go
// before, the first of which is not 0, it may be either.
func parseNumber(w string) Numeral {
	sign := 1.0
	if strings.HasPrefix(w, "-") {
		sign, w = -1, w[1:]
	}
	if top, bottom, ok := strings.Cut(w, "/"); ok {
		a, okA := parseDecimal(top)
		b, okB := parseDecimal(bottom)
		if !okA || !okB || b == 0 {
			return Numeral{Value: -1, Bad: true}
		}
		// "80/20" and "93/7" are how lean meat is.
		lean := b > 24 || a > 3*b
		return Numeral{Value: sign * a / b, Fraction: !lean, Bad: lean}
	}
	x, ok := parseDecimal(w)
	if !ok {
		return Numeral{Value: -1, Bad: true}
	}
	n := Numeral{Value: sign * x, Point: pointOfThousands(w)}
	if comma := strings.IndexByte(w, ','); comma > 0 && comma <= 3 && len(w) == comma+4 && w[0] != '0' && !strings.Contains(w, ".") {
		n.thousands = n.Value * 1000
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
	if w == "" || len(w) > 60 || !IsASCIIDigit(w[len(w)-1]) {
		return 0, false
	}
	signs := strings.Count(w, ".") + strings.Count(w, ",")
	if strings.IndexFunc(w, func(r rune) bool { return (r < '0' || r > '9') && r != '.' && r != ',' }) >= 0 {
		return 0, false
	}
	if signs > 0 {
		w = decimalPoint(w, signs)
	}
	x, err := strconv.ParseFloat(w, 64)
	return x, err == nil
}

// Numbers with commas or points for thousands, and the other sign for decimals at most.
var (
	commaGroups = regexp.MustCompile(`^\d{1,3}(,\d{3})+(\.\d+)?$`)
	pointGroups = regexp.MustCompile(`^\d{1,3}(\.\d{3})+(,\d+)?$`)
)

// decimalPoint writes a number of so many signs with a point as its only one. Groups of
// thousands that have not three digits make it no number: it comes out empty.
func decimalPoint(w string, signs int) string {
	switch {
	case signs == 1:
		return strings.Replace(w, ",", ".", 1)
	case commaGroups.MatchString(w):
		return strings.ReplaceAll(w, ",", "")
	case pointGroups.MatchString(w):
		return strings.Replace(strings.ReplaceAll(w, ".", ""), ",", ".", 1)
	}
	return ""
}

// NumberAt reads the number that begins at a token, in digits or as words, and
// returns the token after it, or 0: "1 1/2", "1½", "two", "a dozen", "half a",
// "a quarter of a", "one and a half", "two hundred and ten", "five point six".
func (l *Lexed) NumberAt(i int) (Numeral, int) {
	n, end := l.smallNumberAt(i)
	if end == 0 {
		return Numeral{}, 0
	}
	if by := map[string]float64{"hundred": 100, "thousand": 1000}[l.Word(end)]; by > 0 && !n.Fraction {
		n, end = Numeral{Value: n.Whole() * by}, end+1
		at := l.After(end, "and")
		if Figures[l.Word(at)] > 0 {
			if rest, to := l.NumberAt(at); rest.Value < by {
				n.Value, end = n.Value+rest.Value, to
			}
		}
	}
	if tenths := max(Figures[l.Word(end+1)], float64(DigitsOf(l.Word(end+1)))); tenths > 0 && tenths < 10 && l.Any(end, "point", "comma") {
		n, end = Numeral{Value: n.Whole() + tenths/10}, end+2
	}
	return n, end
}

// InFigures writes the numbers of a text that stand as words before a unit in figures: "two
// hundred and fifty grams" is "250 grams".
func InFigures(s string) string {
	l, out, from := Lex(s), "", 0
	for i := 0; i < len(l.Tokens); i++ {
		n, end := l.NumberAt(i)
		if end == 0 || l.Tokens[i].Kind != WordToken || n.Value < 2 || !l.IsUnit(end) {
			continue
		}
		out += s[from:l.Tokens[i].Start] + strconv.FormatFloat(n.Value, 'f', -1, 64)
		from, i = l.Tokens[end-1].End, end-1
	}
	return out + s[from:]
}

// smallNumberAt is numberAt without hundreds.
func (l *Lexed) smallNumberAt(i int) (Numeral, int) {
	if i >= len(l.Tokens) || l.Tokens[i].Used {
		return Numeral{}, 0
	}
	switch t := &l.Tokens[i]; t.Kind {
	case WordToken:
		return l.spelledAt(i)
	case NumberToken:
		if t.Num.Bad {
			return Numeral{}, 0
		}
		n, end := t.Num, i+1
		if n.Fraction || n.Value < 0 {
			return n, end
		}
		if f, ok := l.fractionAt(end); ok && n.Value == float64(int(n.Value)) {
			return Numeral{Value: n.Value + f}, end + 1
		}
		if f, ok := l.fractionAt(end + 1); ok && l.Joined(end, "-") && n.Value == float64(int(n.Value)) {
			return Numeral{Value: n.Value + f}, end + 2 // "1-1/2"
		}
		if l.Any(end, "dozen") {
			return Numeral{Value: n.Value * 12}, end + 1
		}
		if f, to := l.AndPart(end); to > 0 {
			return Numeral{Value: n.Value + f}, to
		}
		return n, end
	}
	return Numeral{}, 0
}

// fractionAt returns a fraction below 1 that is typed as such.
func (l *Lexed) fractionAt(i int) (float64, bool) {
	if i >= len(l.Tokens) || l.Tokens[i].Used {
		return 0, false
	}
	n := l.Tokens[i].Num
	return n.Value, n.Fraction && n.Value > 0 && n.Value < 1
}

// Joined reports that a sign stands at a place with no space around it.
func (l *Lexed) Joined(i int, sign string) bool {
	return l.Any(i, sign) && i > 0 && i+1 < len(l.Tokens) &&
		l.Tokens[i-1].End == l.Tokens[i].Start && l.Tokens[i].End == l.Tokens[i+1].Start
}

// AndPart reads "and a half", "and a quarter" or "and three quarters", and "and half" where
// it is not half of something else.
func (l *Lexed) AndPart(i int) (float64, int) {
	switch part := NumberWords[l.Word(i+2)]; {
	case l.Any(i, "and", "n", "an") && l.Any(i+1, "a", "one") && l.Any(i+2, "half", "quarter"):
		return part, i + 3
	case l.Any(i, "and", "n", "an") && l.Any(i+1, "three", "3") && l.Any(i+2, "quarter", "quarters"):
		return 0.75, i + 3
	case l.Any(i, "and", "n") && l.Any(i+1, "half") && !l.Any(i+2, "a", "an", "the"):
		return 0.5, i + 2
	}
	return 0, 0
}

// spelledAt reads a number written as words. "quarter" is one only before
// what it is a quarter of: a chicken leg quarter is none.
func (l *Lexed) spelledAt(i int) (Numeral, int) {
	w := l.Word(i)
	n, ok := NumberWords[w]
	if !ok {
		return Numeral{}, 0
	}
	end := i + 1
	switch w {
	case "a", "an":
		if m := l.Word(end); m == "half" || m == "quarter" || m == "dozen" || m == "couple" {
			return l.spelledAt(end)
		}
	case "half", "quarter", "couple", "dozen":
		end = l.After(end, "of")
		bare := end == i+1
		if (w == "half" || w == "quarter") && l.Any(end, "a", "an") {
			end++
			bare = false
		}
		if w == "half" && l.Any(end, "dozen") {
			return Numeral{Value: 6}, end + 1
		}
		if _, to := l.UnitAt(end); w == "quarter" && bare && to == 0 {
			return Numeral{}, 0
		}
	default:
		if next := end; n >= 20 { // "twenty five", "twenty-five"
			if l.Joined(next, "-") {
				next++
			}
			if one := Figures[l.Word(next)]; one > 0 && one < 10 {
				n, end = n+one, next+1
			}
		}
		switch {
		case l.Any(end, "dozen"):
			return Numeral{Value: n * 12}, end + 1
		case l.Any(end, "half"):
			return Numeral{Value: n / 2}, end + 1
		case l.Any(end, "quarter", "quarters"):
			return Numeral{Value: n / 4}, end + 1
		}
		if f, to := l.AndPart(end); to > 0 {
			return Numeral{Value: n + f}, to
		}
	}
	return Numeral{Value: n}, end
}

// Plain prints a number in full, without an exponent.
func Plain(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

package read

import (
	"cmp"
	"maps"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
)

// moneyWords are the words and signs of currencies, each with its ISO 4217 code;
// "hundredth" is of a part of whichever it is, and "dollar" and "krone" of which of
// several nobody knows.
var moneyWords = language.Kinds[string]("money")

// holderWords are in what food is sold, with the measure that it is in.
var holderWords = language.Kinds[string]("holder")

// Money is a sum as typed, with a point: "6.50". Currency is its ISO 4217 code,
// "dollar" or "krone" where that may be several, empty where nobody said.
type Money struct {
	Sum, Currency string
	Cents         bool // the sum is in hundredths
}

// priceReaders are readers of prices: a sum, one with a sign, one with a sign or
// decimals, one for so much, and what food is sold in.
var priceReaders = map[slot]func(m *matcher, at int, s *Sentence) (end int){
	"sum": func(m *matcher, at int, s *Sentence) (end int) { s.Money, end = m.moneyAt(at); return end },
	"price": func(m *matcher, at int, s *Sentence) (end int) {
		s.Money, end = m.moneyAt(at)
		return span.Choose(m.pricedAt(at), end, 0)
	},
	"decimal": func(m *matcher, at int, s *Sentence) (end int) {
		s.Money, end = m.moneyAt(at)
		return span.Choose(m.pricedAt(at) || strings.Contains(s.Money.Sum, "."), end, 0)
	},
	"rate": (*matcher).rateAt,
	"held": func(m *matcher, at int, s *Sentence) (end int) {
		if holderWords[m.Word(at)] == "piece" {
			return 0 // "eggs 45 kr for 12"
		}
		return m.heldAt(at, s)
	},
	"currency": func(m *matcher, at int, s *Sentence) (end int) {
		if s.Words = moneyWords[m.Word(at)]; s.Words == "" && len(m.Word(at)) == 3 {
			s.Words = strings.ToUpper(m.Word(at))
		}
		if s.Words == "" || s.Words == "hundredth" {
			return 0
		}
		return at + 1
	},
}

// merged is two maps as one.
func merged[K comparable, V any](a, b map[K]V) map[K]V {
	all := maps.Clone(a)
	maps.Copy(all, b)
	return all
}

// moneyAt reads a sum with the sign or word of a currency, or without.
func (m *matcher) moneyAt(at int) (is Money, end int) {
	if at >= len(m.Tokens) || !m.Tokens[at].IsFigure() {
		return Money{}, 0
	}
	w := &m.Tokens[at]
	if is.Sum = decimal(w.Text); is.Sum == "" || w.Num.Whole() < 0 {
		return Money{}, 0
	}
	end = at + 1
	is.Currency = cmp.Or(signAt(strings.TrimRight(m.Text[:w.Start], " "), strings.HasSuffix), signAt(strings.TrimLeft(m.Text[w.End:], " "), strings.HasPrefix))
	if name := moneyWords[m.Word(end)]; name != "" && !(m.Word(end) == "pounds" && at+2 == len(m.Tokens)) && !m.slashed(end) {
		if end++; name == "hundredth" {
			is.Cents = true
		} else if is.Currency == "" {
			is.Currency = name
		}
	}
	return is, end
}

// signAt is the currency whose sign stands at an end of a text.
func signAt(s string, stands func(s, sign string) bool) string {
	for sign, code := range moneyWords {
		if stands(s, sign) && (sign[0] < 'a' || sign[0] > 'z') { // "kr" begins other words
			return code
		}
	}
	return ""
}

// decimal is a number as typed with a point before its decimals; empty where that
// may be read in two ways, "1.250", or is no sum.
func decimal(s string) string {
	mark := strings.LastIndexAny(s, ".,")
	if strings.Contains(s, "/") || len(s) > 12 || s[0] == '-' {
		return ""
	}
	if mark < 0 {
		return s
	}
	whole, part := strings.NewReplacer(".", "", ",", "").Replace(s[:mark]), s[mark+1:]
	switch {
	case len(part) == 3 && s[mark] == ',':
		return whole + part
	case len(part) > 2 || len(part) == 0:
		return ""
	}
	return whole + "." + part
}

// slashed reports that a "/" stands before a word: "6.50/kg".
func (m *matcher) slashed(at int) bool {
	return at > 0 && at < len(m.Tokens) && strings.Contains(m.Text[m.Tokens[at-1].End:m.Tokens[at].Start], "/")
}

// SumSaid reads the sum that corrects one told before, and for how much that is where
// it is said: "no, 6.80", "it was 4.50 a kilo". Led reports that more is said than
// the sum.
func SumSaid(text string) (s Sentence, led, ok bool) {
	m := newMatcher(text, span.Names{})
	at := m.past("sum-leads", 0)
	if end := m.rateAt(at, &s); end > 0 && end == len(m.Tokens) {
		return s, at > 0, true
	}
	s = Sentence{}
	end := 0
	s.Money, end = m.moneyAt(at)
	return s, at > 0, end > 0 && end == len(m.Tokens)
}

// TellsMoney reports that a text has a sum of money in it, or a price of so much.
func TellsMoney(text string) bool {
	m := matcher{Lexed: span.WordsOf(text)}
	return m.some(m.pricedAt) || m.some(func(at int) bool { return m.rateAt(at, &Sentence{}) > 0 })
}

// OnlyTellsMoney reports that a text has a sum of money in it, by its sign or word,
// and does not say that something was fed or eaten.
func OnlyTellsMoney(text string) bool {
	m := matcher{Lexed: span.WordsOf(text)}
	return m.some(m.pricedAt) && !SaysOneOf(text, "treat-verbs")
}

// pricedAt reports that a sum with the sign or word of a currency stands at a place.
func (m *matcher) pricedAt(at int) bool {
	is, end := m.moneyAt(at)
	return end > 0 && (is.Currency != "" || is.Cents)
}

// Millilitre is the measure of what is sold by volume: an oil.
const Millilitre = "ml"

// rateAt reads a price of so much: "6.50 a kilo", "€8.99 for 250 g", "5 for 24",
// "30 p each", "2.99 a dozen", "1.20 a tin".
func (m *matcher) rateAt(at int, s *Sentence) (end int) {
	if s.Money, end = m.moneyAt(at); end == 0 {
		return 0
	}
	joint := m.Word(end)
	switch {
	case joint == "each" || joint == "apiece":
		s.Count, s.Measure = 1, "piece"
		return end + 1
	case language.In("rate-joints", joint):
		end++
		if joint == "for" {
			end = m.After(end, "a")
		}
	case !m.slashed(end):
		return 0
	}
	if g, imperial, to := m.massAt(end); to > 0 {
		s.Grams, s.Imperial = g, s.Imperial || imperial
		if holderWords[m.Word(to)] == "pack" {
			to++ // "a 250 g tub"
		}
		return to
	}
	n, next := m.numberAt(end)
	if next == 0 {
		n, next = 1, end
	}
	switch u, to := m.UnitAt(next); {
	case to > 0 && u.Kind == span.ByMass && u.Factor >= 1 && next == end:
		s.Grams, s.Imperial = nutrition.Grams(u.Factor), s.Imperial || !u.Metric
		return to
	case to > 0 && u.Kind == span.ByVolume:
		s.Count, s.Measure = n*u.Factor, Millilitre
		return to
	}
	if to := m.heldAt(end, s); to > 0 {
		if g, imperial, of := m.massAt(m.After(to, "of")); of > 0 { // "a bag of 250 g"
			s.Grams, s.Imperial, s.Count, s.Measure = g*nutrition.Grams(s.Count), s.Imperial || imperial, 0, ""
			return of
		}
		return to
	}
	if joint == "for" && next > end && next == len(m.Tokens) && n == float64(int(n)) {
		s.Count, s.Measure = n, "piece"
		return next
	}
	return 0
}

// heldAt reads so many of what food is sold in: "a tin", "2 tins", "tin", "a
// dozen", "60 capsules".
func (m *matcher) heldAt(at int, s *Sentence) (end int) {
	n, next := m.numberAt(at)
	if next == 0 {
		n, next = 1, m.After(at, "a", "an", "one")
	}
	if m.Word(next) == "dozen" || m.Word(next-1) == "dozen" && next > at {
		s.Count, s.Measure = max(n, 12), "piece"
		return m.After(next, "dozen")
	}
	if s.Measure = holderWords[m.Word(next)]; s.Measure == "" {
		return 0
	}
	s.Count = n
	return next + 1
}

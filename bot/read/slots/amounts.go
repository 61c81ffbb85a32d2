package slots

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
)

// quantity is a number with its unit. The unit of a bare one is empty.
type quantity struct {
	from, to int
	n        float64
	unit     string
	kind     span.AmountKind
}

// The kinds of quantities that no recipe has.
const (
	byShare span.AmountKind = iota + 100 // percent
	byTimes                              // "3x", "three times"
	bySpan                               // days, weeks, months, years; hours, minutes
	byMoney
)

// findQuantities finds what is counted or measured; of "200 to 260" and "26
// not 62" only what is meant.
func (s *Found) findQuantities() {
	for i := 0; i < len(s.Tokens); {
		q, end := s.quantityAt(i)
		if end == 0 {
			i++
			continue
		}
		last := len(s.quantities) - 1
		switch between := s.Word(q.from - 1); {
		case last >= 0 && s.quantities[last].to == q.from && q.kind == span.ByMass && q.n < s.quantities[last].n*16 && smaller[s.quantities[last].unit] == q.unit:
			s.quantities[last].to, s.quantities[last].unit = q.to, s.quantities[last].unit+" "+span.Plain(q.n)+" "+q.unit
		case last >= 0 && s.quantities[last].to >= q.from-3 && (between == "to" || between == ">" || between == "→") && s.quantities[last].kind != bySpan:
			s.quantities[last] = q
		case last >= 0 && q.kind == span.ByCount && s.quantities[last].unit == "kg" && (s.quantities[last].to == q.from || s.quantities[last].to == q.from-1 && between == "and"):
			s.quantities[last].to, s.quantities[last].kind = q.to, 0 // "8 kilos 600"
			if s.quantities[last].n += q.n / 1000; q.n >= 100 && q.n < 1000 && s.quantities[last].n < 200 {
				s.quantities[last].kind = span.ByMass
			}
		case last >= 0 && q.kind == span.ByCount && s.quantities[last].unit == "st" && s.quantities[last].to == q.from:
			s.quantities[last].kind = 0
		case between == "not" || between == "no" || between == "isnt" || between == "instead":
		case q.kind == span.ByEnergy && (between == "per" || between == "/"): // no day's kcal
		default:
			s.quantities = append(s.quantities, q)
		}
		i = end
	}
}

var smaller = map[string]string{"lb": "oz", "st": "lb"}

// quantityAt reads the quantity that begins at a place. A time of day, a date
// and a range are none: what they end with is returned alone.
func (s *Found) quantityAt(i int) (q quantity, end int) {
	if s.taken[i] || s.Word(i) == "half" && (s.Any(i-1, "and", "n") || s.Word(i-1) == "a" && s.Word(i-2) == "and") ||
		s.Word(i) == "one" && !s.isPart(i+1) && (s.is(i-1, "one-after") || s.is(i+1, "one-before") || i+1 == len(s.Tokens)) {
		return q, 0
	}
	if day, to := s.dateAt(i); strings.ContainsAny(day, "./-") && !s.IsUnit(to) {
		return quantity{from: i, to: to}, to
	}
	n, end := s.numeral(i)
	if end == 0 {
		if s.Word(i) == "x" && i+1 < len(s.Tokens) && s.Tokens[i+1].Kind == span.NumberToken && !s.IsUnit(i+2) {
			return quantity{i, i + 2, s.Tokens[i+1].Num.Value, "", byTimes}, i + 2
		}
		return q, 0
	}
	if s.Word(end) == "of" && s.Word(end+1) == "a" && n < 1 {
		end += 2
	}
	q = quantity{from: i, to: end, n: n, kind: span.ByCount}
	u, to := s.UnitAt(end)
	next := s.Word(end)
	switch {
	case s.Word(i) == "a" || s.Word(i) == "an":
		if to == 0 && span.TimeUnits[next].Name == "" {
			return q, 0
		}
	case s.Word(end) == ":" || s.Any(end, "am", "pm", "oclock", "th", "st", "nd", "rd", "h") && !strings.Contains(s.Word(end+1), "lb") && s.Tokens[i].Kind == span.NumberToken && (next != "st" || n < 32 && math.Mod(n, 10) == 1):
		return q, 0
	case i > 0 && s.Word(i-1) == ":" && i > 1 && s.Tokens[i-2].Kind == span.NumberToken:
		return q, 0
	case (next == "-" || next == "–" || next == "or") && end+1 < len(s.Tokens) && s.Tokens[end+1].Kind == span.NumberToken:
		_, to := s.numeral(end + 1)
		return quantity{from: i, to: to}, to
	case i > 0 && (s.Word(i-1) == "£" || s.Word(i-1) == "$" || s.Word(i-1) == "€"):
		q.kind = byMoney
		return q, end
	}
	switch {
	case next == "%" || next == "percent" || next == "pct":
		q.unit, q.kind, q.to = "%", byShare, end+1
	case next == "per" && s.Word(end+1) == "cent":
		q.unit, q.kind, q.to = "%", byShare, end+2
	case next == "times" || next == "x" && (s.joinedTo(end) || to == 0):
		q.kind, q.to = byTimes, end+1
	case next == "k" && s.joinedTo(end):
		q.unit, q.kind, q.to = "kg", span.ByMass, end+1
	case span.TimeUnits[next].Name != "" && (len(next) > 2 || s.Tokens[i].Kind == span.NumberToken):
		q.unit, q.kind, q.to = span.TimeUnits[next].Name, bySpan, end+1
	case to > 0 && next != "c" && next != "t":
		q.unit, q.kind, q.to = u.Name, u.Kind, to
		if u.Kind == span.ByVolume && u.Factor != 1 && u.Name == "ml" {
			q.n *= u.Factor
		}
	}
	if part, to := s.AndPart(q.to); part > 0 && q.to > end {
		q.n, q.to = q.n+part, to
	}
	if q.unit == "hour" && q.n < 1 {
		q.n, q.unit = q.n*60, "minute"
	}
	return q, q.to
}

// isPart reports that "and a half" stands at a place.
func (s *Found) isPart(i int) bool { _, end := s.AndPart(i); return end > 0 }

// joinedTo reports that a token follows the one before with no space.
func (s *Found) joinedTo(i int) bool { return s.Tokens[i-1].End == s.Tokens[i].Start }

// numeral reads a number. A part of something is none, and "1,250 kg" is no
// tonne.
func (s *Found) numeral(i int) (n float64, end int) {
	x, end := s.NumberAt(i)
	if end == 0 || x.Fraction && x.Value > 1 {
		return 0, 0
	}
	if x.Value < 100 && span.UnitWords[s.Word(end)].Name == "kg" {
		return x.Value, end
	}
	return x.Whole(), end
}

// text is a quantity as a value: "27 kg", "2 pumps", "3"; empty for none.
func (q *quantity) text() string {
	switch {
	case q == nil:
		return ""
	case q.unit == "":
		return span.Plain(q.n)
	case q.unit == "iu":
		return span.Plain(q.n) + " IU"
	case (q.kind == span.ByForm || q.kind == bySpan || q.kind == span.ByMeasure && len(q.unit) > 4) && q.n > 1:
		return span.Plain(q.n) + " " + plural(q.unit)
	}
	return span.Plain(q.n) + " " + q.unit
}

func plural(w string) string {
	hissed := strings.HasSuffix(w, "ch") || strings.HasSuffix(w, "x") || strings.HasSuffix(w, "sh")
	return w + span.Choose(hissed, "es", "s")
}

// one is the quantity of some kinds that a text names: none where it names
// several that differ.
func (s *Found) one(kinds ...span.AmountKind) *quantity {
	var found *quantity
	for i := range s.quantities {
		q := &s.quantities[i]
		if !slices.Contains(kinds, q.kind) {
			continue
		}
		if found != nil && (found.n != q.n || found.unit != q.unit) {
			return nil
		}
		found = q
	}
	return found
}

func (s *Found) has(kinds ...span.AmountKind) bool {
	return slices.ContainsFunc(s.quantities, func(q quantity) bool { return slices.Contains(kinds, q.kind) })
}

var amountKinds = []span.AmountKind{span.ByMass, span.ByVolume, span.ByMeasure, span.ByForm}

// amount is how much, of whatever an intent is about.
func (s *Found) amount(intent string) string {
	q := s.one(amountKinds...)
	if q == nil && !s.has(amountKinds...) && intent != "batch.log" && intent != "scale.to" && intent != "amount.judge" {
		q = s.one(span.ByCount)
	}
	switch {
	case q == nil, intent == "batch.log" && q.kind != span.ByMass, language.In("intent:eats", intent) && (q.unit == "kg" && q.n > 2 || q.unit == "lb" && q.n > 5 || q.unit == "st"):
		return ""
	case intent == "recipe.set" && q.kind == span.ByCount && q.n >= 10:
		return span.Plain(q.n) + " g"
	}
	return q.text()
}

// count is how many packs, steps or pieces.
func (s *Found) count(intent string) string {
	q := s.one(span.ByMeasure)
	if q == nil && !s.has(span.ByMeasure) {
		q = s.one(span.ByCount, byTimes)
	}
	switch {
	case q == nil && intent == "undo" && s.saysAny("twice", "both") >= 0:
		return "2"
	case q == nil || intent == "supp.stock" && s.has(span.ByForm, span.ByMass, span.ByVolume):
		return ""
	}
	return span.Plain(q.n)
}

// dose is how much of a supplement.
func (s *Found) dose(intent string) string {
	q := s.one(span.ByForm, span.ByMeasure, span.ByMass, span.ByVolume, span.ByActive)
	return cmp.Or(q, s.one(span.ByForm, span.ByMeasure)).text()
}

func (s *Found) kcal(intent string) string {
	q := s.one(span.ByEnergy)
	if q == nil && !s.has(span.ByEnergy) && intent != "scale.to" {
		q = s.one(span.ByCount)
	}
	if q == nil || q.kind == span.ByCount && (q.n < 80 || q.n > 9000) || q.unit == "kj" || q.unit == "mj" {
		return ""
	}
	if intent == "kcal.set" && s.change(q) != "" && !s.Any(q.from-1, "to", "at", "on", "than", "is") {
		return s.change(q) + span.Plain(q.n)
	}
	return span.Plain(q.n)
}

// factor is by how much something is multiplied, or the percent that it
// changes by.
func (s *Found) factor(intent string) string {
	if q := s.one(byShare); q != nil {
		down, up := s.says("down-words") >= 0, s.says("up-words") >= 0
		switch {
		case intent == "scale.to":
			return span.Plain(q.n / 100)
		case down != up && down:
			return "-" + span.Plain(q.n) + " %"
		case down != up:
			return "+" + span.Plain(q.n) + " %"
		}
		return ""
	}
	if q := s.one(byTimes); q != nil {
		return span.Plain(q.n)
	}
	for i := range s.Tokens {
		w := s.Word(i)
		if f := span.Multiples[w]; f > 0 && !s.has(amountKinds...) && !s.Any(i-1, "and", "past", "another", "by") && !s.Any(i+1, "again", "as", "past") && (w != "half" || !s.Any(i+1, "that", "the")) {
			return span.Plain(f)
		}
	}
	return ""
}

// moreOrLess says that an amount is to come on top of what there is, or off it:
// "100 g more beef", "cut the rice by 50 g".
func (s *Found) moreOrLess(string) string {
	by := s.saysAny("by") >= 0
	told := func(words ...string) bool { // "less rice, 200 g" tells what is left
		at := s.saysAny(words...)
		return at >= 0 && slices.ContainsFunc(s.quantities, func(q quantity) bool { return at >= q.to || at == q.from-1 })
	}
	switch {
	case told("more", "extra", "additional"), by && s.saysAny("increase", "raise", "up") >= 0:
		return "more"
	case told("less", "fewer", "off"), by && s.saysAny("reduce", "lower", "cut", "decrease", "down") >= 0:
		return "less"
	}
	return ""
}

package slots

import (
	"cmp"
	"math"
	"strings"

	"bowlwright/bot/read/span"
)

// body is the weight of a dog that a text names, with a bare number where it
// has no unit. It may only be a change: "-300 g".
func (s *Found) body(bare bool) string {
	if q := s.carried(); q != nil {
		return q.text()
	}
	q := s.one(span.ByMass)
	if q == nil && !s.has(span.ByMass) && bare {
		if q = s.one(span.ByCount); q != nil && (s.Any(q.from-1, "day", "the", "last") && q.n == math.Trunc(q.n) && q.n < 32 || s.Word(q.from) == "one") {
			q = nil
		}
	}
	if q == nil || q.n < 0 && q.unit == "" || q.unit == "mg" || q.unit == "µg" || q.n == 0 || q.n > 400 && q.unit != "g" {
		return ""
	}
	sign := span.Choose(q.n > 0, s.change(q), "")
	small := q.unit == "g" && q.n < 1000 || q.unit == "oz"
	if sign == "" && q.n > 0 && (small || s.says("self-words") >= 0 && q.n > 35) {
		return ""
	}
	if q.unit == "" {
		if q.n != math.Trunc(q.n) || q.n < 100 {
			return sign + span.Plain(q.n) + " " + s.bodyUnit()
		}
		return ""
	}
	return sign + q.text()
}

func (s *Found) bodyUnit() string {
	return span.Choose(s.c.Units.Pounds, "lb", "kg")
}

// carried is the weight of a dog that somebody stood on a scale with: what the one of
// two weights is more than the other.
func (s *Found) carried() *quantity {
	var of []quantity
	for _, q := range s.quantities {
		if q.kind == span.ByMass || q.kind == span.ByCount {
			of = append(of, q)
		}
	}
	if len(of) != 2 || s.says("self-words") < 0 || min(of[0].n, of[1].n) < leastCarrier {
		return nil
	}
	more := of[1]
	more.n, more.unit, more.kind = math.Round(100*math.Abs(of[1].n-of[0].n))/100, cmp.Or(of[0].unit, of[1].unit, s.bodyUnit()), span.ByMass
	return &more
}

// leastCarrier is what somebody weighs at least who carries a dog (our own choice).
const leastCarrier = 35

// change is the sign of a quantity that is told as a change.
func (s *Found) change(q *quantity) string {
	if s.Any(q.from-1, "to", "at", "is", "now", "was", "of", ",") { // "lost a bit, 21.9"
		return ""
	}
	down, up := s.says("down-words") >= 0, s.saysAny("gained", "gain", "up", "plus", "more", "+", "heavier", "extra", "on")
	switch {
	case down && s.Word(q.from-1) != "on":
		return "-"
	case up >= 0 && (s.Word(up) != "on" || s.Word(up-1) == "put"):
		return "+"
	}
	return ""
}

func (s *Found) weight(intent string) string {
	if intent == "weight.log" || intent == "weight.fix" {
		if v := s.corrected(); v != "" && intent == "weight.fix" {
			return v
		}
		v := s.body(true)
		if intent == "weight.fix" && strings.ContainsAny(v, "+-") {
			return ""
		}
		return v
	}
	q := s.one(span.ByMass)
	if q == nil || q.unit == "g" || q.unit == "mg" || q.unit == "oz" {
		return ""
	}
	return q.text()
}

// corrected is the weight that is said to be the right one.
func (s *Found) corrected() string {
	found := ""
	for _, q := range s.quantities {
		if q.kind != span.ByMass && q.kind != span.ByCount || !s.is(q.from-1, "right-words") && !(s.is(q.from-2, "right-words") && s.Any(q.from-1, "it", "been", "be", "say", "of", "was")) && !(s.is(q.from-3, "right-words") && s.Word(q.from-1) == "been") {
			continue
		}
		if found != "" {
			return ""
		}
		if found = q.text(); q.unit == "" {
			found += " " + s.bodyUnit()
		}
	}
	return found
}

// target is the weight that a goal is to reach.
func (s *Found) target(string) string {
	return strings.TrimLeft(s.body(!s.has(bySpan)), "+")
}

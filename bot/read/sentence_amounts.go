package read

import (
	"strings"

	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
)

// some reports that something holds at one of the places.
func (m *matcher) some(holds func(at int) bool) bool {
	for at := range m.Tokens {
		if holds(at) {
			return true
		}
	}
	return false
}

// numberAt reads a number above zero. It returns its end, or 0.
func (m *matcher) numberAt(at int) (value float64, end int) {
	n, end := m.NumberAt(at)
	if n.Value <= 0 {
		return 0, 0
	}
	return n.Whole(), end
}

// past is the place behind all words of a list that stand in a row at one.
func (m *matcher) past(list string, at int) int {
	for language.In(list, m.Word(at)) {
		at++
	}
	return at
}

func (m *matcher) clauseEnds(at int) bool {
	return at >= len(m.Tokens) || m.Tokens[at].Comma || m.Tokens[at].Stop
}

// massAt reads a mass that is weighed in a kitchen: "900 g", "1 lb 4 oz", "half
// a pound", "a kilo and a half". It returns its end, or 0.
func (m *matcher) massAt(at int) (g nutrition.Grams, imperial bool, end int) {
	n, next := m.NumberAt(at)
	u, _ := m.UnitAt(next)
	if n.Value <= 0 || u.Kind != span.ByMass || u.Factor < 1 || u.Name == "t" {
		return 0, false, 0
	}
	l := span.Lexed{Text: m.Text, Tokens: m.Tokens}
	if g, end = l.MassAt(at); l.Code == span.MixedUnits {
		return 0, false, 0
	}
	return g, !u.Metric, end
}

// weightAt reads the body weight of a dog, with its unit.
func (m *matcher) weightAt(at int) (w nutrition.Kilograms, imperial bool, end int) {
	g, imperial, end := m.massAt(at)
	if !imperial {
		return nutrition.Kilograms(g / 1000), false, end
	}
	return nutrition.Kilograms(g/nutrition.GramsPerPound) * nutrition.KilosPerPound, true, end
}

// energyAt reads an energy: "900 kcal", "3.7 MJ".
func (m *matcher) energyAt(at int) (nutrition.Kcal, int) {
	k, end := m.EnergyAt(at)
	if k <= 0 {
		return 0, 0
	}
	return k, end
}

// daysAt reads a time: "7 days", "a week", "2 weeks".
func (m *matcher) daysAt(at int) (float64, int) {
	n, next := m.numberAt(at)
	if next == 0 {
		return 0, 0
	}
	unit := float64(span.Periods[m.Word(next)])
	if unit == 0 {
		return 0, 0
	}
	if m.Any(at, "a", "one") {
		half, to := m.AndPart(next + 1)
		return (n + half) * unit, max(to, next+1)
	}
	return n * unit, next + 1
}

// periodAt reads for how long something is reckoned: "7 days", "per week", "monthly".
func (m *matcher) periodAt(at int) (float64, int) {
	if days, end := m.daysAt(at); end > 0 {
		return days, end
	}
	if n := span.Periods[m.Word(at+1)]; n > 0 && language.In("rate-joints", m.Word(at)) || n > 0 && m.Word(at) == "each" {
		return float64(n), at + 2
	}
	if stem, ok := strings.CutSuffix(m.Word(at), "ly"); ok && span.Periods[stem] > 0 {
		return float64(span.Periods[stem]), at + 1
	}
	return 0, 0
}

// timesAt reads a multiple that cannot be anything else: "double", "x2",
// "2x", "3 times", "150 %", "half a".
func (m *matcher) timesAt(at int) (float64, int) {
	if n := span.Multiples[m.Word(at)]; n > 0 {
		end := at + 1
		if m.Word(at) == "half" && m.Word(end) == "a" {
			end++
		}
		return n, end
	}
	if m.Any(at, "x", "times") {
		return m.numberAt(at + 1)
	}
	n, end := m.numberAt(at)
	switch m.Word(end) {
	case "times", "x":
		return n, end + 1
	case "percent":
		return n / 100, end + 1
	}
	return 0, 0
}

// factorAt reads a factor: a multiple or a number.
func (m *matcher) factorAt(at int) (float64, int) {
	if n, end := m.timesAt(at); end > 0 {
		return n, end
	}
	if at < len(m.Tokens) && !m.Tokens[at].IsFigure() {
		return 0, 0
	}
	return m.numberAt(at)
}

// partAt reads a part of a whole: "a quarter", "25 %", "a third".
func (m *matcher) partAt(at int) (float64, int) {
	if at >= len(m.Tokens) {
		return 0, 0
	}
	from := m.Tokens[at].Start
	all := span.Shares(m.Text[from:])
	if len(all) == 0 || all[0].From > 0 || all[0].Share >= 1 {
		return 0, 0
	}
	for at < len(m.Tokens) && m.Tokens[at].Start < from+all[0].To {
		at++
	}
	return all[0].Share, at
}

// changeAt reads a change in percent as a factor: "20 %" more is 1.2, less
// is 0.8.
func (m *matcher) changeAt(at int, less bool) (float64, int) {
	n, end := m.numberAt(at)
	if end == 0 || m.Word(end) != "percent" || less && n >= 100 {
		return 0, 0
	}
	if less {
		n = -n
	}
	return 1 + n/100, end + 1
}

// unitNames are the units and systems that a household can choose.
var unitNames = language.Kinds[string]("unit-chosen")

// unitAt reads a unit or a system; one of each kind together is the system.
func (m *matcher) unitAt(at int) (string, int) {
	one, end := unitNames[m.Word(at)], at+1
	if one == "" {
		return "", 0
	}
	if m.Word(end) == "and" {
		switch one + unitNames[m.Word(end+1)] {
		case "gkg", "kgg":
			return "metric", end + 2
		case "ozlb", "lboz":
			return "imperial", end + 2
		}
	}
	return one, end
}

// conditionAt reads a body condition score: "6/9", "6 out of 9", "6".
func (m *matcher) conditionAt(at int) (int, int) {
	if at >= len(m.Tokens) || !m.Tokens[at].IsFigure() {
		return 0, 0
	}
	score, of, ok := strings.Cut(m.Tokens[at].Text, "/")
	if ok && of != "9" || len(score) != 1 || score[0] < '1' {
		return 0, 0
	}
	end := at + 1
	if !ok {
		next := m.After(end, "out")
		if m.Word(next) == "of" && m.Word(next+1) == "9" {
			end = next + 2
		}
	}
	return int(score[0] - '0'), end
}

// NutrientNamed returns the nutrient whose name is all that a text says.
func NutrientNamed(text string) (nutrition.Subject, bool) {
	l := span.WordsOf(text)
	s, end := foodline.SubjectAt(l, 0)
	return s, end > 0 && end == len(l.Tokens)
}

package read

import (
	"strings"

	"bowlwright/nutrition"
)

// massUnits in grams, exact by the international pound of 1959.
var massUnits = map[string]nutrition.Grams{
	"g": 1, "gr": 1, "gm": 1, "gms": 1, "gram": 1, "grams": 1, "gramme": 1, "grammes": 1,
	"kg": 1000, "kgs": 1000, "kilo": 1000, "kilos": 1000, "kilogram": 1000, "kilograms": 1000, "kilogramme": 1000,
	"oz": nutrition.GramsPerOunce, "ozs": nutrition.GramsPerOunce, "ounce": nutrition.GramsPerOunce, "ounces": nutrition.GramsPerOunce,
	"lb": nutrition.GramsPerPound, "lbs": nutrition.GramsPerPound, "pound": nutrition.GramsPerPound, "pounds": nutrition.GramsPerPound,
}

// gramsPerStone is 14 lb.
const gramsPerStone = 14 * nutrition.GramsPerPound

// energyUnits in kcal; 1 kcal = 4.184 kJ.
var energyUnits = map[string]nutrition.Kcal{
	"kcal": 1, "kcals": 1, "calorie": 1, "calories": 1, "cal": 1, "cals": 1, "kilocalorie": 1, "kilocalories": 1,
	"kj": 1 / 4.184, "kilojoule": 1 / 4.184, "kilojoules": 1 / 4.184, "mj": 1000 / 4.184, "megajoules": 1000 / 4.184,
}

// dayUnits in days. A month counts as 30.
var dayUnits = map[string]float64{
	"day": 1, "days": 1, "week": 7, "weeks": 7, "wk": 7, "wks": 7, "fortnight": 14, "fortnights": 14, "month": 30, "months": 30,
}

// at returns the folded word at a place, empty beyond the end.
func (m *matcher) at(i int) string {
	if i < 0 || i >= len(m.words) {
		return ""
	}
	return m.words[i].text
}

// numberAt reads a number above zero: "12", "1 1/2", "2 and a half", "two",
// "a", "half a", "a couple of". It returns its end, or 0.
func (m *matcher) numberAt(at int) (value float64, end int) {
	if at >= len(m.words) {
		return 0, 0
	}
	if w := m.words[at]; w.number {
		if w.value <= 0 {
			return 0, 0
		}
		value, end = w.value, at+1
		if next := end; next < len(m.words) && m.words[next].number && isFraction(m.words[next].text) && !isFraction(w.text) {
			value, end = value+max(m.words[next].value, 0), end+1
		}
		return m.andAHalf(value, end)
	}
	if value, end = m.spokenNumberAt(at); end > 0 {
		return m.andAHalf(value, end)
	}
	value, ok := numberWords[m.at(at)]
	if !ok {
		return 0, 0
	}
	end = at + 1
	switch m.at(at) {
	case "a", "an":
		if v := numberWords[m.at(end)]; v > 0 && m.at(end) != "a" && m.at(end) != "an" {
			value, end = v, end+1
			return value, m.after(end, "of")
		}
		return value, end
	case "half", "quarter":
		end = m.after(end, "of")
		if m.at(end) == "a" || m.at(end) == "an" {
			end++
		}
		return value, end
	case "couple", "dozen":
		return value, m.after(end, "of")
	}
	return m.andAHalf(value, end)
}

// spokenNumberAt reads a number above twenty in words: "thirty two", "a hundred
// and ten".
func (m *matcher) spokenNumberAt(at int) (value float64, end int) {
	if v := numberWords[m.at(at)]; v >= 1 && m.at(at+1) == "hundred" {
		next := m.after(at+2, "and")
		if rest, end := m.spokenNumberAt(next); end > 0 {
			return v*100 + rest, end
		}
		if rest := numberWords[m.at(next)]; rest > 1 {
			return v*100 + rest, next + 1
		}
		return v * 100, at + 2
	}
	value = tens[m.at(at)]
	if value == 0 {
		return 0, 0
	}
	if v := numberWords[m.at(at+1)]; v >= 1 && v < 10 && m.at(at+1) != "a" && m.at(at+1) != "an" && m.at(at+1) != "couple" {
		return value + v, at + 2
	}
	return value, at + 1
}

// andAHalf reads what may follow a number: "and a half".
func (m *matcher) andAHalf(value float64, end int) (float64, int) {
	if m.at(end) == "and" && m.at(end+1) == "a" && (m.at(end+2) == "half" || m.at(end+2) == "quarter") {
		return value + numberWords[m.at(end+2)], end + 3
	}
	return value, end
}

func (m *matcher) after(at int, word string) int {
	if m.at(at) == word {
		return at + 1
	}
	return at
}

// isFraction reports that a number is typed as a fraction.
func isFraction(s string) bool {
	return strings.IndexFunc(s, func(r rune) bool { return r == '/' || fractions[r] != "" }) >= 0
}

// massAt reads a mass: "900 g", "1 lb 4 oz", "half a pound", "a kilo and a
// half". It returns its end, or 0.
func (m *matcher) massAt(at int) (g nutrition.Grams, imperial bool, end int) {
	n, next := m.numberAt(at)
	if next == 0 {
		return 0, false, 0
	}
	unit, ok := massUnits[m.at(next)]
	switch word := m.at(next); {
	case ok:
	case word == "stone" || word == "stones" || word == "st":
		unit = gramsPerStone
	default:
		return 0, false, 0
	}
	if unit > 100 && next == at+1 && isThousands(m.at(at)) {
		n /= 1000 // "19,600 kg" is 19.6 kg; nobody weighs tonnes
	}
	g, end = nutrition.Grams(n)*unit, next+1
	imperial = unit != 1 && unit != 1000
	if half, to := m.andAHalf(0, end); half > 0 {
		return g + nutrition.Grams(half)*unit, imperial, to // "a pound and a half"
	}
	if more, small, to := m.massAt(m.after(end, "and")); imperial && small && more < unit {
		return g + more, true, to
	}
	return g, imperial, end
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
	n, next := m.numberAt(at)
	unit, ok := energyUnits[m.at(next)]
	if next == 0 || !ok {
		return 0, 0
	}
	return nutrition.Kcal(n) * unit, next + 1
}

// daysAt reads a time: "7 days", "a week", "2 weeks".
func (m *matcher) daysAt(at int) (float64, int) {
	n, next := m.numberAt(at)
	if next == 0 {
		return 0, 0
	}
	unit, ok := dayUnits[m.at(next)]
	if !ok {
		return 0, 0
	}
	if m.at(at) == "a" || m.at(at) == "one" {
		half, end := m.andAHalf(0, next+1)
		return (n + half) * unit, end
	}
	return n * unit, next + 1
}

// multiples are the words that multiply what follows them.
var multiples = map[string]float64{
	"double": 2, "doubled": 2, "twice": 2, "triple": 3, "tripled": 3, "thrice": 3, "halve": 0.5, "halved": 0.5, "half": 0.5, "quadruple": 4,
}

// timesAt reads a multiple that cannot be anything else: "double", "x2",
// "2x", "3 times", "150 %", "half a".
func (m *matcher) timesAt(at int) (float64, int) {
	if n := multiples[m.at(at)]; n > 0 {
		end := at + 1
		if m.at(at) == "half" && m.at(end) == "a" {
			end++
		}
		return n, end
	}
	if m.at(at) == "x" || m.at(at) == "times" {
		return m.numberAt(at + 1)
	}
	n, end := m.numberAt(at)
	switch m.at(end) {
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
	if at < len(m.words) && !m.words[at].number {
		return 0, 0
	}
	return m.numberAt(at)
}

// changeAt reads a change in percent as a factor: "20 %" more is 1.2, less
// is 0.8.
func (m *matcher) changeAt(at int, less bool) (float64, int) {
	n, end := m.numberAt(at)
	if end == 0 || m.at(end) != "percent" || less && n >= 100 {
		return 0, 0
	}
	if less {
		n = -n
	}
	return 1 + n/100, end + 1
}

// unitNames are the units and systems that a household can choose.
var unitNames = map[string]string{
	"metric": "metric", "imperial": "imperial", "american": "imperial",
	"g": "g", "gram": "g", "grams": "g", "kg": "kg", "kilo": "kg", "kilos": "kg", "kilograms": "kg", "kilogram": "kg",
	"oz": "oz", "ounce": "oz", "ounces": "oz", "lb": "lb", "lbs": "lb", "pound": "lb", "pounds": "lb",
}

// unitAt reads a unit or a system; one of each kind together is the system.
func (m *matcher) unitAt(at int) (string, int) {
	one, end := unitNames[m.at(at)], at+1
	if one == "" {
		return "", 0
	}
	if m.at(end) == "and" {
		switch one + unitNames[m.at(end+1)] {
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
	if at >= len(m.words) || !m.words[at].number {
		return 0, 0
	}
	score, of, ok := strings.Cut(m.words[at].text, "/")
	if ok && of != "9" || len(score) != 1 || score[0] < '1' {
		return 0, 0
	}
	end := at + 1
	if !ok {
		next := m.after(end, "out")
		if m.at(next) == "of" && m.at(next+1) == "9" {
			end = next + 2
		}
	}
	return int(score[0] - '0'), end
}

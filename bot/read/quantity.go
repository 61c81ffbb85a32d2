package read

import (
	"math"
	"strconv"
	"strings"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// maxQuantityRunes is how long a text that is one quantity may be.
const maxQuantityRunes = 80

// Number reads a text that is one number: "12", "1,5", "1/2", "1 ½", "two",
// "half a", "a dozen". A comma or a point followed by exactly three digits
// stands for thousands only where both are used, or one of them twice
// ("1,234.5", "1.234.567"); else it is the decimal sign. (Mass reads "1,250 g"
// as 1250 g all the same.) The error is a Problem: Empty, BadNumber.
func Number(s string) (float64, error) {
	words, err := quantityWords(s)
	if err != nil {
		return 0, err
	}
	n, end := numberIn(words, 0)
	if end == 0 || end != len(words) {
		return 0, problem(BadNumber, s)
	}
	return n, nil
}

// Mass reads a text that is one mass of food: "250 g", "1/2 lb", "1 lb 4 oz".
// The error is a Problem: Empty, NotMass, MixedUnits, Negative, Zero, TooMuch.
func Mass(s string) (nutrition.Grams, error) {
	words, err := quantityWords(s)
	if err != nil {
		return 0, err
	}
	g, end, code := massIn(words, 0)
	switch {
	case end == 0 || end != len(words) && code == "":
		return 0, problem(NotMass, s)
	case code != "":
		return 0, problem(code, s)
	}
	return g, checkAmount(float64(g), mostOfAFood, s)
}

// mostOfAFood is the most grams of one food that a recipe may hold: 100 kg.
const mostOfAFood = 100_000

// checkAmount refuses what no recipe can mean.
func checkAmount(x, most float64, s string) error {
	switch {
	case x < 0:
		return problem(Negative, s)
	case x == 0:
		return problem(Zero, s)
	case !(x <= most):
		return problem(TooMuch, s)
	}
	return nil
}

// BodyWeight reads a text that is the weight of a dog: "19.6 kg", "42 lb 8
// oz", "3 stone 2 lb"; a bare number is in the household's unit. The error is
// a Problem: Empty, NotWeight, MixedUnits, Negative, Zero. It does not judge
// whether a dog can weigh so much.
func BodyWeight(s string, u planner.Units) (nutrition.Kilograms, error) {
	words, err := quantityWords(s)
	if err != nil {
		return 0, err
	}
	if n, end := numberIn(words, 0); end > 0 && end == len(words) {
		unit := nutrition.Kilograms(1)
		if u.Pounds {
			unit = nutrition.KilosPerPound
		}
		w := nutrition.Kilograms(n) * unit
		return w, checkAmount(n, math.Inf(1), s)
	}
	g, end, code := massIn(words, 0)
	switch {
	case end == 0 || end != len(words) && code == "":
		return 0, problem(NotWeight, s)
	case code != "":
		return 0, problem(code, s)
	}
	return nutrition.Kilograms(g / 1000), checkAmount(float64(g), math.Inf(1), s)
}

// Energy reads a text that is one energy: "900 kcal", "3.7 MJ". The error is a
// Problem: Empty, NotEnergy, Negative, Zero.
func Energy(s string) (nutrition.Kcal, error) {
	words, err := quantityWords(s)
	if err != nil {
		return 0, err
	}
	n, end := numberIn(words, 0)
	if end == 0 || end+1 != len(words) || energyUnits[words[end]] == 0 {
		return 0, problem(NotEnergy, s)
	}
	return nutrition.Kcal(n) * energyUnits[words[end]], checkAmount(n, math.Inf(1), s)
}

// quantityWords splits a short text into words; too long or empty is a
// Problem.
func quantityWords(s string) ([]string, error) {
	clean := Clean(s)
	if _, cut := firstRunes(clean, maxQuantityRunes); cut {
		return nil, problem(TooLong, s)
	}
	words := lineWords(clean)
	if len(words) == 0 {
		return nil, problem(Empty, s)
	}
	return words, nil
}

// numberIn reads a number at a word and returns the word after it, or 0. A
// number may be negative or zero: who asks decides what that means.
func numberIn(words []string, at int) (float64, int) {
	if at >= len(words) {
		return 0, 0
	}
	n, ok := parseNumber(words[at])
	if !ok {
		return spelledNumber(words, at)
	}
	if at+1 < len(words) && n == math.Trunc(n) && n >= 0 && !strings.Contains(words[at], "/") {
		if f, ok := parseNumber(words[at+1]); ok && strings.Contains(words[at+1], "/") && f > 0 && f < 1 {
			return n + f, at + 2 // "1 1/2"
		}
	}
	return n, at + 1
}

// spelledNumber reads a number written as words.
func spelledNumber(words []string, at int) (float64, int) {
	n, ok := numberWords[words[at]]
	if !ok {
		return 0, 0
	}
	end := at + 1
	if n == 1 && end < len(words) && (words[at] == "a" || words[at] == "an") {
		if m, ok := numberWords[words[end]]; ok && words[end] != "a" && words[end] != "an" {
			n, end = m, end+1 // "a dozen"
		}
	}
	for _, filler := range []string{"of", "a", "an"} { // "half of a", "half a", "a couple of"
		if n != 1 && end < len(words) && words[end] == filler {
			end++
		}
	}
	return n, end
}

// parseNumber reads one word as a number.
func parseNumber(w string) (float64, bool) {
	sign := 1.0
	if rest, ok := strings.CutPrefix(w, "-"); ok {
		sign, w = -1, rest
	} else if rest, ok := strings.CutPrefix(w, "+"); ok {
		w = rest
	}
	if top, bottom, ok := strings.Cut(w, "/"); ok {
		a, okA := plainNumber(top)
		b, okB := plainNumber(bottom)
		if !okA || !okB || b == 0 || a > b { // "80/20" is how lean meat is, not a number
			return 0, false
		}
		return sign * a / b, true
	}
	n, ok := plainNumber(w)
	return sign * n, ok
}

// plainNumber reads digits with a decimal sign and thousands.
func plainNumber(w string) (float64, bool) {
	if w == "" || len(w) > 30 || w[0] < '0' && w[0] != '.' && w[0] != ',' || w[0] > '9' {
		return 0, false
	}
	for i := range len(w) {
		if (w[i] < '0' || w[i] > '9') && w[i] != '.' && w[i] != ',' {
			return 0, false
		}
	}
	if last := w[len(w)-1]; last == '.' || last == ',' {
		return 0, false
	}
	n, err := strconv.ParseFloat(decimalPoint(w), 64)
	return n, err == nil
}

// decimalPoint writes a number with a point as its only sign.
func decimalPoint(w string) string {
	points, commas := strings.Count(w, "."), strings.Count(w, ",")
	switch {
	case points > 0 && commas > 0: // the last one is the decimal sign
		if strings.LastIndexByte(w, '.') > strings.LastIndexByte(w, ',') {
			return strings.ReplaceAll(w, ",", "")
		}
		return strings.Replace(strings.ReplaceAll(w, ".", ""), ",", ".", 1)
	case commas > 1:
		return strings.ReplaceAll(w, ",", "")
	case points > 1:
		return strings.ReplaceAll(w, ".", "")
	}
	return strings.Replace(w, ",", ".", 1)
}

// massIn reads a mass at a word: a number and its unit, with smaller units
// after it ("1 lb 4 oz", "3 stone 2 lb", "1 kg 200 g"). code tells what is
// wrong with one that is recognised.
func massIn(words []string, at int) (g nutrition.Grams, end int, code Code) {
	unit := nutrition.Grams(math.Inf(1))
	metric := false
	for {
		n, next := numberIn(words, at)
		if next == 0 || next >= len(words) {
			return g, end, ""
		}
		u, ok := massUnit(words[next])
		if !ok {
			return g, end, ""
		}
		if u == 1 && isCommaThousands(words[at]) {
			n *= 1000 // "1,250 g": nobody weighs to a milligram
		}
		isMetric := u == 1 || u >= 1000 && u != gramsPerStone
		switch {
		case end == 0:
			metric = isMetric
		case isMetric != metric:
			return 0, next + 1, MixedUnits
		case u >= unit:
			return g, end, "" // another amount, not a part of this one
		}
		g += nutrition.Grams(n) * u
		unit, end, at = u, next+1, next+1
	}
}

// isCommaThousands reports a number such as "1,250", which with a unit of grams
// stands for thousands: with kilograms or pounds it is a decimal comma.
func isCommaThousands(w string) bool {
	before, after, ok := strings.Cut(w, ",")
	return ok && len(after) == 3 && len(before) >= 1 && len(before) <= 3 && before != "0" && !strings.ContainsAny(w, "./")
}

// massUnit returns what one of a unit weighs.
func massUnit(w string) (nutrition.Grams, bool) {
	switch w {
	case "stone", "stones", "st":
		return gramsPerStone, true
	case "t", "tonne", "tonnes":
		return 1e6, true
	}
	g, ok := massUnits[w]
	return g, ok
}

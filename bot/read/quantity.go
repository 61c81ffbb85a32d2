package read

import (
	"math"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// maxQuantityRunes is how long a text that is one quantity may be.
const maxQuantityRunes = 200

// mostOfAFood is the most grams of one food that is taken for meant: 100 kg
// (common practice, no source: no household kitchen holds more).
const mostOfAFood = 100_000

// mostOfADog is the most kilograms that are taken for a body weight at all;
// whether a dog can weigh so much is judged in package planner.
const mostOfADog = 10_000

// lexQuantity splits a short text; one that is too long or empty is a
// Problem.
func lexQuantity(s string) (*lexed, error) {
	clean, cut := firstRunes(s, 4*maxQuantityRunes)
	clean = Clean(clean)
	if _, long := firstRunes(clean, maxQuantityRunes); long || cut {
		return nil, problem(TooLong, clean)
	}
	l := &lexed{text: clean, tokens: lex(clean, make([]token, 0, min(8, len(clean)/4+2)))}
	for len(l.tokens) > 0 && (l.any(0, "about", "approx", "ca", "circa", "roughly", "around", "~") || l.any(1, ".") && l.any(0, "approx", "ca")) {
		l.tokens = l.tokens[1:]
	}
	if n := len(l.tokens); n > 1 && l.any(n-1, ".", "!") { // "19.6 kg."
		l.tokens = l.tokens[:n-1]
	}
	if len(l.tokens) == 0 {
		return nil, problem(Empty, clean)
	}
	return l, nil
}

// Number reads a text that is one number: "12", "1,5", "1/2", "1 ½", "two",
// "half a", "a dozen", "1,234.5", "1.234,5". A single point is a decimal
// point; a single comma is a decimal comma, but where exactly three digits
// follow it ("1,250") it stands for thousands. The error is a Problem: Empty,
// TooLong, BadNumber.
func Number(s string) (float64, error) {
	l, err := lexQuantity(s)
	if err != nil {
		return 0, err
	}
	n, end := l.numberAt(0)
	if end == 0 || end != len(l.tokens) || math.IsInf(n.whole(), 0) {
		return 0, problem(BadNumber, s)
	}
	return n.whole(), nil
}

// wholeMass returns the grams of a text that is one mass, or what is wrong
// with it.
func (l *lexed) wholeMass() (float64, Code) {
	g, end := l.massAt(0)
	switch {
	case end == 0:
		return 0, NotMass
	case l.code != "":
		return 0, l.code
	case end != len(l.tokens):
		return 0, NotMass
	}
	return float64(g), ""
}

// massAt reads the mass that begins at a token, with its smaller units, and
// returns the token after it, or 0.
func (l *lexed) massAt(i int) (nutrition.Grams, int) {
	n, end := l.numberAt(i)
	if end == 0 {
		return 0, 0
	}
	u, to := l.unitAt(end)
	if to == 0 || u.kind != byMass {
		return 0, 0
	}
	if u.isGram() && n.point {
		l.wrong(BadNumber, i, to)
	}
	a := amount{kind: byMass, n: u.in(n), from: i, to: to}
	if f, next := l.andPart(to); next > 0 { // "a pound and a half"
		a.n, a.to = a.n+f*u.factor, next
	}
	if n.value >= 0 {
		l.addSmaller(&a, u)
	}
	return nutrition.Grams(a.n), a.to
}

// checkAmount refuses what nobody can mean.
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
// a Problem: Empty, TooLong, NotWeight, MixedUnits, Negative, Zero. It does
// not judge whether a dog can weigh so much.
func BodyWeight(s string, u planner.Units) (nutrition.Kilograms, error) {
	l, err := lexQuantity(s)
	if err != nil {
		return 0, err
	}
	var w nutrition.Kilograms
	if n, end := l.numberAt(0); end > 0 && end == len(l.tokens) {
		w = nutrition.Kilograms(n.value)
		if u.Pounds {
			w *= nutrition.KilosPerPound
		}
	} else {
		w, err = l.wholeWeight(s)
		if err != nil {
			return 0, err
		}
	}
	if w > mostOfADog || math.IsNaN(float64(w)) {
		return 0, problem(NotWeight, s)
	}
	return w, checkAmount(float64(w), mostOfADog, s)
}

// wholeWeight reads a weight with its unit. Kilograms and pounds alone keep
// their figure to the last digit.
func (l *lexed) wholeWeight(s string) (nutrition.Kilograms, error) {
	if n, end := l.numberAt(0); end > 0 {
		if u, to := l.unitAt(end); to == len(l.tokens) && u.kind == byMass {
			switch u.name {
			case "kg":
				return nutrition.Kilograms(n.value), nil
			case "lb":
				return nutrition.Kilograms(n.value) * nutrition.KilosPerPound, nil
			}
		}
	}
	g, code := l.wholeMass()
	if code == NotMass {
		code = NotWeight
	}
	if code != "" {
		return 0, problem(code, s)
	}
	return nutrition.Kilograms(g / 1000), nil
}

// Energy reads a text that is one energy with its unit: "900 kcal", "900
// calories", "3.7 MJ". The error is a Problem: Empty, TooLong, NotEnergy,
// Negative, Zero, TooMuch.
func Energy(s string) (nutrition.Kcal, error) {
	l, err := lexQuantity(s)
	if err != nil {
		return 0, err
	}
	n, end := l.numberAt(0)
	if end == 0 {
		return 0, problem(NotEnergy, s)
	}
	u, to := l.unitAt(end)
	if to != len(l.tokens) || u.kind != byEnergy {
		return 0, problem(NotEnergy, s)
	}
	x := u.in(n)
	if err := checkAmount(x, mostEnergy, s); err != nil {
		return 0, err
	}
	return nutrition.Kcal(x), nil
}

// mostEnergy is what 100 kg of pure fat hold, at 9 kcal a gram.
const mostEnergy = 9 * mostOfAFood

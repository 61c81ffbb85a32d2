package say

import (
	"math"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// BodyWeight prints a dog's weight in the household's unit, with the unit. A
// weight that was typed is shown as precisely as it was: 20.15 kg, 42.4 lb, 42
// lb 7 oz, also when it was typed in the other unit. One that was worked out is
// shown as by AboutWeight.
func BodyWeight(w nutrition.Kilograms, u planner.Units) string {
	kg, lb := float64(w), w.Pounds()
	inKilos, inPounds := typedDecimals(kg, 3), typedDecimals(lb, 2)
	inOunces := inPounds < 0 && typedDecimals(32*lb, 0) == 0 // scales show half ounces at most
	switch {
	case u.Pounds && inPounds >= 0:
		return Trim(lb, inPounds) + " lb"
	case u.Pounds && inOunces:
		return poundsAndOunces(lb)
	case u.Pounds && inKilos >= 0:
		return Trim(lb, min(max(inKilos, 1), 2)) + " lb"
	case u.Pounds:
		return AboutWeight(w, u)
	case inKilos >= 0:
		return Trim(kg, inKilos) + " kg"
	case inPounds > 0 || inOunces:
		return Trim(kg, 2) + " kg"
	}
	return AboutWeight(w, u)
}

// AboutWeight prints a weight that was worked out, to 0.1 kg or 0.1 lb: it is
// not known more exactly.
func AboutWeight(w nutrition.Kilograms, u planner.Units) string {
	if u.Pounds {
		return Trim(w.Pounds(), 1) + " lb"
	}
	return Trim(float64(w), 1) + " kg"
}

// typedDecimals is with how many decimals a figure can have been typed, -1 where
// it takes more than so many; figures that were worked out lie between.
func typedDecimals(x float64, most int) int {
	const close = 2e-6
	for n, scale := 0, 1.0; n <= most; n, scale = n+1, 10*scale {
		if math.Abs(math.Round(x*scale)/scale-x) < close {
			return n
		}
	}
	return -1
}

// poundsAndOunces prints a weight of whole or half ounces.
func poundsAndOunces(lb float64) string {
	sign := ""
	if lb < 0 {
		sign, lb = "-", -lb
	}
	halves := math.Round(32 * lb)
	pounds, ounces := math.Floor(halves/32), math.Mod(halves, 32)/2
	if pounds == 0 {
		return sign + Trim(ounces, 1) + " oz"
	}
	return sign + Trim(pounds, 0) + " lb " + Trim(ounces, 1) + " oz"
}

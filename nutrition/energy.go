package nutrition

import "math"

// Equation is the code of a published way to reckon a dog's energy.
type Equation string

// The equations. FEDIAF is the annex on energy of its Nutritional Guidelines
// 2021, NRC the Nutrient Requirements of Dogs and Cats 2006.
const (
	ActivityLow      Equation = "fediaf-activity-low"
	ActivityModerate Equation = "fediaf-activity-moderate"
	ActivityBrisk    Equation = "fediaf-activity-brisk"
	ActivityHigh     Equation = "fediaf-activity-high"
	AgeOverSeven     Equation = "fediaf-age-over-7"
	ProneToObesity   Equation = "fediaf-prone-to-obesity"
	GrowthTo50       Equation = "fediaf-growth-50"      // up to 50 % of adult weight
	GrowthTo80       Equation = "fediaf-growth-80"      // 50-80 %
	GrowthTo100      Equation = "fediaf-growth-100"     // 80-100 %
	GrowthStart      Equation = "klein-growth"          // the lower curve: GrowthStartEnergy
	LatePregnancy    Equation = "fediaf-pregnancy"      // PregnancyEnergy
	Lactation        Equation = "fediaf-lactation"      // LactationEnergy
	LactationWeek    Equation = "fediaf-lactation-week" // the same for a litter and a week that are known
)

// factors are kcal of metabolizable energy a day per kg^0.75 (FEDIAF 2021, from
// memory; growth: its figures in The Veterinary Nurse 37(4), 2022, table 2). High
// activity is published as 150-175 only; the figure is its middle.
var factors = map[Equation]float64{
	ActivityLow: 95, ActivityModerate: 110, ActivityBrisk: 125, ActivityHigh: 162.5,
	AgeOverSeven: 95, ProneToObesity: 90,
	GrowthTo50: 210, GrowthTo80: 175, GrowthTo100: 140,
}

// Factor returns the equation as a factor on metabolic weight; 0 for those of
// another form.
func (e Equation) Factor() float64 { return factors[e] }

// EnergySpread is how far, of itself and either way, the need of single dogs
// commonly lies from any equation (NRC 2006, from memory; up to twice as far).
const EnergySpread = 0.25

// SledDogMost is the highest need published, of sled dogs in extreme cold, in
// kcal per kg^0.75 (FEDIAF 2021, from memory): no dog needs more.
const SledDogMost = 1240

// MetabolicWeight returns BW^0.75 in kg^0.75; 0 where the weight is not
// positive.
func MetabolicWeight(w Kilograms) float64 {
	if !(w > 0) {
		return 0
	}
	return math.Pow(float64(w), 0.75)
}

// RestingEnergy returns the resting energy requirement, 70 x BW^0.75 kcal a
// day (AAHA 2021, box 1).
func RestingEnergy(w Kilograms) Kcal { return Kcal(70 * MetabolicWeight(w)) }

// GrowthEquation returns FEDIAF's growth factor for a share of the expected
// adult weight (0 to 1; more counts as 1). A limit belongs to the step below
// it.
func GrowthEquation(share float64) Equation {
	switch {
	case share <= 0.5:
		return GrowthTo50
	case share <= 0.8:
		return GrowthTo80
	}
	return GrowthTo100
}

// GrowthStartEnergy returns the kcal a day that a growing dog begins with, by
// the lower of the two curves: (254.1 - 135 p) x BW^0.75 with p = BW / adult
// weight, at most 1 (Klein et al. 2019; also FEDIAF, from memory). The NRC's
// curve lies 36 % higher at p = 0.2 and 22 % at p = 0.5. It returns 0 where a
// weight is not positive.
func GrowthStartEnergy(w, adult Kilograms) Kcal {
	if !(w > 0 && adult > 0) {
		return 0
	}
	p := min(float64(w/adult), 1)
	return Kcal((254.1 - 135*p) * MetabolicWeight(w))
}

// GrowthEnergy returns the kcal a day of a growing dog by the NRC's curve:
// 130 x BW^0.75 x 3.2 x (e^(-0.87 p) - 0.1) with p = BW / adult weight, at
// most 1 (NRC 2006). It returns 0 where a weight is not positive.
func GrowthEnergy(w, adult Kilograms) Kcal {
	if !(w > 0 && adult > 0) {
		return 0
	}
	p := min(float64(w/adult), 1)
	return Kcal(130 * MetabolicWeight(w) * 3.2 * (math.Exp(-0.87*p) - 0.1))
}

// PregnancyEnergy returns the kcal a day in the last four weeks of pregnancy:
// 132 x BW^0.75 + 26 x BW (FEDIAF 2021, from memory). Before them a bitch
// needs what she needed.
func PregnancyEnergy(w Kilograms) Kcal {
	return Kcal(132*MetabolicWeight(w) + 26*max(float64(w), 0))
}

// stageOfLactation is the factor L by week of nursing (FEDIAF 2021 and NRC
// 2006, from memory). Their mean is 1.
var stageOfLactation = [...]float64{0.75, 0.95, 1.1, 1.2}

// LactationWeeks is how many weeks of nursing the equation covers.
const LactationWeeks = len(stageOfLactation)

// LactationEnergy returns the kcal a day of a nursing bitch:
// 145 x BW^0.75 + BW x (24 n + 12 m) x L, where n is the pups up to four, m
// those from five to eight and L depends on the week (FEDIAF 2021 and NRC
// 2006, from memory). Week 0 stands for the mean of the four weeks. ok is
// false outside of 1 to 8 pups and 0 to 4 weeks, which the equation does not
// cover.
func LactationEnergy(w Kilograms, pups, week int) (kcal Kcal, ok bool) {
	if pups < 1 || pups > 8 || week < 0 || week > LactationWeeks {
		return 0, false
	}
	l := 1.0
	if week > 0 {
		l = stageOfLactation[week-1]
	}
	milk := float64(24*min(pups, 4) + 12*max(pups-4, 0))
	return Kcal(145*MetabolicWeight(w) + max(float64(w), 0)*milk*l), true
}

// IdealWeight returns what a dog of this weight and body condition score (1
// to 9) would weigh in ideal condition. Above 5 each point is 10 % over the
// ideal weight, low assumes 15 % (Laflamme 1997; WSAVA; AAHA); below 4 each is
// 10 % under it (from memory). Scores 4 and 5 are ideal; one outside of 1 to 9
// counts as not known and gives the weight itself.
func IdealWeight(w Kilograms, score int) (mid, low, high Kilograms) {
	switch {
	case score > 5 && score <= 9:
		points := Kilograms(score - 5)
		mid = w * 100 / (100 + 10*points)
		return mid, w * 100 / (100 + 15*points), mid
	case score >= 1 && score < 4:
		mid = w * 100 / (100 - 10*Kilograms(4-score))
		return mid, mid, mid
	}
	return w, w, w
}

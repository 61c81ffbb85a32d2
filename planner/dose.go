package planner

import (
	"bowlwright/nutrition"
)

// What no dose can be above (common practice, no source): the highest
// published maximum for a week's food of the heaviest dog, or a hundred times
// the highest published minimum where no maximum is published.
const (
	heaviestWeek = 7 * 4 // thousands of kcal: 110 kcal x 120 kg^0.75 a day
	timesMinimum = 100
)

// Absurd reports a dose that no dog can be given. It catches slips of number
// and unit; whether a dose is right for a dog is for its analysis to say.
func (d Dose) Absurd() bool {
	for _, a := range d.Amounts {
		subject := nutrition.Subject(a.Nutrient)
		if a.Nutrient == nutrition.Retinoids {
			subject = nutrition.VitaminA
		}
		most, least := 0.0, 0.0
		for _, p := range nutrition.Profiles() {
			r, ok := p.Requirement(subject)
			if ok && r.HasMax() {
				most = max(most, r.Max)
			}
			if ok && r.HasMin() {
				least = max(least, r.Min)
			}
		}
		if most == 0 {
			most = least * timesMinimum
		}
		if most > 0 && a.Amount > most*heaviestWeek {
			return true
		}
	}
	return false
}

// Times returns the dose multiplied out: for one dog, not per 1000 kcal. What
// the carer typed no longer holds and is left out.
func (d Dose) Times(f float64) Dose {
	d.Per1000, d.Typed = false, ""
	d.Count *= f
	d.Grams *= nutrition.Grams(f)
	amounts := make([]Amount, len(d.Amounts))
	for i, a := range d.Amounts {
		amounts[i] = Amount{a.Nutrient, a.Amount * f}
	}
	d.Amounts = amounts
	return d
}

package recipes

import (
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// How many times a maximum one day's dose may bring. Above the first it is kept
// only after a yes; from the second on not at all, since that is usually a slip
// of the unit (both our own choice).
const (
	WellAbove = 2
	FarAbove  = 10
)

// FarOf is from how many times its maximum on a nutrient is not kept. Of salt 2 g
// per kg of weight poison a dog and 4 g kill (veterinary poison literature, from
// memory); twice the maximum of sodium comes to about 1 g of salt.
func FarOf(s nutrition.Subject) float64 {
	if s == nutrition.Subject(nutrition.Sodium) {
		return WellAbove
	}
	return FarAbove
}

// DoseAbove says of what a dose that is given so often on a day brings well more
// than the most that a dog is to have, and whether of any it brings far more.
func DoseAbove(t *talk.Turn, dose *planner.Dose, d *planner.Dog, perDay float64) (text string, far bool) {
	aDay := planner.AmountOf(*d, t.Event.At).Kcal
	profile := planner.RequirementsFor(*d, t.Event.At, t.Home.Profile)
	if aDay <= 0 || profile == nil {
		return "", false
	}
	var lines []string
	for _, o := range nutrition.Overdoses(nutrition.Mixture{Extras: ExtrasOf(t, dose, d, perDay)}, profile, aDay) {
		isFar := o.Amount >= FarOf(o.Subject)*o.Max
		if isFar || o.Amount >= WellAbove*o.Max {
			far = far || isFar
			lines = append(lines, msg("supplement.far", "times", timesText(o.Amount/o.Max), "nutrient", o.Subject.Name(), "dog", d.Name,
				"most", say.Sig(o.Max*float64(aDay)/1000), "unit", say.UnitText(o.Subject.Unit()), "table", msg("profile."+o.Profile)))
		}
	}
	return say.JoinParas(lines...), far
}

// timesText prints how many times: "2.5", "700".
func timesText(x float64) string {
	if x < FarAbove {
		return say.Trim(x, 1)
	}
	return say.Trim(x, 0)
}

// NoStrength says of a dose that may harm that its strength is not known.
func NoStrength(t *talk.Turn, dose *planner.Dose) string {
	f := t.Foods.Food(dose.Food)
	if f == nil || !byDose[f.Key] || !f.Has(nutrition.Supplement) || len(dose.Amounts) > 0 || f.Key == "calcium-carbonate" || f.Key == "kelp-powder" { // these are counted, or told of by themselves
		return ""
	}
	return msg("supplement.no-strength", "food", f.Name)
}

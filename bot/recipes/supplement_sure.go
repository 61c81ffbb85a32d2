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

// DoseAbove says of which nutrient a dose, given so often a day, brings at
// least so many times what a dog should have at most.
func DoseAbove(t *talk.Turn, dose *planner.Dose, d *planner.Dog, perDay, least float64) (text string, times float64) {
	aDay := planner.AmountOf(*d, t.Event.At).Kcal
	profile := planner.RequirementsFor(*d, t.Event.At, t.Home.Profile)
	if aDay <= 0 || profile == nil {
		return "", 0
	}
	var lines []string
	for _, o := range nutrition.Overdoses(nutrition.Mixture{Extras: ExtrasOf(t, dose, d, perDay)}, profile, aDay) {
		if o.Kind == nutrition.LegalMax && o.Amount < FarAbove*o.Max {
			continue // what the law lets be added is far below what harms
		}
		if o.Amount >= least*o.Max {
			times = max(times, o.Amount/o.Max)
			lines = append(lines, msg("supplement.far", "times", timesText(o.Amount/o.Max), "nutrient", o.Subject.Name(), "dog", d.Name,
				"most", say.Sig(o.Max*float64(aDay)/1000), "unit", say.UnitText(o.Subject.Unit()), "table", msg("profile."+o.Profile)))
		}
	}
	return say.JoinParas(lines...), times
}

// timesTextOf prints how many times: "2.5", "700".
func timesText(x float64) string {
	if x < FarAbove {
		return say.Trim(x, 1)
	}
	return say.Trim(x, 0)
}

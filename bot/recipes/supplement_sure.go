package recipes

import (
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// How many times a maximum one day's dose may bring: above the one it is kept
// only on a yes, and from the other on not at all, since that is a slip of the
// unit more often than not (both our own choice).
const (
	WellAbove = 2
	FarAbove  = 10
)

// DoseAbove says of what a dose that is given so often on a day brings so many
// times the most that a dog is to have, or more.
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

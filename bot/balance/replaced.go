package balance

import (
	"math"

	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// ReplacedText says which doses of a recipe do not count for a dog, because a
// reminder gives it another amount of the same.
func ReplacedText(t *talk.Turn, d *planner.Dog, r *planner.Recipe) string {
	var lines []string
	for _, dose := range r.Doses {
		lines = append(lines, DoseReplaced(t, d, dose))
	}
	return say.JoinParas(lines...)
}

// ReplacedWeekly is DoseReplaced under a bowl: once a week.
func ReplacedWeekly(t *talk.Turn, d *planner.Dog, dose planner.Dose) string {
	text := DoseReplaced(t, d, dose)
	if text == "" || !cautionNow(t, "replaced/"+d.ID+"/"+dose.Food, d) {
		return ""
	}
	return text
}

// DoseReplaced says so of one dose; it is empty where the dose counts, or the
// reminder gives as much.
func DoseReplaced(t *talk.Turn, d *planner.Dog, dose planner.Dose) string {
	if dose.Batch || d == nil || d.ID == "" {
		return ""
	}
	rem := SupplementOf(t, d.ID, dose.Food, "")
	if rem == nil {
		return ""
	}
	const same = 0.01
	own, given := recipes.ExtrasOf(t, &dose, d, dose.Cadence.PerDay()), recipes.ExtrasOf(t, rem.Dose, d, DosesADay(rem.Schedule))
	differs := len(own) != len(given)
	for i := range min(len(own), len(given)) {
		differs = differs || math.Abs(own[i].PerDay-given[i].PerDay) > same*own[i].PerDay
	}
	if !differs {
		return ""
	}
	return msg("dose.replaced", "food", say.Capital(t.FoodName(dose.Food)), "own", recipes.DoseText(t, dose), "given", t.DoseAmount(talk.DoseOf(t, rem)))
}

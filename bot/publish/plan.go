package publish

import (
	"slices"

	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/planner/edition"
)

// frozenPlan is the version that a rotation would be now, and its title. The
// supplements that its first dog is reminded of, and that no recipe has, go along.
func frozenPlan(t *talk.Turn, rot planner.Rotation) (planner.PublishedVersion, string) {
	var all []planner.Recipe
	var names []string
	for _, w := range rot.Turns {
		r := t.Recipe(w.Recipe)
		if r == nil {
			return planner.PublishedVersion{}, ""
		}
		if !slices.ContainsFunc(all, func(o planner.Recipe) bool { return o.ID == r.ID }) {
			all, names = append(all, *r), append(names, r.Name)
		}
	}
	var doses []planner.Dose
	for _, rem := range t.Home.Reminders {
		if rem.Kind != planner.SupplementReminder || rem.Off || rem.Dose == nil || len(rot.Dogs) == 0 || rem.Dog != rot.Dogs[0] && rem.Dog != "" ||
			slices.ContainsFunc(all, func(r planner.Recipe) bool { return r.Uses(rem.Dose.Food) }) {
			continue
		}
		dose := *rem.Dose
		dose.Cadence = planner.Cadence{EveryDays: rem.Schedule.EveryDays, Weekdays: rem.Schedule.Weekdays}
		doses = append(doses, dose)
	}
	title := msg("plan.title", "first", names[0], "n", len(names)-1)
	if len(names) == 2 {
		title = msg("plan.title-two", "first", names[0], "second", names[1])
	}
	return edition.Freeze(t.Home, all, rot.Turns, doses), title
}

package bot

import (
	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// giveCautions are what has to be said of a supplement for its dog: what the
// dog is not to have, an amount above a maximum, a dog that a vet plans for.
func (t *turn) giveCautions(r *planner.Reminder) string {
	d := t.dog(r.Dog)
	if r.Kind == planner.NoteReminder {
		said, err := read.ReminderText(r.Text, t.names(), t.event.At)
		if err == nil && said.About == read.Giving && t.foods.Find(said.Thing).Food == nil {
			if d := read.DangerIn(r.Text); d != nil {
				return msg("remind.poison", "what", capital(d.Name))
			}
			return msg("remind.medicine")
		}
		return ""
	}
	if r.Kind != planner.SupplementReminder || r.Dose == nil || d == nil {
		return ""
	}
	var lines []string
	if f := t.foods.Food(r.Dose.Food); f != nil && nutrition.Excluded(f, d.Excludes) {
		lines = append(lines, msg("supplement.excluded", "dog", d.Name, "food", f.Name))
	}
	lines = append(lines, t.aboveMaximum(r, d))
	if planner.AmountOf(*d, t.event.At).Gate != "" {
		lines = append(lines, msg("supplement.gated", "dog", d.Name))
	}
	return joinParas(lines...)
}

// aboveMaximum says where a supplement alone, by the day, is above what the
// dog's requirement profile allows in all of its food.
func (t *turn) aboveMaximum(r *planner.Reminder, d *planner.Dog) string {
	need := planner.AmountOf(*d, t.event.At)
	profile := planner.RequirementsFor(*d, t.event.At, t.home.Profile)
	if need.Kcal <= 0 || profile == nil || r.Schedule.Once {
		return ""
	}
	perDay := dosesADay(r.Schedule)
	for _, a := range t.doseOf(r).Amounts {
		subject := nutrition.Subject(a.Nutrient)
		if a.Nutrient == nutrition.Retinoids {
			subject = nutrition.VitaminA
		}
		limit, ok := profile.Requirement(subject)
		if !ok || !limit.HasMax() {
			continue
		}
		if most := limit.Max * float64(need.Kcal) / 1000; a.Amount*perDay > most {
			return msg("supplement.above", "dog", d.Name, "nutrient", a.Nutrient.Name(), "most", sig(most), "unit", unitText(a.Nutrient.Unit()),
				"day", sig(a.Amount*perDay))
		}
	}
	return ""
}

// dosesADay is how many doses a series gives on a day on average.
func dosesADay(s planner.Schedule) float64 {
	n := float64(len(s.Times))
	switch {
	case s.EveryDays > 0:
		return n / float64(s.EveryDays)
	case len(s.Weekdays) > 0:
		return n * float64(len(s.Weekdays)) / 7
	case s.MonthDay > 0:
		return n * 12 / 365.25
	}
	return n
}

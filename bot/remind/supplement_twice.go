package remind

import (
	"slices"

	"bowlwright/bot/balance"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// TwiceText says what two doses of a supplement on one day come to: every
// maximum that the day is above then, or that none is known.
func TwiceText(t *talk.Turn, r *planner.Reminder) string {
	if r.Dose == nil {
		return ""
	}
	d := t.Dog(r.Dog)
	if d == nil {
		d = t.TheDog()
	}
	head := msg("supplement.two", "dose", t.DoseAmount(talk.DoseOf(t, r)))
	if d == nil {
		return head
	}
	if unknown := recipes.NoStrength(t, r.Dose); unknown != "" {
		return say.JoinParas(head, unknown, msg("supplement.two-unknown"))
	}
	kcal, profile := planner.AmountOf(*d, t.Event.At).Kcal, planner.RequirementsFor(*d, t.Event.At, t.Home.Profile)
	if _, far := recipes.DoseAbove(t, r.Dose, d, 2); far {
		return say.JoinParas(head, msg("supplement.two-far", "dog", d.Name))
	}
	var lines []string
	if kcal > 0 && profile != nil {
		brings := recipes.ExtrasOf(t, r.Dose, d, 2)
		m := besides(t, d, r)
		m.Extras = append(slices.Clone(m.Extras), brings...)
		for _, o := range nutrition.Overdoses(m, profile, kcal) {
			if broughtBy(o.Subject, brings) {
				lines = append(lines, balance.OverdoseLine(t, "overdose.dose-", d, o, kcal))
			}
		}
	}
	if len(lines) == 0 {
		lines = append(lines, msg("supplement.two-known"))
	}
	return say.JoinParas(append([]string{head}, lines...)...)
}

// besides is what a dog gets a day but for one reminder.
func besides(t *talk.Turn, d *planner.Dog, r *planner.Reminder) (m nutrition.Mixture) {
	if l, ok := eatenNow(t, d); ok {
		m = l.Mixture
		m.Extras = m.Extras[:len(m.Extras)-len(balance.RemindedOf(t, d, ""))]
	}
	m.Extras = append(slices.Clone(m.Extras), balance.RemindedOf(t, d, r.ID)...)
	return m
}

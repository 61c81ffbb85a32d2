package bot

import (
	"strings"

	"bowlwright/planner"
)

// whyDog explains the need: equation, source, range, resting energy, ideal
// weight and what was assumed.
func (t *turn) whyDog(d *planner.Dog) {
	if t.held(d) {
		return
	}
	n := planner.AmountOf(*d, t.event.At)
	u := t.home.Units
	besides := tableRow{msg("why.range"), []string{kcal(n.Low) + "-" + kcal(n.High)}}
	if n.ByHand {
		besides = tableRow{msg("why.equation"), []string{kcal(n.Computed) + " kcal"}}
	}
	rows := []tableRow{
		{msg("why.need"), []string{kcal(n.Kcal) + " kcal"}},
		besides,
		{msg("why.resting"), []string{kcal(n.Resting) + " kcal"}},
		{msg("why.weight"), []string{bodyWeight(d.Weight, u)}},
		{msg("why.ideal"), []string{idealText(n, u)}},
		{msg("why.basis"), []string{bodyWeight(n.Basis, u)}},
	}
	if n.LossStart > 0 {
		rows = append(rows, tableRow{msg("why.loss"), []string{kcal(n.LossStart) + " kcal"}})
	}
	blocks := []Block{para(t.needText(*d, n)), tableBlock(rows), para(msg("ideal-from." + n.IdealFrom))}
	if len(n.Assumed) > 0 {
		var what []string
		for _, a := range n.Assumed {
			what = append(what, msg("assumed."+a))
		}
		blocks = append(blocks, para(msg("why.assumed", "what", list(what))))
	}
	blocks = append(blocks, para(t.sinceText(d)), para(msg("why.spread")), para(t.gateText(*d, n)))
	t.say(blocks...).offer(t.button(msg("button.bowl"), "bowl", "dog", d.ID), t.button(msg("button.edit"), "dog", "edit", d.ID))
}

func idealText(n planner.Need, u planner.Units) string {
	if n.IdealLow == n.IdealHigh || n.IdealLow == 0 {
		return bodyWeight(n.Ideal, u)
	}
	low := strings.Fields(bodyWeight(n.IdealLow, u))[0]
	return low + "-" + bodyWeight(n.IdealHigh, u)
}

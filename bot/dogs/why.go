package dogs

import (
	"strings"

	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// WhyDog explains the need: equation, source, range, resting energy, ideal
// weight and what was assumed.
func WhyDog(t *talk.Turn, d *planner.Dog) {
	if Held(t, d) {
		return
	}
	n := planner.AmountOf(*d, t.Event.At)
	u := t.Home.Units
	besides := say.TableRow{Label: msg("why.range"), Cells: []string{say.Kcal(n.Low) + "-" + say.Kcal(n.High)}}
	if n.ByHand {
		besides = say.TableRow{Label: msg("why.equation"), Cells: []string{say.Kcal(n.Computed) + " kcal"}}
	}
	rows := []say.TableRow{
		{Label: msg("why.need"), Cells: []string{say.Kcal(n.Kcal) + " kcal"}},
		besides,
		{Label: msg("why.resting"), Cells: []string{say.Kcal(n.Resting) + " kcal"}},
		{Label: msg("why.weight"), Cells: []string{say.BodyWeight(d.Weight, u)}},
		{Label: msg("why.ideal"), Cells: []string{idealText(n, u)}},
		{Label: msg("why.basis"), Cells: []string{say.BodyWeight(n.Basis, u)}},
	}
	if n.LossStart > 0 {
		rows = append(rows, say.TableRow{Label: msg("why.loss"), Cells: []string{say.Kcal(n.LossStart) + " kcal"}})
	}
	blocks := []say.Block{say.Para(NeedText(t, *d, n)), say.TableBlock(rows), say.Para(msg("ideal-from." + n.IdealFrom))}
	if len(n.Assumed) > 0 {
		var what []string
		for _, a := range n.Assumed {
			what = append(what, msg("assumed."+a))
		}
		blocks = append(blocks, say.Para(msg("why.assumed", "what", say.List(what))))
	}
	blocks = append(blocks, say.Para(sinceText(t, d)), say.Para(msg("why.spread")), say.Para(GateText(t, *d, n)))
	t.Say(blocks...).Offer(t.Button(msg("button.bowl"), "bowl", "dog", d.ID), t.Button(msg("button.edit"), "dog", "edit", d.ID))
}

func idealText(n planner.Need, u planner.Units) string {
	if n.IdealLow == n.IdealHigh || n.IdealLow == 0 {
		return say.BodyWeight(n.Ideal, u)
	}
	low := strings.Fields(say.BodyWeight(n.IdealLow, u))[0]
	return low + "-" + say.BodyWeight(n.IdealHigh, u)
}

package bot

import (
	"slices"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// porkAsked marks that a household was asked whether its country is free of
// Aujeszky's disease. There is no list of such countries here: which they are
// changes, and a vet knows.
const porkAsked = "pork-asked"

// askPork asks, once, under the first recipe or bowl that has raw pork, whether
// the country is free of the disease, and says until then, and after "cook it",
// that it is to be cooked. Of wild boar it always says so.
func (t *turn) askPork(out *Reply, r *planner.Recipe) {
	l, err := t.look(r, nil)
	if err != nil {
		return
	}
	of := func(code nutrition.CautionCode) bool {
		return slices.ContainsFunc(nutrition.Cautions(l.mixture.Items, nutrition.CautionContext{}), func(c nutrition.Caution) bool { return c.Code == code })
	}
	if of(nutrition.RawBoarCaution) {
		out.Body = append(out.Body, para(msg("pork.boar")))
	}
	switch {
	case !of(nutrition.RawPorkCaution) || t.home.PorkFree:
	case t.home.Told[porkAsked]:
		out.Body = append(out.Body, para(msg("pork.cook")))
	default:
		t.tellOnce(porkAsked)
		out.Body = append(out.Body, para(msg("pork.ask")))
		out.offer(t.button(msg("button.pork-free"), "caution", "pork", "free"), t.button(msg("button.pork-cook"), "caution", "pork", "cook"))
	}
}

// tellOnce marks that something was told to the household.
func (t *turn) tellOnce(what string) {
	if t.home.Told == nil {
		t.home.Told = map[string]bool{}
	}
	t.home.Told[what], t.changed = true, true
}

// pressPork takes the answer.
func (t *turn) pressPork(answer string) {
	t.mutate("did.risk", "")
	t.tellOnce(porkAsked)
	text := msg("pork.cook")
	if t.home.PorkFree = answer == "free"; t.home.PorkFree {
		text = msg("pork.is-free")
	}
	t.say(para(text)).offer(t.undoButton())
}

package balance

import (
	"slices"

	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// porkAsked marks that a household was asked whether its country is free of
// Aujeszky's disease. There is no list of such countries here: which they are
// changes, and a vet knows.
const porkAsked = "pork-asked"

// AskPork asks, once, under the first recipe or bowl with raw pork, whether the
// country is free of the disease. Until then, and after "cook it", it says to
// cook it; for wild boar it always does.
func AskPork(t *talk.Turn, out *say.Reply, r *planner.Recipe) {
	l, err := Look(t, r, nil)
	if err != nil {
		return
	}
	of := func(code nutrition.CautionCode) bool {
		return slices.ContainsFunc(nutrition.Cautions(l.Mixture.Items, nutrition.CautionContext{}), func(c nutrition.Caution) bool { return c.Code == code })
	}
	if of(nutrition.RawBoarCaution) {
		out.Add(msg("pork.boar"))
	}
	switch {
	case !of(nutrition.RawPorkCaution) || t.Home.PorkFree:
	case !t.TellOnce(porkAsked):
		out.Add(msg("pork.cook"))
	default:
		out.Add(msg("pork.ask"))
		out.Offer(t.Button(msg("button.pork-free"), "caution", "pork", "free"), t.Button(msg("button.pork-cook"), "caution", "pork", "cook"))
	}
}

// pressPork takes the answer.
func pressPork(t *talk.Turn, answer string) {
	t.Mutate("did.risk", "")
	t.TellOnce(porkAsked)
	text := msg("pork.cook")
	if t.Home.PorkFree = answer == "free"; t.Home.PorkFree {
		text = msg("pork.is-free")
	}
	t.Say(say.Para(text)).Offer(t.UndoButton())
}

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
		out.Body = append(out.Body, say.Para(msg("pork.boar")))
	}
	switch {
	case !of(nutrition.RawPorkCaution) || t.Home.PorkFree:
	case t.Home.Told[porkAsked]:
		out.Body = append(out.Body, say.Para(msg("pork.cook")))
	default:
		tellOnce(t, porkAsked)
		out.Body = append(out.Body, say.Para(msg("pork.ask")))
		out.Offer(t.Button(msg("button.pork-free"), "caution", "pork", "free"), t.Button(msg("button.pork-cook"), "caution", "pork", "cook"))
	}
}

// tellOnce marks that something was told to the household.
func tellOnce(t *talk.Turn, what string) {
	t.TellOnce(what)
}

// pressPork takes the answer.
func pressPork(t *talk.Turn, answer string) {
	t.Mutate("did.risk", "")
	tellOnce(t, porkAsked)
	text := msg("pork.cook")
	if t.Home.PorkFree = answer == "free"; t.Home.PorkFree {
		text = msg("pork.is-free")
	}
	t.Say(say.Para(text)).Offer(t.UndoButton())
}

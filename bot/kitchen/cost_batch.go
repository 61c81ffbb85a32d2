package kitchen

import (
	"strconv"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// answerBatchCost says what the batch costs that was worked out last or, where none
// was just now, that was made last, and each pack of it; where there is none, what the
// recipe costs.
func answerBatchCost(t *talk.Turn, s read.Sentence) {
	if r, grams := batchOffered(t); r != nil && (s.Recipe == "" || s.Recipe == r.ID) {
		if batch, _, ok := batchOf(t, r, grams); ok {
			asked := t.Offered("shop")
			sayBatchCost(t, r, &batch, nil)
			for _, args := range asked {
				t.LastReply().Offer(t.Button(msg("button.to-buy"), "shop", args...)) // so that it stays the one that is meant
			}
			return
		}
	}
	if lots := newestLots(t, s.Recipe); len(lots) > 0 {
		r := t.Recipe(lots[0].Recipe)
		of := planner.Recipe{ID: lots[0].Recipe, Name: lots[0].Name, Ingredients: lots[0].Of}
		if r != nil {
			of.Doses = r.Doses
		}
		kcal := nutrition.Kcal(0)
		for _, l := range lots {
			kcal += l.Kcal * nutrition.Kcal(l.Moves[0].Packs)
		}
		if whole, ok := kcalOf(t, &of); ok {
			if batch, err := planner.Scale(of, float64(kcal/whole)); err == nil {
				sayBatchCost(t, &of, &batch, lots)
				return
			}
		}
	}
	answerCost(t, s)
}

// batchOffered is the recipe of the batch that the last reply is about, and its grams
// as the recipe is written; nil where it is about none.
func batchOffered(t *talk.Turn) (r *planner.Recipe, grams int) {
	for _, args := range t.Offered("shop") {
		if args[0] == "batch" {
			grams, _ = strconv.Atoi(talk.Arg(args, 2))
			return t.Recipe(talk.Arg(args, 1)), grams
		}
	}
	for _, args := range t.Offered("packs") {
		if args[0] == "juice" {
			grams, _ = strconv.Atoi(talk.Arg(args, 3))
			return t.Recipe(talk.Arg(args, 2)), grams
		}
	}
	return nil, 0
}

// newestLots are the lots of the batch that was made last, of a recipe where one is
// named.
func newestLots(t *talk.Turn, recipe string) (all []planner.Lot) {
	for _, l := range lotsOf(t.Home) {
		switch {
		case recipe != "" && l.Recipe != recipe || len(l.Of) == 0:
		case len(all) == 0 || l.Moves[0].At.After(all[0].Moves[0].At):
			all = []planner.Lot{l}
		case l.Moves[0].At.Equal(all[0].Moves[0].At) && l.Recipe == all[0].Recipe:
			all = append(all, l)
		}
	}
	return all
}

// sayBatchCost says what a batch of a recipe costs, and its packs.
func sayBatchCost(t *talk.Turn, r, batch *planner.Recipe, lots []planner.Lot) {
	t.Talk.Recipe = r.ID
	c := costTimes(t, batch, 1, 1)
	sum, _ := planner.TotalsOf(*batch, t.Foods)
	lines := []string{msg("cost.of-batch", "recipe", r.Name, "grams", kilos(t, sum.Grams), "sum", sumText(t, c))}
	for _, l := range lots {
		part := float64(l.Kcal) / max(sum.Energy.Mid, 1)
		lines = append(lines, msg("cost.pack", "each", say.Mass(nutrition.Grams(l.Each), t.Home.Units), "dog", dogOf(t, l.Dog), "sum", sumText(t, costTimes(t, batch, part, 1))))
	}
	finishCost(t, lines, c, r.ID)
}

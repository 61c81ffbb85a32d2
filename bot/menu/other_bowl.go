package menu

import (
	"slices"

	"bowlwright/bot/balance"
	"bowlwright/bot/bowls"
	"bowlwright/bot/dogs"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/bot/weighing"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/portions"
)

// Lacking reports that a part of some meal is no food that is known: of a dog
// whose recipe is gone.
func Lacking(fare []planner.Fare) bool {
	if len(fare) == 0 {
		return true
	}
	for m := range fare[0].Shares {
		sum := 0.0
		for _, f := range fare {
			sum += f.Shares[m]
		}
		if sum < 0.999 {
			return true
		}
	}
	return false
}

// AtText says at which meals a food is, empty where it is at all.
func AtText(f planner.Fare) string {
	var at []string
	for m, s := range f.Shares {
		if s > 0 {
			at = append(at, say.Trim(float64(m+1), 0))
		}
	}
	return say.Where(len(at) != len(f.Shares), msg("other.at", "n", len(at), "meals", say.List(at)))
}

// plateBlocks are the grams of each food, what they bring, and the table of what is
// weighed. Foods that are at some meals alone have a table each.
func plateBlocks(t *talk.Turn, d *planner.Dog, n planner.Need, p portions.Plate, meals int, u planner.Units) []say.Block {
	weighing.Shown(t, d)
	var parts, kcal []string
	split := false
	for _, f := range p.Parts {
		parts = append(parts, msg("other.part", "total", say.WholeText(f.Day, u)+say.Where(bowls.Made(t, d, &f.Recipe, f.Bowl.Kcal, meals).Raw, msg("bowl.raw")), "food", f.Recipe.Name, "at", AtText(f.Fare)))
		kcal = append(kcal, msg("other.part-kcal", "kcal", say.Kcal(f.Bowl.Kcal), "food", f.Recipe.Name))
		split = split || AtText(f.Fare) != ""
	}
	first := msg("other.bowl", "dog", d.Name, "what", say.List(parts))
	if meals > 1 {
		first += msg("bowl.meals", "n", meals)
	}
	why := msg("other.kcal", "kcal", say.Kcal(n.Kcal), "range", dogs.NeedRange(t, n), "parts", say.List(kcal))
	blocks := []say.Block{say.Para(first + "."), say.Whole(bowls.CookedParts(t, d, p.Parts)), say.Para(why)}
	if !split {
		blocks = append(blocks, say.TableBlock(bowls.BowlRows(t, p.Bowl, meals, u)))
	}
	for _, f := range p.Parts {
		if split && len(f.Bowl.Rows) > 1 {
			own := ownMeals(f)
			blocks = append(blocks, say.TableBlock(bowls.BowlRows(t, own, len(own.Meals), u)))
		}
	}
	return append(blocks, say.Whole(bowls.TinyText(t, p.Bowl, -1)), say.Whole(bowls.BowlDoses(t, d, p.Bowl, t.Date())))
}

// ownMeals is a food's bowl of those meals alone that it is at.
func ownMeals(f portions.PlatePart) portions.Bowl {
	b := f.Bowl
	at := func(meals []nutrition.Grams) (some []nutrition.Grams) {
		for m, g := range meals {
			if f.Shares[m] > 0 {
				some = append(some, g)
			}
		}
		return some
	}
	b.Meals, b.Rows = at(b.Meals), slices.Clone(b.Rows)
	for i := range b.Rows {
		b.Rows[i].Meals = at(b.Rows[i].Meals)
	}
	return b
}

// showFare says what a dog eats on a day on which that is not its recipe alone.
func showFare(t *talk.Turn, d *planner.Dog, day planner.Date, head string) {
	t.Talk.Dog = d.ID
	if dogs.Held(t, d) {
		return
	}
	if dogs.SignHeld(t, d, nil) {
		t.LastReply().Begin(head)
		return
	}
	blocks, err := fareBlocks(t, d, day)
	if err != nil {
		t.Fail(err)
		return
	}
	n := planner.AmountOf(*d, t.Event.At)
	var cautions []string
	var eaten []*planner.Recipe
	for _, f := range planner.FareOn(t.Home, d.ID, day) {
		cautions = append(cautions, dogs.ExcludedText(t, d, f.Recipe), recipes.CookText(t, f.Recipe.Ingredients))
		if r := t.Recipe(f.Recipe.ID); r != nil {
			eaten = append(eaten, r)
			cautions = append(cautions, balance.FailsText(t, d, r, balance.StillFailing(t, d, r, balance.Failing(t, d, r))))
		}
	}
	blocks = append(blocks, say.Whole(say.JoinParas(append(cautions, dogs.GateText(*d, n))...)))
	out := t.Say(blocks...).Begin(head)
	dogs.BeginSign(t, d, out)
	out.Offer(t.Button(msg("button.why"), "dog", "why", d.ID), t.Button(msg("button.other-stop"), "other", "stop", d.ID))
	for _, r := range eaten {
		balance.AskPork(t, out, r)
	}
}

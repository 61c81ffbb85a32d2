package publish

import (
	"cmp"

	"bowlwright/bot/balance"
	"bowlwright/bot/dogs"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/portions"
)

// bowlChanges is what another form of a recipe does to the bowls of the dogs
// that eat it; of several recipes with its name.
func (k *taking) bowlChanges(t *talk.Turn, is *planner.Recipe) (blocks []say.Block) {
	named := len(k.v.Turns) > 0
	was := t.Recipe(is.ID)
	shown := 0
	for i := range t.Home.Dogs {
		d := &t.Home.Dogs[i]
		if !d.Died.IsZero() || !eats(t, d, is.ID) {
			continue
		}
		n := planner.AmountOf(*d, t.Event.At)
		before, err1 := portions.BowlFor(*was, t.Foods, n.Kcal, talk.MealsOf(*d), t.Home.Units)
		after, err2 := portions.BowlFor(*is, t.Foods, n.Kcal, talk.MealsOf(*d), t.Home.Units)
		if err1 != nil || err2 != nil || n.Kcal == 0 {
			blocks = append(blocks, say.Para(msg("news.no-bowl", "dog", d.Name)))
			continue
		}
		rows := k.bowlRows(t, d, before, after)
		if named {
			rows[0].Label = msg("news.bowl-of", "dog", d.Name, "recipe", was.Name)
		}
		if len(rows) == 2 && before.Day == after.Day { // the heading and the sum
			if !named {
				blocks = append(blocks, say.Para(msg("news.same-bowl", "dog", d.Name)))
			}
			continue
		}
		table := say.TableBlock(rows)
		table.Waits = shown > 0
		warn := cmp.Or(balance.FarOver(t, d, is), balance.TooMuchText(t, is, d))
		blocks = append(blocks, table, say.Whole(say.JoinParas(dogs.ExcludedText(t, d, *is), warn)))
		shown++
	}
	return blocks
}

// eats reports that a recipe is what a dog eats, on some day of its rotation.
func eats(t *talk.Turn, d *planner.Dog, recipe string) bool {
	if rot := planner.RotationOf(t.Home, d.ID); rot != nil {
		return rot.Has(recipe)
	}
	id, _ := planner.RecipeOn(t.Home, d.ID, t.Date())
	return id == recipe
}

// bowlRows are the foods of which a dog gets another amount a day, and the
// whole.
func (k *taking) bowlRows(t *talk.Turn, d *planner.Dog, was, is portions.Bowl) []say.TableRow {
	unit := say.MassUnit(t.Home.Units)
	rows := []say.TableRow{{Label: msg("news.bowl", "dog", d.Name, "unit", unit), Cells: []string{msg("news.now"), msg("news.then")}}}
	var foods []string
	amounts := func(b portions.Bowl) map[string]nutrition.Grams {
		of := map[string]nutrition.Grams{}
		for _, r := range b.Rows {
			food := cmp.Or(k.corrected[r.Food], r.Food)
			foods, of[food] = append(foods, food), of[food]+r.Day
		}
		for _, r := range b.Tiny {
			food := cmp.Or(k.corrected[r.Food], r.Food)
			foods, of[food] = append(foods, food), of[food]+r.Day
		}
		return of
	}
	before, after := amounts(was), amounts(is)
	cell := func(of map[string]nutrition.Grams, food string) string {
		if g, in := of[food]; in {
			return say.Figure(g, t.Home.Units)
		}
		return "-"
	}
	seen := map[string]bool{}
	for _, food := range foods {
		if a, b := cell(before, food), cell(after, food); a != b && !seen[food] {
			rows = append(rows, say.TableRow{Label: t.FoodName(food), Cells: []string{a, b}})
		}
		seen[food] = true
	}
	return append(rows, say.TableRow{Label: msg("news.sum"), Cells: []string{say.Figure(was.Day, t.Home.Units), say.Figure(is.Day, t.Home.Units)}})
}

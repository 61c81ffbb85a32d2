package publish

import (
	"cmp"

	"bowlwright/bot/balance"
	"bowlwright/bot/dogs"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// bowlChanges is what another form of a recipe does to the bowls of the dogs
// that eat it; of several recipes with its name.
func bowlChanges(t *talk.Turn, is *planner.Recipe, named bool) (blocks []say.Block) {
	was := t.Recipe(is.ID)
	shown := 0
	for i := range t.Home.Dogs {
		d := &t.Home.Dogs[i]
		if !d.Died.IsZero() || !eats(t, d, is.ID) {
			continue
		}
		n := planner.AmountOf(*d, t.Event.At)
		before, err1 := planner.BowlFor(*was, t.Foods, n.Kcal, talk.MealsOf(*d), t.Home.Units)
		after, err2 := planner.BowlFor(*is, t.Foods, n.Kcal, talk.MealsOf(*d), t.Home.Units)
		if err1 != nil || err2 != nil || n.Kcal == 0 {
			blocks = append(blocks, say.Para(msg("news.no-bowl", "dog", d.Name)))
			continue
		}
		rows := bowlRows(t, d, before, after)
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
func bowlRows(t *talk.Turn, d *planner.Dog, was, is planner.Bowl) []say.TableRow {
	unit := say.Choose(t.Home.Units.Ounces, "oz", "g")
	rows := []say.TableRow{{Label: msg("news.bowl", "dog", d.Name, "unit", unit), Cells: []string{msg("news.now"), msg("news.then")}}}
	amount := func(b planner.Bowl, food string) (g nutrition.Grams, in bool) {
		for _, r := range b.Rows {
			if r.Food == food {
				g, in = g+r.Day, true
			}
		}
		for _, r := range b.Tiny {
			if r.Food == food {
				g, in = g+r.Day, true
			}
		}
		return g, in
	}
	var foods []string
	for _, b := range []planner.Bowl{was, is} {
		for _, r := range b.Rows {
			foods = append(foods, r.Food)
		}
		for _, r := range b.Tiny {
			foods = append(foods, r.Food)
		}
	}
	cell := func(b planner.Bowl, food string) string {
		g, in := amount(b, food)
		if !in {
			return "-"
		}
		return say.Figure(g, t.Home.Units)
	}
	seen := map[string]bool{}
	for _, food := range foods {
		if a, b := cell(was, food), cell(is, food); a != b && !seen[food] {
			rows = append(rows, say.TableRow{Label: t.FoodName(food), Cells: []string{a, b}})
		}
		seen[food] = true
	}
	return append(rows, say.TableRow{Label: msg("news.sum"), Cells: []string{say.Figure(was.Day, t.Home.Units), say.Figure(is.Day, t.Home.Units)}})
}

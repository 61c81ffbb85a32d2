package day

import (
	"bowlwright/bot/balance"
	"bowlwright/bot/dogs"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// sayMorning says every dog's day in one message.
func sayMorning(t *talk.Turn, due []planner.Occurrence) {
	o := due[len(due)-1]
	var blocks []say.Block
	failing := map[string]string{} // by dog
	dogs := dogs.AskedOf(t, &planner.Reminder{})
	for _, d := range dogs {
		blocks = append(blocks, dayBlocks(t, d, o.Date)...)
		if r := mealRecipe(t, d, o.Date); r != nil {
			failing[d.ID] = balance.Failing(t, d, r)
			blocks = append(blocks, say.Para(balance.MuchWeekly(t, d, r)), say.Para(failing[d.ID]))
		}
	}
	if len(blocks) == 0 {
		return
	}
	out := t.Say(append([]say.Block{say.Para(msg("due.morning", "day", say.DayText(o.Date)))}, blocks...)...)
	for _, d := range dogs {
		out.Offer(t.Button(msg("button.fed-dog", "dog", d.Name), "feed", d.ID))
		balance.OfferMissing(t, out, d, mealRecipe(t, d, o.Date), failing[d.ID])
	}
	out.Offer(t.Button(msg("button.today"), "today"))
}

// dayBlocks are one dog's amounts of a day, short.
func dayBlocks(t *talk.Turn, d *planner.Dog, day planner.Date) []say.Block {
	m, trouble := MealFor(t, d, day, 0)
	if m == nil {
		return []say.Block{say.Para(trouble)}
	}
	u := t.Home.Units
	head := msg("due.day", "dog", d.Name, "total", say.WholeText(m.Bowl.Day, u), "recipe", m.Recipe.Name)
	if m.meals > 1 {
		head += msg("bowl.meals", "n", m.meals)
	}
	rows := make([]say.TableRow, 0, len(m.Bowl.Rows))
	for _, row := range m.Bowl.Rows {
		rows = append(rows, say.TableRow{Label: t.FoodName(row.Food), Cells: []string{say.WholeText(row.Day, u)}})
	}
	return []say.Block{say.Para(head + "."), say.TableBlock(rows), say.Para(dosesOf(t, m, day))}
}

// SayFreezer says the evening before what to take out.
func SayFreezer(t *talk.Turn, due []planner.Occurrence) {
	tomorrow := due[len(due)-1].Date.AddDays(1)
	totals := map[string]nutrition.Grams{}
	var order []string
	for i := range t.Home.Dogs {
		m, _ := MealFor(t, &t.Home.Dogs[i], tomorrow, 0)
		if m == nil {
			continue
		}
		name, day := m.Recipe.Name, m.Bowl.Day
		if tr, r := talk.Switching(t, &t.Home.Dogs[i], tomorrow); tr != nil { // the old food needs no thawing
			name, day = r.Name, m.fresh
		}
		if day == 0 {
			continue
		}
		if _, ok := totals[name]; !ok {
			order = append(order, name)
		}
		totals[name] += day
	}
	if len(order) == 0 {
		return
	}
	var what []string
	for _, name := range order {
		what = append(what, msg("due.thaw", "total", say.WholeText(totals[name], t.Home.Units), "recipe", name))
	}
	t.Say(say.Para(msg("due.freezer", "what", say.List(what), "day", say.DayText(tomorrow))), say.Para(msg("due.freezer-how")))
}

package bot

import (
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// sayMorning says every dog's day in one message.
func (t *turn) sayMorning(due []planner.Occurrence) {
	o := due[len(due)-1]
	var blocks []Block
	failing := map[string]string{} // by dog
	dogs := t.askedOf(&planner.Reminder{})
	for _, d := range dogs {
		blocks = append(blocks, t.dayBlocks(d, o.Date)...)
		if r := t.mealRecipe(d, o.Date); r != nil {
			failing[d.ID] = t.failing(d, r)
			blocks = append(blocks, para(t.muchWeekly(d, r)), para(failing[d.ID]))
		}
	}
	if len(blocks) == 0 {
		return
	}
	out := t.say(append([]Block{para(msg("due.morning", "day", dayText(o.Date)))}, blocks...)...)
	for _, d := range dogs {
		out.offer(t.button(msg("button.fed-dog", "dog", d.Name), "feed", d.ID))
		t.offerMissing(out, d, t.mealRecipe(d, o.Date), failing[d.ID])
	}
	out.offer(t.button(msg("button.today"), "today"))
}

// dayBlocks are one dog's amounts of a day, short.
func (t *turn) dayBlocks(d *planner.Dog, day planner.Date) []Block {
	m, trouble := t.mealFor(d, day, 0)
	if m == nil {
		return []Block{para(trouble)}
	}
	u := t.home.Units
	head := msg("due.day", "dog", d.Name, "total", wholeText(m.bowl.Day, u), "recipe", m.recipe.Name)
	if m.meals > 1 {
		head += msg("bowl.meals", "n", m.meals)
	}
	rows := make([]tableRow, 0, len(m.bowl.Rows))
	for _, row := range m.bowl.Rows {
		rows = append(rows, tableRow{t.foodName(row.Food), []string{wholeText(row.Day, u)}})
	}
	return []Block{para(head + "."), tableBlock(rows), para(t.dosesOf(m, day))}
}

// sayFreezer says the evening before what to take out.
func (t *turn) sayFreezer(due []planner.Occurrence) {
	tomorrow := due[len(due)-1].Date.AddDays(1)
	totals := map[string]nutrition.Grams{}
	var order []string
	for i := range t.home.Dogs {
		m, _ := t.mealFor(&t.home.Dogs[i], tomorrow, 0)
		if m == nil {
			continue
		}
		name, day := m.recipe.Name, m.bowl.Day
		if tr, r := t.switching(&t.home.Dogs[i], tomorrow); tr != nil { // the old food needs no thawing
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
		what = append(what, msg("due.thaw", "total", wholeText(totals[name], t.home.Units), "recipe", name))
	}
	t.say(para(msg("due.freezer", "what", list(what), "day", dayText(tomorrow))), para(msg("due.freezer-how")))
}

// dayText prints a day: "Thu 5 Mar".
func dayText(d planner.Date) string {
	return time.Date(d.Year, d.Month, d.Day, 12, 0, 0, 0, time.UTC).Format("Mon 2 Jan")
}

package card

import (
	"slices"
	"strings"
	"time"

	"bowlwright/bot/balance"
	"bowlwright/bot/day"
	"bowlwright/bot/dogs"
	"bowlwright/bot/kitchen"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/portions"
)

// sitterDays is for how many days, from today on, a sheet for the sitter is (our
// own choice).
const sitterDays = 7

// sitterSheet is what somebody has to know who feeds the dogs for some days.
func sitterSheet(t *talk.Turn) sheet {
	from := t.Date()
	s := sheet{Title: msg("sitter.title", "dogs", talk.NamesOf(t.Dogs())),
		Foot: msg("sitter.foot", "day", dayText(from))}
	s.Under = []string{msg("sitter.for", "from", say.DayText(from), "to", say.DayText(from.AddDays(sitterDays-1)))}
	s.add(numbersBlock(t))
	for _, d := range t.Living() {
		s.add(dogBlocks(t, d)...)
	}
	s.add(
		block{Head: msg("sitter.doses"), half: true, Table: dosesDue(t)},
		block{Head: msg("sitter.thaw"), half: true, Paras: paras(msg("sitter.thaw-text"))},
		block{Head: msg("sitter.never"), half: true, Lead: msg("sitter.never-lead"), Paras: paras(msg("refuse.all"))},
		block{Head: msg("sitter.signs"), half: true, Lead: msg("sitter.signs-lead"), Paras: paras(msg("sitter.signs-text"))},
	)
	return s
}

// numbersBlock is whom to ring; what is not known is left to be written in.
func numbersBlock(t *talk.Turn) block {
	n := t.Home.Numbers
	tab := &table{words: true, lines: true, Rows: [][]string{
		{msg("sitter.us"), ""}, {msg("sitter.vet"), n.Vet}, {msg("sitter.clinic"), n.Clinic}, {msg("sitter.poison"), n.Poison}}}
	return block{Head: msg("sitter.numbers"), Table: tab}
}

// dogBlocks are a dog's meals: one table for all days that are alike.
func dogBlocks(t *talk.Turn, d *planner.Dog) []block {
	n := planner.AmountOf(*d, t.Event.At)
	head := block{Head: d.Name, half: true, Paras: unmarked(paras(
		say.Where(len(d.Excludes) > 0, msg("sitter.excludes", "dog", d.Name, "foods", say.List(d.Excludes))),
		say.Where(d.Health != "", msg("vet.health", "notes", d.Health)),
		say.Where(d.Diabetic(), msg("sitter.diabetic")),
		say.Where(d.ByVet && n.Kcal > 0, msg("sitter.by-vet", "kcal", say.Kcal(n.Kcal))),
		say.Where(len(d.Limits) > 0, msg("sitter.limits", "limits", strings.Join(d.Limits, "; "))),
	))}
	if n.Waits() {
		head.Paras = append(head.Paras, msg("sitter.waits", "dog", d.Name))
		head.Table = &table{words: true, lines: true, Rows: [][]string{{msg("sitter.food"), ""}, {msg("sitter.times"), ""}}}
		return []block{head}
	}
	var blocks []block
	for _, m := range mealsOf(t, d) {
		b := block{Head: d.Name, half: true, Lead: strings.TrimSpace(daysText(m.days) + ": " + strings.TrimSuffix(m.name, ".") + ". " + m.amiss), Table: m.table, Notes: m.notes}
		if len(blocks) == 0 { // what holds for all days stands with the first
			b.Paras = head.Paras
		}
		blocks = append(blocks, b)
	}
	return blocks
}

// meals are what a dog gets on some days that are alike.
type meals struct {
	name  string
	days  []planner.Date
	amiss string // what in it the dog may not have
	table *table
	notes []string
}

// mealsOf are a dog's meals of the coming days.
func mealsOf(t *talk.Turn, d *planner.Dog) (all []meals) {
	for n := range sitterDays {
		on := t.Date().AddDays(n)
		m, trouble := day.MealFor(t, d, on, talk.MealsOf(*d)-1)
		is := meals{days: []planner.Date{on}}
		if m == nil {
			is.name = say.Unmarked(trouble)
		} else {
			is.name, is.table = m.Recipe.Name+say.Where(recipes.Cooks(t, m.Recipe), msg("bowl.raw")), mealTable(t, d, m.Bowl)
			is.notes = bowlNotes(t, d, m.Recipe, m.Bowl)
			if aDay, left, cooked, ok := kitchen.Packed(t, d, m.Recipe, on); ok && planner.ShareOf(t.Home, d.ID, on, m.Recipe.ID) == 1 {
				is.name, is.table = m.Recipe.Name, packTable(t, d, m.Recipe, aDay, cooked)
				is.notes = append(doseNotes(t, d, m.Bowl), left)
			}
			is.amiss = say.Unmarked(dogs.ExcludedText(t, d, *m.Recipe))
		}
		same := func(was meals) bool {
			return was.name == is.name && (was.table == nil) == (is.table == nil) && (is.table == nil || slices.EqualFunc(was.table.Rows, is.table.Rows, slices.Equal[[]string]))
		}
		if i := slices.IndexFunc(all, same); i >= 0 {
			all[i].days = append(all[i].days, on)
			continue
		}
		all = append(all, is)
	}
	return all
}

// mealHeads is a table with a column for each meal of a dog.
func mealHeads(t *talk.Turn, d *planner.Dog) *table {
	heads := []string{msg("sitter.in", "unit", say.MassUnit(t.Home.Units))}
	for i, c := range d.MealTimes() {
		heads = append(heads, say.Choose(len(d.FeedAt) > 0, c.String(), msg("sitter.meal", "n", i+1)))
	}
	return &table{Heads: [][]string{append(heads, msg("sitter.day"))}, sums: 1}
}

// packTable is a day's food out of packs.
func packTable(t *talk.Turn, d *planner.Dog, r *planner.Recipe, aDay nutrition.Grams, cooked bool) *table {
	meals := talk.MealsOf(*d)
	parts, whole := portions.RoundParts(slices.Repeat([]nutrition.Grams{aDay / nutrition.Grams(meals)}, meals), t.Home.Units)
	cells := say.Each(append(parts, whole), func(g nutrition.Grams) string { return say.Figure(g, t.Home.Units) })
	tab := mealHeads(t, d)
	tab.Rows = [][]string{append([]string{msg(say.Choose(cooked, "sitter.pack-cooked", "sitter.pack"), "recipe", r.Name)}, cells...)}
	return tab
}

// mealTable is a bowl with a column for each meal.
func mealTable(t *talk.Turn, d *planner.Dog, b portions.Bowl) *table {
	tab := mealHeads(t, d)
	row := func(name string, meals []nutrition.Grams, whole nutrition.Grams) {
		cells := say.Each(append(slices.Clone(meals), whole), func(g nutrition.Grams) string { return say.Figure(g, t.Home.Units) })
		tab.Rows = append(tab.Rows, append([]string{name}, cells...))
	}
	for _, r := range b.Rows {
		row(t.FoodName(r.Food), r.Meals, r.Day)
	}
	row(msg("card.together"), b.Meals, b.Day)
	return tab
}

// bowlNotes are what goes with a bowl: what no scale shows, the recipe's
// supplements, and what is to be cooked.
func bowlNotes(t *talk.Turn, d *planner.Dog, r *planner.Recipe, b portions.Bowl) (notes []string) {
	for _, tiny := range b.Tiny {
		notes = append(notes, msg("sitter.tiny", "food", t.FoodName(tiny.Food), "day", say.Trim(float64(tiny.Day), 2)))
	}
	return append(append(notes, doseNotes(t, d, b)...), unmarked(paras(recipes.CookText(t, r.Ingredients)))...)
}

// doseNotes are the supplements that go with a bowl, but for those that fall due by
// themselves.
func doseNotes(t *talk.Turn, d *planner.Dog, b portions.Bowl) (notes []string) {
	for _, dose := range b.Doses {
		if !dose.Dose.Batch && balance.SupplementOf(t, d.ID, dose.Dose.Food) == nil {
			notes = append(notes, msg("sitter.with-it", "dose", talk.DoseAmount(t, dose.Dose), "often", say.CadenceText(dose.Dose.Cadence)))
		}
	}
	return notes
}

// daysText is some days: the first and the last where they follow one another.
func daysText(days []planner.Date) string {
	if len(days) == sitterDays {
		return msg("sitter.every-day")
	}
	first, last := days[0], days[len(days)-1]
	if len(days) > 2 && first.AddDays(len(days)-1) == last {
		return msg("sitter.span", "from", say.DayText(first), "to", say.DayText(last))
	}
	return say.ListOf(days, say.DayText)
}

// dosesDue are the supplements and notes that fall due in the coming days, each
// with its day and time.
func dosesDue(t *talk.Turn) *table {
	zone := t.Event.At.Location()
	until := planner.Instant(t.Date().AddDays(sitterDays), 0, zone).Add(-time.Nanosecond)
	tab := &table{words: true}
	for _, o := range planner.Agenda(t.Home.WithDoses(), t.Event.At, until) {
		r := t.Reminder(o.Reminder)
		if r == nil || r.Kind != planner.SupplementReminder && r.Kind != planner.NoteReminder || r.Kind == planner.SupplementReminder && r.Dose == nil {
			continue
		}
		what := r.Text
		if r.Dose != nil {
			what = talk.DoseAmount(t, talk.DoseOf(t, r))
		}
		if d := t.Dog(r.Dog); d != nil {
			what = d.Name + ": " + what
		}
		at := o.Send.In(zone)
		tab.Rows = append(tab.Rows, []string{say.DayText(planner.DateOf(at)) + " " + at.Format("15:04"), strings.TrimSpace(what)})
	}
	return tab
}

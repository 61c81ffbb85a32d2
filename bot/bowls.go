package bot

import (
	"errors"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// today says each dog's amounts for the day.
func (t *turn) today() {
	if len(t.home.Dogs) == 0 {
		t.sayMsg("today.no-dogs").offer(t.button(msg("button.add-dog"), "dog", "add"))
		return
	}
	if slices.ContainsFunc(t.home.Reminders, func(r planner.Reminder) bool {
		return r.Kind != planner.StoolReminder && r.Kind != planner.StageReminder && r.Kind != planner.DoubtReminder
	}) {
		t.sayDay()
		return
	}
	for i := range t.home.Dogs {
		t.bowl(&t.home.Dogs[i], nil)
	}
}

// bowl says what a dog gets of a recipe in a day: the recipe it eats now
// where none is named.
func (t *turn) bowl(d *planner.Dog, r *planner.Recipe) {
	t.talk.Dog = d.ID
	if t.held(d) {
		return
	}
	n := planner.AmountOf(*d, t.event.At)
	if r == nil {
		asked := bowlAsked{dog: d}
		if t.happened(&asked); asked.taken {
			return
		}
		id, _ := planner.RecipeOn(t.home, d.ID, t.date())
		r = t.recipe(id)
	}
	if r == nil {
		r = t.theRecipe(d)
	}
	if r == nil {
		t.noRecipe(d, n)
		return
	}
	t.talk.Recipe = r.ID
	eater := eater{name: d.Name, need: n, meals: mealsOf(*d), units: t.home.Units, dog: d}
	if t.toBeCooked(r) {
		return
	}
	if far := t.farOver(d, r); far != "" {
		t.offerMissing(t.say(para(far)), d, r, far)
		return
	}
	failing := t.failing(d, r)
	out := t.sayBowl(eater, r, joinParas(t.failsText(d, r, t.stillFailing(d, r, failing)), t.excludedText(d, *r), t.gateText(*d, n)))
	if out == nil {
		return
	}
	t.offerMissing(out, d, r, failing)
	out.offer(t.button(msg("button.why"), "dog", "why", d.ID), t.button(msg("button.scale"), "scale", "ask", r.ID))
	if len(t.home.Recipes) > 1 {
		var row []Button
		for i := range t.home.Recipes {
			other := &t.home.Recipes[i]
			if other.ID != r.ID && len(row) < 3 {
				row = append(row, t.button(other.Name, "bowl", "recipe", d.ID, other.ID))
			}
		}
		out.offer(row...)
	}
	t.askPork(out, r)
	t.happened(&bowlShown{d, r, out})
}

// answerTomorrow says what a dog gets tomorrow, or every dog: what is to be
// thawed is taken out today.
func (t *turn) answerTomorrow(s read.Sentence) {
	if len(t.home.Dogs) == 0 {
		t.sayMsg("today.no-dogs").offer(t.button(msg("button.add-dog"), "dog", "add"))
		return
	}
	if d := t.dog(s.Dog); d != nil {
		t.bowlTomorrow(d)
		return
	}
	for i := range t.home.Dogs {
		t.bowlTomorrow(&t.home.Dogs[i])
	}
}

// bareTomorrow answers "tomorrow" where it answers no question.
func (t *turn) bareTomorrow(s string) bool {
	if !strings.EqualFold(strings.Trim(s, " .!?"), "tomorrow") {
		return false
	}
	t.answerTomorrow(read.Sentence{Intent: read.Tomorrow})
	return true
}

// bowlTomorrow says what a dog gets tomorrow, by what is known of it today.
func (t *turn) bowlTomorrow(d *planner.Dog) {
	t.talk.Dog = d.ID
	n, day := planner.AmountOf(*d, t.event.At), t.date().AddDays(1)
	head := para(msg("bowl.tomorrow", "day", dayText(day)))
	if t.held(d) {
		return
	}
	if tr, r := t.switching(d, day); tr != nil {
		t.say(append([]Block{head}, t.portionBlocks(tr, d, r, day)...)...)
		return
	}
	id, _ := planner.RecipeOn(t.home, d.ID, day)
	r := t.recipe(id)
	if r == nil && len(t.home.Recipes) == 1 {
		r = &t.home.Recipes[0]
	}
	if r == nil {
		t.noRecipe(d, n)
		return
	}
	e := eater{name: d.Name, need: n, meals: mealsOf(*d), units: t.home.Units, dog: d}
	if t.toBeCooked(r) {
		return
	}
	if far := t.farOver(d, r); far != "" {
		t.offerMissing(t.say(para(far)), d, r, far)
		return
	}
	failing := t.failing(d, r)
	if out := t.sayBowl(e, r, joinParas(t.failsText(d, r, t.stillFailing(d, r, failing)), t.excludedText(d, *r), t.gateText(*d, n))); out != nil {
		out.Body = append([]Block{head}, out.Body...)
		t.offerMissing(out, d, r, failing)
	}
}

// tooMuchText says what of a recipe is too much for the dog that is to eat it:
// nutrients above their maximum, salt. It stands with the bowl, because
// that is what gets fed.
func (t *turn) tooMuchText(r *planner.Recipe, d *planner.Dog) string {
	l, err := t.fed(d, r)
	if err != nil {
		return ""
	}
	lines := []string{t.overdoseText(d, l), t.kelpText(d, l.mixture)}
	said := map[nutrition.Subject]bool{}
	for _, o := range nutrition.Overdoses(l.mixture, l.profile, planner.AmountOf(*d, t.event.At).Kcal) {
		said[o.Subject] = true
	}
	for i := range l.result.Rows {
		row := &l.result.Rows[i]
		if !row.Verdict.TooMuch() || said[row.Requirement.Subject] {
			continue
		}
		if line := t.findingText(l, row); row.Requirement.Subject == nutrition.Subject(nutrition.Calcium) {
			lines = append([]string{line}, lines...) // the gravest
		} else {
			lines = append(lines, line)
		}
	}
	for _, c := range nutrition.Cautions(l.mixture.Items, nutrition.CautionContext{Analysis: &l.result}) {
		if c.Code == nutrition.SaltCaution {
			lines = append(lines, cautionText(c, t.foods))
		}
	}
	return joinParas(lines...)
}

// noRecipe says the need where there is no recipe to make a bowl of, with
// the trade's rule of thumb in grams.
func (t *turn) noRecipe(d *planner.Dog, n planner.Need) {
	t.say(para(t.needText(*d, n)), para(t.thumbText(n)), para(t.gateText(*d, n))).
		offer(t.button(msg("button.add-recipe"), "recipe", "add"))
}

// thumbText is the rule of thumb. It is one for grown and healthy dogs: a puppy
// or a nursing bitch eats several times as much.
func (t *turn) thumbText(n planner.Need) string {
	if n.Gate != "" {
		return ""
	}
	low := nutrition.Grams(float64(n.Ideal) * 1000 * thumbLow)
	high := nutrition.Grams(float64(n.Ideal) * 1000 * thumbHigh)
	return msg("bowl.thumb", "low", mass(low, t.home.Units), "high", mass(high, t.home.Units))
}

// Fresh food a day as a share of ideal body weight (common practice, no
// source).
const (
	thumbLow  = 0.02
	thumbHigh = 0.03
)

// eater is whoever a bowl is for: a dog of the household or one described in
// words.
type eater struct {
	name  string
	need  planner.Need
	meals int
	units planner.Units // in which its bowl is told
	dog   *planner.Dog  // of the household; nil for one in words
}

// sayBowl says the day's amounts: the total first, the reason in a line,
// then each ingredient a day and a meal. It returns nil where the recipe
// cannot make a bowl.
func (t *turn) sayBowl(e eater, r *planner.Recipe, caution string) *Reply {
	u := e.units
	b, err := planner.BowlFor(*r, t.foods, e.need.Kcal, e.meals, u)
	if err != nil {
		t.say(para(scaleTrouble(t, r.Name, err)))
		return nil
	}
	t.shown(e.dog)
	first := msg("bowl.total", "dog", e.name, "total", wholeText(b.Day, u), "recipe", r.Name)
	if e.meals > 1 {
		first += msg("bowl.meals", "n", e.meals)
	}
	first += "."
	why := msg("bowl.kcal", "kcal", kcal(e.need.Kcal), "range", t.needRange(e.need), "reason", needReason(e.need))
	return t.say(para(first), para(why), tableBlock(t.bowlRows(b, e.meals, u)), para(t.tinyText(b)), para(t.bowlDoses(e, b)), para(caution))
}

// bowlRows are the ingredients with the day's amount and each meal's. Meals
// that are all alike have one column.
func (t *turn) bowlRows(b planner.Bowl, meals int, u planner.Units) []tableRow {
	columns := mealColumns(b, meals)
	heading := []string{msg("bowl.day", "unit", choose(u.Ounces, "oz", "g"))}
	switch {
	case columns == 1 && meals > 2 && !evenMeals(b):
		heading = append(heading, msg("bowl.each-about"))
	case columns == 1 && meals > 1:
		heading = append(heading, msg("bowl.each"))
	case columns > 1:
		for m := range columns {
			heading = append(heading, msg("bowl.meal", "n", m+1))
		}
	}
	rows := []tableRow{{"", heading}}
	for _, row := range b.Rows {
		rows = append(rows, tableRow{t.foodName(row.Food), mealCells(row.Day, row.Meals, columns, u)})
	}
	return append(rows, tableRow{msg("bowl.sum"), mealCells(b.Day, b.Meals, columns, u)})
}

// mealColumns is how many columns of meals the table needs: none for one
// meal a day, two for two that differ, else one: a phone has no room for more,
// and they differ by a step of the scale.
func mealColumns(b planner.Bowl, meals int) int {
	switch {
	case meals < 2:
		return 0
	case meals == 2 && !evenMeals(b):
		return 2
	}
	return 1
}

// evenMeals reports that each meal has the same of every food.
func evenMeals(b planner.Bowl) bool {
	for _, row := range b.Rows {
		for _, g := range row.Meals {
			if g != row.Meals[0] {
				return false
			}
		}
	}
	return true
}

func mealCells(day nutrition.Grams, meals []nutrition.Grams, columns int, u planner.Units) []string {
	cells := []string{figure(day, u)}
	for m := 0; m < columns && m < len(meals); m++ {
		cells = append(cells, figure(meals[m], u))
	}
	return cells
}

// figure is an amount that is rounded already, in the household's unit,
// without it: the column's heading has it.
func figure(g nutrition.Grams, u planner.Units) string {
	if u.Ounces {
		return trim(g.Ounces(), 1)
	}
	return trim(float64(g), 1)
}

// wholeText is a whole that is rounded already, as the table under it has it;
// kilograms or pounds where it is a batch.
func wholeText(g nutrition.Grams, u planner.Units) string {
	if g >= 10_000 {
		return mass(g, u)
	}
	return figure(g, u) + " " + choose(u.Ounces, "oz", "g")
}

// tinyText says the amounts that no kitchen scale shows.
func (t *turn) tinyText(b planner.Bowl) string {
	var lines []string
	for _, r := range b.Tiny {
		lines = append(lines, msg("bowl.tiny", "day", trim(float64(r.Day), 2)+" g", "food", t.foodName(r.Food),
			"week", trim(float64(r.Week), 1)+" g"))
	}
	return joinParas(lines...)
}

// bowlDoses lists the supplements that go with the bowl. Of those that a
// reminder says when to give, only what is still to be given today.
func (t *turn) bowlDoses(e eater, b planner.Bowl) string {
	var lines []string
	for _, d := range b.Doses {
		lines = append(lines, t.withIt(e.dog, d.Dose))
	}
	if e.dog != nil {
		lines = append(lines, t.dueDoses(e.dog, t.date())...)
	}
	return joinParas(lines...)
}

// withIt says a supplement of the recipe that goes with a bowl, or that is
// stirred into all of the food; nothing where a reminder gives it.
func (t *turn) withIt(d *planner.Dog, dose planner.Dose) string {
	switch {
	case dose.Batch:
		return msg("bowl.stirred", "dose", t.doseAmount(dose))
	case d != nil && t.hasReminder(d.ID, dose.Food):
		return ""
	}
	return msg("bowl.dose", "dose", t.doseText(dose))
}

// pressBowl does what a button about a bowl asks.
func (t *turn) pressBowl(args []string) {
	d := t.dog(arg(args, 1))
	if d == nil {
		t.sayMsg("press.gone")
		return
	}
	switch arg(args, 0) {
	case "dog":
		t.bowl(d, nil)
	case "recipe":
		r := t.recipe(arg(args, 2))
		if r == nil {
			t.sayMsg("press.gone")
			return
		}
		t.bowl(d, r)
	case "eat":
		r := t.recipe(arg(args, 2))
		if r == nil {
			t.sayMsg("press.gone")
			return
		}
		t.goTo(read.Sentence{Intent: read.EatsRecipe, Dog: d.ID, Recipe: r.ID})
	default:
		t.sayMsg("press.stale")
	}
}

// scaleTrouble says why a recipe could not be scaled or computed.
func scaleTrouble(t *turn, recipe string, err error) string {
	var missing *planner.MissingFoodError
	if errors.As(err, &missing) {
		return msg("scale.missing-food", "recipe", recipe, "food", missing.Food)
	}
	var s *planner.ScaleError
	if errors.As(err, &s) {
		if key := "scale-wrong." + string(s.Code); hasMessage(key) {
			return msg(key, "recipe", recipe)
		}
	}
	return msg("scale-wrong.other", "recipe", recipe)
}

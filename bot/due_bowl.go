package bot

import (
	"slices"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// mealAt is which meal of the day a feeding time is, from 0.
func mealAt(d planner.Dog, c planner.Clock) int {
	return max(slices.Index(d.FeedAt, c), 0)
}

// mealBowl is what a dog gets at one meal.
type mealBowl struct {
	dog    *planner.Dog
	recipe *planner.Recipe
	need   planner.Need
	meal   int
	meals  int
	off    nutrition.Kcal  // taken off for treats
	bowl   planner.Bowl    // of a day of such meals
	fresh  nutrition.Grams // what of it a recipe makes, of a dog that is being switched
}

func (m *mealBowl) kcal() nutrition.Kcal { return m.bowl.Kcal / nutrition.Kcal(m.meals) }

// mealFor works out a meal. It returns nil where there is none to be made,
// and says why where that is for the carer to mend.
func (t *turn) mealFor(d *planner.Dog, day planner.Date, meal int) (m *mealBowl, trouble string) {
	n := planner.AmountOf(*d, t.event.At)
	if n.Waits() {
		return nil, t.heldText(d, n)
	}
	if tr, r := t.switching(d, day); tr != nil {
		return t.switchMeal(tr, r, d, day, meal)
	}
	id, _ := planner.RecipeOn(t.home, d.ID, day)
	r := t.recipe(id)
	if r == nil && len(t.home.Recipes) == 1 {
		r = &t.home.Recipes[0]
	}
	if r == nil {
		if len(t.home.Recipes) > 0 {
			return nil, msg("due.which-eats", "dog", d.Name, "recipe", t.home.Recipes[0].Name)
		}
		return nil, msg("due.no-recipe", "dog", d.Name)
	}
	each := n.Kcal / nutrition.Kcal(mealsOf(*d))
	off := nutrition.Kcal(0)
	if d.TreatsOff && !d.Diabetic() {
		off = min(t.treatsSinceMeal(d, day, meal), each*mostOffMeal)
	}
	m, trouble = t.mealOf(d, r, meal, each-off)
	if m != nil {
		m.need, m.off = n, off
	}
	return m, trouble
}

// mealOf makes a meal of so many kcal from a recipe.
func (t *turn) mealOf(d *planner.Dog, r *planner.Recipe, meal int, each nutrition.Kcal) (*mealBowl, string) {
	m := &mealBowl{dog: d, recipe: r, meal: meal, meals: mealsOf(*d)}
	b, err := planner.BowlFor(*r, t.foods, each*nutrition.Kcal(m.meals), m.meals, t.home.Units)
	if err != nil {
		return nil, scaleTrouble(t, r.Name, err)
	}
	m.bowl = b
	return m, ""
}

// mostOffMeal is the most that treats may take off a meal, as a share: what
// the dog must have of its recipe stays (our own choice).
const mostOffMeal = 0.5

// treatsSinceMeal are the treats since the meal before.
func (t *turn) treatsSinceMeal(d *planner.Dog, day planner.Date, meal int) (sum nutrition.Kcal) {
	before, clock := day, planner.Clock(0)
	switch {
	case meal > 0 && meal < len(d.FeedAt):
		clock = d.FeedAt[meal-1]
	case len(d.FeedAt) > 0:
		before, clock = day.AddDays(-1), d.FeedAt[len(d.FeedAt)-1]
	}
	from := time.Date(before.Year, before.Month, before.Day, clock.Hour(), clock.Minute(), 0, 0, t.event.At.Location())
	for _, e := range t.entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.Treat}, From: from, To: t.event.At.Add(time.Second)}) {
		sum += e.Kcal
	}
	return sum
}

// sayBowlsDue says the meals that are due, a message for each dog.
func (t *turn) sayBowlsDue(due []planner.Occurrence) {
	for _, o := range due {
		r := t.reminder(o.Reminder)
		if r == nil {
			continue
		}
		for i := range t.home.Dogs {
			if d := &t.home.Dogs[i]; r.Dog == d.ID || r.Dog == "" {
				t.sayMeal(d, r, o)
			}
		}
	}
}

// sayMeal says one meal: the total first, then its ingredients.
func (t *turn) sayMeal(d *planner.Dog, r *planner.Reminder, o planner.Occurrence) {
	if done := t.answered(o); len(done) > 0 {
		return // fed before its time
	}
	meal := mealAt(*d, o.Clock)
	blocks, ok := t.mealBlocks(d, o.Date, meal)
	failing, r0 := "", t.mealRecipe(d, o.Date)
	if ok && meal == 0 && r0 != nil {
		failing = t.failing(d, r0)
		blocks = append(blocks, para(t.muchWeekly(d, r0)), para(failing))
	}
	if late := t.lateText(o); late != "" {
		blocks = append(blocks, para(late))
	}
	out := t.say(blocks...)
	if !ok {
		out.offer(t.button(msg("button.bowl"), "bowl", "dog", d.ID))
		return
	}
	out.offer(t.dueButton(msg("button.fed"), "fed", o), t.dueButton(msg("button.later"), "later", o))
	if !d.Diabetic() { // its meals go with its insulin
		out.offer(t.dueButton(msg("button.skip"), "skip", o), t.dueButton(msg("button.change"), "other", o))
	}
	t.offerMissing(out, d, r0, failing)
}

// mealRecipe is the recipe that a dog eats on a day, nil while it is switched.
func (t *turn) mealRecipe(d *planner.Dog, day planner.Date) *planner.Recipe {
	if m, _ := t.mealFor(d, day, 0); m != nil {
		return t.recipe(m.recipe.ID)
	}
	return nil
}

// mealBlocks are the words and the table of a meal; false where there is
// none to be fed.
func (t *turn) mealBlocks(d *planner.Dog, day planner.Date, meal int) ([]Block, bool) {
	m, trouble := t.mealFor(d, day, meal)
	if m == nil {
		return []Block{para(trouble)}, false
	}
	t.shown(d)
	u := t.home.Units
	meal = min(m.meal, len(m.bowl.Meals)-1)
	rows := make([]tableRow, 0, len(m.bowl.Rows))
	for _, row := range m.bowl.Rows {
		rows = append(rows, tableRow{t.foodName(row.Food), []string{wholeText(row.Meals[meal], u)}})
	}
	off := ""
	if m.off > 0 {
		off = msg("due.treats-off", "kcal", kcal(m.off))
	}
	head := msg("due.meal", "dog", d.Name, "total", wholeText(m.bowl.Meals[meal], u), "recipe", m.recipe.Name)
	why := msg("due.meal-why", "n", meal+1, "of", m.meals, "kcal", kcal(m.kcal()), "day", kcal(m.need.Kcal))
	return []Block{para(head), para(why), tableBlock(rows), para(t.tinyText(m.bowl)), para(off), para(t.dosesOf(m, day)),
		para(t.gateText(*d, m.need))}, true
}

// dosesOf lists what goes with the day's first meal: the recipe's supplements
// that no reminder of its own covers, and those that are due on the day.
func (t *turn) dosesOf(m *mealBowl, day planner.Date) string {
	if m.meal > 0 {
		return ""
	}
	var lines []string
	for _, dose := range m.bowl.Doses {
		lines = append(lines, t.withIt(m.dog, dose.Dose))
	}
	return joinParas(append(lines, t.dueDoses(m.dog, day)...)...)
}

// dueDoses lists the doses of a dog that are due on a day and not answered.
func (t *turn) dueDoses(d *planner.Dog, day planner.Date) (lines []string) {
	for _, o := range t.dosesOn(d, day) {
		r := t.reminder(o.Reminder)
		lines = append(lines, msg("due.today-dose", "dose", t.doseAmount(t.doseOf(r)), "when", o.Clock.String()))
	}
	return lines
}

// dosesOn are the doses of a dog that are due on a day and not answered.
func (t *turn) dosesOn(d *planner.Dog, day planner.Date) (due []planner.Occurrence) {
	if !slices.ContainsFunc(t.home.Reminders, func(r planner.Reminder) bool { return r.Kind == planner.SupplementReminder && !r.Off }) {
		return nil
	}
	zone := t.event.At.Location()
	from, to := planner.Instant(day, 0, zone).Add(-time.Nanosecond), planner.Instant(day.AddDays(1), 0, zone).Add(-time.Nanosecond)
	for _, o := range planner.Agenda(t.home, from, to) {
		r := t.reminder(o.Reminder)
		if r != nil && r.Kind == planner.SupplementReminder && r.Dose != nil && (r.Dog == d.ID || r.Dog == "") && len(t.answered(o)) == 0 {
			due = append(due, o)
		}
	}
	return due
}

// hasReminder reports that a supplement has a reminder.
func (t *turn) hasReminder(dog, food string) bool {
	for i := range t.home.Reminders {
		r := &t.home.Reminders[i]
		if r.Kind == planner.SupplementReminder && r.Dose != nil && r.Dose.Food == food && (r.Dog == dog || r.Dog == "") {
			return true
		}
	}
	return false
}

// fedDog is the dog that a bowl's occurrence is about.
func (t *turn) fedDog(r *planner.Reminder) *planner.Dog {
	d := t.dog(r.Dog)
	if d == nil && r.Dog == "" && len(t.home.Dogs) == 1 {
		d = &t.home.Dogs[0]
	}
	if d == nil {
		t.sayMsg("press.gone")
	}
	return d
}

// pressFed notes that a meal was fed. Where another answered first that is
// said, and nothing is fed twice without being asked.
func (t *turn) pressFed(r *planner.Reminder, o planner.Occurrence, _ []string) {
	d := t.fedDog(r)
	if d == nil {
		return
	}
	for _, e := range t.answered(o) {
		if e.Kind == planner.Fed {
			out := t.alreadyAnswered(r, o, e)
			out.offer(t.dueButton(msg("button.feed-again"), "again", o))
			return
		}
	}
	t.feed(d, r, o, time.Time{})
}

// pressFedAgain feeds a meal a second time, after the warning.
func (t *turn) pressFedAgain(r *planner.Reminder, o planner.Occurrence, _ []string) {
	if d := t.fedDog(r); d != nil {
		t.feed(d, r, o, time.Time{})
	}
}

// feed enters a meal into the journal, as fed at a time; the zero time is now.
func (t *turn) feed(d *planner.Dog, r *planner.Reminder, o planner.Occurrence, at time.Time) {
	e := planner.Entry{Kind: planner.Fed, Dog: d.ID, Of: o.ID, Date: o.Date, At: at}
	if m, _ := t.mealFor(d, o.Date, mealAt(*d, o.Clock)); m != nil {
		e.Kcal, e.Recipe = m.kcal(), m.recipe.ID
	}
	t.mutate("did.fed", d.Name)
	before := ""
	for _, old := range t.answered(o) {
		if old.Kind == planner.NotFed {
			before = msg("due.before", "how", t.entryText(old))
			t.unnote(old)
		}
	}
	e = t.note(e)
	t.dropSnooze(o.ID)
	t.settled(joinParas(msg("due.done", "what", t.mealName(d, o), "how", t.entryText(e)), before))
}

// mealName is "Juniper 07:30", the meal of a dog.
func (t *turn) mealName(d *planner.Dog, o planner.Occurrence) string {
	when := o.Clock.String()
	if o.Date != t.date() {
		when = t.clock(o.At)
	}
	return msg("due.meal-name", "dog", d.Name, "when", when)
}

// pressNotFed notes that a meal was left out.
func (t *turn) pressNotFed(r *planner.Reminder, o planner.Occurrence, _ []string) {
	d := t.fedDog(r)
	if d == nil {
		return
	}
	if done := t.answered(o); len(done) > 0 {
		t.alreadyAnswered(r, o, done[0])
		return
	}
	t.mutate("did.not-fed", d.Name)
	e := t.note(planner.Entry{Kind: planner.NotFed, Dog: d.ID, Of: o.ID, Date: o.Date})
	t.dropSnooze(o.ID)
	t.settled(joinParas(msg("due.done", "what", t.mealName(d, o), "how", t.entryText(e)), t.diabetic(d)), t.dueButton(msg("button.fed-after-all"), "fed", o))
}

// pressInstead offers the other recipes for today.
func (t *turn) pressInstead(r *planner.Reminder, o planner.Occurrence, _ []string) {
	d := t.fedDog(r)
	if d == nil {
		return
	}
	if t.held(d) {
		return
	}
	if tr, _ := t.switching(d, o.Date); tr != nil { // what it eats is changed there
		t.showTransition(tr, "")
		return
	}
	now, _ := planner.RecipeOn(t.home, d.ID, o.Date)
	out := t.sayMsg("due.which-recipe", "dog", d.Name)
	others := 0
	for i := range t.home.Recipes {
		if id := t.home.Recipes[i].ID; id != now && others < 6 {
			others++
			out.offer(t.dueButton(t.home.Recipes[i].Name, "eat", o, id))
		}
	}
	if others == 0 {
		out.Body = []Block{para(msg("due.no-other-recipe"))}
		out.offer(t.button(msg("button.add-recipe"), "recipe", "add"))
	}
	out.offer(t.button(msg("button.scale"), "scale", "ask", now))
}

// pressOther has a dog eat another recipe on the day: instead of what the
// rotation says, or from now on where there is none.
func (t *turn) pressOther(r *planner.Reminder, o planner.Occurrence, more []string) {
	d, to := t.fedDog(r), t.recipe(arg(more, 0))
	if d == nil || to == nil {
		if d != nil {
			t.sayMsg("press.gone")
		}
		return
	}
	if t.held(d) {
		return
	}
	if tr, _ := t.switching(d, o.Date); tr != nil {
		t.showTransition(tr, "")
		return
	}
	t.mutate("did.eats", d.Name)
	rest := msg("due.eats", "dog", d.Name, "recipe", to.Name)
	if rot := planner.RotationOf(t.home, d.ID); rot != nil {
		if changed, ok := rot.Eat(o.Date, to.ID); ok {
			*rot = changed
			rest = msg("due.eats-today", "dog", d.Name, "recipe", to.Name)
		}
	} else {
		d.Recipe = to.ID
	}
	blocks, ok := t.mealBlocks(d, o.Date, mealAt(*d, o.Clock))
	out := t.say(append([]Block{para(rest)}, blocks...)...)
	out.InPlace = t.event.Message
	if ok {
		out.offer(t.dueButton(msg("button.fed"), "fed", o), t.dueButton(msg("button.later"), "later", o), t.dueButton(msg("button.skip"), "skip", o))
	}
	out.offer(t.undoButton())
}

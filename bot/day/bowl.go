package day

import (
	"cmp"
	"slices"
	"time"

	"bowlwright/bot/balance"
	"bowlwright/bot/bowls"
	"bowlwright/bot/dogs"
	"bowlwright/bot/menu"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/bot/weighing"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/portions"
	"bowlwright/store"
)

// mealAt is which meal of the day a feeding time is, from 0.
func mealAt(d planner.Dog, c planner.Clock) int {
	return max(slices.Index(d.FeedAt, c), 0)
}

// mealBowl is what a dog gets at one meal.
type mealBowl struct {
	dog    *planner.Dog
	Recipe *planner.Recipe
	need   planner.Need
	meal   int
	meals  int
	off    nutrition.Kcal       // taken off for treats
	ofFood nutrition.Kcal       // what part of the dog's kcal its food brings
	Bowl   portions.Bowl        // of a day of such meals
	cooks  nutrition.Kcal       // what of that is from its recipe
	fresh  nutrition.Grams      // what of it a recipe makes, of a dog that is being switched
	parts  []portions.PlatePart // of a day that has other food than the dog's recipe
}

// kcal is what the dog has with a meal, its share of the supplements too: by that its need
// is learned.
func (m *mealBowl) kcal() nutrition.Kcal { return m.Bowl.Kcal / nutrition.Kcal(m.meals) / m.ofFood }

// ofFood is what part of a dog's kcal its food brings; supplements bring the rest.
func ofFood(t *talk.Turn, d *planner.Dog) nutrition.Kcal {
	k := max(planner.AmountOf(*d, t.Event.At).Kcal, 1)
	return balance.FoodKcal(t, d, k) / k
}

// heldText says why no meal of a dog can be worked out yet, whatever it eats.
func heldText(t *talk.Turn, d *planner.Dog, n planner.Need) string {
	if n.Waits() {
		return dogs.HeldText(t, d, n)
	}
	return say.Where(!d.Classed(), dogs.ClassText(d))
}

// MealFor works out a meal. It returns nil if there is none to make, and says
// why if a carer can mend that.
func MealFor(t *talk.Turn, d *planner.Dog, day planner.Date, meal int) (m *mealBowl, trouble string) {
	n := planner.AmountOf(*d, t.Event.At)
	if trouble = heldText(t, d, n); trouble != "" {
		return nil, trouble
	}
	each, off := mealKcal(t, d, n, day, meal)
	m = newMeal(t, d, meal)
	m.need, m.off = n, off
	tr, to := talk.Switching(t, d, day)
	switch r := t.Home.UsualOn(d, day); {
	case len(planner.OthersOn(t.Home, d.ID, day)) > 0:
		trouble = m.fill(t, planner.FareOn(t.Home, d.ID, day), each-off)
	case tr != nil:
		trouble = m.mix(t, tr, to, day, each-off)
	case r != nil:
		return mealOf(t, m, r, each-off)
	default:
		trouble = msg("due.no-recipe", "dog", d.Name)
		may := func(r planner.Recipe) bool { return d.MayEat(r.ID) && !r.Topper() }
		if i := slices.IndexFunc(t.Home.Recipes, may); i >= 0 {
			trouble = msg("due.which-eats", "dog", d.Name, "recipe", t.Home.Recipes[i].Name)
		}
	}
	if trouble != "" {
		return nil, trouble
	}
	return m, ""
}

func newMeal(t *talk.Turn, d *planner.Dog, meal int) *mealBowl {
	return &mealBowl{dog: d, meal: meal, meals: talk.MealsOf(*d), ofFood: ofFood(t, d)}
}

// mealKcal is what a meal is to bring, and what of that comes off for treats.
func mealKcal(t *talk.Turn, d *planner.Dog, n planner.Need, day planner.Date, meal int) (each, off nutrition.Kcal) {
	each = balance.FoodKcal(t, d, n.Kcal) / nutrition.Kcal(talk.MealsOf(*d))
	if d.Diabetic() {
		return each, 0
	}
	off = d.Less.At(day, meal, talk.MealsOf(*d), each)
	if d.TreatsOff {
		off += treatsSinceMeal(t, d, day, meal)
	}
	return each, min(off, each*planner.MostLess)
}

// mealOf makes a meal of so many kcal from a recipe.
func mealOf(t *talk.Turn, m *mealBowl, r *planner.Recipe, each nutrition.Kcal) (*mealBowl, string) {
	b, err := portions.BowlFor(*r, t.Foods, each*nutrition.Kcal(m.meals), m.meals, t.Home.Units)
	if err != nil {
		return nil, recipes.RecipeTrouble(r.Name, err)
	}
	m.Recipe, m.Bowl, m.cooks = r, b, b.Kcal
	return m, ""
}

// treatsSinceMeal are the treats since the meal before.
func treatsSinceMeal(t *talk.Turn, d *planner.Dog, day planner.Date, meal int) (sum nutrition.Kcal) {
	times := d.MealTimes()
	before, clock := day.AddDays(-1), times[len(times)-1]
	if meal > 0 && meal < len(times) {
		before, clock = day, times[meal-1]
	}
	from := planner.Instant(before, clock, t.Event.At.Location())
	for _, e := range t.Entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.Treat}, From: from, To: t.Event.At.Add(time.Second)}) {
		sum += e.Kcal
	}
	return sum
}

// sayBowlDue says a meal that is due, a message for each dog.
func sayBowlDue(t *talk.Turn, r *planner.Reminder, o planner.Occurrence) {
	for _, d := range t.Dogs() {
		if r.Dog == d.ID || r.Dog == "" {
			sayMeal(t, d, r, o)
		}
	}
}

// sayMeal says one meal: the total first, then its ingredients.
func sayMeal(t *talk.Turn, d *planner.Dog, r *planner.Reminder, o planner.Occurrence) {
	if done := talk.Answered(t, o); len(done) > 0 {
		return // fed before its time
	}
	meal := mealAt(*d, o.Clock)
	blocks, ok := mealBlocks(t, d, o.Date, meal)
	holds := dogs.SignHolds(t, d) != ""
	failing, r0 := "", mealRecipe(t, d, o.Date)
	if ok && meal == 0 && r0 != nil {
		failing = balance.Failing(t, d, r0)
		blocks = append(blocks, say.Para(balance.MuchWeekly(t, d, r0)), say.Para(failing))
	}
	out := t.Say(append(blocks, say.Para(talk.LateText(t, o)))...)
	switch {
	case holds:
		out.Offer(dogs.HoldButtons(t, d, nil)...)
	case !ok:
		out.Offer(t.Button(msg("button.bowl"), "bowl", "dog", d.ID))
		return
	default:
		dogs.BeginSign(t, d, out)
	}
	out.Offer(talk.DueButton(t, msg("button.fed"), "fed", o), talk.DueButton(t, msg("button.later"), "later", o))
	if !d.Diabetic() { // its meals go with its insulin
		out.Offer(talk.DueButton(t, msg("button.skip"), "skip", o), talk.DueButton(t, msg("button.change"), "other", o))
	}
	balance.OfferMissing(t, out, d, r0, failing)
}

// mealRecipe is the recipe that a dog eats on a day, with other food or without; nil
// where it eats none.
func mealRecipe(t *talk.Turn, d *planner.Dog, day planner.Date) *planner.Recipe {
	m, _ := MealFor(t, d, day, 0)
	if m == nil {
		return nil
	}
	if len(m.parts) == 0 {
		return t.Recipe(m.Recipe.ID)
	}
	for _, f := range planner.FareOn(t.Home, d.ID, day) {
		if f.Recipe.ID != "" {
			return t.Recipe(f.Recipe.ID)
		}
	}
	return nil
}

// mealBlocks are the words and the table of a meal; false where there is
// none to be fed.
func mealBlocks(t *talk.Turn, d *planner.Dog, day planner.Date, meal int) ([]say.Block, bool) {
	m, trouble := MealFor(t, d, day, meal)
	if m == nil {
		return []say.Block{say.Para(trouble)}, false
	}
	if holds := dogs.SignHolds(t, d); holds != "" {
		return []say.Block{say.Whole(holds)}, false
	}
	weighing.Shown(t, d)
	u := t.Home.Units
	meal = min(m.meal, len(m.Bowl.Meals)-1)
	rows := make([]say.TableRow, 0, len(m.Bowl.Rows))
	for _, row := range m.Bowl.Rows {
		if row.Meals[meal] > 0 || len(m.parts) == 0 {
			rows = append(rows, say.TableRow{Label: t.FoodName(row.Food), Cells: []string{say.WholeText(row.Meals[meal], u)}})
		}
	}
	off := say.Where(m.off > 0, msg("due.treats-off", "kcal", say.Kcal(m.off)))
	head := msg("due.meal", "dog", d.Name, "what", m.what(t, meal))
	why := msg("due.meal-why", "n", meal+1, "of", m.meals, "kcal", say.Kcal(m.kcal()), "day", say.Kcal(m.need.Kcal))
	return []say.Block{say.Para(head), say.Whole(m.cookedText(t)), say.Para(why), say.TableBlock(rows), say.Whole(bowls.TinyText(t, m.Bowl, meal)), say.Para(off), say.Whole(dosesOf(t, m, day)),
		say.Whole(dogs.GateText(*d, m.need))}, true
}

// dosesOf lists what goes with the day's first meal: the recipe's supplements
// that no reminder of its own covers, and those that are due on the day.
func dosesOf(t *talk.Turn, m *mealBowl, day planner.Date) string {
	if m.meal > 0 {
		return ""
	}
	return bowls.BowlDoses(t, m.dog, m.Bowl, day)
}

// underMeal does what a button under a meal asks, for the dog whose meal it is.
func underMeal(do func(t *talk.Turn, d *planner.Dog, o planner.Occurrence, more []string)) talk.DueAction {
	return func(t *talk.Turn, r *planner.Reminder, o planner.Occurrence, more []string) {
		d := t.Dog(r.Dog)
		if d == nil && r.Dog == "" && len(t.Home.Dogs) == 1 {
			d = &t.Home.Dogs[0]
		}
		if !talk.Gone(t, d == nil) {
			do(t, d, o, more)
		}
	}
}

// feedOnce enters a meal. If it was answered, perhaps by another carer, it says so, and
// feeds nothing twice without asking.
func feedOnce(t *talk.Turn, d *planner.Dog, o planner.Occurrence, at time.Time) {
	for _, e := range talk.Answered(t, o) {
		if e.Kind == planner.Fed {
			talk.AlreadyAnswered(t, t.Reminder(o.Reminder), e).Offer(talk.DueButton(t, msg("button.feed-again"), "again", o))
			return
		}
	}
	feed(t, d, o, at)
}

// feed enters a meal into the journal, as fed at a time; the zero time is now. The zero
// occurrence is a meal of today of which no time is kept.
func feed(t *talk.Turn, d *planner.Dog, o planner.Occurrence, at time.Time) {
	e := planner.Entry{Kind: planner.Fed, Dog: d.ID, Of: o.ID, Date: cmp.Or(o.Date, t.Date()), At: at}
	if m, _ := MealFor(t, d, e.Date, mealAt(*d, o.Clock)); m != nil {
		e.Kcal, e.Recipe = m.kcal(), m.Recipe.ID
	}
	t.Mutate("did.fed", d.Name)
	what, before := d.Name, ""
	if o.ID != "" {
		what = mealName(t, d, o)
		for _, old := range talk.Answered(t, o) {
			if old.Kind == planner.NotFed {
				before = msg("due.before", "how", talk.EntryText(t, old))
				t.Unnote(old)
			}
		}
	}
	e = t.Note(e)
	talk.DropSnooze(t, o.ID)
	talk.SayDone(t, say.JoinParas(msg("due.done", "what", what, "how", talk.EntryText(t, e)), before))
}

// mealName is "Juniper 07:30", the meal of a dog.
func mealName(t *talk.Turn, d *planner.Dog, o planner.Occurrence) string {
	when := o.Clock.String()
	if o.Date != t.Date() {
		when = t.Clock(o.At)
	}
	return msg("due.meal-name", "dog", d.Name, "when", when)
}

// leaveOut notes that a meal was left out.
func leaveOut(t *talk.Turn, d *planner.Dog, o planner.Occurrence, _ []string) {
	if talk.Settled(t, t.Reminder(o.Reminder), o) {
		return
	}
	t.Mutate("did.not-fed", d.Name)
	e := t.Note(planner.Entry{Kind: planner.NotFed, Dog: d.ID, Of: o.ID, Date: o.Date})
	talk.DropSnooze(t, o.ID)
	talk.SayDone(t, say.JoinParas(msg("due.done", "what", mealName(t, d, o), "how", talk.EntryText(t, e)), dogs.Diabetic(t, d), mealsMissed(t, d)), talk.DueButton(t, msg("button.fed-after-all"), "fed", o))
}

// skipUntimed notes that a meal was left out of which no reminder is kept: at the time
// of the meal that is named.
func skipUntimed(t *talk.Turn, d *planner.Dog) {
	e := planner.Entry{Kind: planner.NotFed, Dog: d.ID, Date: t.Date()}
	times := d.MealTimes()
	switch _, part, _ := read.DayAsked(t.OfDays(), t.Event.At); part {
	case read.FirstPart:
		e.At = planner.Instant(e.Date, times[0], t.Event.At.Location())
	case read.LastPart:
		e.At = planner.Instant(e.Date, times[len(times)-1], t.Event.At.Location())
	}
	for _, m := range mealsOn(t, d, e.Date) {
		if m.entry.Kind == planner.NotFed && m.at.Equal(e.At) {
			t.SayMsg("due.not-fed-already", "dog", d.Name)
			return
		}
	}
	t.Mutate("did.not-fed", d.Name)
	t.Note(e)
	talk.SayDone(t, say.JoinParas(msg("due.not-fed-untimed", "dog", d.Name), dogs.Diabetic(t, d), mealsMissed(t, d)))
}

// After how many meals missed in a row a vet is to be asked, for a dog that is
// worse placed to wait and for others (common practice, no source).
const (
	missedFrail = 2
	missedMost  = 4
)

// mealsMissed warns where a dog has now missed several meals in a row.
func mealsMissed(t *talk.Turn, d *planner.Dog) string {
	n := 0
	for _, e := range t.Entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.NotFed, planner.Fed}, From: t.Event.At.AddDate(0, 0, -3), Newest: true}) {
		if e.Kind == planner.Fed {
			break
		}
		n++
	}
	many := n >= missedMost || n >= missedFrail && dogs.Frail(t, d)
	return say.Where(many, msg("due.meals-missed", "dog", d.Name, "n", n))
}

// fixed says so where another recipe cannot be eaten on a day, and reports whether that is
// so: the dog's food is held, or it is in a switch, where what it eats is changed.
func fixed(t *talk.Turn, d *planner.Dog, day planner.Date) bool {
	if dogs.Held(t, d) {
		return true
	}
	tr, _ := talk.Switching(t, d, day)
	if tr != nil {
		menu.ShowTransition(t, tr, "")
	}
	return tr != nil
}

// offerOthers offers the other recipes for today.
func offerOthers(t *talk.Turn, d *planner.Dog, o planner.Occurrence, _ []string) {
	if fixed(t, d, o.Date) {
		return
	}
	now, _ := planner.RecipeOn(t.Home, d.ID, o.Date)
	out := t.SayMsg("due.which-recipe", "dog", d.Name)
	others := 0
	for i := range t.Home.Recipes {
		if id := t.Home.Recipes[i].ID; id != now && others < 6 {
			others++
			out.Offer(talk.DueButton(t, t.Home.Recipes[i].Name, "eat", o, id))
		}
	}
	if others == 0 {
		out.Body = []say.Block{say.Para(msg("due.no-other-recipe"))}
		out.Offer(t.Button(msg("button.add-recipe"), "recipe", "add"))
	}
	out.Offer(t.Button(msg("button.other-food"), "other", "ask", d.ID, say.StampOfDate(o.Date)), t.Button(msg("button.scale"), "scale", "ask", now))
}

// eatOther has a dog eat another recipe on the day: instead of what the
// rotation says, or from now on where there is none.
func eatOther(t *talk.Turn, d *planner.Dog, o planner.Occurrence, more []string) {
	to := t.Recipe(talk.Arg(more, 0))
	if talk.Gone(t, to == nil) || fixed(t, d, o.Date) {
		return
	}
	t.Mutate("did.eats", d.Name)
	rest := msg("due.eats", "dog", d.Name, "recipe", to.Name)
	if rot := planner.RotationOf(t.Home, d.ID); rot != nil {
		if changed, ok := rot.Eat(o.Date, to.ID); ok {
			*rot = changed
			rest = msg("due.eats-today", "dog", d.Name, "recipe", to.Name)
		}
	} else {
		d.Eat(to.ID)
	}
	blocks, ok := mealBlocks(t, d, o.Date, mealAt(*d, o.Clock))
	out := t.Say(append([]say.Block{say.Para(rest)}, blocks...)...)
	out.InPlace = t.Event.Message
	if ok {
		out.Offer(talk.DueButton(t, msg("button.fed"), "fed", o), talk.DueButton(t, msg("button.later"), "later", o), talk.DueButton(t, msg("button.skip"), "skip", o))
	}
	out.Offer(t.UndoButton())
}

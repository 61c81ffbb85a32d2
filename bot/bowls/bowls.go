package bowls

import (
	"slices"
	"time"

	"bowlwright/bot/balance"
	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/bot/weighing"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/larder"
	"bowlwright/planner/portions"
)

// Bowl says what a dog gets of a recipe in a day: the recipe it eats now
// where none is named. Of that one it is what the dog gets beside its other food or
// in a switch.
func Bowl(t *talk.Turn, d *planner.Dog, r *planner.Recipe) {
	t.Talk.Dog = d.ID
	if dogs.Held(t, d) || dogs.SignHeld(t, d, r) {
		return
	}
	n := planner.AmountOf(*d, t.Event.At)
	if id, _ := planner.RecipeOn(t.Home, d.ID, t.Date()); r == nil || r.ID == id { // what it eats today, maybe beside other food
		asked := talk.BowlAsked{Dog: d, LeftOut: r == nil && mealLeftOut(t, d) || id != "" && NamesMeal(t)}
		if t.Happened(&asked); asked.Taken {
			return
		}
		r = t.Recipe(id)
	}
	if last := talk.TheRecipe(t, d); r == nil && last != nil && (t.Home.UsualOn(d, t.Date()) != nil || !t.Home.OfOthers(d, last.ID)) {
		r = last
	}
	if r == nil {
		NoRecipe(t, d, n)
		return
	}
	t.Talk.Recipe = r.ID
	if !d.MayEat(r.ID) {
		t.SayMsg("bowl.taken-off", "dog", d.Name, "recipe", r.Name).Offer(t.Button(msg("button.eats", "recipe", r.Name), "bowl", "eat", d.ID, r.ID))
		return
	}
	out := ForDog(t, d, r, n)
	if out == nil {
		return
	}
	sayNotForIll(t, d, r, n, out)
	out.Offer(t.Button(msg("button.why"), "dog", "why", d.ID), t.Button(msg("button.scale"), "scale", "ask", r.ID))
	var row []say.Button
	for _, other := range t.Recipes() {
		if other.ID != r.ID && len(row) < 3 {
			row = append(row, t.Button(other.Name, "bowl", "recipe", d.ID, other.ID))
		}
	}
	out.Offer(row...)
	balance.AskPork(t, out, r)
	t.Happened(&talk.BowlShown{Dog: d, Recipe: r, Out: out})
}

// Barred says why a dog gets no amounts of a recipe, and reports whether that is so.
func Barred(t *talk.Turn, d *planner.Dog, r *planner.Recipe) bool {
	if dogs.SignHeld(t, d, r) || balance.ToBeCooked(t, r) {
		return true
	}
	far := balance.FarOver(t, d, r)
	if far != "" {
		balance.OfferMissing(t, t.Say(say.Whole(far)), d, r, far)
	}
	return far != ""
}

// ForDog says a dog's bowl of a recipe with what is amiss with it, or why none is
// made; then it returns nil.
func ForDog(t *talk.Turn, d *planner.Dog, r *planner.Recipe, n planner.Need) *say.Reply {
	if Barred(t, d, r) {
		return nil
	}
	failing := balance.Failing(t, d, r)
	e := Eater{Name: d.Name, Need: n, Meals: talk.MealsOf(*d), Units: t.Home.Units, Dog: d}
	amiss := balance.FailsText(t, d, r, balance.AmissText(t, d, r, failing))
	out := SayBowl(t, e, r, say.JoinParas(amiss, balance.RiskText(t, d, r), balance.KeptText(t, d, r), dogs.GateText(*d, n)))
	if out != nil {
		balance.OfferMissing(t, out, d, r, failing)
		dogs.BeginSign(t, d, out)
	}
	return out
}

// sayNotForIll says with the bowl of an ill dog, whose vet set its kcal, that the recipe
// was not made for its illness, until its vet is said to know that one.
func sayNotForIll(t *talk.Turn, d *planner.Dog, r *planner.Recipe, n planner.Need, out *say.Reply) {
	if n.Gate == planner.IllnessGate && t.Home.CautionDue(vetKnowsKey(d, r), 0, t.Event.At) {
		out.Add(msg("bowl.not-for-ill", "recipe", r.Name, "dog", d.Name))
		out.Offer(t.Button(msg("button.vet-knows"), "bowl", "known", d.ID, r.ID))
	}
}

func vetKnowsKey(d *planner.Dog, r *planner.Recipe) string { return "vet-knows/" + d.ID + "/" + r.ID }

// NoRecipe says the need where there is no recipe to make a bowl of, with
// the trade's rule of thumb in grams.
func NoRecipe(t *talk.Turn, d *planner.Dog, n planner.Need) {
	out := t.Say(say.Para(dogs.NeedText(t, *d, n)), say.Para(thumbText(t, n)), say.Whole(dogs.GateText(*d, n)))
	if r := t.Home.MayEatOnly(d); r != nil {
		out.Offer(t.Button(msg("button.eats", "recipe", r.Name), "bowl", "eat", d.ID, r.ID))
	}
	dogs.BeginSign(t, d, out.Offer(t.Button(msg("button.add-recipe"), "recipe", "add")))
}

// thumbText is the rule of thumb, for grown and healthy dogs alone: a puppy or
// a nursing bitch eats several times as much.
func thumbText(t *talk.Turn, n planner.Need) string {
	low := nutrition.Grams(float64(n.Ideal) * 1000 * thumbLow)
	high := nutrition.Grams(float64(n.Ideal) * 1000 * thumbHigh)
	return say.Where(n.Gate == "", msg("bowl.thumb", "low", say.Mass(low, t.Home.Units), "high", say.Mass(high, t.Home.Units)))
}

// Fresh food a day as a share of ideal body weight (common practice, no
// source).
const (
	thumbLow  = 0.02
	thumbHigh = 0.03
)

// Eater is the dog that a bowl is for: one of the household or one described in
// words.
type Eater struct {
	Name  string
	Need  planner.Need
	Meals int
	Units planner.Units // in which its bowl is told
	Dog   *planner.Dog  // of the household; nil for one in words
}

// SayBowl says the day's amounts: the total first, the reason in a line,
// then each ingredient a day and a meal. It returns nil where the recipe
// cannot make a bowl.
func SayBowl(t *talk.Turn, e Eater, r *planner.Recipe, caution string) *say.Reply {
	u := e.Units
	food := balance.FoodKcal(t, e.Dog, e.Need.Kcal)
	b, err := portions.BowlFor(*r, t.Foods, food, e.Meals, u)
	if recipes.Failed(t, r, err) {
		return nil
	}
	weighing.Shown(t, e.Dog)
	made := Made(t, e.Dog, r, food, e.Meals)
	first := msg("bowl.total", "dog", e.Name, "total", say.WholeText(b.Day, u), "raw", say.Where(made.Raw || larder.InRawWeights(*r, t.Foods), msg("bowl.raw")), "recipe", r.Name)
	first += say.Where(e.Meals > 1, msg("bowl.meals", "n", e.Meals)) + "."
	why := msg("bowl.kcal", "kcal", say.Kcal(e.Need.Kcal), "range", dogs.NeedRange(t, e.Need), "reason", dogs.NeedReason(e.Need, u)) + say.Where(food < e.Need.Kcal, msg("bowl.beside", "kcal", say.Kcal(e.Need.Kcal-food)))
	return t.Say(say.Para(first), say.Whole(cupsText(t, r, b, e.Meals)), say.Whole(made.Said), say.Whole(StandsFor(r, b.Kcal)), say.Para(why), say.TableBlock(BowlRows(t, b, e.Meals, u)), say.Whole(TinyText(t, b, -1)), say.Whole(BowlDoses(t, e.Dog, b, t.Date())), say.Whole(caution))
}

// Made is a bowl of so many kcal of a recipe, with what it is once that is cooked.
func Made(t *talk.Turn, d *planner.Dog, r *planner.Recipe, k nutrition.Kcal, meals int) talk.BowlMade {
	made := talk.BowlMade{Dog: d, Recipe: r, Kcal: k, Meals: meals}
	t.Happened(&made)
	return made
}

// CookedParts says of each recipe on a plate what it is once it is cooked.
func CookedParts(t *talk.Turn, d *planner.Dog, parts []portions.PlatePart) string {
	return say.LinesOf(parts, func(p portions.PlatePart) string {
		if p.Recipe.ID == "" {
			return ""
		}
		meals := slices.DeleteFunc(slices.Clone(p.Shares), func(s float64) bool { return s <= 0 })
		return Made(t, d, &p.Recipe, p.Bowl.Kcal, len(meals)).Said
	})
}

// StandsFor says, with an amount of a recipe of so many kcal a day, that it is
// not all that a dog eats.
func StandsFor(r *planner.Recipe, k nutrition.Kcal) string {
	switch r.Standing.Kind {
	case planner.IsTopper:
		return msg("bowl.topper", "kcal", say.Kcal(k))
	case planner.ForSomeDays:
		return msg("bowl.some-days", "recipe", r.Name)
	}
	return ""
}

// BowlRows are the ingredients with the day's amount and each meal's. Meals
// that are all alike have one column.
func BowlRows(t *talk.Turn, b portions.Bowl, meals int, u planner.Units) []say.TableRow {
	columns := mealColumns(b, meals)
	heading := []string{msg("bowl.day", "unit", say.MassUnit(u))}
	switch {
	case columns == 1:
		heading = append(heading, msg(say.Choose(evenMeals(b), "bowl.each", "bowl.each-about")))
	case columns > 1:
		for m := range columns {
			heading = append(heading, msg("bowl.meal", "n", m+1))
		}
	}
	rows := []say.TableRow{{Label: "", Cells: heading}}
	for _, row := range b.Rows {
		rows = append(rows, say.TableRow{Label: t.FoodName(row.Food), Cells: mealCells(row.Day, row.Meals, columns, u)})
	}
	return append(rows, say.TableRow{Label: msg("bowl.sum"), Cells: mealCells(b.Day, b.Meals, columns, u)})
}

// mealColumns is how many columns of meals the table needs: none for one
// meal a day, two for two that differ, else one: a phone has no room for more,
// and they differ by a step of the scale.
func mealColumns(b portions.Bowl, meals int) int {
	switch {
	case meals < 2:
		return 0
	case meals == 2 && !evenMeals(b):
		return 2
	}
	return 1
}

// evenMeals reports that each meal has the same of every food.
func evenMeals(b portions.Bowl) bool {
	return !slices.ContainsFunc(b.Rows, func(row portions.BowlRow) bool {
		return len(row.Meals) > 0 && slices.Min(row.Meals) != slices.Max(row.Meals)
	})
}

func mealCells(day nutrition.Grams, meals []nutrition.Grams, columns int, u planner.Units) []string {
	cells := []string{say.Figure(day, u)}
	if columns == 1 && len(meals) > 0 { // for all of them: 5 g of eggshell in three are 1-2
		if least, most := slices.Min(meals), slices.Max(meals); most > least+least/10 {
			return append(cells, say.Figure(least, u)+"-"+say.Figure(most, u))
		}
	}
	for m := 0; m < columns && m < len(meals); m++ {
		cells = append(cells, say.Figure(meals[m], u))
	}
	return cells
}

// TinyText says the amounts that no kitchen scale shows, of a day or of one of its meals
// (from 0 on).
func TinyText(t *talk.Turn, b portions.Bowl, meal int) string {
	return say.LinesOf(b.Tiny, func(r portions.TinyRow) string {
		if meal >= 0 {
			return say.Where(r.Meals[meal] > 0, msg("bowl.tiny-meal", "meal", say.Trim(float64(r.Meals[meal]), 2)+" g", "food", t.FoodName(r.Food), "week", say.Trim(float64(r.Week), 1)+" g"))
		}
		return msg("bowl.tiny", "day", say.Trim(float64(r.Day), 2)+" g", "food", t.FoodName(r.Food), "week", say.Trim(float64(r.Week), 1)+" g")
	})
}

// BowlDoses lists the supplements that go with the bowl of a day; of those that have a
// reminder only what is still to be given then.
func BowlDoses(t *talk.Turn, d *planner.Dog, b portions.Bowl, day planner.Date) string {
	lines := say.Each(b.Doses, func(row portions.DoseRow) string { return withIt(t, d, row.Dose) })
	return say.JoinParas(append(lines, dueDoses(t, d, day)...)...)
}

// withIt says a supplement of the recipe that goes with a bowl, or that is
// stirred into all of the food; where a reminder gives it, only that it gives
// another amount.
func withIt(t *talk.Turn, d *planner.Dog, dose planner.Dose) string {
	switch {
	case dose.Batch:
		return msg("bowl.stirred", "dose", talk.DoseAmount(t, dose))
	case d != nil && balance.SupplementOf(t, d.ID, dose.Food) != nil:
		return balance.ReplacedWeekly(t, d, dose)
	}
	return msg("bowl.dose", "dose", recipes.DoseText(t, dose))
}

// pressBowl does what a button about a bowl asks.
func pressBowl(t *talk.Turn, args []string) {
	what, d, r := talk.Arg(args, 0), t.Dog(talk.Arg(args, 1)), t.Recipe(talk.Arg(args, 2))
	switch ofRecipe := what == "known" || what == "recipe" || what == "eat"; {
	case d == nil, ofRecipe && r == nil:
		t.SayMsg("press.gone")
	case what == "dog":
		Bowl(t, d, nil)
	case what == "shown":
		dogs.ShowAll(t, d)
		Bowl(t, d, r)
	case what == "known":
		t.Home.WaveOff(vetKnowsKey(d, r), t.Event.At)
		t.Changed = true
		t.SayMsg("bowl.vet-knows", "recipe", r.Name, "dog", d.Name)
	case what == "recipe":
		Bowl(t, d, r)
	case what == "eat":
		t.GoTo(read.Sentence{Intent: read.EatsRecipe, Dog: d.ID, Recipe: r.ID})
	default:
		t.SayMsg("press.stale")
	}
}

// dueDoses lists the doses of a dog that are due on a day and not answered.
func dueDoses(t *talk.Turn, d *planner.Dog, day planner.Date) (lines []string) {
	if d == nil || !slices.ContainsFunc(t.Home.Reminders, func(r planner.Reminder) bool { return r.Kind == planner.SupplementReminder && !r.Off }) {
		return nil
	}
	zone := t.Event.At.Location()
	from, to := planner.Instant(day, 0, zone).Add(-time.Nanosecond), planner.Instant(day.AddDays(1), 0, zone).Add(-time.Nanosecond)
	for _, o := range planner.Agenda(t.Home.WithDoses(), from, to) {
		r := t.Reminder(o.Reminder)
		if r != nil && r.Kind == planner.SupplementReminder && r.Dose != nil && (r.Dog == d.ID || r.Dog == "") && len(talk.Answered(t, o)) == 0 {
			lines = append(lines, msg("due.today-dose", "dose", talk.DoseAmount(t, talk.DoseOf(t, r)), "when", o.Clock.String()))
		}
	}
	return lines
}

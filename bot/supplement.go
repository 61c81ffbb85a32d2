package bot

import (
	"errors"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// supplementCommand lists the supplements, or makes a reminder of the line
// that follows.
func (t *turn) supplementCommand(rest string) {
	if rest != "" && !strings.EqualFold(rest, "add") && !strings.EqualFold(rest, "new") {
		t.answerRemind(read.Sentence{Intent: read.Remind, Words: "give " + rest})
		return
	}
	if rest != "" {
		t.addSupplement("")
		return
	}
	t.listSupplements("")
}

// listSupplements says each supplement with its next date and its stock, and
// offers those of the recipes that nobody is reminded of.
func (t *turn) listSupplements(head string) {
	all := t.sortedReminders(planner.SupplementReminder)
	var lines []string
	for _, r := range all {
		lines = append(lines, t.reminderLine(r))
	}
	first := msg("supplement.list", "n", len(all))
	if len(all) == 0 {
		first = msg("supplement.none")
	}
	out := t.say(para(head), para(first), para(joinLines(lines)))
	t.offerReminders(out, all)
	t.offerDoses(out, nil)
	t.inPlace(out.offer(t.button(msg("button.add-supplement"), "supplement", "add")))
}

// recipeDose is a supplement of a recipe that a dog eats.
type recipeDose struct {
	dog    *planner.Dog
	recipe *planner.Recipe
	index  int
}

// openDoses are the supplements of the recipes that the dogs eat of which
// nobody is reminded; of one dog where it is named.
func (t *turn) openDoses(only *planner.Dog) (out []recipeDose) {
	for i := range t.home.Dogs {
		d := &t.home.Dogs[i]
		if only != nil && d.ID != only.ID {
			continue
		}
		id, ok := planner.RecipeOn(t.home, d.ID, t.date())
		r := t.recipe(id)
		if !ok || r == nil {
			continue
		}
		for k := range r.Doses {
			if !r.Doses[k].Batch && t.supplementOf(d.ID, r.Doses[k].Food, "") == nil {
				out = append(out, recipeDose{d, r, k})
			}
		}
	}
	return out
}

// offerDoses offers to be reminded of the recipes' supplements, one tap each.
func (t *turn) offerDoses(out *Reply, only *planner.Dog) {
	const most = 4
	for i, o := range t.openDoses(only) {
		if i == most {
			return
		}
		label := msg("button.remind-dose", "food", t.foodName(o.recipe.Doses[o.index].Food), "dog", o.dog.Name)
		out.offer(t.button(label, "supplement", "from", o.dog.ID, o.recipe.ID, trim(float64(o.index), 0)))
	}
}

// supplementOf is the reminder of a food for a dog, nil where there is none;
// but leaves one out.
func (t *turn) supplementOf(dog, food, but string) *planner.Reminder {
	for i := range t.home.Reminders {
		r := &t.home.Reminders[i]
		if r.Kind == planner.SupplementReminder && r.Dose != nil && r.Dose.Food == food && (r.Dog == dog || r.Dog == "") && r.ID != but && !r.Off {
			return r
		}
	}
	return nil
}

// pressSupplement does what a button about supplements asks.
func (t *turn) pressSupplement(args []string) {
	switch arg(args, 0) {
	case "list":
		t.listSupplements("")
	case "add":
		t.addSupplement("")
	case "from":
		t.remindOfDose(args[1:])
	case "stock":
		t.pressStock(args[1:])
	default:
		t.sayMsg("press.stale")
	}
}

// addSupplement asks for a new one, step by step.
func (t *turn) addSupplement(dog string) {
	if len(t.home.Dogs) == 0 {
		t.sayMsg("who.none").offer(t.button(msg("button.add-dog"), "dog", "add"))
		return
	}
	t.parkSame("remind")
	d := remindDraft{New: true, R: planner.Reminder{Kind: planner.SupplementReminder, Dog: dog}}
	if len(t.home.Dogs) == 1 {
		d.R.Dog = t.home.Dogs[0].ID
	}
	if d.R.Dog != "" {
		d.done("dog")
	}
	t.nextRemindStep(d)
}

// remindOfDose makes the reminder of a recipe's own dose: with the first
// meal, as often as the recipe says.
func (t *turn) remindOfDose(args []string) {
	d, r := t.dog(arg(args, 0)), t.recipe(arg(args, 1))
	n, err := read.Number(arg(args, 2))
	if d == nil || r == nil || err != nil || n < 0 || int(n) >= len(r.Doses) {
		t.sayMsg("press.gone")
		return
	}
	if t.talk.Kind == "remind" && t.talk.Step == "what" {
		t.endDialogue() // the question that the button stands under
	}
	dose := r.Doses[int(n)]
	if have := t.supplementOf(d.ID, dose.Food, ""); have != nil {
		t.showReminder(have, msg("supplement.have"))
		return
	}
	first := t.date()
	if d.MealTimes()[0] <= planner.ClockOf(t.event.At) {
		first = first.AddDays(1)
	}
	kept, ok := t.keepReminder(planner.FromDose(dose, d.ID, first, t.event.At.UTC()), msg("due.about-dose", "dog", d.Name, "food", t.foodName(dose.Food)))
	if ok {
		t.sayKept(kept)
	}
}

// errNoSupplement says that words are about no supplement.
var errNoSupplement = errors.New("bot: no supplement")

// readDose reads what is given: "vitamin E 200 IU", "2 capsules fish oil". It
// returns what is wrong with it, and errNoSupplement where it is about
// something else. A supplement without its amount is a dose of nothing.
func (t *turn) readDose(words string) (dose planner.Dose, wrong string, err error) {
	got := read.RecipeText(words, t.foods)
	if len(got.Problems) == 1 && len(got.Lines) == 0 {
		return t.openDose(words, got.Problems[0])
	}
	if len(got.Lines) != 1 || len(got.Problems) > 0 {
		return dose, "", errNoSupplement
	}
	switch l := got.Lines[0]; {
	case l.Dose != nil:
		dose = *l.Dose
	case l.Ingredient != nil:
		f := t.foods.Food(l.Ingredient.Food)
		if !dosed(f) {
			return dose, "", errNoSupplement
		}
		dose = planner.Dose{Food: f.Key, Grams: l.Ingredient.Grams, Typed: l.Ingredient.Typed}
	}
	dose.Cadence = planner.Cadence{} // the schedule says how often
	if dose.Absurd() {
		return dose, msg("supplement.absurd", "text", short(words)), nil
	}
	return dose, "", nil
}

// dosed reports that a food is given in doses: a supplement, or an oil.
func dosed(f *nutrition.Food) bool {
	return f != nil && (f.Has(nutrition.Supplement) || f.Kind == "oil")
}

// openDose judges a dose of which something is wrong or missing.
func (t *turn) openDose(words string, p read.Problem) (dose planner.Dose, wrong string, err error) {
	if p.Code == read.RefusedFood && p.Finding.Refused != nil {
		return dose, msg("food.refused", "food", p.Finding.Refused.Name, "reason", msg("refuse."+p.Finding.Refused.Key)), nil
	}
	found := t.foods.Find(words)
	if !dosed(found.Food) {
		found.Food = p.Finding.Food
	}
	switch {
	case p.Code == read.NoAmount && dosed(found.Food):
		return planner.Dose{Food: found.Food.Key}, "", nil
	case p.Code == read.AmbiguousFood:
		return t.whichDose(words, p)
	case p.Code == read.UnknownFood || p.Code == read.NoFood || p.Code == read.NoAmount:
		return dose, "", errNoSupplement
	}
	if ways := p.Ways(); len(ways) == 2 {
		return dose, joinParas(problemText(p), msg("problem.ways", "one", ways[0], "other", ways[1])), nil
	}
	return dose, problemText(p), nil
}

// emptyDose reports that a dose names a supplement and no amount of it.
func emptyDose(d planner.Dose) bool { return d.Count == 0 && d.Grams == 0 && len(d.Amounts) == 0 }

// onlyNames reports that words are a food's name and nothing else: "fish oil",
// not "buy fish oil". The form it comes in is no more than that.
func (t *turn) onlyNames(words, food string) bool {
	bare := strings.Fields(words)
	if n := len(bare); n > 1 && read.IsForm(bare[n-1]) {
		bare = bare[:n-1]
	}
	f := t.foods.Find(strings.Join(bare, " "))
	return f.Food != nil && f.Food.Key == food && len(f.Ignored) == 0
}

// remindDose makes a reminder of a supplement where words are about one, and
// reports whether they were.
func (t *turn) remindDose(r read.Reminder) bool {
	words := r.Thing
	dose, wrong, err := t.readDose(words)
	choice := isDoseChoice(err)
	if err != nil && !choice || !choice && r.About != read.Giving && emptyDose(dose) && !t.bareDose(r, dose) {
		return wrong != "" && r.About == read.Giving
	}
	if wrong != "" {
		if r.About != read.Giving {
			return false // "buy raisins for the cake"
		}
		t.say(para(wrong))
		return true
	}
	if len(t.home.Dogs) == 0 {
		t.sayMsg("who.none").offer(t.button(msg("button.add-dog"), "dog", "add"))
		return true
	}
	t.parkSame("remind")
	draft := remindDraft{New: true, R: planner.Reminder{Kind: planner.SupplementReminder, Dog: r.Dog, Dose: &dose}, When: r.When}
	if d := t.theDog(); d != nil && r.Dog == "" && (r.Pronoun || len(t.home.Dogs) == 1) {
		draft.R.Dog = d.ID
	}
	if draft.R.Dog != "" {
		draft.done("dog")
	}
	switch {
	case choice:
		draft.Typed, draft.R.Dose = words, nil
	case emptyDose(dose):
		draft.Food, draft.R.Dose = dose.Food, nil
	default:
		draft.done("what")
	}
	draft.done("until")
	if w := r.When; w.Repeats || w.Monthly || !w.On.IsZero() || !w.At.IsZero() {
		draft.done("often", "time") // with the first meal where no time is said
	} else if len(w.Times) > 0 || w.Meal != "" {
		draft.done("time")
	}
	t.nextRemindStep(draft)
	return true
}

func askRemindWhat(t *turn, d *remindDraft) {
	if d.Typed != "" && t.askWhichDose(*d, d.Typed) {
		return
	}
	if food := d.food(); food != "" {
		t.say(para(t.askAmountText(food))).offer(t.stopButton())
		return
	}
	r := t.sayMsg("supplement.ask-what")
	t.offerDoses(r, t.dog(d.R.Dog))
	r.offer(t.stopButton())
}

// food is the supplement that a draft is about, empty where that is not known.
func (d *remindDraft) food() string {
	if d.Food == "" && d.R.Dose != nil {
		return d.R.Dose.Food
	}
	return d.Food
}

// askAmountText asks how much of a supplement is given, with examples in the
// units that it comes in.
func (t *turn) askAmountText(food string) string {
	name := t.foodName(food)
	if strings.Contains(name, "oil") {
		return msg("supplement.ask-oil", "food", name)
	}
	return msg("supplement.ask-amount", "food", name)
}

// otherDog is the dog that words name where the question is about another one.
func (t *turn) otherDog(words, asked string) *planner.Dog {
	_, _, named := read.DogsNamed(words, t.names())
	if t.dog(asked) == nil || len(named) == 0 || slices.Contains(named, asked) {
		return nil
	}
	return t.dog(named[0])
}

func takeRemindWhat(t *turn, d *remindDraft, in answer) string {
	words := in.value()
	if other := t.otherDog(words, d.R.Dog); other != nil {
		return msg("supplement.other-dog", "dog", t.dog(d.R.Dog).Name, "other", other.Name)
	}
	dose, wrong, err := t.readDose(words)
	if d.Typed != "" && err == nil && wrong == "" && emptyDose(dose) { // which of several it is
		words = d.Typed + " [" + dose.Food + "]"
		dose, wrong, err = t.readDose(words)
	}
	if c := (doseChoices{}); errors.As(err, &c) {
		d.Typed = words
		t.ask("remind", "what", *d)
		return c.text(words)
	}
	if food := d.food(); (err != nil || emptyDose(dose)) && food != "" { // the amount alone: "200 IU"
		if again, trouble, failed := t.readDose(words + " [" + food + "]"); failed == nil && !emptyDose(again) {
			dose, wrong, err = again, trouble, nil
		}
	}
	switch {
	case err != nil:
		return msg("supplement.not-one", "text", short(words))
	case wrong != "":
		return wrong
	case emptyDose(dose):
		d.Food = dose.Food
		t.ask("remind", "what", *d)
		return t.askAmountText(dose.Food)
	}
	if w, err := read.WhenText(words, t.event.At); err == nil && d.New && (w.Repeats || w.Monthly) {
		w.Rest, w.Note = "", ""
		d.When = w
		d.done("often")
		if len(w.Times) > 0 || w.Meal != "" {
			d.done("time")
		}
	}
	d.R.Dose = &dose
	return ""
}

// doseWords takes "give Juniper fish oil 1 tsp daily" and "Juniper gets zinc
// 15 mg every 3 days" for the wish to be reminded of it, as if it had begun
// with "remind me to", and reports whether a text was one. It says how often,
// or that it is given to a dog; a recipe line says neither, or has an amount.
func (t *turn) doseWords(s string) bool {
	if len(s) > 160 || strings.ContainsAny(s, "?\n") || len(t.home.Dogs) == 0 {
		return false
	}
	r, err := read.ReminderText(s, t.names(), t.event.At)
	if err != nil {
		return false
	}
	often := r.When.Repeats || r.When.Monthly || r.When.Meal != "" || r.When.PerDay > 0
	switch {
	case r.About == read.Giving:
	case r.About != read.Anything || !often:
		return false
	}
	dose, wrong, err := t.readDose(r.Thing)
	if err != nil && !isDoseChoice(err) || err == nil && wrong == "" && emptyDose(dose) && !often {
		return false
	}
	if r.Dog == "" && !r.Pronoun && (r.About != read.Giving || len(t.home.Dogs) > 1) && !t.bareDose(r, dose) {
		return false
	}
	return t.remindDose(r)
}

// bareDose reports that words are a supplement and how often it is given, and
// nothing else: "fish oil daily".
func (t *turn) bareDose(r read.Reminder, dose planner.Dose) bool {
	return r.When.Repeats && emptyDose(dose) && t.onlyNames(r.Thing, dose.Food)
}

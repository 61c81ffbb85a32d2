package remind

import (
	"errors"
	"slices"
	"strings"

	"bowlwright/bot/balance"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// supplementCommand lists the supplements, or makes a reminder of the line
// that follows.
func supplementCommand(t *talk.Turn, rest string) {
	switch strings.ToLower(rest) {
	case "":
		listSupplements(t, "")
	case "add", "new":
		addSupplement(t)
	default:
		answerRemind(t, read.Sentence{Intent: read.Remind, Words: "give " + rest})
	}
}

// listSupplements says each supplement and medicine with its next date and its
// stock, and offers the supplements of the recipes that nobody is reminded of.
func listSupplements(t *talk.Turn, head string) {
	all := Given(t, read.DogsOf(t.AsTyped(), t.Names()))
	lines := say.Each(all, func(r *planner.Reminder) string { return reminderLine(t, r) })
	first := msg("supplement.list", "n", len(all))
	switch {
	case len(all) == 0:
		first = msg("supplement.none", talk.Examples(t)...)
	case all[len(all)-1].Kind == planner.NoteReminder:
		first = msg("supplement.list-medicines", "n", len(all))
	}
	out := t.Say(say.Para(head), say.Para(first), say.Whole(talk.JoinLines(lines)))
	offerReminders(t, out, all)
	offerDoses(t, out, nil)
	t.InPlace(out.Offer(t.Button(msg("button.add-supplement"), "supplement", "add")))
}

// offerDoses offers to be reminded of the supplements of the recipes that the dogs eat, of
// one dog where it is named, of which nobody is reminded: one tap each.
func offerDoses(t *talk.Turn, out *say.Reply, only *planner.Dog) {
	most := 4
	for _, d := range t.Dogs() {
		id, _ := planner.RecipeOn(t.Home, d.ID, t.Date())
		r := t.Recipe(id)
		if r == nil || only != nil && d.ID != only.ID {
			continue
		}
		for i, dose := range r.Doses {
			if most > 0 && !dose.Batch && balance.SupplementOf(t, d.ID, dose.Food) == nil {
				most--
				out.Offer(t.Button(msg("button.remind-dose", "food", t.FoodName(dose.Food), "dog", d.Name), "supplement", "from", d.ID, r.ID, say.Trim(float64(i), 0)))
			}
		}
	}
}

// addSupplement asks for a new one, step by step.
func addSupplement(t *talk.Turn) {
	if len(t.Home.Dogs) == 0 {
		talk.NoDog(t)
		return
	}
	talk.ParkSame(t, "remind")
	d := remindDraft{New: true, R: planner.Reminder{Kind: planner.SupplementReminder}}
	if len(t.Home.Dogs) == 1 {
		d.R.Dog = t.Home.Dogs[0].ID
		d.done("dog")
	}
	nextRemindStep(t, d)
}

// remindOfDose makes the reminder of a recipe's own dose: with the first
// meal, as often as the recipe says.
func remindOfDose(t *talk.Turn, args []string) {
	d, r := t.Dog(talk.Arg(args, 0)), t.Recipe(talk.Arg(args, 1))
	n, err := span.Number(talk.Arg(args, 2))
	if talk.Gone(t, d == nil || r == nil || err != nil || n < 0 || int(n) >= len(r.Doses)) {
		return
	}
	if t.Talk.Kind == "remind" && t.Talk.Step == "what" {
		t.EndDialogue() // the question that the button stands under
	}
	dose := r.Doses[int(n)]
	if have := balance.SupplementOf(t, d.ID, dose.Food); have != nil {
		showReminder(t, have, msg("supplement.have"))
		return
	}
	if kept, ok := keepDose(t, d, dose); ok {
		sayKept(t, kept)
	}
}

// keepDose keeps the reminder of a recipe's dose for a dog, from its next first meal
// on.
func keepDose(t *talk.Turn, d *planner.Dog, dose planner.Dose) (*planner.Reminder, bool) {
	first := t.Date()
	if d.MealTimes()[0] <= planner.ClockOf(t.Event.At) {
		first = first.AddDays(1)
	}
	return keepReminder(t, planner.FromDose(dose, d.ID, first, t.Event.At.UTC()), msg("due.about-dose", "dog", d.Name, "food", t.FoodName(dose.Food)))
}

// errNoSupplement says that words are not about a supplement.
var errNoSupplement = errors.New("bot: no supplement")

// readDose reads what is given: "vitamin E 200 IU", "2 capsules fish oil". It
// returns what is wrong with it, and errNoSupplement where it is about
// something else. A supplement without its amount is a dose of nothing.
func readDose(t *talk.Turn, words string) (dose planner.Dose, wrong string, err error) {
	got := t.RecipeText(words)
	if len(got.Problems) == 1 && len(got.Lines) == 0 {
		return openDose(t, words, got.Problems[0])
	}
	if len(got.Lines) != 1 || len(got.Problems) > 0 {
		return dose, "", errNoSupplement
	}
	switch l := got.Lines[0]; {
	case l.Dose != nil:
		dose = *l.Dose
	case l.Ingredient != nil:
		f := t.Foods.Food(l.Ingredient.Food)
		if !say.Dosed(f) {
			return dose, "", errNoSupplement
		}
		dose = planner.Dose{Food: f.Key, Grams: l.Ingredient.Grams, Typed: l.Ingredient.Typed}
	}
	dose.Cadence = planner.Cadence{} // the schedule says how often
	if dose.Absurd() {
		return dose, msg("supplement.absurd", "text", say.Short(words)), nil
	}
	return dose, "", nil
}

// openDose judges a dose of which something is wrong or missing.
func openDose(t *talk.Turn, words string, p span.Problem) (dose planner.Dose, wrong string, err error) {
	if p.Code == span.RefusedFood && p.Finding.Refused != nil {
		return dose, msg("food.refused", "food", p.Finding.Refused.Name, "reason", msg("refuse."+p.Finding.Refused.Key)), nil
	}
	found := t.Foods.Find(words)
	if !say.Dosed(found.Food) {
		found.Food = p.Finding.Food
	}
	switch {
	case p.Code == span.NoAmount && say.Dosed(found.Food):
		return planner.Dose{Food: found.Food.Key}, "", nil
	case p.Code == span.AmbiguousFood:
		return whichDose(t, words, p)
	case p.Code == span.UnknownFood || p.Code == span.NoFood || p.Code == span.NoAmount:
		return dose, "", errNoSupplement
	}
	if ways := p.Ways(); len(ways) == 2 {
		return dose, say.JoinParas(say.ProblemText(p), msg("problem.ways", "one", ways[0], "other", ways[1])), nil
	}
	return dose, say.ProblemText(p), nil
}

// emptyDose reports that a dose names a supplement and no amount of it.
func emptyDose(d planner.Dose) bool { return d.Count == 0 && d.Grams == 0 && len(d.Amounts) == 0 }

// onlyNames reports that words are a food's name and nothing else: "fish oil",
// not "buy fish oil". The form it comes in is no more than that.
func onlyNames(t *talk.Turn, words, food string) bool {
	bare := strings.Fields(words)
	if n := len(bare); n > 1 && span.IsForm(bare[n-1]) {
		bare = bare[:n-1]
	}
	f := t.Foods.Find(strings.Join(bare, " "))
	return f.Food != nil && f.Food.Key == food && len(f.Ignored) == 0
}

// remindDose makes a reminder of a supplement where words are about one, and
// reports whether they were.
func remindDose(t *talk.Turn, r read.Reminder) bool {
	words := r.Thing
	dose, wrong, err := readDose(t, words)
	_, choice := choicesOf(err)
	if err != nil && !choice || !choice && r.About != read.Giving && emptyDose(dose) && !bareDose(t, r, dose) {
		return wrong != "" && r.About == read.Giving
	}
	if wrong != "" {
		if r.About != read.Giving {
			return false // "buy raisins for the cake"
		}
		t.Say(say.Para(wrong))
		return true
	}
	if len(t.Home.Dogs) == 0 {
		talk.NoDog(t)
		return true
	}
	talk.ParkSame(t, "remind")
	draft := remindDraft{New: true, R: planner.Reminder{Kind: planner.SupplementReminder, Dog: r.Dog, Dose: &dose}, When: r.When}
	if d := talk.TheDog(t); d != nil && r.Dog == "" && (r.Pronoun || len(t.Home.Dogs) == 1) {
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
	nextRemindStep(t, draft)
	return true
}

func askRemindWhat(t *talk.Turn, d *remindDraft) {
	if d.Typed != "" && askWhichDose(t, *d, d.Typed) {
		return
	}
	if food := d.food(); food != "" {
		t.Say(say.Para(askAmountText(t, food))).Offer(t.StopButton())
		return
	}
	r := t.SayMsg("supplement.ask-what")
	offerDoses(t, r, t.Dog(d.R.Dog))
	r.Offer(t.StopButton())
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
func askAmountText(t *talk.Turn, food string) string {
	name := t.FoodName(food)
	return msg(say.Choose(strings.Contains(name, "oil"), "supplement.ask-oil", "supplement.ask-amount"), "food", name)
}

// otherDog is the dog that words name where the question is about another one.
func otherDog(t *talk.Turn, words, asked string) *planner.Dog {
	_, _, named := read.DogsNamed(words, t.Names())
	if t.Dog(asked) == nil || len(named) == 0 || slices.Contains(named, asked) {
		return nil
	}
	return t.Dog(named[0])
}

func takeRemindWhat(t *talk.Turn, d *remindDraft, in talk.Answer) string {
	words := in.Value()
	if other := otherDog(t, words, d.R.Dog); other != nil {
		return msg("supplement.other-dog", "dog", t.Dog(d.R.Dog).Name, "other", other.Name)
	}
	dose, wrong, err := readDose(t, words)
	if d.Typed != "" && err == nil && wrong == "" && emptyDose(dose) { // which of several it is
		words = d.Typed + " [" + dose.Food + "]"
		dose, wrong, err = readDose(t, words)
	}
	if c, several := choicesOf(err); several {
		d.Typed = words
		t.Ask("remind", "what", *d)
		return c.text(words)
	}
	if food := d.food(); (err != nil || emptyDose(dose)) && food != "" { // the amount alone: "200 IU"
		if again, trouble, failed := readDose(t, words+" ["+food+"]"); failed == nil && !emptyDose(again) {
			dose, wrong, err = again, trouble, nil
		}
	}
	switch {
	case err != nil:
		return msg("supplement.not-one", "text", say.Short(words))
	case wrong != "":
		return wrong
	case emptyDose(dose):
		d.Food = dose.Food
		t.Ask("remind", "what", *d)
		return askAmountText(t, dose.Food)
	}
	if w, err := span.WhenText(words, t.Event.At); err == nil && d.New && (w.Repeats || w.Monthly) {
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

package dogs

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/household"
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/illness"
)

// dogCommand lists the dogs, opens one by name, or adds one from a line.
func dogCommand(t *talk.Turn, rest string) {
	switch d := t.DogNamed(rest); {
	case rest == "" && len(t.Home.Dogs) > 0:
		listDogs(t)
	case rest == "" || strings.EqualFold(rest, "add") || strings.EqualFold(rest, "new"):
		talk.ParkSame(t, "dog")
		askNextDogStep(t, dogDraft{})
	case d != nil:
		t.Talk.Dog = d.ID
		showDog(t, d, "")
	case !dogLines(t, rest):
		talk.ParkSame(t, "dog")
		dogFromLine(t, rest)
	}
}

// dogLines adds several dogs, a line each, and reports whether a text was
// that: each line must have all that a dog needs.
func dogLines(t *talk.Turn, text string) bool {
	lines := strings.FieldsFunc(text, func(r rune) bool { return r == '\n' })
	if len(lines) < 2 {
		return false
	}
	names := map[string]bool{}
	for _, line := range lines {
		d, problems := read.DogLine(line, t.Home.Units, t.Event.At)
		name := strings.ToLower(d.Name)
		if name == "" || d.Weight == 0 || len(problems) > 0 || d.Validate(t.Event.At) != nil || t.DogNamed(name) != nil || names[name] {
			return false
		}
		names[name] = true
	}
	for _, line := range lines {
		dogFromLine(t, line)
	}
	return true
}

// dogFromLine adds a dog described in one line. Where the line gives name
// and weight the dog is kept at once and what is not known is said; else the
// dialogue asks for what is missing.
func dogFromLine(t *talk.Turn, line string) {
	d, problems := read.DogLine(line, t.Home.Units, t.Event.At)
	open, whole := len(problems) > 0, d.Name != "" && d.Weight > 0
	switch unfit := !whole || d.Validate(t.Event.At) != nil || t.DogNamed(d.Name) != nil; {
	case open && d.Name == "" && len(illness.In(d.Health)) > 0:
		askRestOfIll(t, d)
		return
	case open && d.Name == "" && d.Weight == 0 && len(t.Home.Dogs) == 0:
		askNextDogStep(t, dogDraft{}) // "dog food amounts"
		return
	case open && unfit:
		t.SayMsg("dog.line-problems", "line", say.Short(line), "problems", say.ProblemsText(problems))
		return
	}
	household.AdoptHome(t, line)
	switch {
	case !whole:
		askNextDogStep(t, dogDraft{Dog: d, Done: knownSteps(d)})
	case open: // what was understood is kept, the rest is said
		keepDog(t, dogDraft{Dog: d})
		t.LastReply().Begin(msg("dog.line-rest", "problems", say.ProblemsText(problems)))
	case !talk.Unfit(t, d):
		keepDog(t, dogDraft{Dog: d})
	}
}

// knownSteps are the questions that a line has answered already.
func knownSteps(d planner.Dog) map[string]bool {
	return map[string]bool{
		"name": d.Name != "", "units": d.Weight > 0, "weight": d.Weight > 0, "age": !d.Born.IsZero(), "sex": d.Sex != "",
		"activity": d.Activity != "", "condition": d.Condition > 0, "health": d.Health != "", "meals": d.Meals > 0,
	}
}

func listDogs(t *talk.Turn) {
	var rows []say.TableRow
	var row []say.Button
	unclassed := false
	for _, d := range t.Dogs() {
		unclassed = unclassed || !d.Classed()
		row = append(row, t.Button(d.Name, "dog", "show", d.ID))
		n := planner.AmountOf(*d, t.Event.At)
		cells := []string{say.BodyWeight(d.Weight, t.Home.Units), say.Kcal(n.Kcal) + " kcal"}
		switch {
		case n.Gate == planner.DiedGate:
			cells[1] = msg("dog.died")
		case !d.Classed():
			cells[1] = msg("dog.unclassed")
		case n.Waits():
			cells[1] = msg("dog.waits")
		}
		rows = append(rows, say.TableRow{Label: d.Name, Cells: cells})
	}
	t.Say(say.Para(msg("dog.list", "n", len(rows))), say.TableBlock(rows), say.Para(say.Where(unclassed, msg("dog.tap")))).Rows(3, row...).Offer(t.Button(msg("button.add-dog"), "dog", "add"))
}

// showDog says what is known of a dog and what it needs.
func showDog(t *talk.Turn, d *planner.Dog, head string, extra ...say.Button) {
	n := planner.AmountOf(*d, t.Event.At)
	var r *say.Reply
	switch {
	case !d.Classed():
		r = askClass(t, d, say.JoinParas(head, dogText(t, d), recentSigns(t, d)))
	case n.Waits():
		r = t.Say(say.Para(head), say.Whole(HeldText(t, d, n)), say.Para(dogText(t, d)), say.Waits(recentSigns(t, d))).Offer(GateButtons(t, d, n)...)
	default:
		r = t.Say(say.Para(head), say.Para(NeedText(t, *d, n)), say.Para(dogText(t, d)), say.Waits(recentSigns(t, d)), say.Whole(GateText(*d, n)))
		r.Offer(t.Button(msg("button.bowl"), "bowl", "dog", d.ID), t.Button(msg("button.why"), "dog", "why", d.ID))
	}
	r.Offer(t.Button(msg("button.edit"), "dog", "edit", d.ID), t.Button(msg("button.remove"), "dog", "remove", d.ID))
	r.Offer(extra...)
}

// NeedText says the day's kcal first, then why, in a line.
func NeedText(t *talk.Turn, d planner.Dog, n planner.Need) string {
	s := msg("need.kcal", "dog", d.Name, "kcal", say.Kcal(n.Kcal), "range", NeedRange(t, n))
	return s + "\n" + NeedReason(n, t.Home.Units)
}

func NeedRange(t *talk.Turn, n planner.Need) string {
	return say.Where(!n.ByHand, msg("need.range", "low", say.Kcal(n.Low), "high", say.Kcal(n.High)))
}

// NeedReason says in a line what the figure was worked out from.
func NeedReason(n planner.Need, u planner.Units) string {
	switch {
	case n.ByScale:
		return msg("need.by-scale")
	case n.ByVet:
		return msg(say.Choose(n.Since.IsZero(), "need.by-vet", "need.by-vet-on"), "day", n.Since.Format("2 Jan 2006"))
	case n.Agreed:
		return msg("need.by-litter")
	case !n.ByHand:
		return msg("need.reason", "why", say.Capital(msg("equation."+string(n.Equation))), "weight", say.BodyWeight(n.Basis, u))
	case n.Ground == planner.OnSchedule:
		return msg(say.Choose(n.Gate == planner.GrowthGate, "need.by-schedule", "need.by-schedule-over"))
	case n.Ground == planner.OnEquation || n.Ground == planner.OnFact || n.Ground == planner.OnPlan:
		return msg("need.by-" + string(n.Ground))
	}
	return msg("need.by-hand")
}

// NeedEquation is the equation that gave the figure, with its source. Its weight
// is in kilograms whatever the household's units: the factor is per kg^0.75.
func NeedEquation(n planner.Need) string {
	if n.ByHand {
		return ""
	}
	source := "equation-source." + string(n.Equation)
	return msg("need.equation", "factor", say.Trim(n.PerMetabolicKg, 1), "weight", say.BodyWeight(n.Basis, planner.Units{}),
		"power", "^0.75", "source", msg(say.Choose(words.Has(source), source, "equation-source.fediaf")))
}

// Facts are what is known of a dog, but for its health, each in a few words.
func Facts(t *talk.Turn, d *planner.Dog) []string {
	activity := ""
	if d.Activity != "" {
		activity = msg("activity-short." + string(d.Activity))
	}
	facts := []string{
		say.BodyWeight(d.Weight, t.Home.Units),
		say.Where(!d.Born.IsZero(), ageText(d.Born, t.Event.At)),
		say.Where(d.Sex != "" || d.Neutered != "", sexText(d)),
		activity,
		say.Where(d.Condition > 0, msg("dog.condition", "n", d.Condition)),
		say.Where(d.AdultWeight > 0 && Growing(t, d), msg("dog.grown", "weight", say.BodyWeight(d.AdultWeight, t.Home.Units))),
		msg("dog.meals", "n", talk.MealsOf(*d)),
		stageText(t, d),
		say.Where(d.StoresCopper, msg("dog.copper")),
		say.Where(len(d.Excludes) > 0, msg("dog.excludes", "foods", say.List(d.Excludes))),
	}
	return slices.DeleteFunc(facts, func(fact string) bool { return fact == "" })
}

// newFacts are those of a dog that were not before.
func newFacts(t *talk.Turn, was, is *planner.Dog) []string {
	before := Facts(t, was)
	return slices.DeleteFunc(Facts(t, is), func(fact string) bool { return slices.Contains(before, fact) })
}

// dogText lists what is known of a dog, what it eats and its health notes.
func dogText(t *talk.Turn, d *planner.Dog) string {
	tr, _ := talk.Switching(t, d, t.Date())
	id, _ := planner.RecipeOn(t.Home, d.ID, t.Date())
	eats := tr == nil && t.Recipe(id) != nil
	r := cmp.Or(t.Recipe(id), &planner.Recipe{})
	return say.JoinParas(strings.Join(Facts(t, d), ", "),
		say.Where(eats, strings.TrimSpace(msg("dog.eats", "recipe", talk.FareNames(planner.LastingFare(t.Home, d.ID, t.Date())))+" "+ExcludedText(t, d, *r))),
		say.LinesOf(d.Without, func(id string) string { return msg("dog.without", "recipe", talk.RecipeName(t, id)) }),
		say.Where(d.Health != "", msg("dog.health", "notes", d.Health)),
		say.Where(len(d.Limits) > 0, msg("dog.limits", "limits", strings.Join(d.Limits, "; "))))
}

func sexText(d *planner.Dog) string {
	if d.Neutered == "" {
		return string(d.Sex)
	}
	return msg("sex-short." + string(d.Neutered) + say.Where(d.Sex != "", "-"+string(d.Sex)))
}

// ageText prints an age in whole weeks below four months, whole months below
// two years, whole years from there.
func ageText(born, now time.Time) string {
	y, m, d := now.Date()
	by, bm, bd := born.Date()
	months := (y-by)*12 + int(m-bm)
	if d < bd {
		months--
	}
	switch {
	case months < 4:
		return msg("age.weeks", "n", max(int(now.Sub(born).Hours()/24/7), 0))
	case months < 24:
		return msg("age.months", "n", months)
	}
	return msg("age.years", "n", months/12)
}

// GateText is the caution of a dog for which no plan is made, empty for a
// healthy adult.
func GateText(d planner.Dog, n planner.Need) string {
	if n.Gate == "" {
		return ""
	}
	key := "gate." + string(n.Gate) + say.Where(n.Gate == planner.VeryThinGate && n.ByVet, "-vet")
	return msg(key, "dog", d.Name, "kcal", say.Kcal(nutrition.RestingEnergy(d.Weight)), "low", planner.FewestSmallMeals, "high", planner.MostSmallMeals)
}

// dogVerbs are what buttons about a dog do.
func dogVerbs() map[string]func(t *talk.Turn, d *planner.Dog, more []string) {
	return map[string]func(t *talk.Turn, d *planner.Dog, more []string){
		"show":   talk.Tapped(func(t *talk.Turn, d *planner.Dog) { showDog(t, d, "") }),
		"why":    talk.Tapped(WhyDog),
		"edit":   talk.Tapped(offerEdit),
		"field":  talk.TappedOn(editDog),
		"remove": talk.Tapped(askRemove),
		"really": talk.Tapped(removeDog),
		"ill": talk.TappedOn(func(t *talk.Turn, d *planner.Dog, code string) {
			talk.Stale(t, !NoteFound(t, d, strings.ReplaceAll(code, "-", " ")))
		}),
		"well": talk.TappedOn(dropHealth),
		"eats": talk.Tapped(eatsAgain),
		"without": talk.TappedOn(func(t *talk.Turn, d *planner.Dog, food string) {
			takeFacts(t, d, planner.Dog{Excludes: []string{food}})
		}),
		"told": talk.TappedOn(func(t *talk.Turn, d *planner.Dog, fact string) { takeFacts(t, d, factOf(t, fact)) }),
		"died": talk.Tapped(sayDied),
		"rest": talk.Tapped(sayDied),
	}
}

// pressDog does what a button about a dog asks.
func pressDog(t *talk.Turn, args []string) {
	if talk.Arg(args, 0) == "add" {
		dogCommand(t, "add")
		return
	}
	talk.OfDog(dogVerbs())(t, args)
}

// askRemove asks whether a dog is to go.
func askRemove(t *talk.Turn, d *planner.Dog) {
	t.AskedSure("dog", "really", d.ID)
	t.SayMsg("dog.remove-sure", "dog", d.Name).
		Offer(t.Button(msg("button.yes-remove"), "dog", "really", d.ID), t.Button(msg("button.keep"), "dog", "show", d.ID))
}

func offerEdit(t *talk.Turn, d *planner.Dog) {
	r := t.SayMsg("dog.edit-what", "dog", d.Name)
	var row []say.Button
	for _, s := range dogSteps() {
		if !ofHousehold(s.Name) {
			row = append(row, t.Button(msg("field."+s.Name), "dog", "field", d.ID, s.Name))
		}
	}
	r.Rows(2, row...)
}

func removeDog(t *talk.Turn, d *planner.Dog) {
	name, id := d.Name, d.ID
	t.Mutate("did.dog-removed", name)
	t.Home.Dogs = slices.DeleteFunc(t.Home.Dogs, func(d planner.Dog) bool { return d.ID == id })
	t.Happened(&talk.DogRemoved{ID: id})
	if t.Talk.Dog == id {
		t.Talk.Dog = ""
	}
	if t.Talk.Last == id {
		t.Talk.Last = ""
	}
	t.SayMsg("dog.removed", "dog", name).Offer(t.UndoButton())
}

// addDog keeps a new dog, unless it is kept already, and shows it.
func addDog(t *talk.Turn, d planner.Dog) {
	switch kept, other := t.Dog(d.ID), t.DogNamed(d.Name); {
	case kept != nil:
		showAdded(t, kept)
	case other == nil:
		showAdded(t, Append(t, d))
	case other.Weight == d.Weight:
		takeFacts(t, other, d) // the same dog, and more of it
	default:
		t.SayMsg("dog.name-taken", "name", d.Name)
		d.Name = ""
		askNextDogStep(t, dogDraft{Dog: d, Done: allDogSteps("name")})
	}
}

// Append keeps a new dog.
func Append(t *talk.Turn, d planner.Dog) *planner.Dog {
	t.Mutate("did.dog-added", d.Name)
	d.ID = t.NewID("d")
	d.Weighed = t.Event.At
	if d.Name == strings.ToLower(d.Name) {
		d.Name = say.Capital(d.Name) // typed in a hurry
	}
	mealsForAge(t, &d)
	t.Home.Dogs = append(t.Home.Dogs, d)
	talk.NoteDog(t, planner.Dog{}, d)
	return &t.Home.Dogs[len(t.Home.Dogs)-1]
}

func showAdded(t *talk.Turn, d *planner.Dog) {
	t.Talk.Dog = d.ID
	var undo []say.Button
	if t.Before != nil {
		undo = append(undo, t.UndoButton())
	}
	showDog(t, d, say.JoinParas(msg("dog.added", "dog", d.Name), household.PlaceHeard(t)), undo...)
	t.Happened(&talk.DogAdded{Dog: d, Out: t.LastReply()})
}

package bot

import (
	"errors"
	"strings"
	"time"
	"unicode"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// dogCommand lists the dogs, opens one by name, or adds one from a line.
func (t *turn) dogCommand(rest string) {
	switch {
	case rest == "" && len(t.home.Dogs) > 0:
		t.listDogs()
	case rest == "" || strings.EqualFold(rest, "add") || strings.EqualFold(rest, "new"):
		t.parkSame("dog")
		t.startDog(dogDraft{})
	default:
		if d := t.dogNamed(rest); d != nil {
			t.talk.Dog = d.ID
			t.showDog(d, "")
			return
		}
		if t.dogLines(rest) {
			return
		}
		t.parkSame("dog")
		t.dogFromLine(rest)
	}
}

// dogLines adds several dogs, a line each, and reports whether a text was
// that: each line must have all that a dog needs.
func (t *turn) dogLines(text string) bool {
	lines := strings.FieldsFunc(text, func(r rune) bool { return r == '\n' })
	if len(lines) < 2 {
		return false
	}
	names := map[string]bool{}
	for _, line := range lines {
		d, problems := read.DogLine(line, t.home.Units, t.event.At)
		name := strings.ToLower(d.Name)
		if name == "" || d.Weight == 0 || len(problems) > 0 || d.Validate(t.event.At) != nil || t.dogNamed(name) != nil || names[name] {
			return false
		}
		names[name] = true
	}
	for _, line := range lines {
		t.dogFromLine(line)
	}
	return true
}

// dogFromLine adds a dog described in one line. Where the line gives name
// and weight the dog is kept at once and what is not known is said; else the
// dialogue asks for what is missing.
func (t *turn) dogFromLine(line string) {
	d, problems := read.DogLine(line, t.home.Units, t.event.At)
	if len(problems) > 0 {
		var lines []string
		for _, p := range problems {
			lines = append(lines, problemText(p))
		}
		if d.Name == "" || d.Weight == 0 || d.Validate(t.event.At) != nil || t.dogNamed(d.Name) != nil {
			t.sayMsg("dog.line-problems", "line", short(line), "problems", strings.Join(lines, "\n"))
			return
		}
		t.adoptUnits(line)
		t.keepDog(dogDraft{Dog: d}) // what was understood is kept, the rest is said
		last := &t.replies[len(t.replies)-1]
		last.Body = append([]Block{para(msg("dog.line-rest", "problems", strings.Join(lines, "\n")))}, last.Body...)
		return
	}
	t.adoptUnits(line)
	if d.Name == "" || d.Weight == 0 {
		t.startDog(dogDraft{Dog: d, Done: knownSteps(d)})
		return
	}
	if err := d.Validate(t.event.At); err != nil {
		t.say(para(fieldText(err, t.home.Units)))
		return
	}
	t.keepDog(dogDraft{Dog: d})
}

// adoptUnits takes pounds for a household's units where its first dog is
// described in them.
func (t *turn) adoptUnits(line string) {
	if len(t.home.Dogs) > 0 {
		return
	}
	for _, w := range strings.FieldsFunc(strings.ToLower(line), func(r rune) bool { return !unicode.IsLetter(r) }) {
		if w == "lb" || w == "lbs" || w == "pound" || w == "pounds" {
			t.home.Units, t.changed = planner.Units{Ounces: true, Pounds: true}, true
			return
		}
	}
}

// knownSteps are the questions that a line has answered already.
func knownSteps(d planner.Dog) map[string]bool {
	return map[string]bool{
		"name": d.Name != "", "weight": d.Weight > 0, "age": !d.Born.IsZero(), "sex": d.Sex != "",
		"activity": d.Activity != "", "condition": d.Condition > 0, "health": d.Health != "", "meals": d.Meals > 0,
	}
}

func (t *turn) listDogs() {
	var rows []tableRow
	for i := range t.home.Dogs {
		d := &t.home.Dogs[i]
		n := planner.AmountOf(*d, t.event.At)
		cells := []string{bodyWeight(d.Weight, t.home.Units), kcal(n.Kcal) + " kcal"}
		switch {
		case n.Gate == planner.DiedGate:
			cells[1] = msg("dog.died")
		case n.Waits():
			cells[1] = msg("dog.waits")
		}
		rows = append(rows, tableRow{d.Name, cells})
	}
	r := t.say(para(msg("dog.list", "n", len(rows))), tableBlock(rows))
	var row []Button
	for i := range t.home.Dogs {
		d := &t.home.Dogs[i]
		row = append(row, t.button(d.Name, "dog", "show", d.ID))
		if len(row) == 3 {
			r.offer(row...)
			row = nil
		}
	}
	r.offer(row...)
	r.offer(t.button(msg("button.add-dog"), "dog", "add"))
}

// showDog says what is known of a dog and what it needs.
func (t *turn) showDog(d *planner.Dog, head string, extra ...Button) {
	n := planner.AmountOf(*d, t.event.At)
	var r *Reply
	switch {
	case !d.Classed():
		r = t.askClass(d, joinParas(head, t.dogText(d), t.recentSigns(d)))
	case n.Waits():
		r = t.say(para(head), para(t.heldText(d, n)), para(t.dogText(d)), para(t.recentSigns(d))).offer(t.gateButtons(d, n)...)
	default:
		r = t.say(para(head), para(t.needText(*d, n)), para(t.dogText(d)), para(t.recentSigns(d)), para(t.gateText(*d, n)))
		r.offer(t.button(msg("button.bowl"), "bowl", "dog", d.ID), t.button(msg("button.why"), "dog", "why", d.ID))
	}
	r.offer(t.button(msg("button.edit"), "dog", "edit", d.ID), t.button(msg("button.remove"), "dog", "remove", d.ID))
	r.offer(extra...)
}

// needText says the day's kcal first, then why, in a line.
func (t *turn) needText(d planner.Dog, n planner.Need) string {
	s := msg("need.kcal", "dog", d.Name, "kcal", kcal(n.Kcal), "range", t.needRange(n))
	return s + "\n" + needReason(n)
}

func (t *turn) needRange(n planner.Need) string {
	if n.ByHand {
		return ""
	}
	return msg("need.range", "low", kcal(n.Low), "high", kcal(n.High))
}

// needReason says in a line which equation gave the figure.
// Its weight is in kilograms whatever the household's units: the factor is per
// kg^0.75.
func needReason(n planner.Need) string {
	if n.ByScale {
		return msg("need.by-scale")
	}
	if n.ByVet {
		if n.Since.IsZero() {
			return msg("need.by-vet")
		}
		return msg("need.by-vet-on", "day", n.Since.Format("2 Jan 2006"))
	}
	if n.Agreed {
		return msg("need.by-litter")
	}
	if n.ByHand {
		switch n.Ground {
		case planner.OnSchedule:
			if n.Gate != planner.GrowthGate {
				return msg("need.by-schedule-over")
			}
			return msg("need.by-schedule")
		case planner.OnEquation, planner.OnFact, planner.OnPlan:
			return msg("need.by-" + string(n.Ground))
		}
		return msg("need.by-hand")
	}
	return msg("need.reason", "factor", trim(n.PerMetabolicKg, 1), "weight", bodyWeight(n.Basis, planner.Units{}),
		"power", "^0.75", "why", msg("equation."+string(n.Equation)))
}

// dogText lists what is known of a dog, and what is assumed in its place.
func (t *turn) dogText(d *planner.Dog) string {
	parts := []string{bodyWeight(d.Weight, t.home.Units)}
	if !d.Born.IsZero() {
		parts = append(parts, ageText(d.Born, t.event.At))
	}
	if d.Sex != "" || d.Neutered != "" {
		parts = append(parts, sexText(d))
	}
	if d.Activity != "" {
		parts = append(parts, msg("activity-short."+string(d.Activity)))
	}
	if d.Condition > 0 {
		parts = append(parts, msg("dog.condition", "n", d.Condition))
	}
	if d.AdultWeight > 0 && t.growing(d) {
		parts = append(parts, msg("dog.grown", "weight", bodyWeight(d.AdultWeight, t.home.Units)))
	}
	parts = append(parts, msg("dog.meals", "n", mealsOf(*d)))
	if d.Stage != "" {
		parts = append(parts, t.stageText(d))
	}
	if len(d.Excludes) > 0 {
		parts = append(parts, msg("dog.excludes", "foods", list(d.Excludes)))
	}
	s := strings.Join(parts, ", ")
	tr, _ := t.switching(d, t.date())
	if id, _ := planner.RecipeOn(t.home, d.ID, t.date()); tr == nil && t.recipe(id) != nil {
		s += "\n" + msg("dog.eats", "recipe", t.recipeName(id))
	}
	if d.Health != "" {
		s += "\n" + msg("dog.health", "notes", d.Health)
	}
	return s
}

func mealsOf(d planner.Dog) int {
	return len(d.MealTimes())
}

func sexText(d *planner.Dog) string {
	switch {
	case d.Sex == planner.Female && d.Neutered == planner.Yes:
		return msg("sex-short.spayed")
	case d.Sex == planner.Male && d.Neutered == planner.Yes:
		return msg("sex-short.neutered")
	case d.Sex == "":
		return msg("sex-short.fixed")
	}
	return string(d.Sex)
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

// gateText is the caution of a dog for which no plan is made, empty for a
// healthy adult.
func (t *turn) gateText(d planner.Dog, n planner.Need) string { return gateLine(d, n) }

func gateLine(d planner.Dog, n planner.Need) string {
	if n.Gate == "" {
		return ""
	}
	if n.Gate == planner.VeryThinGate || n.Gate == planner.FastingGate {
		return msg("gate."+string(n.Gate), "dog", d.Name, "kcal", kcal(nutrition.RestingEnergy(d.Weight)),
			"low", planner.FewestSmallMeals, "high", planner.MostSmallMeals)
	}
	return msg("gate."+string(n.Gate), "dog", d.Name)
}

// pressDog does what a button about a dog asks.
func (t *turn) pressDog(args []string) {
	if arg(args, 0) == "add" {
		t.parkSame("dog")
		t.startDog(dogDraft{})
		return
	}
	d := t.dog(arg(args, 1))
	if d == nil {
		t.sayMsg("press.gone")
		return
	}
	t.talk.Dog = d.ID
	switch arg(args, 0) {
	case "show":
		t.showDog(d, "")
	case "why":
		t.whyDog(d)
	case "edit":
		t.offerEdit(d)
	case "field":
		t.editDog(d, arg(args, 2))
	case "remove":
		t.askedSure("dog", "really", d.ID)
		t.sayMsg("dog.remove-sure", "dog", d.Name).
			offer(t.button(msg("button.yes-remove"), "dog", "really", d.ID), t.button(msg("button.keep"), "dog", "show", d.ID))
	case "well":
		t.dropHealth(d, arg(args, 2))
	case "really":
		t.removeDog(d)
	case "eats":
		t.eatsAgain(d)
	case "died":
		t.sayDied(d)
	case "rest":
		t.restDog(d)
	default:
		t.sayMsg("press.stale")
	}
}

func (t *turn) offerEdit(d *planner.Dog) {
	r := t.sayMsg("dog.edit-what", "dog", d.Name)
	var row []Button
	for _, s := range dogSteps() {
		if s.once {
			continue
		}
		row = append(row, t.button(msg("field."+s.name), "dog", "field", d.ID, s.name))
		if len(row) == 2 {
			r.offer(row...)
			row = nil
		}
	}
	r.offer(row...)
}

func (t *turn) removeDog(d *planner.Dog) {
	name, id := d.Name, d.ID
	t.mutate("did.dog-removed", name)
	kept := t.home.Dogs[:0]
	for _, other := range t.home.Dogs {
		if other.ID != id {
			kept = append(kept, other)
		}
	}
	t.home.Dogs = kept
	t.happened(&dogRemoved{id})
	if t.talk.Dog == id {
		t.talk.Dog = ""
	}
	if t.talk.Last == id {
		t.talk.Last = ""
	}
	t.sayMsg("dog.removed", "dog", name).offer(t.undoButton())
}

// bareWeight takes a message that is nothing but a weight as a weigh-in.
func (t *turn) bareWeight(s string) bool {
	w, err := read.BodyWeight(s, t.home.Units)
	if err != nil || len(t.home.Dogs) == 0 || strings.Contains(s, "/") {
		return false
	}
	t.weighSome(weighing{weight: w})
	return true
}

// fieldText says which answer about a dog cannot be right.
func fieldText(err error, u planner.Units) string {
	var f *planner.FieldError
	if !errors.As(err, &f) {
		return msg("trouble.internal")
	}
	key := "field-wrong." + f.Field + "." + string(f.Code)
	if !hasMessage(key) {
		key = "field-wrong." + f.Field
	}
	if !hasMessage(key) {
		return msg("field-wrong.other", "field", f.Field)
	}
	low, high := "0.3 kg", "120 kg"
	if u.Pounds {
		low, high = "0.7 lb", "264 lb"
	}
	if f.Field == "weight" {
		return msg(key, "low", low, "high", high)
	}
	return msg(key)
}

package bot

import (
	"slices"
	"strings"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// fed is what a dog eats of a recipe, analysed with all else that is in its
// bowl: the supplements that reminders give it, in the place of the recipe's
// own doses of them, and of a rotation all of its recipes. Treats are left out.
func (t *turn) fed(d *planner.Dog, r *planner.Recipe) (looked, error) {
	l, err := t.given(d, r)
	if err != nil {
		return l, err
	}
	reminded := t.remindedOf(d, "")
	l.mixture.Extras = l.mixture.Extras[:len(l.mixture.Extras)-len(reminded)]
	if rot := planner.RotationOf(t.home, d.ID); rot != nil && slices.ContainsFunc(rot.Turns, func(w planner.Turn) bool { return w.Recipe == r.ID }) {
		if turns := t.turnsOf(d, rot); len(turns) > 0 {
			l.mixture = nutrition.Blend(turns, l.result.Basis.Kcal)
		}
	}
	l.mixture.Extras = append(l.mixture.Extras, reminded...)
	l.result = nutrition.Analyse(l.mixture, l.profile, l.result.Basis)
	return l, nil
}

// given is a recipe by itself, analysed for a dog (nil: for none) with the
// supplements that reminders give the dog, in the place of the recipe's own
// doses of them.
func (t *turn) given(d *planner.Dog, r *planner.Recipe) (looked, error) {
	if d == nil || d.ID == "" {
		return t.look(r, d)
	}
	own := t.lessReminded(d, r)
	l, err := t.look(&own, d)
	if err != nil {
		return l, err
	}
	l.recipe = r
	if reminded := t.remindedOf(d, ""); len(reminded) > 0 {
		l.mixture.Extras = append(l.mixture.Extras, reminded...)
		l.result = nutrition.Analyse(l.mixture, l.profile, l.result.Basis)
	}
	return l, nil
}

// lessReminded is a recipe without the doses that reminders give a dog.
func (t *turn) lessReminded(d *planner.Dog, r *planner.Recipe) planner.Recipe {
	own := *r
	own.Doses = nil
	for _, dose := range r.Doses {
		if dose.Batch || t.supplementOf(d.ID, dose.Food, "") == nil {
			own.Doses = append(own.Doses, dose)
		}
	}
	return own
}

// turnsOf are the recipes of a rotation as a dog eats them.
func (t *turn) turnsOf(d *planner.Dog, rot *planner.Rotation) (turns []nutrition.Turn) {
	for _, w := range rot.Turns {
		if r := t.recipe(w.Recipe); r != nil {
			if m, err := planner.MixtureOf(t.lessReminded(d, r), t.foods, planner.AmountOf(*d, t.event.At).Kcal); err == nil {
				turns = append(turns, nutrition.Turn{Mixture: m, Days: float64(w.Days)})
			}
		}
	}
	return turns
}

// remindedOf is what reminders give a dog a day, on average; but leaves one
// reminder out.
func (t *turn) remindedOf(d *planner.Dog, but string) (extras []nutrition.Extra) {
	if d.ID == "" {
		return nil // described in words: no reminder is for it
	}
	for i := range t.home.Reminders {
		r := &t.home.Reminders[i]
		if r.Kind == planner.SupplementReminder && r.Dose != nil && !r.Off && r.ID != but && (r.Dog == d.ID || r.Dog == "") && !r.Schedule.Once {
			extras = append(extras, t.extrasOf(r.Dose, d, dosesADay(r.Schedule))...)
		}
	}
	return extras
}

// extrasOf is what a dose that a dog gets so many times a day brings it.
func (t *turn) extrasOf(dose *planner.Dose, d *planner.Dog, perDay float64) []nutrition.Extra {
	extras, err := planner.ExtrasOf(*dose, perDay, t.foods, planner.AmountOf(*d, t.event.At).Kcal)
	if err != nil {
		return nil // a food that is there no more
	}
	return extras
}

// overdoseText says which nutrients supplements bring too much of, by a day's
// average over all that a dog eats: by its own table each time, by another once
// a week.
func (t *turn) overdoseText(d *planner.Dog, l looked) string {
	kcalADay := planner.AmountOf(*d, t.event.At).Kcal
	var lines []string
	for _, o := range nutrition.Overdoses(l.mixture, l.profile, kcalADay) {
		if o.Profile != l.profile.ID && !t.cautionNow("over/"+d.ID+"/"+l.recipe.ID+"/"+o.Subject.Name(), d) {
			continue
		}
		lines = append(lines, t.overdoseLine("overdose.", d, o, kcalADay))
	}
	return joinParas(lines...)
}

// overdoseLine says one of them; key begins the message.
func (t *turn) overdoseLine(key string, d *planner.Dog, o nutrition.Overdose, aDay nutrition.Kcal) string {
	kind := "most"
	if o.Kind == nutrition.LegalMax {
		kind = "legal"
	}
	day := float64(aDay) / 1000
	return msg(key+kind, "dog", d.Name, "nutrient", o.Subject.Name(), "day", sig(o.Amount*day), "most", sig(o.Max*day),
		"unit", unitText(o.Subject.Unit()), "table", msg("profile."+o.Profile))
}

// failingKey is the caution that a recipe fails its table in some way.
func failingKey(r *planner.Recipe, code nutrition.FailCode) string {
	return "failing/" + r.ID + "/" + string(code)
}

// failing says in a line in what a recipe fails its dog's table badly, and
// offers to tell what is missing, under its bowl, a day's first meal or a plan:
// once a week until it is mended or waved off, of a puppy each time.
func (t *turn) failing(d *planner.Dog, r *planner.Recipe) string {
	l, err := t.fed(d, r)
	if err != nil {
		return ""
	}
	var due []nutrition.Failing
	for _, f := range nutrition.Failings(l.mixture, &l.result) {
		if t.cautionNow(failingKey(r, f.Code), d) {
			due = append(due, f)
		}
	}
	return failingText(due)
}

// batchText says in what a recipe fails the dogs that are to eat it, and what
// of it is too much for them: each time, because a batch is cooked once and is
// eaten for days.
func (t *turn) batchText(r *planner.Recipe, dogs []*planner.Dog) string {
	var lines []string
	add := func(line string) {
		if line != "" && !slices.Contains(lines, line) {
			lines = append(lines, line)
		}
	}
	for _, d := range dogs {
		if d.ID == "" {
			within := *d
			within.Name = strings.ToLower(d.Name) // "this dog", within a sentence
			d = &within
		}
		if l, err := t.fed(d, r); err == nil {
			add(t.failsText(d, r, failingText(nutrition.Failings(l.mixture, &l.result))))
		}
	}
	if l, err := t.look(r, nil); err == nil && len(dogs) == 0 {
		add(failingText(nutrition.Failings(l.mixture, &l.result)))
	}
	return joinParas(lines...)
}

// failsText is in what a recipe fails a dog and what is too much for it; too
// much calcium comes first: it harms a puppy's bones, and any dog the sooner.
func (t *turn) failsText(d *planner.Dog, r *planner.Recipe, failing string) string {
	much := t.tooMuchText(r, d)
	if l, err := t.fed(d, r); err == nil {
		if row := l.result.Row(nutrition.Subject(nutrition.Calcium)); row != nil && row.Verdict.TooMuch() {
			return joinParas(much, failing)
		}
	}
	return joinParas(failing, much)
}

// cautionNow reports that a caution about a dog is to be said now, and records
// that it is: once a week, of a puppy each time.
func (t *turn) cautionNow(key string, d *planner.Dog) bool {
	puppy := planner.AmountOf(*d, t.event.At).Gate == planner.GrowthGate
	if !t.home.CautionDue(key, planner.Weekly, t.event.At) && !puppy {
		return false
	}
	t.home.SayCaution(key, t.event.At)
	t.changed = true
	return true
}

// failingText is the line of some failures.
func failingText(fails []nutrition.Failing) string {
	var little, parts []string
	for _, f := range fails {
		switch f.Code {
		case nutrition.FailCalcium, nutrition.FailVitaminE:
			little = append(little, msg("failing."+string(f.Code)))
		case nutrition.FailRatio:
			parts = append(parts, msg("failing.calcium-phosphorus", "ratio", sig(f.Value.Mid), "min", sig(f.Min), "max", sig(f.Max)))
		case nutrition.FailMuchLiver:
			parts = append(parts, msg("failing.liver", "share", shareText(f.Value)))
		default:
			parts = append(parts, msg("failing."+string(f.Code)))
		}
	}
	if len(little) > 0 {
		parts = append([]string{msg("failing.little", "what", list(little))}, parts...)
	}
	return strings.Join(parts, " ")
}

// offerMissing puts the buttons of a failing recipe under its bowl.
func (t *turn) offerMissing(out *Reply, d *planner.Dog, r *planner.Recipe, said string) {
	if said == "" {
		return
	}
	row := []Button{t.button(msg("button.missing"), "analysis", "look", r.ID, d.ID)}
	if planner.AmountOf(*d, t.event.At).Gate != planner.GrowthGate {
		row = append(row, t.button(msg("button.wave-off"), "caution", "wave", r.ID, d.ID))
	}
	out.offer(row...)
}

// pressCaution waves off what a recipe fails in now. Of a puppy it cannot be.
func (t *turn) pressCaution(args []string) {
	r, d := t.recipe(arg(args, 1)), t.dog(arg(args, 2))
	if r == nil || d == nil || arg(args, 0) != "wave" {
		t.sayMsg("press.gone")
		return
	}
	l, err := t.fed(d, r)
	if err != nil || planner.AmountOf(*d, t.event.At).Gate == planner.GrowthGate {
		t.sayMsg("press.gone")
		return
	}
	for _, f := range nutrition.Failings(l.mixture, &l.result) {
		t.home.WaveOff(failingKey(r, f.Code), t.event.At)
		t.changed = true
	}
	t.inPlace(t.sayMsg("failing.waved", "recipe", r.Name))
}

package bot

import (
	"cmp"
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
	all := nutrition.Overdoses(l.mixture, l.profile, kcalADay)
	slices.SortStableFunc(all, func(a, b nutrition.Overdose) int { return cmp.Compare(b.Amount/b.Max, a.Amount/a.Max) }) // the gravest first
	for _, o := range all {
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

// stillFailing is a short mark of what a recipe still fails in and was said
// lately, so that a second bowl does not look mended; nothing of what was waved
// off, or where failing says something now.
func (t *turn) stillFailing(d *planner.Dog, r *planner.Recipe, failing string) string {
	l, err := t.fed(d, r)
	if err != nil || failing != "" {
		return failing
	}
	var names []string
	for _, f := range nutrition.Failings(l.mixture, &l.result) {
		if t.home.CautionDue(failingKey(r, f.Code), 0, t.event.At) {
			names = append(names, msg("failing.short-"+string(f.Code)))
		}
	}
	if len(names) == 0 {
		return ""
	}
	return msg("failing.still", "what", list(names))
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

// kelpText is what is to be said of kelp without its label, where as it usually
// is it would bring a dog too much iodine.
func (t *turn) kelpText(d *planner.Dog, m nutrition.Mixture) string {
	aDay := planner.AmountOf(*d, t.event.At).Kcal
	usual := nutrition.UsualIodine(m, aDay)
	key, most := "kelp.caution", float64(nutrition.IodineCaution)
	switch {
	case aDay <= 0 || usual < nutrition.IodineCaution:
		return ""
	case usual >= nutrition.IodineHigh:
		key, most = "kelp.high", nutrition.IodineHigh
	}
	day := float64(aDay) / 1000
	return msg(key, "dog", d.Name, "day", sig(usual*day), "most", sig(most*day))
}

// failsText is in what a recipe fails a dog and what is too much for it. What is
// far too much comes first, and so does calcium: it harms a puppy's bones, and
// any dog the sooner.
func (t *turn) failsText(d *planner.Dog, r *planner.Recipe, failing string) string {
	much := t.tooMuchText(r, d)
	if l, err := t.fed(d, r); err == nil {
		row := l.result.Row(nutrition.Subject(nutrition.Calcium))
		if _, times := t.mostAbove(d, l); times >= wellAbove || row != nil && row.Verdict.TooMuch() {
			return joinParas(much, failing)
		}
	}
	return joinParas(failing, much)
}

// poisonous are the nutrients of which many times the most does harm soon
// (common veterinary practice, from memory); of protein and fat it does not.
var poisonous = map[nutrition.Subject]bool{
	nutrition.Subject(nutrition.Calcium): true, nutrition.Subject(nutrition.Phosphorus): true, nutrition.VitaminA: true,
	nutrition.Subject(nutrition.VitaminD): true, nutrition.Subject(nutrition.Iodine): true, nutrition.Subject(nutrition.Selenium): true,
	nutrition.Subject(nutrition.Copper): true, nutrition.Subject(nutrition.Zinc): true, nutrition.Subject(nutrition.Iron): true,
	nutrition.Subject(nutrition.Sodium): true,
}

// mostAbove is the nutrient that poisons of which a bowl holds, at least, the
// most times what a dog is to have; nil where nothing is above a maximum. What
// only the law limits is not in it.
func (t *turn) mostAbove(d *planner.Dog, l looked) (worst *nutrition.Row, times float64) {
	for i := range l.result.Rows {
		r := &l.result.Rows[i]
		if x := r.Capped.Low / r.Max; r.HasMax() && !r.BoundByLaw() && poisonous[r.Requirement.Subject] && x > max(1, times) {
			worst, times = r, x
		}
	}
	return worst, times
}

// farOver says that no bowl is made of a recipe that brings many times the most
// of something; empty where it does not.
func (t *turn) farOver(d *planner.Dog, r *planner.Recipe) string {
	l, err := t.fed(d, r)
	if err != nil {
		return ""
	}
	row, times := t.mostAbove(d, l)
	if times < farAbove {
		return ""
	}
	f, u := rowUnit(row)
	return msg("failing.no-bowl", "recipe", r.Name, "dog", d.Name, "nutrient", row.Requirement.Subject.Name(), "times", trim(times, 0),
		"amount", sig(row.Capped.Low/f)+u, "max", sig(row.Max/f)+u)
}

// muchWeekly is what of supplements and kelp is too much for a dog, with its
// daily meal: once a week, and each time where it is many times the most.
func (t *turn) muchWeekly(d *planner.Dog, r *planner.Recipe) string {
	far := t.farOver(d, r)
	l, err := t.fed(d, r)
	if err != nil {
		return far
	}
	text := joinParas(t.overdoseText(d, l), t.kelpText(d, l.mixture))
	if text == "" || !t.cautionNow("much/"+d.ID+"/"+r.ID, d) {
		return far
	}
	return joinParas(far, text)
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
	if arg(args, 0) == "pork" {
		t.pressPork(arg(args, 1))
		return
	}
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

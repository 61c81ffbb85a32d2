package balance

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Fed is what a dog eats of a recipe, analysed with all else in its bowl: the
// supplements that reminders give it, in place of the recipe's own doses of
// them, all recipes of its rotation, the food that a topper goes on, and what it
// eats beside until further notice. Treats are left out.
func Fed(t *talk.Turn, d *planner.Dog, r *planner.Recipe) (Looked, error) {
	l, err := given(t, d, r)
	if err != nil {
		return l, err
	}
	reminded := RemindedOf(t, d, "")
	l.Mixture.Extras = l.Mixture.Extras[:len(l.Mixture.Extras)-len(reminded)]
	if rot := planner.RotationOf(t.Home, d.ID); rot != nil && rot.Has(r.ID) {
		if turns := turnsOf(t, d, rot); len(turns) > 0 {
			l.Mixture = nutrition.Blend(turns, l.Result.Basis.Kcal)
		}
	}
	if r.Topper() {
		l.Mixture = planner.OnTop(l.Mixture)
	}
	l.Mixture, _ = withOthers(t, d, r, l.Mixture)
	l.Mixture.Extras = append(l.Mixture.Extras, reminded...)
	l.Result = nutrition.Analyse(l.Mixture, l.Profile, l.Result.Basis)
	return l, nil
}

// given is a recipe by itself, analysed for a dog (nil: for none) with the
// supplements that reminders give the dog, in the place of the recipe's own
// doses of them.
func given(t *talk.Turn, d *planner.Dog, r *planner.Recipe) (Looked, error) {
	if d == nil || d.ID == "" {
		return Look(t, r, d)
	}
	own := lessReminded(t, d, r)
	l, err := Look(t, &own, d)
	if err != nil {
		return l, err
	}
	l.Recipe = r
	if reminded := RemindedOf(t, d, ""); len(reminded) > 0 {
		l.Mixture.Extras = append(l.Mixture.Extras, reminded...)
		l.Result = nutrition.Analyse(l.Mixture, l.Profile, l.Result.Basis)
	}
	return l, nil
}

// byTable is a recipe without what a laboratory measured of it: of other lines
// that would not count.
func byTable(r *planner.Recipe) *planner.Recipe {
	bare := *r
	bare.Lab = planner.Lab{}
	return &bare
}

// byTableText says so.
func byTableText(r *planner.Recipe) string {
	return say.Where(r.LabCounts(), msg("balance.by-table", "recipe", r.Name))
}

// lessReminded is a recipe without the doses that reminders give a dog.
func lessReminded(t *talk.Turn, d *planner.Dog, r *planner.Recipe) planner.Recipe {
	own := *r
	own.Doses = slices.DeleteFunc(slices.Clone(r.Doses), func(dose planner.Dose) bool { return !dose.Batch && SupplementOf(t, d.ID, dose.Food) != nil })
	return own
}

// turnsOf are the recipes of a rotation as a dog eats them.
func turnsOf(t *talk.Turn, d *planner.Dog, rot *planner.Rotation) (turns []nutrition.Turn) {
	for _, w := range rot.Turns {
		if r := t.Recipe(w.Recipe); r != nil {
			if m, err := planner.MixtureOf(lessReminded(t, d, r), t.Foods, planner.AmountOf(*d, t.Event.At).Kcal); err == nil {
				m, _ = AsMade(r, m)
				turns = append(turns, nutrition.Turn{Mixture: m, Days: float64(w.Days)})
			}
		}
	}
	return turns
}

// RemindedOf is what reminders give a dog a day, on average; but leaves one
// reminder out.
func RemindedOf(t *talk.Turn, d *planner.Dog, but string) (extras []nutrition.Extra) {
	if d == nil || d.ID == "" {
		return nil // described in words: no reminder is for it
	}
	for _, r := range t.Home.Reminders {
		if GivesTo(r, d.ID) && r.ID != but && !r.Schedule.Once {
			extras = append(extras, recipes.ExtrasOf(t, r.Dose, d, DosesADay(r.Schedule))...)
		}
	}
	return extras
}

// FoodKcal is how many of a dog's kcal of a day are for its food: what reminders give
// beside counts where it is 2 % of them or more (our own choice: a kitchen scale errs as much).
func FoodKcal(t *talk.Turn, d *planner.Dog, k nutrition.Kcal) nutrition.Kcal {
	var off nutrition.Kcal
	for _, x := range RemindedOf(t, d, "") {
		if x.Nutrient == nutrition.Energy {
			off += nutrition.Kcal(x.PerDay)
		}
	}
	return k - say.Choose(off < k/50, 0, min(off, k*planner.MostLess))
}

// GivesTo reports that a reminder is of a supplement for a dog.
func GivesTo(r planner.Reminder, dog string) bool {
	return r.Kind == planner.SupplementReminder && r.Dose != nil && !r.Off && (r.Dog == dog || r.Dog == "")
}

// overdoseText says which nutrients supplements bring too much of, by a day's
// average over all that a dog eats: by its own table each time, by another in full
// once a week and else in short.
func overdoseText(t *talk.Turn, d *planner.Dog, l Looked) string {
	kcalADay := planner.AmountOf(*d, t.Event.At).Kcal
	var lines, still []string
	all := nutrition.Overdoses(l.Mixture, l.Profile, kcalADay)
	slices.SortStableFunc(all, func(a, b nutrition.Overdose) int { return cmp.Compare(b.Amount/b.Max, a.Amount/a.Max) }) // the gravest first
	for _, o := range all {
		if key := "over/" + d.ID + "/" + l.Recipe.ID + "/" + o.Subject.Name(); o.Profile != l.Profile.ID && !cautionNow(t, key, d) {
			if t.Home.CautionDue(key, 0, t.Event.At) {
				still = append(still, o.Subject.Name())
			}
			continue
		}
		lines = append(lines, OverdoseLine("overdose.", d, o, kcalADay))
	}
	return say.JoinParas(append(lines, say.Where(len(still) > 0, msg("overdose.still", "what", say.List(still))))...)
}

// OverdoseLine says one of them; key begins the message.
func OverdoseLine(key string, d *planner.Dog, o nutrition.Overdose, aDay nutrition.Kcal) string {
	day := float64(aDay) / 1000
	return msg(key+say.Choose(o.Kind == nutrition.LegalMax, "legal", "most"), "dog", d.Name, "nutrient", o.Subject.Name(), "day", say.Sig(o.Amount*day), "most", say.Sig(o.Max*day),
		"unit", say.UnitText(o.Subject.Unit()), "table", msg("profile."+o.Profile))
}

// failingKey is the caution that a recipe fails its table in some way.
func failingKey(r *planner.Recipe, code nutrition.FailCode) string {
	return "failing/" + r.ID + "/" + string(code)
}

// failsOf is where what a dog eats of a recipe, with all else, fails its table badly.
func failsOf(t *talk.Turn, d *planner.Dog, r *planner.Recipe) []nutrition.Failing {
	l, err := Fed(t, d, r)
	if err != nil {
		return nil
	}
	return nutrition.Failings(l.Mixture, &l.Result)
}

// Failing says in a line where a recipe fails its dog's table badly, and offers
// to tell what is missing. It stands under a bowl, a day's first meal or a
// plan: once a week until it is mended or waved off, for a puppy each time.
func Failing(t *talk.Turn, d *planner.Dog, r *planner.Recipe) string {
	var due []nutrition.Failing
	for _, f := range failsOf(t, d, r) {
		if key := failingKey(r, f.Code); t.Home.CautionDue(key, 0, t.Event.At) && cautionNow(t, key+"/"+d.ID, d) {
			due = append(due, f)
		}
	}
	return FailingText(due)
}

// StillFailing is a short mark of what a recipe still fails in and was said of
// late, so that a second bowl does not look mended. It leaves out what was
// waved off, and is empty where Failing says something now.
func StillFailing(t *talk.Turn, d *planner.Dog, r *planner.Recipe, failing string) string {
	if failing != "" {
		return failing
	}
	var names []string
	for _, f := range failsOf(t, d, r) {
		if t.Home.CautionDue(failingKey(r, f.Code), 0, t.Event.At) {
			names = append(names, msg("failing.short-"+string(f.Code)+say.Where(openOf(f), "-open")))
		}
	}
	return say.Where(len(names) > 0, msg("failing.still", "what", say.List(names)))
}

// BatchText says where a recipe fails the dogs that are to eat it, and what in
// it is too much for them. It says so each time, because a batch is cooked once
// and eaten for days.
func BatchText(t *talk.Turn, r *planner.Recipe, of []*planner.Dog) string {
	var lines []string
	add := func(text string) { // what is so for several dogs is said once
		for line := range strings.Lines(text) {
			if line = strings.TrimSpace(line); line != "" && !slices.Contains(lines, line) {
				lines = append(lines, line)
			}
		}
	}
	for _, d := range of {
		if d.ID == "" {
			within := *d
			within.Name = strings.ToLower(d.Name) // "this dog", within a sentence
			d = &within
		}
		add(FailsText(t, d, r, FailingText(failsOf(t, d, r))))
		add(KeptText(t, d, r))
	}
	if len(of) == 0 {
		add(FailingText(FailingsOf(t, r, nil)))
	}
	all := strings.Join(lines, "\n")
	lines = slices.DeleteFunc(lines, func(line string) bool { return strings.Count(all, line) > 1 }) // within another
	return say.JoinParas(lines...)
}

// KelpText is what to say of kelp without its label, where usual kelp would
// bring a dog too much iodine.
func KelpText(t *talk.Turn, d *planner.Dog, m nutrition.Mixture) string {
	aDay := planner.AmountOf(*d, t.Event.At).Kcal
	usual := nutrition.UsualIodine(m, aDay)
	key, most := "kelp.caution", float64(nutrition.IodineCaution)
	switch {
	case aDay <= 0 || usual < nutrition.IodineCaution:
		return ""
	case usual >= nutrition.IodineHigh:
		key, most = "kelp.high", nutrition.IodineHigh
	}
	day := float64(aDay) / 1000
	return msg(key, "dog", d.Name, "day", say.Sig(usual*day), "most", say.Sig(most*day))
}

// FailsText is where a recipe fails a dog and what is too much for it. What is
// far too much comes first, and so does calcium, which harms a puppy's bones,
// and does harm soonest in any dog.
func FailsText(t *talk.Turn, d *planner.Dog, r *planner.Recipe, failing string) string {
	much := TooMuchText(t, r, d)
	if l, err := Fed(t, d, r); err == nil {
		if planner.Growing(*d, t.Event.At) && failsByCalcium(l) {
			failing = say.JoinParas(failing, msg("failing.puppy"))
		}
		row := l.Result.Row(nutrition.Subject(nutrition.Calcium))
		if _, times := mostAbove(l); times >= recipes.WellAbove || row != nil && row.Verdict.TooMuch() {
			return say.JoinParas(much, failing)
		}
	}
	return say.JoinParas(failing, much)
}

// poisonous are the nutrients of which many times the maximum does harm soon
// (common veterinary practice, from memory); protein and fat are not among
// them.
var poisonous = map[nutrition.Subject]bool{
	nutrition.Subject(nutrition.Calcium): true, nutrition.Subject(nutrition.Phosphorus): true, nutrition.VitaminA: true,
	nutrition.Subject(nutrition.VitaminD): true, nutrition.Subject(nutrition.Iodine): true, nutrition.Subject(nutrition.Selenium): true,
	nutrition.Subject(nutrition.Copper): true, nutrition.Subject(nutrition.Zinc): true, nutrition.Subject(nutrition.Iron): true,
	nutrition.Subject(nutrition.Sodium): true,
}

// mostAbove is the nutrient that poisons of which a bowl holds, at least, the
// most times what a dog is to have; nil where nothing is above a maximum. What
// only the law limits is not in it.
func mostAbove(l Looked) (worst *nutrition.Row, times float64) {
	for i := range l.Result.Rows {
		r := &l.Result.Rows[i]
		if x := r.Capped.Low / r.Max; r.HasMax() && !r.BoundByLaw() && poisonous[r.Requirement.Subject] && x > max(1, times) {
			worst, times = r, x
		}
	}
	return worst, times
}

// FarOver says that no bowl is made of a recipe that brings many times the
// maximum of something; empty where it does not. For what salt and supplements
// bring the dog's own table need not have a maximum.
func FarOver(t *talk.Turn, d *planner.Dog, r *planner.Recipe) string {
	l, err := Fed(t, d, r)
	if err != nil {
		return ""
	}
	over := func(s nutrition.Subject, times string, amount, most float64, unit string) string {
		return msg("failing.no-bowl", "recipe", r.Name, "dog", d.Name, "nutrient", s.Name(), "times", times, "amount", say.Sig(amount)+unit, "max", say.Sig(most)+unit)
	}
	if row, times := mostAbove(l); times >= recipes.FarAbove {
		f, u := rowUnit(row)
		return over(row.Requirement.Subject, say.Trim(times, 0), row.Capped.Low/f, row.Max/f, u)
	}
	aDay := planner.AmountOf(*d, t.Event.At).Kcal
	day := float64(aDay) / 1000
	for _, o := range nutrition.Overdoses(l.Mixture, l.Profile, aDay) {
		if o.Kind != nutrition.LegalMax && o.Amount >= recipes.FarOf(o.Subject)*o.Max {
			f, u := say.DisplayUnit(o.Max*day, o.Subject.Unit())
			return over(o.Subject, say.Trim(o.Amount/o.Max, 1), o.Amount*day/f, o.Max*day/f, u)
		}
	}
	return ""
}

// MuchWeekly is what of supplements and kelp is too much for a dog, with its
// daily meal: once a week, and each time where it is many times the most.
func MuchWeekly(t *talk.Turn, d *planner.Dog, r *planner.Recipe) string {
	far := FarOver(t, d, r)
	l, err := Fed(t, d, r)
	if err != nil {
		return far
	}
	text := say.JoinParas(overdoseText(t, d, l), KelpText(t, d, l.Mixture))
	if text == "" || !cautionNow(t, "much/"+d.ID+"/"+r.ID, d) {
		return far
	}
	return say.JoinParas(far, text)
}

// cautionNow reports that a caution about a dog is to be said now, and records
// that it is: once a week, of a puppy each time.
func cautionNow(t *talk.Turn, key string, d *planner.Dog) bool {
	puppy := planner.AmountOf(*d, t.Event.At).Gate == planner.GrowthGate
	if !t.Home.CautionDue(key, planner.Weekly, t.Event.At) && !puppy {
		return false
	}
	t.Home.SayCaution(key, t.Event.At)
	t.Changed = true
	return true
}

// FailingText is the line of some failures.
func FailingText(fails []nutrition.Failing) string {
	var little, parts []string
	for _, f := range fails {
		part := msg("failing."+string(f.Code)+say.Where(openOf(f), "-open"), "share", shareText(f.Value), "ratio", say.Sig(f.Value.Mid), "min", say.Sig(f.Min), "max", say.Sig(f.Max))
		if ofLittle := f.Code == nutrition.FailCalcium || f.Code == nutrition.FailVitaminE || f.Code == nutrition.FailVitaminD; ofLittle && !openOf(f) {
			little = append(little, part)
		} else {
			parts = append(parts, part)
		}
	}
	if len(little) > 0 {
		parts = append([]string{msg("failing.little", "what", say.List(little))}, parts...)
	}
	return strings.Join(parts, " ")
}

// openOf reports that a failure is of a vitamin that is not known of all of a mixture:
// the analysis does not call it low.
func openOf(f nutrition.Failing) bool {
	return (f.Code == nutrition.FailVitaminD || f.Code == nutrition.FailVitaminE) && !f.Value.Complete
}

// OfferMissing puts the buttons of a failing recipe under its bowl.
func OfferMissing(t *talk.Turn, out *say.Reply, d *planner.Dog, r *planner.Recipe, said string) {
	if said == "" {
		return
	}
	row := []say.Button{t.Button(msg("button.missing"), "analysis", "look", r.ID, d.ID)}
	if planner.AmountOf(*d, t.Event.At).Gate != planner.GrowthGate {
		row = append(row, t.Button(msg("button.wave-off"), "caution", "wave", r.ID, d.ID))
	}
	out.Offer(row...)
}

// pressCaution waves off what a recipe fails in now. Of a puppy it cannot be.
func pressCaution(t *talk.Turn, args []string) {
	if talk.Arg(args, 0) == "pork" {
		pressPork(t, talk.Arg(args, 1))
		return
	}
	r, d := t.Recipe(talk.Arg(args, 1)), t.Dog(talk.Arg(args, 2))
	if talk.Gone(t, r == nil || d == nil || talk.Arg(args, 0) != "wave" || planner.AmountOf(*d, t.Event.At).Gate == planner.GrowthGate) {
		return
	}
	for _, f := range failsOf(t, d, r) {
		t.Home.WaveOff(failingKey(r, f.Code), t.Event.At)
		t.Changed = true
	}
	t.InPlace(t.SayMsg("failing.waved", "recipe", r.Name))
}

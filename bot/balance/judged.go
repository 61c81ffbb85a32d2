package balance

import (
	"math"
	"slices"

	"bowlwright/bot/dogs"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// TooMuchText says what of a recipe is too much for the dog that is to eat it:
// nutrients above their maximum, salt. It stands with the bowl, because
// that is what gets fed.
func TooMuchText(t *talk.Turn, r *planner.Recipe, d *planner.Dog) string {
	l, err := Fed(t, d, r)
	if err != nil {
		return ""
	}
	lines := []string{overdoseText(t, d, l), KelpText(t, d, l.Mixture), copperText(t, d, r)}
	open := recipes.OpenTotal(t, l.Mixture)
	lines = append(lines, say.Where(open != "" && cautionNow(t, "open-total/"+d.ID+"/"+r.ID, d), open))
	said := map[nutrition.Subject]bool{}
	for _, o := range nutrition.Overdoses(l.Mixture, l.Profile, planner.AmountOf(*d, t.Event.At).Kcal) {
		said[o.Subject] = true
	}
	for i := range l.Result.Rows {
		row := &l.Result.Rows[i]
		if !row.Verdict.TooMuch() || said[row.Requirement.Subject] || row.Requirement.Kind == nutrition.VetMax { // KeptText has that
			continue
		}
		if line := FindingText(l, row); row.Requirement.Subject == nutrition.Subject(nutrition.Calcium) {
			lines = append([]string{line}, lines...) // the gravest
		} else {
			lines = append(lines, line)
		}
	}
	salt := say.LinesOf(nutrition.Cautions(l.Mixture.Items, nutrition.CautionContext{Analysis: &l.Result}), func(c nutrition.Caution) string {
		return say.Where(c.Code == nutrition.SaltCaution, recipes.CautionText(c, t.Foods))
	})
	return say.JoinParas(append(lines, salt)...)
}

// RiskText is what a recipe must not be fed raw and, once a week for each recipe,
// what people may catch from it: from raw organs of sheep, goat and game and,
// where somebody frail is at home, from raw meat. A small dog's bowl with
// bone says each time which.
func RiskText(t *talk.Turn, d *planner.Dog, r *planner.Recipe) string {
	text := recipes.CookText(t, r.Ingredients)
	l, err := Look(t, r, nil)
	if err != nil {
		return text
	}
	for _, c := range nutrition.Cautions(l.Mixture.Items, nutrition.CautionContext{AtRisk: t.Home.AtRisk, Weight: d.Weight}) {
		switch {
		case c.Code == nutrition.SmallDogBoneCaution:
			text = say.JoinParas(text, recipes.CautionText(c, t.Foods))
		case c.Code == nutrition.HomeAtRiskCaution && cautionNow(t, "risk/"+r.ID, d):
			text = say.JoinParas(text, msg("caution.home-at-risk"))
		case c.Code == nutrition.RawOffalCaution && cautionNow(t, "offal/"+r.ID, d):
			text = say.JoinParas(text, recipes.CautionText(c, t.Foods))
		}
	}
	return text
}

// KeptText says of a recipe what its dog must not have, and what its vet has it keep to.
func KeptText(t *talk.Turn, d *planner.Dog, r *planner.Recipe) string {
	text := dogs.ExcludedText(t, d, *r)
	if l, err := Fed(t, d, r); err == nil && len(d.Limits) > 0 {
		text = say.JoinParas(text, vetLimits(l))
	}
	return text
}

// copperText says that a dog of a breed that is inclined to store copper should
// get another liver than that of a recipe: once a week.
func copperText(t *talk.Turn, d *planner.Dog, r *planner.Recipe) string {
	livers := dogs.FoodsIn(t, r.Ingredients, nutrition.CopperLiver)
	return say.Where(d.StoresCopper && len(livers) > 0 && cautionNow(t, "copper/"+d.ID+"/"+r.ID, d), msg("copper.breed", "dog", d.Name, "livers", say.List(livers)))
}

// otherTablesText says of what supplements and salt bring more than any table
// allows where the dog's own has no maximum of it and the findings say nothing
// of that, so that a recipe with none that is high does not look safe.
func otherTablesText(t *talk.Turn, l Looked) string {
	if l.Dog == nil {
		return ""
	}
	var lines []string
	aDay := planner.AmountOf(*l.Dog, t.Event.At).Kcal
	for _, o := range nutrition.Overdoses(l.Mixture, l.Profile, aDay) {
		if row := l.Result.Row(o.Subject); o.Kind != nutrition.LegalMax && o.Profile != l.Profile.ID && (row == nil || !overElsewhere(l, row)) {
			lines = append(lines, OverdoseLine("overdose.", l.Dog, o, aDay))
		}
	}
	return say.JoinParas(append(lines, KelpText(t, l.Dog, l.Mixture))...)
}

// byItself says that a recipe of a dog's rotation was judged without the others.
func byItself(t *talk.Turn, d *planner.Dog, r *planner.Recipe) string {
	rot := planner.RotationOf(t.Home, d.ID)
	return say.Where(rot != nil && len(rot.Turns) > 1 && rot.Has(r.ID), msg("analysis.by-itself", "recipe", r.Name))
}

// SupplementOf is the reminder of a food for a dog, nil where there is none.
func SupplementOf(t *talk.Turn, dog, food string) *planner.Reminder {
	return planner.FirstOf(t.Home.Reminders, func(r *planner.Reminder) bool { return GivesTo(*r, dog) && r.Dose.Food == food })
}

// DosesADay is how many doses a series gives on a day on average.
func DosesADay(s planner.Schedule) float64 {
	n := float64(len(s.Times))
	if s.MonthDay > 0 {
		return n * 12 / 365.25 / float64(max(1, s.Months))
	}
	return n * planner.Cadence{EveryDays: s.EveryDays, Weekdays: s.Weekdays}.PerDay()
}

// porkAsked marks that a household was asked whether its country is free of
// Aujeszky's disease. There is no list of such countries here: which they are
// changes, and a vet knows.
const porkAsked = "pork-asked"

// AskPork asks, once, under the first recipe or bowl with raw pork, whether the
// country is free of the disease. Until then, and after "cook it", it says to
// cook it; for wild boar it always does.
func AskPork(t *talk.Turn, out *say.Reply, r *planner.Recipe) {
	l, err := Look(t, r, nil)
	if err != nil {
		return
	}
	of := func(code nutrition.CautionCode) bool {
		return slices.ContainsFunc(nutrition.Cautions(l.Mixture.Items, nutrition.CautionContext{}), func(c nutrition.Caution) bool { return c.Code == code })
	}
	if of(nutrition.RawBoarCaution) {
		out.Add(msg("pork.boar"))
	}
	switch {
	case !of(nutrition.RawPorkCaution) || t.Home.PorkFree:
	case !talk.TellOnce(t, porkAsked):
		out.Add(msg("pork.cook"))
	default:
		out.Add(msg("pork.ask"))
		out.Offer(t.Button(msg("button.pork-free"), "caution", "pork", "free"), t.Button(msg("button.pork-cook"), "caution", "pork", "cook"))
	}
}

// pressPork takes the answer.
func pressPork(t *talk.Turn, answer string) {
	t.Mutate("did.risk", "")
	talk.TellOnce(t, porkAsked)
	t.Home.PorkFree = answer == "free"
	t.SayMsg(say.Choose(t.Home.PorkFree, "pork.is-free", "pork.cook")).Offer(t.UndoButton())
}

// ReplacedWeekly is DoseReplaced under a bowl: once a week.
func ReplacedWeekly(t *talk.Turn, d *planner.Dog, dose planner.Dose) string {
	text := DoseReplaced(t, d, dose)
	return say.Where(text != "" && cautionNow(t, "replaced/"+d.ID+"/"+dose.Food, d), text)
}

// DoseReplaced says so of one dose; it is empty where the dose counts, or the
// reminder gives as much.
func DoseReplaced(t *talk.Turn, d *planner.Dog, dose planner.Dose) string {
	if dose.Batch || d == nil || d.ID == "" {
		return ""
	}
	rem := SupplementOf(t, d.ID, dose.Food)
	if rem == nil {
		return ""
	}
	const same = 0.01 // the part by which two doses may differ and be one; our own choice
	own, given := recipes.ExtrasOf(t, &dose, d, dose.Cadence.PerDay()), recipes.ExtrasOf(t, rem.Dose, d, DosesADay(rem.Schedule))
	differs := len(own) != len(given)
	for i := range min(len(own), len(given)) {
		differs = differs || math.Abs(own[i].PerDay-given[i].PerDay) > same*own[i].PerDay
	}
	if !differs {
		return ""
	}
	return msg("dose.replaced", "food", say.Capital(t.FoodName(dose.Food)), "own", recipes.DoseText(t, dose), "given", talk.DoseAmount(t, talk.DoseOf(t, rem)))
}

// muchMore says that a recipe has too much liver or bone, whoever is to eat it, where
// the change that has just been made brought more of it.
func muchMore(t *talk.Turn, r *planner.Recipe) string {
	before := t.Before.Recipe(r.ID)
	if before == nil {
		return ""
	}
	was := FailingsOf(t, before, nil)
	return FailingText(slices.DeleteFunc(FailingsOf(t, r, nil), func(f nutrition.Failing) bool {
		return f.Code != nutrition.FailMuchLiver && f.Code != nutrition.FailMuchBone ||
			slices.ContainsFunc(was, func(w nutrition.Failing) bool { return w.Code == f.Code && w.Value.Mid >= f.Value.Mid })
	}))
}

// FailingsOf is where a recipe by itself fails a dog (nil: none) badly.
func FailingsOf(t *talk.Turn, r *planner.Recipe, d *planner.Dog) []nutrition.Failing {
	l, err := Look(t, r, d)
	if err != nil {
		return nil
	}
	return nutrition.Failings(l.Mixture, &l.Result)
}

// withOthers is a recipe together with what a dog eats beside it until further
// notice, each by its share of the day's kcal. What the label of a food does not
// say is not known of the whole. It returns the other foods too; none where the
// dog has none, or does not eat the recipe.
func withOthers(t *talk.Turn, d *planner.Dog, r *planner.Recipe, m nutrition.Mixture) (nutrition.Mixture, []planner.Fare) {
	if d == nil || len(planner.OthersOn(t.Home, d.ID, t.Date())) == 0 {
		return m, nil
	}
	fare := planner.LastingFare(t.Home, d.ID, t.Date())
	is := func(f planner.Fare) bool { return f.Recipe.ID == r.ID }
	at := slices.IndexFunc(fare, is)
	if rot := planner.RotationOf(t.Home, d.ID); at < 0 && rot != nil && rot.Has(r.ID) { // it has the place of today's
		at = slices.IndexFunc(fare, func(f planner.Fare) bool { return f.Recipe.ID != "" && rot.Has(f.Recipe.ID) })
	}
	if at < 0 || len(fare) < 2 {
		return m, nil
	}
	extras := m.Extras // given for all of the day, whatever its share
	m.Extras = nil
	turns := []nutrition.Turn{{Mixture: m, Days: fare[at].Share()}}
	others := slices.Delete(slices.Clone(fare), at, at+1)
	for _, f := range others {
		of, err := planner.MixtureOf(f.Recipe, t.Foods, planner.AmountOf(*d, t.Event.At).Kcal*nutrition.Kcal(f.Share()))
		if err != nil || f.Per100 > 0 {
			continue
		}
		extras = append(slices.Clip(extras), of.Extras...)
		of.Extras = nil
		turns = append(turns, nutrition.Turn{Mixture: of, Days: f.Share()})
	}
	m = nutrition.Blend(turns, planner.AmountOf(*d, t.Event.At).Kcal)
	m.Extras = extras
	return m, others
}

// judged is a recipe analysed for a dog with what reminders give it and what it
// eats beside, and those other foods.
func judged(t *talk.Turn, d *planner.Dog, r *planner.Recipe) (Looked, []planner.Fare, error) {
	l, err := given(t, d, r)
	if err != nil {
		return l, nil, err
	}
	whole, others := withOthers(t, d, r, l.Mixture)
	if len(others) > 0 {
		named := *r
		named.Name = talk.FareNames(append([]planner.Fare{{Recipe: *r}}, others...))
		l.Recipe, l.Mixture = &named, whole
		l.Result = nutrition.Analyse(l.Mixture, l.Profile, l.Result.Basis)
	}
	return l, others, nil
}

// togetherWith says that a recipe was judged with what a dog eats beside it.
func togetherWith(d *planner.Dog, r *planner.Recipe, others []planner.Fare) string {
	if len(others) == 0 {
		return ""
	}
	parts := say.ListOf(others, func(f planner.Fare) string {
		return msg("analysis.other", "food", f.Recipe.Name, "share", say.Percent(f.Share()))
	})
	return msg("analysis.together", "recipe", r.Name, "others", parts, "dog", d.Name)
}

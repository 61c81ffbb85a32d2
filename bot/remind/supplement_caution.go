package remind

import (
	"cmp"
	"slices"

	"bowlwright/bot/balance"
	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// giveCautions are what must be said about a supplement for its dog: what the
// dog must not have, an amount above a maximum, a dog that a vet plans for.
func giveCautions(t *talk.Turn, r *planner.Reminder) string {
	d := t.Dog(r.Dog)
	if r.Kind == planner.NoteReminder {
		return say.Where(givesOther(t, r), cmp.Or(poisonText(t, r), msg("remind.medicine")))
	}
	if r.Kind != planner.SupplementReminder || r.Dose == nil || d == nil {
		return ""
	}
	var lines []string
	if f := t.Foods.Food(r.Dose.Food); f != nil && nutrition.Excluded(f, d.Excludes) {
		lines = append(lines, msg("supplement.excluded", "dog", d.Name, "food", f.Name))
	}
	lines = append(lines, mineralByVet(t, r, d), aboveMaximum(t, r, d), recipes.NoStrength(t, r.Dose), openTotal(t, r, d))
	if id, ok := planner.RecipeOn(t.Home, d.ID, t.Date()); ok && t.Recipe(id) != nil {
		for _, own := range t.Recipe(id).Doses {
			if own.Food == r.Dose.Food {
				lines = append(lines, balance.DoseReplaced(t, d, own))
			}
		}
	}
	if planner.AmountOf(*d, t.Event.At).Gate != "" {
		lines = append(lines, msg("supplement.gated", "dog", d.Name))
	}
	return say.JoinParas(lines...)
}

// openTotal says where a dose, with all else that its dog gets, comes to a total
// that nobody knows.
func openTotal(t *talk.Turn, r *planner.Reminder, d *planner.Dog) string {
	brings := recipes.ExtrasOf(t, r.Dose, d, balance.DosesADay(r.Schedule))
	if !slices.ContainsFunc(brings, func(x nutrition.Extra) bool {
		return (x.Nutrient == nutrition.VitaminD || x.Nutrient == nutrition.Retinoids) && (x.PerDay > 0 || x.NotKnown)
	}) {
		return ""
	}
	m := besides(t, d, r)
	m.Extras = append(m.Extras, brings...)
	return recipes.OpenTotal(t, m)
}

// givesOther reports that a note is of something to be given that is no food.
func givesOther(t *talk.Turn, r *planner.Reminder) bool {
	said, err := read.ReminderText(r.Text, t.Names(), t.Event.At)
	return err == nil && (said.About == read.Giving || givesMedicine(said)) && t.Foods.Find(said.Thing).Food == nil
}

// poisonText warns where a note is of giving what poisons dogs.
func poisonText(t *talk.Turn, r *planner.Reminder) string {
	d := alarm.DangerIn(r.Text)
	if d == nil || !givesOther(t, r) {
		return ""
	}
	return msg(say.Choose(read.Says("by-vet", t.AsTyped()), "remind.poison-vet", "remind.poison"), "what", say.Capital(d.Name))
}

// aboveMaximum says where a supplement, with all else that its dog eats, is
// above what some table allows: by the day on average and, where it is not given
// daily, on the day of the dose. A supplement in which nothing is too much is
// still asked about where it brings ten times what the dog needs at least.
func aboveMaximum(t *talk.Turn, r *planner.Reminder, d *planner.Dog) string {
	if kcal, profile := needsOf(t, d); kcal <= 0 || profile == nil {
		return ""
	}
	said := map[nutrition.Subject]bool{}
	perDay := balance.DosesADay(r.Schedule)
	if r.Schedule.Once {
		perDay = 0
	}
	lines := overdoses(t, r, d, "overdose.", perDay, said)
	if perDay < 1 {
		lines = append(lines, overdoses(t, r, d, "overdose.dose-", 1, said)...)
	}
	if f := t.Foods.Food(r.Dose.Food); f != nil && f.Has(nutrition.LiverOil) {
		lines = append(lines, msg("supplement.liver-oil", "food", f.Name))
	}
	if f := t.Foods.Food(r.Dose.Food); f != nil && f.Has(nutrition.Seaweed) {
		all := besides(t, d, r)
		all.Extras = append(all.Extras, recipes.ExtrasOf(t, r.Dose, d, perDay)...)
		lines = append(lines, cmp.Or(balance.KelpText(t, d, all), msg("caution.seaweed-iodine")))
	}
	return say.JoinParas(append(lines, tenTimes(t, r, d))...)
}

// needsOf are a dog's kcal a day, and the table by which its food is judged.
func needsOf(t *talk.Turn, d *planner.Dog) (nutrition.Kcal, *nutrition.Profile) {
	return planner.AmountOf(*d, t.Event.At).Kcal, planner.RequirementsFor(*d, t.Event.At, t.Home.Profile)
}

// overdoses says, by messages that begin with a key, of what so many doses a day with all
// else that a dog eats bring more than some table allows, but for what was said before.
func overdoses(t *talk.Turn, r *planner.Reminder, d *planner.Dog, key string, perDay float64, but map[nutrition.Subject]bool) (lines []string) {
	kcal, profile := needsOf(t, d)
	brings := recipes.ExtrasOf(t, r.Dose, d, perDay)
	m := besides(t, d, r)
	m.Extras = append(m.Extras, brings...)
	for _, o := range nutrition.Overdoses(m, profile, kcal) {
		if broughtBy(o.Subject, brings) && !but[o.Subject] {
			but[o.Subject] = true
			lines = append(lines, balance.OverdoseLine(key, d, o, kcal))
		}
	}
	return lines
}

// eatenNow is what a dog eats by the recipe of today.
func eatenNow(t *talk.Turn, d *planner.Dog) (l balance.Looked, ok bool) {
	id, _ := planner.RecipeOn(t.Home, d.ID, t.Date())
	r := t.Recipe(id)
	if r == nil {
		return l, false
	}
	l, err := balance.Fed(t, d, r)
	return l, err == nil
}

// broughtBy reports that a dose brings some of what counts toward a maximum.
func broughtBy(s nutrition.Subject, extras []nutrition.Extra) bool {
	for _, term := range s.MaxTerms() {
		for _, x := range extras {
			if x.Nutrient == term.Nutrient && x.PerDay > 0 {
				return true
			}
		}
	}
	return false
}

// mixedUp are the nutrients whose units are often mistaken: IU for micrograms,
// micrograms for milligrams.
var mixedUp = map[nutrition.Nutrient]string{
	nutrition.Retinoids: "iu", nutrition.VitaminD: "iu",
	nutrition.Magnesium: "label", nutrition.VitaminE: "label",
	nutrition.Iodine: "ug", nutrition.Selenium: "ug", nutrition.Copper: "ug", nutrition.Manganese: "ug", nutrition.Zinc: "ug", nutrition.Iron: "ug",
}

// vitaminETimes is how many times its need of vitamin E, of which no table has a
// maximum, is asked about: capsules made for people are many times it (our own
// choice).
const vitaminETimes = 200

// tenTimes asks whether units were mixed up where one dose brings ten times what
// the dog needs in a day.
func tenTimes(t *talk.Turn, r *planner.Reminder, d *planner.Dog) string {
	kcalADay, profile := needsOf(t, d)
	if kcalADay <= 0 || profile == nil {
		return ""
	}
	for _, x := range recipes.ExtrasOf(t, r.Dose, d, 1) {
		kind, ok := mixedUp[x.Nutrient]
		subject := nutrition.Subject(x.Nutrient)
		if x.Nutrient == nutrition.Retinoids {
			subject = nutrition.VitaminA
		}
		limit, has := profile.Requirement(subject)
		if !ok || !has || !limit.HasMin() || limit.Min <= 0 {
			continue
		}
		most := 10.0
		if x.Nutrient == nutrition.VitaminE {
			most = vitaminETimes
		}
		if times := x.PerDay / (limit.Min * float64(kcalADay) / 1000); times >= most {
			return msg("supplement.ten-"+kind, "times", say.Trim(times, 0), "nutrient", x.Nutrient.Name(), "dog", d.Name)
		}
	}
	return ""
}

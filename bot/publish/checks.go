package publish

import (
	"slices"
	"strings"

	"bowlwright/bot/balance"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// stockUp makes the foods at hand those of the household and of a version, by
// what tables and labels say: what is published is the same to all.
func stockUp(t *talk.Turn, v *planner.PublishedVersion) {
	t.Foods = t.Base.With(slices.Concat(t.Home.Foods, v.Foods))
}

// shelve makes the foods at hand others of the household's, with what
// laboratories measured for it: bowls are worked out by these.
func shelve(t *talk.Turn, foods []nutrition.Food) {
	t.Foods = planner.Shelf(&planner.Household{Foods: foods, Labs: t.Home.Labs}, t.Base)
}

// look analyses a version against its table: a plan over its whole round.
func look(t *talk.Turn, v *planner.PublishedVersion, title string) (l balance.Looked, trouble string) {
	stockUp(t, v)
	if len(v.Turns) > 0 {
		title = msg("plan.it")
	}
	l.Recipe, l.Profile = &planner.Recipe{Name: title}, nutrition.ProfileByID(v.Profile)
	if l.Profile == nil {
		l.Profile = nutrition.ProfileByID("aafco-adult")
	}
	var turns []nutrition.Turn
	for i := range v.Recipes {
		m, err := planner.MixtureOf(withDoses(v, i), t.Foods, 0)
		if err != nil {
			return l, recipes.RecipeTrouble(v.Recipes[i].Name, err)
		}
		m, heat := balance.AsMade(&v.Recipes[i], m)
		l.Heated = l.Heated || heat
		if i == 0 {
			l.Mixture = m
		}
		for _, w := range v.Turns {
			if w.Recipe == v.Recipes[i].ID {
				turns = append(turns, nutrition.Turn{Mixture: m, Days: float64(w.Days)})
			}
		}
	}
	if len(turns) > 0 {
		l.Mixture = nutrition.Blend(turns, 0)
	}
	if isTopper(v) { // what it brings too much of is judged by the whole of a day
		l.Mixture = planner.OnTop(l.Mixture)
	}
	l.Result = nutrition.Analyse(l.Mixture, l.Profile, nutrition.Basis{})
	return l, ""
}

// withDoses is a recipe of a version with what is given beside it.
func withDoses(v *planner.PublishedVersion, i int) planner.Recipe {
	r := v.Recipes[i]
	r.Doses = slices.Concat(r.Doses, v.Doses)
	return r
}

// refusals are the reasons not to publish a version; none where it may be.
func refusals(t *talk.Turn, v *planner.PublishedVersion, title string) (why []string) {
	stockUp(t, v)
	for i := range v.Recipes {
		why = append(why, recipeRefusals(t, &v.Recipes[i])...)
	}
	if len(why) > 0 {
		return why
	}
	why = tooMuch(t, v, title)
	if len(v.Turns) == 0 {
		return why
	}
	for i := range v.Recipes { // a day of too much is not made good by the days after it
		one := *v
		one.Turns, one.Recipes = nil, []planner.Recipe{v.Recipes[i]}
		for _, s := range tooMuch(t, &one, v.Recipes[i].Name) {
			why = append(why, msg("publish.of-recipe", "recipe", v.Recipes[i].Name, "why", s))
		}
	}
	return why
}

// tooMuch says what a version brings more of than its table allows.
func tooMuch(t *talk.Turn, v *planner.PublishedVersion, title string) (why []string) {
	l, trouble := look(t, v, title)
	if trouble != "" {
		return []string{trouble}
	}
	for i := range l.Result.Rows {
		if row := &l.Result.Rows[i]; row.Verdict.TooMuch() {
			why = append(why, balance.FindingText(l, row))
		}
	}
	for _, o := range nutrition.Overdoses(l.Mixture, l.Profile, 0) {
		row := l.Result.Row(o.Subject)
		if o.Kind != nutrition.LegalMax && (row == nil || !row.Verdict.TooMuch()) {
			why = append(why, msg("publish.too-much", "name", o.Subject.Name(), "profile", msg("profile."+o.Profile)))
		}
	}
	return why
}

// recipeRefusals are those of one recipe's lines and texts.
func recipeRefusals(t *talk.Turn, r *planner.Recipe) (why []string) {
	if len(r.Ingredients) == 0 {
		return []string{msg("publish.empty", "recipe", r.Name)}
	}
	text := []string{r.Name, r.Method}
	for _, n := range r.Notes {
		text = append(text, n.Text)
	}
	for _, in := range r.Ingredients {
		f := t.Foods.Food(in.Food)
		if f == nil || in.Grams <= 0 {
			return []string{msg("publish.not-understood", "recipe", r.Name)}
		}
		if no := nutrition.FindRefusal(f.Name); f.Kind == nutrition.OwnKind && no != nil {
			why = append(why, msg("publish.refused", "food", f.Name, "reason", msg("refuse."+no.Key)))
		}
	}
	for _, c := range nutrition.Cautions(recipes.ItemsOf(t, r.Ingredients), nutrition.CautionContext{}) {
		if c.Code == nutrition.RawBoarCaution {
			why = append(why, msg("publish.boar"))
		}
	}
	if read.SaysCooking(r.Name+"\n"+r.Method) && recipes.AnyBone(t, r.Ingredients) {
		why = append(why, msg("publish.cooked-bone"))
	}
	for _, s := range text {
		if wrong := textTrouble(Text(s), MostText); wrong != "" {
			why = append(why, wrong)
		}
	}
	return why
}

// underHalf names the nutrients of which a version has surely less than half of
// the minimum; the half is what the project set.
func underHalf(l balance.Looked) (names []string) {
	for i := range l.Result.Rows {
		row := &l.Result.Rows[i]
		if row.HasMin() && row.Verdict.TooLittle() && row.Value.Complete && row.Value.Mid < row.Min/2 {
			names = append(names, row.Requirement.Subject.Name())
		}
	}
	return names
}

// heatText says what heat leaves of a version that is cooked.
func heatText(t *talk.Turn, v *planner.PublishedVersion, title string) string {
	l, trouble := look(t, v, title)
	return say.Where(trouble == "" && !isTopper(v), balance.HeatText(l))
}

// isTopper reports that a version goes on top of other food.
func isTopper(v *planner.PublishedVersion) bool {
	return slices.ContainsFunc(v.Recipes, func(r planner.Recipe) bool { return r.Topper() })
}

// standingText says what a version is, against which table and what is not
// known of it.
func standingText(t *talk.Turn, v *planner.PublishedVersion, title string) string {
	l, trouble := look(t, v, title)
	if trouble != "" {
		return trouble
	}
	lines := []string{balance.VerdictText(l)}
	if profile := msg("profile." + l.Profile.ID); !strings.Contains(lines[0], profile) {
		lines = append(lines, msg("sheet.table", "profile", profile))
	}
	switch {
	case isTopper(v):
		lines = []string{msg("sheet.topper", "most", say.Percent(planner.TreatShare))}
	case v.Recipes[0].Standing.Kind == planner.ForSomeDays && len(v.Turns) == 0:
		lines = append([]string{msg("sheet.some-days")}, lines...)
	}
	if s := v.Recipes[0].Standing; s.CheckedBy != "" {
		lines = append(lines, msg("sheet.checked", "who", strings.TrimSpace(s.CheckedBy+" "+s.CheckedAt)))
	}
	return say.JoinParas(lines...)
}

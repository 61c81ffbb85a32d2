package balance

import (
	"slices"

	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

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

package desk

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// verbs are what the buttons of this room do.
func verbs() map[string]func(t *talk.Turn, r *planner.Recipe, more []string) {
	return map[string]func(t *talk.Turn, r *planner.Recipe, more []string){
		"notes":    talk.Tapped(func(t *talk.Turn, r *planner.Recipe) { showNotes(t, r, "") }),
		"method":   talk.Tapped(func(t *talk.Turn, r *planner.Recipe) { askNote(t, &noteDraft{ID: r.ID, Method: true}) }),
		"which":    talk.Tapped(askWhich),
		"note":     talk.TappedOn(func(t *talk.Turn, r *planner.Recipe, food string) { askNote(t, &noteDraft{ID: r.ID, Food: food}) }),
		"standing": talk.Tapped(func(t *talk.Turn, r *planner.Recipe) { sayStanding(t, r, "") }),
		"stand":    pressStand,
		"checked":  talk.Tapped(func(t *talk.Turn, r *planner.Recipe) { askNote(t, &noteDraft{ID: r.ID, Checked: true}) }),
		"compare":  talk.Tapped(askCompare),
		"with":     talk.TappedOn(pressWith),
		"versions": talk.Tapped(listVersions),
		"version":  tappedVersion(showVersion),
		"back":     tappedVersion(goBack),
		"since":    tappedVersion(func(t *talk.Turn, r *planner.Recipe, v planner.Version) { compareVersions(t, r, v, r.Present()) }),
	}
}

// pressWith compares a recipe with the one that was chosen.
func pressWith(t *talk.Turn, r *planner.Recipe, other string) {
	o := t.Recipe(other)
	if talk.Gone(t, o == nil) {
		return
	}
	compareRecipes(t, r, o)
}

// tappedVersion is a verb that needs a version of the recipe.
func tappedVersion(do func(t *talk.Turn, r *planner.Recipe, v planner.Version)) func(*talk.Turn, *planner.Recipe, []string) {
	return talk.TappedOn(func(t *talk.Turn, r *planner.Recipe, number string) {
		n, err := strconv.Atoi(number)
		v, ok := r.Version(n)
		if talk.Gone(t, err != nil || !ok) {
			return
		}
		do(t, r, v)
	})
}

// onVersion answers a sentence about a version of a recipe.
func onVersion(do func(t *talk.Turn, r *planner.Recipe, v planner.Version)) talk.Intent {
	return talk.OnRecipe(func(t *talk.Turn, r *planner.Recipe, s read.Sentence) {
		t.Talk.Recipe = r.ID
		if v, ok := versionOf(t, r, s.Count); ok {
			do(t, r, v)
		}
	})
}

// versionOf is the version of a number; where there is none it says so.
func versionOf(t *talk.Turn, r *planner.Recipe, number float64) (planner.Version, bool) {
	v, ok := r.Version(int(number))
	if !ok || number != float64(int(number)) {
		t.SayMsg("version.none", "recipe", r.Name, "n", say.Trim(number, 2)).Offer(t.Button(msg("button.versions"), "desk", "versions", r.ID))
		return v, false
	}
	return v, true
}

// mostListed is how many versions a list names; all that are kept can be shown
// by their number (our own choice).
const mostListed = 8

// listVersions says when a recipe was changed and how, the newest first.
func listVersions(t *talk.Turn, r *planner.Recipe) {
	t.Talk.Recipe = r.ID
	all := append(slices.Clone(r.Versions), r.Present())
	if len(all) == 1 {
		t.SayMsg("version.only", "recipe", r.Name)
		return
	}
	slices.Reverse(all)
	lines := []string{msg("version.list", "recipe", r.Name, "n", len(all))}
	for i, v := range all[:min(len(all), mostListed)] {
		what := msg("version.first", "n", len(v.Ingredients)+len(v.Doses))
		if i+1 < len(all) {
			what = recipes.ChangesText(t, r.As(all[i+1]), r.As(v))
		}
		lines = append(lines, msg("version.line", "n", v.Number, "since", sinceText(t, v.Since), "what", what))
	}
	out := t.Say(say.Whole(strings.Join(lines, "\n")))
	for _, v := range all[1:min(len(all), mostListed)] {
		n := strconv.Itoa(v.Number)
		out.Offer(t.Button(msg("button.version", "n", n), "desk", "version", r.ID, n), t.Button(msg("button.since", "n", n), "desk", "since", r.ID, n))
	}
}

// sinceText is the day on which a version began.
func sinceText(t *talk.Turn, since time.Time) string {
	if since.IsZero() {
		return msg("version.no-date")
	}
	return talk.DayOf(t, t.DateAt(since))
}

// mostTold is how many changed lines are said of a change that is taken back.
const mostTold = 3

// toldText says which lines a change changed, where they are few.
func toldText(t *talk.Turn, h *talk.ChangeTold) string {
	if h.Change.Kind != "did.recipe-changed" {
		return ""
	}
	for i := range h.After.Recipes {
		is := h.After.Recipes[i]
		was := h.Change.Before.Recipe(is.ID)
		if was == nil {
			continue
		}
		if n := len(planner.Changes(*was, is, false)); n > 0 && n <= mostTold {
			return recipes.ChangesText(t, *was, is)
		}
	}
	return ""
}

// showVersion says what a version was made of.
func showVersion(t *talk.Turn, r *planner.Recipe, v planner.Version) {
	old := r.As(v)
	energy := ""
	if sum, err := planner.TotalsOf(old, t.Foods); err == nil && sum.Grams > 0 {
		energy = recipes.RecipeEnergy(t, &old, sum)
	}
	n := strconv.Itoa(v.Number)
	out := t.Say(say.Para(msg("version.shown", "n", n, "recipe", r.Name, "since", sinceText(t, v.Since))), say.Para(energy), say.TableBlock(recipes.LineRows(t, v.Ingredients)), say.Whole(recipes.DosesText(t, &old)))
	if v.Number != r.Present().Number {
		out.Offer(t.Button(msg("button.back", "n", n), "desk", "back", r.ID, n), t.Button(msg("button.since", "n", n), "desk", "since", r.ID, n))
	}
}

// goBack gives a recipe the lines of an earlier version.
func goBack(t *talk.Turn, r *planner.Recipe, v planner.Version) {
	n := strconv.Itoa(v.Number)
	switch {
	case v.Number == r.Present().Number || len(planner.Changes(r.As(v), *r, false)) == 0 && v.Days == r.Days:
		t.SayMsg("version.same", "recipe", r.Name, "n", n)
		return
	case foodGone(t, r, v):
		return
	}
	t.Mutate("did.recipe-changed", r.Name)
	r.GoBack(v, t.Event.At.UTC())
	recipes.ShowRecipe(t, r, msg("version.back", "recipe", r.Name, "n", n, "now", strconv.Itoa(r.Number)), t.UndoButton())
}

// foodGone reports that a version has a food that was removed since, and says so.
func foodGone(t *talk.Turn, r *planner.Recipe, v planner.Version) bool {
	old := r.As(v)
	gone := slices.ContainsFunc(old.Foods(), func(key string) bool { return t.Foods.Food(key) == nil })
	if gone {
		t.SayMsg("version.food-gone", "n", strconv.Itoa(v.Number), "recipe", r.Name)
	}
	return gone
}

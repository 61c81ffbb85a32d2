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
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// press does what a button of this room asks.
func press(t *talk.Turn, args []string) {
	r := t.Recipe(talk.Arg(args, 1))
	if r == nil {
		t.SayMsg("press.gone")
		return
	}
	t.Talk.Recipe = r.ID
	switch talk.Arg(args, 0) {
	case "notes":
		showNotes(t, r, "")
	case "method":
		askNote(t, &noteDraft{ID: r.ID, Method: true})
	case "which":
		askWhich(t, r)
	case "note":
		askNote(t, &noteDraft{ID: r.ID, Food: talk.Arg(args, 2)})
	case "versions":
		listVersions(t, r)
	case "compare":
		askCompare(t, r)
	case "with":
		if o := t.Recipe(talk.Arg(args, 2)); o != nil {
			compareRecipes(t, r, o)
			return
		}
		t.SayMsg("press.gone")
	default:
		pressVersion(t, r, args)
	}
}

// pressVersion is of the buttons that name a version.
func pressVersion(t *talk.Turn, r *planner.Recipe, args []string) {
	n, err := strconv.Atoi(talk.Arg(args, 2))
	v, ok := r.Version(n)
	switch {
	case err != nil || !ok:
		t.SayMsg("press.gone")
	case args[0] == "version":
		showVersion(t, r, v)
	case args[0] == "back":
		goBack(t, r, v)
	case args[0] == "since":
		compareVersions(t, r, v, r.Present())
	default:
		t.SayMsg("press.stale")
	}
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
			what = changesText(t, r.As(all[i+1]), r.As(v))
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
	return talk.DayOf(t, planner.DateOf(since.In(t.Event.At.Location())))
}

// changesText says what changed between two versions: "kale 50 → 60 g".
func changesText(t *talk.Turn, was, is planner.Recipe) string {
	var parts []string
	for _, c := range planner.Changes(was, is, false) {
		food := lineName(t, c.Food)
		switch {
		case c.Is == 0 && c.IsDose == nil:
			parts = append(parts, msg("change.out", "food", food))
		case c.Was == 0 && c.WasDose == nil:
			parts = append(parts, msg("change.in", "food", food, "amount", amountText(t, c.Is, c.IsDose)))
		default:
			parts = append(parts, msg("change.amount", "food", food, "was", amountText(t, c.Was, c.WasDose), "is", amountText(t, c.Is, c.IsDose)))
		}
	}
	if was.Days != is.Days {
		parts = append(parts, msg("change.days", "was", say.Trim(max(was.Days, 1), 1), "is", say.Trim(max(is.Days, 1), 1)))
	}
	if len(parts) == 0 {
		return msg("change.none")
	}
	return strings.Join(parts, "; ")
}

// lineName is a food's name; of one that the household removed, that.
func lineName(t *talk.Turn, key string) string {
	if t.Foods.Food(key) == nil {
		return msg("change.removed")
	}
	return t.FoodName(key)
}

// amountText is how much of a food a recipe has.
func amountText(t *talk.Turn, g nutrition.Grams, d *planner.Dose) string {
	if d == nil {
		return say.ExactMass(g, t.Home.Units)
	}
	text := strings.TrimSpace(strings.TrimPrefix(recipes.DoseText(t, *d), t.FoodName(d.Food)))
	if g > 0 {
		text = say.ExactMass(g, t.Home.Units) + " + " + text
	}
	return text
}

// showVersion says what a version was made of.
func showVersion(t *talk.Turn, r *planner.Recipe, v planner.Version) {
	old := r.As(v)
	var rows []say.TableRow
	for _, in := range v.Ingredients {
		rows = append(rows, say.TableRow{Label: lineName(t, in.Food), Cells: []string{say.ExactMass(in.Grams, t.Home.Units)}})
	}
	energy := ""
	if sum, err := planner.TotalsOf(old, t.Foods); err == nil && sum.Grams > 0 {
		energy = recipes.RecipeEnergy(t, &old, sum)
	}
	n := strconv.Itoa(v.Number)
	out := t.Say(say.Para(msg("version.shown", "n", n, "recipe", r.Name, "since", sinceText(t, v.Since))), say.Para(energy), say.TableBlock(rows), say.Whole(recipes.DosesText(t, &old)))
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
	gone := slices.ContainsFunc(planner.Changes(r.As(v), r.As(v), true), func(c planner.Change) bool { return t.Foods.Food(c.Food) == nil })
	if gone {
		t.SayMsg("version.food-gone", "n", strconv.Itoa(v.Number), "recipe", r.Name)
	}
	return gone
}

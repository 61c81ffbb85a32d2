package desk

import (
	"cmp"
	"reflect"
	"slices"
	"strings"

	"bowlwright/bot/balance"
	"bowlwright/bot/read"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// StandingText says what a recipe is, as its author says, and, of one that is
// said to be complete, what the analysis makes of that now.
func StandingText(t *talk.Turn, r *planner.Recipe) string {
	kind := ""
	switch r.Standing.Kind {
	case planner.IsComplete:
		kind = claimText(balance.ClaimOf(t, r, r.Standing.Table))
	case planner.IsTopper:
		kind = msg("standing.topper")
	case planner.ForSomeDays:
		kind = msg("standing.some-days")
	}
	s := r.Standing
	return say.JoinParas(kind, say.Where(s.CheckedBy != "", msg("standing.checked", "who", strings.TrimSpace(s.CheckedBy+" "+s.CheckedAt))))
}

// shownText is what there is to say with a recipe, or with its name in a list.
func shownText(t *talk.Turn, h *talk.RecipeShown) string {
	if !h.Brief {
		said := ""
		if r := t.Recipe(h.Recipe.ID); r != nil {
			said = settle(t, r)
			h.Recipe.Standing = r.Standing
		}
		return say.JoinParas(said, StandingText(t, h.Recipe), labText(t, h.Recipe))
	}
	if h.Recipe.Standing == (planner.Standing{}) {
		return ""
	}
	return msg("standing.of", "recipe", h.Recipe.Name, "is", StandingText(t, h.Recipe))
}

// claimText says that a recipe meets a table on what is known, and what is not;
// or what is in the way. It never says that one is complete.
func claimText(c balance.Claim) string {
	profile := msg("profile." + c.Table)
	switch {
	case c.Holds() && len(c.Open) == 0:
		return msg("standing.meets", "profile", profile)
	case c.Holds():
		names, _ := recipes.NamesOf(c.Open, recipes.MostNamed)
		return msg("standing.meets-known", "profile", profile, "unknown", names)
	case c.Err != nil:
		return msg("standing.no-analysis", "profile", profile)
	case len(c.Wrong) > 0:
		names, _ := recipes.NamesOf(c.Wrong, recipes.MostNamed)
		return msg("standing.misses", "profile", profile, "names", names)
	case len(c.Fails) > 0:
		return msg("standing.fails", "profile", profile, "why", balance.FailingText(c.Fails))
	}
	names, _ := recipes.NamesOf(c.Open, recipes.MostNamed)
	return msg("standing.little-known", "profile", profile, "names", names)
}

// sayStanding shows what a recipe is said to be, and offers the others.
func sayStanding(t *talk.Turn, r *planner.Recipe, head string, extra ...say.Button) {
	t.Talk.Recipe = r.ID
	is := cmp.Or(StandingText(t, r), msg("standing.none", "recipe", r.Name))
	out := t.Say(say.Para(head), say.Whole(msg("standing.of", "recipe", r.Name, "is", is)))
	var row []say.Button
	for _, k := range []planner.StandingKind{planner.IsComplete, planner.IsTopper, planner.ForSomeDays} {
		if k != r.Standing.Kind {
			row = append(row, t.Button(msg("button.stand-"+string(k)), "desk", "stand", r.ID, string(k)))
		}
	}
	out.Offer(row...)
	row = []say.Button{t.Button(msg("button.checked"), "desk", "checked", r.ID)}
	if r.Standing != (planner.Standing{}) {
		row = append(row, t.Button(msg("button.stand-none"), "desk", "stand", r.ID, "none"))
	}
	out.Offer(row...)
	out.Offer(extra...)
}

// stand says what a recipe is from now on. That it is complete can only be said
// where the analysis says so on what is known.
func stand(t *talk.Turn, r *planner.Recipe, s planner.Standing) {
	t.Talk.Recipe = r.ID
	if s.Kind == planner.IsComplete {
		c := balance.ClaimOf(t, r, s.Table)
		if s.Table = c.Table; !c.Holds() {
			t.Say(say.Para(msg("standing.refused", "recipe", r.Name, "why", claimText(c)))).
				Offer(t.Button(msg("button.complete"), "analysis", "look", r.ID, "-"))
			return
		}
	}
	t.Mutate("did.recipe-stands", r.Name)
	r.Standing = s
	sayStanding(t, r, msg("standing.kept"), t.UndoButton())
}

// standAs answers a sentence that says what a recipe is.
func standAs(kind planner.StandingKind) talk.Intent {
	return talk.OnRecipe(func(t *talk.Turn, r *planner.Recipe, s read.Sentence) { standOf(t, r, kind, s.Words) })
}

// standOf keeps who checked a recipe, whatever it is for.
func standOf(t *talk.Turn, r *planner.Recipe, kind planner.StandingKind, table string) {
	s := r.Standing
	s.Kind, s.Table = kind, ""
	if kind == planner.IsComplete && strings.TrimSpace(table) != "" {
		if s.Table = tableNamed(t, table); s.Table == "" {
			out := t.SayMsg("standing.no-table", "table", say.Short(table))
			for _, p := range nutrition.Profiles() {
				out.Offer(t.Button(msg("profile."+p.ID), "desk", "stand", r.ID, string(kind), p.ID))
			}
			return
		}
	}
	stand(t, r, s)
}

// tableNamed is the table that words name: the household's own where they fit
// it, else the first.
func tableNamed(t *talk.Turn, words string) string {
	fits := func(id string) bool {
		name := strings.ToLower(id + " " + msg("profile."+id))
		return !slices.ContainsFunc(strings.Fields(strings.ToLower(strings.Trim(words, " .!"))), func(w string) bool { return !strings.Contains(name, w) })
	}
	for _, p := range append([]*nutrition.Profile{nutrition.ProfileByID(t.Home.Profile)}, nutrition.Profiles()...) {
		if p != nil && fits(p.ID) {
			return p.ID
		}
	}
	return ""
}

func pressStand(t *talk.Turn, r *planner.Recipe, more []string) {
	switch kind := planner.StandingKind(talk.Arg(more, 0)); kind {
	case planner.IsComplete, planner.IsTopper, planner.ForSomeDays:
		s := r.Standing
		s.Kind, s.Table = kind, talk.Arg(more, 1)
		stand(t, r, s)
	default:
		stand(t, r, planner.Standing{})
	}
}

// mostChecked is how much is kept of who checked a recipe, and of when (our own
// choice).
const mostChecked = 60

// checked keeps who looked at a recipe and when: "Dr Ada Finn in March 2026".
func checked(t *talk.Turn, r *planner.Recipe, words string) {
	for day, ago := range map[string]int{" today": 0, " yesterday": -1} {
		if before, ok := strings.CutSuffix(strings.TrimRight(words, " .!"), day); ok {
			words = before + " " + msg("standing.on", "day", say.MonthText(t.Date().AddDays(ago)))
		}
	}
	who, when := foodline.WhoAndWhen(words)
	if who == "" || len([]rune(who)) > mostChecked || len([]rune(when)) > mostChecked {
		askNote(t, &noteDraft{ID: r.ID, Checked: true})
		return
	}
	s := r.Standing
	s.CheckedBy, s.CheckedAt = who, when
	stand(t, r, s)
}

// settle takes back what no longer holds of a recipe that was changed, or whose
// foods were, and says so.
func settle(t *talk.Turn, r *planner.Recipe) string {
	if t.Before == nil || t.Undone != nil {
		return ""
	}
	was := t.Before.Recipe(r.ID)
	if was == nil {
		return ""
	}
	if r.Topper() && !was.Topper() {
		return noDaysFood(t, r)
	}
	same := reflect.DeepEqual(r, was) && reflect.DeepEqual(t.Before.Foods, t.Home.Foods) && reflect.DeepEqual(t.Before.Labs, t.Home.Labs)
	if r.Standing != was.Standing || r.Standing == (planner.Standing{}) || same {
		return ""
	}
	var lines []string
	s := &r.Standing
	if s.CheckedBy != "" && !planner.SameParts(was, r) {
		lines = append(lines, msg("standing.checked-before", "who", s.CheckedBy, "recipe", r.Name))
		s.CheckedBy, s.CheckedAt = "", ""
	}
	if s.Kind == planner.IsComplete {
		if c := balance.ClaimOf(t, r, s.Table); !c.Holds() {
			lines = append(lines, msg("standing.fallen", "recipe", r.Name, "why", claimText(c)))
			s.Kind, s.Table = "", ""
		}
	}
	return say.JoinParas(lines...)
}

// settleAll is settle of the recipes that were not shown.
func settleAll(t *talk.Turn) {
	for i := range t.Home.Recipes {
		r := &t.Home.Recipes[i]
		text := settle(t, r)
		if !r.LabCounts() {
			text = say.JoinParas(text, labText(t, r))
		}
		if text != "" && len(t.Replies) > 0 {
			t.LastReply().Add(text)
		}
	}
}

// noDaysFood takes a recipe that is a topper now off what dogs eat all day.
func noDaysFood(t *talk.Turn, r *planner.Recipe) string {
	made := talk.TopperMade{Recipe: r}
	t.Happened(&made)
	lines := []string{made.Said}
	for _, d := range t.Dogs() {
		if d.Recipe != r.ID {
			continue
		}
		d.Recipe = ""
		if _, ok := planner.RecipeOn(t.Home, d.ID, t.Date()); !ok {
			lines = append(lines, msg("standing.ate", "dog", d.Name, "recipe", r.Name))
		}
	}
	return say.JoinParas(lines...)
}

package balance

import (
	"cmp"
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// mostCosts is how many nutrients are named for which a food is there (our own
// choice).
const mostCosts = 3

// answerWhy says what a food is in a recipe for, or each food where none is
// named.
func answerWhy(t *talk.Turn, s read.Sentence) {
	if s.Food == "" {
		if r := talk.RecipeMeant(t, s); r != nil {
			whyIn(t, r, analysedFor(t, s), "")
		}
		return
	}
	in := []*planner.Recipe{t.Recipe(s.Recipe)}
	if s.Recipe == "" {
		in = append([]*planner.Recipe{talk.TheRecipe(t, talk.TalkedOf(t))}, t.Recipes()...)
	}
	for _, r := range in {
		if r != nil && recipes.KeyIn(t, r, s.Food) != "" {
			whyIn(t, r, analysedFor(t, s), recipes.KeyIn(t, r, s.Food))
			return
		}
	}
	if refused := t.Foods.Find(s.Food).Refused; refused != nil {
		recipes.SayRefused(t, refused)
		return
	}
	t.SayMsg("why.no-food", "food", say.Short(s.Food))
}

func whyIn(t *talk.Turn, r *planner.Recipe, d *planner.Dog, key string) {
	l, ok := looked(t, r, d)
	switch {
	case !ok:
	case key != "" && read.Says("supposes", t.AsTyped()) && !dogs.Gated(t, l.Dog):
		sayWhyFood(t, l, key)
		t.LastReply().Begin(msg("why.not-yet", "recipe", r.Name)).Offer(t.Button(msg("button.why-out", "food", t.FoodName(key)), "recipe", "set", r.ID, key, "0"))
	case key != "":
		sayWhyFood(t, l, key)
	default:
		sayWhyEach(t, l)
	}
}

// sayWhyEach shows of each food the nutrients that would be missed most, after
// what its author noted.
func sayWhyEach(t *talk.Turn, l Looked) {
	var rows []say.TableRow
	mark := ""
	for _, key := range l.Recipe.Foods() {
		f := t.Foods.Food(key)
		if f == nil {
			continue
		}
		rows = append(rows, say.TableRow{Label: strings.ToUpper(f.Name)})
		costs := costsOf(l, f)
		for _, c := range costs {
			rows = append(rows, say.TableRow{Label: c.With.Requirement.Subject.Name(), Cells: []string{costCell(c)}})
			mark = cmp.Or(mark, say.Where(c.With.Measured, MarkText()))
		}
		if len(costs) == 0 {
			rows = append(rows, say.TableRow{Label: msg("why.nothing"), Cells: []string{"-"}})
		}
	}
	if len(rows) == 0 {
		t.SayMsg("view.empty", "recipe", l.Recipe.Name)
		return
	}
	notes := say.LinesOf(l.Recipe.Notes, func(n planner.Note) string {
		return say.Where(n.Food != "" && l.Recipe.Uses(n.Food), msg("why.note-on", "food", t.FoodName(n.Food), "text", n.Text))
	})
	t.Say(say.Para(msg("why.each", "name", analysedText(l))), say.Whole(notes), say.TableBlock(rows), say.Para(msg("why.legend")), say.Para(mark)).
		Offer(whyButtons(t, l)...)
}

// costCell is how much of the need goes with a food, and a mark for what is
// then too little or not known.
func costCell(c nutrition.Cost) string {
	text := Mark(c.With) + say.Percent(c.Loss)
	switch {
	case c.Open:
		return "?"
	case c.Falls():
		return text + "↓"
	case c.Doubt():
		return text + "?"
	case !c.With.HasMin():
		return msg("why.of-all", "share", text)
	}
	return text
}

// sayWhyFood says the same of one food, with the amounts.
func sayWhyFood(t *talk.Turn, l Looked, key string) {
	f := t.Foods.Food(key)
	notes := say.LinesOf(l.Recipe.Notes, func(n planner.Note) string { return say.Where(n.Food == key, msg("why.note", "text", n.Text)) })
	costs := cmp.Or(say.LinesOf(costsOf(l, f), costText), msg("why.no-need", "food", f.Name, "table", msg("profile."+l.Result.ProfileID)))
	t.Say(say.Para(msg("why.food", "food", f.Name, "name", analysedText(l))), say.Whole(notes), say.Para(costs)).
		Offer(t.Button(msg("button.why-each"), "analysis", "why", l.Recipe.ID, dogs.IDOf(l.Dog))).
		Offer(whyButtons(t, l)...)
}

// costText is what goes of one nutrient: "zinc: 22.3 mg, without it 14.1 mg,
// minimum 20.4 mg: too little."
func costText(c nutrition.Cost) string {
	f, u := rowUnit(c.With)
	args := []any{"name", c.With.Requirement.Subject.Name(), "with", recipes.AmountIn(c.With.Value, f, u) + measuredText(c.With), "without", recipes.AmountIn(c.Without.Value, f, u),
		"min", say.Sig(c.With.Min/f) + u, "how", say.Choose(c.Without.Verdict == nutrition.LikelyLow, msg("why.likely"), msg("why.too-little"))}
	switch {
	case c.Open:
		return msg("why.open", args...)
	case c.Falls():
		return msg("why.falls", args...)
	case c.Doubt():
		return msg("why.doubt", args...)
	case !c.With.HasMin():
		return msg("why.no-minimum", args...)
	case c.With.Verdict.TooLittle():
		return msg("why.short", args...)
	}
	return msg("why.less", args...)
}

func whyButtons(t *talk.Turn, l Looked) []say.Button {
	row := []say.Button{t.Button(msg("button.note-on"), "desk", "which", l.Recipe.ID)}
	if !dogs.Gated(t, l.Dog) {
		row = append(row, t.Button(msg("button.swap"), "swap", "ask", l.Recipe.ID, dogs.IDOf(l.Dog)))
	}
	return row
}

// costsOf is what would be missed most without a food: its lines, and what is
// given of it as a supplement.
func costsOf(l Looked, f *nutrition.Food) []nutrition.Cost {
	var parts []int
	for i, it := range l.Mixture.Items {
		if it.Food.Key == f.Key {
			parts = append(parts, i)
		}
	}
	for i, x := range l.Mixture.Extras {
		if x.Name == f.Name {
			parts = append(parts, len(l.Mixture.Items)+i)
		}
	}
	return nutrition.Costs(l.Mixture, l.Profile, l.Result.Basis, parts, mostCosts)
}

// Explained says in a line or two what a bowl's caution means that is asked about: that
// the dog is of a breed that may store copper, that something is low.
func Explained(t *talk.Turn, s string) bool {
	d := talk.TalkedOf(t)
	name := msg("explain.your-dog")
	if d != nil {
		name = d.Name
	}
	low := read.Says("asks-low", s)
	switch {
	case read.Says("many-lines", s):
		return false
	case read.Says("asks-copper", s) && (d == nil || d.StoresCopper):
		t.Say(say.Whole(msg("explain.copper", "dog", name)))
	case read.Says("asks-copper", s), low && d != nil && t.Home.UsualOn(d, t.Date()) != nil:
		out := t.Say(say.Whole(msg("explain.low", "dog", name)))
		if r := t.Home.UsualOn(d, t.Date()); r != nil {
			out.Offer(t.Button(msg("button.missing"), "analysis", "look", r.ID, d.ID))
		}
	default:
		return false
	}
	return true
}

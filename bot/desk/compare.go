package desk

import (
	"math"
	"strconv"

	"bowlwright/bot/balance"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// answerCompare compares the two recipes that a sentence names.
func answerCompare(t *talk.Turn, s read.Sentence) {
	r, o := t.Recipe(s.Recipe), t.Recipe(s.Other)
	if r == nil {
		r = talk.RecipeMeant(t, s)
	}
	switch {
	case r == nil:
	case o == nil || o.ID == r.ID:
		askCompare(t, r)
	default:
		compareRecipes(t, r, o)
	}
}

// answerSince compares a recipe with what it was, or two of its versions.
func answerSince(t *talk.Turn, r *planner.Recipe, s read.Sentence) {
	t.Talk.Recipe = r.ID
	if s.Count == 0 {
		if len(r.Versions) == 0 {
			t.SayMsg("version.only", "recipe", r.Name)
			return
		}
		compareVersions(t, r, r.Versions[len(r.Versions)-1], r.Present())
		return
	}
	was, ok := versionOf(t, r, s.Count)
	if !ok {
		return
	}
	is := r.Present()
	if s.Factor > 0 {
		if is, ok = versionOf(t, r, s.Factor); !ok {
			return
		}
	}
	compareVersions(t, r, was, is)
}

// askCompare asks what a recipe is to be compared with.
func askCompare(t *talk.Turn, r *planner.Recipe) {
	t.Talk.Recipe = r.ID
	if len(t.Home.Recipes) == 1 && len(r.Versions) == 0 {
		t.SayMsg("compare.nothing", "recipe", r.Name)
		return
	}
	out := t.SayMsg("ask.compare", "recipe", r.Name)
	for i := range t.Home.Recipes {
		if o := &t.Home.Recipes[i]; o.ID != r.ID {
			out.Offer(t.Button(o.Name, "desk", "with", r.ID, o.ID))
		}
	}
	if n := len(r.Versions); n > 0 {
		v := strconv.Itoa(r.Versions[n-1].Number)
		out.Offer(t.Button(msg("button.since", "n", v), "desk", "since", r.ID, v), t.Button(msg("button.versions"), "desk", "versions", r.ID))
	}
}

func compareRecipes(t *talk.Turn, a, b *planner.Recipe) {
	compare(t, *a, *b, msg("compare.recipes", "a", a.Name, "b", b.Name), "1", "2")
}

func compareVersions(t *talk.Turn, r *planner.Recipe, a, b planner.Version) {
	if a.Number > b.Number {
		a, b = b, a
	}
	if a.Number == b.Number {
		t.SayMsg("version.same", "recipe", r.Name, "n", strconv.Itoa(a.Number))
		return
	}
	if foodGone(t, r, a) || foodGone(t, r, b) {
		return
	}
	x, y := strconv.Itoa(a.Number), strconv.Itoa(b.Number)
	head := msg("compare.versions", "recipe", r.Name, "a", x, "since-a", sinceText(t, a.Since), "b", y, "since-b", sinceText(t, b.Since))
	compare(t, r.As(a), r.As(b), head, x, y)
}

// compare sets two recipes side by side: the lines, kcal, shares, and the
// nutrients that differ.
func compare(t *talk.Turn, a, b planner.Recipe, head, nameA, nameB string) {
	d := talk.TalkedOf(t)
	x, errX := balance.Look(t, &a, d)
	y, errY := balance.Look(t, &b, d)
	if recipes.Failed(t, &a, errX) || recipes.Failed(t, &b, errY) {
		return
	}
	if x.Result.Grams == 0 || y.Result.Grams == 0 {
		t.SayMsg("compare.empty")
		return
	}
	rows := []say.TableRow{{Label: "", Cells: []string{nameA, nameB}}}
	rows = append(rows, lineRows(t, a, b)...)
	rows = append(rows, say.TableRow{Label: msg("compare.kcal"), Cells: []string{kcalPer100(x), kcalPer100(y)}})
	rows = append(rows, shareRows(t, a, b)...)
	differ := nutrition.Differences(&x.Result, &y.Result)
	basis, legend := balance.BasisText(t, x), ""
	if len(differ) == 0 {
		legend = msg("compare.alike")
	} else {
		rows = append(rows, say.TableRow{Label: msg("compare.nutrients")})
		legend = msg("compare.legend")
	}
	mark := ""
	for _, n := range differ {
		rows = append(rows, nutrientRow(n))
		if n.A.Measured || n.B.Measured {
			mark = balance.MarkText()
		}
	}
	out := t.Say(say.Para(head), say.TableBlock(rows), say.Para(legend), say.Para(mark), say.Para(basis))
	if a.ID == b.ID {
		out.Offer(t.Button(msg("button.back", "n", nameA), "desk", "back", a.ID, nameA), t.Button(msg("button.versions"), "desk", "versions", a.ID))
		return
	}
	out.Offer(t.Button(a.Name, "recipe", "show", a.ID))
	out.Offer(t.Button(b.Name, "recipe", "show", b.ID))
}

// lineRows are the foods of both, weighed ones with their amounts.
func lineRows(t *talk.Turn, a, b planner.Recipe) []say.TableRow {
	return say.Each(planner.Changes(a, b, true), func(c planner.Change) say.TableRow {
		return say.TableRow{Label: recipes.LineName(t, c.Food), Cells: []string{lineCell(t, c.Was, c.WasDose), lineCell(t, c.Is, c.IsDose)}}
	})
}

// lineCell is an amount in a narrow column: grams, or the least that says a
// supplement.
func lineCell(t *talk.Turn, g nutrition.Grams, d *planner.Dose) string {
	switch {
	case g > 0:
		return say.ExactMass(g, t.Home.Units)
	case d == nil:
		return "-"
	case len(d.Amounts) > 0:
		return say.Trim(d.Amounts[0].Amount, 1) + " " + say.UnitText(d.Amounts[0].Nutrient.Unit())
	case d.Count > 0:
		return say.Trim(d.Count, 2) + " ×"
	case d.Grams > 0:
		return say.ExactMass(d.Grams, t.Home.Units)
	}
	return msg("compare.given")
}

func kcalPer100(l balance.Looked) string {
	if e := l.Result.Energy; e.Complete && l.Result.Grams > 0 {
		return say.Trim(e.Mid*100/float64(l.Result.Grams), 0)
	}
	return "?"
}

// shareRows are the shares by body part of which either has any.
func shareRows(t *talk.Turn, a, b planner.Recipe) (rows []say.TableRow) {
	x, _ := planner.TotalsOf(a, t.Foods) // it has been looked at, and so has the other
	y, _ := planner.TotalsOf(b, t.Foods)
	for p := range nutrition.PartCount {
		if x.Shares[p]+y.Shares[p] > 0.001 { // less is no row; our own choice
			rows = append(rows, say.TableRow{Label: recipes.PartText(p), Cells: []string{say.Percent(x.Shares[p]), say.Percent(y.Shares[p])}})
		}
	}
	return rows
}

// nutrientRow is one nutrient in both, in one unit, each with a mark for its
// verdict.
func nutrientRow(d nutrition.Difference) say.TableRow {
	s := d.A.Requirement.Subject
	factor, unit := say.DisplayUnit(math.Max(d.A.Mid, d.B.Mid), s.Unit())
	label := s.Name()
	if s.Unit() != "ratio" {
		label += "," + unit
	}
	return say.TableRow{Label: label, Cells: []string{verdictCell(d.A, factor), verdictCell(d.B, factor)}}
}

func verdictCell(r *nutrition.Row, factor float64) string {
	text := balance.CompactAmount(r.Value, factor) + balance.Mark(r)
	switch {
	case r.Verdict.TooLittle():
		return text + "↓"
	case r.Verdict.TooMuch():
		return text + "↑"
	case !r.Verdict.Meets() && text != "?":
		return text + "?"
	}
	return text
}

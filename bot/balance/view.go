package balance

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// answerView shows an analysis in a view.
func answerView(view nutrition.View) talk.Intent {
	return talk.OnRecipe(func(t *talk.Turn, r *planner.Recipe, s read.Sentence) {
		if l, ok := looked(t, r, analysedFor(t, s)); ok {
			SayTable(t, l, view)
		}
	})
}

// looked is a recipe analysed for a dog (nil: for none); where that cannot be
// done it says why.
func looked(t *talk.Turn, r *planner.Recipe, d *planner.Dog) (Looked, bool) {
	t.Talk.Recipe = r.ID
	if d != nil && d.ID != "" {
		t.Talk.Dog = d.ID
	}
	l, _, err := judged(t, d, r)
	return l, !recipes.Failed(t, r, err)
}

// besides are what a view tells though no table has a limit of it.
var besides = []nutrition.Nutrient{nutrition.Energy, nutrition.Water, nutrition.Carbohydrate, nutrition.Fibre, nutrition.Ash}

// viewed is what was analysed, in a view: with what labels state besides.
func viewed(l Looked, view nutrition.View) (nutrition.Analysis, bool) {
	if view == nutrition.AsAnalysed {
		return l.Result, true
	}
	p := l.Profile
	for _, n := range besides {
		if n == nutrition.Energy && view == nutrition.PerKcal || n == nutrition.Water && view == nutrition.DryMatter {
			continue
		}
		p = p.Naming(nutrition.Subject(n))
	}
	return nutrition.Analyse(l.Mixture, p, l.Result.Basis).In(view, l.Mixture)
}

// viewUnit is the unit in which a view tells an amount: of dry matter what
// labels give in %, in %.
func viewUnit(view nutrition.View, s nutrition.Subject, x float64) (factor float64, unit string) {
	if n, ok := s.Nutrient(); view == nutrition.DryMatter {
		switch {
		case s.Unit() == "g":
			return 10, " %"
		case ok && n >= nutrition.Calcium && n <= nutrition.Chloride:
			return 10000, " %"
		}
	}
	switch small := (view == nutrition.AsFed || view == nutrition.PerKilo) && x > 0 && x < 1; { // else a column is too wide for a phone
	case small && s.Unit() == "g":
		return 0.001, " mg"
	case small && s.Unit() == "mg":
		return 0.001, " " + say.UnitText("ug")
	}
	return say.DisplayUnit(x, s.Unit())
}

// viewText says what a view is of, and by what its limits are told or why it
// has none.
func viewText(l Looked, view nutrition.View, u planner.Units) string {
	a := &l.Result
	switch view {
	case nutrition.AsAnalysed:
		return ""
	case nutrition.PerKcal:
		return msg("view.kcal")
	case nutrition.PerKilo:
		return msg("view.dog", "weight", say.BodyWeight(a.Basis.Weight, u))
	}
	dry, known := a.DryMatter(l.Mixture)
	limits, lacks := msg(say.Choose(view == nutrition.AsFed, "view.limits", "view.limits-dry")), lackingNames(l, nutrition.Energy)
	switch {
	case !known && view == nutrition.DryMatter:
		limits = msg("view.no-water", "foods", say.List(lackingNames(l, nutrition.Water)))
	case len(lacks) > 0:
		limits = msg("view.no-kcal", "foods", say.List(lacks))
	}
	return msg(say.Choose(view == nutrition.AsFed, "view.as-fed", "view.dry"), "kcal", densityText(l, view), "dry", shareText(dry.Times(1/float64(a.Grams))), "limits", limits)
}

// densityText is the energy in a view: "124 kcal".
func densityText(l Looked, view nutrition.View) string {
	seen, ok := viewed(l, view)
	if row := seen.Row(nutrition.Subject(nutrition.Energy)); ok && row != nil {
		return amountText(row.Value, "kcal")
	}
	return msg("value.unknown")
}

// lackingNames are the foods without a figure of a nutrient.
func lackingNames(l Looked, n nutrition.Nutrient) (names []string) {
	for _, i := range l.Result.Totals.UnknownFrom(n) {
		if i < len(l.Mixture.Items) {
			names = append(names, l.Mixture.Items[i].Food.Name)
		}
	}
	return names
}

// waits reports that a dog has no amount a day until its vet says one: what it
// would eat by an equation is no amount of its own.
func waits(t *talk.Turn, l Looked) bool {
	return l.Dog != nil && planner.AmountOf(*l.Dog, t.Event.At).Waits()
}

// sayNoView says why there is no such view.
func sayNoView(t *talk.Turn, l Looked) {
	switch {
	case l.Result.Grams == 0:
		t.SayMsg("view.empty", "recipe", l.Recipe.Name)
	case l.Dog == nil:
		t.SayMsg("view.no-dog", "recipe", l.Recipe.Name)
	default:
		t.Say(say.Para(msg("view.no-day", "dog", l.Dog.Name)), say.Whole(dogs.GateText(*l.Dog, planner.AmountOf(*l.Dog, t.Event.At))))
	}
}

// offerViews offers the other views of an analysis.
func offerViews(t *talk.Turn, out *say.Reply, l Looked, but nutrition.View) {
	var row []say.Button
	for _, v := range nutrition.Views() {
		if v != but && (v != nutrition.PerKilo || l.Result.Basis.Kcal > 0 && !waits(t, l)) {
			row = append(row, t.Button(msg("button.view-"+string(v)), "analysis", string(v), l.Recipe.ID, dogs.IDOf(l.Dog)))
		}
	}
	out.Rows(2, row...)
}

// amountText prints an amount on the analysis' basis: a figure, a range, or
// at least so much. From 1000 mg it prints grams.
func amountText(v nutrition.Value, unit string) string {
	f, u := say.DisplayUnit(v.Mid, unit)
	return recipes.AmountIn(v, f, u)
}

// tableOrder is the order of the verdicts in the table.
var tableOrder = []nutrition.Verdict{nutrition.High, nutrition.Low, nutrition.LikelyHigh, nutrition.LikelyLow, nutrition.NotKnown,
	nutrition.AboveLegal, nutrition.LikelyEnough, nutrition.Enough, nutrition.NoLimit}

// SayTable shows every requirement in a view, grouped by verdict, and offers the
// other views of it.
func SayTable(t *talk.Turn, l Looked, view nutrition.View) {
	seen, ok := viewed(l, view)
	if !ok || view == nutrition.PerKilo && waits(t, l) {
		sayNoView(t, l)
		return
	}
	var rows []say.TableRow
	mark := ""
	for _, v := range tableOrder {
		head := len(rows)
		for i := range seen.Rows {
			if r := &seen.Rows[i]; r.Verdict == v {
				rows = append(rows, analysisRow(r, view))
				mark = cmp.Or(mark, say.Where(r.Measured, MarkText()))
			}
		}
		if len(rows) > head {
			rows = slices.Insert(rows, head, say.TableRow{Label: strings.ToUpper(v.String())})
		}
	}
	out := t.Say(say.Para(VerdictText(l)), say.Para(BasisText(t, l)), say.Whole(viewText(l, view, t.Home.Units)), say.TableBlock(rows),
		say.Para(say.JoinParas(msg("analysis.table-legend"), mark)), say.Para(restsOn(l.Result.ProfileID, l.Result.Basis)))
	offerViews(t, out, l, view)
}

// analysisRow is one requirement: what there is, and its limit with the unit
// of both: the minimum, or the maximum where that is passed or is the only
// one.
func analysisRow(r *nutrition.Row, view nutrition.View) say.TableRow {
	s := r.Requirement.Subject
	v, limit, sign := r.Value, r.Min, "≥"
	switch {
	case r.Verdict == nutrition.AboveLegal:
		v, limit, sign = r.Capped, r.Legal, "≤"
	case r.Verdict.TooMuch() || r.StraddlesMax && !r.StraddlesMin || !r.HasMin() && r.HasMax():
		v, limit, sign = r.Capped, r.Max, "≤"
	}
	of := limit
	if math.IsNaN(limit) {
		of = v.Mid
	}
	factor, unit := viewUnit(view, s, of)
	unit = strings.TrimSuffix(unit, " : 1")
	return say.TableRow{Label: s.Name(), Cells: []string{CompactAmount(v, factor) + Mark(r), say.Choose(math.IsNaN(limit), strings.TrimSpace(unit), sign+say.Sig(limit/factor)+unit)}}
}

// CompactAmount prints an amount, divided by a factor, for a narrow column:
// ranges to two digits, which is as well as they are known.
func CompactAmount(v nutrition.Value, factor float64) string {
	switch {
	case v.IsUnknown():
		return "?"
	case !v.Complete:
		return ">" + say.Sig(v.Low/factor)
	case say.Sig(v.Low/factor) == say.Sig(v.High/factor):
		return say.Sig(v.Mid / factor)
	}
	low, high := twoDigits(v.Low/factor), twoDigits(v.High/factor)
	if low == high {
		return low
	}
	return low + "-" + high
}

// twoDigits prints a figure to two significant digits.
func twoDigits(x float64) string {
	if x == 0 {
		return "0"
	}
	after := 1 - int(math.Floor(math.Log10(x)))
	if after < 0 {
		unit := math.Pow(10, float64(-after))
		return say.Trim(math.Round(x/unit)*unit, 0)
	}
	return say.Trim(x, after)
}

// chartWord is a verdict in a word or two, as the picture has room for.
func chartWord(v nutrition.Verdict) string {
	switch v {
	case nutrition.AboveLegal:
		return msg("chart.above-legal")
	case nutrition.NoLimit:
		return msg("chart.no-limit")
	}
	return v.String()
}

// sayAnalysisPicture shows every requirement as a bar.
func sayAnalysisPicture(t *talk.Turn, l Looked) {
	var rows []say.ChartRow
	for i := range l.Result.Rows {
		r := &l.Result.Rows[i]
		v := r.Value
		if r.Verdict.TooMuch() || r.StraddlesMax && !r.StraddlesMin {
			v = r.Capped
		}
		s := r.Requirement.Subject
		rows = append(rows, say.ChartRow{Name: s.Name() + Mark(r), Verdict: chartWord(r.Verdict),
			Low: v.Low, Mid: v.Mid, High: v.High, Complete: v.Complete, Min: r.Min, Max: r.Max})
	}
	png, err := say.ChartPNG(analysedText(l), BasisText(t, l), rows)
	if err != nil {
		t.Fail(err)
		return
	}
	r := t.Say(say.Para(VerdictText(l)))
	r.Picture = &say.Picture{Name: "nutrients.png", Alt: msg("chart.alt", "verdict", VerdictText(l)), PNG: png}
}

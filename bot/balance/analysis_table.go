package balance

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
)

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

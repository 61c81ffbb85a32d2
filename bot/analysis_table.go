package bot

import (
	"math"
	"slices"
	"strings"

	"bowlwright/nutrition"
)

// amountText prints an amount on the analysis' basis: a figure, a range, or
// at least so much. From 1000 mg it prints grams.
func amountText(v nutrition.Value, unit string) string {
	f, u := displayUnit(v.Mid, unit)
	return amountIn(v, f, u)
}

// amountIn is amountText in a unit that was chosen.
func amountIn(v nutrition.Value, f float64, u string) string {
	if v.IsUnknown() {
		return msg("value.unknown")
	}
	switch {
	case !v.Complete:
		return msg("value.atleast", "value", sig(v.Low/f)+u)
	case sig(v.Low/f) != sig(v.High/f):
		return sig(v.Low/f) + "-" + sig(v.High/f) + u
	}
	return sig(v.Mid/f) + u
}

// displayUnit is the factor and unit in which an amount reads best.
func displayUnit(x float64, unit string) (float64, string) {
	switch {
	case unit == "ratio":
		return 1, " : 1"
	case unit == "mg" && x >= 1000:
		return 1000, " g"
	case unit == "ug" && x >= 1000:
		return 1000, " mg"
	}
	return 1, " " + unitText(unit)
}

// limitText prints a limit, empty where there is none.
func limitText(x float64, unit string) string {
	if math.IsNaN(x) {
		return ""
	}
	f, u := displayUnit(x, unit)
	return sig(x/f) + u
}

// tableOrder is the order of the verdicts in the table.
var tableOrder = []nutrition.Verdict{nutrition.High, nutrition.Low, nutrition.LikelyHigh, nutrition.LikelyLow, nutrition.NotKnown,
	nutrition.AboveLegal, nutrition.LikelyEnough, nutrition.Enough, nutrition.NoLimit}

// sayAnalysisTable shows every requirement, grouped by verdict.
func (t *turn) sayAnalysisTable(l looked) {
	var rows []tableRow
	for _, v := range tableOrder {
		first := true
		for i := range l.result.Rows {
			r := &l.result.Rows[i]
			if r.Verdict != v {
				continue
			}
			if first {
				rows = append(rows, tableRow{strings.ToUpper(v.String()), nil})
				first = false
			}
			rows = append(rows, analysisRow(r))
		}
	}
	t.say(para(t.verdictText(l)), para(t.basisText(l)), tableBlock(rows), para(msg("analysis.table-legend")))
}

// analysisRow is one requirement: what there is, and its limit with the unit
// of both: the minimum, or the maximum where that is passed or is the only
// one.
func analysisRow(r *nutrition.Row) tableRow {
	s := r.Requirement.Subject
	v, limit, sign := r.Value, r.Min, "≥"
	switch {
	case r.Verdict == nutrition.AboveLegal:
		v, limit, sign = r.Capped, r.Legal, "≤"
	case r.Verdict.TooMuch() || r.StraddlesMax && !r.StraddlesMin || !r.HasMin():
		v, limit, sign = r.Capped, r.Max, "≤"
	}
	if math.IsNaN(limit) {
		return tableRow{s.Name(), []string{compactAmount(v, 1), unitText(s.Unit())}}
	}
	factor, _ := displayUnit(limit, s.Unit())
	return tableRow{s.Name(), []string{compactAmount(v, factor), sign + strings.TrimSuffix(limitText(limit, s.Unit()), " : 1")}}
}

// compactAmount prints an amount, divided by a factor, for a narrow column:
// ranges to two digits, which is as well as they are known.
func compactAmount(v nutrition.Value, factor float64) string {
	switch {
	case v.IsUnknown():
		return "?"
	case !v.Complete:
		return ">" + sig(v.Low/factor)
	case sig(v.Low/factor) == sig(v.High/factor):
		return sig(v.Mid / factor)
	}
	low, high := digits(v.Low/factor, 2), digits(v.High/factor, 2)
	if low == high {
		return low
	}
	return low + "-" + high
}

// digits prints a figure to so many significant digits.
func digits(x float64, n int) string {
	if x == 0 {
		return "0"
	}
	after := n - 1 - int(math.Floor(math.Log10(x)))
	if after < 0 {
		unit := math.Pow(10, float64(-after))
		return trim(math.Round(x/unit)*unit, 0)
	}
	return trim(x, after)
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
func (t *turn) sayAnalysisPicture(l looked) {
	var rows []chartRow
	for i := range l.result.Rows {
		r := &l.result.Rows[i]
		v := r.Value
		if r.Verdict.TooMuch() || r.StraddlesMax && !r.StraddlesMin {
			v = r.Capped
		}
		s := r.Requirement.Subject
		rows = append(rows, chartRow{Name: s.Name(), Verdict: chartWord(r.Verdict),
			Low: v.Low, Mid: v.Mid, High: v.High, Complete: v.Complete, Min: r.Min, Max: r.Max})
	}
	png, err := chartPNG(t.analysedText(l), t.basisText(l), rows)
	if err != nil {
		t.fail(err)
		return
	}
	r := t.say(para(t.verdictText(l)))
	r.Picture = &Picture{Name: "nutrients.png", Alt: msg("chart.alt", "verdict", t.verdictText(l)), PNG: png}
}

// meetsAll reports that a recipe keeps all limits of its table.
func meetsAll(a *nutrition.Analysis) bool {
	return !slices.ContainsFunc(a.Rows, func(r nutrition.Row) bool { return !r.Verdict.Meets() })
}

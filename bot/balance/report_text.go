package balance

import (
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"

	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/nutrition"
)

// WriteTable writes the report as text for a terminal.
func (r Report) WriteTable(w io.Writer) error {
	t := table.NewWriter()
	t.SetStyle(table.StyleLight)
	t.Style().Options = table.OptionsNoBordersAndSeparators
	t.AppendHeader(table.Row{"nutrient", "amount", "min", "max", "verdict"})
	lines := []string{}
	for _, n := range r.Nutrients {
		if n.Measured {
			n.Name += " *"
			lines = []string{MarkText()}
		}
		t.AppendRow(table.Row{n.Name, n.text(r.view), n.limit(n.Min, r.view), n.limit(n.Max, r.view), n.Verdict})
	}
	head := say.Where(r.Recipe != "", r.Recipe+", ") + r.day + "\n" + msg("report.head", "grams", say.Trim(r.Grams, 1), "kcal", r.EnergyKcal.text(1, "kcal"), "ratio", r.CalciumPhosphorus.text(1, ""))
	if _, err := fmt.Fprintf(w, "%s\n%s\n%s\n", head, r.basis, t.Render()); err != nil {
		return err
	}
	lines = append(lines, msg("report.ratios"))
	for _, ratio := range r.Ratios {
		lines = append(lines, ratio.text)
	}
	for _, c := range append(lines, r.Cautions...) {
		if _, err := fmt.Fprintln(w, c); err != nil {
			return err
		}
	}
	return nil
}

// WriteProblems writes the lines that were not read.
func (r Report) WriteProblems(w io.Writer) error {
	for _, p := range r.Problems {
		if _, err := fmt.Fprintln(w, msg("report.problem", "line", p.Line, "reason", p.Reason)); err != nil {
			return err
		}
	}
	return nil
}

func (n reportRow) text(view nutrition.View) string {
	if view == nutrition.AsAnalysed {
		return n.extent.text(1, strings.TrimSuffix(say.UnitText(n.Unit), "ratio"))
	}
	factor, unit := n.in(view, n.Low)
	return n.extent.text(factor, strings.TrimSpace(strings.TrimSuffix(unit, " : 1")))
}

// in is the one unit of a row in a view: that of its limits, else of a figure.
func (n reportRow) in(view nutrition.View, figure *float64) (factor float64, unit string) {
	for _, x := range []*float64{n.Min, n.Max, figure} {
		if x != nil && (view != nutrition.AsAnalysed || x == figure) {
			return viewUnit(view, n.subject, *x)
		}
	}
	return 1, n.Unit
}

// text prints an extent in a unit that is some factor of its own.
func (s extent) text(factor float64, unit string) string {
	v := nutrition.Unknown()
	switch {
	case s.Low != nil && s.High != nil:
		v = nutrition.Between(*s.Low, *s.Mid, *s.High)
	case s.Low != nil:
		v.Low, v.High = *s.Low, math.Inf(1)
	}
	return recipes.AmountIn(v, factor, strings.TrimRight(" "+unit, " "))
}

func (n reportRow) limit(x *float64, view nutrition.View) string {
	if x == nil {
		return ""
	}
	factor, unit := n.in(view, x)
	return strings.TrimSuffix(say.Sig(*x/factor)+unit, " : 1")
}

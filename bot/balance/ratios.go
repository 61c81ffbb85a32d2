package balance

import (
	"math"
	"slices"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// answerRatios says the ratios of a recipe, or that of two nutrients that are
// named.
func answerRatios(t *talk.Turn, r *planner.Recipe, s read.Sentence) {
	l, ok := looked(t, r, analysedFor(t, s))
	if !ok {
		return
	}
	ratio, ok := l.Result.Ratio(l.Mixture, l.Profile, s.Nutrient, s.Against)
	if !ok || s.Nutrient == s.Against {
		sayRatios(t, l)
		return
	}
	t.Say(say.Para(msg("ratio.head-one", "name", analysedText(l))), say.Para(ratioText(l, ratio, [2]nutrition.Subject{s.Nutrient, s.Against}, t.Home.Units))).
		Offer(t.Button(msg("button.ratios"), "analysis", "ratios", r.ID, dogs.IDOf(l.Dog)), t.Button(msg("button.complete"), "analysis", "look", r.ID, dogs.IDOf(l.Dog)))
}

// sayRatios says the ratios of what was analysed, a line each with what it
// rests on.
func sayRatios(t *talk.Turn, l Looked) {
	if l.Result.Grams == 0 {
		t.SayMsg("view.empty", "recipe", l.Recipe.Name)
		return
	}
	var lines []string
	for _, r := range nutrition.Ratios(&l.Result, l.Mixture, l.Profile) {
		if r.Kind != nutrition.OfWeight || !waits(t, l) {
			lines = append(lines, ratioText(l, r, ratioSubjects[r.Kind], t.Home.Units))
		}
	}
	switch {
	case l.Dog == nil:
		lines = append(lines, msg("ratio.no-dog"))
	case waits(t, l):
		lines = append(lines, msg("view.no-day", "dog", l.Dog.Name))
	}
	t.Say(say.Para(msg("ratio.head", "name", analysedText(l))), say.Whole(say.JoinParas(lines...))).
		Offer(t.Button(msg("button.whole-table"), "analysis", "table", l.Recipe.ID, dogs.IDOf(l.Dog)), t.Button(msg("button.why-each"), "analysis", "why", l.Recipe.ID, dogs.IDOf(l.Dog)))
}

// ratioSubjects are what a ratio is of; where a side is of several fatty acids,
// one of them stands for all.
var ratioSubjects = map[nutrition.RatioKind][2]nutrition.Subject{
	nutrition.CaToP:   {nutrition.Subject(nutrition.Calcium), nutrition.Subject(nutrition.Phosphorus)},
	nutrition.ZnToCu:  {nutrition.Subject(nutrition.Zinc), nutrition.Subject(nutrition.Copper)},
	nutrition.N6ToN3:  {nutrition.Subject(nutrition.Linoleic), nutrition.Subject(nutrition.AlphaLinolenic)},
	nutrition.EToPUFA: {nutrition.Subject(nutrition.VitaminE), nutrition.Subject(nutrition.Linoleic)},
}

// ratioText is one ratio: its value, the amounts it rests on, its band where
// there is one, and what has no figure.
func ratioText(l Looked, r nutrition.Ratio, of [2]nutrition.Subject, u planner.Units) string {
	units := [2]string{of[0].Unit(), of[1].Unit()}
	value := ratioValue(r.Value, " : 1")
	switch r.Kind {
	case nutrition.EToPUFA:
		value, units[0] = ratioValue(r.Value, msg("ratio.per-gram")), "mg"
	case nutrition.BoneShare:
		return msg(say.Choose(r.High == 0, "ratio.no-bone", "ratio.bone"), "value", shareText(r.Value), "whole", shareText(r.Of)) + bandText(l, r)
	case nutrition.OfWeight:
		return msg("ratio.body-weight", "value", ratioValue(r.Value.Times(100), " %"), "grams", say.Mass(nutrition.Grams(r.Of.Mid), u),
			"weight", say.BodyWeight(nutrition.Kilograms(r.To.Mid), u)) + openText(l, nutrition.Subject(nutrition.Energy), r.Of, r.OfOpen, nutrition.Energy.Name())
	}
	key := say.Choose(r.Kind == nutrition.N6ToN3 || r.Kind == nutrition.EToPUFA, string(r.Kind), "two")
	sides := [2]string{of[0].Name(), of[1].Name()}
	text := msg("ratio-of."+key, "name", say.Capital(sides[0]), "other", sides[1], "value", value,
		"of", amountText(r.Of, units[0])+measuredIn(l, of[0]), "to", amountText(r.To, units[1])+measuredIn(l, of[1])) + bandText(l, r)
	switch r.Kind {
	case nutrition.N6ToN3:
		sides = [2]string{msg("ratio.omega-6"), msg("ratio.omega-3")}
	case nutrition.EToPUFA:
		sides[1] = msg("ratio.polyunsaturated")
	}
	return text + openText(l, of[0], r.Of, r.OfOpen, sides[0]) + openText(l, of[1], r.To, r.ToOpen, sides[1])
}

// measuredIn marks a side of a ratio that a laboratory's figure is in.
func measuredIn(l Looked, s nutrition.Subject) string {
	row := l.Result.Row(s)
	return say.Where(row != nil && row.Measured, " "+msg("value.measured"))
}

// ratioValue prints a ratio: a figure, a range, at least or at most so much.
func ratioValue(v nutrition.Value, unit string) string {
	if v.Complete && v.Low == 0 && v.High > 0 {
		return msg("ratio.at-most", "value", say.Sig(v.High)+unit)
	}
	return recipes.AmountIn(v, 1, unit)
}

// bandText says between what a ratio should lie, by whom; of zinc to copper, to
// which no table sets a limit, how the table's minimums stand.
func bandText(l Looked, r nutrition.Ratio) string {
	table := msg("profile." + l.Profile.ID)
	args := []any{"table", table, "min", say.Sig(r.Min), "max", say.Sig(r.Max)}
	switch {
	case r.Kind == nutrition.ZnToCu:
		zinc, _ := l.Profile.Requirement(nutrition.Subject(nutrition.Zinc))
		copper, _ := l.Profile.Requirement(nutrition.Subject(nutrition.Copper))
		return " " + msg("ratio.minimums", "table", table, "ratio", say.Sig(zinc.Min/copper.Min))
	case r.Kind == nutrition.BoneShare:
		return " " + msg("ratio.usual", "min", say.Trim(r.Min*100, 0), "max", say.Percent(r.Max))
	case !math.IsNaN(r.Min) && !math.IsNaN(r.Max):
		return " " + msg("ratio.band", args...)
	case r.Kind == nutrition.EToPUFA && !math.IsNaN(r.Min):
		return " " + msg("ratio.min-e", append(args, "iu", say.Sig(r.Min*nutrition.VitaminEIUPerMg))...)
	case !math.IsNaN(r.Min):
		return " " + msg("ratio.min", args...)
	case !math.IsNaN(r.Max):
		return " " + msg("ratio.max", args...)
	}
	return ""
}

// openText names the foods without a figure of one side of a ratio.
func openText(l Looked, s nutrition.Subject, amount nutrition.Value, parts []int, name string) string {
	if len(parts) == 0 {
		return ""
	}
	row := nutrition.Row{Requirement: nutrition.Requirement{Subject: s}, Value: amount, UnknownFrom: parts}
	return " " + msg("ratio.open", "name", say.Capital(name), "foods", lacking(l, &row))
}

// reportRatio is a ratio and what it rests on: two amounts on the analysis'
// basis.
type reportRatio struct {
	Name string `json:"name"`
	Unit string `json:"unit"` // "ratio", "mg/g", or "fraction"
	extent
	Of          extent   `json:"of"`
	To          extent   `json:"to"`
	Min         *float64 `json:"min"`
	Max         *float64 `json:"max"`
	OfTable     bool     `json:"of_table"` // else the band is common practice, without a source
	UnknownFrom []string `json:"unknown_from"`

	text string
}

func ratiosOf(l Looked) []reportRatio {
	out := []reportRatio{}
	for _, r := range nutrition.Ratios(&l.Result, l.Mixture, l.Profile) {
		unit := "ratio"
		switch r.Kind {
		case nutrition.EToPUFA:
			unit = "mg/g"
		case nutrition.BoneShare, nutrition.OfWeight:
			unit = "fraction"
		}
		out = append(out, reportRatio{Name: string(r.Kind), Unit: unit, extent: spanOf(r.Value), Of: spanOf(r.Of), To: spanOf(r.To),
			Min: number(r.Min), Max: number(r.Max), OfTable: r.OfTable, UnknownFrom: partNames(l, slices.Concat(r.OfOpen, r.ToOpen), nutrition.Subject(nutrition.Energy), nil),
			text: ratioText(l, r, ratioSubjects[r.Kind], planner.Units{})})
	}
	return out
}

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

// answerNutrient says how much of one nutrient a recipe has, and whether that
// is enough.
func answerNutrient(t *talk.Turn, s read.Sentence) {
	if r := talk.RecipeMeant(t, s); r != nil {
		sayNutrient(t, r, analysedFor(t, s), s.Nutrient)
	}
}

// answerNutrientOf says how much of one nutrient 100 g of a food have, of several the
// likeliest, or that it is not known.
func answerNutrientOf(t *talk.Turn, s read.Sentence) {
	found := t.Foods.Find(s.Food)
	f := found.Food
	if f == nil && len(found.Choices) > 0 {
		f = found.Choices[0]
	}
	if f == nil { // "in the batch"
		answerNutrient(t, s)
		return
	}
	sum := nutrition.Sum(nutrition.Mixture{Items: []nutrition.Item{{Food: f, Grams: 100}}})
	v, kelp := sum.Of(s.Nutrient.Terms()), nutrition.UsualKelpIodine(f, 1)
	factor, unit := say.DisplayUnit(v.Mid, s.Nutrient.Unit())
	t.Say(say.Para(msg(say.Choose(v.Complete || v.Low > 0, "nutrient.in-food", "nutrient.not-in-food"), "food", say.Capital(f.Name), "nutrient", s.Nutrient.Name(), "amount", recipes.AmountIn(v, factor, unit))),
		say.Whole(say.Where(kelp > 0 && s.Nutrient == nutrition.Subject(nutrition.Iodine), msg("nutrient.of-kelp", "amount", say.Sig(kelp)))))
}

// BareNutrient answers the name of a nutrient and nothing else: "iodine?".
func BareNutrient(t *talk.Turn, s string) bool {
	subject, ok := read.NutrientNamed(s)
	if ok {
		answerNutrient(t, read.Sentence{Intent: read.NutrientAmount, Nutrient: subject})
	}
	return ok
}

// sayNutrient says the amount first, a day where it is for a dog, then its
// limits, what has no figure, and what would mend it.
func sayNutrient(t *talk.Turn, r *planner.Recipe, d *planner.Dog, subject nutrition.Subject) {
	t.Talk.Recipe = r.ID
	d = judgedFor(r, d)
	l, others, err := judged(t, d, r)
	if recipes.Failed(t, r, err) {
		return
	}
	name, gate := l.Recipe.Name, ""
	if d != nil {
		t.Talk.Dog = cmp.Or(d.ID, t.Talk.Dog)
		name, gate = msg("nutrient.for", "recipe", name, "dog", d.Name), dogs.GateText(*d, planner.AmountOf(*d, t.Event.At))
	}
	t.Say(say.Para(nutrientText(t, l, name, subject, len(others) > 0)), say.Para(BasisText(t, l)), say.Whole(togetherWith(d, r, others)), say.Whole(gate)).Offer(t.Button(msg("button.whole-table"), "analysis", "table", r.ID, dogs.IDOf(d)), t.Button(msg("button.complete"), "analysis", "look", r.ID, dogs.IDOf(d)))
}

// nutrientText is what there is of one nutrient of a recipe: "94.8 mg calcium a
// day in Plain for Pip: low. Minimum 527 mg." Beside food of which a label says no
// more than that, nothing is to be put in.
func nutrientText(t *talk.Turn, l Looked, name string, subject nutrition.Subject, beside bool) string {
	l.Profile = l.Profile.Naming(subject)
	l.Result = nutrition.Analyse(l.Mixture, l.Profile, l.Result.Basis)
	row := l.Result.Row(subject)
	f, u := rowUnit(row)
	args := []any{"amount", recipes.AmountIn(row.Value, f, u) + measuredText(row), "nutrient", subject.Name(), "per", perText(l, subject), "name", name,
		"verdict", nutrientVerdict(t, l, row), "limits", limitsText(l, row, f, u)}
	out := msg("nutrient.amount", args...)
	switch {
	case row.IsUnknown():
		out = msg("nutrient.unknown", args...)
	case !row.HasMin() && !row.HasMax():
		out = msg("nutrient.no-limit", args...)
	}
	// No food table gives chloride, and salt is no remedy for that.
	if rem := remedyOf(t, l, subject); rem != nil && subject != nutrition.Subject(nutrition.Chloride) && !beside {
		out += remedyText(t, l, rem)
	}
	return say.JoinParas(say.Capital(out), say.Where(len(row.UnknownFrom) > 0, msg("nutrient.lacking", "foods", lacking(l, row))))
}

// perText is what an amount is of: " a day"; nothing for a ratio.
func perText(l Looked, subject nutrition.Subject) string {
	switch {
	case subject == nutrition.CalciumPhosphorus:
		return ""
	case l.Result.Basis.PerDog:
		return " " + msg("nutrient.day")
	}
	return " " + msg("nutrient.kcal")
}

// nutrientVerdict is the verdict in words: "low", "not known: the figures
// spread that far".
func nutrientVerdict(t *talk.Turn, l Looked, r *nutrition.Row) string {
	switch {
	case r.Verdict == nutrition.Enough && r.Requirement.Kind == nutrition.VetMax && !r.OpenMax:
		return msg("nutrient.keeps-vet")
	case r.Verdict == nutrition.Low && len(r.Unless) > 0:
		return msg("nutrient.low-unless", "unless", unlessText(l, r))
	case overElsewhere(l, r):
		return msg("nutrient.over-elsewhere")
	case r.Verdict == nutrition.AboveLegal:
		return msg("nutrient.above-legal", "name", r.Requirement.Subject.Name())
	case r.Verdict == nutrition.LikelyLow, r.Verdict == nutrition.LikelyEnough, r.Verdict == nutrition.LikelyHigh:
		return msg("nutrient.likely", "verdict", r.Verdict.String(), "why", straddleReason(l, r))
	case r.StraddlesMin:
		return msg("nutrient.straddles", "why", straddleReason(l, r))
	case r.StraddlesMax:
		return msg("nutrient.straddles-max", "why", straddleReason(l, r))
	case r.Verdict == nutrition.Enough && !r.HasMax() && read.Says("asks-maximum", t.Event.Text):
		return nutrition.NoLimit.String()
	case r.OpenMax:
		return msg("nutrient.open-max")
	}
	return r.Verdict.String()
}

// rowUnit is the one unit in which an amount and its limits are told, so that
// they can be compared at a look: that of the least of them.
func rowUnit(r *nutrition.Row) (factor float64, unit string) {
	least := math.Inf(1)
	for _, x := range []float64{r.Value.Mid, r.Min, r.Max} {
		if x > 0 { // not where there is none
			least = min(least, x)
		}
	}
	return say.DisplayUnit(least, r.Requirement.Subject.Unit())
}

// limitsText prints the limits of a row: "minimum 527 mg, maximum 4.5 g".
// Where the table has no maximum it says so, and what another table has.
func limitsText(l Looked, r *nutrition.Row, f float64, u string) string {
	var all []string
	if r.HasMin() {
		all = append(all, msg("nutrient.minimum", "limit", say.Sig(r.Min/f)+u))
	}
	if r.HasMax() {
		all = append(all, msg(say.Choose(r.Requirement.Kind == nutrition.VetMax, "nutrient.vet-maximum", "nutrient.maximum"), "limit", say.Sig(r.Max/f)+u))
	}
	switch {
	case r.HasLegal() && !r.BoundByLaw():
		all = append(all, msg("nutrient.legal", "limit", say.Sig(r.Legal/f)+u))
	case !r.HasMax() && !r.HasMin():
		all = append(all, msg("nutrient.free"))
	case !r.HasMax():
		all = append(all, msg("nutrient.no-maximum"))
	}
	text := say.Capital(strings.Join(all, ", ")) + "."
	if !r.HasMax() && !r.HasLegal() && !r.Verdict.TooLittle() {
		text += elsewhereText(l, r, f, u)
	}
	return text
}

// elsewhereText says what maximum another table has of a nutrient, and whether
// there is more.
func elsewhereText(l Looked, r *nutrition.Row, f float64, u string) string {
	p, q := l.Profile.Elsewhere(r.Requirement.Subject)
	if p == nil {
		return ""
	}
	above, limit := "", elsewhereMax(l, q)
	switch {
	case overElsewhere(l, r):
		above = msg("nutrient.above")
	case r.Capped.Low > limit:
		above = msg("nutrient.above-natural")
	}
	return " " + msg(say.Choose(q.Kind == nutrition.LegalMax, "nutrient.elsewhere-law", "nutrient.elsewhere"), "table", tableName(p), "limit", say.Sig(limit/f)+u, "above", above)
}

// elsewhereMax is another table's maximum on the basis of the analysis.
func elsewhereMax(l Looked, q nutrition.Requirement) float64 {
	if b := l.Result.Basis; b.PerDog && !q.Subject.IsRatio() {
		return q.Max * float64(b.Kcal) / 1000
	}
	return q.Max
}

// overElsewhere reports that there is more of a nutrient than another table
// allows, where the dog's own has no maximum. A maximum of the law binds what
// is added.
func overElsewhere(l Looked, r *nutrition.Row) bool {
	if r.HasMax() || r.HasLegal() {
		return false
	}
	p, q := l.Profile.Elsewhere(r.Requirement.Subject)
	return p != nil && (q.Kind != nutrition.LegalMax || r.Added > 0) && r.Capped.Low > elsewhereMax(l, q)*(1+nutrition.Rounding)
}

// tableName is the name of a table in a word: "FEDIAF".
func tableName(p *nutrition.Profile) string {
	name, _, _ := strings.Cut(msg("profile."+p.ID), " ")
	return name
}

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

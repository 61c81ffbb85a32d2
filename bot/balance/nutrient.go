package balance

import (
	"cmp"
	"math"
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
	if rem, ok := remedies(t, l)[subject]; ok && subject != nutrition.Subject(nutrition.Chloride) && !beside {
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
		all = append(all, msg("nutrient.maximum", "limit", say.Sig(r.Max/f)+u))
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

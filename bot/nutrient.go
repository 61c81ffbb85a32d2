package bot

import (
	"math"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// answerNutrient says how much of one nutrient a recipe has, and whether that
// is enough.
func (t *turn) answerNutrient(s read.Sentence) {
	if r := t.recipeMeant(s); r != nil {
		t.sayNutrient(r, t.analysedFor(s), s.Nutrient)
	}
}

// bareNutrient answers the name of a nutrient and nothing else: "iodine?".
func (t *turn) bareNutrient(s string) bool {
	subject, ok := read.NutrientNamed(s)
	if ok {
		t.answerNutrient(read.Sentence{Intent: read.NutrientAmount, Nutrient: subject})
	}
	return ok
}

// sayNutrient says the amount first, a day where it is for a dog, then its
// limits, what has no figure, and what would mend it.
func (t *turn) sayNutrient(r *planner.Recipe, d *planner.Dog, subject nutrition.Subject) {
	t.talk.Recipe = r.ID
	l, err := t.given(d, r)
	if err != nil {
		t.say(para(t.recipeTrouble(r, err)))
		return
	}
	name := r.Name
	if d != nil {
		if d.ID != "" {
			t.talk.Dog = d.ID
		}
		name = msg("nutrient.for", "recipe", name, "dog", d.Name)
	}
	blocks := []Block{para(t.nutrientText(l, name, subject)), para(t.basisText(l))}
	if d != nil {
		blocks = append(blocks, para(t.gateText(*d, planner.AmountOf(*d, t.event.At))))
	}
	t.say(blocks...).offer(t.button(msg("button.whole-table"), "analysis", "table", r.ID, idOf(d)), t.button(msg("button.complete"), "analysis", "look", r.ID, idOf(d)))
}

// nutrientText is what there is of one nutrient of a recipe: "94.8 mg calcium a
// day in Plain for Pip: low. Minimum 527 mg."
func (t *turn) nutrientText(l looked, name string, subject nutrition.Subject) string {
	l.profile = l.profile.Naming(subject)
	l.result = nutrition.Analyse(l.mixture, l.profile, l.result.Basis)
	row := l.result.Row(subject)
	f, u := rowUnit(row)
	args := []any{"amount", amountIn(row.Value, f, u), "nutrient", subject.Name(), "per", t.perText(l, subject), "name", name,
		"verdict", t.nutrientVerdict(l, row), "limits", limitsText(l, row, f, u)}
	var out string
	switch {
	case row.IsUnknown():
		out = msg("nutrient.unknown", args...)
	case !row.HasMin() && !row.HasMax():
		out = msg("nutrient.no-limit", args...)
	default:
		out = msg("nutrient.amount", args...)
	}
	// No food table gives chloride, and salt is no remedy for that.
	if rem, ok := t.remedies(l)[subject]; ok && subject != nutrition.Subject(nutrition.Chloride) {
		out += t.remedyText(l, rem)
	}
	return joinParas(capital(out), t.lackingText(l, row))
}

// perText is what an amount is of: " a day"; nothing for a ratio.
func (t *turn) perText(l looked, subject nutrition.Subject) string {
	switch {
	case subject == nutrition.CalciumPhosphorus:
		return ""
	case l.result.Basis.PerDog:
		return " " + msg("nutrient.day")
	}
	return " " + msg("nutrient.kcal")
}

// nutrientVerdict is the verdict in words: "low", "not known: the figures
// spread that far".
func (t *turn) nutrientVerdict(l looked, r *nutrition.Row) string {
	switch {
	case r.Verdict == nutrition.Low && len(r.Unless) > 0:
		return msg("nutrient.low-unless", "unless", t.unlessText(l, r))
	case r.Verdict == nutrition.AboveLegal:
		return msg("nutrient.above-legal", "name", r.Requirement.Subject.Name())
	case r.Verdict == nutrition.LikelyLow, r.Verdict == nutrition.LikelyEnough, r.Verdict == nutrition.LikelyHigh:
		return msg("nutrient.likely", "verdict", r.Verdict.String(), "why", t.straddleReason(l, r))
	case r.StraddlesMin:
		return msg("nutrient.straddles", "why", t.straddleReason(l, r))
	case r.StraddlesMax:
		return msg("nutrient.straddles-max", "why", t.straddleReason(l, r))
	case r.Verdict == nutrition.Enough && !r.HasMax() && asksMaximum(t.event.Text):
		return nutrition.NoLimit.String()
	case r.OpenMax:
		return msg("nutrient.open-max")
	}
	return r.Verdict.String()
}

// asksMaximum reports that a question is whether something is too much.
func asksMaximum(text string) bool {
	low := strings.ToLower(text)
	for _, w := range []string{"too much", "too high", "maximum", "limit", "overdos", "toxic", "safe"} {
		if strings.Contains(low, w) {
			return true
		}
	}
	return false
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
	return displayUnit(least, r.Requirement.Subject.Unit())
}

// limitsText prints the limits of a row: "minimum 527 mg, maximum 4.5 g".
// Where the table has no maximum it says so, and what another table has.
func limitsText(l looked, r *nutrition.Row, f float64, u string) string {
	var all []string
	if r.HasMin() {
		all = append(all, msg("nutrient.minimum", "limit", sig(r.Min/f)+u))
	}
	if r.HasMax() {
		all = append(all, msg("nutrient.maximum", "limit", sig(r.Max/f)+u))
	}
	switch {
	case r.HasLegal() && !r.BoundByLaw():
		all = append(all, msg("nutrient.legal", "limit", sig(r.Legal/f)+u))
	case !r.HasMax() && !r.HasMin():
		all = append(all, msg("nutrient.free"))
	case !r.HasMax():
		all = append(all, msg("nutrient.no-maximum"))
	}
	text := capital(strings.Join(all, ", ")) + "."
	if !r.HasMax() && !r.HasLegal() && !r.Verdict.TooLittle() {
		text += elsewhereText(l, r, f, u)
	}
	return text
}

// elsewhereText says what maximum another table has of a nutrient, and whether
// there is more.
func elsewhereText(l looked, r *nutrition.Row, f float64, u string) string {
	p, q := l.profile.Elsewhere(r.Requirement.Subject)
	if p == nil {
		return ""
	}
	limit := q.Max
	if b := l.result.Basis; b.PerDog && !q.Subject.IsRatio() {
		limit *= float64(b.Kcal) / 1000
	}
	key, above := "nutrient.elsewhere", ""
	if q.Kind == nutrition.LegalMax {
		key = "nutrient.elsewhere-law"
	}
	if r.Capped.Low > limit {
		above = msg("nutrient.above")
		if q.Kind == nutrition.LegalMax && !(r.Added > 0) {
			above = msg("nutrient.above-natural")
		}
	}
	table, _, _ := strings.Cut(msg("profile."+p.ID), " ")
	return " " + msg(key, "table", table, "limit", sig(limit/f)+u, "above", above)
}

// lackingText names the foods that have no figure for a nutrient.
func (t *turn) lackingText(l looked, r *nutrition.Row) string {
	if len(r.UnknownFrom) == 0 {
		return ""
	}
	return msg("nutrient.lacking", "foods", t.lacking(l, r))
}

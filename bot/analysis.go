package bot

import (
	"fmt"
	"sort"
	"strconv"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// looked is a recipe that was analysed, for a dog or for none.
type looked struct {
	recipe  *planner.Recipe
	dog     *planner.Dog // nil: for no dog
	mixture nutrition.Mixture
	profile *nutrition.Profile
	result  nutrition.Analysis
}

// look analyses a recipe for a dog (nil: for none), against the profile that
// fits it or that the household chose.
func (t *turn) look(r *planner.Recipe, d *planner.Dog) (looked, error) {
	l := looked{recipe: r, dog: d}
	var dog planner.Dog
	var basis nutrition.Basis
	if d != nil {
		dog = *d
		n := planner.AmountOf(dog, t.event.At)
		basis = nutrition.Basis{PerDog: true, Weight: n.Basis, Kcal: n.Kcal}
	}
	id, adult := planner.ProfileFor(dog, t.event.At, t.home.Profile)
	p := nutrition.ProfileByID(id)
	if p == nil {
		return l, fmt.Errorf("bot: no profile %q", id)
	}
	var err error
	l.profile = p.ForAdultWeight(adult)
	if l.mixture, err = planner.MixtureOf(*r, t.foods, basis.Kcal); err != nil {
		return l, err
	}
	l.result = nutrition.Analyse(l.mixture, l.profile, basis)
	return l, nil
}

// answerAnalyse says whether a recipe is complete.
func (t *turn) answerAnalyse(s read.Sentence) {
	r := t.recipeMeant(s)
	if r == nil {
		return
	}
	t.analyse(r, t.analysedFor(s))
}

// analyse says the verdict in a line, then what is short or too much with
// what would mend it, then buttons for the rest.
func (t *turn) analyse(r *planner.Recipe, d *planner.Dog) {
	t.talk.Recipe = r.ID
	l, err := t.given(d, r)
	if err != nil {
		t.say(para(t.recipeTrouble(r, err)))
		return
	}
	blocks := []Block{para(t.verdictText(l)), para(t.basisText(l))}
	if d != nil {
		blocks = append(blocks, para(capital(t.gateText(*d, planner.AmountOf(*d, t.event.At)))), para(t.excludedText(d, *r)), para(t.byItself(d, r)))
	}
	blocks = append(blocks, para(strings.Join(t.findings(l), "\n")), para(t.sharesOffText(l)), para(t.cautionsText(l)))
	dog := idOf(d)
	out := t.say(blocks...)
	out.offer(t.button(msg("button.whole-table"), "analysis", "table", r.ID, dog), t.button(msg("button.picture"), "analysis", "picture", r.ID, dog))
	if !t.gated(d) {
		out.offer(t.button(msg("button.balance"), "balance", "start", r.ID, dog), t.button(msg("button.swap"), "swap", "ask", r.ID, dog))
	}
}

// idOf is a dog's id in a button, "-" for none; of a dog that was described in
// words it is the description: see dogIn.
func idOf(d *planner.Dog) string {
	switch {
	case d == nil:
		return "-"
	case d.ID == "":
		return strings.Join([]string{describedMark, trim(float64(d.Weight), 3), string(d.Activity), strconv.Itoa(d.Condition), string(d.Stage), bornText(*d)}, "/")
	}
	return d.ID
}

// mostFindings is how many shortfalls and excesses one message names; the
// table has them all.
const mostFindings = 8

// findings are a line for each nutrient that is not enough, the graver ones
// first.
func (t *turn) findings(l looked) []string {
	var rows []*nutrition.Row
	for i := range l.result.Rows {
		if v := l.result.Rows[i].Verdict; v != nutrition.Enough && v != nutrition.NoLimit {
			rows = append(rows, &l.result.Rows[i])
		}
	}
	sort.SliceStable(rows, func(i, j int) bool { return gravity(rows[i]) < gravity(rows[j]) })
	rows, unknown := t.foldUnknown(rows)
	var lines []string
	for _, r := range rows[:min(len(rows), mostFindings)] {
		lines = append(lines, t.findingText(l, r))
	}
	if more := len(rows) - mostFindings; more > 0 {
		lines = append(lines, msg("analysis.more", "n", more))
	}
	if unknown != "" {
		lines = append(lines, unknown)
	}
	if mend := t.togetherText(l, t.together(l)); mend != "" {
		lines = append(lines, mend)
	}
	return lines
}

// remedies are what would mend each nutrient, none for a dog whose food is a
// vet's matter.
func (t *turn) remedies(l looked) map[nutrition.Subject]nutrition.Remedy {
	all := map[nutrition.Subject]nutrition.Remedy{}
	if !t.gated(l.dog) {
		for _, r := range nutrition.Mend(l.result, l.mixture, l.profile, t.foods, t.excluder(l.dog)) {
			all[r.Subject] = r
		}
	}
	return all
}

// mostUnknown is how many nutrients without figures get a line each; more are
// a gap of the tables rather than of the recipe, and are named in one line.
const mostUnknown = 5

// foldUnknown returns the rows that get a line each and, where many lack
// figures, one line that names those.
func (t *turn) foldUnknown(rows []*nutrition.Row) (kept []*nutrition.Row, line string) {
	var all []nutrition.Subject
	for _, r := range rows {
		if gravity(r) == 4 {
			all = append(all, r.Requirement.Subject)
		} else {
			kept = append(kept, r)
		}
	}
	if len(all) <= mostUnknown {
		return rows, ""
	}
	names, _ := namesOf(all, mostNamed)
	return kept, msg("finding.many-unknown", "n", len(all), "names", names)
}

// gated reports that no plan is made for a dog by itself: only a vet's.
func (t *turn) gated(d *planner.Dog) bool {
	return d != nil && planner.AmountOf(*d, t.event.At).Gate != ""
}

// straddleReason says what a range depends on: the bone, where there is
// bone, else the food's own spread.
func (t *turn) straddleReason(l looked, r *nutrition.Row) string {
	subject := r.Requirement.Subject
	if n, ok := subject.Nutrient(); subject == nutrition.CalciumPhosphorus || ok && n <= nutrition.Phosphorus {
		for _, it := range l.mixture.Items {
			if it.Food.Bone.Kind != nutrition.NoBone {
				return msg("finding.bone")
			}
		}
	}
	return msg("finding.spread")
}

// remedyText says what would mend a nutrient, and the grams it takes.
//
// Against a dog's day the grams are those of a day too; else they are for the
// whole recipe, and say so.
func (t *turn) remedyText(l looked, r nutrition.Remedy) string {
	basis := "whole"
	if l.result.Days() > 0 {
		basis = "day"
	}
	amount := func(whole, aDay nutrition.Grams) string {
		if basis == "day" {
			return enoughMass(aDay, t.home.Units)
		}
		return enoughMass(whole, t.home.Units)
	}
	if c := r.Cut; c != nil {
		if c.Whole {
			return "" // no cut of one food is enough: that is another recipe
		}
		if c.Part < len(l.mixture.Items) {
			return " " + msg("remedy.cut-"+basis, "grams", amount(c.Grams, c.PerDayGrams), "food", l.mixture.Items[c.Part].Food.Name)
		}
		return " " + msg("remedy.cut-dose", "name", l.mixture.Extras[c.Part-len(l.mixture.Items)].Name)
	}
	var options []string
	for _, o := range r.Options {
		if o.ByLabel {
			label := o.PerDay
			if basis == "whole" && l.result.Totals.Days > 0 {
				label *= l.result.Totals.Days
			}
			options = append(options, msg("remedy.label-"+basis, "food", o.Food.Name, "amount", limitText(label, o.Nutrient.Unit())))
			continue
		}
		options = append(options, msg("remedy.add-"+basis, "grams", amount(o.Grams, o.PerDayGrams), "food", o.Food.Name))
	}
	if len(options) == 0 {
		return ""
	}
	return " " + msg("remedy.mend", "options", strings.Join(options, msg("remedy.or")))
}

// excluder is what a dog may not have: its exclusions. Without a dog, what
// any dog of the household may not have is no matter.
func (t *turn) excluder(d *planner.Dog) func(*nutrition.Food) bool {
	if d == nil || len(d.Excludes) == 0 {
		return nil
	}
	words := d.Excludes
	return func(f *nutrition.Food) bool { return nutrition.Excluded(f, words) }
}

// sharesOffText says which shares by body part are outside the usual bands.
func (t *turn) sharesOffText(l looked) string {
	var lines []string
	for _, o := range l.result.Shares.Off() {
		key := "band." + string(o.Band) + "." + o.Verdict.String()
		if o.Absent {
			// Without bone the calcium tells whether another source is there,
			// and fish a few times a week is as usual as a little every day.
			key = "band." + string(o.Band) + ".absent"
		}
		if !hasMessage(key) {
			continue
		}
		lines = append(lines, msg(key, "share", shareText(o.Share), "low", strings.TrimSuffix(percent(o.Low), " %"), "high", percent(o.High)))
	}
	return joinParas(lines...)
}

func shareText(v nutrition.Value) string {
	if percent(v.Low) == percent(v.High) {
		return percent(v.Mid)
	}
	return strings.TrimSuffix(percent(v.Low), " %") + "-" + percent(v.High)
}

// cautionsText are the cautions that foods and dog call for, each told to a
// household once in three months for each recipe. What the dog's gate says is not said again.
func (t *turn) cautionsText(l looked) string {
	ctx := nutrition.CautionContext{AtRisk: t.home.AtRisk, Analysis: &l.result}
	if l.dog != nil {
		ctx.Weight, ctx.Stage = l.dog.Weight, stageOf(*l.dog, t.event.At)
	}
	var lines []string
	for _, c := range nutrition.Cautions(l.mixture.Items, ctx) {
		text, told := cautionText(c, t.foods), string(c.Code)+"/"+l.recipe.ID
		if c.Code == nutrition.GrowthCaution || c.Code == nutrition.ReproductionCaution || text == "" || c.Code == nutrition.RawPorkCaution && t.home.PorkFree || !t.home.CautionDue(told, planner.ThreeMonths, t.event.At) {
			continue
		}
		t.home.SayCaution(told, t.event.At)
		t.changed = true
		lines = append(lines, text)
	}
	return joinParas(lines...)
}

// pressAnalysis does what a button under an analysis asks.
func (t *turn) pressAnalysis(args []string) {
	r, d := t.recipe(arg(args, 1)), t.dogIn(arg(args, 2))
	if r == nil || d == nil && arg(args, 2) != "-" {
		t.sayMsg("press.gone")
		return
	}
	if arg(args, 0) == "look" {
		t.analyse(r, d)
		return
	}
	l, err := t.given(d, r)
	if err != nil {
		t.say(para(t.recipeTrouble(r, err)))
		return
	}
	switch arg(args, 0) {
	case "table":
		t.sayAnalysisTable(l)
	case "picture":
		t.sayAnalysisPicture(l)
	default:
		t.sayMsg("press.stale")
	}
}

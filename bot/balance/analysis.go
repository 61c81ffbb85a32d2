package balance

import (
	"cmp"
	"fmt"
	"slices"
	"sort"
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/nutrition/adjust"
	"bowlwright/planner"
	"bowlwright/planner/illness"
)

// Looked is a recipe that was analysed, for a dog or for none.
type Looked struct {
	Recipe  *planner.Recipe
	Dog     *planner.Dog // nil: for no dog
	Mixture nutrition.Mixture
	Profile *nutrition.Profile
	Result  nutrition.Analysis
	Heated  bool // what it is made of raw is cooked: of some vitamins that leaves a range
}

// AsMade is what is left of a recipe where it is cooked, and whether anything in it
// is weighed raw.
func AsMade(r *planner.Recipe, m nutrition.Mixture) (nutrition.Mixture, bool) {
	if !recipes.IsCooked(r) {
		return m, false
	}
	raw := slices.ContainsFunc(m.Items, func(it nutrition.Item) bool { return it.Food.AsCooked() != it.Food })
	return m.AsCooked(), raw
}

// Look analyses a recipe for a dog (nil: for none), against the profile that
// fits it or that the household chose.
func Look(t *talk.Turn, r *planner.Recipe, d *planner.Dog) (Looked, error) {
	var dog planner.Dog
	var basis nutrition.Basis
	if d != nil {
		dog = *d
		n := planner.AmountOf(dog, t.Event.At)
		basis = nutrition.Basis{PerDog: true, Weight: n.Basis, Kcal: n.Kcal}
	}
	id, adult := planner.ProfileFor(dog, t.Event.At, t.Home.Profile)
	return look(t, r, d, id, adult, basis)
}

// LookBy is Look for no dog, by a table; an empty one is that of the household.
func LookBy(t *talk.Turn, r *planner.Recipe, table string) (Looked, error) {
	return look(t, r, nil, cmp.Or(table, ownTable(t)), 0, nutrition.Basis{})
}

// ownTable is the table by which a household judges, for no dog.
func ownTable(t *talk.Turn) string {
	id, _ := planner.ProfileFor(planner.Dog{}, t.Event.At, t.Home.Profile)
	return id
}

func look(t *talk.Turn, r *planner.Recipe, d *planner.Dog, table string, adult nutrition.Kilograms, basis nutrition.Basis) (l Looked, err error) {
	l = Looked{Recipe: r, Dog: d}
	p := nutrition.ProfileByID(table)
	if p == nil {
		return l, fmt.Errorf("bot: no profile %q", table)
	}
	l.Profile = p.ForAdultWeight(adult)
	if kidneyIll(d) {
		l.Profile = l.Profile.WithoutMin(keptLow...)
	}
	if d != nil {
		for _, text := range d.Limits {
			if limit, _, _ := read.LimitIn(text); limit.Known && limit.Bound > 0 && limit.Unit != "%" && milliIn(limit) > 0 {
				l.Profile = l.Profile.KeptTo(limit.Of, limit.Bound*milliIn(limit), limit.Least)
			}
		}
	}
	if l.Mixture, err = planner.MixtureOf(*r, t.Foods, basis.Kcal); err != nil {
		return l, err
	}
	l.Mixture, l.Heated = AsMade(r, l.Mixture)
	l.Result = nutrition.Analyse(l.Mixture, l.Profile, basis)
	return l, nil
}

// Claim is what there is to say of a recipe that is said to be complete.
type Claim struct {
	Table string
	Wrong []nutrition.Subject // too little of these, or too much
	Open  []nutrition.Subject // not known
	Fails []nutrition.Failing // where it fails badly, whatever is not known
	Err   error
}

// Holds reports that a recipe keeps the table on what is known, and enough is.
func (c Claim) Holds() bool {
	return c.Err == nil && len(c.Wrong)+len(c.Fails) == 0 && !openBadly(c.Open)
}

// ClaimOf judges a recipe by a table per 1000 kcal; an empty table is the one by
// which the household judges, for no dog.
func ClaimOf(t *talk.Turn, r *planner.Recipe, table string) Claim {
	c := Claim{Table: cmp.Or(table, ownTable(t))}
	l, err := LookBy(t, r, c.Table)
	if err != nil || l.Result.Grams == 0 {
		c.Err = cmp.Or(err, error(&planner.ScaleError{Code: planner.EmptyRecipe}))
		return c
	}
	for i := range l.Result.Rows {
		switch row := &l.Result.Rows[i]; {
		case row.Verdict.TooLittle(), row.Verdict.TooMuch():
			c.Wrong = append(c.Wrong, row.Requirement.Subject)
		case !row.Verdict.Meets():
			c.Open = append(c.Open, row.Requirement.Subject)
		}
	}
	c.Fails = nutrition.Failings(l.Mixture, &l.Result)
	return c
}

// ownFood has a sentence that names a dog and no recipe, nor "it", be about what the dog
// eats.
func ownFood(t *talk.Turn, s read.Sentence) read.Sentence {
	if d := t.Dog(s.Dog); d != nil && t.Recipe(s.Recipe) == nil && !read.Says("says-it", t.AsTyped()) {
		s.Recipe, _ = planner.RecipeOn(t.Home, d.ID, t.Date())
	}
	return s
}

// answerAnalyse says whether a recipe is complete, and offers those of other dogs where
// it was not named.
func answerAnalyse(t *talk.Turn, r *planner.Recipe, s read.Sentence) {
	analyse(t, r, analysedFor(t, s))
	for _, d := range t.Dogs() {
		if other := t.Recipe(d.Recipe); other != nil && other.ID != r.ID && s.Recipe == "" && s.Dog == "" {
			t.LastReply().Offer(t.Button(msg("button.other-complete", "recipe", other.Name, "dog", d.Name), "analysis", "look", other.ID, d.ID))
		}
	}
}

// analyse says the verdict in a line, then what is short or too much with
// what would mend it, then buttons for the rest.
func analyse(t *talk.Turn, r *planner.Recipe, d *planner.Dog) {
	t.Talk.Recipe = r.ID
	d = judgedFor(r, d)
	l, others, err := judged(t, d, r)
	if recipes.Failed(t, r, err) {
		return
	}
	blocks := []say.Block{say.Para(VerdictText(l)), say.Para(BasisText(t, l)), say.Whole(togetherWith(d, r, others))}
	if d != nil {
		blocks = append(blocks, say.Whole(kidneyText(l)), say.Whole(vetLimits(l)), say.Whole(say.Capital(dogs.GateText(*d, planner.AmountOf(*d, t.Event.At)))), say.Whole(dogs.ExcludedText(t, d, *r)), say.Whole(copperText(t, d, r)), say.Para(byItself(t, d, r)))
	}
	blocks = append(blocks, say.Para(HeatText(l)), say.Whole(otherTablesText(t, l)))
	findings := Findings(t, l)
	if len(others) > 0 { // what its label doesn't say may be in it: nothing is to be put in for that
		wrong, open := FindingLines(l, mostFindings, recipes.MostNamed)
		findings = []say.Block{say.Whole(wrong), say.Waits(open)}
	}
	blocks = append(append(blocks, findings...), say.Whole(cautionsText(t, l)))
	dog := dogs.IDOf(d)
	out := t.Say(blocks...)
	out.Offer(t.Button(msg("button.whole-table"), "analysis", "table", r.ID, dog), t.Button(msg("button.picture"), "analysis", "picture", r.ID, dog))
	out.Offer(t.Button(msg("button.ratios"), "analysis", "ratios", r.ID, dog), t.Button(msg("button.why-each"), "analysis", "why", r.ID, dog))
	if len(others) > 0 {
		out.Offer(t.Button(msg("button.by-itself"), "analysis", "look", r.ID, "-"))
	} else if !dogs.Gated(t, d) {
		out.Offer(t.Button(msg("button.balance"), "balance", "start", r.ID, dog), t.Button(msg("button.swap"), "swap", "ask", r.ID, dog))
	}
}

// HeatText says what the analysis of a recipe that is cooked takes for lost.
func HeatText(l Looked) string {
	return say.JoinParas(say.Where(l.Heated, msg("analysis.heat")), say.Where(l.Heated && l.Recipe.Cooking.Poured, msg("analysis.poured")))
}

// mostFindings is how many shortfalls and excesses one message names; the
// table has them all.
const mostFindings = 8

// Findings are a line for each nutrient that is not enough, the graver ones
// first, what would mend it, and the shares that are unusual. What is surely
// too much or too little, and amounts, are always whole.
func Findings(t *talk.Turn, l Looked) []say.Block {
	wrong, open := FindingLines(l, mostFindings, recipes.MostNamed)
	off, absent := SharesOffText(l)
	if kidneyIll(l.Dog) {
		off, absent = "", "" // organs are rich in what its food is to be low in
	}
	return []say.Block{say.Whole(wrong), say.Waits(open), say.Whole(togetherText(t, l, together(t, l))),
		say.Whole(off), say.Waits(absent)}
}

// FindingLines are a line for each nutrient that is surely too much or too little,
// and for each that may be or is not known, the graver ones first: so many in all,
// and how many more there are. Of many that are not known it names so many.
func FindingLines(l Looked, most, named int) (wrong, open string) {
	var surely, maybe []string
	var rows []*nutrition.Row
	for i := range l.Result.Rows {
		if v := l.Result.Rows[i].Verdict; v != nutrition.Enough && v != nutrition.NoLimit || overElsewhere(l, &l.Result.Rows[i]) {
			rows = append(rows, &l.Result.Rows[i])
		}
	}
	sort.SliceStable(rows, func(i, j int) bool { return gravity(l, rows[i]) < gravity(l, rows[j]) })
	rows, unknown := foldUnknown(l, rows, named)
	for _, r := range rows[:min(len(rows), most)] {
		if gravity(l, r) <= 1 {
			surely = append(surely, FindingText(l, r))
		} else {
			maybe = append(maybe, FindingText(l, r))
		}
	}
	more := len(rows) - most
	return say.JoinParas(surely...), say.JoinParas(append(maybe, say.Where(more > 0, msg("analysis.more", "n", more)), unknown)...)
}

// remedyOf is what would mend a nutrient; nil for a dog whose food is a vet's
// matter.
func remedyOf(t *talk.Turn, l Looked, s nutrition.Subject) *adjust.Remedy {
	if dogs.Gated(t, l.Dog) {
		return nil
	}
	all := adjust.Mend(nutrition.Analyse(l.Mixture, mendedBy(l), l.Result.Basis), l.Mixture, mendedBy(l), t.Foods, dogs.Excluder(t, l.Dog))
	return planner.FirstOf(all, func(r *adjust.Remedy) bool { return r.Subject == s })
}

// mostUnknown is how many nutrients without figures get a line each. If there
// are more, the gap is in the tables rather than in the recipe, and one line
// names them.
const mostUnknown = 5

// foldUnknown returns the rows that get a line each and, where many lack
// figures, one line that names those.
func foldUnknown(l Looked, rows []*nutrition.Row, named int) (kept []*nutrition.Row, line string) {
	var all []nutrition.Subject
	for _, r := range rows {
		if gravity(l, r) == 4 {
			all = append(all, r.Requirement.Subject)
		} else {
			kept = append(kept, r)
		}
	}
	if len(all) <= mostUnknown {
		return rows, ""
	}
	names, _ := recipes.NamesOf(all, named)
	return kept, msg("finding.many-unknown", "n", len(all), "names", names)
}

// straddleReason says what a range depends on: the bone if there is any, else
// the food's own spread.
func straddleReason(l Looked, r *nutrition.Row) string {
	subject := r.Requirement.Subject
	n, ok := subject.Nutrient()
	if l.Heated && ok && nutrition.LostToHeat().Has(n) {
		return msg("finding.heat")
	}
	bony := func(it nutrition.Item) bool { return it.Food.Bone.Kind != nutrition.NoBone }
	ofBone := (subject == nutrition.CalciumPhosphorus || ok && n <= nutrition.Phosphorus) && slices.ContainsFunc(l.Mixture.Items, bony)
	return msg(say.Choose(ofBone, "finding.bone", "finding.spread"))
}

// ofDay is the part of some grams of all that was analysed that is in a day's food; all of
// them where it was for no dog's day.
func ofDay(l Looked, g nutrition.Grams) nutrition.Grams {
	if d := l.Result.Days(); d > 0 {
		return g / nutrition.Grams(d)
	}
	return g
}

// remedyText says what would mend a nutrient, and the grams it takes.
//
// Against a dog's day the grams are those of a day too; else they are for the
// whole recipe, and say so.
func remedyText(t *talk.Turn, l Looked, r *adjust.Remedy) string {
	basis := say.Choose(l.Result.Days() > 0, "day", "whole")
	amount := func(g nutrition.Grams) string { return say.EnoughMass(ofDay(l, g), t.Home.Units) }
	if c := r.Cut; c != nil {
		if c.Whole {
			return "" // no cut of one food is enough: that is another recipe
		}
		if c.Part < len(l.Mixture.Items) {
			return " " + msg("remedy.cut-"+basis, "grams", amount(c.Grams), "food", l.Mixture.Items[c.Part].Food.Name)
		}
		return " " + msg("remedy.cut-dose", "name", l.Mixture.Extras[c.Part-len(l.Mixture.Items)].Name)
	}
	var options []string
	for _, o := range r.Options {
		if o.ByLabel {
			label := o.PerDay
			if basis == "whole" && l.Result.Totals.Days > 0 {
				label *= l.Result.Totals.Days
			}
			options = append(options, msg("remedy.label-"+basis, "food", o.Food.Name, "amount", recipes.LimitText(label, o.Nutrient.Unit())))
			continue
		}
		options = append(options, msg("remedy.add-"+basis, "grams", amount(o.Grams), "food", o.Food.Name))
	}
	return say.Where(len(options) > 0, " "+msg("remedy.mend", "options", strings.Join(options, msg("remedy.or"))))
}

// SharesOffText says which shares by body part are outside the usual bands, and
// which parts there are none of.
func SharesOffText(l Looked) (off, absent string) {
	var lines, none []string
	for _, o := range l.Result.Shares.Off() {
		key := "band." + string(o.Band) + "." + o.Verdict.String()
		if o.Absent {
			// Without bone the calcium tells whether another source is there,
			// and fish a few times a week is as usual as a little every day.
			key = "band." + string(o.Band) + ".absent"
		}
		if !words.Has(key) {
			continue
		}
		text := msg(key, "share", shareText(o.Share), "low", strings.TrimSuffix(say.Percent(o.Low), " %"), "high", say.Percent(o.High))
		if o.Absent {
			none = append(none, text)
		} else {
			lines = append(lines, text)
		}
	}
	return say.JoinParas(lines...), say.JoinParas(none...)
}

func shareText(v nutrition.Value) string {
	if say.Percent(v.Low) == say.Percent(v.High) {
		return say.Percent(v.Mid)
	}
	return strings.TrimSuffix(say.Percent(v.Low), " %") + "-" + say.Percent(v.High)
}

// cautionsText is the cautions that foods and dog call for, each told to a
// household once in three months for each recipe. It does not repeat what the
// dog's gate says.
func cautionsText(t *talk.Turn, l Looked) string {
	ctx := nutrition.CautionContext{AtRisk: t.Home.AtRisk, Analysis: &l.Result}
	if l.Dog != nil {
		ctx.Weight, ctx.Stage = l.Dog.Weight, stageOf(*l.Dog, t.Event.At)
	}
	var lines []string
	for _, c := range nutrition.Cautions(l.Mixture.Items, ctx) {
		text, told := recipes.CautionText(c, t.Foods), string(c.Code)+"/"+l.Recipe.ID
		if c.Code == nutrition.SeniorCaution && l.Dog != nil && len(illness.In(l.Dog.Health)) > 0 {
			continue // its vet sees it already
		}
		if c.Code == nutrition.GrowthCaution || c.Code == nutrition.ReproductionCaution || text == "" || c.Code == nutrition.RawPorkCaution && t.Home.PorkFree || !t.Home.CautionDue(told, planner.ThreeMonths, t.Event.At) {
			continue
		}
		t.Home.SayCaution(told, t.Event.At)
		t.Changed = true
		lines = append(lines, text)
	}
	return say.JoinParas(lines...)
}

// pressAnalysis does what a button under an analysis asks.
func pressAnalysis(t *talk.Turn, args []string) {
	r, d := t.Recipe(talk.Arg(args, 1)), dogIn(t, talk.Arg(args, 2))
	if talk.Gone(t, r == nil || d == nil && talk.Arg(args, 2) != "-") {
		return
	}
	if talk.Arg(args, 0) == "look" {
		analyse(t, r, d)
		return
	}
	l, _, err := judged(t, judgedFor(r, d), r)
	if recipes.Failed(t, r, err) {
		return
	}
	switch talk.Arg(args, 0) {
	case "table":
		SayTable(t, l, nutrition.AsAnalysed)
	case "picture":
		sayAnalysisPicture(t, l)
	case "ratios":
		sayRatios(t, l)
	case "why":
		sayWhyEach(t, l)
	default:
		view := nutrition.View(talk.Arg(args, 0))
		if talk.Stale(t, !slices.Contains(nutrition.Views(), view)) {
			return
		}
		SayTable(t, l, view)
	}
}

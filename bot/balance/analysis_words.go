package balance

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// analysedText says what was analysed and whose day it is, if anybody's:
// "Plain for Pip, a day", "Plain, per 1000 kcal".
func analysedText(l Looked) string {
	switch {
	case l.Dog == nil:
		return msg("analysis.of-kcal", "recipe", l.Recipe.Name)
	case l.Result.Basis.PerDog:
		return msg("analysis.of-day", "recipe", l.Recipe.Name, "dog", l.Dog.Name)
	}
	return msg("analysis.of-dog-kcal", "recipe", l.Recipe.Name, "dog", l.Dog.Name)
}

// mostOpen is how many nutrients may be not known and a recipe still be said to
// meet a table on what is known (our own choice).
const mostOpen = 10

// gravest are nutrients of which bowls made at home often have too little: while
// one of them is not known, no recipe is said to meet a table (our own choice).
var gravest = []nutrition.Subject{nutrition.Subject(nutrition.Calcium), nutrition.Subject(nutrition.VitaminE)}

// openBadly reports that too much is not known, or what weighs most.
func openBadly(unknown []nutrition.Subject) bool {
	return len(unknown) > mostOpen || slices.ContainsFunc(gravest, func(s nutrition.Subject) bool { return slices.Contains(unknown, s) })
}

// VerdictText counts the verdicts in a line. It never says that a recipe is
// complete: only that it meets a table, and on what figures.
func VerdictText(l Looked) string {
	low, high, enough := 0, 0, 0
	var unknown []nutrition.Subject
	for i := range l.Result.Rows {
		switch r := &l.Result.Rows[i]; {
		case r.Verdict.TooLittle():
			low++
		case r.Verdict.TooMuch(), overElsewhere(l, r):
			high++
		case r.Verdict.Meets():
			enough++
		default:
			unknown = append(unknown, r.Requirement.Subject)
		}
	}
	name, profile := analysedText(l), msg("profile."+l.Result.ProfileID)
	switch {
	case low+high > 0:
		return msg("analysis.verdict", "name", name, "low", low, "high", high, "unknown", len(unknown), "enough", enough)
	case len(unknown) == 0:
		return msg("analysis.meets", "name", name, "profile", profile, "n", len(l.Result.Rows))
	}
	if openBadly(unknown) {
		return msg("analysis.little-known", "name", name, "profile", profile, "unknown", len(unknown), "n", len(l.Result.Rows))
	}
	names, _ := recipes.NamesOf(unknown, 3)
	return msg("analysis.meets-known", "name", name, "profile", profile, "unknown", names)
}

// BasisText says which table and which basis were used, and what could not be
// counted on it.
func BasisText(t *talk.Turn, l Looked) string {
	profile := msg("profile." + l.Result.ProfileID)
	if !l.Result.Basis.PerDog {
		return say.JoinParas(msg("analysis.basis-kcal", "profile", profile), say.Where(l.Dog == nil, dosesOpenText(*l.Recipe, t.Foods)))
	}
	return say.JoinParas(msg("analysis.basis-dog", "profile", profile, "weight", say.BodyWeight(l.Result.Basis.Weight, t.Home.Units),
		"kcal", say.Kcal(l.Result.Basis.Kcal)), say.LinesOf(l.Recipe.Doses, func(dose planner.Dose) string { return DoseReplaced(t, l.Dog, dose) }))
}

// restsOn says what intake the minimums a day of a dog rest on, of a table that states
// none itself; else nothing.
func restsOn(profile string, b nutrition.Basis) string {
	p := nutrition.ProfileByID(profile)
	if !b.PerDog || p == nil || !p.IntakeInferred() {
		return ""
	}
	most := nutrition.Kcal(p.Intake * nutrition.MetabolicWeight(b.Weight))
	return msg("analysis.rests-on", "intake", say.Trim(p.Intake, 0), "kcal", say.Kcal(most))
}

// dosesOpenText names the supplements that are given by the day, where nobody
// says for how many days of which dog the recipe is.
func dosesOpenText(r planner.Recipe, foods nutrition.Pantry) string {
	var names []string
	for _, d := range r.Doses {
		if f := foods.Food(d.Food); f != nil && !d.Per1000 && !d.Batch && !slices.Contains(names, f.Name) {
			names = append(names, f.Name)
		}
	}
	return say.Where(len(names) > 0 && r.Days == 0, msg("analysis.doses-open", "names", say.List(names)))
}

// gravity orders what is found: what is wrong before what is likely wrong, what
// nobody knows, and what is right but not surely.
func gravity(l Looked, r *nutrition.Row) int {
	switch {
	case r.Requirement.Subject == nutrition.Subject(nutrition.Calcium) && failsByCalcium(l):
		return -1 // of a puppy, and in any dog, it does harm soonest
	case r.Verdict == nutrition.High, r.Verdict.Meets() && overElsewhere(l, r):
		return 0
	case r.Verdict == nutrition.Low:
		return 1
	case r.Verdict.TooLittle(), r.Verdict.TooMuch():
		return 2
	case r.Verdict == nutrition.LikelyEnough:
		return 5
	case r.Verdict == nutrition.AboveLegal:
		return 6
	case r.StraddlesMin || r.StraddlesMax:
		return 3
	}
	return 4
}

// FindingText is what is found of one nutrient: "Low: zinc 14 mg, minimum
// 20 mg."
func FindingText(l Looked, r *nutrition.Row) string {
	subject := r.Requirement.Subject
	f, u := rowUnit(r)
	v := r.Value
	if r.Verdict == nutrition.High || r.StraddlesMax && !r.StraddlesMin {
		v = r.Capped
	}
	args := []any{"name", subject.Name(), "amount", recipes.AmountIn(v, f, u) + measuredText(r), "about", say.Sig(v.Mid/f) + u, "added", say.Sig(r.Added/f) + u,
		"min", say.Sig(r.Min/f) + u, "max", say.Sig(r.Max/f) + u + say.Where(r.Requirement.Kind == nutrition.VetMax, " "+msg("finding.by-vet")), "legal", say.Sig(r.Legal/f) + u, "foods", lacking(l, r)}
	if r.StraddlesMin || r.StraddlesMax || r.Verdict == nutrition.LikelyEnough {
		args = append(args, "why", straddleReason(l, r))
	}
	switch {
	case r.Verdict.Meets() && overElsewhere(l, r):
		p, q := l.Profile.Elsewhere(subject)
		return msg(say.Choose(q.Kind == nutrition.LegalMax, "finding.elsewhere-law", "finding.elsewhere"), "name", subject.Name(), "amount", recipes.AmountIn(r.Capped, f, u), "table", tableName(p), "max", say.Sig(elsewhereMax(l, q)/f)+u)
	case r.Verdict == nutrition.High && r.BoundByLaw():
		return msg("finding.high-legal", args...)
	case r.Verdict == nutrition.Low && len(r.Unless) > 0:
		return msg("finding.low-unless", append(args, "unless", unlessText(l, r))...)
	case r.Verdict.TooMuch():
		return msg(say.Choose(r.Verdict == nutrition.High, "finding.high", "finding.likely-high"), args...)
	case r.Verdict.TooLittle():
		return msg(say.Choose(r.Verdict == nutrition.Low, "finding.low", "finding.likely-low"), args...)
	case r.Verdict == nutrition.AboveLegal:
		return msg("finding.above-legal", args...)
	case r.Verdict == nutrition.LikelyEnough:
		return msg(say.Choose(r.StraddlesMax && !r.StraddlesMin, "finding.likely-enough-max", "finding.likely-enough"), args...)
	case r.StraddlesMin:
		return msg("finding.straddles-min", args...)
	case r.StraddlesMax:
		return msg("finding.straddles-max", args...)
	case !r.HasMin() && r.IsUnknown():
		return msg("finding.nothing-known-max", args...)
	case !r.HasMin():
		return msg("finding.open-max", args...)
	case r.IsUnknown():
		return msg("finding.nothing-known", args...)
	}
	return msg("finding.not-known", args...)
}

// measuredText marks an amount that a laboratory's figure is in.
func measuredText(r *nutrition.Row) string { return say.Where(r.Measured, " "+msg("value.measured")) }

// Mark marks the same in a table.
func Mark(r *nutrition.Row) string { return say.Where(r.Measured, "*") }

// MarkText says what the mark means.
func MarkText() string { return msg("analysis.measured") }

// unlessText names what may bring what is short, with its verb: "the bone
// brings", "Joint powder and the bone bring".
func unlessText(l Looked, r *nutrition.Row) string {
	names := partNames(l, r.Unless, r.Requirement.Subject, func(string) string { return msg("finding.the-bone") })
	return msg("finding.brings", "n", len(names), "names", say.List(names))
}

// partNames are the names of parts of what was analysed, each once; of a food whose bone
// alone has no figure of a nutrient it is what is said of that, if anything.
func partNames(l Looked, parts []int, s nutrition.Subject, ofBone func(food string) string) []string {
	names := []string{}
	for _, i := range parts {
		name := partName(l, i)
		if ofBone != nil && i < len(l.Mixture.Items) && l.Mixture.Items[i].OnlyBoneLacks(s) {
			name = ofBone(name)
		}
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}

// partName is the name of an item, or of an extra, of what was analysed.
func partName(l Looked, i int) string {
	if i < len(l.Mixture.Items) {
		return l.Mixture.Items[i].Food.Name
	}
	return l.Mixture.Extras[i-len(l.Mixture.Items)].Name
}

// lacking names the foods without a figure for a nutrient: one or two by
// name, more by number.
func lacking(l Looked, r *nutrition.Row) string {
	names := partNames(l, r.UnknownFrom, r.Requirement.Subject, func(food string) string { return msg("finding.bone-of", "food", food) })
	if without := len(slices.DeleteFunc(slices.Clone(r.UnknownFrom), func(i int) bool { return i >= len(l.Mixture.Items) })); without > 0 && without == len(l.Mixture.Items) {
		return msg(say.Choose(r.Value.Low > 0, "finding.any-food", "finding.any")) // by what is given beside the foods
	}
	if len(names) > 2 {
		names = []string{names[0], msg("finding.others", "n", len(names)-1)}
	}
	return say.List(names)
}

// analysedFor is the dog that a question about a recipe is answered for: the
// one it names or describes, else the one meant without a name; nil where it
// asks per 1000 kcal and names none, or no dog is meant.
func analysedFor(t *talk.Turn, s read.Sentence) *planner.Dog {
	switch {
	case s.Kcal > 0 && s.Dog == "":
		return nil
	case s.Weight > 0:
		d := dogs.DogOfWords(t, s)
		return &d
	}
	return talk.DogMeant(t, s)
}

// judgedFor is the dog whose day a recipe is judged by: of a topper, which is
// nobody's food of a day, none.
func judgedFor(r *planner.Recipe, d *planner.Dog) *planner.Dog {
	if r.Topper() {
		return nil
	}
	return d
}

// dogIn returns the dog that IDOf wrote, nil where it is gone or there is none.
func dogIn(t *talk.Turn, id string) *planner.Dog {
	parts := strings.Split(id, "/")
	if len(parts) != 6 || parts[0] != dogs.DescribedMark {
		return t.Dog(id)
	}
	weight, err := strconv.ParseFloat(parts[1], 64)
	condition, err2 := strconv.Atoi(parts[3])
	if err != nil || err2 != nil || weight <= 0 {
		return nil
	}
	d := &planner.Dog{Weight: nutrition.Kilograms(weight), Activity: planner.Activity(parts[2]), Condition: condition, Stage: planner.Stage(parts[4])}
	s := read.Sentence{Weight: d.Weight, Activity: d.Activity, Stage: parts[4]}
	if born, err := time.Parse(dogs.BornFormat, parts[5]); err == nil {
		d.Born, d.BornAbout = born, true
		s.Years = t.Event.At.Sub(born).Hours() / 24 / 365.25
	}
	d.Name = dogs.Describe(t, s)
	return d
}

// warnGrowing says of a new recipe where it fails the growing dogs that eat it, if by its
// calcium: too little or too much of it harms their bones within weeks.
func warnGrowing(t *talk.Turn, out *say.Reply, r *planner.Recipe) {
	for _, d := range t.Dogs() {
		l, err := Fed(t, d, r)
		if err != nil || d.Recipe != r.ID || !planner.Growing(*d, t.Event.At) {
			continue
		}
		row := l.Result.Row(nutrition.Subject(nutrition.Calcium))
		if row != nil && row.Verdict.TooMuch() || failsByCalcium(l) {
			out.Body = append(out.Body, say.Whole(msg("failing.of", "dog", d.Name, "text", FailsText(t, d, r, FailingText(FailingsOf(t, r, d))))))
		}
	}
}

func failsByCalcium(l Looked) bool {
	return slices.ContainsFunc(nutrition.Failings(l.Mixture, &l.Result), func(f nutrition.Failing) bool { return f.Code == nutrition.FailCalcium })
}

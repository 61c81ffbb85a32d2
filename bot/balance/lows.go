package balance

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/illness"
)

// How many nutrients that are low are named with a bowl: of a grown dog and of a puppy,
// for which each counts (our own choices).
const (
	mostLows      = 3
	mostPuppyLows = 8

	// What is this near to the minimum is left to the analysis: tables are no more
	// exact. A puppy's is said down to a hundredth.
	nearMin, nearPuppyMin = 0.95, 0.995
)

// AmissText is what StillFailing and LowsText say, what is surely low before what is
// not known.
func AmissText(t *talk.Turn, d *planner.Dog, r *planner.Recipe, failing string) string {
	still, lows := StillFailing(t, d, r, failing), LowsText(t, d, r)
	if strings.HasPrefix(still, msg("failing.vitamin-d-open")) || strings.HasPrefix(still, msg("failing.vitamin-e-open")) {
		return say.JoinParas(lows, still)
	}
	return say.JoinParas(still, lows)
}

// LowsText is a line of what a dog's bowl has surely too little of by its table, the
// least first, as the analysis has it: once a week, for a puppy each time. With it
// stands what is not known of a puppy's calcium. What fails is left to Failing.
func LowsText(t *talk.Turn, d *planner.Dog, r *planner.Recipe) string {
	l, err := Fed(t, d, r)
	if err != nil {
		return ""
	}
	most, near, open := mostLows, nearMin, ""
	if growing := planner.AmountOf(*d, t.Event.At).Gate == planner.GrowthGate; growing {
		most, near = mostPuppyLows, nearPuppyMin
		if row := l.Result.Row(nutrition.Subject(nutrition.Calcium)); row != nil && row.Verdict == nutrition.NotKnown {
			open = FindingText(l, row)
		}
	}
	fails := say.Each(nutrition.Failings(l.Mixture, &l.Result), func(f nutrition.Failing) nutrition.Subject { return failed[f.Code] }) // which is said anyway
	var lows []*nutrition.Row
	for i := range l.Result.Rows {
		if row := &l.Result.Rows[i]; row.Verdict == nutrition.Low && row.Requirement.Subject != nutrition.CalciumPhosphorus && !slices.Contains(fails, row.Requirement.Subject) && row.High < near*row.Min {
			lows = append(lows, row)
		}
	}
	if len(lows) == 0 || !cautionNow(t, "lows/"+d.ID+"/"+r.ID, d) {
		return open
	}
	slices.SortStableFunc(lows, func(a, b *nutrition.Row) int { return cmp.Compare(a.High/a.Min, b.High/b.Min) })
	var names []string
	for i, row := range lows {
		if more := len(lows) - i; i == most && more > 1 {
			names = append(names, msg("lows.more", "n", more))
			break
		}
		names = append(names, msg("lows.one", "name", row.Requirement.Subject.Name(), "share", say.Percent(row.High/row.Min)))
	}
	return say.JoinParas(msg("lows.are", "what", say.List(names)), open)
}

// failed are the nutrients that failures are about.
var failed = map[nutrition.FailCode]nutrition.Subject{
	nutrition.FailCalcium: nutrition.Subject(nutrition.Calcium), nutrition.FailVitaminE: nutrition.Subject(nutrition.VitaminE),
	nutrition.FailVitaminD: nutrition.Subject(nutrition.VitaminD), nutrition.FailZinc: nutrition.Subject(nutrition.Zinc),
	nutrition.FailIodine: nutrition.Subject(nutrition.Iodine),
}

// keptLow are what a dog's food is kept low in where its kidneys are ill: how low is for
// its vet (common veterinary practice, from memory).
var keptLow = []nutrition.Subject{nutrition.Subject(nutrition.Phosphorus), nutrition.Subject(nutrition.Protein)}

// kidneyIll reports that a dog's health notes tell of its kidneys.
func kidneyIll(d *planner.Dog) bool {
	return d != nil && slices.Contains(illness.In(d.Health), illness.Kidney)
}

// vetLimits says whether a bowl holds what its dog's vet has it keep to.
func vetLimits(l Looked) string {
	return say.LinesOf(l.Dog.Limits, func(text string) string {
		limit, _, _ := read.LimitIn(text)
		return say.Where(!limit.Treats, msg("limit.is", "limit", text, "is", holdsText(l, limit)))
	})
}

// inMilli is how much of a unit of a limit is one milligram's worth.
var inMilli = map[string]float64{"g": 1000, "%": 1000, "mg": 1, "ug": 0.001}

// milliIn is what a limit's unit is in that of its nutrient, 0 where neither is known.
func milliIn(limit read.Limit) float64 {
	if inMilli[limit.Of.Unit()] == 0 {
		return 0
	}
	return inMilli[limit.Unit] / inMilli[limit.Of.Unit()]
}

// holdsText says how much there is of what is limited, and whether that holds where a
// figure was told. A share may be meant as fed or of dry matter: where these differ,
// neither is taken.
func holdsText(l Looked, limit read.Limit) string {
	of := milliIn(limit)
	if !limit.Known || inMilli[limit.Of.Unit()] == 0 {
		return msg("limit.unknown")
	}
	l.Profile = l.Profile.Naming(limit.Of)
	views := []nutrition.View{nutrition.PerKcal}
	if limit.Unit == "%" {
		views = []nutrition.View{nutrition.AsFed, nutrition.DryMatter}
	}
	within, beyond := limit.Bound > 0 && of > 0, limit.Bound > 0 && of > 0
	var amounts []string
	for _, view := range views {
		seen, ok := viewed(l, view)
		row := seen.Row(limit.Of)
		if !ok || row == nil || row.IsUnknown() {
			return msg("limit.unknown")
		}
		bound, v := limit.Bound*of, row.Value
		f, u := viewUnit(view, limit.Of, v.Mid)
		switch {
		case view == nutrition.DryMatter:
			bound *= 10
		case view == nutrition.AsFed:
			f, u = of, " %"
		}
		if limit.Least {
			within, beyond = within && v.Low >= bound, beyond && v.High < bound
		} else {
			within, beyond = within && v.Complete && v.High <= bound, beyond && v.Low > bound
		}
		amounts = append(amounts, msg("limit.per-"+string(view), "amount", recipes.AmountIn(v, f, u)))
	}
	verdict := say.Choose(within, "within", say.Choose(beyond, "beyond", "open"))
	return msg("limit."+verdict, "amount", strings.Join(amounts, ", "))
}

// kidneyText says how much a bowl has of what is to be low where the kidneys are ill,
// per 1000 kcal as vets have it.
func kidneyText(l Looked) string {
	if !kidneyIll(l.Dog) {
		return ""
	}
	seen, ok := viewed(l, nutrition.PerKcal)
	if !ok {
		return ""
	}
	var parts []string
	for _, s := range keptLow {
		if row := seen.Row(s); row != nil && !row.IsUnknown() {
			f, u := viewUnit(nutrition.PerKcal, s, row.Value.Mid)
			parts = append(parts, msg("kidney.one", "amount", recipes.AmountIn(row.Value, f, u), "name", s.Name()))
		}
	}
	return say.Where(len(parts) > 0, msg("kidney.per-kcal", "dog", l.Dog.Name, "what", say.List(parts)))
}

// usesFood puts as much of a food into the recipe as fills what that lacks most of all of
// what the food brings: "just use eggshell powder". It reports whether there is such a gap.
func usesFood(t *talk.Turn, d balanceDraft, name string) bool {
	f, r := t.Foods.Find(name).Food, t.Recipe(d.Recipe)
	if f == nil || r == nil {
		return false
	}
	l, err := given(t, t.Dog(d.Dog), byTable(r))
	if grams := fills(l, f); err == nil && grams > 0 {
		t.EndDialogue()
		t.GoTo(read.Sentence{Intent: read.AddLines, Recipe: r.ID, Words: say.ExactMass(grams, t.Home.Units) + " " + f.Name})
		return true
	}
	return false
}

// fills is how much of a food fills the gap for which it takes the least, to a tenth of a
// gram; 0 where it fills none. Calcium is to fill that to phosphorus too.
func fills(l Looked, f *nutrition.Food) (least nutrition.Grams) {
	lacks := map[nutrition.Nutrient]float64{}
	for _, row := range l.Result.Rows {
		n, ok := row.Requirement.Subject.Nutrient()
		if row.Requirement.Subject == nutrition.CalciumPhosphorus {
			n, ok = nutrition.Calcium, true
		}
		if ok && row.Verdict == nutrition.Low && row.Mid > 0 && f.Per100[n].Mid > 0 {
			lacks[n] = max(lacks[n], row.Min/row.Mid-1)
		}
	}
	for n, share := range lacks {
		has := 0.0
		for _, it := range l.Mixture.Items {
			has += float64(it.Grams) * it.Food.Per100[n].Mid
		}
		if g := nutrition.Grams(has * share / f.Per100[n].Mid); least == 0 || g < least {
			least = g
		}
	}
	return tenth(least)
}

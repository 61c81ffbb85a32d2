package dogs

import (
	"cmp"
	_ "embed"
	"slices"
	"strconv"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/judge"
)

// ByEquation is what a dog's equation gives a day.
func ByEquation(t *talk.Turn, d *planner.Dog) nutrition.Kcal {
	return planner.NeedOf(*d, t.Event.At).Kcal
}

// sinceText says since when a dog's amount is in force, and by whom.
func sinceText(t *talk.Turn, d *planner.Dog) string {
	if d.InForce.Since.IsZero() {
		return ""
	}
	own := d.InForce.By == "" || d.InForce.By == t.Event.Person
	return msg(say.Choose(own, "amount.since", "amount.since-by"), "day", talk.DayOf(t, t.DateAt(d.InForce.Since)), "name", talk.NameOf(t, d.InForce.By))
}

// Growing reports that a dog's weight is to grow, so that no calories are
// suggested for it.
func Growing(t *talk.Turn, d *planner.Dog) bool {
	return judge.GoalOf(*d, t.Event.At) == planner.GrowGoal
}

// ExcludedText says what of a recipe a dog may not have, empty for nothing.
func ExcludedText(t *talk.Turn, d *planner.Dog, r planner.Recipe) string {
	foods := FoodsIn(t, r.Ingredients, mayNot(d))
	return say.Where(len(foods) > 0, msg("house.not-for", "dog", d.Name, "foods", say.List(foods)))
}

// FoodsIn names the foods among ingredients of which something is so.
func FoodsIn(t *talk.Turn, ingredients []planner.Ingredient, is func(*nutrition.Food) bool) (names []string) {
	for _, in := range ingredients {
		if f := t.Foods.Food(in.Food); f != nil && is(f) {
			names = append(names, f.Name)
		}
	}
	return names
}

// NotFor reports that what words name, with or without an amount, is what a dog may not
// have, whichever of it is meant: by the longest of its words that are foods.
func NotFor(t *talk.Turn, d *planner.Dog, words string) bool {
	all := strings.Fields(words)
	for n, known := len(all), false; n > 0 && len(d.Excludes) > 0 && !known; n-- {
		for at := range len(all) - n + 1 {
			found := t.Foods.Find(strings.Join(all[at:at+n], " "))
			foods := found.Choices
			if found.Food != nil {
				foods = []*nutrition.Food{found.Food}
			}
			if known = known || len(foods) > 0; len(foods) > 0 && !slices.ContainsFunc(foods, func(f *nutrition.Food) bool { return !nutrition.Excluded(f, d.Excludes) }) {
				return true
			}
		}
	}
	return false
}

// OnMother answers a sentence about a litter: of the dog that is named, or of the
// only one that carries or nurses pups.
func OnMother(do func(*talk.Turn, *planner.Dog, read.Sentence)) func(*talk.Turn, read.Sentence) {
	return func(t *talk.Turn, s read.Sentence) {
		mothers := slices.DeleteFunc(t.Dogs(), func(d *planner.Dog) bool { return d.Stage == "" })
		if s.Dog == "" && len(mothers) == 1 {
			s.Dog = mothers[0].ID
		}
		talk.OnDog(do)(t, s)
	}
}

// breeds makes a dog pregnant or nursing; a litter of before is forgotten.
func breeds(d *planner.Dog, stage string) {
	if d.Stage == "" {
		d.Litter = planner.Litter{}
	}
	d.Stage = planner.Stage(stage)
}

// stageText is a stage with what is known of the litter.
func stageText(t *talk.Turn, d *planner.Dog) string {
	switch l := d.Litter; {
	case d.Stage == planner.Pregnant && !l.Due.IsZero():
		return msg("litter.due", "day", t.DateText(l.Due))
	case d.Stage == planner.Nursing && l.Pups > 0 && !l.Whelped.IsZero():
		return msg("litter.nursing", "n", l.Pups, "day", t.DateText(l.Whelped))
	}
	return string(d.Stage)
}

// SayConditions says the nine points of the scale, a line and a button each.
func SayConditions(t *talk.Turn, d *planner.Dog, button func(n string) say.Button) *say.Reply {
	var lines []string
	var buttons []say.Button
	for i := 1; i <= 9; i++ {
		n := strconv.Itoa(i)
		lines = append(lines, n+"  "+msg("condition."+n))
		buttons = append(buttons, button(n))
	}
	return t.Say(say.Para(msg("ask.dog-condition", "dog", d.Name)), say.Para(talk.JoinLines(lines))).Rows(3, buttons...)
}

// on says which facts of a dog a change changed.
func on(t *talk.Turn, happened any) {
	h, ok := happened.(*talk.ChangeTold)
	if !ok || h.Change.Kind != "did.dog-changed" {
		return
	}
	for i := range h.After.Dogs {
		is := &h.After.Dogs[i]
		if was := h.Change.Before.Dog(is.ID); was != nil {
			h.Said = cmp.Or(strings.Join(newFacts(t, was, is), ", "), h.Said)
		}
	}
}

// changedText says what is new about a dog; what was only taken away, and the
// kcal, stand in the profile below it.
func changedText(t *talk.Turn, was, d *planner.Dog) string {
	news := newFacts(t, was, d)
	if d.Healthy && !was.Healthy {
		news = append(news, msg("dog.healthy"))
	}
	if d.Health != was.Health && d.Health != "" {
		news = append(news, d.Health)
	}
	if !d.BornAbout && !d.Born.Equal(was.Born) {
		news = append(news, msg("dog.born", "day", t.DateText(planner.DateOf(d.Born))))
	}
	news = append(news, slices.DeleteFunc(slices.Clone(d.Limits), func(l string) bool { return slices.Contains(was.Limits, l) })...)
	return msg(say.Choose(len(news) == 0, "dog.changed", "dog.changed-to"), "dog", d.Name, "facts", strings.Join(news, ", "))
}

// WhyDog explains the need: equation, source, range, resting energy, ideal
// weight and what was assumed.
func WhyDog(t *talk.Turn, d *planner.Dog) {
	if Held(t, d) {
		return
	}
	n := planner.AmountOf(*d, t.Event.At)
	u := t.Home.Units
	besides := say.TableRow{Label: msg("why.range"), Cells: []string{say.Kcal(n.Low) + "-" + say.Kcal(n.High)}}
	if n.ByHand {
		besides = say.TableRow{Label: msg("why.equation"), Cells: []string{say.Kcal(n.Computed) + " kcal"}}
	}
	rows := []say.TableRow{
		{Label: msg("why.need"), Cells: []string{say.Kcal(n.Kcal) + " kcal"}},
		besides,
		{Label: msg("why.resting"), Cells: []string{say.Kcal(n.Resting) + " kcal"}},
		{Label: msg("why.weight"), Cells: []string{say.BodyWeight(d.Weight, u)}},
		{Label: msg("why.ideal"), Cells: []string{idealText(n, u)}},
		{Label: msg("why.basis"), Cells: []string{say.BodyWeight(n.Basis, u)}},
	}
	if n.LossStart > 0 {
		rows = append(rows, say.TableRow{Label: msg("why.loss"), Cells: []string{say.Kcal(n.LossStart) + " kcal"}})
	}
	assumed := msg("why.assumed", "what", say.ListOf(n.Assumed, func(a string) string { return msg("assumed." + a) }))
	t.Say(say.Para(NeedText(t, *d, n)), say.TableBlock(rows), say.Para(NeedEquation(n)), say.Para(msg("ideal-from."+n.IdealFrom)), say.Para(say.Where(len(n.Assumed) > 0, assumed)),
		say.Para(sinceText(t, d)), say.Waits(msg("why.spread")), say.Whole(GateText(*d, n))).Offer(t.Button(msg("button.bowl"), "bowl", "dog", d.ID), t.Button(msg("button.edit"), "dog", "edit", d.ID))
}

func idealText(n planner.Need, u planner.Units) string {
	if n.IdealLow == n.IdealHigh || n.IdealLow == 0 {
		return say.BodyWeight(n.Ideal, u)
	}
	low := strings.Fields(say.BodyWeight(n.IdealLow, u))[0]
	return low + "-" + say.BodyWeight(n.IdealHigh, u)
}

package weighing

import (
	"math"
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/judge"
)

// growthText says what the weigh-ins of a growing dog tell: what is for a vet,
// then where the weight lies, then how fast it grows.
func growthText(t *talk.Turn, d *planner.Dog, h judge.History) string {
	g := judge.GrowthOf(*d, h)
	return say.JoinParas(growthWarning(t, d, g), growthPlace(t, d, g), growthRate(t, d, g), growthGuide(t, d, g))
}

// growthWarning is the vet line of a growing dog; before it stands where the
// dog is out of its band.
func growthWarning(t *talk.Turn, d *planner.Dog, g judge.Growth) string {
	switch g.Warning {
	case judge.PuppyFalls:
		return msg("growth.vet-falls", "dog", d.Name, "change", say.Trim(math.Abs(g.Change), 1), "day", talk.DayOf(t, planner.DateOf(g.Since)))
	case judge.PuppyStands:
		return msg("growth.vet-stands", "dog", d.Name, "day", talk.DayOf(t, planner.DateOf(g.Since)))
	case judge.PuppyClimbs:
		return msg("growth.vet-climbs", "dog", d.Name)
	}
	return ""
}

// growthPlace says where the weight lies, or why that is not known.
func growthPlace(t *talk.Turn, d *planner.Dog, g judge.Growth) string {
	switch {
	case g.Gap == planner.NoAdult && adultToAsk(t, d):
		return msg("growth.ask-once", "dog", d.Name)
	case g.Gap != "":
		return msg("growth-gap."+string(g.Gap), "dog", d.Name)
	}
	u := t.Home.Units
	s := msg("growth-place."+string(g.Place), "weeks", say.Trim(math.Floor(g.Weeks), 0), "adult", say.BodyWeight(d.AdultWeight, u), "range", weightRange(g.Low, g.High, u))
	if leanAbove(d, g) {
		return s + " " + msg("growth.lean-above", "dog", d.Name, "score", d.Condition, "adult", say.BodyWeight(d.AdultWeight, u))
	}
	return s + say.Where(g.Warning == judge.PuppyOutside, " "+msg("growth.vet-outside"))
}

// leanAbove reports that a dog is above its band though it is not fat: then it is
// the grown weight that is wrong.
func leanAbove(d *planner.Dog, g judge.Growth) bool {
	return g.Place == judge.AboveBand && d.Condition > 0 && d.Condition <= 5
}

// growthRate says how fast the dog grows.
func growthRate(t *talk.Turn, d *planner.Dog, g judge.Growth) string {
	const least = 6                                                                        // days; within less the scale says more of its noise
	if g.Days < least || g.Warning == judge.PuppyFalls || g.Warning == judge.PuppyStands { // of which more is said
		return ""
	}
	return msg(say.Choose(g.PerWeek < 0, "growth.loses", "growth.gains"), "dog", d.Name, "rate", smallWeight(max(g.PerWeek, -g.PerWeek), t.Home.Units))
}

// growthGuide says what the band is worth: the first time, where the weight is
// for a vet, and again after three months.
func growthGuide(t *talk.Turn, d *planner.Dog, g judge.Growth) string {
	said := "growth-guide/" + d.ID
	if g.Gap != "" || g.Warning == "" && g.Place == judge.WithinBand && !t.Home.CautionDue(said, planner.ThreeMonths, t.Event.At) {
		return ""
	}
	t.Home.SayCaution(said, t.Event.At)
	t.Changed = true
	return msg("growth.guide", "dog", d.Name) + say.Where(g.Doubt > 0, " "+msg("growth.about"))
}

// weightRange prints two weights with one unit.
func weightRange(low, high nutrition.Kilograms, u planner.Units) string {
	return strings.TrimSuffix(say.AboutWeight(low, u), say.Choose(u.Pounds, " lb", " kg")) + "-" + say.AboutWeight(high, u)
}

// smallWeight prints what a dog gains in a week: in grams below a kilogram.
func smallWeight(w nutrition.Kilograms, u planner.Units) string {
	if u.Pounds || w >= 1 {
		return say.AboutWeight(w, u)
	}
	return say.Trim(math.Round(float64(w)*100)*10, 0) + " g"
}

// showGrowth answers how a dog grows.
func showGrowth(t *talk.Turn, d *planner.Dog) {
	t.Talk.Dog = d.ID
	if !dogs.Growing(t, d) {
		sayGrown(t, d)
		return
	}
	h, decision, posts := Judge(t, d)
	r := t.Say(say.Para(weightText(t, d)), say.Whole(warningFirst(t, d, h, decision, posts)), say.Para(otherThanWarning(t, d, h, decision, posts)))
	offerDecision(t, r, d, h, decision)
	offerGrowth(t, r, d, h)
	r.Offer(t.Button(msg("button.trend"), "weigh", "trend", d.ID), t.Button(msg("button.weigh-ins"), "weigh", "list", d.ID))
}

// sayGrown says that a dog counts as grown, which one of unknown age does.
func sayGrown(t *talk.Turn, d *planner.Dog) {
	text, about := msg("growth.is-grown", "dog", d.Name), t.Button(msg("button.condition"), "weigh", "score", d.ID)
	if d.Born.IsZero() {
		text, about = msg("growth.age-unknown", "dog", d.Name), t.Button(msg("button.birth-date"), "dog", "field", d.ID, "age")
	}
	t.Say(say.Para(text)).Offer(about, t.Button(msg("button.trend"), "weigh", "trend", d.ID))
}

package bot

import (
	"math"
	"strings"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// growing reports that a dog's weight is to grow, so that no calories are
// suggested for it.
func (t *turn) growing(d *planner.Dog) bool {
	return planner.GoalOf(*d, t.event.At) == planner.GrowGoal
}

// growthText says what the weigh-ins of a growing dog tell: what is for a vet,
// then where the weight lies, then how fast it grows.
func (t *turn) growthText(d *planner.Dog, h planner.History) string {
	g := planner.GrowthOf(*d, h)
	return joinParas(t.growthWarning(d, h, g), t.growthPlace(d, g), t.growthRate(d, g), t.growthGuide(d, g))
}

// growthWarning is the vet line of a growing dog. That it is out of the band
// stands before it, so that the line follows.
func (t *turn) growthWarning(d *planner.Dog, h planner.History, g planner.Growth) string {
	switch g.Warning {
	case planner.PuppyFalls:
		return msg("growth.vet-falls", "dog", d.Name, "change", trim(math.Abs(g.Change), 1), "day", t.dayBefore(h))
	case planner.PuppyClimbs:
		return msg("growth.vet-climbs", "dog", d.Name)
	}
	return ""
}

// dayBefore is the day of the last weigh-in that is not of the day of the
// newest.
func (t *turn) dayBefore(h planner.History) string {
	last := len(h.Weighings) - 1
	newest := planner.DateOf(h.Weighings[last].At)
	for last > 0 && planner.DateOf(h.Weighings[last].At) == newest {
		last--
	}
	return t.dayOf(planner.DateOf(h.Weighings[last].At))
}

// growthPlace says where the weight lies, or why that is not known.
func (t *turn) growthPlace(d *planner.Dog, g planner.Growth) string {
	switch {
	case g.Gap == planner.NoAdult && t.adultToAsk(d):
		return msg("growth.ask-once", "dog", d.Name)
	case g.Gap != "":
		return msg("growth-gap."+string(g.Gap), "dog", d.Name)
	}
	u := t.home.Units
	s := msg("growth-place."+string(g.Place), "weeks", trim(math.Floor(g.Weeks), 0), "adult", bodyWeight(d.AdultWeight, u), "range", weightRange(g.Low, g.High, u))
	if g.Warning == planner.PuppyOutside {
		s += " " + msg("growth.vet-outside")
	}
	return s
}

// growthRate says how fast the dog grows.
func (t *turn) growthRate(d *planner.Dog, g planner.Growth) string {
	const least = 6 // days; within less the scale says more of its noise
	switch rate := smallWeight(g.PerWeek, t.home.Units); {
	case g.Days < least, g.Warning == planner.PuppyFalls: // of which more is said
		return ""
	case g.PerWeek < 0:
		return msg("growth.loses", "dog", d.Name, "rate", smallWeight(-g.PerWeek, t.home.Units))
	default:
		return msg("growth.gains", "dog", d.Name, "rate", rate)
	}
}

// growthGuide says what the band is worth: the first time, where the weight is
// for a vet, and again after three months.
func (t *turn) growthGuide(d *planner.Dog, g planner.Growth) string {
	said := "growth-guide/" + d.ID
	if g.Gap != "" || g.Warning == "" && g.Place == planner.WithinBand && !t.home.CautionDue(said, planner.ThreeMonths, t.event.At) {
		return ""
	}
	t.home.SayCaution(said, t.event.At)
	t.changed = true
	s := msg("growth.guide", "dog", d.Name)
	if g.Doubt > 0 {
		s += " " + msg("growth.about")
	}
	return s
}

// weightRange prints two weights with one unit.
func weightRange(low, high nutrition.Kilograms, u planner.Units) string {
	return strings.TrimSuffix(aboutWeight(low, u), choose(u.Pounds, " lb", " kg")) + "-" + aboutWeight(high, u)
}

// smallWeight prints what a dog gains in a week: in grams below a kilogram.
func smallWeight(w nutrition.Kilograms, u planner.Units) string {
	if u.Pounds || w >= 1 {
		return aboutWeight(w, u)
	}
	return trim(math.Round(float64(w)*100)*10, 0) + " g"
}

// showGrowth answers how a dog grows.
func (t *turn) showGrowth(d *planner.Dog) {
	t.talk.Dog = d.ID
	if !t.growing(d) {
		t.sayGrown(d)
		return
	}
	h, decision, posts := t.judge(d)
	head := msg("weigh.none", "dog", d.Name, "weight", bodyWeight(d.Weight, t.home.Units))
	if e, ok := t.lastWeighed(d); ok {
		head = msg("weigh.is", "dog", d.Name, "weight", bodyWeight(e.Weight, t.home.Units), "day", t.dayOf(e.Date))
	}
	r := t.say(para(head), para(t.decisionText(d, h, decision, posts)))
	t.offerDecision(r, d, h, decision)
	t.offerGrowth(r, d, h)
	r.offer(t.button(msg("button.trend"), "weigh", "trend", d.ID), t.button(msg("button.weigh-ins"), "weigh", "list", d.ID))
}

// sayGrown says that a dog counts as grown, which one of unknown age does.
func (t *turn) sayGrown(d *planner.Dog) {
	text, about := msg("growth.is-grown", "dog", d.Name), t.button(msg("button.condition"), "weigh", "score", d.ID)
	if d.Born.IsZero() {
		text, about = msg("growth.age-unknown", "dog", d.Name), t.button(msg("button.birth-date"), "dog", "field", d.ID, "age")
	}
	t.say(para(text)).offer(about, t.button(msg("button.trend"), "weigh", "trend", d.ID))
}

package weighing

import (
	"math"
	"strings"
	"time"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
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
	if g.Warning == "" || g.Warning == judge.PuppyOutside {
		return ""
	}
	return msg("growth.vet-"+string(g.Warning), "dog", d.Name, "change", say.Trim(math.Abs(g.Change), 1), "day", talk.DayOf(t, planner.DateOf(g.Since)))
}

// growthPlace says where the weight lies, or why that is not known.
func growthPlace(t *talk.Turn, d *planner.Dog, g judge.Growth) string {
	switch {
	case g.Gap == planner.NoAdult && lacksAdult(t, d) && talk.TellOnce(t, "adult:"+d.ID):
		return msg("growth.ask-once", "dog", d.Name) // it opens no dialogue: a weight that is typed next may be a weigh-in
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
	return say.Choose(u.Pounds || w >= 1, say.AboutWeight(w, u), say.Trim(math.Round(float64(w)*100)*10, 0)+" g")
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

// lacksAdult reports that a growing dog's band is not known for want of its
// grown weight.
func lacksAdult(t *talk.Turn, d *planner.Dog) bool {
	return dogs.Growing(t, d) && !d.Born.IsZero() && d.AdultWeight == 0
}

// offerGrowth offers to tell what is missing for the band.
func offerGrowth(t *talk.Turn, r *say.Reply, d *planner.Dog, h judge.History) {
	switch {
	case !dogs.Growing(t, d):
	case lacksAdult(t, d), leanAbove(d, judge.GrowthOf(*d, h)):
		r.Offer(t.Button(msg("button.grown-weight"), "weigh", "adult", d.ID), t.Button(msg("button.dont-know"), "weigh", "no-adult", d.ID))
	case judge.GrowthOf(*d, h).Gap == planner.NoBirth:
		r.Offer(t.Button(msg("button.birth-date"), "dog", "field", d.ID, "age"))
	}
}

// askAdult asks for the grown weight.
func askAdult(t *talk.Turn, d *planner.Dog) {
	t.Ask("weigh", "adult", weighDraft{Dog: d.ID, Asked: t.Event.At})
	t.SayMsg("growth.ask-adult", "dog", d.Name).Offer(t.Answer(msg("button.dont-know"), "adult", "unknown"))
}

// adultWaits is how long a weight counts as the answer to askAdult; a later one
// is a weigh-in.
const adultWaits = 12 * time.Hour

// takeAdult takes the grown weight.
func takeAdult(t *talk.Turn, d *planner.Dog, w weighDraft, in talk.Answer) {
	switch {
	case in.Press == "unknown" || talk.IsNotSure(in.Text):
		t.EndDialogue()
		adultUnknown(t, d)
		return
	case in.Press == "" && t.Event.At.Sub(w.Asked) > adultWaits:
		t.EndDialogue()
		t.RouteWords(in.Text)
		return
	}
	first, _, _ := strings.Cut(in.Value(), ", ") // "50 kg, father has 52"
	kg, err := span.BodyWeight(read.Without("adult-said", first), t.Home.Units)
	if err != nil {
		if t.Aside(in.Text) {
			return
		}
		t.Say(say.Para(talk.ProblemOf(err, in.Value()))).Offer(t.Answer(msg("button.dont-know"), "adult", "unknown"))
		return
	}
	if setAdult(t, d, kg) {
		t.EndDialogue()
	}
}

// adultUnknown leaves the band unknown.
func adultUnknown(t *talk.Turn, d *planner.Dog) {
	t.SayMsg("growth.unknown", "dog", d.Name).Offer(t.Button(msg("button.trend"), "weigh", "trend", d.ID))
}

// setAdult sets the grown weight of a growing dog, says what follows, and
// reports whether it did.
func setAdult(t *talk.Turn, d *planner.Dog, kg nutrition.Kilograms) bool {
	was, changed := *d, *d
	changed.AdultWeight = kg
	switch err := changed.Validate(t.Event.At); {
	case err != nil:
		t.Say(say.Para(say.FieldText(err, t.Home.Units)))
		return false
	case kg < d.Weight:
		t.SayMsg("growth.adult-low", "dog", d.Name, "weight", say.BodyWeight(d.Weight, t.Home.Units))
		return false
	case !d.Born.IsZero() && judge.GoalOf(changed, t.Event.At) != planner.GrowGoal:
		t.SayMsg("growth.is-grown", "dog", d.Name).Offer(t.Button(msg("button.set-ideal"), "dog", "field", d.ID, "ideal"))
		return false
	}
	t.Mutate("did.grown-weight", d.Name)
	d.AdultWeight = kg
	head := msg("growth.adult-set", "dog", d.Name, "adult", say.BodyWeight(kg, t.Home.Units))
	h := History(t, d)
	r := t.Say(say.Para(head), say.Para(growthText(t, d, h)), say.Para(kcalByAdult(t, was, *d)))
	offerGrowth(t, r, d, h)
	r.Offer(t.UndoButton(), t.Button(msg("button.trend"), "weigh", "trend", d.ID), t.Button(msg("button.bowl"), "bowl", "dog", d.ID))
	return true
}

// kcalByAdult says what the grown weight makes of the daily kcal, which the
// equation for growth takes by the share of it that the dog has.
func kcalByAdult(t *talk.Turn, was, is planner.Dog) string {
	before, after := planner.AmountOf(was, t.Event.At), planner.AmountOf(is, t.Event.At)
	return say.Where(!after.ByHand && say.Kcal(before.Kcal) != say.Kcal(after.Kcal), msg("growth.kcal", "dog", is.Name, "kcal", say.Kcal(after.Kcal), "before", say.Kcal(before.Kcal)))
}

// edgeSteps is how many pieces an edge of the band is drawn of, at most.
const edgeSteps = 48

// growthEdges is the growth band over the days of the weigh-ins, in the unit of
// the picture; none where it is not known. The band changes from day to day.
func growthEdges(d planner.Dog, h judge.History, in func(nutrition.Kilograms) float64) (edges []trendBand) {
	if len(h.Weighings) == 0 {
		return nil
	}
	from, to := h.Weighings[0].At, h.Weighings[len(h.Weighings)-1].At
	days := planner.DateOf(from).DaysTo(planner.DateOf(to))
	step := max(1, (days+edgeSteps-1)/edgeSteps)
	for day := 0; day < days+step; day += step {
		at := from.AddDate(0, 0, min(day, days))
		if low, high, _, _, gap := planner.BandOf(d, at); gap == "" {
			edges = append(edges, trendBand{At: at, Low: in(low), High: in(high)})
		}
	}
	return edges
}

// growthChart makes the picture of a growing dog: its gain, the growth band, and
// a line from weigh-in to weigh-in. The energy balance by which other lines are
// drawn is that of grown dogs.
func growthChart(t *talk.Turn, c *TrendChart, d *planner.Dog, h judge.History, in func(nutrition.Kilograms) float64) {
	c.Grows, c.Head = true, growthRate(t, d, judge.GrowthOf(*d, h))
	c.Growth, c.GrowthOf = growthEdges(*d, h, in), say.BodyWeight(d.AdultWeight, t.Home.Units)
	for _, w := range c.Weighed {
		c.Line = append(c.Line, trendBand{w.At, w.Weight, w.Weight, w.Weight})
	}
}

// growth draws the edges of the growth band, each with its label on its outer
// side.
func growth(d say.ChartPen, s trendScale, edges []trendBand, room *labelRoom) {
	if len(edges) < 2 {
		return
	}
	var low, high []float64
	for _, e := range edges {
		low = append(low, s.x(e.At), s.y(e.Low))
		high = append(high, s.x(e.At), s.y(e.High))
	}
	d.Through(high, 4, trendGold, trendDashes)
	d.Through(low, 4, trendGold, trendDashes)
	room.keepOff(high)
	room.keepOff(low)
	along(d, high, msg("growth.upper"), room, true, false)
	along(d, low, msg("growth.lower"), room, false, true)
}

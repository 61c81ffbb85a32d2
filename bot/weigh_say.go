package bot

import (
	"math"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// decisionText says what the weigh-ins tell: what is for a vet, then of the
// amount that a dog is fed.
func (t *turn) decisionText(d *planner.Dog, h planner.History, r planner.Decision, posts []planner.Posterior) string {
	return joinParas(t.warningFirst(d, h, r, posts), t.otherThanWarning(d, h, r, posts))
}

// amountText says what there is to say of the amount that a dog is fed.
func (t *turn) amountText(d *planner.Dog, h planner.History, r planner.Decision, posts []planner.Posterior) string {
	name, ideal := d.Name, bodyWeight(h.Ideal, t.home.Units)
	switch r.Outcome {
	case planner.NoneYet:
		return t.missingText(r)
	case planner.Watch:
		switch r.Reason {
		case planner.WeighAgain:
			return msg("decide.weigh-again", "dog", name)
		case planner.StepWait, planner.ScaleWait:
			return msg("decide."+string(r.Reason), "n", r.DaysMissing)
		}
		return msg("decide.watch-"+string(r.Reason), "dog", name)
	case planner.Steady:
		switch r.Reason {
		case planner.OverGoal, planner.UnderGoal:
			return msg("decide."+string(r.Reason), "dog", name, "ideal", ideal)
		case planner.OpenYet:
			if r.Holds {
				return joinParas(msg("decide.holds"), msg("decide.open", "dog", name))
			}
			return msg("decide.open", "dog", name)
		}
		if r.Target.Reached {
			return msg("decide.fits-reached", "dog", name, "ideal", ideal)
		}
		return msg("decide.fits-"+string(r.Goal), "dog", name)
	case planner.Suggest:
		return t.suggestText(d, h, r, posts)
	}
	return ""
}

// growingText is what there is to say of a growing dog, after a reason that is
// graver than growth.
func (t *turn) growingText(d *planner.Dog, h planner.History, r planner.Decision) string {
	if r.Gate == planner.GrowthGate {
		return t.growthText(d, h)
	}
	return joinParas(t.vetText(d, r), t.growthText(d, h))
}

// warningKey is how a warning is said: a month's change the wrong way while a
// plan is followed is not one without a plan.
func warningKey(w planner.Warning, goal planner.Goal) string {
	switch {
	case w.Of == planner.RiseMonth && goal == planner.LoseGoal:
		return "rise-plan"
	case w.Of == planner.FallMonth && goal == planner.GainGoal:
		return "fall-plan"
	}
	return string(w.Of)
}

// warningFirst is what a decision says for a vet; nothing goes before it.
func (t *turn) warningFirst(d *planner.Dog, h planner.History, r planner.Decision, posts []planner.Posterior) string {
	if r.Outcome == planner.VetLine && r.Reason == planner.GatedDog && t.growing(d) {
		return t.growingText(d, h, r)
	}
	var all []string
	for _, w := range r.Warnings {
		all = append(all, msg("decide.vet-"+warningKey(w, r.Goal), "dog", d.Name, "change", trim(math.Abs(w.Change), 1), "ideal", bodyWeight(h.Ideal, t.home.Units)))
	}
	if r.Outcome == planner.VetLine {
		all = append(all, t.vetText(d, r), t.slowerText(d, h, r, posts))
	}
	return joinParas(all...)
}

// otherThanWarning is what a decision says that is no vet line. Beside one,
// nothing is said that would only be doubtful.
func (t *turn) otherThanWarning(d *planner.Dog, h planner.History, r planner.Decision, posts []planner.Posterior) string {
	if len(r.Warnings) > 0 && (r.Outcome == planner.Steady || r.Outcome == planner.NoneYet) {
		return ""
	}
	return t.amountText(d, h, r, posts)
}

func (t *turn) missingText(r planner.Decision) string {
	switch {
	case r.WeighInsMissing > 0 && r.DaysMissing > 0:
		return msg("decide.missing", "n", r.WeighInsMissing, "days", r.DaysMissing)
	case r.WeighInsMissing > 0:
		return msg("decide.missing-weighs", "n", r.WeighInsMissing)
	case r.DaysMissing > 0:
		return msg("decide.missing-days", "days", r.DaysMissing)
	}
	return ""
}

// vetText is the vet line of a decision.
func (t *turn) vetText(d *planner.Dog, r planner.Decision) string {
	if r.Reason == planner.GatedDog {
		return t.gateText(*d, planner.AmountOf(*d, t.event.At))
	}
	return msg("decide.vet-"+string(r.Reason), "dog", d.Name)
}

// slowerText says when a dog that would have to eat less than its resting
// energy is at its ideal weight if it goes on as it is.
func (t *turn) slowerText(d *planner.Dog, h planner.History, r planner.Decision, posts []planner.Posterior) string {
	if r.Reason != planner.BelowResting || r.Goal != planner.LoseGoal {
		return ""
	}
	if reach := t.reachText(d, h, posts); reach != "" {
		return msg("goal.slower", "reach", reach)
	}
	return ""
}

// suggestText is a suggestion: the new figure first, then what that is in
// the bowl, then why and how sure.
func (t *turn) suggestText(d *planner.Dog, h planner.History, r planner.Decision, posts []planner.Posterior) string {
	way := choose(r.Then < r.Now, "decide.less", "decide.more")
	name := d.Name
	head := msg("decide.suggest", "dog", name, "then", kcal(r.Then), "now", kcal(r.Now),
		"change", msg(way, "percent", percent(math.Abs(r.Factor-1))))
	reached := ""
	if r.Target.Reached && math.Abs(float64(d.Weight/h.Ideal)-1) < wellOver {
		reached = msg("decide.reached", "dog", name, "ideal", bodyWeight(h.Ideal, t.home.Units))
	}
	rest := ""
	if r.Steps > 1 {
		rest = msg("decide.rest", "then", kcal(r.Then), "end", kcal(r.InTheEnd), "n", r.Steps)
	}
	return joinParas(head, rest, reached, t.bowlChange(d, r), t.becauseText(h, r, posts), t.comesFirstText(d, r))
}

// offerAgain is what a weigh-in says, shorter where it suggests the same, to a
// hundredth (our own choice), as the one before, which nobody answered.
func (t *turn) offerAgain(d *planner.Dog, h planner.History, r planner.Decision, posts []planner.Posterior) string {
	same := math.Abs(float64(d.InForce.Offered/r.Then)-1) < 0.01
	d.InForce.Offered = r.Then
	if same {
		return joinParas(msg("decide.still", "dog", d.Name, "then", kcal(r.Then), "now", kcal(r.Now)), t.comesFirstText(d, r))
	}
	return t.otherThanWarning(d, h, r, posts)
}

// comesFirstText says what comes before a suggestion may be taken.
func (t *turn) comesFirstText(d *planner.Dog, r planner.Decision) string {
	if d.ByVet && r.First != planner.VetFirst {
		return joinParas(msg("decide.set-by-vet", "now", kcal(r.Now)), t.beforeText(d, r))
	}
	return t.beforeText(d, r)
}

func (t *turn) beforeText(d *planner.Dog, r planner.Decision) string {
	switch r.First {
	case planner.QuestionsFirst:
		return msg("decide.first-questions")
	case planner.ScoreFirst:
		return msg("decide.first-score", "dog", d.Name)
	case planner.VetFirst:
		return msg("decide.first-"+string(r.FirstWhy), "dog", d.Name)
	}
	return ""
}

// bowlChange is what a suggestion makes of today's bowl.
func (t *turn) bowlChange(d *planner.Dog, r planner.Decision) string {
	id, _ := planner.RecipeOn(t.home, d.ID, t.date())
	recipe := t.recipe(id)
	if recipe == nil {
		return ""
	}
	now, err := planner.BowlFor(*recipe, t.foods, r.Now, mealsOf(*d), t.home.Units)
	then, err2 := planner.BowlFor(*recipe, t.foods, r.Then, mealsOf(*d), t.home.Units)
	if err != nil || err2 != nil {
		return ""
	}
	return msg("decide.bowl", "then", wholeText(then.Day, t.home.Units), "now", wholeText(now.Day, t.home.Units), "recipe", recipe.Name)
}

// becauseText is the evidence: where the weight goes, and what that says of
// the need.
func (t *turn) becauseText(h planner.History, r planner.Decision, posts []planner.Posterior) string {
	key, ideal := "decide.because", h.Ideal
	if now := float64(posts[len(posts)-1].Weight); ideal == 0 || math.Abs(now/float64(ideal)-1) < goalWorthAsking {
		key = "decide.because-hold"
	}
	return joinParas(t.trendText(h), msg(key, "ideal", bodyWeight(ideal, t.home.Units), "target", targetRange(r.Target)))
}

// slopeNow is how fast the weight changes: since the daily kcal last changed,
// where there are three weigh-ins since then, else over the last twelve weeks
// and since is zero.
func slopeNow(h planner.History) (s planner.Slope, since time.Time) {
	before := nutrition.Kcal(0)
	for _, c := range h.Changes {
		if c.Kcal != before && before > 0 {
			since = c.At
		}
		before = c.Kcal
	}
	if !since.IsZero() {
		recent := h
		for len(recent.Weighings) > 0 && recent.Weighings[0].At.Before(since.Add(-12*time.Hour)) {
			recent.Weighings = recent.Weighings[1:]
		}
		if s = planner.SlopeOf(recent); s.WeighIns >= 3 && s.Days < 84 {
			return s, since
		}
	}
	return planner.SlopeOf(h), time.Time{}
}

// trendText is the change of weight in words.
func (t *turn) trendText(h planner.History) string {
	s, since := slopeNow(h)
	switch {
	case s.WeighIns < 3:
		return ""
	case !since.IsZero():
		return msg("trend.since", "slope", slopeText(s), "n", s.WeighIns, "day", t.dayOf(planner.DateOf(since)))
	}
	return msg("trend.text", "slope", slopeText(s), "n", s.WeighIns, "weeks", trim(s.Days/7, 0))
}

// slopeText is a change of weight in % a week with its range.
func slopeText(s planner.Slope) string {
	return msg("trend.slope", "mid", signedPercent(s.Mid), "low", signedPercent(s.Low), "high", signedPercent(s.High))
}

// signedPercent prints a figure with its sign, to a tenth.
func signedPercent(x float64) string {
	s := trim(math.Abs(x), 1)
	switch {
	case s == "0":
		return "0"
	case x < 0:
		return "-" + s
	}
	return "+" + s
}

// offerDecision offers to apply a suggestion.
func (t *turn) offerDecision(r *Reply, d *planner.Dog, h planner.History, decision planner.Decision) {
	if len(decision.Warnings) > 0 || decision.Gate == planner.UnderweightGate && decision.Outcome == planner.VetLine || decision.First == planner.VetFirst || decision.Reason == planner.SignsTold || decision.Reason == planner.AboveRange ||
		t.growing(d) && planner.GrowthOf(*d, h).Warning != "" {
		r.offer(t.button(msg("button.vet-saw"), "weigh", "vet", d.ID))
	}
	if decision.Outcome != planner.Suggest {
		return
	}
	var first []Button
	switch decision.First {
	case "":
		first = append(first, t.button(msg("button.apply"), "weigh", "apply", d.ID, trim(float64(decision.Then), 0)))
	case planner.QuestionsFirst:
		first = append(first, t.button(msg("button.four-questions"), "weigh", "four", d.ID))
	case planner.ScoreFirst:
		first = append(first, t.button(msg("button.condition"), "weigh", "score", d.ID))
	}
	r.offer(append(first, t.button(msg("button.keep"), "weigh", "keep", d.ID), t.button(msg("button.why"), "weigh", "why", d.ID))...)
}

// applyKcal sets the daily kcal to what was suggested. It is worked out anew:
// a button of last month does nothing.
func (t *turn) applyKcal(d *planner.Dog, then string) {
	_, decision, _ := t.judge(d)
	if decision.Outcome != planner.Suggest || decision.First != "" || trim(float64(decision.Then), 0) != then {
		t.sayMsg("decide.stale", "dog", d.Name).offer(t.button(msg("button.trend"), "weigh", "trend", d.ID))
		return
	}
	t.mutate("did.kcal-applied", d.Name)
	t.setAmount(d, decision.Then, planner.OnSuggestion)
	out := t.say(para(msg("decide.applied", "dog", d.Name, "then", kcal(decision.Then), "now", kcal(decision.Now))), para(t.bowlChange(d, decision)))
	out.InPlace = t.event.Message
	out.offer(t.undoButton(), t.button(msg("button.bowl"), "bowl", "dog", d.ID))
}

// keepKcal leaves the daily kcal as it is; that counts as a decision, so that
// the same is not suggested again at once.
func (t *turn) keepKcal(d *planner.Dog) {
	t.mutate("did.kcal-kept", d.Name)
	t.note(planner.Entry{Kind: planner.KcalSet, Dog: d.ID, Kcal: d.Kcal, Text: string(planner.OnKept)})
	d.InForce.Offered = 0
	out := t.sayMsg("decide.kept", "dog", d.Name, "now", kcal(planner.AmountOf(*d, t.event.At).Kcal))
	out.InPlace = t.event.Message
	out.offer(t.undoButton())
}

// whyDecision says what a suggestion rests on and what was assumed.
func (t *turn) whyDecision(d *planner.Dog) {
	h, r, posts := t.judge(d)
	if t.growing(d) {
		t.say(para(t.decisionText(d, h, r, posts)), para(t.goalText(d, h, posts)))
		return
	}
	if len(posts) == 0 {
		t.say(para(t.missingText(r)))
		return
	}
	p := posts[len(posts)-1]
	prior := planner.PriorOf(*d, h, t.event.At)
	rows := []tableRow{
		{msg("why-scale.own"), []string{trim(p.Mean, 0)}},
		{msg("why-scale.own-range"), []string{trim(p.Quantile(0.1), 0) + "-" + trim(p.Quantile(0.9), 0)}},
		{msg("why-scale.equation"), []string{trim(prior.K, 0)}},
		{msg("why-scale.fed"), []string{kcal(h.Planned+h.Treats) + " kcal"}},
		{msg("why-scale.target"), []string{kcal(r.Target.Kcal) + " kcal"}},
		{msg("why-scale.target-range"), []string{targetRange(r.Target)}},
		{msg("why-scale.sure"), []string{percent(math.Min(r.P, 0.99))}},
		{msg("why-scale.weighs"), []string{trim(float64(p.WeighIns), 0)}},
		{msg("why-scale.days"), []string{trim(float64(p.Days), 0)}},
		{msg("why-scale.confirmed"), []string{percent(h.Confirmed)}},
	}
	t.say(para(msg("why-scale.head", "dog", d.Name)), tableBlock(rows), para(t.floorText(r)), para(msg("why-scale.assumed"))).
		offer(t.button(msg("button.trend"), "weigh", "trend", d.ID))
}

// targetRange is where the kcal that a goal asks for are likely to lie.
func targetRange(g planner.Target) string {
	if kcal(g.Low) == kcal(g.High) {
		return kcal(g.Low)
	}
	return kcal(g.Low) + "-" + kcal(g.High)
}

// floorText says that less is for a vet to say.
func (t *turn) floorText(r planner.Decision) string {
	if r.Target.AtResting {
		return msg("why-scale.at-resting")
	}
	return ""
}

// wellOver is how far over its ideal weight a dog that is to hold its weight
// may be before its condition is worth another look (our own choice: most of
// a point of the nine-point scale).
const wellOver = 0.07

// goalText says what the weight is to do, and when it may be there.
func (t *turn) goalText(d *planner.Dog, h planner.History, posts []planner.Posterior) string {
	goal := planner.GoalOf(*d, t.event.At)
	ideal := nutrition.Kilograms(0)
	if h.Ideal > 0 {
		ideal = h.Ideal
	}
	s := msg("goal."+string(goal), "dog", d.Name, "ideal", t.idealText(h, ideal))
	if off := float64(d.Weight/max(ideal, planner.LightestDog)) - 1; goal == planner.HoldGoal && ideal > 0 && math.Abs(off) > wellOver {
		s = joinParas(s, msg(choose(off > 0, "goal.over", "goal.under"), "dog", d.Name, "percent", percent(math.Abs(off))))
	}
	return joinParas(s, t.reachText(d, h, posts))
}

// reachText says when the ideal weight is likely to be reached.
func (t *turn) reachText(d *planner.Dog, h planner.History, posts []planner.Posterior) string {
	if len(posts) == 0 {
		return ""
	}
	post := posts[len(posts)-1]
	r := planner.ReachOf(*d, h, post)
	ideal := bodyWeight(h.Ideal, t.home.Units)
	switch {
	case !r.Known, r.Late.IsZero() && !post.Enough(): // too early to say that it may never be
		return ""
	case r.Early.IsZero():
		return msg("goal.reach-not", "ideal", ideal)
	case r.Late.IsZero():
		return msg("goal.reach-open", "ideal", ideal, "early", monthText(r.Early))
	}
	return msg("goal.reach", "ideal", ideal, "early", monthText(r.Early), "late", monthText(r.Late))
}

// idealText is the ideal weight with its range, where it is one.
func (t *turn) idealText(h planner.History, ideal nutrition.Kilograms) string {
	u := t.home.Units
	if bodyWeight(h.IdealLow, u) == bodyWeight(h.IdealHigh, u) {
		return bodyWeight(ideal, u)
	}
	return msg("goal.ideal-range", "ideal", bodyWeight(ideal, u), "range", weightRange(h.IdealLow, h.IdealHigh, u))
}

// dayOf is a day that was, with its year where that is not the present one.
func (t *turn) dayOf(d planner.Date) string {
	if d.Year != t.event.At.Year() {
		return monthText(d)
	}
	return dayText(d)
}

// monthText is a day so far ahead that the year belongs to it.
func monthText(d planner.Date) string { return dayText(d) + " " + trim(float64(d.Year), 0) }

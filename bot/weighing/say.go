package weighing

import (
	"math"
	"time"

	"bowlwright/bot/balance"
	"bowlwright/bot/dogs"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/judge"
	"bowlwright/planner/larder"
	"bowlwright/planner/portions"
)

// amountText says what there is to say of the amount that a dog is fed.
func amountText(t *talk.Turn, d *planner.Dog, h judge.History, r judge.Decision, posts []judge.Posterior) string {
	name, ideal := d.Name, say.BodyWeight(h.Ideal, t.Home.Units)
	switch r.Outcome {
	case judge.NoneYet:
		return missingText(r)
	case judge.Watch:
		switch r.Reason {
		case judge.WeighAgain:
			return "" // what it would mean is said first
		case judge.StepWait, judge.ScaleWait:
			return msg("decide."+string(r.Reason), "n", r.DaysMissing)
		}
		if r.First == judge.QuestionsFirst {
			return say.JoinParas(msg("decide.watch-ask", "dog", name), beforeText(d, r))
		}
		return msg("decide.watch-"+string(r.Reason), "dog", name)
	case judge.Steady:
		switch r.Reason {
		case judge.OverGoal, judge.UnderGoal:
			return msg("decide."+string(r.Reason), "dog", name, "ideal", ideal)
		case judge.OpenYet:
			return say.JoinParas(say.Where(r.Holds, msg("decide.holds")), msg("decide.open", "dog", name))
		}
		if r.Target.Reached {
			return msg("decide.fits-reached", "dog", name, "ideal", ideal)
		}
		return msg("decide.fits-"+string(r.Goal), "dog", name)
	case judge.Suggest:
		return suggestText(t, d, h, r)
	}
	return ""
}

// warningKey is how a warning is said: a month's change the wrong way while a
// plan is followed is not one without a plan.
func warningKey(w judge.Warning, goal planner.Goal) string {
	switch {
	case w.Of == judge.RiseMonth && goal == planner.LoseGoal:
		return "rise-plan"
	case w.Of == judge.FallMonth && goal == planner.GainGoal:
		return "fall-plan"
	}
	return string(w.Of)
}

// warningFirst is what a decision says for a vet; nothing goes before it.
func warningFirst(t *talk.Turn, d *planner.Dog, h judge.History, r judge.Decision, posts []judge.Posterior) string {
	if r.Outcome == judge.VetLine && r.Reason == judge.GatedDog && dogs.Growing(t, d) {
		return say.JoinParas(say.Where(r.Gate != planner.GrowthGate, vetText(t, d, r)), growthText(t, d, h))
	}
	vet := ""
	switch {
	case r.Outcome == judge.VetLine && r.Reason == judge.GatedDog:
		vet = gateNow(t, d)
	case r.Outcome == judge.VetLine:
		vet = say.JoinParas(vetText(t, d, r), slowerText(t, d, h, r, posts))
	}
	return say.JoinParas(againText(t, d, r), say.LinesOf(r.Warnings, func(w judge.Warning) string {
		return msg("decide.vet-"+warningKey(w, r.Goal), "dog", d.Name, "change", say.Trim(math.Abs(w.Change), 1), "ideal", say.BodyWeight(h.Ideal, t.Home.Units))
	}), vet)
}

// otherThanWarning is what a decision says apart from a vet line. Beside a vet
// line nothing doubtful is said.
func otherThanWarning(t *talk.Turn, d *planner.Dog, h judge.History, r judge.Decision, posts []judge.Posterior) string {
	if len(r.Warnings) > 0 && (r.Outcome == judge.Steady || r.Outcome == judge.NoneYet) {
		return ""
	}
	return amountText(t, d, h, r, posts)
}

func missingText(r judge.Decision) string {
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
func vetText(t *talk.Turn, d *planner.Dog, r judge.Decision) string {
	if r.Reason == judge.GatedDog {
		return dogs.GateText(*d, planner.AmountOf(*d, t.Event.At))
	}
	return msg("decide.vet-"+string(r.Reason), "dog", d.Name)
}

// slowerText says when a dog that would have to eat less than its resting
// energy is at its ideal weight if it goes on as it is.
func slowerText(t *talk.Turn, d *planner.Dog, h judge.History, r judge.Decision, posts []judge.Posterior) string {
	reach := reachText(t, d, h, posts)
	return say.Where(r.Reason == judge.BelowResting && r.Goal == planner.LoseGoal && reach != "", msg("goal.slower", "reach", reach))
}

// suggestText is a suggestion: the new figure first, then what that is in
// the bowl, then why and how sure.
func suggestText(t *talk.Turn, d *planner.Dog, h judge.History, r judge.Decision) string {
	way := say.Choose(r.Then < r.Now, "decide.less", "decide.more")
	name := d.Name
	head := msg("decide.suggest", "dog", name, "then", say.Kcal(r.Then), "now", say.Kcal(r.Now),
		"change", msg(way, "percent", say.Percent(math.Abs(r.Factor-1))))
	reached := say.Where(r.Target.Reached && math.Abs(float64(d.Weight/h.Ideal)-1) < wellOver, msg("decide.reached", "dog", name, "ideal", say.BodyWeight(h.Ideal, t.Home.Units)))
	rest := say.Where(r.Steps > 1, msg("decide.rest", "then", say.Kcal(r.Then), "end", say.Kcal(r.InTheEnd), "n", r.Steps))
	return say.JoinParas(head, rest, reached, bowlChange(t, d, r.Now, r.Then), trendText(t, h), comesFirstText(d, r))
}

// offerAgain is what a weigh-in says. It is shorter where the suggestion is the
// same, to a hundredth (our own choice), as the one before that nobody
// answered.
func offerAgain(t *talk.Turn, d *planner.Dog, h judge.History, r judge.Decision, posts []judge.Posterior) string {
	same := math.Abs(float64(d.InForce.Offered/r.Then)-1) < 0.01
	d.InForce.Offered = r.Then
	if same {
		return say.JoinParas(msg("decide.still", "dog", d.Name, "then", say.Kcal(r.Then), "now", say.Kcal(r.Now)), comesFirstText(d, r))
	}
	return otherThanWarning(t, d, h, r, posts)
}

// comesFirstText says what comes before a suggestion may be taken.
func comesFirstText(d *planner.Dog, r judge.Decision) string {
	return say.JoinParas(say.Where(d.ByVet && r.First != judge.VetFirst, msg("decide.set-by-vet", "now", say.Kcal(r.Now))), beforeText(d, r))
}

func beforeText(d *planner.Dog, r judge.Decision) string {
	switch r.First {
	case judge.QuestionsFirst:
		return msg("decide.first-questions")
	case judge.ScoreFirst:
		return msg("decide.first-score", "dog", d.Name)
	case judge.VetFirst:
		return msg("decide.first-"+string(r.FirstWhy), "dog", d.Name)
	}
	return ""
}

// bowlChange is what another amount makes of today's bowl.
func bowlChange(t *talk.Turn, d *planner.Dog, was, to nutrition.Kcal) string {
	id, _ := planner.RecipeOn(t.Home, d.ID, t.Date())
	recipe := t.Recipe(id)
	if recipe == nil {
		return ""
	}
	part := nutrition.Kcal(planner.ShareOf(t.Home, d.ID, t.Date(), id))
	now, err := portions.BowlFor(*recipe, t.Foods, balance.FoodKcal(t, d, was)*part, talk.MealsOf(*d), t.Home.Units)
	then, err2 := portions.BowlFor(*recipe, t.Foods, balance.FoodKcal(t, d, to)*part, talk.MealsOf(*d), t.Home.Units)
	return say.Where(part != 0 && err == nil && err2 == nil, msg("decide.bowl", "then", say.WholeText(then.Day, t.Home.Units), "raw", say.Where(larder.InRawWeights(*recipe, t.Foods), msg("bowl.raw")), "now", say.WholeText(now.Day, t.Home.Units), "recipe", recipe.Name))
}

// becauseText is what the evidence says of the need.
func becauseText(t *talk.Turn, h judge.History, r judge.Decision, posts []judge.Posterior) string {
	if r.Outcome != judge.Suggest {
		return ""
	}
	key, ideal := "decide.because", h.Ideal
	if now := float64(posts[len(posts)-1].Weight); ideal == 0 || math.Abs(now/float64(ideal)-1) < goalWorthAsking {
		key = "decide.because-hold"
	}
	return msg(key, "ideal", say.BodyWeight(ideal, t.Home.Units), "target", targetRange(r.Target))
}

// slopeNow is how fast the weight changes: since the daily kcal last changed,
// where there are three weigh-ins since then, else over the last twelve weeks
// and since is zero.
func slopeNow(h judge.History) (s judge.Slope, since time.Time) {
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
		if s = judge.SlopeOf(recent); s.WeighIns >= 3 && s.Days < 84 {
			return s, since
		}
	}
	return judge.SlopeOf(h), time.Time{}
}

// trendText is the change of weight in words.
func trendText(t *talk.Turn, h judge.History) string {
	s, since := slopeNow(h)
	switch {
	case s.WeighIns < 3:
		return ""
	case !since.IsZero():
		return msg("trend.since", "slope", slopeText(s), "n", s.WeighIns, "day", talk.DayOf(t, planner.DateOf(since)))
	}
	return msg("trend.text", "slope", slopeText(s), "n", s.WeighIns, "weeks", say.Trim(s.Days/7, 0))
}

// slopeText is a change of weight in % a week with its range.
func slopeText(s judge.Slope) string {
	return msg("trend.slope", "mid", signedPercent(s.Mid), "low", signedPercent(s.Low), "high", signedPercent(s.High))
}

// signedPercent prints a figure with its sign, to a tenth.
func signedPercent(x float64) string {
	s := say.Trim(math.Abs(x), 1)
	return say.Where(s != "0", say.Choose(x < 0, "-", "+")) + s
}

// offerDecision offers what a decision asks for, as to apply a suggestion, and what is
// missing to judge a growing dog.
func offerDecision(t *talk.Turn, r *say.Reply, d *planner.Dog, h judge.History, decision judge.Decision) {
	if len(decision.Warnings) > 0 || decision.Gate == planner.UnderweightGate && decision.Outcome == judge.VetLine || decision.First == judge.VetFirst || decision.Reason == judge.SignsTold || decision.Reason == judge.AboveRange ||
		dogs.Growing(t, d) && judge.GrowthOf(*d, h).Warning != "" {
		r.Offer(t.Button(msg("button.vet-saw"), "weigh", "vet", d.ID))
	}
	offerAgreed(t, r, d, decision)
	var row []say.Button
	suggests := decision.Outcome == judge.Suggest
	switch first := decision.First; {
	case suggests && first == "":
		row = append(row, t.Button(msg("button.apply"), "weigh", "apply", d.ID, say.Trim(float64(decision.Then), 0)))
	case first == judge.QuestionsFirst:
		row = append(row, t.Button(msg("button.four-questions"), "weigh", "four", d.ID))
	case suggests && first == judge.ScoreFirst:
		row = append(row, t.Button(msg("button.condition"), "weigh", "score", d.ID))
	}
	if suggests {
		row = append(row, t.Button(msg("button.keep"), "weigh", "keep", d.ID), t.Button(msg("button.why"), "weigh", "why", d.ID))
	}
	r.Offer(row...)
	offerGrowth(t, r, d, h)
}

// applyKcal sets the daily kcal to what was suggested. It is worked out anew:
// a button of last month does nothing.
func applyKcal(t *talk.Turn, d *planner.Dog, then string) {
	_, decision, _ := Judge(t, d)
	if decision.Outcome != judge.Suggest || decision.First != "" || say.Trim(float64(decision.Then), 0) != then {
		t.SayMsg("decide.stale", "dog", d.Name).Offer(t.Button(msg("button.trend"), "weigh", "trend", d.ID))
		return
	}
	applied(t, d, decision.Now, decision.Then, planner.OnSuggestion, "")
}

// applied puts the amount in force that was offered, and says what it makes of the bowl.
func applied(t *talk.Turn, d *planner.Dog, was, to nutrition.Kcal, g planner.Ground, note string) {
	t.Mutate("did.kcal-applied", d.Name)
	setAmount(t, d, to, g)
	t.InPlace(t.Say(say.Para(msg("decide.applied", "dog", d.Name, "then", say.Kcal(to), "now", say.Kcal(was))), say.Para(bowlChange(t, d, was, to)), say.Para(note)).
		Offer(t.UndoButton(), t.Button(msg("button.bowl"), "bowl", "dog", d.ID)))
}

// keepKcal leaves the daily kcal as it is. That counts as a decision: the same
// is not suggested again at once.
func keepKcal(t *talk.Turn, d *planner.Dog) {
	t.Mutate("did.kcal-kept", d.Name)
	t.Note(planner.Entry{Kind: planner.KcalSet, Dog: d.ID, Kcal: d.Kcal, Text: string(planner.OnKept)})
	d.InForce.Offered = 0
	t.InPlace(t.SayMsg("decide.kept", "dog", d.Name, "now", say.Kcal(planner.AmountOf(*d, t.Event.At).Kcal)).Offer(t.UndoButton()))
}

// whyDecision says what a suggestion rests on and what was assumed.
func whyDecision(t *talk.Turn, d *planner.Dog) {
	h, r, posts := Judge(t, d)
	if dogs.Growing(t, d) {
		t.Say(say.Whole(warningFirst(t, d, h, r, posts)), say.Para(otherThanWarning(t, d, h, r, posts)), say.Waits(goalText(t, d, h, posts)))
		return
	}
	if len(posts) == 0 {
		t.Say(say.Para(missingText(r)))
		return
	}
	p := posts[len(posts)-1]
	prior := judge.PriorOf(*d, h, t.Event.At)
	rows := []say.TableRow{
		{Label: msg("why-scale.own"), Cells: []string{say.Trim(p.Mean, 0)}},
		{Label: msg("why-scale.own-range"), Cells: []string{say.Trim(p.Quantile(0.1), 0) + "-" + say.Trim(p.Quantile(0.9), 0)}},
		{Label: msg("why-scale.equation"), Cells: []string{say.Trim(prior.K, 0)}},
		{Label: msg("why-scale.fed"), Cells: []string{say.Kcal(h.Planned+h.Treats) + " kcal"}},
		{Label: msg("why-scale.target"), Cells: []string{say.Kcal(r.Target.Kcal) + " kcal"}},
		{Label: msg("why-scale.target-range"), Cells: []string{targetRange(r.Target)}},
		{Label: msg("why-scale.sure"), Cells: []string{say.Percent(math.Min(r.P, 0.99))}},
		{Label: msg("why-scale.weighs"), Cells: []string{say.Trim(float64(p.WeighIns), 0)}},
		{Label: msg("why-scale.days"), Cells: []string{say.Trim(float64(p.Days), 0)}},
		{Label: msg("why-scale.confirmed"), Cells: []string{say.Percent(h.Confirmed)}},
	}
	t.Say(say.Para(msg("why-scale.head", "dog", d.Name)), say.TableBlock(rows), say.Para(becauseText(t, h, r, posts)), say.Para(say.Where(r.Target.AtResting, msg("why-scale.at-resting"))), say.Para(msg("why-scale.assumed"))).
		Offer(t.Button(msg("button.trend"), "weigh", "trend", d.ID))
}

// targetRange is where the kcal that a goal asks for are likely to lie.
func targetRange(g judge.Target) string {
	low, high := say.Kcal(g.Low), say.Kcal(g.High)
	return say.Choose(low == high, low, low+"-"+high)
}

// wellOver is how far over its ideal weight a dog that is to hold its weight
// may be before its condition is worth another look (our own choice: most of
// a point of the nine-point scale).
const wellOver = 0.07

// goalText says what the weight is to do, and when it may be there.
func goalText(t *talk.Turn, d *planner.Dog, h judge.History, posts []judge.Posterior) string {
	goal := judge.GoalOf(*d, t.Event.At)
	ideal := max(h.Ideal, 0)
	if d.PlanRests() {
		return restsText(t, d)
	}
	if n := len(posts); n > 0 && judge.TargetKcal(*d, h, posts[n-1]).Reached {
		goal = planner.HoldGoal // it is there
	}
	off := float64(d.Weight/max(ideal, planner.LightestDog)) - 1
	return say.JoinParas(msg("goal."+string(goal), "dog", d.Name, "ideal", idealText(t, h, ideal)),
		say.Where(goal == planner.HoldGoal && ideal > 0 && math.Abs(off) > wellOver, msg(say.Choose(off > 0, "goal.over", "goal.under"), "dog", d.Name, "percent", say.Percent(math.Abs(off)))),
		reachText(t, d, h, posts))
}

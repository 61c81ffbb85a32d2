package weighing

import (
	"encoding/json"
	"math"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/judge"
)

// askGoal says what the weight is to do and when it may be there, and asks
// for another goal.
func askGoal(t *talk.Turn, d *planner.Dog) {
	t.Talk.Dog = d.ID
	h, _, posts := Judge(t, d)
	goal := judge.GoalOf(*d, t.Event.At)
	if goal == planner.GrowGoal {
		t.Say(say.Waits(goalText(t, d, h, nil))).Offer(t.Button(msg("button.trend"), "weigh", "trend", d.ID))
		return
	}
	r := t.Say(say.Waits(goalText(t, d, h, posts)), say.Para(msg("goal.ask", "dog", d.Name)))
	r.Offer(t.Button(msg("button.goal-hold"), "weigh", "to", d.ID, "hold"), t.Button(msg("button.goal-lose"), "weigh", "to", d.ID, "lose"),
		t.Button(msg("button.goal-gain"), "weigh", "to", d.ID, "gain"))
	r.Offer(t.Button(msg("button.goal-auto"), "weigh", "to", d.ID, "auto"), t.Button(msg("button.set-ideal"), "dog", "field", d.ID, "ideal"))
}

// setGoal sets what the weight is to do, and the ideal weight where one is
// said with it. To lose or gain there must be an ideal weight to go to.
func setGoal(t *talk.Turn, d *planner.Dog, goal string, ideal nutrition.Kilograms) {
	changed := *d
	if ideal > 0 {
		changed = withGoal(d, ideal)
	}
	switch goal {
	case "hold", "lose", "gain":
		changed.Goal = planner.Goal(goal)
	case "auto":
		changed.Goal = ""
	default:
		t.SayMsg("press.stale")
		return
	}
	if talk.Unfit(t, changed) {
		return
	}
	if judge.GoalOf(changed, t.Event.At) == planner.GrowGoal {
		t.SayMsg("goal.grow", "dog", d.Name)
		return
	}
	if changed.Goal == planner.LoseGoal && d.Thin() {
		t.SayMsg("goal.thin-lose", "dog", d.Name, "score", d.Condition).Offer(t.Button(msg("button.condition"), "weigh", "score", d.ID))
		return
	}
	if ideal > 0 && askFarGoal(t, d, ideal) {
		return
	}
	h := History(t, &changed)
	if changed.Goal == planner.LoseGoal && (h.Ideal == 0 || h.Ideal >= d.Weight) || changed.Goal == planner.GainGoal && h.Ideal <= d.Weight {
		known := changed.Ideal > 0 || changed.Condition > 0
		t.SayMsg(say.Choose(known, "goal.other-side", "goal.no-ideal"), "dog", d.Name, "weight", say.BodyWeight(d.Weight, t.Home.Units), "ideal", say.BodyWeight(h.Ideal, t.Home.Units)).
			Offer(t.Button(msg("button.set-ideal"), "dog", "field", d.ID, "ideal"), t.Button(msg("button.condition"), "weigh", "score", d.ID))
		return
	}
	keepGoal(t, d, changed)
}

// keepGoal keeps a dog whose goal was set, and says how a plan to lose weight begins.
func keepGoal(t *talk.Turn, d *planner.Dog, changed planner.Dog) {
	t.Mutate("did.goal", d.Name)
	*d = changed
	h, _, posts := Judge(t, d)
	n := planner.AmountOf(*d, t.Event.At)
	r := t.Say(say.Waits(goalText(t, d, h, posts)), say.Para(startText(t, d, h, posts)), say.Whole(dogs.GateText(*d, n)))
	if start, _ := planStart(t, d, h, posts); start > 0 {
		awaitGoal(t, d)
		r.Offer(t.Button(msg("button.start-plan", "kcal", say.Kcal(start)), "weigh", "start", d.ID))
	}
	r.Offer(t.UndoButton(), t.Button(msg("button.bowl"), "bowl", "dog", d.ID))
}

// asGood is how far from its goal a dog holds its weight, as a fraction (our own
// choice).
const asGood = 0.03

// goTo sets the weight to which a dog is to get, and by which way.
func goTo(t *talk.Turn, d *planner.Dog, goal nutrition.Kilograms) {
	switch off := float64(goal/d.Weight) - 1; {
	case off < -asGood:
		setGoal(t, d, "lose", goal)
	case off > asGood:
		setGoal(t, d, "gain", goal)
	default:
		setIdeal(t, d, goal)
	}
}

// setIdeal sets the ideal weight.
func setIdeal(t *talk.Turn, d *planner.Dog, ideal nutrition.Kilograms) {
	changed := withGoal(d, ideal)
	if !talk.Unfit(t, changed) && !askFarGoal(t, d, ideal) {
		keepGoal(t, d, changed)
	}
}

// withGoal is a dog with a goal weight that a carer has set.
func withGoal(d *planner.Dog, ideal nutrition.Kilograms) planner.Dog {
	changed := *d
	changed.SetGoal(ideal, planner.GoalSet)
	return changed
}

// planStart is the kcal at which a plan to lose weight begins. It is 0 where
// there is no such start, as for a dog whose kcal are set by hand or that
// already eats less.
func planStart(t *talk.Turn, d *planner.Dog, h judge.History, posts []judge.Posterior) (nutrition.Kcal, judge.StartFrom) {
	var p judge.Posterior
	if len(posts) > 0 {
		p = posts[len(posts)-1]
	}
	n := planner.AmountOf(*d, t.Event.At)
	start, from := judge.PlanStart(*d, h, p)
	byHand := n.ByHand && n.Ground != planner.OnEquation && n.Ground != planner.OnFact
	if byHand || start >= n.Kcal {
		return 0, ""
	}
	return start, from
}

// startText says how a plan to lose or gain begins, where the dog is not fed
// by a figure of its own.
func startText(t *talk.Turn, d *planner.Dog, h judge.History, posts []judge.Posterior) string {
	n := planner.AmountOf(*d, t.Event.At)
	if start, from := planStart(t, d, h, posts); start > 0 {
		return say.JoinParas(msg("goal.start-"+string(from), "dog", d.Name, "kcal", say.Kcal(start), "now", say.Kcal(n.Kcal)), say.Where(from != judge.FromScale, msg("goal.start-better")))
	}
	goal := judge.GoalOf(*d, t.Event.At)
	return say.Where(n.Gate == "" && (goal == planner.LoseGoal || goal == planner.GainGoal), msg("goal.by-scale"))
}

// startPlan sets the daily kcal to where a plan begins.
func startPlan(t *talk.Turn, d *planner.Dog) {
	h, _, posts := Judge(t, d)
	start, _ := planStart(t, d, h, posts)
	if start == 0 {
		t.SayMsg("decide.stale", "dog", d.Name)
		return
	}
	was := planner.AmountOf(*d, t.Event.At).Kcal
	Shown(t, d) // what it was fed before the plan
	applied(t, d, was, start, planner.OnPlan, msg("goal.started"))
}

// awaySaid notes the days on which a dog was fed differently, or asks for
// them.
func awaySaid(t *talk.Turn, d *planner.Dog, words string) {
	from, until, ok := read.AwaySpan(t.OfDays(), words, t.Event.At)
	if !ok && read.Says("of-yesterday", t.AsTyped()) {
		from = t.Date().AddDays(-1)
		until, ok = from, true
	}
	if !ok {
		ask := weighDraft{Dog: d.ID}
		var open weighDraft
		if json.Unmarshal(t.Talk.Draft, &open) == nil && t.Talk.Kind == "weigh" && t.Talk.Step == "away" && t.Talk.By == talk.ChangeID(t.Event.ID) { // of another dog, just now
			ask.With = append(open.With, open.Dog)
		}
		t.Ask("weigh", "away", ask)
		t.SayMsg("away.ask", "dog", d.Name).Offer(t.Button(msg("button.stop"), "stop"))
		return
	}
	noteAway(t, d, from, until, t.AsTyped())
}

// takeAway takes the days on which a dog was fed differently.
func takeAway(t *talk.Turn, d *planner.Dog, with []string, in talk.Answer) {
	from, until, ok := read.PastSpan(in.Text, t.Event.At)
	if !ok {
		if t.Aside(in.Text) {
			return
		}
		t.SayMsg("away.unread", "text", say.Short(in.Text)).Offer(t.Button(msg("button.stop"), "stop"))
		return
	}
	t.EndDialogue()
	for _, id := range append(with, d.ID) {
		if d := t.Dog(id); d != nil {
			noteAway(t, d, from, until, in.Text)
		}
	}
}

func noteAway(t *talk.Turn, d *planner.Dog, from, until planner.Date, typed string) {
	t.Mutate("did.away", d.Name)
	e := planner.Entry{Kind: planner.Away, Dog: d.ID, Until: until, Text: say.Short(typed)}
	moveTo(t, &e, from)
	t.Note(e)
	said := msg("away.done", "dog", d.Name, "from", talk.DayOf(t, from), "until", talk.DayOf(t, until))
	switch {
	case from == until:
		said = msg("away.done-day", "dog", d.Name, "day", talk.DayOf(t, from))
	case t.Date().Before(from):
		said = msg("away.ahead", "dog", d.Name, "from", talk.DayOf(t, from), "until", talk.DayOf(t, until))
	case t.Date().Before(until):
		said = msg("away.still", "dog", d.Name, "until", talk.DayOf(t, until))
	}
	out := t.Say(say.Para(said)).Offer(t.UndoButton())
	if read.Says("away-place", typed) && t.Date().Before(until) {
		t.Happened(&talk.DogAway{Dog: d, From: from, Until: until, Out: out})
	}
}

// idealText is the ideal weight with its range, where it is one.
func idealText(t *talk.Turn, h judge.History, ideal nutrition.Kilograms) string {
	u := t.Home.Units
	is := say.BodyWeight(ideal, u)
	return say.Choose(say.BodyWeight(h.IdealLow, u) == say.BodyWeight(h.IdealHigh, u), is, msg("goal.ideal-range", "ideal", is, "range", weightRange(h.IdealLow, h.IdealHigh, u)))
}

// Shares of the present weight below and above which a goal weight is asked
// about, and how far one may be from what the condition score gives (a point
// and a half of it; all three are our own choice).
const leastGoal, mostGoal, farFromScore = 0.65, 1.5, 0.15

// GoalByScore is the goal weight that a dog's condition score gives, 0 where
// there is none.
func GoalByScore(t *talk.Turn, d *planner.Dog) nutrition.Kilograms {
	if d.Condition == 0 || d.Thin() {
		return 0
	}
	scored := *d
	scored.Ideal = 0
	return History(t, &scored).Ideal
}

// askFarGoal asks about a goal weight that is far from what the dog weighs or
// from what its condition gives, and reports whether it did.
func askFarGoal(t *talk.Turn, d *planner.Dog, goal nutrition.Kilograms) bool {
	by := GoalByScore(t, d)
	share := float64(goal / d.Weight)
	if goal == 0 || dogs.Growing(t, d) || share >= leastGoal && share <= mostGoal && (by == 0 || math.Abs(float64(goal/by)-1) <= farFromScore) {
		return false
	}
	u := t.Home.Units
	text := msg("goal.far", "goal", say.BodyWeight(goal, u), "dog", d.Name, "weight", say.BodyWeight(d.Weight, u))
	button := func(label string, w nutrition.Kilograms) say.Button {
		return t.Button(label, "weigh", "ideal", d.ID, say.Trim(float64(w)*1000, 4))
	}
	offer := []say.Button{button(msg("button.goal-set", "goal", say.BodyWeight(goal, u)), goal)}
	if by > 0 {
		text += " " + msg("goal.far-score", "n", d.Condition, "goal", say.AboutWeight(by, u))
		offer = append(offer, button(msg("button.goal-set", "goal", say.AboutWeight(by, u)), by))
	}
	t.Say(say.Para(text)).Offer(append(offer, t.Button(msg("button.goal-leave"), "weigh", "goal", d.ID))...)
	return true
}

// askEndPlan asks whether a dog that is too thin for its goal is to hold what it
// weighs. Until somebody says so, the goal leads it no further down.
func askEndPlan(t *talk.Turn, d *planner.Dog) {
	u := t.Home.Units
	awaitGoal(t, d)
	r := t.Say(say.Para(restsText(t, d)), say.Para(msg("amount.end-plan", "now", say.BodyWeight(d.Weight, u)))).Offer(goalHere(t, d))
	if d.Ideal > 0 {
		r.Offer(t.Button(msg("button.goal-keep", "goal", say.BodyWeight(d.Ideal, u)), "amount", "goal-keep", d.ID, inGrams(d.Weight), inGrams(d.Ideal)))
	}
}

// restsText says that nothing leads a thin dog to its goal.
func restsText(t *talk.Turn, d *planner.Dog) string {
	return msg(say.Choose(d.Ideal == 0, "goal.rests-open", "goal.rests"), "dog", d.Name, "score", d.Condition, "goal", say.BodyWeight(d.Ideal, t.Home.Units))
}

// askPlanAmount asks whether a dog whose plan to lose weight has ended is to get
// what it got before, or less where its equation says less. That is no feeding
// up: it ends a shortage.
func askPlanAmount(t *talk.Turn, d *planner.Dog) {
	k := min(beforePlan(t, d), dogs.ByEquation(t, d))
	if k <= d.Kcal {
		return
	}
	awaitGoal(t, d)
	p := planner.Proposal{Kcal: k, From: d.Kcal}
	askAmount(t, d, p, msg("amount.plan-ended", "dog", d.Name, "now", say.Kcal(d.Kcal), "kcal", say.Kcal(k)))
}

// beforePlan is what a dog got before the plan that it is on began, step by step
// since; 0 where it is on none.
func beforePlan(t *talk.Turn, d *planner.Dog) (k nutrition.Kcal) {
	last := nutrition.Kcal(0)
	for _, e := range talk.Trend(t, d) {
		if e.Kind != planner.KcalSet {
			continue
		}
		switch planner.Ground(e.Text) {
		case planner.OnPlan:
			k = max(k, last)
		case planner.OnSuggestion:
		default:
			k = 0
		}
		last = e.Kcal
	}
	return k
}

// goalHere makes of what a dog weighs its goal weight.
func goalHere(t *talk.Turn, d *planner.Dog) say.Button {
	return t.Button(msg("button.goal-here", "goal", say.BodyWeight(d.Weight, t.Home.Units)), "amount", "goal", d.ID, inGrams(d.Weight), inGrams(d.Ideal))
}

// awaitGoal has the daily amount of a dog wait for the answer about its goal.
func awaitGoal(t *talk.Turn, d *planner.Dog) {
	if t.GoalAsked == nil {
		t.GoalAsked = map[string]bool{}
	}
	t.GoalAsked[d.ID] = true
}

// inGrams is a weight in a button's data.
func inGrams(w nutrition.Kilograms) string { return say.Trim(math.Round(float64(w)*1000), 0) }

// reachText says when the ideal weight is likely to be reached.
func reachText(t *talk.Turn, d *planner.Dog, h judge.History, posts []judge.Posterior) string {
	if len(posts) == 0 {
		return ""
	}
	post := posts[len(posts)-1]
	r := judge.ReachOf(*d, h, post)
	ideal := say.BodyWeight(h.Ideal, t.Home.Units)
	switch {
	case !r.Known, r.Late.IsZero() && !post.Enough(): // too early to say that it may never be
		return ""
	case r.Early.IsZero():
		return msg("goal.reach-not", "ideal", ideal)
	case r.Late.IsZero():
		return msg("goal.reach-open", "ideal", ideal, "early", say.MonthText(r.Early))
	}
	return msg("goal.reach", "ideal", ideal, "early", say.MonthText(r.Early), "late", say.MonthText(r.Late))
}

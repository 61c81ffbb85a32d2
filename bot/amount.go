package bot

import (
	"math"
	"slices"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// adoptAmounts makes records of the daily amounts and goal weights of a
// household that was kept before they were records. No change of a carer's
// takes that back.
func (t *turn) adoptAmounts() {
	if t.home.Amounts {
		return
	}
	t.home.Amounts, t.changed = true, true
	for i := range t.home.Dogs {
		d := &t.home.Dogs[i]
		for _, e := range planner.Adopt(d, t.trend(d), t.event.At.Location(), t.event.At) {
			t.noteForGood(e)
		}
		t.planStage(d)
	}
}

// setAmount puts a daily amount in force. Call mutate first.
func (t *turn) setAmount(d *planner.Dog, k nutrition.Kcal, g planner.Ground) {
	d.FirstGoal(t.event.At)
	d.PutInForce(k, g, t.event.Person, t.event.At)
	t.note(amountEntry(d))
	t.planStage(d)
}

// byEquation is what a dog's equation gives a day.
func (t *turn) byEquation(d *planner.Dog) nutrition.Kcal { return planner.NeedOf(*d, t.event.At).Kcal }

func amountEntry(d *planner.Dog) planner.Entry {
	return planner.Entry{Kind: planner.KcalSet, Dog: d.ID, Kcal: d.Kcal, Text: string(d.InForce.Ground), Amount: d.InForce.K}
}

// shown puts the amount in force that a dog's first bowl is made for, or that it
// was fed by until it is weighed for the first time. Until then the facts of the
// dog set it; from now on nothing does but a carer.
func (t *turn) shown(d *planner.Dog) {
	if d == nil || t.dog(d.ID) != d || d.Kcal > 0 {
		return
	}
	if n := planner.NeedOf(*d, t.event.At); n.Waits() || !(n.Kcal > 0) {
		return
	}
	if d.IdealFrom != planner.GoalSet {
		d.Ideal = 0
	}
	d.FirstGoal(t.event.At)
	ground := planner.OnEquation
	if t.growing(d) {
		ground = planner.OnSchedule // a tap that nobody gives starves no puppy
	}
	d.PutInForce(t.byEquation(d), ground, t.event.Person, t.event.At)
	t.noteForGood(amountEntry(d))
	t.planStage(d)
}

// sinceText says since when a dog's amount is in force, and by whom.
func (t *turn) sinceText(d *planner.Dog) string {
	if d.InForce.Since.IsZero() {
		return ""
	}
	day := t.dayOf(planner.DateOf(d.InForce.Since.In(t.event.At.Location())))
	if d.InForce.By == "" || d.InForce.By == t.event.Person {
		return msg("amount.since", "day", day)
	}
	return msg("amount.since-by", "day", day, "name", t.nameOf(d.InForce.By))
}

// propose asks, once a turn and dog, whether the daily amount is to follow what
// a carer changed of the dog. before is the household as it was.
func (t *turn) propose(before *planner.Household) {
	if before == nil || before.ID != t.home.ID {
		return
	}
	t.litters()
	for i := range t.home.Dogs {
		d := &t.home.Dogs[i]
		j := slices.IndexFunc(before.Dogs, func(o planner.Dog) bool { return o.ID == d.ID })
		if j < 0 {
			continue
		}
		if t.goalAsked[d.ID] {
			continue // first the goal weight, which moves the amount too
		}
		if p, ok := planner.ProposeFor(before.Dogs[j], *d, t.event.At); ok {
			t.askProposal(d, p)
		}
	}
}

func (t *turn) askChange(d *planner.Dog, p planner.Proposal) {
	t.askAmount(d, p, msg("amount.ask", "why", msg("equation."+string(p.Why)), "dog", d.Name, "kcal", kcal(p.Kcal), "now", kcal(p.From)))
}

// askAmount asks whether a proposal is wanted.
func (t *turn) askAmount(d *planner.Dog, p planner.Proposal, text string) {
	to, now := trim(float64(p.Kcal), 0), trim(float64(p.From), 0)
	t.say(para(text)).offer(t.button(msg("button.amount-change", "kcal", kcal(p.Kcal)), "amount", "to", d.ID, to, now),
		t.button(msg("button.amount-keep", "kcal", kcal(p.From)), "amount", "keep", d.ID, to, now))
}

// pressAmount does what a button under a question about the daily amount, or
// the goal weight, asks. The first tap counts: a later one finds another amount
// in force.
func (t *turn) pressAmount(args []string) {
	d := t.dog(arg(args, 1))
	if d == nil {
		t.sayMsg("press.gone")
		return
	}
	t.talk.Dog = d.ID
	to, err := read.Number(arg(args, 2))
	now, err2 := read.Number(arg(args, 3))
	stale := func(in float64) bool { return math.Abs(now-in) >= 0.75 }
	switch verb := arg(args, 0); {
	case verb == "steps":
		t.sayLitter(d)
	case verb == "litter":
		t.agreeLitter(d, arg(args, 2))
	case verb == "follow":
		t.followSchedule(d)
	case verb == "stand" && err == nil && to > 0:
		t.standStill(d, nutrition.Kcal(to))
	case err != nil || err2 != nil:
		t.sayMsg("press.stale")
	case (verb == "to" || verb == "keep") && stale(float64(d.Kcal)):
		t.inPlace(t.sayMsg("amount.stale", "dog", d.Name, "now", kcal(d.Kcal)))
	case verb == "to":
		t.changeAmount(d, nutrition.Kcal(to))
	case verb == "keep":
		t.keepAmount(d, nutrition.Kcal(to))
	case (verb == "goal" || verb == "goal-keep") && stale(math.Round(float64(d.Ideal)*1000)):
		t.inPlace(t.sayMsg("amount.goal-stale", "dog", d.Name, "goal", bodyWeight(d.Ideal, t.home.Units)))
	case verb == "goal":
		t.mutate("did.goal", d.Name)
		d.SetGoal(nutrition.Kilograms(to/1000), planner.GoalScored)
		t.settled(msg("amount.goal-done", "dog", d.Name, "goal", bodyWeight(d.Ideal, t.home.Units)))
	case verb == "goal-keep":
		t.inPlace(t.sayMsg("amount.goal-kept", "dog", d.Name, "goal", bodyWeight(d.Ideal, t.home.Units)))
		if p, ok := planner.ProposeNow(*d, t.event.At); ok { // the score may ask for another amount all the same
			t.askChange(d, p)
		}
	default:
		t.sayMsg("press.stale")
	}
}

// changeAmount puts in force what changed facts ask for.
func (t *turn) changeAmount(d *planner.Dog, k nutrition.Kcal) {
	was := d.Kcal
	t.mutate("did.kcal-set", d.Name)
	if n := planner.NeedOf(*d, t.event.At); math.Abs(float64(n.Kcal-k)) < 1 {
		k = n.Kcal // as precisely as the equation has it
	}
	t.setAmount(d, k, planner.OnFact)
	out := t.settled(msg("decide.applied", "dog", d.Name, "then", kcal(k), "now", kcal(was)))
	out.Body = append(out.Body, para(t.bowlChange(d, planner.Decision{Now: was, Then: k})))
}

// keepAmount leaves the amount as it is, and does not propose the same again.
func (t *turn) keepAmount(d *planner.Dog, declined nutrition.Kcal) {
	t.mutate("did.kcal-kept", d.Name)
	d.InForce.Declined, d.InForce.Asked = declined, 0
	t.settled(msg("amount.kept", "dog", d.Name, "now", kcal(d.Kcal)))
}

// goalAfterScore asks whether the goal weight is to follow a new score, or
// follows where there was none to follow, and says so. Call mutate first.
func (t *turn) goalAfterScore(d *planner.Dog) {
	goal := planner.GoalByScore(*d)
	switch {
	case t.growing(d), d.Kcal == 0: // it is set with the first bowl
	case d.Stage != "": // what it weighs with pups is no goal
	case d.Ideal == 0:
		d.SetGoal(goal, planner.GoalScored)
	case math.Abs(float64(goal/d.Ideal)-1) >= goalWorthAsking && d.Condition > planner.ThinCondition:
		t.askGoalMove(d, goal)
	case d.IdealFrom == planner.GoalFirstSeen:
		d.SetGoal(d.Ideal, planner.GoalScored)
	}
}

// goalWorthAsking is the share from which another goal weight is asked about:
// what a goal is reached within.
const goalWorthAsking = 0.02

func (t *turn) askGoalMove(d *planner.Dog, goal nutrition.Kilograms) {
	if t.goalAsked == nil {
		t.goalAsked = map[string]bool{}
	}
	t.goalAsked[d.ID] = true
	u := t.home.Units
	grams := func(w nutrition.Kilograms) string { return trim(math.Round(float64(w)*1000), 0) }
	t.say(para(msg("amount.goal-ask", "dog", d.Name, "score", d.Condition, "goal", bodyWeight(goal, u), "now", bodyWeight(d.Ideal, u)))).
		offer(t.button(msg("button.goal-change", "goal", bodyWeight(goal, u)), "amount", "goal", d.ID, grams(goal), grams(d.Ideal)),
			t.button(msg("button.goal-keep", "goal", bodyWeight(d.Ideal, u)), "amount", "goal-keep", d.ID, grams(goal), grams(d.Ideal)))
}

// keepLater leaves in force what was put in force after a change that is taken
// back, and what a household did not keep yet when the change was made.
func keepLater(back, now *planner.Household, change store.Change) {
	for i := range back.Dogs {
		b := &back.Dogs[i]
		j := slices.IndexFunc(now.Dogs, func(o planner.Dog) bool { return o.ID == b.ID })
		if j < 0 {
			continue
		}
		n := &now.Dogs[j]
		if !back.Amounts || n.InForce.Since.After(change.At) {
			b.Kcal, b.InForce, b.ByScale, b.ByVet = n.Kcal, n.InForce, n.ByScale, n.ByVet
		}
		if !back.Amounts {
			b.Ideal, b.IdealFrom, b.IdealScore = n.Ideal, n.IdealFrom, n.IdealScore
		}
	}
	back.Amounts = now.Amounts
}

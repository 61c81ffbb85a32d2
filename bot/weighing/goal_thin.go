package weighing

import (
	"math"

	"bowlwright/bot/dogs"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

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
	if d.Ideal == 0 {
		return msg("goal.rests-open", "dog", d.Name, "score", d.Condition)
	}
	return msg("goal.rests", "dog", d.Name, "score", d.Condition, "goal", say.BodyWeight(d.Ideal, t.Home.Units))
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

package bot

import (
	"math"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Shares of the present weight below and above which a goal weight is asked
// about, and how far one may be from what the condition score gives (a point
// and a half of it; all three are our own choice).
const leastGoal, mostGoal, farFromScore = 0.65, 1.5, 0.15

// goalByScore is the goal weight that a dog's condition score gives, 0 where
// there is none.
func (t *turn) goalByScore(d *planner.Dog) nutrition.Kilograms {
	if d.Condition <= planner.ThinCondition {
		return 0
	}
	scored := *d
	scored.Ideal = 0
	return t.history(&scored).Ideal
}

// askFarGoal asks about a goal weight that is far from what the dog weighs or
// from what its condition gives, and reports whether it did.
func (t *turn) askFarGoal(d *planner.Dog, goal nutrition.Kilograms) bool {
	by := t.goalByScore(d)
	share := float64(goal / d.Weight)
	if goal == 0 || t.growing(d) || share >= leastGoal && share <= mostGoal && (by == 0 || math.Abs(float64(goal/by)-1) <= farFromScore) {
		return false
	}
	u := t.home.Units
	text := msg("goal.far", "goal", bodyWeight(goal, u), "dog", d.Name, "weight", bodyWeight(d.Weight, u))
	button := func(label string, w nutrition.Kilograms) Button {
		return t.button(label, "weigh", "ideal", d.ID, trim(float64(w)*1000, 4))
	}
	offer := []Button{button(msg("button.goal-set", "goal", bodyWeight(goal, u)), goal)}
	if by > 0 {
		text += " " + msg("goal.far-score", "n", d.Condition, "goal", aboutWeight(by, u))
		offer = append(offer, button(msg("button.goal-set", "goal", aboutWeight(by, u)), by))
	}
	t.say(para(text)).offer(append(offer, t.button(msg("button.goal-leave"), "weigh", "goal", d.ID))...)
	return true
}

// pressIdeal sets the goal weight that was asked about.
func (t *turn) pressIdeal(d *planner.Dog, grams string) {
	g, err := read.Number(grams)
	if err != nil {
		t.sayMsg("press.stale")
		return
	}
	t.mutate("did.goal", d.Name)
	d.SetGoal(nutrition.Kilograms(g/1000), planner.GoalSet)
	t.sayGoal(d)
}

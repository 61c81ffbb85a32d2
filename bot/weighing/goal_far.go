package weighing

import (
	"math"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

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

// pressIdeal sets the goal weight that was asked about.
func pressIdeal(t *talk.Turn, d *planner.Dog, grams string) {
	g, err := read.Number(grams)
	if err != nil {
		t.SayMsg("press.stale")
		return
	}
	t.Mutate("did.goal", d.Name)
	d.SetGoal(nutrition.Kilograms(g/1000), planner.GoalSet)
	sayGoal(t, d)
}

package weighing

import (
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/judge"
)

// GoalWords answers how a diet is going, and takes in any words that a plan begins which can ("put him on the 875"), and what
// a dog's weight is to do ("vet says drop a couple of pounds", "want him down to about 28").
func GoalWords(t *talk.Turn, s string) bool {
	if of := goalDogs(t, s); len(of) == 1 && read.Says("asks-diet", s) {
		t.Talk.Dog = of[0].ID
		for _, part := range strings.FieldsFunc(s, func(r rune) bool { return strings.ContainsRune(",.;?", r) }) {
			if read.Says("she-weighs", part) { // "hows her diet going, shes 26 now"
				t.As(part, func() bool { return WeighWords(t, part) })
			}
		}
		t.GoTo(read.Sentence{Intent: read.ShowWeight, Dog: of[0].ID})
		return true
	}
	return planSaid(t, s) || goalSaid(t, s)
}

// planSaid begins the plan to lose weight that was offered, or can begin for the goal; asked
// how, it offers that.
func planSaid(t *talk.Turn, s string) bool {
	offered := slices.ContainsFunc(slices.Concat(t.Offered("weigh"), talk.OfferedBeside(t, "weigh")), func(args []string) bool { return talk.Arg(args, 0) == "start" })
	said := read.Without("weights-said", s)
	no := read.Says("plan-no", s)
	if !no && (!read.Says("begins-plan", said) && !(offered && read.Says("begins-that", s)) || read.Says("plan-not", said)) {
		return false
	}
	figure := read.Find("plan-kcal", said)
	of := slices.DeleteFunc(goalDogs(t, s), func(d *planner.Dog) bool {
		start := planKcal(t, d)
		return start == "" || figure != "" && figure != start
	})
	if all := goalDogs(t, s); len(of) == 0 && !no && len(all) == 1 && all[0].InForce.Ground == planner.OnPlan && (figure == "" || figure == say.Kcal(all[0].Kcal)) {
		t.SayMsg("kcal.already", "dog", all[0].Name, "kcal", say.Kcal(all[0].Kcal))
		return true
	} else if len(of) != 1 {
		return false
	}
	d := of[0]
	t.Talk.Dog = d.ID
	switch {
	case no:
		t.SayMsg("goal.not-begun", "dog", d.Name, "kcal", say.Kcal(planner.AmountOf(*d, t.Event.At).Kcal))
	case read.Says("asks-how", s):
		t.SayMsg("goal.how", "dog", d.Name, "kcal", planKcal(t, d)).Offer(t.Button(msg("button.start-plan", "kcal", planKcal(t, d)), "weigh", "start", d.ID))
	default:
		startPlan(t, d)
	}
	return true
}

// planKcal are the kcal, as they are said, at which a plan can begin of a dog that is to lose
// weight; empty where none can.
func planKcal(t *talk.Turn, d *planner.Dog) string {
	h, _, posts := Judge(t, d)
	start, _ := planStart(t, d, h, posts)
	return say.Where(start > 0 && judge.GoalOf(*d, t.Event.At) == planner.LoseGoal, say.Kcal(start))
}

// goalSaid sets the goal weight that is wished for, or by how much less.
func goalSaid(t *talk.Turn, s string) bool {
	of := goalDogs(t, s)
	if t.Talk.Kind == "recipe" || read.IsQuestion(s) || !read.Says("goal-wish", s) {
		return false
	}
	by, to := read.Pattern("goal-by").FindStringSubmatch(s), read.Pattern("goal-to").FindStringSubmatch(s)
	switch {
	case by == nil && to == nil:
		return false
	case len(of) != 1:
		if by == nil {
			return false // "get the carrots down to 100"
		}
		talk.WhichDog(t)
		return true
	}
	d := of[0]
	weight := func(m []string) nutrition.Kilograms {
		w, _ := span.BodyWeight(read.Without("a-couple", strings.TrimSpace(m[1]+" "+m[2])), t.Home.Units)
		return w
	}
	goal := d.Weight
	if by != nil {
		goal -= weight(by)
	} else {
		goal = weight(to)
	}
	if goal < leastGoal*d.Weight || goal >= d.Weight {
		return false
	}
	t.Talk.Dog = d.ID
	setGoal(t, d, "lose", goal)
	return true
}

// goalDogs are the dogs that are named, else the one that is meant, else all.
func goalDogs(t *talk.Turn, s string) []*planner.Dog {
	if ids := read.DogsOf(s, t.Names()); len(ids) > 0 {
		return say.Each(ids, t.Dog)
	}
	if d := talk.TheDog(t); d != nil {
		return []*planner.Dog{d}
	}
	return t.Living()
}

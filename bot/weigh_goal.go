package bot

import (
	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// askGoal says what the weight is to do and when it may be there, and asks
// for another goal.
func (t *turn) askGoal(d *planner.Dog) {
	t.talk.Dog = d.ID
	h, _, posts := t.judge(d)
	goal := planner.GoalOf(*d, t.event.At)
	if goal == planner.GrowGoal {
		t.say(para(t.goalText(d, h, nil))).offer(t.button(msg("button.trend"), "weigh", "trend", d.ID))
		return
	}
	r := t.say(para(t.goalText(d, h, posts)), para(msg("goal.ask", "dog", d.Name)))
	r.offer(t.button(msg("button.goal-hold"), "weigh", "to", d.ID, "hold"), t.button(msg("button.goal-lose"), "weigh", "to", d.ID, "lose"),
		t.button(msg("button.goal-gain"), "weigh", "to", d.ID, "gain"))
	r.offer(t.button(msg("button.goal-auto"), "weigh", "to", d.ID, "auto"), t.button(msg("button.set-ideal"), "dog", "field", d.ID, "ideal"))
}

// setGoal sets what the weight is to do, and the ideal weight where one is
// said with it. To lose or gain there must be an ideal weight to go to.
func (t *turn) setGoal(d *planner.Dog, goal string, ideal nutrition.Kilograms) {
	changed := *d
	if ideal > 0 {
		changed.SetGoal(ideal, planner.GoalSet)
	}
	switch goal {
	case "hold", "lose", "gain":
		changed.Goal = planner.Goal(goal)
	case "auto":
		changed.Goal = ""
	default:
		t.sayMsg("press.stale")
		return
	}
	if err := changed.Validate(t.event.At); err != nil {
		t.say(para(fieldText(err, t.home.Units)))
		return
	}
	if planner.GoalOf(changed, t.event.At) == planner.GrowGoal {
		t.sayMsg("goal.grow", "dog", d.Name)
		return
	}
	if ideal > 0 && t.askFarGoal(d, ideal) {
		return
	}
	h := t.history(&changed)
	if changed.Goal == planner.LoseGoal && (h.Ideal == 0 || h.Ideal >= d.Weight) || changed.Goal == planner.GainGoal && h.Ideal <= d.Weight {
		text := msg("goal.no-ideal", "dog", d.Name)
		if changed.Ideal > 0 || changed.Condition > 0 {
			text = msg("goal.other-side", "dog", d.Name, "weight", bodyWeight(d.Weight, t.home.Units), "ideal", bodyWeight(h.Ideal, t.home.Units))
		}
		t.say(para(text)).
			offer(t.button(msg("button.set-ideal"), "dog", "field", d.ID, "ideal"), t.button(msg("button.condition"), "weigh", "score", d.ID))
		return
	}
	t.mutate("did.goal", d.Name)
	*d = changed
	t.sayGoal(d)
}

// setIdeal sets the ideal weight.
func (t *turn) setIdeal(d *planner.Dog, ideal nutrition.Kilograms) {
	changed := *d
	changed.SetGoal(ideal, planner.GoalSet)
	if err := changed.Validate(t.event.At); err != nil {
		t.say(para(fieldText(err, t.home.Units)))
		return
	}
	if t.askFarGoal(d, ideal) {
		return
	}
	t.mutate("did.goal", d.Name)
	*d = changed
	t.sayGoal(d)
}

// sayGoal says the goal that was set, and how a plan to lose weight begins.
func (t *turn) sayGoal(d *planner.Dog) {
	h, _, posts := t.judge(d)
	n := planner.AmountOf(*d, t.event.At)
	r := t.say(para(t.goalText(d, h, posts)), para(t.startText(d, h, posts)), para(t.gateText(*d, n)))
	if start, _ := t.planStart(d, h, posts); start > 0 {
		r.offer(t.button(msg("button.start-plan", "kcal", kcal(start)), "weigh", "start", d.ID))
	}
	r.offer(t.undoButton(), t.button(msg("button.bowl"), "bowl", "dog", d.ID))
}

// planStart is the kcal at which a plan to lose weight begins, 0 where it has no
// start of its own. There is none for a dog whose kcal are set by hand, and one
// that eats less already.
func (t *turn) planStart(d *planner.Dog, h planner.History, posts []planner.Posterior) (nutrition.Kcal, planner.StartFrom) {
	var p planner.Posterior
	if len(posts) > 0 {
		p = posts[len(posts)-1]
	}
	n := planner.AmountOf(*d, t.event.At)
	start, from := planner.PlanStart(*d, h, p)
	if n.ByHand || start >= n.Kcal {
		return 0, ""
	}
	return start, from
}

// startText says how a plan to lose or gain begins, where the dog is not fed
// by a figure of its own.
func (t *turn) startText(d *planner.Dog, h planner.History, posts []planner.Posterior) string {
	n := planner.AmountOf(*d, t.event.At)
	if start, from := t.planStart(d, h, posts); start > 0 {
		s := msg("goal.start-"+string(from), "dog", d.Name, "kcal", kcal(start), "now", kcal(n.Kcal))
		if from != planner.FromScale {
			s = joinParas(s, msg("goal.start-better"))
		}
		return s
	}
	if goal := planner.GoalOf(*d, t.event.At); n.Gate == "" && (goal == planner.LoseGoal || goal == planner.GainGoal) {
		return msg("goal.by-scale")
	}
	return ""
}

// startPlan sets the daily kcal to where a plan begins.
func (t *turn) startPlan(d *planner.Dog) {
	h, _, posts := t.judge(d)
	start, _ := t.planStart(d, h, posts)
	if start == 0 {
		t.sayMsg("decide.stale", "dog", d.Name)
		return
	}
	was := planner.AmountOf(*d, t.event.At).Kcal
	t.mutate("did.kcal-applied", d.Name)
	t.setAmount(d, start, planner.OnPlan)
	out := t.say(para(msg("decide.applied", "dog", d.Name, "then", kcal(start), "now", kcal(was))),
		para(t.bowlChange(d, planner.Decision{Now: was, Then: start})), para(msg("goal.started")))
	out.InPlace = t.event.Message
	out.offer(t.undoButton(), t.button(msg("button.bowl"), "bowl", "dog", d.ID))
}

// awaySaid notes the days on which a dog was fed differently, or asks for
// them.
func (t *turn) awaySaid(d *planner.Dog, words string) {
	from, until, ok := read.AwaySpan(t.event.Text, words, t.event.At)
	if !ok {
		t.ask("weigh", "away", weighDraft{Dog: d.ID})
		t.sayMsg("away.ask", "dog", d.Name).offer(t.button(msg("button.stop"), "stop"))
		return
	}
	t.noteAway(d, from, until, t.event.Text)
}

// takeAway takes the days on which a dog was fed differently.
func (t *turn) takeAway(d *planner.Dog, in answer) {
	from, until, ok := read.PastSpan(in.text, t.event.At)
	if !ok {
		if t.aside(in.text) {
			return
		}
		t.sayMsg("away.unread", "text", short(in.text)).offer(t.button(msg("button.stop"), "stop"))
		return
	}
	t.endDialogue()
	t.noteAway(d, from, until, in.text)
}

func (t *turn) noteAway(d *planner.Dog, from, until planner.Date, typed string) {
	t.mutate("did.away", d.Name)
	at := planner.Instant(from, noon, t.event.At.Location())
	if at.After(t.event.At) {
		at = t.event.At
	}
	t.note(planner.Entry{Kind: planner.Away, Dog: d.ID, At: at, Date: from, Until: until, Text: short(typed)})
	said := msg("away.done", "dog", d.Name, "from", t.dayOf(from), "until", t.dayOf(until))
	switch {
	case from == until:
		said = msg("away.done-day", "dog", d.Name, "day", t.dayOf(from))
	case t.date().Before(until):
		said = msg("away.still", "dog", d.Name, "until", t.dayOf(until))
	}
	t.say(para(said)).offer(t.undoButton())
}

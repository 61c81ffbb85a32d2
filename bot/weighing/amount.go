package weighing

import (
	"math"
	"time"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/judge"
	"bowlwright/store"
)

// adoptAmounts makes records of the daily amounts and goal weights of a
// household from before they were records. No /undo takes that back.
func adoptAmounts(t *talk.Turn) {
	if t.Home.Amounts {
		return
	}
	t.Home.Amounts, t.Changed = true, true
	for _, d := range t.Dogs() {
		for _, e := range judge.Adopt(d, talk.Trend(t, d), t.Event.At.Location(), t.Event.At) {
			talk.NoteForGood(t, e)
		}
		planStage(t, d)
	}
}

// setAmount puts a daily amount in force.
func setAmount(t *talk.Turn, d *planner.Dog, k nutrition.Kcal, g planner.Ground) {
	d.FirstGoal(t.Event.At)
	d.PutInForce(k, g, t.Event.Person, t.Event.At)
	t.Note(talk.AmountEntry(d))
	planStage(t, d)
}

// Shown puts in force the amount for which a dog's first bowl is made, or by
// which it was fed before its second weigh-in. Until then the dog's facts set
// the amount; from now on only a carer does.
func Shown(t *talk.Turn, d *planner.Dog) {
	if d == nil || t.Dog(d.ID) != d || d.Kcal > 0 {
		return
	}
	if n := planner.NeedOf(*d, t.Event.At); n.Waits() || !(n.Kcal > 0) {
		return
	}
	if d.IdealFrom != planner.GoalSet {
		d.Ideal = 0
	}
	d.FirstGoal(t.Event.At)
	ground := say.Choose(dogs.Growing(t, d), planner.OnSchedule, planner.OnEquation) // a missing tap must not starve a puppy
	d.PutInForce(dogs.ByEquation(t, d), ground, t.Event.Person, t.Event.At)
	talk.NoteForGood(t, talk.AmountEntry(d))
	planStage(t, d)
}

// propose asks, once a turn and dog, whether the daily amount should follow
// what a carer changed about the dog. before is the household as it was.
func propose(t *talk.Turn, before *planner.Household) {
	if before == nil || before.ID != t.Home.ID {
		return
	}
	litters(t)
	for _, d := range t.Dogs() {
		was := before.Dog(d.ID)
		if was == nil || t.GoalAsked[d.ID] { // first the goal weight, which moves the amount too
			continue
		}
		if p, ok := planner.ProposeFor(*was, *d, t.Event.At); ok {
			askProposal(t, d, p)
		}
	}
}

// askAmount asks whether a proposal is wanted.
func askAmount(t *talk.Turn, d *planner.Dog, p planner.Proposal, text string) {
	to, now := say.Trim(float64(p.Kcal), 0), say.Trim(float64(p.From), 0)
	t.Say(say.Para(text)).Offer(t.Button(msg("button.amount-change", "kcal", say.Kcal(p.Kcal)), "amount", "to", d.ID, to, now),
		t.Button(msg("button.amount-keep", "kcal", say.Kcal(p.From)), "amount", "keep", d.ID, to, now))
}

// pressAmount does what a button under a question about the daily amount or the
// goal weight asks. The first tap counts: a later one finds another amount in
// force.
func pressAmount(t *talk.Turn, args []string) {
	d := t.Dog(talk.Arg(args, 1))
	if talk.Gone(t, d == nil) {
		return
	}
	t.Talk.Dog = d.ID
	to, err := span.Number(talk.Arg(args, 2))
	now, err2 := span.Number(talk.Arg(args, 3))
	stale := func(in float64) bool { return math.Abs(now-in) >= 0.75 }
	switch verb := talk.Arg(args, 0); {
	case verb == "steps":
		sayLitter(t, d)
	case verb == "litter":
		agreeLitter(t, d, talk.Arg(args, 2))
	case verb == "follow":
		followSchedule(t, d)
	case verb == "stand" && err == nil && to > 0:
		standStill(t, d, nutrition.Kcal(to))
	case err != nil || err2 != nil:
		t.SayMsg("press.stale")
	case (verb == "to" || verb == "keep") && stale(float64(d.Kcal)):
		t.InPlace(t.SayMsg("amount.stale", "dog", d.Name, "now", say.Kcal(d.Kcal)))
	case verb == "to":
		changeAmount(t, d, nutrition.Kcal(to))
	case verb == "keep":
		t.Mutate("did.kcal-kept", d.Name)
		d.InForce.Declined, d.InForce.Asked = nutrition.Kcal(to), 0 // and the same is not proposed again
		talk.SayDone(t, msg("amount.kept", "dog", d.Name, "now", say.Kcal(d.Kcal)))
	case (verb == "goal" || verb == "goal-keep") && stale(math.Round(float64(d.Ideal)*1000)):
		t.InPlace(t.SayMsg("amount.goal-stale", "dog", d.Name, "goal", say.BodyWeight(d.Ideal, t.Home.Units)))
	case verb == "goal":
		t.Mutate("did.goal", d.Name)
		ends := d.PlanRests()
		if ends {
			d.Goal = ""
		}
		d.SetGoal(nutrition.Kilograms(to/1000), planner.GoalScored)
		talk.SayDone(t, msg("amount.goal-done", "dog", d.Name, "goal", say.BodyWeight(d.Ideal, t.Home.Units)))
		if ends {
			askPlanAmount(t, d)
		}
	case verb == "goal-keep":
		t.InPlace(t.SayMsg("amount.goal-kept", "dog", d.Name, "goal", say.BodyWeight(d.Ideal, t.Home.Units)))
		if p, ok := planner.ProposeNow(*d, t.Event.At); ok { // the score may ask for another amount all the same
			askProposal(t, d, p)
		}
	default:
		t.SayMsg("press.stale")
	}
}

// changeAmount puts in force what changed facts ask for.
func changeAmount(t *talk.Turn, d *planner.Dog, k nutrition.Kcal) {
	was := d.Kcal
	if n := planner.NeedOf(*d, t.Event.At); math.Abs(float64(n.Kcal-k)) < 1 {
		k = n.Kcal // as precisely as the equation has it
	}
	out := agreed(t, d, k, planner.OnFact, msg("decide.applied", "dog", d.Name, "then", say.Kcal(k), "now", say.Kcal(was)))
	out.Add(bowlChange(t, d, was, k))
}

// agreed puts an amount in force to which a carer has said yes, and says so.
func agreed(t *talk.Turn, d *planner.Dog, k nutrition.Kcal, g planner.Ground, text string) *say.Reply {
	t.Mutate("did.kcal-set", d.Name)
	setAmount(t, d, k, g)
	return talk.SayDone(t, text)
}

// goalAfterScore asks whether the goal weight should follow a new score; if
// there was none before, it sets it and says so.
func goalAfterScore(t *talk.Turn, d *planner.Dog) {
	goal := planner.GoalByScore(*d)
	switch {
	case dogs.Growing(t, d), d.Stage != "": // what it weighs with pups is no goal
	case d.PlanRests():
		askEndPlan(t, d)
	case d.Kcal == 0: // it is set with the first bowl
	case d.Ideal == 0:
		d.SetGoal(goal, planner.GoalScored)
	case math.Abs(float64(goal/d.Ideal)-1) >= goalWorthAsking && !d.Thin():
		askGoalMove(t, d, goal)
	case d.IdealFrom == planner.GoalFirstSeen:
		d.SetGoal(d.Ideal, planner.GoalScored)
	}
}

// goalWorthAsking is the share from which another goal weight is asked about:
// what a goal is reached within.
const goalWorthAsking = 0.02

func askGoalMove(t *talk.Turn, d *planner.Dog, goal nutrition.Kilograms) {
	awaitGoal(t, d)
	u := t.Home.Units
	t.Say(say.Para(msg("amount.goal-ask", "dog", d.Name, "score", d.Condition, "goal", say.BodyWeight(goal, u), "now", say.BodyWeight(d.Ideal, u)))).
		Offer(t.Button(msg("button.goal-change", "goal", say.BodyWeight(goal, u)), "amount", "goal", d.ID, inGrams(goal), inGrams(d.Ideal)),
			t.Button(msg("button.goal-keep", "goal", say.BodyWeight(d.Ideal, u)), "amount", "goal-keep", d.ID, inGrams(goal), inGrams(d.Ideal)))
}

// keepLater leaves in force what was put in force after the change that is
// taken back, and what was no record yet when the change was made.
func keepLater(back, now *planner.Household, change store.Change) {
	for i := range back.Dogs {
		b := &back.Dogs[i]
		n := now.Dog(b.ID)
		if n == nil {
			continue
		}
		if !back.Amounts || n.InForce.Since.After(change.At) {
			b.Kcal, b.InForce, b.ByScale, b.ByVet = n.Kcal, n.InForce, n.ByScale, n.ByVet
		}
		if !back.Amounts {
			b.Ideal, b.IdealFrom, b.IdealScore = n.Ideal, n.IdealFrom, n.IdealScore
		}
	}
	back.Amounts = now.Amounts
}

// gateWorth is for how long what a weigh-in says of a dog whose food is its vet's
// matter needs no repeating (our own choice).
const gateWorth = 30 * 24 * time.Hour

// gateNow says at a weigh-in why a dog's food is for its vet, once a month.
func gateNow(t *talk.Turn, d *planner.Dog) string {
	key := "gate-" + d.ID
	if !t.Home.CautionDue(key, gateWorth, t.Event.At) {
		return ""
	}
	t.Home.SayCaution(key, t.Event.At)
	t.Changed = true
	return dogs.GateText(*d, planner.AmountOf(*d, t.Event.At))
}

// stageTime is when a step of life is said: with the morning.
var stageTime = planner.At(7, 30)

// askAgainDays is after how many days an unanswered question about a stage of
// life is asked again (our own choice).
const askAgainDays = 30

// staleWeight is how old a growing dog's last weight may be to set its amount
// as a grown dog (our own choice, as for a score).
const staleWeight = 56 * 24 * time.Hour

// planStage makes the next step of a dog's life fall due: one for its litter, a
// week of its schedule, or the birthday that brings it to another stage.
func planStage(t *talk.Turn, d *planner.Dog) {
	talk.DropReminders(t, planner.StageReminder, d.ID)
	s := planner.Schedule{Times: []planner.Clock{stageTime}}
	if day, ok := planner.NextLitterDay(*d, t.Event.At); ok {
		s.Once, s.Anchor = true, day
	} else if !(d.Kcal > 0) {
		return
	} else if next, ok := planner.NextStage(*d, t.Event.At); planner.Scheduled(*d, t.Event.At) {
		s.EveryDays, s.Anchor = 7, t.Date()
	} else if again := t.Date().AddDays(askAgainDays); d.InForce.Asked > 0 && (!ok || again.Before(next)) {
		s.Once, s.Anchor = true, again
	} else if ok {
		s.Once, s.Anchor = true, next
	} else {
		return
	}
	talk.AddReminder(t, planner.Reminder{Kind: planner.StageReminder, Dog: d.ID, Schedule: s})
	t.Changed = true
}

// sayStage says the steps of life that have come: those of a schedule that was
// agreed to are taken and said, any other is asked about.
func sayStage(t *talk.Turn, r *planner.Reminder, _ planner.Occurrence) {
	d := t.Dog(r.Dog)
	switch {
	case d == nil || litterCome(t, d):
	case planner.Scheduled(*d, t.Event.At):
		if text, row := stepOn(t, d); text != "" {
			t.Say(say.Para(text)).Offer(row...)
		}
		dogs.SayFewerMeals(t, d)
	default:
		stageCome(t, d)
	}
}

// stageCome asks about the amount of a dog that is grown, or old, from today.
func stageCome(t *talk.Turn, d *planner.Dog) {
	if d.InForce.Ground == planner.OnSchedule && t.Event.At.Sub(d.Weighed) > staleWeight {
		d.InForce.Asked = d.Kcal // it is asked again
		planStage(t, d)
		t.SayMsg("amount.grown-weigh", "dog", d.Name, "now", say.Kcal(d.Kcal))
		return
	}
	before := t.Event.At.AddDate(0, 0, -8)
	if !planner.Scheduled(*d, before) {
		before = t.Event.At.AddDate(-1, 0, 0)
	}
	wasGrowing := planner.Scheduled(*d, before)
	if wasGrowing {
		d.FirstGoal(t.Event.At)
		d.InForce.Ground = planner.OnEquation // the schedule is over
	}
	p, ok := planner.ProposeAt(*d, before, t.Event.At)
	if again := d.InForce.Asked; again > 0 && again != d.Kcal {
		p, ok = planner.Proposal{Kcal: again, From: d.Kcal}, true
	}
	if ok {
		d.InForce.Asked = p.Kcal
	}
	planStage(t, d)
	if !ok {
		return
	}
	old := d.StageAt(t.Event.At) == planner.Senior
	askAmount(t, d, p, msg(say.Choose(old, "amount.older", "amount.grown"), "dog", d.Name, "kcal", say.Kcal(p.Kcal), "now", say.Kcal(p.From)))
}

// stepOn takes the step that a dog's schedule has reached and returns what to
// say of it, empty if there is none. If another ground is in force it asks.
func stepOn(t *talk.Turn, d *planner.Dog) (text string, row []say.Button) {
	if !planner.Scheduled(*d, t.Event.At) || d.InForce.Ground == planner.OnVet || !(d.Kcal > 0) {
		return "", nil
	}
	k, ok := planner.ScheduleOf(*d, outOfBand(t, d), t.Event.At)
	if !ok || math.Abs(float64(k/d.Kcal)-1) < stepWorth || math.Abs(float64(k-d.InForce.Declined)) < 1 {
		return "", nil
	}
	now := d.Kcal
	if d.InForce.Ground != planner.OnSchedule {
		if math.Abs(float64(k/d.InForce.Asked)-1) < stepWorth { // once a step
			return "", nil
		}
		d.InForce.Asked, t.Changed = k, true
		return msg("amount.follow", "dog", d.Name, "kcal", say.Kcal(k), "now", say.Kcal(now)),
			[]say.Button{t.Button(msg("button.follow"), "amount", "follow", d.ID), t.Button(msg("button.amount-keep", "kcal", say.Kcal(now)), "amount", "keep", d.ID, say.Trim(float64(k), 0), say.Trim(float64(now), 0))}
	}
	takeStep(t, d, k)
	return msg("amount.step", "dog", d.Name, "kcal", say.Kcal(k), "now", say.Kcal(now)),
		[]say.Button{t.Button(msg("button.amount-stand", "kcal", say.Kcal(now)), "amount", "stand", d.ID, say.Trim(float64(now), 0))}
}

// takeStep puts in force what the schedule that is followed has come to.
func takeStep(t *talk.Turn, d *planner.Dog, k nutrition.Kcal) {
	d.PutInForce(k, planner.OnSchedule, d.InForce.By, t.Event.At)
	talk.NoteForGood(t, talk.AmountEntry(d))
}

// askSchedule asks once, below a growing dog's first bowl, whether its amount is to
// grow with it. No missing tap starves a puppy: without an answer it does.
func askSchedule(t *talk.Turn, d *planner.Dog, out *say.Reply) {
	if d.InForce.Ground != planner.OnSchedule || !d.InForce.Since.Equal(t.Event.At) || d.InForce.Asked > 0 || !dogs.Growing(t, d) {
		return
	}
	d.InForce.Asked, t.Changed = d.Kcal, true
	out.Add(msg("amount.schedule", "dog", d.Name))
	out.Offer(t.Button(msg("button.follow"), "amount", "follow", d.ID), t.Button(msg("button.amount-stand", "kcal", say.Kcal(d.Kcal)), "amount", "stand", d.ID, say.Trim(float64(d.Kcal), 0)))
}

// standStill ends a schedule: what it was before the last step stays.
func standStill(t *talk.Turn, d *planner.Dog, k nutrition.Kcal) {
	step := d.Kcal
	agreed(t, d, k, planner.OnCarer, say.JoinParas(msg("amount.kept", "dog", d.Name, "now", say.Kcal(k)), msg("amount.stands")))
	d.InForce.Asked = step
}

// stepWorth is the share from which a step of a schedule is taken (our own
// choice: what a kitchen scale shows of a meal).
const stepWorth = 0.02

// outOfBand reports that a growing dog was last weighed out of its growth band.
func outOfBand(t *talk.Turn, d *planner.Dog) bool {
	return dogs.Growing(t, d) && judge.GrowthOf(*d, History(t, d)).Warning != ""
}

// followSchedule puts a schedule in force from today on.
func followSchedule(t *talk.Turn, d *planner.Dog) {
	k, ok := planner.ScheduleOf(*d, outOfBand(t, d), t.Event.At)
	if !ok {
		t.Say(say.Whole(dogs.GateText(*d, planner.AmountOf(*d, t.Event.At))))
		return
	}
	agreed(t, d, k, planner.OnSchedule, msg("amount.followed", "dog", d.Name, "kcal", say.Kcal(k)))
}

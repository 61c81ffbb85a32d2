package weighing

import (
	"math"
	"time"

	"bowlwright/bot/dogs"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/judge"
)

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
	d.PutInForce(k, planner.OnSchedule, d.InForce.By, t.Event.At)
	talk.NoteForGood(t, talk.AmountEntry(d))
	return msg("amount.step", "dog", d.Name, "kcal", say.Kcal(k), "now", say.Kcal(now)),
		[]say.Button{t.Button(msg("button.amount-stand", "kcal", say.Kcal(now)), "amount", "stand", d.ID, say.Trim(float64(now), 0))}
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
	t.Mutate("did.kcal-set", d.Name)
	step := d.Kcal
	setAmount(t, d, k, planner.OnCarer)
	d.InForce.Asked = step
	talk.SayDone(t, say.JoinParas(msg("amount.kept", "dog", d.Name, "now", say.Kcal(k)), msg("amount.stands")))
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
	t.Mutate("did.kcal-set", d.Name)
	setAmount(t, d, k, planner.OnSchedule)
	talk.SayDone(t, msg("amount.followed", "dog", d.Name, "kcal", say.Kcal(k)))
}

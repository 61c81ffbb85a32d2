package bot

import (
	"math"
	"slices"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// stageTime is when a step of life is said: with the morning.
var stageTime = planner.At(7, 30)

// askAgainDays is after how many days a question about a stage of life that nobody
// answered is asked again (our own choice).
const askAgainDays = 30

// staleWeight is how old a growing dog's last weight may be for its amount as a
// grown dog to go by it (our own choice, as for a score).
const staleWeight = 56 * 24 * time.Hour

// planStage has the next step of a dog's life fall due: one for its litter, a week
// of its schedule, or the birthday that brings it to another stage.
func (t *turn) planStage(d *planner.Dog) {
	t.home.Reminders = slices.DeleteFunc(t.home.Reminders, func(r planner.Reminder) bool {
		return r.Kind == planner.StageReminder && r.Dog == d.ID
	})
	s := planner.Schedule{Times: []planner.Clock{stageTime}}
	if day, ok := planner.NextLitterDay(*d, t.event.At); ok {
		s.Once, s.Anchor = true, day
	} else if !(d.Kcal > 0) {
		return
	} else if next, ok := planner.NextStage(*d, t.event.At); planner.Scheduled(*d, t.event.At) {
		s.EveryDays, s.Anchor = 7, t.date()
	} else if again := t.date().AddDays(askAgainDays); d.InForce.Asked > 0 && (!ok || again.Before(next)) {
		s.Once, s.Anchor = true, again
	} else if ok {
		s.Once, s.Anchor = true, next
	} else {
		return
	}
	t.home.Reminders = append(t.home.Reminders, planner.Reminder{ID: t.newID("n"), Kind: planner.StageReminder, Dog: d.ID, Since: t.event.At.UTC(), Schedule: s})
	t.changed = true
}

// sayStage says the steps of life that have come: those of a schedule that was
// agreed to are taken and said, any other is asked about.
func (t *turn) sayStage(due []planner.Occurrence) {
	for _, o := range due {
		r := t.reminder(o.Reminder)
		if r == nil {
			continue
		}
		d := t.dog(r.Dog)
		if d == nil {
			continue
		}
		if t.litterCome(d) {
			continue
		}
		if planner.Scheduled(*d, t.event.At) {
			if text, row := t.stepOn(d); text != "" {
				t.say(para(text)).offer(row...)
			}
			t.sayFewerMeals(d)
			continue
		}
		t.stageCome(d)
	}
}

// stageCome asks about the amount of a dog that is grown, or old, from today.
func (t *turn) stageCome(d *planner.Dog) {
	if d.InForce.Ground == planner.OnSchedule && t.event.At.Sub(d.Weighed) > staleWeight {
		d.InForce.Asked = d.Kcal // it is asked again
		t.planStage(d)
		t.sayMsg("amount.grown-weigh", "dog", d.Name, "now", kcal(d.Kcal))
		return
	}
	before := t.event.At.AddDate(0, 0, -8)
	if !planner.Scheduled(*d, before) {
		before = t.event.At.AddDate(-1, 0, 0)
	}
	wasGrowing := planner.Scheduled(*d, before)
	if wasGrowing {
		d.FirstGoal(t.event.At)
		d.InForce.Ground = planner.OnEquation // the schedule is over
	}
	p, ok := planner.ProposeAt(*d, before, t.event.At)
	if again := d.InForce.Asked; again > 0 && again != d.Kcal {
		p, ok = planner.Proposal{Kcal: again, From: d.Kcal}, true
	}
	if ok {
		d.InForce.Asked = p.Kcal
	}
	t.planStage(d)
	if !ok {
		return
	}
	text := msg("amount.older", "dog", d.Name, "kcal", kcal(p.Kcal), "now", kcal(p.From))
	if d.StageAt(t.event.At) != planner.Senior {
		text = msg("amount.grown", "dog", d.Name, "kcal", kcal(p.Kcal), "now", kcal(p.From))
	}
	t.askAmount(d, p, text)
}

// stepOn takes the step that a dog's schedule has come to, and returns what is
// said of it. Where another ground is in force it asks. Empty where there is none.
func (t *turn) stepOn(d *planner.Dog) (text string, row []Button) {
	if !planner.Scheduled(*d, t.event.At) || d.InForce.Ground == planner.OnVet || !(d.Kcal > 0) {
		return "", nil
	}
	k, ok := planner.ScheduleOf(*d, t.outOfBand(d), t.event.At)
	if !ok || math.Abs(float64(k/d.Kcal)-1) < stepWorth || math.Abs(float64(k-d.InForce.Declined)) < 1 {
		return "", nil
	}
	now := d.Kcal
	if d.InForce.Ground != planner.OnSchedule {
		if math.Abs(float64(k/d.InForce.Asked)-1) < stepWorth { // once a step
			return "", nil
		}
		d.InForce.Asked, t.changed = k, true
		return msg("amount.follow", "dog", d.Name, "kcal", kcal(k), "now", kcal(now)),
			[]Button{t.button(msg("button.follow"), "amount", "follow", d.ID), t.button(msg("button.amount-keep", "kcal", kcal(now)), "amount", "keep", d.ID, trim(float64(k), 0), trim(float64(now), 0))}
	}
	d.PutInForce(k, planner.OnSchedule, d.InForce.By, t.event.At)
	t.noteForGood(amountEntry(d))
	return msg("amount.step", "dog", d.Name, "kcal", kcal(k), "now", kcal(now)),
		[]Button{t.button(msg("button.amount-stand", "kcal", kcal(now)), "amount", "stand", d.ID, trim(float64(now), 0))}
}

// standStill ends a schedule: what it was before the last step stays.
func (t *turn) standStill(d *planner.Dog, k nutrition.Kcal) {
	t.mutate("did.kcal-set", d.Name)
	step := d.Kcal
	t.setAmount(d, k, planner.OnCarer)
	d.InForce.Asked = step
	t.settled(joinParas(msg("amount.kept", "dog", d.Name, "now", kcal(k)), msg("amount.stands")))
}

// stepWorth is the share from which a step of a schedule is taken (our own
// choice: what a kitchen scale shows of a meal).
const stepWorth = 0.02

// outOfBand reports that a growing dog was last weighed out of its growth band.
func (t *turn) outOfBand(d *planner.Dog) bool {
	return t.growing(d) && planner.GrowthOf(*d, t.history(d)).Warning != ""
}

// followSchedule puts a schedule in force from today on.
func (t *turn) followSchedule(d *planner.Dog) {
	k, ok := planner.ScheduleOf(*d, t.outOfBand(d), t.event.At)
	if !ok {
		t.say(para(t.gateText(*d, planner.AmountOf(*d, t.event.At))))
		return
	}
	t.mutate("did.kcal-set", d.Name)
	t.setAmount(d, k, planner.OnSchedule)
	t.settled(msg("amount.followed", "dog", d.Name, "kcal", kcal(k)))
}

package weighing

import (
	"cmp"
	_ "embed"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

func Room() talk.Room {
	return talk.Room{
		Words:    words,
		Commands: map[string]talk.Command{"weigh": {Do: weighCommand}},
		Presses: map[string]talk.Press{
			"weigh":  talk.OfDog(weighVerbs()),
			"weight": pressWeight,
			"score":  pressScore,
			"kcal":   talk.OfDog(kcalVerbs()),
			"amount": pressAmount,
		},
		Forms: map[string]talk.Form{
			"weigh":  {Take: talk.TakeDraft(weighDialogue), Asked: map[string]string{"score": "dog.condition", "adult": "dog.weight", "fix": "dog.weight"}},
			"four":   {Take: talk.TakeDraft(fourQuestions().take)},
			"score":  {Take: talk.TakeDraft(threeQuestions().take)},
			"litter": {Take: talk.TakeDraft(dueDialogue)},
		},
		Answers: map[read.Intent]talk.Intent{
			read.DogWeight:    talk.OnDog(saidWeight),
			read.DogKcal:      talk.OnDog(func(t *talk.Turn, d *planner.Dog, s read.Sentence) { saidKcal(t, d, s, false) }),
			read.VetKcal:      talk.OnDog(func(t *talk.Turn, d *planner.Dog, s read.Sentence) { saidKcal(t, d, s, true) }),
			read.NoVetKcal:    talk.OnDog(func(t *talk.Turn, d *planner.Dog, _ read.Sentence) { forgetVet(t, d) }),
			read.LitterDue:    dogs.OnMother(saidDue),
			read.LitterMated:  dogs.OnMother(saidMated),
			read.LitterBorn:   dogs.OnMother(saidBorn),
			read.LitterNursed: dogs.OnMother(saidNursed),
			read.LitterWeaned: dogs.OnMother(saidWeaned),
			read.DogCondition: talk.OnDog(setCondition),
			read.WeighChange:  func(t *talk.Turn, _ read.Sentence) { t.SayMsg("weigh-wrong.negative") },
			read.WeighHow:     func(t *talk.Turn, _ read.Sentence) { t.SayMsg("weigh.how") },
			read.ShowWeight:   talk.Asked(weightAsked),
			read.ShowTrend:    talk.Asked(showTrend),
			read.ShowGrowth:   talk.Asked(showGrowth),
			read.SetAdult:     talk.OnDog(func(t *talk.Turn, d *planner.Dog, s read.Sentence) { setAdult(t, d, s.Weight) }),
			read.ListWeighIns: talk.OnDog(func(t *talk.Turn, d *planner.Dog, _ read.Sentence) { listWeights(t, d, 0) }),
			read.DropWeighIn:  onLast("delete", deleteWeighing),
			read.FixWeighIn:   onLast("fix", askWeighing),
			read.AskScore:     talk.Asked(askScore),
			read.ShowGoal:     talk.Asked(askGoal),
			read.GoalHold:     talk.OnDog(func(t *talk.Turn, d *planner.Dog, _ read.Sentence) { setGoal(t, d, "hold", 0) }),
			read.GoalLose:     talk.OnDog(func(t *talk.Turn, d *planner.Dog, s read.Sentence) { setGoal(t, d, "lose", s.Weight) }),
			read.GoalGain:     talk.OnDog(func(t *talk.Turn, d *planner.Dog, s read.Sentence) { setGoal(t, d, "gain", s.Weight) }),
			read.GoalLoseBy:   talk.OnDog(func(t *talk.Turn, d *planner.Dog, s read.Sentence) { setGoal(t, d, "lose", d.Weight-s.Weight) }),
			read.GoalGainBy:   talk.OnDog(func(t *talk.Turn, d *planner.Dog, s read.Sentence) { setGoal(t, d, "gain", d.Weight+s.Weight) }),
			read.GoalWeight:   talk.OnDog(func(t *talk.Turn, d *planner.Dog, s read.Sentence) { goTo(t, d, s.Weight) }),
			read.SetIdeal:     talk.OnDog(func(t *talk.Turn, d *planner.Dog, s read.Sentence) { setIdeal(t, d, s.Weight) }),
			read.VetSaw:       talk.OnDog(func(t *talk.Turn, d *planner.Dog, s read.Sentence) { noteVet(t, d, cmp.Or(s.Words, t.Event.Text)) }),
			read.FedAway:      talk.OnDog(func(t *talk.Turn, d *planner.Dog, s read.Sentence) { awaySaid(t, d, s.Words) }),
		},
		Due: map[planner.ReminderKind]talk.DueKind{
			planner.WeighReminder:     talk.EachDue(sayWeighDue),
			planner.ConditionReminder: talk.EachDue(sayScoreDue),
			planner.DoubtReminder:     talk.EachDue(sayDoubtDue),
			planner.StageReminder:     talk.EachDue(sayStage),
		},
		On: on,
	}
}

func on(t *talk.Turn, happened any) {
	switch h := happened.(type) {
	case *talk.HouseholdEntered:
		adoptAmounts(t)
	case *talk.TurnAnswered:
		propose(t, h.Before)
	case *talk.ChangeTakenBack:
		keepLater(h.Back, h.Now, h.Change)
	case *talk.NeitherYesNorNo:
		h.Taken = h.Verb == "weigh" && weighedAgain(t, talk.Arg(h.Args, 1), h.Text)
	case *talk.LitterTold:
		setLitter(t, h.Dog, h.Told)
	case *talk.BowlShown:
		askSchedule(t, h.Dog, h.Out)
	case *talk.BowlHeld:
		h.Held = h.Held || stillWithPups(t, h.Dog)
	case *talk.GoalTyped:
		h.Asked = askFarGoal(t, h.Dog, h.Goal)
	case *talk.DogWeighed:
		weighOnProfile(t, h.Dog, h.Weight)
	case *talk.DogChanged:
		if h.Dog.Condition != h.Was.Condition && h.Dog.Condition > 0 {
			goalAfterScore(t, h.Dog)
		}
	}
}

//go:embed messages.txt
var messages string

// words are the messages of this room.
var words, msg = say.Words(messages)

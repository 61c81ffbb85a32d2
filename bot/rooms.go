package bot

import (
	"encoding/json"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// NewAssistant returns an assistant on a store and a food table.
func NewAssistant(s store.Store, t *nutrition.Table) *Assistant { return newAssistant(s, t, rooms()) }

// rooms are the rooms of the assistant, in the order of the house, and the
// order in which they hear what was typed.
func rooms() *registry {
	return compose(hearing{
		First: []hearer{{Hear: (*turn).urgent}},
		News: []hearer{
			{Hear: (*turn).namesSign},
			{Hear: (*turn).dangerAsked, Aside: true},
			{Hear: (*turn).doneByOther},
			{Hear: (*turn).carerWords},
			{Hear: (*turn).rotationWords, Aside: true},
			{Hear: (*turn).transitionWords, Aside: true},
			{Hear: (*turn).treatWords, Aside: true},
			{Hear: (*turn).severalDue},
			{Hear: (*turn).dueWords, Aside: true},
			{Hear: (*turn).givenWords, Aside: true},
			{Hear: (*turn).weighWords, Aside: true},
			{Hear: (*turn).boneToCook, Aside: true},
		},
		Dose: []hearer{{Hear: (*turn).doseWords}},
		Rest: []hearer{
			{Hear: (*turn).bareWeight},
			{Hear: (*turn).pastedRecipe},
			{Hear: (*turn).loneLine},
			{Hear: (*turn).nothingDue},
			{Hear: (*turn).aboutWhen},
			{Hear: (*turn).watchSign},
			{Hear: (*turn).bareZone},
			{Hear: (*turn).dogFacts},
			{Hear: (*turn).missingFacts},
			{Hear: (*turn).describedDog},
			{Hear: (*turn).bareNutrient},
			{Hear: (*turn).bareTomorrow},
			{Hear: (*turn).courtesy},
			{Hear: (*turn).cookedBone},
		},
		Aside: []hearer{{Hear: (*turn).signAside}},
		Loose: []hearer{{Hear: (*turn).aboutWhen}},
		Ill:   (*turn).illInWords,
		Due:   (*turn).answersDue,
		Lost:  (*turn).sayLost,
	}, talkRoom(), householdRoom(), dogsRoom(), urgentRoom(), recipesRoom(), balanceRoom(), bowlsRoom(), menuRoom(),
		weighingRoom(), remindRoom(), dayRoom(), exportRoom(), helpRoom())
}

func helpRoom() room {
	return room{
		Commands: map[string]command{"help": {Do: func(t *turn, _ string) { t.help() }}},
		Presses:  map[string]press{"help": func(t *turn, _ []string) { t.help() }},
		Answers: map[read.Intent]intent{
			read.Help:      func(t *turn, _ read.Sentence) { t.help() },
			read.WhoAreYou: func(t *turn, _ read.Sentence) { t.hello() },
		},
	}
}

func talkRoom() room {
	return room{
		Commands: map[string]command{"undo": {Do: (*turn).undoSaid}},
		Presses: map[string]press{
			"answer": (*turn).pressAnswer,
			"stop":   func(t *turn, _ []string) { t.stopDialogue() },
			"resume": func(t *turn, _ []string) { t.resume() },
			"undo":   func(t *turn, args []string) { t.undo(arg(args, 0)) },
			"due":    (*turn).pressDue,
		},
		Forms: map[string]form{
			"clock": {Take: (*turn).clockDialogue},
			"sure":  {Take: (*turn).sureDialogue},
			"which": {Take: (*turn).whichDialogue},
		},
		Answers: map[read.Intent]intent{read.Undo: func(t *turn, _ read.Sentence) { t.undoSaid(t.event.Text) }},
		Actions: map[string]dueAction{"later": (*turn).pressLater},
	}
}

func householdRoom() room {
	return room{
		Commands: map[string]command{
			"start":     {Do: (*turn).startCommand, Slash: true},
			"settings":  {Do: (*turn).settingsCommand, Opens: true},
			"household": {Do: func(t *turn, _ string) { t.showCarers("") }},
			"carers":    {Do: func(t *turn, _ string) { t.showCarers("") }},
			"share":     {Do: (*turn).shareCommand, Slash: true},
			"leave":     {Do: func(t *turn, _ string) { t.askLeave() }, Slash: true},
		},
		Presses: map[string]press{
			"settings": (*turn).pressSettings,
			"carers":   (*turn).pressCarers,
			"number":   (*turn).pressNumber,
		},
		Forms: map[string]form{
			"number":   {Take: (*turn).numberDialogue},
			"settings": {Take: (*turn).settingsDialogue},
			"carers":   {Take: (*turn).carersDialogue},
		},
		Answers: map[read.Intent]intent{
			read.SetVet:        setNumber("vet"),
			read.SetClinic:     setNumber("clinic"),
			read.SetPoisonLine: setNumber("poison"),
			read.Leave:         func(t *turn, _ read.Sentence) { t.askLeave() },
			read.AskCarers:     func(t *turn, _ read.Sentence) { t.showCarers("") },
			read.ShowSettings:  func(t *turn, _ read.Sentence) { t.showSettings("") },
			read.SetZone:       (*turn).answerZone,
			read.SetUnits:      func(t *turn, s read.Sentence) { t.settingsCommand(s.Words) },
		},
	}
}

func dogsRoom() room {
	return room{
		Commands: map[string]command{"dog": {Do: (*turn).dogCommand, Opens: true}, "dogs": {Do: (*turn).dogCommand}},
		Presses: map[string]press{
			"dog":   func(t *turn, args []string) { t.pressDog(args) },
			"class": (*turn).pressClass,
		},
		Forms: map[string]form{
			"dog":      {Take: (*turn).dogDialogue, Again: (*turn).dogAgain, Long: true, Free: []string{"name", "health"}, Portable: func(json.RawMessage) bool { return true }},
			"dog-edit": {Take: (*turn).dogEditDialogue, Again: (*turn).editAgain, Free: []string{"name", "health"}},
		},
		Answers: map[read.Intent]intent{
			read.AddDog:      func(t *turn, _ read.Sentence) { t.pressDog([]string{"add"}) },
			read.EditDog:     onDog(func(t *turn, d *planner.Dog, _ read.Sentence) { t.offerEdit(d) }),
			read.ListDogs:    func(t *turn, _ read.Sentence) { t.dogCommand("") },
			read.ShowDog:     onDog(func(t *turn, d *planner.Dog, _ read.Sentence) { t.showDog(d, "") }),
			read.DogActivity: onDog((*turn).setActivity),
			read.RenameDog:   onDog((*turn).renameDog),
			read.WellAgain:   onDog(func(t *turn, d *planner.Dog, _ read.Sentence) { t.askWell(d) }),
			read.RemoveDog:   onDog(func(t *turn, d *planner.Dog, _ read.Sentence) { t.pressDog([]string{"remove", d.ID}) }),
			read.DogMeals:    onDog((*turn).setMeals),
			read.DogStage:    onDog((*turn).setStage),
		},
	}
}

func urgentRoom() room {
	return room{
		Presses: map[string]press{"sign": (*turn).pressSign},
	}
}

func recipesRoom() room {
	return room{
		Commands: map[string]command{
			"recipe":  {Do: (*turn).recipeCommand, Opens: true},
			"recipes": {Do: (*turn).recipeCommand},
			"food":    {Do: (*turn).foodCommand},
		},
		Presses: map[string]press{
			"recipe": func(t *turn, args []string) { t.pressRecipe(args) },
			"rename": (*turn).pressRename,
			"food":   (*turn).pressFood,
		},
		Forms: map[string]form{
			"recipe": {Take: (*turn).recipeDialogue, Again: (*turn).recipeAgain, Long: true, Portable: isNewRecipe},
			"food":   {Take: (*turn).foodDialogue, Again: (*turn).foodAgain, Long: true},
		},
		Answers: map[read.Intent]intent{
			read.CanEat:       (*turn).canEat,
			read.Storing:      func(t *turn, _ read.Sentence) { t.sayStoring() },
			read.RawAsked:     func(t *turn, _ read.Sentence) { t.sayRaw() },
			read.SetLine:      (*turn).answerSetLine,
			read.DropLine:     (*turn).answerDropLine,
			read.AddRecipe:    func(t *turn, _ read.Sentence) { t.pressRecipe([]string{"add"}) },
			read.ListRecipes:  func(t *turn, _ read.Sentence) { t.recipeCommand("") },
			read.RemoveRecipe: onRecipe(func(t *turn, r *planner.Recipe, _ read.Sentence) { t.pressRecipe([]string{"remove", r.ID}) }),
			read.RenameRecipe: onRecipe((*turn).renameRecipe),
			read.AddLines:     onRecipe(func(t *turn, r *planner.Recipe, s read.Sentence) { t.addLines(r, s.Words) }),
		},
	}
}

func balanceRoom() room {
	return room{
		Presses: map[string]press{
			"bone":     (*turn).pressBone,
			"house":    (*turn).pressHouse,
			"caution":  (*turn).pressCaution,
			"analysis": (*turn).pressAnalysis,
			"swap":     (*turn).pressSwap,
			"balance":  (*turn).pressBalance,
		},
		Forms: map[string]form{"balance": {Take: (*turn).balanceDialogue}},
		On:    balanceOn,
		Answers: map[read.Intent]intent{
			read.HouseRecipes:   func(t *turn, _ read.Sentence) { t.pressHouse([]string{"list"}) },
			read.NutrientAmount: (*turn).answerNutrient,
			read.Analyse:        (*turn).answerAnalyse,
			read.Balance:        (*turn).answerBalance,
			read.Swap:           (*turn).answerSwap,
		},
	}
}

func bowlsRoom() room {
	return room{
		Commands: map[string]command{"scale": {Do: (*turn).scaleCommand}},
		Presses:  map[string]press{"bowl": (*turn).pressBowl, "scale": (*turn).pressScale},
		Forms:    map[string]form{"scale": {Take: (*turn).scaleDialogue}},
		Answers: map[read.Intent]intent{
			read.BowlAmount:     (*turn).answerBowl,
			read.FoodAmount:     (*turn).answerFoodAmount,
			read.EnergyNeed:     (*turn).answerNeed,
			read.RecipeContents: (*turn).answerContents,
			read.RecipeEnergy:   (*turn).answerRecipeEnergy,
			read.FoodEnergy:     (*turn).answerFoodEnergy,
			read.MakeDays:       (*turn).answerScale,
			read.ScaleRecipe:    (*turn).answerScale,
			read.HaveFood:       (*turn).answerScale,
			read.Lasts:          (*turn).answerLasts,
		},
	}
}

func menuRoom() room {
	return room{
		Commands: map[string]command{
			"rotation":   {Do: (*turn).rotationCommand, Aside: true},
			"transition": {Do: (*turn).transitionCommand, Aside: true},
		},
		Presses: map[string]press{
			"rotation":   (*turn).pressRotation,
			"transition": (*turn).pressTransition,
			"stool":      (*turn).pressStool,
		},
		Forms: map[string]form{
			"rotation":   {Take: (*turn).rotationDialogue, Again: (*turn).rotationAgain, Long: true},
			"transition": {Take: (*turn).transitionDialogue, Again: (*turn).transitionAgain, Long: true},
		},
		Answers: map[read.Intent]intent{
			read.ShowSwitch: func(t *turn, _ read.Sentence) { t.transitionCommand("") },
			read.EatsRecipe: (*turn).answerEats,
			read.Tomorrow:   (*turn).answerTomorrow,
		},
		Due: map[planner.ReminderKind]dueKind{planner.StoolReminder: (*turn).sayStool},
		On:  menuOn,
	}
}

func weighingRoom() room {
	return room{
		Commands: map[string]command{"weigh": {Do: (*turn).weighCommand}},
		Presses: map[string]press{
			"weigh":  (*turn).pressWeigh,
			"weight": (*turn).pressWeight,
			"score":  (*turn).pressScore,
			"kcal":   (*turn).pressKcal,
			"amount": (*turn).pressAmount,
		},
		Forms: map[string]form{
			"weigh": {Take: (*turn).weighDialogue},
			"four":  {Take: (*turn).fourDialogue},
			"vet":   {Take: (*turn).vetDialogue},
		},
		Answers: map[read.Intent]intent{
			read.DogWeight:    onDog(func(t *turn, d *planner.Dog, s read.Sentence) { t.weigh(d, weighing{weight: s.Weight}) }),
			read.DogKcal:      onDog(func(t *turn, d *planner.Dog, s read.Sentence) { t.saidKcal(d, s, false) }),
			read.VetKcal:      onDog(func(t *turn, d *planner.Dog, s read.Sentence) { t.saidKcal(d, s, true) }),
			read.LitterDue:    onMother((*turn).saidDue),
			read.LitterMated:  onMother((*turn).saidMated),
			read.LitterBorn:   onMother((*turn).saidBorn),
			read.LitterNursed: onMother((*turn).saidNursed),
			read.LitterWeaned: onMother((*turn).saidWeaned),
			read.DogCondition: onDog((*turn).setCondition),
			read.WeighChange:  func(t *turn, _ read.Sentence) { t.sayMsg("weigh.whole") },
			read.WeighHow:     func(t *turn, _ read.Sentence) { t.sayMsg("weigh.how") },
			read.ShowWeight:   onDog(func(t *turn, d *planner.Dog, _ read.Sentence) { t.showWeights(d) }),
			read.ShowTrend:    onDog(func(t *turn, d *planner.Dog, _ read.Sentence) { t.showTrend(d) }),
			read.ShowGrowth:   onDog(func(t *turn, d *planner.Dog, _ read.Sentence) { t.showGrowth(d) }),
			read.SetAdult:     onDog(func(t *turn, d *planner.Dog, s read.Sentence) { t.setAdult(d, s.Weight) }),
			read.ListWeighIns: onDog(func(t *turn, d *planner.Dog, _ read.Sentence) { t.listWeights(d, 0) }),
			read.DropWeighIn:  onLast("delete", (*turn).dropLast),
			read.FixWeighIn:   onLast("fix", (*turn).fixLast),
			read.AskScore:     onDog(func(t *turn, d *planner.Dog, _ read.Sentence) { t.askScore(d) }),
			read.ShowGoal:     onDog(func(t *turn, d *planner.Dog, _ read.Sentence) { t.askGoal(d) }),
			read.GoalHold:     onDog(func(t *turn, d *planner.Dog, _ read.Sentence) { t.setGoal(d, "hold", 0) }),
			read.GoalLose:     onDog(func(t *turn, d *planner.Dog, s read.Sentence) { t.setGoal(d, "lose", s.Weight) }),
			read.GoalGain:     onDog(func(t *turn, d *planner.Dog, s read.Sentence) { t.setGoal(d, "gain", s.Weight) }),
			read.SetIdeal:     onDog(func(t *turn, d *planner.Dog, s read.Sentence) { t.setIdeal(d, s.Weight) }),
			read.FedAway:      onDog(func(t *turn, d *planner.Dog, s read.Sentence) { t.awaySaid(d, s.Words) }),
		},
		Due: map[planner.ReminderKind]dueKind{
			planner.WeighReminder:     (*turn).sayWeighDue,
			planner.ConditionReminder: (*turn).sayScoreDue,
			planner.DoubtReminder:     (*turn).sayDoubtDue,
			planner.StageReminder:     (*turn).sayStage,
		},
		On: weighingOn,
	}
}

func remindRoom() room {
	return room{
		Commands: map[string]command{
			"remind":      {Do: (*turn).remindCommand},
			"reminders":   {Do: (*turn).remindCommand},
			"supplement":  {Do: (*turn).supplementCommand},
			"supplements": {Do: (*turn).supplementCommand},
			"pause":       {Do: (*turn).pauseCommand},
		},
		Presses: map[string]press{
			"remind":     (*turn).pressRemind,
			"supplement": (*turn).pressSupplement,
			"meals":      (*turn).pressMeals,
			"pause":      (*turn).pressPause,
			"quiet":      (*turn).pressQuiet,
		},
		Forms: map[string]form{
			"remind":  {Take: (*turn).remindDialogue, Again: (*turn).remindAgain, Long: true, Times: []string{"when", "time", "often"}, Free: []string{"text"}},
			"feeding": {Take: (*turn).feedingDialogue, Times: []string{"times", "freezer"}},
			"pause":   {Take: (*turn).pauseDialogue, Times: []string{"quiet"}},
		},
		Answers: map[read.Intent]intent{
			read.Remind:          (*turn).answerRemind,
			read.WeighWhen:       (*turn).answerWeighWhen,
			read.MoveWeighIn:     (*turn).answerMoveWeighIn,
			read.StopWeighIn:     func(t *turn, s read.Sentence) { t.answerStop(read.Sentence{Words: "weigh-in"}) },
			read.FeedAllTimes:    (*turn).answerFeedAll,
			read.FeedTimes:       (*turn).answerFeedTimes,
			read.ListSupplements: (*turn).showSupplementsOf,
			read.ListReminders:   func(t *turn, _ read.Sentence) { t.listReminders("") },
			read.StopReminder:    (*turn).answerStop,
			read.Pause:           (*turn).answerPause,
			read.Resume:          (*turn).answerResume,
			read.QuietHours:      (*turn).answerQuiet,
			read.QuietOff:        func(t *turn, _ read.Sentence) { t.setQuiet(planner.Quiet{}) },
			read.StockUp:         (*turn).answerStock,
			read.StockLeft:       (*turn).answerStockLeft,
		},
		Together: map[read.Intent]together{read.FeedTimes: (*turn).feedTogether},
		On:       remindOn,
	}
}

func dayRoom() room {
	return room{
		Commands: map[string]command{"today": {Do: func(t *turn, _ string) { t.today() }}},
		Presses: map[string]press{
			"today": (*turn).pressToday,
			"feed":  (*turn).pressFeed,
			"treat": (*turn).pressTreat,
		},
		Answers: map[read.Intent]intent{
			read.Today:      func(t *turn, _ read.Sentence) { t.today() },
			read.Week:       func(t *turn, _ read.Sentence) { t.sayWeek() },
			read.Fed:        onDog((*turn).answerFed),
			read.FedAsked:   (*turn).answerFedAsked,
			read.AtePart:    onDog((*turn).answerAtePart),
			read.GivenAsked: (*turn).answerGivenAsked,
			read.TreatsLeft: onDog(func(t *turn, d *planner.Dog, _ read.Sentence) { t.sayTreatsLeft(d) }),
		},
		Due: map[planner.ReminderKind]dueKind{
			planner.BowlReminder:       (*turn).sayBowlsDue,
			planner.MorningReminder:    (*turn).sayMorning,
			planner.FreezerReminder:    (*turn).sayFreezer,
			planner.SupplementReminder: (*turn).saySupplements,
			planner.NoteReminder:       (*turn).sayNotes,
		},
		Actions: map[string]dueAction{
			"fed":   (*turn).pressFed,
			"again": (*turn).pressFedAgain,
			"skip":  (*turn).pressNotFed,
			"eat":   (*turn).pressOther,
			"other": (*turn).pressInstead,
			"given": (*turn).pressGiven,
			"miss":  (*turn).pressNotGiven,
			"days":  (*turn).pressKeepDays,
			"done":  (*turn).pressNoteDone,
		},
	}
}

func exportRoom() room {
	return room{
		Commands: map[string]command{"export": {Do: (*turn).exportCommand}},
		Presses:  map[string]press{"export": (*turn).pressExport},
		Answers: map[read.Intent]intent{
			read.Export:         func(t *turn, _ read.Sentence) { t.exportAll() },
			read.ExportCalendar: func(t *turn, _ read.Sentence) { t.exportCalendar() },
			read.ExportWeights:  func(t *turn, s read.Sentence) { t.exportWeights(s.Dog) },
			read.ExportRecipe:   func(t *turn, s read.Sentence) { t.exportRecipe(s.Recipe) },
		},
	}
}

func balanceOn(t *turn, happened any) {
	switch h := happened.(type) {
	case *bonesTaken:
		h.said = t.offTheBone(h.recipe)
	case *recipeAdded:
		t.askPork(h.out, h.recipe)
	}
}

func menuOn(t *turn, happened any) {
	switch h := happened.(type) {
	case *dogAdded:
		t.askEats(h.out, h.dog)
	case *dogRested:
		t.dropStoolReminder(h.id)
	case *dogRemoved:
		t.forgetDog(h.id)
	case *recipeGoing:
		h.uses = t.recipeUseText(h.id)
	case *recipeRemoved:
		h.said = t.forgetRecipe(h.id, h.name)
	case *bowlAsked:
		if tr, _ := t.switching(h.dog, t.date()); tr != nil {
			h.taken = true
			t.showTransition(tr, "")
		}
	case *bowlShown:
		if len(t.home.Recipes) > 1 {
			t.offerFromNow(h.out, h.dog, h.recipe)
		}
	}
}

func weighingOn(t *turn, happened any) {
	switch h := happened.(type) {
	case *householdEntered:
		t.adoptAmounts()
	case *turnAnswered:
		t.propose(h.before)
	case *changeTakenBack:
		keepLater(h.back, h.now, h.change)
	case *neitherYesNorNo:
		h.taken = h.verb == "weigh" && t.weighedAgain(arg(h.args, 1), h.text)
	case *litterTold:
		t.setLitter(h.dog, h.told)
	case *bowlHeld:
		h.held = h.held || t.stillWithPups(h.dog)
	case *goalTyped:
		h.asked = t.askFarGoal(h.dog, h.goal)
	case *dogWeighed:
		t.weighOnProfile(h.dog, h.weight)
	case *dogChanged:
		if h.dog.Condition != h.was.Condition && h.dog.Condition > 0 {
			t.goalAfterScore(h.dog)
		}
	}
}

func remindOn(t *turn, happened any) {
	switch h := happened.(type) {
	case *dogAdded:
		t.offerMealsLater(h.out, h.dog)
	case *dogTimesMoved:
		t.moveBowls(h.dog)
	case *dogRested:
		t.dropRemindersOf(h.id)
	case *dogRemoved:
		t.dropRemindersOf(h.id)
	case *bowlShown:
		t.offerMealsOnce(h.out, h.dog)
	}
}

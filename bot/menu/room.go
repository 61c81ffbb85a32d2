package menu

import (
	_ "embed"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

func Room() talk.Room {
	return talk.Room{
		Words: words,
		Commands: map[string]talk.Command{
			"rotation":   {Do: rotationCommand, Aside: true},
			"transition": {Do: transitionCommand, Aside: true},
		},
		Presses: map[string]talk.Press{
			"rotation":   pressRotation,
			"transition": talk.InPlace(pressTransition),
			"stool":      talk.InPlace(pressStool),
			"eats":       talk.OfDog(map[string]func(*talk.Turn, *planner.Dog, []string){"sure": talk.TappedOn(eat)}),
			"other":      talk.OfDog(otherVerbs()),
		},
		Forms: map[string]talk.Form{
			"rotation":   {Take: talk.TakeDraft(rotationDialogue), Again: talk.WithDraft(askRotation), Long: true, Asked: map[string]string{"dogs": "which.dog", "start": "rotation.start"}},
			"transition": {Take: talk.TakeDraft(transitionDialogue), Again: talk.WithDraft(askTransition), Long: true, Asked: map[string]string{"dog": "which.dog", "days": "switch.days"}},
			"other":      {Take: talk.TakeDraft(otherDialogue), Again: talk.WithDraft(askOther), Free: []string{"label"}, Asked: map[string]string{"dog": "which.dog"}},
			"fodder":     {Take: talk.TakeDraft(takeFodder), Again: talk.WithDraft(askFodder)},
		},
		Answers: map[read.Intent]talk.Intent{
			read.ShowSwitch: func(t *talk.Turn, s read.Sentence) {
				if tr := switchMeant(t, s); tr != nil {
					ShowTransition(t, tr, "")
				}
			},
			read.StopSwitch: answerStopSwitch,
			read.EatsRecipe: answerEats,
			read.EatsNot:    talk.OnDog(answerEatsNot),
			read.Tomorrow:   answerTomorrow,
			read.EveryMeal:  talk.OnDog(everyMeal),
			read.EatsOther:  func(t *talk.Turn, s read.Sentence) { takeOther(t, t.AsTyped(), s.Dog) },
			read.EatsShares: answerShares,
			read.MealIs:     answerMealIs,
			read.StopOther:  answerStopOther,
		},
		Due: map[planner.ReminderKind]talk.DueKind{planner.StoolReminder: talk.EachDue(sayStool)},
		On:  on,
	}
}

func on(t *talk.Turn, happened any) {
	switch h := happened.(type) {
	case *talk.DogAdded:
		askEats(t, h.Out, h.Dog)
	case *talk.DogRested:
		talk.DropReminders(t, planner.StoolReminder, h.ID)
	case *talk.DogRemoved:
		planner.ForgetDog(t.Home, h.ID)
		talk.DropReminders(t, planner.StoolReminder, h.ID)
	case *talk.RecipeGoing:
		h.Uses = recipeUseText(t, h.ID)
	case *talk.RecipeRemoved:
		h.Said = forgetRecipe(t, h.ID, h.Name)
	case *talk.TopperMade:
		h.Said = forgetRecipe(t, h.Recipe.ID, h.Recipe.Name)
	case *talk.BowlAsked:
		if h.LeftOut {
			return
		}
		if len(planner.OthersOn(t.Home, h.Dog.ID, t.Date())) > 0 {
			h.Taken = true
			showFare(t, h.Dog, t.Date(), "")
		} else if tr, _ := talk.Switching(t, h.Dog, t.Date()); tr != nil {
			h.Taken = true
			ShowTransition(t, tr, "")
		}
	case *talk.BowlShown:
		h.Out.Add(nextOnText(t, h.Dog, h.Recipe))
		sayNotSet(t, h.Dog, h.Recipe, h.Out)
		if len(t.Home.Recipes) > 1 {
			offerFromNow(t, h.Out, h.Dog, h.Recipe)
		}
	}
}

//go:embed messages.txt
var messages string

// words are the messages of this room.
var words, msg = say.Words(messages)

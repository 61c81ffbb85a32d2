package bowls

import (
	_ "embed"

	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

func Room() talk.Room {
	return talk.Room{
		Words:    words,
		Commands: map[string]talk.Command{"scale": {Do: scaleCommand}},
		Presses:  map[string]talk.Press{"bowl": pressBowl, "scale": talk.OfRecipe(scaleVerbs())},
		Forms: map[string]talk.Form{"scale": {Take: talk.TakeDraft(scaleDialogue), Asked: map[string]string{"to": "recipe.amount"}},
			"enough": {Take: talk.TakeDraft(enoughDialogue), Again: talk.WithDraft(askWeighs)},
		},
		Answers: map[read.Intent]talk.Intent{
			read.BowlAmount:     answerBowl,
			read.FoodAmount:     answerFoodAmount,
			read.EnergyNeed:     answerNeed,
			read.RecipeContents: talk.OnRecipe(func(t *talk.Turn, r *planner.Recipe, _ read.Sentence) { recipes.ShowRecipe(t, r, "") }),
			read.RecipeEnergy:   answerRecipeEnergy,
			read.FoodEnergy:     answerFoodEnergy,
			read.ScaleRecipe:    AnswerScale,
			read.HaveFood:       AnswerScale,
			read.Lasts:          answerLasts,
			read.EnoughAsked:    answerEnough,
			read.MassInUnit:     sayInUnits,
			read.CupWeighs:      talk.OnRecipe(answerCup),
		},
	}
}

//go:embed messages.txt
var messages string

// words are the messages of this room.
var words, msg = say.Words(messages)

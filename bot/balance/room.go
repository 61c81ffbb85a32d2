package balance

import (
	"bowlwright/bot/read"
	"bowlwright/bot/talk"
)

func Room() talk.Room {
	return talk.Room{
		Words: words,
		Presses: map[string]talk.Press{
			"bone":     pressBone,
			"house":    pressHouse,
			"caution":  pressCaution,
			"analysis": pressAnalysis,
			"swap":     pressSwap,
			"balance":  pressBalance,
		},
		Forms: map[string]talk.Form{"balance": {Take: talk.TakeDraft(balanceDialogue)}},
		On:    on,
		Answers: map[read.Intent]talk.Intent{
			read.HouseRecipes:   func(t *talk.Turn, _ read.Sentence) { pressHouse(t, []string{"list"}) },
			read.NutrientAmount: answerNutrient,
			read.Analyse:        answerAnalyse,
			read.Balance:        answerBalance,
			read.Swap:           answerSwap,
		},
	}
}

func on(t *talk.Turn, happened any) {
	switch h := happened.(type) {
	case *talk.BonesTaken:
		h.Said = offTheBone(t, h.Recipe)
	case *talk.RecipeAdded:
		AskPork(t, h.Out, h.Recipe)
	}
}

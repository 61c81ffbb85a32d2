package balance

import (
	_ "embed"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
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
			"balance": talk.Verbs(map[string]talk.Press{"start": func(t *talk.Turn, args []string) {
				showBalance(t, balanceDraft{Recipe: talk.Arg(args, 0), Dog: talk.Arg(args, 1)})
			}}),
		},
		Forms: map[string]talk.Form{"balance": {Take: talk.TakeDraft(balanceDialogue)}},
		On:    on,
		Answers: map[read.Intent]talk.Intent{
			read.HouseRecipes:   func(t *talk.Turn, _ read.Sentence) { pressHouse(t, []string{"list"}) },
			read.NutrientAmount: answerNutrient,
			read.NutrientOf:     answerNutrientOf,
			read.TaurineAsked:   func(t *talk.Turn, _ read.Sentence) { t.SayMsg("nutrient.taurine") },
			read.Analyse:        func(t *talk.Turn, s read.Sentence) { talk.OnRecipe(answerAnalyse)(t, ownFood(t, s)) },
			read.Balance: talk.OnRecipe(func(t *talk.Turn, r *planner.Recipe, s read.Sentence) {
				named := say.Each(t.FoodsNamed(t.AsTyped()), func(f *nutrition.Food) string { return f.Key }) // "with eggshell powder?"
				showBalance(t, balanceDraft{Recipe: r.ID, Dog: dogs.IDOf(talk.DogMeant(t, s)), Allowed: named})
			}),
			read.Swap:          answerSwap,
			read.SwapSame:      answerSwap,
			read.ViewAsFed:     answerView(nutrition.AsFed),
			read.ViewPerKcal:   answerView(nutrition.PerKcal),
			read.ViewDryMatter: answerView(nutrition.DryMatter),
			read.ViewPerKilo:   answerView(nutrition.PerKilo),
			read.ShowRatios:    talk.OnRecipe(answerRatios),
			read.WhyFood:       answerWhy,
		},
	}
}

func on(t *talk.Turn, happened any) {
	switch h := happened.(type) {
	case *talk.BonesTaken:
		h.Said = offTheBone(t, h.Recipe)
	case *talk.RecipeShown:
		if t.Before != nil && !h.Brief {
			h.Said = say.JoinParas(h.Said, muchMore(t, h.Recipe))
		}
	case *talk.RecipeAdded:
		warnGrowing(t, h.Out, h.Recipe)
		AskPork(t, h.Out, h.Recipe)
	}
}

//go:embed messages.txt
var messages string

// words are the messages of this room.
var words, msg = say.Words(messages)

package recipes

import (
	_ "embed"

	"bowlwright/bot/read"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

func Room() talk.Room {
	return talk.Room{
		Words: words,
		Commands: map[string]talk.Command{
			"recipe":  {Do: recipeCommand, Opens: true},
			"recipes": {Do: recipeCommand},
			"food":    {Do: foodCommand},
		},
		Presses: map[string]talk.Press{
			"recipe": pressRecipe,
			"rename": pressRename,
			"food":   pressFood,
		},
		Forms: map[string]talk.Form{
			"recipe": {Take: talk.TakeDraft(recipeDialogue), Again: talk.WithDraft(recipeAgain), Long: true, Brief: talk.WithDraft(recipeBrief),
				Asks: ofDraft(func(d RecipeDraft) bool { return len(d.Open) > 0 }), Portable: ofDraft(func(d RecipeDraft) bool { return d.ID == "" }),
				Asked: map[string]string{"lines": "recipe.lines", "name": "recipe.name", "where": "which.recipe", "batch": "recipe.amount"}},
			"food": {Take: talk.TakeDraft(foodDialogue), Again: talk.WithDraft(foodAgain), Long: true},
		},
		Answers: map[read.Intent]talk.Intent{
			read.CanEat:       canEat,
			read.NeverEat:     sayNever,
			read.Storing:      func(t *talk.Turn, _ read.Sentence) { sayStoring(t) },
			read.RawAsked:     func(t *talk.Turn, _ read.Sentence) { sayRaw(t) },
			read.FatOfLine:    answerFat,
			read.SetLine:      AnswerSetLine,
			read.MoreOfLine:   AnswerSetLine,
			read.LessOfLine:   AnswerSetLine,
			read.DropLine:     AnswerSetLine,
			read.AddRecipe:    answerAdd,
			read.AddFood:      func(t *talk.Turn, _ read.Sentence) { addFood(t, foodline.LabelIn(t.AsTyped())) },
			read.ListRecipes:  func(t *talk.Turn, _ read.Sentence) { recipeCommand(t, "") },
			read.RemoveRecipe: talk.OnRecipe(func(t *talk.Turn, r *planner.Recipe, _ read.Sentence) { askRemoveRecipe(t, r) }),
			read.RenameRecipe: talk.OnRecipe(renameRecipe),
			read.CopyRecipe:   talk.OnRecipe(copyRecipe),
			read.ListOwn:      func(t *talk.Turn, _ read.Sentence) { listOwn(t) },
			read.ShowOwn:      onOwn(func(t *talk.Turn, f *nutrition.Food, _ read.Sentence) { showFood(t, f) }),
			read.EditOwn:      onOwn(editOwn),
			read.RenameOwn:    onOwn(renameOwn),
			read.RemoveOwn:    onOwn(func(t *talk.Turn, f *nutrition.Food, _ read.Sentence) { askRemoveOwn(t, f) }),
			read.AddLines:     addSaid,
		},
	}
}

//go:embed messages.txt
var messages string

// words are the messages of this room.
var words, msg = say.Words(messages)

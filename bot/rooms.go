package bot

import (
	"bowlwright/bot/balance"
	"bowlwright/bot/bowls"
	"bowlwright/bot/card"
	"bowlwright/bot/day"
	"bowlwright/bot/desk"
	"bowlwright/bot/dogs"
	"bowlwright/bot/export"
	"bowlwright/bot/household"
	"bowlwright/bot/kitchen"
	"bowlwright/bot/menu"
	"bowlwright/bot/publish"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/remind"
	"bowlwright/bot/talk"
	"bowlwright/bot/urgent"
	"bowlwright/bot/weighing"
	"bowlwright/nutrition"
	"bowlwright/store"
)

// NewAssistant returns an assistant on a store and a food table.
func NewAssistant(s store.Store, t *nutrition.Table) *talk.Assistant {
	return talk.NewAssistant(s, t, rooms())
}

// rooms are the rooms of the assistant, in the order of the house, and the
// order in which they hear what was typed.
func rooms() *talk.Registry {
	return talk.Compose(talk.Hearing{
		First: []talk.Hearer{{Hear: desk.UnfitMethod}, {Hear: dogs.DropsDog}, {Hear: day.NotGiven}, {Hear: day.TheirsWords}, {Hear: day.NotHad}, {Hear: day.OtherAmount, Of: anAmount}, {Hear: day.MissedAsked}, {Hear: urgent.PartRight}, {Hear: urgent.Urgent}, {Hear: urgent.WhyVet}, {Hear: dogs.ClassWords}},
		News: []talk.Hearer{
			{Hear: urgent.NamesSign},
			{Hear: recipes.KeptTooLong, Aside: true},
			{Hear: day.DoseAsked, Aside: true},
			{Hear: day.FeedAsked, Aside: true},
			{Hear: urgent.DangerAsked, Aside: true, Of: danger},
			{Hear: dogs.AnotherTold},
			{Hear: remind.EachOrder, Aside: true},
			{Hear: remind.EndWords, Aside: true},
			{Hear: remind.Orders, Aside: true},
			{Hear: remind.OtherDose, Aside: true, Of: aDose},
			{Hear: recipes.RenamedAgain},
			{Hear: day.LeftOutOnce, Aside: true},
			{Hear: recipes.LineChanges, Aside: true, Of: aLine},
			{Hear: kitchen.JoinedWords, Aside: true, Of: aBatch},
			{Hear: kitchen.ShopWords, Aside: true, Of: aPurchase},
			{Hear: kitchen.PackWords, Aside: true, Of: aBatch},
			{Hear: dogs.IllTold, Of: illness},
			{Hear: dogs.LimitWords, Aside: true, Of: aLimit},
			{Hear: dogs.AllowsAgain, Aside: true},
			{Hear: day.MealTold, Aside: true},
			{Hear: day.DoneByOther, Of: append(due, "feedtimes")}, // "Jean fed Pip at 8 and 17:30"
			{Hear: household.CarerWords, Aside: true},
			{Hear: household.NumberAsked, Aside: true},
			{Hear: remind.Moved, Aside: true, Of: aDay},
			{Hear: menu.RotationWords, Aside: true},
			{Hear: menu.TransitionWords, Aside: true, Of: aSwitch},
			{Hear: menu.FodderWords, Aside: true},
			{Hear: menu.WithoutWords, Aside: true},
			{Hear: menu.StopOtherWords, Of: aSwitch},
			{Hear: day.SeveralDue, Aside: true, Of: aTreat},
			{Hear: day.TreatWords, Aside: true, Of: aTreat},
			{Hear: day.DueWords, Aside: true, Of: due},
			{Hear: day.GivenWords, Aside: true, Of: given},
			{Hear: day.HadBeside, Aside: true, Of: aTreat},
			{Hear: talk.TellAmount},
			{Hear: weighing.ScoreWords},
			{Hear: dogs.PutRight, Aside: true},
			{Hear: balance.Explained, Aside: true},
			{Hear: weighing.GoalWords, Aside: true},
			{Hear: weighing.KcalWords, Aside: true},
			{Hear: weighing.WeighWords, Aside: true, Of: aWeight},
			{Hear: talk.SayAgain},
			{Hear: talk.AskOfOther},
			{Hear: desk.LabWords, Aside: true},
			{Hear: desk.NoteWords, Aside: true},
			{Hear: balance.BoneToCook, Aside: true},
			{Hear: remind.PauseWords, Aside: true, Of: aDay},
			{Hear: allAtOnce},
			{Hear: dogs.EachTold, Of: aDog},
			{Hear: dogs.NamedDog, Of: aDog},
		},
		Dose: []talk.Hearer{{Hear: recipes.LabelWords}, {Hear: remind.SameFor}, {Hear: remind.RanOut}, {Hear: remind.DoseWords, Of: aDose}},
		Rest: []talk.Hearer{
			{Hear: weighing.BareWeight},
			{Hear: recipes.PastedRecipe},
			{Hear: recipes.LoneLine},
			{Hear: talk.NothingDue, Of: []string{"later", "no", "yes", "keep", "apply", "stop", "chat", "supp"}},
			{Hear: day.AboutWhen, Of: aboutWhen},
			{Hear: urgent.WatchSign, Of: danger},
			{Hear: household.BareZone},
			{Hear: remind.MedicineWords},
			{Hear: dogs.DogFacts, Of: aDog},
			{Hear: dogs.MissingFacts},
			{Hear: dogs.DescribedDog, Of: aDog},
			{Hear: dogs.FirstDog, Of: aDog},
			{Hear: balance.BareNutrient},
			{Hear: menu.BareTomorrow},
			{Hear: courtesy},
			{Hear: balance.CookedBone},
		},
		Aside:    []talk.Hearer{{Hear: dogs.HealthAside}, {Hear: urgent.SignAside}, {Hear: dogs.DogAside}},
		Lines:    []talk.Hearer{{Hear: linesAside}},
		Loose:    []talk.Hearer{{Hear: day.AboutWhen, Of: aboutWhen}},
		Ill:      dogs.IllInWords,
		Due:      day.AnswersDue,
		Stranger: namesStranger,
		Waits:    waits,
		Meant:    meant,
		Lost:     sayLost,
		File:     export.TakeFile,
	},
		talk.OwnRoom(), household.Room(), dogs.Room(), recipes.Room(), balance.Room(), desk.Room(), weighing.Room(), bowls.Room(), menu.Room(), kitchen.Room(),
		remind.Room(), day.Room(), urgent.Room(), card.Room(), publish.Room(), export.Room(), ownRoom(),
	)
}

// What some hearers are about.
var (
	aboutWhen = []string{"remind.add", "later", "fed.skip", "supp", "chat"}
	aBatch    = []string{"batch", "rotation", "shop", "fix", "weight.fix", "undo", "answer"}
	aDay      = []string{"remind", "supp", "rotation", "batch", "weight", "feedtimes", "later", "fed", "undo", "fix", "stop", "answer"}
	aDose     = []string{"supp", "remind", "later", "answer", "kcal", "recipe", "weight.fix", "fix"}
	danger    = []string{"food.ask", "urgent", "raw", "health", "stool", "fed", "treat.log", "supp", "remind", "dog.set", "recipe.set", "recipe.swap", "recipe.add"}
	aLimit    = []string{"dog", "kcal", "food", "goal", "supp", "health"}
	aLine     = []string{"recipe", "supp", "cost", "scale", "batch", "food", "undo", "fix", "answer"}
	anAmount  = []string{"fed", "treat", "supp", "scale", "food", "weight", "undo", "fix", "no", "answer"}
	aPurchase = []string{"cost", "shop", "batch", "scale", "weight", "fix", "recipe.set", "recipe.swap", "chat", "answer"}
	aSwitch   = []string{"switch", "stool", "health", "fare", "supp", "shop", "recipe.use", "fed", "answer"}
	due       = []string{"fed", "treat", "supp", "remind", "later", "weight", "yes", "no", "chat", "undo", "answer"}
	given     = []string{"supp", "remind", "treat", "fed.ask", "fed.log", "later", "undo", "answer"}
	illness   = []string{"dog", "health", "urgent", "supp", "remind", "food", "switch", "answer"}
	aDog      = []string{"dog", "health", "stool", "weight", "kcal", "goal", "feedtimes", "help", "chat", "answer"}
	aWeight   = []string{"weight", "remind", "fix", "undo", "answer", "dog", "goal", "bowl.other"}
	aTreat    = []string{"treat.log", "fed", "food.ask", "urgent", "health", "undo", "fix", "weight.fix", "supp.log", "answer"}
)

func ownRoom() talk.Room {
	return talk.Room{
		Words:    words,
		Commands: map[string]talk.Command{"help": {Do: func(t *talk.Turn, _ string) { help(t) }}},
		Presses:  map[string]talk.Press{"help": func(t *talk.Turn, _ []string) { help(t) }},
		Answers: map[read.Intent]talk.Intent{
			read.Help:      func(t *talk.Turn, _ read.Sentence) { help(t) },
			read.WhoAreYou: func(t *talk.Turn, _ read.Sentence) { hello(t) },
			read.OfDog:     func(t *talk.Turn, s read.Sentence) { meant(t, read.Reading{Intent: string(s.Intent)}, t.AsTyped()) },
		},
	}
}

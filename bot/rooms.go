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
		First: []talk.Hearer{{Hear: desk.UnfitMethod}, {Hear: day.NotHad}, {Hear: day.OtherAmount}, {Hear: urgent.Urgent}, {Hear: dogs.ClassWords}},
		News: []talk.Hearer{
			{Hear: urgent.NamesSign},
			{Hear: recipes.KeptTooLong, Aside: true},
			{Hear: urgent.DangerAsked, Aside: true, Of: danger},
			{Hear: remind.OtherDose, Aside: true},
			{Hear: recipes.LineChanges, Aside: true},
			{Hear: kitchen.JoinedWords, Aside: true},
			{Hear: kitchen.ShopWords, Aside: true},
			{Hear: kitchen.PackWords, Aside: true},
			{Hear: dogs.IllTold},
			{Hear: dogs.LimitWords, Aside: true},
			{Hear: dogs.AllowsAgain, Aside: true},
			{Hear: day.DoneByOther},
			{Hear: household.CarerWords},
			{Hear: remind.Moved, Aside: true},
			{Hear: menu.RotationWords, Aside: true},
			{Hear: menu.TransitionWords, Aside: true},
			{Hear: menu.FodderWords, Aside: true},
			{Hear: menu.WithoutWords, Aside: true},
			{Hear: menu.StopOtherWords},
			{Hear: day.SeveralDue, Aside: true},
			{Hear: day.TreatWords, Aside: true, Of: aTreat},
			{Hear: day.DueWords, Aside: true},
			{Hear: day.GivenWords, Aside: true},
			{Hear: day.HadBeside, Aside: true},
			{Hear: weighing.ScoreWords},
			{Hear: dogs.PutRight, Aside: true},
			{Hear: weighing.WeighWords, Aside: true, Of: aWeight},
			{Hear: talk.SayAgain},
			{Hear: talk.AskOfOther},
			{Hear: desk.LabWords, Aside: true},
			{Hear: desk.NoteWords, Aside: true},
			{Hear: balance.BoneToCook, Aside: true},
			{Hear: remind.PauseWords, Aside: true},
			{Hear: allAtOnce},
			{Hear: dogs.NamedDog},
		},
		Dose: []talk.Hearer{{Hear: remind.SameFor}, {Hear: remind.RanOut}, {Hear: remind.DoseWords, Of: aDose}},
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
	aDose     = []string{"supp", "remind", "later", "answer", "kcal", "recipe"}
	danger    = []string{"food.ask", "urgent", "raw", "health", "stool", "fed", "treat.log", "supp", "remind", "dog.set", "recipe.set", "recipe.swap", "recipe.add"}
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

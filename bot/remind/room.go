package remind

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
			"remind":      {Do: remindCommand},
			"reminders":   {Do: remindCommand},
			"supplement":  {Do: supplementCommand},
			"supplements": {Do: supplementCommand},
			"pause":       {Do: func(t *talk.Turn, rest string) { pauseWords(t, rest, nil) }},
		},
		Presses: map[string]talk.Press{
			"remind": pressRemind,
			"supplement": talk.Verbs(map[string]talk.Press{
				"list":  func(t *talk.Turn, _ []string) { listSupplements(t, "") },
				"add":   func(t *talk.Turn, _ []string) { addSupplement(t) },
				"from":  remindOfDose,
				"stock": pressStock,
			}),
			"meals": pressMeals,
			"pause": pressPause,
			"quiet": talk.Verbs(map[string]talk.Press{
				"ask": func(t *talk.Turn, _ []string) { askQuiet(t) },
				"off": func(t *talk.Turn, _ []string) { setQuiet(t, planner.Quiet{}) },
			}),
		},
		Forms: map[string]talk.Form{
			"remind":  talk.FormOf(talk.Form{Take: talk.TakeDraft(remindDialogue), Again: talk.WithDraft(remindAgain), Long: true}, remindSteps()...),
			"feeding": {Take: talk.TakeDraft(feedingDialogue), Times: []string{"times", "freezer"}},
			"pause":   {Take: pauseDialogue, Times: []string{"quiet"}},
		},
		Answers: map[read.Intent]talk.Intent{
			read.Remind:          answerRemind,
			read.CookDay:         answerCookDay,
			read.MoveCookDay:     answerMoveCook,
			read.WeighWhen:       answerWeighWhen,
			read.StopWeighIn:     func(t *talk.Turn, s read.Sentence) { answerStop(t, read.Sentence{Words: "weigh-in"}) },
			read.FeedAllTimes:    answerFeedAll,
			read.FeedTimes:       answerFeedTimes,
			read.MoveDinner:      answerMoveMeal,
			read.MoveBreakfast:   answerMoveMeal,
			read.ListSupplements: showSupplementsOf,
			read.ListReminders:   func(t *talk.Turn, _ read.Sentence) { listReminders(t, "") },
			read.StopReminder:    answerStop,
			read.Pause:           func(t *talk.Turn, s read.Sentence) { pauseWords(t, t.Event.Text, t.Dog(s.Dog)) },
			read.Resume:          answerResume,
			read.QuietHours:      answerQuiet,
			read.QuietOff:        func(t *talk.Turn, _ read.Sentence) { setQuiet(t, planner.Quiet{}) },
			read.StockUp:         answerStock,
			read.StockLeft:       answerStockLeft,
		},
		Together: map[read.Intent]talk.Together{read.FeedTimes: feedTogether},
		On:       on,
	}
}

func on(t *talk.Turn, happened any) {
	switch h := happened.(type) {
	case *talk.DogAdded:
		offerMealsLater(t, h.Out, h.Dog)
	case *talk.DogTimesMoved:
		moveBowls(t, h.Dog)
	case *talk.DogRested:
		dropRemindersOf(t, h.ID)
	case *talk.DogRemoved:
		dropRemindersOf(t, h.ID)
	case *talk.DogAway:
		restAway(t, h)
	case *talk.BowlShown:
		offerMealsOnce(t, h.Out, h.Dog)
	}
}

//go:embed messages.txt
var messages string

// words are the messages of this room.
var words, msg = say.Words(messages)

package day

import (
	_ "embed"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

func Room() talk.Room {
	return talk.Room{
		Words:    words,
		Commands: map[string]talk.Command{"today": {Do: func(t *talk.Turn, _ string) { Today(t) }, Slash: true}},
		Presses: map[string]talk.Press{
			"today": pressToday,
			"feed":  pressFeed,
			"treat": talk.OfDog(treatVerbs()),
		},
		Answers: map[read.Intent]talk.Intent{
			read.Today:      func(t *talk.Turn, _ read.Sentence) { Today(t) },
			read.Week:       func(t *talk.Turn, _ read.Sentence) { sayWeek(t) },
			read.Fed:        talk.OnDog(answerFed),
			read.FedAsked:   answerFedAsked,
			read.AteTheirs:  func(t *talk.Turn, _ read.Sentence) { t.SayMsg("fed.theirs", talk.Examples(t)...) },
			read.AtePart:    talk.OnDog(answerAtePart),
			read.MealHalf:   talk.OnDog(answerHalf),
			read.GivenAsked: answerGivenAsked,
			read.TreatsLeft: talk.Asked(sayTreatsLeft),
			read.AteBeside:  answerAte,
		},
		Due: map[planner.ReminderKind]talk.DueKind{
			planner.BowlReminder:       talk.EachDue(sayBowlDue),
			planner.MorningReminder:    sayMorning,
			planner.FreezerReminder:    SayFreezer,
			planner.SupplementReminder: saySupplements,
			planner.NoteReminder:       talk.EachDue(sayNote),
		},
		Actions: map[string]talk.DueAction{
			"fed":   pressFed,
			"again": pressFedAgain,
			"skip":  pressNotFed,
			"eat":   pressOther,
			"other": pressInstead,
			"given": pressGiven,
			"miss":  pressNotGiven,
			"days":  pressKeepDays,
			"done":  pressNoteDone,
		},
		On: on,
	}
}

func on(t *talk.Turn, happened any) {
	switch h := happened.(type) {
	case *talk.BowlAsked:
		if h.Taken = h.Taken || h.LeftOut; h.LeftOut {
			sayRest(t, h.Dog)
		}
	case *talk.BowlShown:
		h.Out.Begin(lessText(t, h.Dog))
	}
}

//go:embed messages.txt
var messages string

// words are the messages of this room.
var words, msg = say.Words(messages)

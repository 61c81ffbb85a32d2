package day

import (
	_ "embed"
	"time"

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
			"today": func(t *talk.Turn, args []string) {
				if talk.Arg(args, 0) == "week" {
					sayWeek(t)
				} else {
					Today(t)
				}
			},
			"feed":  pressFeed,
			"treat": talk.OfDog(treatVerbs()),
		},
		Answers: map[read.Intent]talk.Intent{
			read.Today:      func(t *talk.Turn, _ read.Sentence) { Today(t) },
			read.Week:       func(t *talk.Turn, _ read.Sentence) { sayWeek(t) },
			read.Fed:        talk.OnDog(answerFed),
			read.FedAsked:   answerFedAsked,
			read.AteTheirs:  answerTheirs,
			read.AtePart:    talk.OnDog(answerAtePart),
			read.MealHalf:   talk.OnDog(answerHalf),
			read.MealSmall:  talk.OnDog(func(t *talk.Turn, d *planner.Dog, _ read.Sentence) { t.SayMsg("less.how-small", "dog", d.Name) }),
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
			"fed": underMeal(func(t *talk.Turn, d *planner.Dog, o planner.Occurrence, _ []string) {
				feedOnce(t, d, o, time.Time{})
			}),
			"again": underMeal(func(t *talk.Turn, d *planner.Dog, o planner.Occurrence, _ []string) { feed(t, d, o, time.Time{}) }),
			"skip":  underMeal(leaveOut),
			"eat":   underMeal(eatOther),
			"other": underMeal(offerOthers),
			"given": func(t *talk.Turn, r *planner.Reminder, o planner.Occurrence, _ []string) {
				give(t, r, o, time.Time{}, todayOf(t, r))
			},
			"miss": pressNotGiven,
			"days": pressKeepDays,
			"done": func(t *talk.Turn, r *planner.Reminder, o planner.Occurrence, _ []string) {
				noteDone(t, r, o, time.Time{}, o.Date)
			},
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

package dogs

import (
	_ "embed"
	"encoding/json"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

func Room() talk.Room {
	return talk.Room{
		Words:    words,
		On:       on,
		Commands: map[string]talk.Command{"dog": {Do: dogCommand, Opens: true}, "dogs": {Do: dogCommand}},
		Presses: map[string]talk.Press{
			"dog":   pressDog,
			"class": pressClass,
		},
		Forms: map[string]talk.Form{
			"dog":      talk.FormOf(talk.Form{Take: talk.TakeDraft(dogDialogue), Again: talk.WithDraft(dogAgain), Left: dogLeft, Long: true, Portable: func(json.RawMessage) bool { return true }}, dogSteps()...),
			"dog-edit": talk.FormOf(talk.Form{Take: talk.TakeDraft(dogEditDialogue), Again: talk.WithDraft(editAgain)}, dogSteps()...),
		},
		Answers: map[read.Intent]talk.Intent{
			read.AddDog:   func(t *talk.Turn, _ read.Sentence) { dogCommand(t, "add") },
			read.EditDog:  talk.Asked(offerEdit),
			read.ListDogs: func(t *talk.Turn, _ read.Sentence) { dogCommand(t, "") },
			read.ShowDog:  talk.OnDog(func(t *talk.Turn, d *planner.Dog, _ read.Sentence) { showDog(t, d, "") }),
			read.DogActivity: talk.OnDog(func(t *talk.Turn, d *planner.Dog, s read.Sentence) {
				changed := *d
				changed.Activity = s.Activity
				ChangeDog(t, d.ID, changed)
			}),
			read.RenameDog: talk.OnDog(renameDog),
			read.WellAgain: talk.Asked(askWell),
			read.RemoveDog: talk.Asked(askRemove),
			read.DogMeals:  talk.OnDog(setMeals),
			read.DogStage:  talk.OnDog(setStage),
			read.DogDied:   answerDied,
			read.StageAsked: func(t *talk.Turn, s read.Sentence) {
				t.Say(say.Whole(msg("stage." + s.Stage)))
			},
		},
	}
}

//go:embed messages.txt
var messages string

// words are the messages of this room.
var words, msg = say.Words(messages)

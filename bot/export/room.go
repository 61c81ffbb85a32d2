package export

import (
	_ "embed"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
)

func Room() talk.Room {
	return talk.Room{
		Words:    words,
		Commands: map[string]talk.Command{"export": {Do: exportCommand}},
		Forms:    map[string]talk.Form{"import": {Take: importDialogue}},
		Presses:  map[string]talk.Press{"export": pressExport},
		Answers: map[read.Intent]talk.Intent{
			read.Export:         func(t *talk.Turn, _ read.Sentence) { exportAll(t) },
			read.ExportCalendar: func(t *talk.Turn, _ read.Sentence) { exportCalendar(t) },
			read.ExportWeights:  func(t *talk.Turn, s read.Sentence) { exportWeights(t, s.Dog) },
			read.ExportRecipe:   func(t *talk.Turn, s read.Sentence) { exportRecipe(t, s.Recipe) },
		},
	}
}

//go:embed messages.txt
var messages string

// words are the messages of this room.
var words, msg = say.Words(messages)

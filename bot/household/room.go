package household

import (
	_ "embed"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
)

func Room() talk.Room {
	return talk.Room{
		Words: words,
		Commands: map[string]talk.Command{
			"start":     {Do: startCommand, Slash: true},
			"settings":  {Do: settingsCommand, Opens: true},
			"household": {Do: func(t *talk.Turn, _ string) { showCarers(t) }},
			"carers":    {Do: func(t *talk.Turn, _ string) { showCarers(t) }},
			"share":     {Do: func(t *talk.Turn, whom string) { invite(t, strings.TrimPrefix(whom, "with ")) }, Slash: true},
			"erase":     {Do: func(t *talk.Turn, _ string) { askErase(t) }, Slash: true},
			"leave":     {Do: func(t *talk.Turn, _ string) { askLeave(t) }, Slash: true},
		},
		Presses: map[string]talk.Press{
			"settings": pressSettings,
			"carers":   talk.Verbs(carerVerbs()),
			"number":   func(t *talk.Turn, _ []string) { askNumber(t, numberKinds[0]) },
		},
		Forms: map[string]talk.Form{
			"number":   {Take: numberDialogue},
			"settings": {Take: settingsDialogue},
			"carers":   {Take: talk.TakeDraft(carersDialogue)},
		},
		Answers: map[read.Intent]talk.Intent{
			read.SetVet:        setNumber("vet"),
			read.MendNumber:    mendNumber,
			read.ShowNumbers:   func(t *talk.Turn, _ read.Sentence) { showNumbers(t) },
			read.SetClinic:     setNumber("clinic"),
			read.SetPoisonLine: setNumber("poison"),
			read.Leave:         leaveOrErase,
			read.AskCarers:     func(t *talk.Turn, _ read.Sentence) { showCarers(t) },
			read.ShowSettings:  func(t *talk.Turn, _ read.Sentence) { showSettings(t, "") },
			read.SetZone:       answerZone,
			read.SetUnits:      func(t *talk.Turn, s read.Sentence) { settingsCommand(t, s.Words) },
		},
	}
}

//go:embed messages.txt
var messages string

// words are the messages of this room.
var words, msg = say.Words(messages)

package card

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
		Commands: map[string]talk.Command{"card": {Do: cardCommand}},
		Presses:  map[string]talk.Press{"card": talk.OfRecipe(verbs()), "sheet": pressSheet},
		Answers: map[read.Intent]talk.Intent{
			read.CardOf:     ofRecipe(sendPicture),
			read.CardPDF:    ofRecipe(func(t *talk.Turn, r *planner.Recipe) { sendPaper(t, r, paperOf(t)) }),
			read.CardA4:     ofRecipe(onA4),
			read.CardLetter: ofRecipe(onLetter),
			read.CardPage:   ofRecipe(sendPage),

			read.VetSheet:    talk.Asked(sendVetSheet),
			read.SitterSheet: func(t *talk.Turn, _ read.Sentence) { sendSitterSheet(t) },
		},
	}
}

// verbs are what the buttons of this room do.
func verbs() map[string]func(t *talk.Turn, r *planner.Recipe, more []string) {
	return map[string]func(t *talk.Turn, r *planner.Recipe, more []string){
		"picture": pressed(sendPicture),
		"a4":      pressed(onA4),
		"letter":  pressed(onLetter),
		"page":    pressed(sendPage),
	}
}

//go:embed messages.txt
var messages string

// words are the messages of this room.
var words, msg = say.Words(messages)

package urgent

import (
	_ "embed"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
)

func Room() talk.Room {
	return talk.Room{
		Words:   words,
		Presses: map[string]talk.Press{"sign": pressSign},
		Answers: map[read.Intent]talk.Intent{
			read.Unfed: func(t *talk.Turn, _ read.Sentence) { t.SayMsg("urgent.unfed") },
		},
		On: on,
	}
}

func on(t *talk.Turn, happened any) {
	if h, ok := happened.(talk.DangerEaten); ok {
		text := "ate " + h.Food
		if h.Dog != nil {
			text = h.Dog.Name + " " + text
		}
		Urgent(t, text)
	}
}

//go:embed messages.txt
var messages string

// words are the messages of this room.
var words = say.NewCatalogue(messages)

func msg(key string, args ...any) string { return words.Msg(key, args...) }

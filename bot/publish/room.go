package publish

import (
	_ "embed"

	"bowlwright/bot/say"
	"bowlwright/bot/talk"
)

func Room() talk.Room {
	return talk.Room{Words: words}
}

//go:embed messages.txt
var messages string

// words are the messages of this room.
var words = say.NewCatalogue(messages)

func msg(key string, args ...any) string { return words.Msg(key, args...) }

package dogs

import (
	_ "embed"

	"bowlwright/bot/say"
)

//go:embed messages.txt
var messages string

// words are the messages of this room.
var words = say.NewCatalogue(messages)

func msg(key string, args ...any) string { return words.Msg(key, args...) }

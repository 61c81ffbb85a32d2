package bot

import (
	_ "embed"

	"bowlwright/bot/say"
)

//go:embed messages.txt
var messages string

// words are the messages of the whole.
var words, msg = say.Words(messages)

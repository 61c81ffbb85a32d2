package urgent

import (
	"bowlwright/bot/talk"
)

func Room() talk.Room {
	return talk.Room{
		Words:   words,
		Presses: map[string]talk.Press{"sign": pressSign},
	}
}

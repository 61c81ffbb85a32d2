package bot

import (
	"strings"

	"bowlwright/bot/day"
	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/talk"
)

// courtesy answers what neither asks nor tells anything: a greeting with the
// day's plan if there is one, thanks in a word.
func courtesy(t *talk.Turn, s string) bool { return courteous(t, read.CourtesyOf(s), s) }

func courteous(t *talk.Turn, is read.Courtesy, s string) bool {
	switch is {
	case read.Greeting:
		greet(t)
	case read.Thanks:
		t.SayMsg("courtesy.thanks")
	case read.YesOrNo:
		if len(t.Home.Dogs) == 0 && len(t.Home.Recipes) == 0 {
			dogs.BeginDog(t, s) // "ok, let's do it"
			break
		}
		if s != strings.TrimSpace(t.AsTyped()) { // "yes, and what about salmon"
			break
		}
		t.SayMsg("courtesy.yes-or-no").Offer(t.Button(msg("button.today"), "today"), t.Button(msg("button.help"), "help"))
	default:
		return false
	}
	return true
}

// greet answers a greeting.
func greet(t *talk.Turn) {
	if t.Newcomer || len(t.Home.Dogs) == 0 {
		hello(t)
		return
	}
	day.Today(t)
}

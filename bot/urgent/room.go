package urgent

import (
	"cmp"
	_ "embed"

	"bowlwright/bot/menu"
	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/planner/illness"
)

func Room() talk.Room {
	return talk.Room{
		Words:   words,
		Presses: map[string]talk.Press{"sign": pressSign},
		Answers: map[read.Intent]talk.Intent{
			read.ShowSigns: talk.OnDog(func(t *talk.Turn, d *planner.Dog, _ read.Sentence) { sayNoted(t, d) }),
			read.LookOut:   func(t *talk.Turn, _ read.Sentence) { t.SayMsg("urgent.look-out", talk.Examples(t)...) },
			read.Unfed:     func(t *talk.Turn, _ read.Sentence) { t.SayMsg("urgent.unfed") },
			read.EatsFast:  func(t *talk.Turn, _ read.Sentence) { t.SayMsg("urgent.eats-fast") },
		},
		On: on,
	}
}

func on(t *talk.Turn, happened any) {
	switch h := happened.(type) {
	case talk.DangerEaten:
		text := "ate " + h.Food
		if h.Dog != nil {
			text = h.Dog.Name + " " + text
		}
		Urgent(t, text)
	case *talk.TurnAnswered:
		warnPot(t, h.Before)
		if t.Changed && t.Event.Press == "" && t.Alarm(t.AsTyped()).Uneaten {
			menu.HoldForSign(t, t.LastReply(), dogsMeant(t, t.Alarm(t.AsTyped())))
		}
	case *talk.SignTold:
		s := cmp.Or(h.Text, t.AsTyped())
		if a := t.Alarm(s); a.Level == alarm.Watch && len(illness.In(s)) == 0 {
			a.Dogs = []string{h.Dog.ID}
			sayWatch(t, a, s)
			h.Taken = true
		}
	}
}

//go:embed messages.txt
var messages string

// words are the messages of this room.
var words, msg = say.Words(messages)

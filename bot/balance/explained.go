package balance

import (
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
)

// Explained says in a line or two what a bowl's caution means that is asked about: that
// the dog is of a breed that may store copper, that something is low.
func Explained(t *talk.Turn, s string) bool {
	d := talk.TalkedOf(t)
	name := msg("explain.your-dog")
	if d != nil {
		name = d.Name
	}
	low := read.Says("asks-low", s)
	switch {
	case read.Says("many-lines", s):
		return false
	case read.Says("asks-copper", s) && (d == nil || d.StoresCopper):
		t.Say(say.Whole(msg("explain.copper", "dog", name)))
	case read.Says("asks-copper", s), low && d != nil && t.Home.UsualOn(d, t.Date()) != nil:
		out := t.Say(say.Whole(msg("explain.low", "dog", name)))
		if r := t.Home.UsualOn(d, t.Date()); r != nil {
			out.Offer(t.Button(msg("button.missing"), "analysis", "look", r.ID, d.ID))
		}
	default:
		return false
	}
	return true
}

package weighing

import (
	"time"

	"bowlwright/bot/dogs"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// gateWorth is for how long what a weigh-in says of a dog whose food is its vet's
// matter needs no repeating (our own choice).
const gateWorth = 30 * 24 * time.Hour

// gateNow says at a weigh-in why a dog's food is for its vet, once a month.
func gateNow(t *talk.Turn, d *planner.Dog) string {
	key := "gate-" + d.ID
	if !t.Home.CautionDue(key, gateWorth, t.Event.At) {
		return ""
	}
	t.Home.SayCaution(key, t.Event.At)
	t.Changed = true
	return dogs.GateText(t, *d, planner.AmountOf(*d, t.Event.At))
}

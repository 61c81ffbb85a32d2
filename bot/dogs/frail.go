package dogs

import (
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// An older or lighter dog can wait less long (common practice, no source).
const (
	frailYears = 10
	frailKilos = 3
)

// Frail reports that a dog is for a vet sooner than others: young, old, tiny,
// ill, pregnant or nursing.
func Frail(t *talk.Turn, d *planner.Dog) bool {
	years, known := d.AgeAt(t.Event.At)
	if d.StageAt(t.Event.At) == planner.Puppy || known && years >= frailYears || d.Weight > 0 && d.Weight < frailKilos || d.Stage != "" {
		return true
	}
	for _, code := range planner.Illness(d.Health) {
		if code != planner.Allergy {
			return true
		}
	}
	return false
}

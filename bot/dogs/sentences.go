package dogs

import (
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

func setActivity(t *talk.Turn, d *planner.Dog, s read.Sentence) {
	changed := *d
	changed.Activity = s.Activity
	ChangeDog(t, d.ID, changed)
}

func setMeals(t *talk.Turn, d *planner.Dog, s read.Sentence) {
	changed := *d
	if wrong := takeDogMeals(t, &changed, talk.Answer{Text: say.Trim(s.Count, 2)}); wrong != "" {
		t.Say(say.Para(wrong))
		return
	}
	ChangeDog(t, d.ID, changed)
}

// setStage notes that a dog is pregnant or nursing, or is so no more. An
// illness that is named is noted, else it is asked for by name: it is what a
// vet plans by.
func setStage(t *talk.Turn, d *planner.Dog, s read.Sentence) {
	changed := *d
	switch s.Stage {
	case read.StagePregnant, read.StageNursing:
		breeds(&changed, s.Stage)
	case read.StageNone:
		changed.Stage = ""
	case read.StageOverweight:
		t.GoTo(read.Sentence{Intent: read.AskScore, Dog: d.ID})
		return
	default:
		if len(planner.Illness(t.Event.Text)) == 0 || !DogFacts(t, t.Event.Text) {
			editDog(t, d, "health")
		}
		return
	}
	t.Happened(&talk.LitterTold{Dog: d, Told: changed})
}

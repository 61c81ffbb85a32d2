package dogs

import (
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// keepDog adds the dog of a draft. A weight that no dog of its age has is asked
// about first, once: often it is what the dog is to weigh when grown.
func keepDog(t *talk.Turn, draft dogDraft) {
	most, growing := planner.HeaviestAt(draft.Dog, t.Event.At)
	if draft.Sure || !growing || draft.Dog.Weight <= most {
		t.EndDialogue()
		addDog(t, draft.Dog)
		return
	}
	draft.Done, draft.Sure = allDogSteps("weight"), true
	d := draft.Dog
	t.Ask("dog", "weight", draft)
	u := t.Home.Units
	why := msg("dog.heavy-breed")
	if d.AdultWeight > 0 {
		why = msg("dog.heavy-grown", "grown", say.BodyWeight(d.AdultWeight, u))
	}
	weight := say.BodyWeight(d.Weight, u)
	t.Say(say.Para(msg("dog.heavy", "weight", weight, "dog", d.Name, "age", ageText(d.Born, t.Event.At))),
		say.Para(why)).
		Offer(t.Answer(msg("button.is-right", "weight", weight), "weight", weight), t.StopButton())
}

package bot

import "bowlwright/planner"

// keepDog adds the dog of a draft. A weight that no dog of its age has is asked
// about first, once: often it is what the dog is to weigh when grown.
func (t *turn) keepDog(draft dogDraft) {
	most, growing := planner.HeaviestAt(draft.Dog, t.event.At)
	if draft.Sure || !growing || draft.Dog.Weight <= most {
		t.endDialogue()
		t.addDog(draft.Dog)
		return
	}
	draft.Done, draft.Sure = allDogSteps("weight"), true
	d := draft.Dog
	t.ask("dog", "weight", draft)
	u := t.home.Units
	why := msg("dog.heavy-breed")
	if d.AdultWeight > 0 {
		why = msg("dog.heavy-grown", "grown", bodyWeight(d.AdultWeight, u))
	}
	weight := bodyWeight(d.Weight, u)
	t.say(para(msg("dog.heavy", "weight", weight, "dog", d.Name, "age", ageText(d.Born, t.event.At))),
		para(why)).
		offer(t.answer(msg("button.is-right", "weight", weight), "weight", weight), t.stopButton())
}

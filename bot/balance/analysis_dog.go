package balance

import (
	"strconv"
	"strings"
	"time"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// analysedFor is the dog that a question about a recipe is answered for: the
// one it names or describes, else the one meant without a name; nil where it
// asks per 1000 kcal, or no dog is meant.
func analysedFor(t *talk.Turn, s read.Sentence) *planner.Dog {
	switch {
	case s.Kcal > 0:
		return nil
	case s.Weight > 0:
		d := dogs.DogOfWords(t, s)
		return &d
	}
	return t.DogMeant(s)
}

// dogIn returns the dog that IDOf wrote, nil where it is gone or there is none.
func dogIn(t *talk.Turn, id string) *planner.Dog {
	parts := strings.Split(id, "/")
	if len(parts) != 6 || parts[0] != dogs.DescribedMark {
		return t.Dog(id)
	}
	weight, err := strconv.ParseFloat(parts[1], 64)
	condition, err2 := strconv.Atoi(parts[3])
	if err != nil || err2 != nil || weight <= 0 {
		return nil
	}
	d := &planner.Dog{Weight: nutrition.Kilograms(weight), Activity: planner.Activity(parts[2]), Condition: condition, Stage: planner.Stage(parts[4])}
	s := read.Sentence{Weight: d.Weight, Activity: d.Activity, Stage: parts[4]}
	if born, err := time.Parse(dogs.BornFormat, parts[5]); err == nil {
		d.Born, d.BornAbout = born, true
		s.Years = t.Event.At.Sub(born).Hours() / 24 / 365.25
	}
	d.Name = dogs.Describe(t, s)
	return d
}

package bot

import (
	"strconv"
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// analysedFor is the dog that a question about a recipe is answered for: the
// one it names or describes, else the one meant without a name; nil where it
// asks per 1000 kcal, or no dog is meant.
func (t *turn) analysedFor(s read.Sentence) *planner.Dog {
	switch {
	case s.Kcal > 0:
		return nil
	case s.Weight > 0:
		d := t.dogOfWords(s)
		return &d
	}
	return t.dogMeant(s)
}

// describedMark begins what stands in a button for a dog that was described in
// words, in place of an id.
const describedMark = "~"

// bornFormat is how a birth stands in a button.
const bornFormat = "060102"

// bornText writes when a dog was born; empty where that is not known.
func bornText(d planner.Dog) string {
	if d.Born.IsZero() {
		return ""
	}
	return d.Born.Format(bornFormat)
}

// dogIn returns the dog that idOf wrote, nil where it is gone or there is none.
func (t *turn) dogIn(id string) *planner.Dog {
	parts := strings.Split(id, "/")
	if len(parts) != 6 || parts[0] != describedMark {
		return t.dog(id)
	}
	weight, err := strconv.ParseFloat(parts[1], 64)
	condition, err2 := strconv.Atoi(parts[3])
	if err != nil || err2 != nil || weight <= 0 {
		return nil
	}
	d := &planner.Dog{Weight: nutrition.Kilograms(weight), Activity: planner.Activity(parts[2]), Condition: condition, Stage: planner.Stage(parts[4])}
	s := read.Sentence{Weight: d.Weight, Activity: d.Activity, Stage: parts[4]}
	if born, err := time.Parse(bornFormat, parts[5]); err == nil {
		d.Born, d.BornAbout = born, true
		s.Years = t.event.At.Sub(born).Hours() / 24 / 365.25
	}
	d.Name = t.describe(s)
	return d
}

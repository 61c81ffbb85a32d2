package talk

import (
	"slices"

	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/read/span"
	"bowlwright/planner"
)

// readings are the texts that were read in a turn, as the household's names stand:
// a dozen rooms ask what the same text says.
type readings struct {
	names     span.Names
	units     planner.Units
	sentences map[string]understood
	alarms    map[string]alarm.Alarm
}

// understood is what Understand answers.
type understood struct {
	sentence read.Sentence
	ok       bool
}

// Understand reads what was typed as a sentence.
func (t *Turn) Understand(s string) (read.Sentence, bool) {
	r := t.readings()
	got, known := r.sentences[s]
	if !known {
		got.sentence, got.ok = read.Understand(s, r.names, r.units)
		r.sentences[s] = got
	}
	return got.sentence, got.ok
}

// Alarm is what a text tells of signs and dangers.
func (t *Turn) Alarm(s string) alarm.Alarm {
	r := t.readings()
	got, known := r.alarms[s]
	if !known {
		got = alarm.In(s, r.names)
		r.alarms[s] = got
	}
	return got
}

// readings are those of the names as they stand; a dog or a recipe that comes,
// goes or is renamed changes what a text says.
func (t *Turn) readings() *readings {
	n, u, was := t.Names(), t.Home.Units, t.read.names
	same := slices.Equal(was.Dogs, n.Dogs) && slices.Equal(was.Recipes, n.Recipes) && slices.Equal(was.Foods, n.Foods)
	if t.read.alarms == nil || !same || u != t.read.units {
		t.read = readings{n, u, map[string]understood{}, map[string]alarm.Alarm{}}
	}
	return &t.read
}

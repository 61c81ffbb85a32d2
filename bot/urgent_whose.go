package bot

import (
	"strings"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
)

// namesSign takes a dog's bare name for the answer to "Which dog is it?",
// where that was asked of this person just before.
func (t *turn) namesSign(s string) bool {
	var d *planner.Dog
	for i := range t.home.Dogs {
		if strings.EqualFold(t.home.Dogs[i].Name, strings.Trim(s, " .!")) {
			d = &t.home.Dogs[i]
		}
	}
	if d == nil {
		return false
	}
	// Several may be of the same minute.
	for _, e := range t.entries(store.EntryQuery{Kinds: []planner.EntryKind{planner.SignSeen}, From: t.event.At.Add(-mostAnswer), Newest: true, Limit: 5}) {
		if e.Dog == "" && e.Person == t.event.Person {
			t.pressSign([]string{"dog", e.ID, d.ID})
			return true
		}
	}
	return false
}

// mostAnswer is for how long a bare name is taken for an answer.
const mostAnswer = 30 * time.Minute

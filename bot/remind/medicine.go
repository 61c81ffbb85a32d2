package remind

import (
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// MedicineWords takes "stop benazepril for Bruno" for the reminder that is to
// stop, and "Bruno gets benazepril 5 mg at 8 and 20" for one to be made, where
// nothing else was understood. Neither is a note on health.
func MedicineWords(t *talk.Turn, s string) bool {
	if strings.ContainsAny(s, "?\n") {
		return false
	}
	if word, rest := talk.CutWord(s); stopWords[strings.ToLower(word)] {
		if rest != "" && len(About(t, rest)) > 0 {
			answerStop(t, read.Sentence{Words: rest})
			return true
		}
		return false
	}
	r, err := read.ReminderText(s, t.Names(), t.Event.At)
	if err != nil || r.Dog == "" || len(r.When.Times) == 0 || !read.OfMedicine(r.Text) || r.About != read.Giving && r.About != read.Anything {
		return false
	}
	if w := &r.When; !w.Repeats && !w.Monthly && w.On.IsZero() && w.At.IsZero() {
		w.Repeats, w.Cadence = true, planner.Cadence{EveryDays: 1}
	}
	remindNote(t, r)
	return true
}

var stopWords = wordSet("stop stopped discontinue end")

package judge

import (
	"strings"
	"time"

	"bowlwright/planner"
)

// Answers is what a carer answered to the four questions before more food:
// whether bowls are left over; whether there is thirst, bad stool, vomiting or
// tiredness; whether the dog is always starving; and why it may need more, if a
// carer knows.
type Answers struct {
	At                      time.Time
	Leaves, Signs, Starving bool
	Reason                  planner.NeedCause
}

// Well reports that nothing speaks for a vet.
func (a Answers) Well() bool { return !a.Leaves && !a.Signs && !a.Starving }

// knows reports that the carer knows why the dog needs more.
func (a Answers) knows() bool { return a.Reason == planner.MoreWork || a.Reason == planner.Season }

// Code is the answers as they are stored.
func (a Answers) Code() string {
	var words []string
	for _, w := range []struct {
		word string
		is   bool
	}{{"leaves", a.Leaves}, {"signs", a.Signs}, {"starving", a.Starving}, {string(a.Reason), a.Reason != ""}} {
		if w.is {
			words = append(words, w.word)
		}
	}
	return strings.Join(words, " ")
}

// AnswersOf reads what Code wrote.
func AnswersOf(at time.Time, code string) Answers {
	a := Answers{At: at}
	for _, word := range strings.Fields(code) {
		switch word {
		case "leaves":
			a.Leaves = true
		case "signs":
			a.Signs = true
		case "starving":
			a.Starving = true
		default:
			a.Reason = planner.NeedCause(word)
		}
	}
	return a
}

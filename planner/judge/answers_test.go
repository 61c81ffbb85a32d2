package judge

import (
	"testing"

	"bowlwright/planner"
)

// TestAnswers reads back what it wrote.
func TestAnswers(t *testing.T) {
	for _, a := range []Answers{{}, {At: testNow, Leaves: true}, {Signs: true, Reason: planner.MoreWork}, {Starving: true}, {Reason: planner.NewScale}} {
		if got := AnswersOf(a.At, a.Code()); got != a {
			t.Errorf("%+v became %+v by %q", a, got, a.Code())
		}
	}
}

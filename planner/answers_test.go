package planner

import "testing"

// TestAnswers reads back what it wrote.
func TestAnswers(t *testing.T) {
	for _, a := range []Answers{{}, {At: testNow, Leaves: true}, {Signs: true, Reason: MoreWork}, {Starving: true}, {Reason: NewScale}} {
		if got := AnswersOf(a.At, a.Code()); got != a {
			t.Errorf("%+v became %+v by %q", a, got, a.Code())
		}
	}
}

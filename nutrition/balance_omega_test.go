package nutrition

import (
	"context"
	"testing"
)

// The maximum of omega-6 to omega-3 is no row of the program. It counts as
// every other maximum does where answers are compared: this mixture once got a
// thorough answer that made it worse and closed a hair of thiamin.
func TestRatioCountsAsAMaximum(t *testing.T) {
	req := randomRequest(1344)
	r := Balance(context.Background(), req)
	checkRules(t, "1344", &req, &r)
	for i := range r.Answers {
		checkAnswer(t, 1344, &req, &r.Answers[i])
	}
}

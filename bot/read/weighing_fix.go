package read

import (
	"regexp"
	"strings"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// corrects begins a text that puts right what was typed before it.
var corrects = regexp.MustCompile(`^(?:(?:no|oh|oops|sorry|wait)[ ,.!]+)*(?:actually|i mean|i meant|correction|make (?:it|that)|change (?:it|that) to|it was|it is|that was|should (?:be|have been)|it should (?:be|have been)|no|oops|sorry)[ ,:]+(?:actually |rather |really )?`)

// correctStarts are what such a text begins with; most have none of them.
var correctStarts = []string{"no", "oh", "oops", "sorry", "wait", "actually", "i mean", "correction", "make", "change", "it", "that", "should"}

// CorrectedWeight reads a weight that takes the place of one that was typed
// before it: "actually 27.6", "sorry, 19.4 kg", "change it to 27.5".
func CorrectedWeight(s string, u planner.Units) (nutrition.Kilograms, bool) {
	s = strings.ToLower(strings.TrimSpace(Clean(s)))
	if len(s) > 60 || !begins(s, correctStarts) {
		return 0, false
	}
	m := corrects.FindString(s)
	if m == "" {
		return 0, false
	}
	kg, err := BodyWeight(s[len(m):], u)
	return kg, err == nil
}

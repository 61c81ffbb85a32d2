package read

import (
	"regexp"
	"strings"

	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// corrects begins a text that puts right what was typed before it.
var corrects = regexp.MustCompile(`^(?:(?:no|oh|oops|sorry|wait)[ ,.!]+)*(?:actually|i mean|i meant|correction|make (?:it|that)|change (?:it|that) to|it was|it is|that was|should (?:be|have been)|it should (?:be|have been)|no|oops|sorry)[ ,:]+(?:actually |rather |really )?`)

// CorrectedWeight reads a weight that takes the place of one that was typed
// before it: "actually 27.6", "sorry, 19.4 kg", "change it to 27.5".
func CorrectedWeight(s string, u planner.Units) (nutrition.Kilograms, bool) {
	if kg, ok := WeightPutRight(s, u); ok {
		return kg, true
	}
	s = strings.ToLower(strings.TrimSpace(span.Clean(s)))
	if len(s) > 60 {
		return 0, false
	}
	m := corrects.FindString(s)
	if m == "" {
		return 0, false
	}
	kg, err := span.BodyWeight(s[len(m):], u)
	return kg, err == nil
}

// mended is a weight with the right one behind it, and asksBehind what is asked
// or remarked behind a weight.
var (
	mended     = regexp.MustCompile(`(?i)^(.*\d.*?)[ ,.;-]+(?:no|nope|sorry|wait|oops|i mean|i meant|make that|actually)[ ,:]+(.+)$`)
	asksBehind = regexp.MustCompile(`^(.*\d.*?)[,;.] +(\D+)\?$`)
)

// LastWeight is a text that names a dog and its weight with the weight that is
// meant, and no more: "Juniper 19.5, no 19.4" with its last one, "Juniper 19.4,
// has she lost weight?" with that before the question. Any other text it leaves
// as it is.
func LastWeight(s string, names span.Names, u planner.Units) string {
	if len(s) > 120 {
		return s
	}
	if m := mended.FindStringSubmatch(s); m != nil {
		_, _, dogs := DogsNamed(m[1], names)
		if _, err := span.BodyWeight(m[2], u); err == nil && len(dogs) == 1 {
			from, to, _ := DogsNamed(m[1], names)
			return m[1][from:to] + " " + m[2]
		}
	}
	if m := asksBehind.FindStringSubmatch(s); m != nil {
		if _, _, ok := NamedWeight(m[1], names, u); ok {
			return m[1]
		}
	}
	return s
}

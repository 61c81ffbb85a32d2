package read

import (
	"regexp"
	"slices"
	"strings"
	"unicode"
)

// HasClock reports that a text has a time of day: "10:00".
func HasClock(s string) bool { return clockSaid.MatchString(s) }

var clockSaid = regexp.MustCompile(`\b\d{1,2}:\d{2}\b`)

// PastDay returns the words of a text for a day that has passed, empty where
// there are none: "yesterday", "two days ago", "last Friday".
func PastDay(s string) string { return pastDaySaid.FindString(s) }

var pastDaySaid = regexp.MustCompile(`(?i)\b(yesterday|(last|two|three|\d+) (days?|weeks?) ago|last (week|month|monday|tuesday|wednesday|thursday|friday|saturday|sunday))\b`)

// DoubtfulGrams returns a weight in which the point may stand for thousands,
// "1.200 g", empty where a text has none.
func DoubtfulGrams(s string) string {
	if m := doubtfulGrams.FindStringSubmatch(s); m != nil {
		return m[1]
	}
	return ""
}

var doubtfulGrams = regexp.MustCompile(`(?i)(?:^|[^\d.,])([1-9]\d{0,2}\.\d{3} ?(?:g|grams?|gr|gram))(?:$|[^\p{L}\d.])`)

// SaysGiven reports that a text says that something was given: "vitamin E
// given", "gave Juniper her fish oil". A question does not, nor what was not
// given, nor does what says how often.
func SaysGiven(s string) bool {
	low := strings.ToLower(s)
	return len(s) <= 100 && !strings.ContainsAny(s, "?\n") && !asks(s) && !notGiven.MatchString(s) && !strings.Contains(low, "every") &&
		slices.ContainsFunc(givenVerbs, func(v string) bool { return strings.Contains(low, v) })
}

// GivenThing is what a text that SaysGiven says was given: "fish oil" of "gave
// Bracken his fish oil at 8:00".
func GivenThing(s string, n Names) string {
	from, to, _ := DogsNamed(s, n)
	s = s[:from] + " " + s[to:]
	s = givenAt.ReplaceAllString(s, " ")
	words := strings.FieldsFunc(s, func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune(",.!;:", r) })
	return strings.Join(slices.DeleteFunc(words, func(w string) bool { return slices.Contains(givenFill, strings.ToLower(w)) }), " ")
}

// givenFill are the words around it.
var givenFill = strings.Fields("gave given give has have had got get i we her his its their the some a was were been is just now already today too to ok done yes this morning evening")

var givenAt = regexp.MustCompile(`(?i)\bat \d{1,2}([:.]?\d\d)? ?(am|pm)?\b`)

var notGiven = regexp.MustCompile(`(?i)\b(not|never|n['’]?t) (been )?(given|gave|had|got)\b|\bhas(n['’]?t| not) had\b`)

var givenVerbs = []string{"given", "gave", "has had", "had her", "had his", "got her", "got his"}

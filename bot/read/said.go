package read

import (
	"regexp"
	"slices"
	"strings"
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

var notGiven = regexp.MustCompile(`(?i)\b(not|never|n['’]?t) (been )?(given|gave|had|got)\b|\bhas(n['’]?t| not) had\b`)

var givenVerbs = []string{"given", "gave", "has had", "had her", "had his", "got her", "got his"}

// allDogs are words for every dog of the household.
var allDogs = regexp.MustCompile(`(?i)\b(both( of them| dogs| the dogs)?|all( of them| the dogs| dogs)|the dogs|everyone)\b`)

// DogsNamed finds where a text names dogs in a row, "Juniper, Bracken and
// Pip", or all of several; dogs are their ids in the order named, none where
// no dog is named.
func DogsNamed(s string, n Names) (from, to int, dogs []string) {
	if m := allDogs.FindStringIndex(s); m != nil && len(n.Dogs) > 1 {
		for _, d := range n.Dogs {
			dogs = append(dogs, d.ID)
		}
		return m[0], m[1], dogs
	}
	low := strings.ToLower(s)
	if len(low) != len(s) {
		return 0, 0, nil // a letter that changes its length: the places would not be the same
	}
	for {
		d, i, ok := firstNamed(low, to, n.Dogs)
		if !ok {
			return from, to, dogs
		}
		if len(dogs) > 0 && !joinsNames(low[to:i]) {
			if len(dogs) > 1 {
				return from, to, dogs
			}
			dogs = nil
		}
		if len(dogs) == 0 {
			from = i
		}
		if !slices.Contains(dogs, d.ID) {
			dogs = append(dogs, d.ID)
		}
		to = i + len(d.Name)
	}
}

// firstNamed is what a text names first from a place on, and where.
func firstNamed(low string, from int, all []Named) (first Named, at int, found bool) {
	for _, d := range all {
		name := strings.ToLower(d.Name)
		for k := from; name != ""; {
			j := strings.Index(low[k:], name)
			if j < 0 {
				break
			}
			j += k
			if wordAt(low, j, j+len(name)) {
				if !found || j < at {
					first, at, found = d, j, true
				}
				break
			}
			k = j + len(name)
		}
	}
	return first, at, found
}

// wordAt reports that a part of a text is a word of its own.
func wordAt(s string, from, to int) bool {
	const sides = " ,.?!:;&'’"
	return (from == 0 || strings.ContainsAny(s[from-1:from], sides)) && (to == len(s) || strings.ContainsAny(s[to:to+1], sides) || strings.HasPrefix(s[to:], "’"))
}

// joinsNames reports that only a comma or an "and" stands between two names.
func joinsNames(between string) bool {
	switch strings.TrimSpace(between) {
	case ",", "and", "&", ", and", "+":
		return true
	}
	return false
}

package read

import (
	"slices"
	"strings"
	"unicode"

	"bowlwright/nutrition"
)

// Words of lists.txt.
var (
	notPutIn   = listed("puts-in-not")
	notPutPast = listed("puts-in-passing")
	takesOut   = listed("puts-in-out")
)

// PutsIn is a food that dogs must not eat and that a method or a note names, nil
// where there is none or each is denied: "no onion", "leave out the garlic". It
// mends slips of the finger.
func PutsIn(text string) *nutrition.Refusal {
	for _, clause := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return strings.ContainsRune(".,;:!?\n()", r) }) {
		words := strings.FieldsFunc(strings.NewReplacer("'", "", "’", "").Replace(clause), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
		for i, w := range words {
			words[i] = alarms().spell(w)
		}
		found, at := nutrition.RefusedIn(words)
		for i := range found {
			if !leftOut(words, at[i]) {
				return &found[i]
			}
		}
	}
	return nil
}

// leftOut reports that a food at a place among words is said not to go in; what
// is said of one that is refused holds for those that follow: "no onion or garlic".
func leftOut(words []string, at int) bool {
	if at+1 < len(words) && words[at+1] == "out" && slices.ContainsFunc(words[max(0, at-3):at], func(w string) bool { return takesOut[w] }) {
		return true // "leave the onion out"
	}
	for back := at - 1; back >= 0; back-- {
		switch w := words[back]; {
		case notPutIn[w], back > 0 && (w == "out" && takesOut[words[back-1]] || w == "of" && words[back-1] == "instead"):
			return true
		case !notPutPast[w] && nutrition.FindRefusalAsTyped(w) == nil:
			return false
		}
	}
	return false
}
